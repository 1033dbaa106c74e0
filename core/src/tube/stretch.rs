//! What courses cost near a few cells of their trees, so that a change there is judged without
//! walking round whole trees.
//!
//! Bends that are tighter than a return between neighbours depend on the legs beside them, which
//! no single cell knows. But they depend on few legs: so the stretches of the courses that pass
//! the cells are walked, some sides more at both ends, before a change and after it.

#![expect(clippy::indexing_slicing, reason = "cell numbers come from the trees that are walked")]

use super::tree::{Ground, Joins, Spare};
use super::walk::{Side, first_corner, first_side, last_side, side_before, step};

/// How many sides a stretch goes on beyond the cells: farther than any bend looks.
const BEYOND: usize = 7;
/// Sides of cells that are changed at once, and of the gaps between them: more than there can be.
const MOST_SIDES: usize = 16 * (BEYOND + 1) + 8;

/// What the courses cost that pass `cells`, each of the part that `part_of` tells, for comparison
/// with what they cost after a change of these cells alone.
pub fn cost_near(
    grounds: &[Ground],
    part_of: impl Fn(usize) -> usize,
    cells: &[usize],
    joins: &Joins,
    spare: &mut Spare,
) -> f64 {
    let mut is_walked = 0_u32;
    let mut cost = 0.0;
    for (number, &cell) in cells.iter().enumerate() {
        if cells[..number].contains(&cell) {
            continue;
        }
        let ground = &grounds[part_of(cell)];
        cost += ground.left_bare(cell, joins);
        for heading in super::field::Heading::ALL {
            if is_walked & bit((cell, heading), cells) != 0 {
                continue;
            }
            is_walked |= walk(ground, (cell, heading), cells, joins, spare);
            cost += ground.strained(spare);
        }
    }
    cost
}

/// The bit of a side of one of the cells; 0 for others.
fn bit((cell, heading): Side, cells: &[usize]) -> u32 {
    cells.iter().position(|&other| other == cell).map_or(0, |at| 1 << (4 * at + heading.0))
}

/// Walks the stretch past a side into the legs of `spare`; the sides of the cells it passed.
fn walk(ground: &Ground, from: Side, cells: &[usize], joins: &Joins, spare: &mut Spare) -> u32 {
    let mut side = from;
    let mut beyond = 0;
    for _ in 0..MOST_SIDES {
        if side == first_side(ground) || beyond == BEYOND {
            break;
        }
        side = side_before(ground, joins, side);
        beyond = if cells.contains(&side.0) { 0 } else { beyond + 1 };
    }
    let legs = &mut spare.legs;
    legs.clear();
    if side == first_side(ground) {
        legs.extend(ground.leaders[0]);
        legs.push(first_corner(ground));
    }
    let mut passed = bit(from, cells);
    let mut beyond = 0;
    for _ in 0..2 * MOST_SIDES {
        let own = bit(side, cells);
        passed |= own;
        beyond = if own != 0 { 0 } else { beyond + 1 };
        if side == last_side(ground) {
            legs.extend(ground.leaders[1].iter().rev());
            break;
        }
        if beyond > BEYOND {
            break;
        }
        side = step(ground, joins, ground.radius, side, legs);
    }
    passed
}

#[cfg(test)]
mod tests {
    use super::super::cells::{CellRules, Cells, NONE};
    use super::super::field::{Field, Heading};
    use super::super::random::Dice;
    use super::super::rooted::{Rooted, heading_to};
    use super::super::tree::{Look, cut_join, grow, join, may_join};
    use super::*;
    use crate::geometry::{Point, Polygon};

    /// Joins are swapped at random; the stretches must tell the same change as the whole course.
    #[test]
    fn stretches_change_as_the_whole_course_does() {
        let room = [Polygon::rectangle(Point::new(0.0, 0.0), Point::new(120.0, 96.0))];
        let lanes = |count: u32| (0..count).map(|lane| 3.0 + 6.0 * f64::from(lane)).collect();
        let rules = CellRules { spacing: 6.0, least: 4.8, tubes: 1.0, may_push: false };
        let cells = Cells::new(&Field::new(&room).unwrap(), (lanes(20), lanes(16)), rules);
        let count = cells.list.len();
        let root = cells.at(4, 0).unwrap();
        let port = |lane: usize| {
            let x = cells.xs[lane];
            [Point::new(x, -60.0), Point::new(x, -30.0)]
        };
        let (owners, no_stub) = (vec![0; count], vec![0; count]);
        let (pulls, bad_tips) = (vec![[0.0; 4]; count], vec![0; count]);
        let ground = Ground {
            cells: &cells,
            owners: &owners,
            part: 0,
            root,
            opening: Heading(3),
            shortest_leg: 10.0,
            no_stub: &no_stub,
            spacing: 6.0,
            is_tight: true,
            is_crowded: true,
            radius: 5.0,
            pulls: &pulls,
            bad_tips: &bad_tips,
            leaders: [port(9), port(8)],
        };
        let mut joins: Joins = vec![0; count];
        grow(&ground, Look::FewBends, &mut joins);
        let members: Vec<usize> = (0..count).collect();
        let (mut dice, mut spare) = (Dice::new(5), Spare::default());
        let (mut swaps, mut unlike) = (0, 0);
        while swaps < 500 {
            let (cell, heading) = (dice.below(count), Heading(dice.below(4)));
            let other = cells.next(cell, heading.0);
            if other == NONE
                || joins[cell] & (1 << heading.0) != 0
                || !may_join(&ground, cell, heading)
            {
                continue;
            }
            let mut rooted = Rooted::new(&cells, &joins, std::iter::once(root));
            let nth = dice.below(rooted.find_way(cell, other));
            let cut = rooted.on_way(nth).unwrap();
            let cut_other = rooted.above(cut);
            let cut_heading = heading_to(&cells, cut, cut_other).unwrap();
            let touched = [cell, other, cut, cut_other];
            let mut costs = |joins: &Joins| {
                let near = cost_near(&[ground], |_| 0, &touched, joins, &mut spare);
                [near, ground.whole_cost(&members, joins, &mut spare)]
            };
            let before = costs(&joins);
            join(&mut joins, cell, other, heading);
            cut_join(&mut joins, cut, cut_other, cut_heading);
            let after = costs(&joins);
            swaps += 1;
            unlike += usize::from((after[0] - before[0] - after[1] + before[1]).abs() > 1e-6);
        }
        // Along stairs of short legs bends pair off from where one begins to count.
        assert!(unlike * 20 < swaps, "{unlike} of {swaps}");
    }
}
