//! The eight cells round a cell: whether its part hangs together without it, and what corners the
//! borders have at its own.
//!
//! Asked millions of times for one division, so that what does not change is looked up once, and kept
//! in few bytes.

#![expect(
    clippy::indexing_slicing,
    reason = "cell numbers come from the cells that these lists count, quarters from this file's loops"
)]

use crate::tube::cells::{Cells, NONE};
use crate::tube::divide::{Owners, owner};

/// The bits of a ring that are its sides, from the east on; those after them are its corners.
const SIDES: u8 = 0b0101_0101;

/// What lies round each cell.
pub struct Rings {
    /// The eight cells, counter-clockwise from the east; [`u32::MAX`] where there is none.
    round: Vec<[u32; 8]>,
    /// Which of its sides a cell may be joined across: a bit for each, in the order of the ring.
    open: Vec<u8>,
    /// From which of its sides the tube may go on to the next one by the corner between them: a bit
    /// for each, in the order of the ring.
    turning: Vec<u8>,
}

impl Rings {
    /// The rings of all cells.
    pub fn new(cells: &Cells) -> Self {
        let around = [(1, 0), (1, 1), (0, 1), (-1, 1), (-1, 0), (-1, -1), (0, -1), (1, -1)];
        let number = |cell: usize, (columns, rows): (isize, isize)| {
            let (column, row) = cells.list[cell].at;
            let beside =
                cells.at(column.checked_add_signed(columns)?, row.checked_add_signed(rows)?)?;
            u32::try_from(beside).ok()
        };
        let ring = |cell: usize| around.map(|away| number(cell, away).unwrap_or(u32::MAX));
        let round: Vec<[u32; 8]> = (0..cells.list.len()).map(ring).collect();
        let are_joined = |from: u32, to: u32| {
            let known = from != u32::MAX && to != u32::MAX;
            known && cells.beside(from as usize).contains(&(to as usize))
        };
        let bits = |holds: &dyn Fn(usize) -> bool| -> u8 {
            (0..4).map(|quarter| u8::from(holds(quarter)) << (2 * quarter)).sum()
        };
        let open = |cell: usize| bits(&|quarter| cells.next(cell, quarter) != NONE);
        let turning = |(cell, ring): (usize, &[u32; 8])| {
            bits(&|quarter| {
                let [side, corner, next] =
                    [0, 1, 2].map(|further| ring[(2 * quarter + further) % 8]);
                cells.next(cell, (quarter + 1) % 4) != NONE
                    && are_joined(side, corner)
                    && are_joined(corner, next)
            })
        };
        Self {
            open: (0..cells.list.len()).map(open).collect(),
            turning: round.iter().enumerate().map(turning).collect(),
            round,
        }
    }

    /// Whether the part that a cell leaves stays in one piece, judged by the ring round it.
    pub fn stays_whole(&self, owners: &Owners, cell: usize) -> bool {
        let own = owners[cell];
        let mut ring = 0_u8;
        for (place, &other) in self.round[cell].iter().enumerate() {
            ring |= u8::from(owner(owners, other as usize) == own) << place;
        }
        let sides = ring & SIDES & self.open[cell];
        // Joined by way of the corner between two sides.
        let joined = sides & (ring >> 1) & ring.rotate_right(2) & self.turning[cell];
        sides != 0 && (sides & !joined).count_ones() <= 1
    }

    /// How many corners more the borders have round a cell in another part than in its own.
    pub fn more_corners(&self, owners: &Owners, cell: usize, new: usize) -> f64 {
        let old = owners[cell];
        let ring = self.round[cell].map(|other| owner(owners, other as usize));
        let mut more = 0_i8;
        for quarter in 0..4 {
            let (a, b, c) = (ring[2 * quarter], ring[2 * quarter + 1], ring[(2 * quarter + 2) % 8]);
            more += i8::from(is_corner(new, a, b, c)) - i8::from(is_corner(old, a, b, c));
        }
        f64::from(more)
    }
}

/// Whether four cells round a point are neither all of one part nor split straight.
const fn is_corner(own: usize, beside: usize, opposite: usize, other: usize) -> bool {
    !((own == beside && opposite == other) || (own == other && opposite == beside))
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::tube::random::Dice;

    #[test]
    fn a_part_stays_whole_where_its_sides_hang_together_round_the_cell() {
        let mut cells = Cells::of_room(6, 6);
        // The middle one of nine cells, and what else is of its part, row by row from the north.
        let is_whole = |cells: &Cells, rows: [&str; 3]| {
            let is_own = |(column, row): (usize, usize)| rows[2 - row].as_bytes()[column] == b'#';
            let owners: Owners =
                cells.list.iter().map(|cell| usize::from(is_own(cell.at))).collect();
            Rings::new(cells).stays_whole(&owners, cells.at(1, 1).unwrap())
        };
        assert!(is_whole(&cells, ["...", ".##", "..."]), "a tip");
        assert!(is_whole(&cells, ["##.", "##.", "..."]));
        assert!(!is_whole(&cells, [".#.", "##.", "..."]), "the corner is not its own");
        assert!(!is_whole(&cells, ["...", "###", "..."]));
        assert!(is_whole(&cells, ["###", "###", "..."]));
        assert!(!is_whole(&cells, ["###", "###", ".#."]));
        assert!(is_whole(&cells, ["###", "###", "##."]));
        assert!(!is_whole(&cells, ["...", ".#.", "..."]), "nothing would be left of it");
        assert!(!is_whole(&cells, ["#..", ".#.", "..."]));
        // Tube cannot go on from the north side to the corner.
        let (north, corner) = (cells.at(1, 2).unwrap(), cells.at(0, 2).unwrap());
        assert_eq!(cells.next(north, 2), corner);
        cells.set_aside(corner);
        assert!(!is_whole(&cells, ["##.", "##.", "..."]));
    }

    #[test]
    fn corners_told_for_a_change_are_those_counted_after_it() {
        let cells = Cells::of_room(16, 12);
        let rings = Rings::new(&cells);
        let mut dice = Dice::new(5);
        let mut owners: Owners = (0..cells.list.len()).map(|_| dice.below(3)).collect();
        let part = |owners: &Owners, column: usize, row: usize| {
            let inner = column.checked_sub(1).zip(row.checked_sub(1));
            inner.and_then(|(column, row)| cells.at(column, row)).map_or(NONE, |cell| owners[cell])
        };
        // At every crossing of the lines between cells, and round the room.
        let all = |owners: &Owners| -> f64 {
            let crossings = (0..9).flat_map(|column| (0..7).map(move |row| (column, row)));
            let corners = crossings.filter(|&(column, row)| {
                let [a, b, c, d] = [(0, 0), (1, 0), (1, 1), (0, 1)]
                    .map(|(east, north)| part(owners, column + east, row + north));
                is_corner(a, b, c, d)
            });
            corners.count() as f64
        };
        for _ in 0..200 {
            let (cell, new) = (dice.below(owners.len()), dice.below(3));
            let before = all(&owners);
            let more = rings.more_corners(&owners, cell, new);
            owners[cell] = new;
            assert_eq!(all(&owners), before + more);
        }
    }
}
