//! The floor in blocks of two by two cells, for sharing it out where parts must be wide.
//!
//! Where a return between neighbours must be a bulb, a part one cell wide can only be a dead end.
//! So the floor is shared out by whole blocks: each part then has room for tube out and back, two
//! ribbons side by side. It is also the quicker way, with a quarter of the cells.

#![expect(clippy::indexing_slicing, reason = "cell and block numbers come from the same vectors")]

use super::cells::{Cell, Cells, NONE};
use super::divide::Owners;

/// Blocks of cells.
#[derive(Clone, Debug)]
pub struct Coarse {
    /// The blocks, as cells twice as large; they have neighbours and tube, but no lanes.
    pub blocks: Cells,
    /// The block of each cell; [`NONE`] for cells cut off from the rest of their block.
    block_of: Vec<usize>,
}

impl Coarse {
    /// The blocks of some cells.
    #[must_use]
    pub fn new(cells: &Cells) -> Self {
        let (columns, rows) = cells.size();
        let size = (columns.div_ceil(2), rows.div_ceil(2));
        let mut block_of = vec![NONE; cells.list.len()];
        let mut list: Vec<Cell> = Vec::new();
        for row in 0..size.1 {
            for column in 0..size.0 {
                let members = largest_piece(cells, (column, row));
                let Some(&first) = members.first() else { continue };
                for &cell in &members {
                    block_of[cell] = list.len();
                }
                list.push(Cell {
                    at: (column, row),
                    corners: cells.list[first].corners,
                    beside: [NONE; 4],
                    stubs: [[0.0; 2]; 4],
                    tube: members.iter().map(|&cell| cells.list[cell].tube).sum(),
                });
            }
        }
        for (cell, shape) in cells.list.iter().enumerate() {
            for (heading, &other) in shape.beside.iter().enumerate() {
                let (from, to) =
                    (block_of[cell], if other == NONE { NONE } else { block_of[other] });
                if from != NONE && to != NONE && from != to {
                    list[from].beside[heading] = to;
                }
            }
        }
        Self { blocks: Cells::of_blocks(list, size), block_of }
    }

    /// The blocks of roots; `None` where two share one.
    #[must_use]
    pub fn roots(&self, roots: &[usize]) -> Option<Vec<usize>> {
        let blocks: Vec<usize> = roots.iter().map(|&root| self.block_of[root]).collect();
        let distinct: std::collections::BTreeSet<usize> = blocks.iter().copied().collect();
        (distinct.len() == blocks.len() && !distinct.contains(&NONE)).then_some(blocks)
    }

    /// Whose cell is whose, given whose block is whose. Cells cut off from their block go to the
    /// part beside them.
    #[must_use]
    pub fn spread(&self, cells: &Cells, owners: &Owners) -> Owners {
        let mut spread: Owners = self
            .block_of
            .iter()
            .map(|&block| if block == NONE { NONE } else { owners[block] })
            .collect();
        for _ in 0..4 {
            for cell in 0..spread.len() {
                if spread[cell] == NONE {
                    let beside = cells.list[cell].beside.iter();
                    spread[cell] = beside
                        .filter(|&&other| other != NONE)
                        .map(|&other| spread[other])
                        .find(|&owner| owner != NONE)
                        .unwrap_or(NONE);
                }
            }
        }
        spread
    }
}

/// The cells of a block that hang together, the most of them.
fn largest_piece(cells: &Cells, (column, row): (usize, usize)) -> Vec<usize> {
    let places = [(0, 0), (1, 0), (1, 1), (0, 1)];
    let all: Vec<usize> =
        places.iter().filter_map(|(dx, dy)| cells.at(2 * column + dx, 2 * row + dy)).collect();
    let mut best: Vec<usize> = Vec::new();
    for &start in &all {
        let mut piece = vec![start];
        let mut next = 0;
        while let Some(&cell) = piece.get(next) {
            next += 1;
            for other in cells.list[cell].beside {
                if all.contains(&other) && !piece.contains(&other) {
                    piece.push(other);
                }
            }
        }
        if piece.len() > best.len() {
            best = piece;
        }
    }
    best
}
