//! Which cell each cell of a forest hangs on, so that the way between two cells of a tree is found
//! without walking the whole tree.

#![expect(
    clippy::indexing_slicing,
    reason = "cell numbers come from the trees whose cells these lists count"
)]

use super::cells::{Cells, NONE};
use super::field::Heading;
use super::tree::Joins;

/// Trees seen from their roots.
#[derive(Clone, Debug)]
pub struct Rooted {
    /// The cell that each hangs on, [`NONE`] for roots and cells of no tree.
    above: Vec<usize>,
    /// The search in which a cell was last passed from either end, and its place on that climb.
    passed: Vec<[(u32, u32); 2]>,
    search: u32,
    /// Where the way found last begins and ends.
    ends: [usize; 2],
    /// The cells passed from either end, up to where both climbs meet.
    climbs: [Vec<usize>; 2],
}

impl Rooted {
    /// The trees of `joins` that hang on `roots`.
    #[must_use]
    pub fn new(cells: &Cells, joins: &Joins, roots: impl Iterator<Item = usize>) -> Self {
        let count = cells.list.len();
        let mut above = vec![NONE; count];
        let mut stack: Vec<usize> = roots.collect();
        while let Some(cell) = stack.pop() {
            for heading in Heading::ALL {
                let next = cells.next(cell, heading.0);
                if joins[cell] & (1 << heading.0) != 0 && next != above[cell] {
                    above[next] = cell;
                    stack.push(next);
                }
            }
        }
        let passed = vec![[(0, 0); 2]; count];
        Self { above, passed, search: 0, ends: [NONE; 2], climbs: [Vec::new(), Vec::new()] }
    }

    /// The cell that a cell hangs on, [`NONE`] for a root.
    #[must_use]
    pub fn above(&self, cell: usize) -> usize {
        self.above[cell]
    }

    /// Finds the way between two cells of one tree; how many joins it has, 0 where there is none.
    pub fn find_way(&mut self, from: usize, to: usize) -> usize {
        self.search += 1;
        self.ends = [from, to];
        let mut ends = self.ends;
        self.climbs.iter_mut().for_each(Vec::clear);
        loop {
            for (side, end) in ends.iter_mut().enumerate() {
                let cell = *end;
                if cell == NONE {
                    continue;
                }
                let passed = &mut self.passed[cell];
                let (search, place) = passed[1 - side];
                if search == self.search {
                    // The other climb went past the place where both meet.
                    self.climbs[1 - side].truncate(place as usize);
                    return self.climbs[0].len() + self.climbs[1].len();
                }
                // No climb is longer than there are cells, whose numbers take no more bits.
                let place = u32::try_from(self.climbs[side].len()).unwrap_or(u32::MAX);
                passed[side] = (self.search, place);
                self.climbs[side].push(cell);
                *end = self.above[cell];
            }
            if ends == [NONE; 2] {
                self.climbs.iter_mut().for_each(Vec::clear);
                return 0;
            }
        }
    }

    /// The lower cell of a join on the way found last, counted from its beginning.
    #[must_use]
    pub fn on_way(&self, nth: usize) -> Option<usize> {
        let [up, down] = &self.climbs;
        if nth < up.len() {
            return Some(up[nth]);
        }
        down.get(down.len().checked_sub(nth - up.len() + 1)?).copied()
    }

    /// Hangs what is below the nth join of the way found last on the other end of the way.
    pub fn hang_over(&mut self, nth: usize) {
        let [up, down] = &self.climbs;
        let [from, to] = self.ends;
        let (climb, cut, on) = if nth < up.len() {
            (up, nth, to)
        } else {
            (down, (up.len() + down.len()).saturating_sub(nth + 1), from)
        };
        let mut below = on;
        for &cell in climb.iter().take(cut + 1) {
            self.above[cell] = below;
            below = cell;
        }
    }

    /// Hangs a cell with all that hangs on it on another.
    pub fn hang(&mut self, cell: usize, on: usize) {
        self.above[cell] = on;
    }
}

/// The heading from a cell to the one beside it.
#[must_use]
pub fn heading_to(cells: &Cells, cell: usize, other: usize) -> Option<Heading> {
    Heading::ALL.into_iter().find(|heading| cells.next(cell, heading.0) == other)
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::tube::tree::{cut_join, join};

    /// Three rows of four cells, joined along the rows and up the first column; the root is the
    /// first cell of the lowest.
    fn comb() -> (Cells, Joins) {
        let cells = Cells::of_room(8, 6);
        let mut joins = vec![0; cells.list.len()];
        for row in 0..3 {
            for column in 0..3 {
                join(&mut joins, 4 * row + column, 4 * row + column + 1, Heading(0));
            }
        }
        join(&mut joins, 0, 4, Heading(1));
        join(&mut joins, 4, 8, Heading(1));
        (cells, joins)
    }

    #[test]
    fn the_way_between_two_teeth_goes_by_the_spine() {
        let (cells, joins) = comb();
        let mut rooted = Rooted::new(&cells, &joins, std::iter::once(0));
        assert_eq!(rooted.find_way(6, 9), 4);
        let way: Vec<usize> = (0..4).map(|nth| rooted.on_way(nth).unwrap()).collect();
        assert_eq!(way, [6, 5, 8, 9], "each join by its lower cell");
        assert_eq!(rooted.on_way(4), None);
        assert_eq!(rooted.find_way(3, 0), 3);
        assert_eq!(rooted.find_way(0, 3), 3);
        assert_eq!(rooted.on_way(0), Some(1));
    }

    #[test]
    fn trees_whose_joins_change_hang_as_if_seen_anew() {
        let (cells, mut joins) = comb();
        let mut rooted = Rooted::new(&cells, &joins, std::iter::once(0));
        // Between neighbouring teeth, cut in turn at every place there is.
        for (round, (from, to)) in [(3, 7), (6, 10), (1, 5), (11, 7)].into_iter().enumerate() {
            let heading = heading_to(&cells, from, to).unwrap();
            if joins[from] & (1 << heading.0) != 0 {
                continue;
            }
            let nth = round % rooted.find_way(from, to);
            let cut = rooted.on_way(nth).unwrap();
            let above = rooted.above(cut);
            cut_join(&mut joins, cut, above, heading_to(&cells, cut, above).unwrap());
            join(&mut joins, from, to, heading);
            rooted.hang_over(nth);
            let anew = Rooted::new(&cells, &joins, std::iter::once(0));
            assert_eq!(rooted.above, anew.above, "round {round}");
        }
    }
}
