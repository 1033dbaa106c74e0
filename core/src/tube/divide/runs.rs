//! Which way runs of tube lie in the cells of a division, and where they end.
//!
//! Bends of the tube can be told before any tree is grown. The ribbon that a tree takes through a
//! cell lies level or upright there, and goes straight on into the next cell of the same part that
//! lies the same way. Where none does, the run ends: in a return, or beside a run that it branches
//! off from or turns into. That is two bends whichever it is (one of each run's where one turns
//! into another). Few ends are few, long runs: a part may then be a long strip, bent if need be,
//! and its border may be as ragged as it likes where runs end on it one beside the other.

#![expect(
    clippy::indexing_slicing,
    reason = "cell numbers come from the lists of neighbours of the same cells"
)]

use super::{Owners, owner};
use crate::tube::cells::{Cells, NONE};

/// Which way runs lie in a cell.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Way {
    /// East and west.
    Level,
    /// North and south.
    Upright,
}

impl Way {
    const fn other(self) -> Self {
        match self {
            Self::Level => Self::Upright,
            Self::Upright => Self::Level,
        }
    }

    /// The way that a heading goes.
    const fn of(heading: usize) -> Self {
        if heading.is_multiple_of(2) { Self::Level } else { Self::Upright }
    }

    /// The headings along it.
    const fn headings(self) -> [usize; 2] {
        match self {
            Self::Level => [0, 2],
            Self::Upright => [1, 3],
        }
    }
}

/// A cell as it lies or might: of which part, and which way its runs go.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Laid {
    /// The cell.
    pub cell: usize,
    /// The part it belongs to.
    pub part: usize,
    /// Which way its runs lie.
    pub way: Way,
}

/// What an end counts at which a bulb has no room: much of the run will have to be given up.
const BAD_END: u8 = 4;

/// Which way runs lie in every cell.
pub struct Runs<'a> {
    cells: &'a Cells,
    bad_tips: &'a [u8],
    ways: Vec<Way>,
}

impl<'a> Runs<'a> {
    /// Each cell with its part's longer run through it.
    #[must_use]
    pub fn longest((cells, bad_tips): (&'a Cells, &'a [u8]), owners: &Owners) -> Self {
        let level = run_lengths(cells, owners, Way::Level);
        let upright = run_lengths(cells, owners, Way::Upright);
        let way = |(level, upright)| if upright > level { Way::Upright } else { Way::Level };
        Self { cells, bad_tips, ways: level.into_iter().zip(upright).map(way).collect() }
    }

    /// A cell as it lies.
    #[must_use]
    pub fn laid(&self, owners: &Owners, cell: usize) -> Laid {
        Laid { cell, part: owners[cell], way: self.ways[cell] }
    }

    /// Lets the runs of a cell lie one way.
    pub fn lay(&mut self, cell: usize, way: Way) {
        self.ways[cell] = way;
    }

    /// A cell in a part, as it has the fewest ends there; and how many more than it has now.
    #[must_use]
    pub fn fewest_ends(&self, owners: &Owners, cell: usize, part: usize) -> (f64, Laid) {
        let now = self.laid(owners, cell);
        let [[kept, turned], [before, _]] = self.ends(owners, now.cell, [part, now.part]);
        let is_turned = turned < kept;
        let way = if is_turned { now.way.other() } else { now.way };
        (f64::from(kept.min(turned)) - f64::from(before), Laid { part, way, ..now })
    }

    /// Turns the runs of a cell and of those beside it that run side by side with it; by how many
    /// ends that adds. The cells turned are told.
    pub fn turn_across(&mut self, owners: &Owners, cell: usize, turned: &mut Vec<usize>) -> f64 {
        let Laid { part, way, .. } = self.laid(owners, cell);
        turned.clear();
        turned.push(cell);
        for heading in way.other().headings() {
            let mut at = self.cells.next(cell, heading);
            while at != NONE && owners[at] == part && self.ways[at] == way {
                turned.push(at);
                at = self.cells.next(at, heading);
            }
        }
        let mut more = 0.0;
        for &cell in turned.iter() {
            let [[kept, turned]] = self.ends(owners, cell, [part]);
            more += f64::from(turned) - f64::from(kept);
            self.ways[cell] = way.other();
        }
        more
    }

    /// Turns cells back.
    pub fn turn_back(&mut self, turned: &[usize]) {
        for &cell in turned {
            self.ways[cell] = self.ways[cell].other();
        }
    }

    /// What the ends of runs at the sides of a cell count, on both sides of each, if it were of one of
    /// some parts: as its runs lie, and if they were turned.
    fn ends<const PARTS: usize>(
        &self,
        owners: &Owners,
        cell: usize,
        parts: [usize; PARTS],
    ) -> [[u8; 2]; PARTS] {
        let mut ends = [[0; 2]; PARTS];
        for (heading, next) in self.cells.beside(cell).into_iter().enumerate() {
            let along = Way::of(heading);
            let owner = owner(owners, next);
            let comes = owner != NONE && self.ways[next] == along;
            let here = end_at(self.bad_tips[cell], heading);
            let there = if comes { end_at(self.bad_tips[next], (heading + 2) % 4) } else { 0 };
            let is_along = self.ways[cell] == along;
            for (part, ends) in parts.iter().zip(&mut ends) {
                // Beside another run of its part a run goes on, turns or branches off.
                let (if_along, if_across) = if owner == *part {
                    (u8::from(!comes), u8::from(comes))
                } else {
                    (here + there, there)
                };
                let (kept, turned) =
                    if is_along { (if_along, if_across) } else { (if_across, if_along) };
                ends[0] += kept;
                ends[1] += turned;
            }
        }
        ends
    }
}

/// What an end of a run counts at a side of a cell.
const fn end_at(bad_tips: u8, heading: usize) -> u8 {
    1 + (BAD_END - 1) * (bad_tips >> heading & 1)
}

/// How many cells of one part lie in the row or column of each without a gap.
fn run_lengths(cells: &Cells, owners: &Owners, way: Way) -> Vec<usize> {
    let [ahead, back] = way.headings();
    let next = |cell: usize, heading: usize| {
        let next = cells.next(cell, heading);
        (next != NONE && owners[next] == owners[cell]).then_some(next)
    };
    let mut lengths = vec![0; cells.list.len()];
    for first in (0..cells.list.len()).filter(|&cell| next(cell, back).is_none()) {
        let run: Vec<usize> = std::iter::successors(Some(first), |&at| next(at, ahead)).collect();
        for &cell in &run {
            lengths[cell] = run.len();
        }
    }
    lengths
}

#[cfg(test)]
mod tests {
    use super::*;

    /// What the ends of all runs count, each once.
    fn all_ends(runs: &Runs, owners: &Owners) -> u32 {
        let cells = runs.cells;
        let mut ends = 0;
        for (cell, &part) in owners.iter().enumerate() {
            for heading in runs.ways[cell].headings() {
                let next = cells.next(cell, heading);
                let is_own = next != NONE && owners[next] == part;
                if !is_own && runs.bad_tips[cell] & (1 << heading) != 0 {
                    ends += u32::from(BAD_END);
                } else if !is_own || runs.ways[next] != runs.ways[cell] {
                    ends += 1;
                }
            }
        }
        ends
    }

    #[test]
    fn a_room_lies_along_its_longer_wall_and_a_bent_strip_lies_both_ways() {
        let cells = Cells::of_room(20, 12);
        let runs = Runs::longest((&cells, &[0; 60]), &vec![0; 60]);
        assert!(runs.ways.iter().all(|&way| way == Way::Level));
        assert_eq!(all_ends(&runs, &vec![0; 60]), 12);
        // Two columns in the west and two rows in the south of another part.
        let is_bent = |(column, row): (usize, usize)| column < 2 || row < 2;
        let owners: Owners = cells.list.iter().map(|cell| usize::from(is_bent(cell.at))).collect();
        let runs = Runs::longest((&cells, &[0; 60]), &owners);
        let way = |column, row| runs.ways[cells.at(column, row).unwrap()];
        assert_eq!((way(0, 5), way(1, 3), way(8, 0)), (Way::Upright, Way::Upright, Way::Level));
        assert_eq!((way(5, 4), way(9, 5)), (Way::Level, Way::Level));
    }

    #[test]
    fn ends_told_for_a_change_are_those_counted_after_it() {
        use crate::tube::random::Dice;
        let cells = Cells::of_room(20, 12);
        let mut dice = Dice::new(11);
        let mut owners: Owners = (0..60).map(|_| dice.below(3)).collect();
        let bad_tips: Vec<u8> = (0..60).map(|_| u8::try_from(dice.below(16)).unwrap()).collect();
        let mut runs = Runs::longest((&cells, &bad_tips), &owners);
        let mut turned = Vec::new();
        for _ in 0..300 {
            let before = f64::from(all_ends(&runs, &owners));
            let cell = dice.below(60);
            let (more, laid) = runs.fewest_ends(&owners, cell, dice.below(3));
            (owners[cell], runs.ways[cell]) = (laid.part, laid.way);
            assert_eq!(f64::from(all_ends(&runs, &owners)), before + more);

            let before = f64::from(all_ends(&runs, &owners));
            let ways = runs.ways.clone();
            let more = runs.turn_across(&owners, dice.below(60), &mut turned);
            assert_eq!(f64::from(all_ends(&runs, &owners)), before + more);
            if more > 0.0 {
                runs.turn_back(&turned);
                assert_eq!(runs.ways, ways);
            }
        }
    }
}
