//! All trees of a zone bettered together, by the bends of the tube that runs round them.
//!
//! A division alone judges borders, a tree alone its own part; but where a border runs decides how
//! many bends each tree needs. So both are changed in one search: a join of a tree is swapped for
//! another, or a branch is taken off one tree and hung on the next, and what counts is bends,
//! floor that no stub serves, and lengths that are uneven.

#![expect(
    clippy::indexing_slicing,
    reason = "cell and part numbers come from this file's own loops over the same vectors"
)]

use super::cells::{Cells, NONE};
use super::divide::Owners;
use super::field::Heading;
use super::random::Dice;
use super::rooted::{Rooted, heading_to};
use super::stretch::cost_near;
use super::tree::{Ground, Joins, Spare, cut_join, join, may_join, pick};
use crate::geometry::Point;

/// The most cells of a branch that changes trees.
const MOST_MOVED: usize = 12;
/// Heat of a new search: a change for the worse by so much is taken with the chance 1/e.
const HOT: f64 = 0.8;
/// What uneven lengths cost: the square of a part's surplus in usual cells, times this.
const UNEVEN_COST: f64 = 0.3;
/// Where returns are bulbs, so many more corners are hardly ever made good by what becomes of those:
/// of 10,000 such swaps two are taken.
const HOPELESS: f64 = 3.5;

/// What lengths the trees should have.
#[derive(Clone, Copy, Debug)]
pub struct Goal<'a> {
    /// Tube of each part, inches.
    pub targets: &'a [f64],
    /// Tube in a usual cell, inches.
    pub usual: f64,
    /// Which trees are bettered.
    pub within: Within,
}

/// Which trees are bettered, or where.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum Within {
    /// All of them.
    All,
    /// One, in itself.
    Part(usize),
    /// All of them, but no farther from a place than this, inches.
    Near(Point, f64),
}

/// Betters trees by so many tries, starting at a heat.
pub fn better(
    grounds: &[Ground],
    goal: Goal,
    (owners, joins): (&mut Owners, &mut Joins),
    (tries, start): (usize, f64),
    dice: &mut Dice,
) {
    let Some(cells) = grounds.first().map(|ground| ground.cells) else { return };
    let is_movable = |cell: usize| match goal.within {
        Within::All => owners[cell] != NONE,
        Within::Part(own) => owners[cell] == own,
        Within::Near(place, reach) => {
            owners[cell] != NONE && cells.list[cell].middle().distance(place) < reach
        }
    };
    let movable: Vec<usize> = (0..owners.len()).filter(|&cell| is_movable(cell)).collect();
    if movable.is_empty() {
        return;
    }
    let is_tight = grounds.iter().any(|ground| ground.is_tight);
    let mut spare = Spare::default();
    let mut rooted = Rooted::new(cells, joins, grounds.iter().map(|ground| ground.root));
    let costs = costs(grounds, cells);
    let mut branch = Vec::new();
    let mut sizes = vec![0.0; grounds.len()];
    for cell in (0..owners.len()).filter(|&cell| owners[cell] != NONE) {
        sizes[owners[cell]] += cells.list[cell].tube;
    }
    for step in 0..tries {
        let cell = movable[dice.below(movable.len())];
        let heading = Heading(dice.below(4));
        let other = cells.next(cell, heading.0);
        if other == NONE || owners[other] == NONE || joins[cell] & (1 << heading.0) != 0 {
            continue;
        }
        let (from, to) = (owners[cell], owners[other]);
        if from != to && matches!(goal.within, Within::Part(_)) {
            continue;
        }
        if !may_join(&grounds[from], cell, heading) || !may_join(&grounds[to], cell, heading) {
            continue;
        }
        branch.clear();
        let (nth, cut) = if from == to {
            let nth = pick(rooted.find_way(cell, other), dice);
            (nth, rooted.on_way(nth))
        } else {
            // The more joins a cell has, the less often what hangs on it is moved.
            let away = nth_join(joins[cell], dice.below(joins[cell].count_ones() as usize));
            let is_branch = away.is_some_and(|away| {
                cells.next(cell, away.0) == rooted.above(cell)
                    && branch_below(cells, joins, &rooted, cell, &mut branch)
            });
            (0, is_branch.then_some(cell))
        };
        let Some(cut) = cut else { continue };
        let Some(cut_heading) = heading_to(cells, cut, rooted.above(cut)) else { continue };
        let swap = Swap { cells, made: (cell, heading), cut: (cut, cut_heading) };
        let touched = swap.touched();
        let plain = |joins: &Joins| -> f64 {
            touched
                .iter()
                .enumerate()
                .filter(|(n, cell)| !touched[..*n].contains(cell))
                .map(|(_, &cell)| costs[cell][joins[cell] as usize])
                .sum()
        };
        let before = plain(joins);
        swap.make(joins);
        let mut change = plain(joins) - before;
        if is_tight {
            let mut near = |joins: &Joins, own: usize| -> f64 {
                let part_of = |at: usize| if at == cell { own } else { owners[at] };
                cost_near(grounds, part_of, &touched, joins, &mut spare)
            };
            swap.undo(joins);
            if change > HOPELESS {
                continue;
            }
            let before = near(joins, from);
            swap.make(joins);
            change = near(joins, to) - before;
        }
        let moved: f64 = branch.iter().map(|&cell| cells.list[cell].tube).sum();
        let surplus = |part: usize| (sizes[part] - goal.targets[part]) / goal.usual;
        let share = moved / goal.usual;
        let uneven = 2.0 * share * (surplus(to) - surplus(from) + share);
        change += UNEVEN_COST * uneven;
        let heat = HOT * start * (1.0 - step as f64 / tries as f64) + 0.02;
        if !dice.takes(change / heat) {
            swap.undo(joins);
            continue;
        }
        if from == to {
            rooted.hang_over(nth);
        } else {
            rooted.hang(cell, other);
        }
        for &cell in &branch {
            owners[cell] = to;
        }
        sizes[from] -= moved;
        sizes[to] += moved;
    }
}

/// A join made and another cut for it.
struct Swap<'a> {
    cells: &'a Cells,
    made: (usize, Heading),
    cut: (usize, Heading),
}

impl Swap<'_> {
    fn beside(&self, (cell, heading): (usize, Heading)) -> usize {
        self.cells.next(cell, heading.0)
    }

    /// The cells whose joins change.
    fn touched(&self) -> [usize; 4] {
        [self.made.0, self.beside(self.made), self.cut.0, self.beside(self.cut)]
    }

    fn make(&self, joins: &mut Joins) {
        join(joins, self.made.0, self.beside(self.made), self.made.1);
        cut_join(joins, self.cut.0, self.beside(self.cut), self.cut.1);
    }

    fn undo(&self, joins: &mut Joins) {
        join(joins, self.cut.0, self.beside(self.cut), self.cut.1);
        cut_join(joins, self.made.0, self.beside(self.made), self.made.1);
    }
}

/// What each cell costs with each set of joins.
fn costs(grounds: &[Ground], cells: &Cells) -> Vec<[f64; 16]> {
    let Some(any) = grounds.first() else { return Vec::new() };
    // Only a root costs other than the same cell would in another part.
    let mut own = vec![any; cells.list.len()];
    for ground in grounds {
        own[ground.root] = ground;
    }
    let of = |(cell, ground): (usize, &&Ground)| {
        std::array::from_fn(|joins| ground.cost_with(cell, u8::try_from(joins).unwrap_or(0)))
    };
    own.iter().enumerate().map(of).collect()
}

fn nth_join(joins: u8, nth: usize) -> Option<Heading> {
    Heading::ALL.into_iter().filter(|heading| joins & (1 << heading.0) != 0).nth(nth)
}

/// Collects a cell and what hangs on it; `false` when it is a root or they are too many.
fn branch_below(
    cells: &Cells,
    joins: &Joins,
    rooted: &Rooted,
    cell: usize,
    branch: &mut Vec<usize>,
) -> bool {
    if rooted.above(cell) == NONE {
        return false;
    }
    branch.push(cell);
    let mut next = 0;
    while let Some(&at) = branch.get(next) {
        next += 1;
        for heading in Heading::ALL {
            let below = cells.next(at, heading.0);
            if joins[at] & (1 << heading.0) != 0 && below != rooted.above(at) {
                branch.push(below);
            }
        }
        if branch.len() > MOST_MOVED {
            return false;
        }
    }
    true
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::tube::tree::{Look, grow};

    /// A part from its root: every stub fits, no bulb is drawn back and none bows over the rim.
    fn ground<'a>(
        cells: &'a Cells,
        (none, pulls): &'a (Vec<u8>, Vec<[f64; 4]>),
        (part, root): (usize, usize),
    ) -> Ground<'a> {
        Ground {
            cells,
            owners: &[],
            part,
            root,
            opening: Heading(3),
            shortest_leg: 10.0,
            no_stub: none,
            spacing: 12.0,
            is_tight: false,
            is_crowded: false,
            radius: 5.0,
            pulls,
            bad_tips: none,
            leaders: [[Point::ORIGIN; 2]; 2],
        }
    }

    /// Cells that a root reaches through joins.
    fn reached(cells: &Cells, joins: &Joins, root: usize) -> Vec<usize> {
        let mut found = vec![root];
        let mut next = 0;
        while let Some(&cell) = found.get(next) {
            next += 1;
            for heading in Heading::ALL {
                let other = cells.next(cell, heading.0);
                if joins[cell] & (1 << heading.0) != 0 && !found.contains(&other) {
                    found.push(other);
                }
            }
        }
        found
    }

    #[test]
    fn trees_stay_trees_and_take_fewer_bends() {
        let cells = Cells::of_room(20, 12);
        let count = cells.list.len();
        assert_eq!(count, 60);
        // A ragged border between two parts.
        let border = [3, 7, 2, 6, 4, 8];
        let mut owners: Owners =
            cells.list.iter().map(|cell| usize::from(cell.at.0 >= border[cell.at.1])).collect();
        let roots = [0, 9].map(|column| cells.at(column, 0).unwrap());
        let marks = (vec![0; count], vec![[0.0; 4]; count]);
        let on = |part: usize| ground(&cells, &marks, (part, roots[part]));
        let mut joins: Joins = vec![0; count];
        for part in 0..2 {
            grow(&Ground { owners: &owners, ..on(part) }, Look::FewBends, &mut joins);
        }
        let grounds = [on(0), on(1)];
        let cost =
            |joins: &Joins| -> f64 { (0..count).map(|cell| grounds[0].cost(cell, joins)).sum() };
        let before = cost(&joins);
        let usual = cells.list[0].tube;
        let goal = Goal { targets: &[30.0 * usual, 30.0 * usual], usual, within: Within::All };
        let mut dice = Dice::new(7);
        better(&grounds, goal, (&mut owners, &mut joins), (12_000, 1.0), &mut dice);
        assert!(cost(&joins) < before, "{} {before}", cost(&joins));
        for (part, &root) in roots.iter().enumerate() {
            let own = reached(&cells, &joins, root);
            assert!((27..=33).contains(&own.len()), "{}", own.len());
            assert!(own.iter().all(|&cell| owners[cell] == part));
            let ends: u32 = own.iter().map(|&cell| joins[cell].count_ones()).sum();
            assert_eq!(ends as usize, 2 * (own.len() - 1), "a tree has one join less than cells");
        }
    }

    #[test]
    fn trees_about_a_place_change_and_stay_trees() {
        let cells = Cells::of_room(20, 12);
        let count = cells.list.len();
        let mut owners: Owners =
            cells.list.iter().map(|cell| usize::from(cell.at.0 >= 5 - cell.at.1 % 2)).collect();
        let marks = (vec![0; count], vec![[0.0; 4]; count]);
        let on = |part, column| ground(&cells, &marks, (part, cells.at(column, 0).unwrap()));
        let grounds = [on(0, 0), on(1, 9)];
        let mut joins: Joins = vec![0; count];
        for ground in grounds {
            grow(&Ground { owners: &owners, ..ground }, Look::FewBends, &mut joins);
        }
        let usual = cells.list[0].tube;
        let within = Within::Near(Point::new(120.0, 120.0), 50.0);
        let goal = Goal { targets: &[30.0 * usual, 30.0 * usual], usual, within };
        let before = joins.clone();
        better(&grounds, goal, (&mut owners, &mut joins), (4_000, 1.0), &mut Dice::new(3));
        assert_ne!(joins, before);
        for (part, ground) in grounds.iter().enumerate() {
            let own = reached(&cells, &joins, ground.root);
            assert_eq!(own.len(), owners.iter().filter(|&&owner| owner == part).count());
        }
    }
}
