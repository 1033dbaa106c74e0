//! Necks pushed aside: a part takes floor that another hangs together by, and that one goes round.
//!
//! Where parts run side by side through a narrow place, a part that lies within their turn can spread
//! into it only if all of them give way together, up to one that has floor to spare. So a part takes a
//! run of cells; the part that had them joins its pieces again by the shortest way round, over floor
//! of others; what of these falls apart by that goes round in its turn; and so on, until all are whole.
//! While a division is annealed the dice choose what is pushed; once it stands, every push for a part
//! that lacks much is looked at ([`push_apart`]).

#![expect(
    clippy::indexing_slicing,
    reason = "cell and part numbers come from this file's own loops over the same vectors"
)]

use super::branches::LITTLE_LACKED;
use super::{CORNER_COST, FEW_PARTS, LACKED, Owners, Shares, Table, owner};
use crate::effort::{Cancel, Cancelled};
use crate::tube::cells::NONE;
use std::collections::VecDeque;

/// The most cells that change sides in one go.
const MOST_MOVED: usize = 400;
/// The most cells looked at for one way round.
const MOST_LOOKED_AT: usize = 600;

/// A part that lacks such a share of what it should have is helped to runs in the end.
const MUCH: f64 = 0.09;
/// Runs that are looked at, in cells.
const RUNS: [usize; 8] = [1, 2, 3, 5, 8, 12, 16, LONGEST];
const LONGEST: usize = 24;
/// What a push must lower the energy by to be worth it.
const LEAST_GAIN: f64 = 0.5;
/// The most runs taken one after the other.
const MOST_PUSHES: usize = 24;

/// A run of cells of one part, for another beside it.
#[derive(Clone, Copy, Debug)]
pub struct Push {
    /// The first cell, beside the part that takes it.
    pub cell: usize,
    /// The part that takes the run.
    pub to: usize,
    /// The way the run goes on.
    pub heading: usize,
    /// Cells in it at most.
    pub most: usize,
    /// Whether no part goes round over floor of those that lack some.
    pub spares: bool,
}

/// Lets parts that lack floor push necks aside as long as that lowers the energy: every run that they
/// may take is looked at, not only those that the dice find.
///
/// # Errors
/// [`Cancelled`] when nobody waits for it any more.
pub fn push_apart(shares: &Shares, owners: &mut Owners, cancel: &Cancel) -> Result<(), Cancelled> {
    if shares.roots.len() <= FEW_PARTS {
        return Ok(());
    }
    let mut table = Table::new(shares, owners);
    table.corner_cost = CORNER_COST;
    for _ in 0..MOST_PUSHES {
        if cancel.is_raised() {
            return Err(Cancelled);
        }
        let Some(push) = table.best_push(owners) else { break };
        table.push_aside(owners, push, |_| true);
    }
    Ok(())
}

impl Table<'_> {
    /// Gives a run of cells to another part, and lets all that would fall apart go round, if the change
    /// of energy is wanted.
    pub fn push_aside(
        &mut self,
        owners: &mut Owners,
        push: Push,
        is_wanted: impl FnOnce(f64) -> bool,
    ) {
        self.handed.clear();
        let change = self.pushed(owners, push);
        let kept = if change.is_some_and(is_wanted) { self.handed.len() } else { 0 };
        self.take_back(owners, kept);
    }

    /// The run that lowers the energy most of all that the part which lacks most may take; where none
    /// does, of those that the next one may.
    fn best_push(&mut self, owners: &mut Owners) -> Option<Push> {
        let lacks_much = |part: &usize| {
            let much = MUCH * self.shares.targets[*part] / self.shares.usual;
            self.over[*part] < -much.max(LACKED)
        };
        let mut lacking: Vec<usize> = (0..self.over.len()).filter(lacks_much).collect();
        lacking.sort_by(|&a, &b| self.over[a].total_cmp(&self.over[b]));
        lacking.into_iter().find_map(|to| self.best_push_of(owners, to))
    }

    fn best_push_of(&mut self, owners: &mut Owners, to: usize) -> Option<Push> {
        let mut best: Option<(f64, Push)> = None;
        for push in self.pushes(owners, to) {
            self.handed.clear();
            let change = self.pushed(owners, push);
            self.take_back(owners, 0);
            let least = best.map_or(-LEAST_GAIN, |(least, _)| least);
            if let Some(change) = change.filter(|&change| change < least) {
                best = Some((change, push));
            }
        }
        best.map(|(_, push)| push)
    }

    /// Every run of every part beside one, for that part.
    fn pushes(&self, owners: &Owners, to: usize) -> Vec<Push> {
        let cells = self.shares.cells;
        let is_beside = |&cell: &usize| {
            let may_go = owners[cell] != NONE && owners[cell] != to && !self.is_root[cell];
            may_go && cells.beside(cell).iter().any(|&at| owner(owners, at) == to)
        };
        let mut pushes = Vec::new();
        for cell in (0..owners.len()).filter(is_beside) {
            for heading in 0..4 {
                let push = Push { cell, to, heading, most: LONGEST, spares: true };
                let longest = self.run(owners, push).len();
                // A single cell is the same one whichever way it goes on.
                let least = if heading == 0 { 1 } else { 2 };
                for most in RUNS.into_iter().filter(|most| (least..=longest).contains(most)) {
                    pushes.extend([true, false].map(|spares| Push { most, spares, ..push }));
                }
            }
        }
        pushes
    }

    /// By how much that changes the energy; `None` where a part finds no way round.
    fn pushed(&mut self, owners: &mut Owners, push: Push) -> Option<f64> {
        let mut unsure = vec![owners[push.cell]];
        // Parts over whose floor no other may go: they have gone round, or gain by it.
        let mut settled = vec![push.to];
        if push.spares {
            settled.extend((0..self.over.len()).filter(|&part| self.over[part] < -LITTLE_LACKED));
        }
        let mut change = self.hand_over(owners, &self.run(owners, push), push.to);
        while let Some(part) = unsure.pop() {
            let piece = self.piece_off(owners, part);
            if piece.is_empty() {
                continue;
            }
            if !settled.contains(&part) {
                settled.push(part);
            }
            let way = self.way_round(owners, piece, &settled)?;
            if self.handed.len() + way.len() > MOST_MOVED {
                return None;
            }
            // A part in more than two pieces goes round more than once.
            unsure.push(part);
            for loser in way.iter().map(|&cell| owners[cell]) {
                if !unsure.contains(&loser) {
                    unsure.push(loser);
                }
            }
            change += self.hand_over(owners, &way, part);
        }
        Some(change)
    }

    /// Gives cells to a part; by how much that changes the energy.
    fn hand_over(&mut self, owners: &mut Owners, cells: &[usize], to: usize) -> f64 {
        let mut change = 0.0;
        for &cell in cells {
            let (more, now) = self.handing(owners, cell, to);
            change += more;
            self.handed.push(self.runs.laid(owners, cell));
            self.give(owners, now);
        }
        change
    }

    /// The cells of a run.
    fn run(&self, owners: &Owners, push: Push) -> Vec<usize> {
        let (cells, from) = (self.shares.cells, owners[push.cell]);
        let next = |&at: &usize| {
            let next = cells.next(at, push.heading);
            (owner(owners, next) == from && !self.is_root[next]).then_some(next)
        };
        std::iter::successors(Some(push.cell), next).take(push.most).collect()
    }

    /// Cells of a part that no longer hang together with its root, by the cells it has lost just now:
    /// one piece of them, marked as seen in this look. What does is marked as seen in the look before.
    fn piece_off(&mut self, owners: &Owners, part: usize) -> Vec<usize> {
        self.looks += 1;
        self.reach(owners, (self.shares.roots[part], NONE));
        let lost = self.handed.iter().filter(|handed| handed.part == part);
        let beside = lost.flat_map(|handed| self.shares.cells.beside(handed.cell));
        let mut own = beside.filter(|&cell| owner(owners, cell) == part);
        let apart = own.find(|&cell| self.seen[cell] != self.looks);
        let Some(apart) = apart else { return Vec::new() };
        self.looks += 1;
        self.reach(owners, (apart, NONE))
    }

    /// The fewest cells over which a piece is joined to what was seen of its part in the look before,
    /// none of them of a part that is settled.
    fn way_round(
        &mut self,
        owners: &Owners,
        piece: Vec<usize>,
        settled: &[usize],
    ) -> Option<Vec<usize>> {
        let cells = self.shares.cells;
        let mut came: Vec<(usize, usize)> = piece.into_iter().map(|cell| (cell, NONE)).collect();
        let mut queue: VecDeque<usize> = (0..came.len()).collect();
        let most = came.len() + MOST_LOOKED_AT;
        while let Some(place) = queue.pop_front() {
            for next in cells.beside(came[place].0) {
                if next == NONE || self.seen[next] == self.looks {
                    continue;
                }
                if self.seen[next] + 1 == self.looks {
                    let back = |&at: &usize| Some(came[at].1).filter(|&before| before != NONE);
                    let way = std::iter::successors(Some(place), back);
                    let is_new = |at: &usize| came[*at].1 != NONE;
                    return Some(way.filter(is_new).map(|at| came[at].0).collect());
                }
                let part = owners[next];
                if part == NONE || self.is_root[next] || settled.contains(&part) {
                    continue;
                }
                if came.len() >= most {
                    return None;
                }
                self.seen[next] = self.looks;
                queue.push_back(came.len());
                came.push((next, place));
            }
        }
        None
    }
}

#[cfg(test)]
mod tests {
    use super::super::{Pushing, anneal};
    use super::*;
    use crate::effort::Cancel;
    use crate::tube::cells::Cells;
    use crate::tube::divide::Shares;
    use crate::tube::random::Dice;

    const COLUMNS: usize = 17;

    /// A floor whose parts lie in rows, from the south: so many rows for each part. Each has its root
    /// at the west wall.
    fn in_rows(rows: &[usize]) -> (Cells, Vec<usize>, Owners) {
        let deep: usize = rows.iter().sum();
        let cells = Cells::of_room(34, u32::try_from(2 * deep).unwrap());
        let part_of: Vec<usize> =
            rows.iter().enumerate().flat_map(|(part, &rows)| vec![part; rows]).collect();
        let owners: Owners = cells.list.iter().map(|cell| part_of[cell.at.1]).collect();
        let firsts = rows.iter().scan(0, |next, rows| {
            *next += rows;
            Some(*next - rows)
        });
        let roots = firsts.map(|row| cells.at(0, row).unwrap()).collect();
        (cells, roots, owners)
    }

    fn counts(owners: &Owners, parts: usize) -> Vec<usize> {
        (0..parts).map(|part| owners.iter().filter(|&&owner| owner == part).count()).collect()
    }

    /// Cells of each part after the last but one has given the last, in the north, a run of three.
    fn pushed(rows: &[usize]) -> Vec<usize> {
        let (cells, roots, mut owners) = in_rows(rows);
        let usual = cells.list[0].tube;
        let bad_tips = vec![0; owners.len()];
        let targets = vec![owners.len() as f64 * usual / rows.len() as f64; rows.len()];
        let shares = Shares { cells: &cells, roots: &roots, bad_tips: &bad_tips, targets, usual };
        let mut table = Table::new(&shares, &owners);
        let row = rows.iter().sum::<usize>() - 2;
        let cell = cells.at(7, row).unwrap();
        let push = Push { cell, to: rows.len() - 1, heading: 0, most: 3, spares: false };
        table.push_aside(&mut owners, push, |_| true);
        table.assert_whole(&owners);
        counts(&owners, rows.len())
    }

    #[test]
    fn rows_of_one_cell_go_round_up_to_the_part_that_has_floor_to_spare() {
        // Three, round those five, and round those seven.
        assert_eq!(pushed(&[2, 1, 1, 1]), [2 * COLUMNS - 7, COLUMNS + 2, COLUMNS + 2, COLUMNS + 3]);
        assert_eq!(pushed(&[2, 1, 1]), [2 * COLUMNS - 5, COLUMNS + 2, COLUMNS + 3]);
    }

    #[test]
    fn nothing_is_pushed_aside_where_no_part_has_floor_to_spare() {
        assert_eq!(pushed(&[1, 1, 1, 1]), [COLUMNS; 4]);
    }

    #[test]
    fn every_part_that_lacks_much_is_helped_to_floor_without_a_throw_of_the_dice() {
        let rows = [3, 1, 1, 1, 1];
        let (cells, roots, mut owners) = in_rows(&rows);
        let usual = cells.list[0].tube;
        let bad_tips = vec![0; owners.len()];
        let mean = owners.len() as f64 / rows.len() as f64;
        let targets = vec![mean * usual; rows.len()];
        let shares = Shares { cells: &cells, roots: &roots, bad_tips: &bad_tips, targets, usual };
        push_apart(&shares, &mut owners, &Cancel::new()).unwrap();
        Table::new(&shares, &owners).assert_whole(&owners);
        let counts = counts(&owners, rows.len());
        assert!(counts.iter().all(|&count| count as f64 >= mean - LACKED), "{counts:?}");
        // Nothing is left to do.
        let before = owners.clone();
        push_apart(&shares, &mut owners, &Cancel::new()).unwrap();
        assert_eq!(owners, before);
    }

    #[test]
    fn parts_stay_whole_and_come_out_even_where_rows_lie_between_them() {
        let rows = [3, 1, 1, 1, 1];
        let (cells, roots, start) = in_rows(&rows);
        let usual = cells.list[0].tube;
        let bad_tips = vec![0; start.len()];
        let targets = vec![start.len() as f64 * usual / rows.len() as f64; rows.len()];
        let shares = Shares { cells: &cells, roots: &roots, bad_tips: &bad_tips, targets, usual };
        for seed in 0..10 {
            let mut owners = start.clone();
            let pushing = if seed % 2 == 0 { Pushing::Late } else { Pushing::Throughout };
            let effort = (30_000, 1.0, pushing);
            anneal(&shares, &mut owners, effort, &mut Dice::new(seed), &Cancel::new()).unwrap();
            Table::new(&shares, &owners).assert_whole(&owners);
            let counts = counts(&owners, rows.len());
            let (least, most) = (counts.iter().min().unwrap(), counts.iter().max().unwrap());
            assert!(most - least < 6, "seed {seed}: {counts:?}");
        }
    }
}
