//! Edge strips cut from boards: which pieces a side is laid of, and what each is cut from.
//!
//! Question: how many boards beyond the floor's offcuts do the strips take, in pieces that a helper
//! likes to carry and join? A side is best laid of board-long rips and one remainder. What comes
//! shorter than [`LEAST_PIECE`] is scrap, unless the side itself is shorter.
//!
//! Method: ways to piece the sides are tried from the one with the fewest joints on, and a later
//! one is taken only when it saves a whole board: first every side in board-long pieces and a
//! remainder, which wherever it would be a scrap takes from the piece before it; then joints
//! wherever they save, in pieces no shorter than the least; last, in shorter ones. Each way is
//! filled as [`super::fill`] fills strips, from the floor's offcuts and new boards, and improved.
//!
//! Limits: a search, not a proof.

use super::courses::{Cell, Strip};
use super::fill::{Filled, SAME, Stock, Task};
use super::frame::Frame;
use super::offcuts::Offcut;
use super::search::{Goal, Layout, Score, few_boards, fill_freely};
use super::{EdgeFoamTakeoff, EdgePiece, EdgeStrip};
use crate::effort::{Budget, Cancel, Cancelled};
use crate::geometry::Vector;

/// The shortest piece of strip worth joining, inches; common practice.
const LEAST_PIECE: f64 = 24.0;
/// Shares of [`LEAST_PIECE`] to which pieces are let down when that saves a board.
const SCRAPS: [f64; 2] = [0.75, 0.5];
/// Steps for one way to piece the strips.
const STEPS: u64 = 4_000;
/// Steps for the last way, which finds the fewest boards.
const LAST_STEPS: u64 = 16_000;
/// Rows of strip at most: a fault in a job must not fill the memory.
const MOST_ROWS: usize = 100_000;

/// Rows of strip to fill, each with the strip that it belongs to and its height above the bottom.
struct Rows {
    strips: Vec<Strip>,
    owners: Vec<(usize, f64)>,
}

impl Rows {
    /// One row for each strip; one that is higher than a board is wide stands in two or more.
    fn of(strips: &[EdgeStrip], stock: &Stock) -> Self {
        let mut rows = Self { strips: Vec::new(), owners: Vec::new() };
        for (index, strip) in strips.iter().enumerate() {
            let mut low = 0.0;
            while strip.height - low > 0.01 && strip.length > 0.01 && rows.owners.len() < MOST_ROWS
            {
                let high = (low + stock.width).min(strip.height);
                let cell =
                    Cell { from: 0.0, to: strip.length, low: (low, low), high: (high, high) };
                rows.strips.push(Strip {
                    cells: vec![cell],
                    band: (low, low + stock.width),
                    course: rows.owners.len(),
                    surface: index + 1,
                    is_rectangle: true,
                    is_staggered: false,
                    is_locked: false,
                });
                rows.owners.push((index, low));
                low = high;
            }
        }
        rows
    }

    /// The same rows parted into board-long pieces and a remainder no shorter than `least` where
    /// the row allows, the longest pieces first.
    fn parted(&self, stock: &Stock, least: f64) -> Self {
        let mut parts: Vec<(Strip, (usize, f64))> = Vec::new();
        for (row, owner) in self.strips.iter().zip(&self.owners) {
            let (mut from, end) = (row.start(), row.end());
            while end - from > SAME && parts.len() < MOST_ROWS {
                let left = end - from - stock.length;
                let to =
                    if left <= SAME { end } else { from + stock.length - (least - left).max(0.0) };
                parts.push((row.part(from, to, true), *owner));
                from = to;
            }
        }
        parts.sort_by(|(a, _), (b, _)| (b.end() - b.start()).total_cmp(&(a.end() - a.start())));
        let (strips, owners) = parts.into_iter().unzip();
        Self { strips, owners }
    }
}

/// Few boards, then few joints, a scrap counting like two joints more.
fn few_joints(filled: &Filled, _: &Stock, _: u32) -> Score {
    let scraps = filled.laid.iter().filter(|laid| laid.to - laid.from < LEAST_PIECE - SAME).count();
    let joints = filled.laid.len() + 2 * scraps;
    (filled.boards, joints as f64, filled.cuts, filled.small)
}

/// Cuts the strips from `offcuts` (of `floor_boards` boards) and new boards.
///
/// # Errors
/// [`Cancelled`] when the flag was raised.
pub(super) fn cut_strips(
    strips: Vec<EdgeStrip>,
    stock: Stock,
    (offcuts, floor_boards): (Vec<Offcut>, u32),
    cancel: &Cancel,
) -> Result<EdgeFoamTakeoff, Cancelled> {
    let rows = Rows::of(&strips, &stock);
    let mut takeoff = EdgeFoamTakeoff {
        strip_length: strips.iter().map(|strip| strip.length).sum(),
        strips,
        board: [stock.width, stock.length, 0.0],
        kerf: stock.kerf,
        ..EdgeFoamTakeoff::default()
    };
    let Some(frame) = Frame::of(Vector::new(1.0, 0.0)) else { return Ok(takeoff) };
    let least = LEAST_PIECE.min(stock.length / 2.0).max(stock.least);
    let parted = rows.parted(&stock, least);
    let shorter = SCRAPS.map(|share| (share * LEAST_PIECE).clamp(stock.least, least));
    let free = [least, shorter[0], shorter[1], stock.least];
    let mut ways: Vec<(&Rows, f64, &[Goal])> = vec![(&parted, least, &[few_joints])];
    ways.extend(free.map(|least| (&rows, least, [few_boards as Goal, few_joints].as_slice())));
    let mut best: Option<(&Rows, Layout)> = None;
    for (rows, least, goals) in ways {
        let mut task = Task::new(rows.strips.clone(), Stock { least, ..stock });
        (task.pool, task.first_board) = (offcuts.clone(), floor_boards);
        let steps = if least > stock.least { STEPS } else { LAST_STEPS };
        let mut budget = Budget::new(steps, cancel.clone());
        let Some(layout) = fill_freely(task, frame, goals, &mut budget)? else { continue };
        let boards = layout.filled.boards;
        if best.as_ref().is_none_or(|(_, kept)| boards < kept.filled.boards) {
            best = Some((rows, layout));
        }
        if boards == 0 {
            break;
        }
    }
    let Some((rows, layout)) = best else { return Ok(takeoff) };
    takeoff.boards = layout.filled.boards;
    takeoff.pieces = pieces(rows, &layout);
    Ok(takeoff)
}

/// The pieces side by side, row by row, from the start of each.
fn pieces(rows: &Rows, layout: &Layout) -> Vec<EdgePiece> {
    let piece = |laid: &super::fill::Laid| {
        let (strip, above_bottom) = *rows.owners.get(laid.strip)?;
        let outline = rows.strips.get(laid.strip)?.outline(laid.from, laid.to);
        Some(EdgePiece {
            strip,
            from: laid.from,
            to: laid.to,
            above_bottom,
            board: laid.board,
            on_board: outline.iter().map(|point| laid.motion.apply(*point)).collect(),
            outline,
        })
    };
    let mut pieces: Vec<EdgePiece> = layout.filled.laid.iter().filter_map(piece).collect();
    pieces.sort_by(|a, b| {
        a.strip
            .cmp(&b.strip)
            .then(a.above_bottom.total_cmp(&b.above_bottom))
            .then(a.from.total_cmp(&b.from))
    });
    pieces
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::geometry::Point;

    const STOCK: Stock =
        Stock { length: 96.0, width: 48.0, kerf: 0.0, stagger: 12.0, least: 6.0, apart: 12.0 };

    /// Strips of these lengths, one above the other's end.
    fn cut(lengths: &[f64], height: f64, stock: Stock) -> EdgeFoamTakeoff {
        let strip = |length: &f64| EdgeStrip {
            from: Point::ORIGIN,
            to: Point::new(*length, 0.0),
            length: *length,
            height,
        };
        let strips = lengths.iter().map(strip).collect();
        cut_strips(strips, stock, (Vec::new(), 0), &Cancel::new()).unwrap()
    }

    /// Lengths of a side's pieces.
    fn lengths(takeoff: &EdgeFoamTakeoff, strip: usize) -> Vec<f64> {
        let own = takeoff.pieces.iter().filter(|piece| piece.strip == strip);
        own.map(|piece| piece.to - piece.from).collect()
    }

    #[test]
    fn sides_are_laid_of_full_rips_and_one_remainder() {
        // Worked by hand: 139 ft 8 in of 14 in strip is 17 1/2 rips, three a board: six boards,
        // and the 6 in that every board leaves are not turned across to make scraps.
        let takeoff = cut(&[480.0, 718.0, 478.0], 14.0, STOCK);
        assert_eq!(takeoff.boards, 6);
        for (strip, most) in [(0, 5), (1, 8), (2, 5)] {
            let own = lengths(&takeoff, strip);
            assert_eq!(own.len(), most, "{own:?}");
            assert!(own.iter().all(|length| *length >= 24.0), "{own:?}");
        }
    }

    #[test]
    fn a_remainder_that_would_be_a_scrap_takes_from_the_piece_before_it() {
        let takeoff = cut(&[100.0, 18.0], 12.0, STOCK);
        assert_eq!(lengths(&takeoff, 0), [76.0, 24.0]);
        // A side shorter than the least is one piece.
        assert_eq!(lengths(&takeoff, 1), [18.0]);
        assert_eq!(takeoff.boards, 1);
    }

    #[test]
    fn joints_fall_elsewhere_only_where_that_saves_a_board() {
        // Two sides of 12 ft in 24 in strip: 24 ft are three rips, two a board, and no three of
        // the two full pieces and two remainders of 4 ft need more than two boards.
        let takeoff = cut(&[144.0, 144.0], 24.0, STOCK);
        assert_eq!((takeoff.boards, takeoff.pieces.len()), (2, 4));
        // Three of 10 ft in 48 in strip: remainders of 2 ft come out of one board.
        assert_eq!(cut(&[120.0; 3], 48.0, STOCK).boards, 4);
        // Three of 13 ft: three full boards and three remainders of 5 ft take six; 39 ft are five
        // boards, which a joint in the second side's remainder gives.
        let takeoff = cut(&[156.0; 3], 48.0, STOCK);
        assert_eq!(takeoff.boards, 5);
        assert!(takeoff.pieces.iter().all(|piece| piece.to - piece.from >= 24.0 - 1e-9));
    }

    #[test]
    fn scraps_are_taken_where_nothing_else_saves_a_board() {
        // 9 ft 4 in of full-width strip from boards of 8 ft and an offcut of 16 in: the scrap saves
        // the second board.
        let offcut =
            Offcut { board: 0, shape: super::super::offcuts::Shape::rectangle(16.0, 48.0) };
        let strip = EdgeStrip {
            from: Point::ORIGIN,
            to: Point::new(112.0, 0.0),
            length: 112.0,
            height: 48.0,
        };
        let takeoff = cut_strips(vec![strip], STOCK, (vec![offcut], 1), &Cancel::new()).unwrap();
        assert_eq!((takeoff.boards, takeoff.pieces.len()), (1, 2));
    }
}
