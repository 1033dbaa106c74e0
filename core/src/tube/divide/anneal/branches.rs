//! Floor that changes sides with the cell that it hangs on.
//!
//! A cell without which its part would fall apart cannot change sides alone. Where parts run side by
//! side through a narrow place each of them is one cell wide: a part that lies between such has no way
//! to more floor, however short it is. So a cell changes sides with its *branch*, all floor that its
//! part reaches through it alone. The part that gave it lacks it then, and takes a branch of another
//! in its stead, and so on: what one part lacks wanders to where there is floor for it, and is shared
//! among all that it passes.

#![expect(
    clippy::indexing_slicing,
    reason = "cell and part numbers come from this file's own loops over the same vectors"
)]

use super::{MUCH_WORSE, Owners, SURPLUS_COST, Table, owner};
use crate::tube::cells::NONE;

/// A part that lacks so many usual cells takes branches of others that leave those short of floor.
pub const MUCH_LACKED: f64 = 8.0;
/// A part that has given so much more than it has is given another's branch.
pub const LITTLE_LACKED: f64 = 2.0;
/// So many branches change sides in a row.
pub const MOST_LINKS: usize = 8;
/// A row of them may leave the division worse on its way by so much, as a share of what it costs that
/// the first part lacks floor.
const WORSE_ON_THE_WAY: f64 = 2.0;

impl Table<'_> {
    /// Gives a cell to another part with its branch, and up to `links` branches in all: each the one
    /// by which the part that gave the last gains most. As many of them are kept as leave the least
    /// energy, if that change of it is wanted.
    pub fn hand_branches_on(
        &mut self,
        owners: &mut Owners,
        (cell, to): (usize, usize),
        links: usize,
        is_wanted: impl FnOnce(f64) -> bool,
    ) {
        self.handed.clear();
        let lacked = if links > 1 { self.over[to].min(0.0) } else { 0.0 };
        let most = MUCH_WORSE + WORSE_ON_THE_WAY * SURPLUS_COST * lacked * lacked;
        let first = self.branch(owners, cell);
        let (mut change, mut best) = (0.0, (f64::INFINITY, 0));
        let mut next =
            Some((first, to)).filter(|(first, to)| self.surplus(owners, first, *to) < most);
        for link in 1..=links {
            let Some((branch, to)) = next.take() else { break };
            let Some(from) = branch.first().map(|&cell| owners[cell]) else { break };
            for cell in branch {
                let (more, now) = self.handing(owners, cell, to);
                change += more;
                self.handed.push(self.runs.laid(owners, cell));
                self.give(owners, now);
            }
            if change < best.0 {
                best = (change, self.handed.len());
            }
            if link == links || change > most || self.over[from] > -LITTLE_LACKED {
                break;
            }
            next = self.best_branch(owners, from).map(|branch| (branch, from));
        }
        let kept = if is_wanted(best.0) { best.1 } else { 0 };
        self.take_back(owners, kept);
    }

    /// The branch of another part by which a part gains most, of those that did not change sides just
    /// now.
    fn best_branch(&mut self, owners: &Owners, to: usize) -> Option<Vec<usize>> {
        let cells = self.shares.cells;
        let own = (0..owners.len()).filter(|&cell| owners[cell] == to);
        let beside = own.flat_map(|cell| cells.beside(cell));
        let is_other = |&cell: &usize| {
            let part = owner(owners, cell);
            part != NONE
                && part != to
                && !self.is_root[cell]
                && self.handed.iter().all(|handed| handed.cell != cell)
        };
        let mut border: Vec<usize> = beside.filter(is_other).collect();
        border.sort_unstable();
        border.dedup();
        let with_surplus = border.into_iter().map(|cell| {
            let branch = self.branch(owners, cell);
            (self.surplus(owners, &branch, to), branch)
        });
        with_surplus.min_by(|a, b| a.0.total_cmp(&b.0)).map(|(_, branch)| branch)
    }

    /// By how much the energy of unequal length changes where a branch changes sides.
    fn surplus(&self, owners: &Owners, branch: &[usize], to: usize) -> f64 {
        let Some(from) = branch.first().map(|&cell| owners[cell]) else { return 0.0 };
        let tube: f64 = branch.iter().map(|&cell| self.tube[cell]).sum();
        self.surplus_of(tube, (from, to))
    }

    /// A cell and all floor that its part reaches from its root through that cell alone, the cell
    /// first.
    fn branch(&mut self, owners: &Owners, cell: usize) -> Vec<usize> {
        let own = owners[cell];
        self.looks += 1;
        self.reach(owners, (self.shares.roots[own], cell));
        self.reach(owners, (cell, cell))
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

    /// Parts of a floor of three rows of cells, row by row from the north: a letter each.
    fn drawn(cells: &Cells, rows: [&str; 3]) -> Owners {
        let letter = |(column, row): (usize, usize)| rows[2 - row].as_bytes()[column];
        cells.list.iter().map(|cell| usize::from(letter(cell.at) - b'A')).collect()
    }

    /// Part B lies within a turn of A, and A within a turn of C; none is more than a cell wide. So
    /// many cells each should have.
    const HEMMED_IN: [&str; 3] = ["BBBBBAAAAAAAAAAAA", "AAAAAACCCCCCCCCCC", "CCCCCCCDDDDDDDDDD"];

    fn hemmed_in(wanted: [f64; 4]) -> (Cells, [usize; 4], Vec<f64>, Owners) {
        let cells = Cells::of_room(34, 6);
        let roots =
            [(0, 1), (0, 2), (0, 0), (16, 0)].map(|(column, row)| cells.at(column, row).unwrap());
        let tube = cells.list[0].tube;
        let owners = drawn(&cells, HEMMED_IN);
        (cells, roots, wanted.map(|cells| cells * tube).to_vec(), owners)
    }

    fn counts(owners: &Owners) -> [usize; 4] {
        [0, 1, 2, 3].map(|part| owners.iter().filter(|&&owner| owner == part).count())
    }

    #[test]
    fn a_part_that_is_hemmed_in_takes_a_branch_of_the_part_about_it() {
        let (cells, roots, targets, mut owners) = hemmed_in([9.0, 14.0, 18.0, 10.0]);
        assert_eq!(counts(&owners), [18, 5, 18, 10]);
        let usual = cells.list[0].tube;
        let shares = Shares { cells: &cells, roots: &roots, bad_tips: &[0; 51], targets, usual };
        let effort = (60_000, 0.0, Pushing::Late);
        anneal(&shares, &mut owners, effort, &mut Dice::new(3), &Cancel::new()).unwrap();
        let [a, b, ..] = counts(&owners);
        assert!(b > 10 && a < 12, "{owners:?}");
    }

    #[test]
    fn what_the_part_about_it_lacks_then_comes_from_the_next() {
        let (cells, roots, targets, owners) = hemmed_in([18.0, 14.0, 9.0, 10.0]);
        let usual = cells.list[0].tube;
        let shares = Shares { cells: &cells, roots: &roots, bad_tips: &[0; 51], targets, usual };
        let turn = cells.at(5, 2).unwrap();
        let handed = |links| {
            let mut owners = owners.clone();
            let mut table = Table::new(&shares, &owners);
            table.hand_branches_on(&mut owners, (turn, 1), links, |change| change < 0.0);
            table.assert_whole(&owners);
            counts(&owners)
        };
        assert_eq!(handed(1), [18, 5, 18, 10]);
        assert_eq!(handed(MOST_LINKS), [19, 17, 5, 10]);
    }

    #[test]
    fn parts_stay_whole_where_branches_are_handed_on() {
        let (cells, roots, targets, start) = hemmed_in([14.0, 13.0, 13.0, 11.0]);
        let usual = cells.list[0].tube;
        let shares = Shares { cells: &cells, roots: &roots, bad_tips: &[0; 51], targets, usual };
        for seed in 0..10 {
            let mut owners = start.clone();
            let effort = (8_000, 1.0, Pushing::Late);
            anneal(&shares, &mut owners, effort, &mut Dice::new(seed), &Cancel::new()).unwrap();
            Table::new(&shares, &owners).assert_whole(&owners);
        }
    }
}
