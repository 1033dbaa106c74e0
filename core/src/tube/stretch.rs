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
