//! A path out along a tree of blocks of two by two cells and back beside itself.
//!
//! Two ribbons lie in every lane of blocks, so that returns are nested and few are tight: the
//! pattern for spacings so close that a return between neighbours must be a bulb. Round a tree of
//! blocks the cells make a ring (spanning tree coverage once more, one size up), which is cut at
//! the root. Cells that make no whole block are hung on where they lie straightest.

#![expect(
    clippy::indexing_slicing,
    reason = "cell numbers and headings come from this file's own loops over the same vectors"
)]

use super::cells::{Cells, NONE};
use super::field::Heading;
use super::tree::{Ground, Joins, find, join, may_join};
use std::collections::{BTreeMap, BTreeSet};

/// Row and column of a block.
type Place = (usize, usize);

fn block_of(cells: &Cells, cell: usize) -> Place {
    let (column, row) = cells.list[cell].at;
    (row / 2, column / 2)
}

fn is_mine(ground: &Ground, cell: usize) -> bool {
    cell != NONE && ground.owners[cell] == ground.part
}

/// The four cells of the block whose south-west cell this is, if they can all be joined.
fn whole_block(ground: &Ground, cell: usize) -> Option<[usize; 4]> {
    let cells = ground.cells;
    let (column, row) = cells.list[cell].at;
    let [east, north, ..] = cells.beside(cell);
    let is_whole = column.is_multiple_of(2)
        && row.is_multiple_of(2)
        && is_mine(ground, east)
        && is_mine(ground, north)
        && is_mine(ground, cells.next(east, 1))
        && cells.next(east, 1) == cells.next(north, 0);
    is_whole.then(|| [cell, east, cells.next(east, 1), north])
}

/// Which sides of which blocks are open to the next: a tree of blocks, runs along one direction
/// first.
fn open_sides(
    ground: &Ground,
    blocks: &BTreeMap<Place, [usize; 4]>,
    is_level: bool,
) -> BTreeSet<(Place, usize)> {
    let cells = ground.cells;
    let root = block_of(cells, ground.root);
    let mut edges: Vec<(usize, Place, Place, usize)> = Vec::new();
    for (&(row, column), block) in blocks {
        for (heading, next) in [(0, (row, column + 1)), (1, (row + 1, column))] {
            let Some(beyond) = blocks.get(&next) else { continue };
            let ways = if heading == 0 {
                [(block[1], beyond[0]), (block[2], beyond[3])]
            } else {
                [(block[3], beyond[0]), (block[2], beyond[1])]
            };
            if ways.iter().any(|&(a, b)| cells.next(a, heading) != b) {
                continue;
            }
            let is_along = (heading == 0) == is_level;
            let aside = if is_level { column.abs_diff(root.1) } else { row.abs_diff(root.0) };
            edges.push((if is_along { 0 } else { 1 + aside }, (row, column), next, heading));
        }
    }
    edges.sort_unstable();
    let mut leader: Vec<usize> = (0..cells.list.len()).collect();
    let mut open = BTreeSet::new();
    for (_, from, to, heading) in edges {
        let (a, b) = (find(&mut leader, blocks[&from][0]), find(&mut leader, blocks[&to][0]));
        if a != b {
            leader[a] = b;
            open.insert((from, heading));
            open.insert((to, (heading + 2) % 4));
        }
    }
    open
}

/// Lays the path into `joins`; runs go along the rows when `is_level`, else along the columns.
pub fn there_and_back(ground: &Ground, members: &[usize], is_level: bool, joins: &mut Joins) {
    let cells = ground.cells;
    let blocks: BTreeMap<Place, [usize; 4]> = members
        .iter()
        .filter_map(|&cell| whole_block(ground, cell).map(|block| (block_of(cells, cell), block)))
        .collect();
    let open = open_sides(ground, &blocks, is_level);
    let is_on_round = |cell: usize, other: usize, heading: usize| {
        let (here, there) = (block_of(cells, cell), block_of(cells, other));
        if !blocks.contains_key(&here) || !blocks.contains_key(&there) {
            return false;
        }
        if here != there {
            return open.contains(&(here, heading));
        }
        // Inside a block a join lies along one of its sides, which may be open.
        let (column, row) = cells.list[cell].at;
        let side = match (heading, column % 2, row % 2) {
            (0, _, 0) => 3,
            (0, ..) => 1,
            (_, 0, _) => 2,
            _ => 0,
        };
        !open.contains(&(here, side))
    };
    // The rings first, what touches the root last of them, then the rest, straight on first.
    let mut worth: Vec<(usize, usize, usize)> = Vec::new();
    for &cell in members {
        for heading in [Heading(0), Heading(1)] {
            let other = cells.next(cell, heading.0);
            if !is_mine(ground, other) || !may_join(ground, cell, heading) {
                continue;
            }
            let is_at_root = cell == ground.root || other == ground.root;
            let is_along = (heading.0 == 0) == is_level;
            let rank = match (is_on_round(cell, other, heading.0), is_at_root, is_along) {
                (true, false, _) => 0,
                (true, true, _) => 1,
                (false, _, true) => 2,
                _ => 3,
            };
            worth.push((rank, cell, heading.0));
        }
    }
    worth.sort_unstable();
    let mut leader: Vec<usize> = (0..cells.list.len()).collect();
    for (_, cell, heading) in worth {
        let other = cells.next(cell, heading);
        let (a, b) = (find(&mut leader, cell), find(&mut leader, other));
        if a != b {
            leader[a] = b;
            join(joins, cell, other, Heading(heading));
        }
    }
}
