//! Nesting again: which board each piece is cut from, once all pieces are known.
//!
//! Question: the filling cut every piece the moment it was laid; do the same pieces come out of
//! fewer boards when the large ones are cut first and small ones from what is left? Floor and the
//! faces under edges are cut from the same boards and are nested together.
//!
//! Method: pieces are cut in a given order, each from the remainder that is left smallest, else
//! from a new board. Orders by size go first; the best is then shuffled a little at a time and a
//! change kept when it is no worse. The generator is seeded by a constant and steps are counted.
//!
//! Limits: pieces stay as they are, so that joints and stagger are not touched; a search, not a
//! proof.
#![expect(
    clippy::indexing_slicing,
    reason = "every index is made by this file's own loops over the same vectors"
)]

use super::fill::{Laid, SAME, Stock};
use super::offcuts::{Motion, Offcut, Shape, best_lay, best_offcut, cut_out};
use super::search::{Dice, Layout, spend};
use crate::effort::{Budget, Cancelled};
use crate::geometry::{Point, Vector};

/// Shuffles tried at most.
const MOST_SHUFFLES: usize = 400;
/// Shuffles of each order by size when two pieces are joined.
const FEW_SHUFFLES: usize = 4;
/// Pairs of pieces tried at most.
const MOST_JOINED: usize = 24;
/// Other boards that may help out when two pieces are joined.
const MOST_HELPERS: usize = 4;
/// A piece shorter than this share of a board is joined with its neighbour.
const SHORT: f64 = 1.0 / 6.0;
/// A remainder narrower than this is thrown away, inches.
const USEFUL: f64 = 4.0;

/// Nests the pieces of all surfaces again and takes over what needs fewer boards; no fewer than
/// `bound` are looked for. The last surface has what is left of the boards.
///
/// # Errors
/// [`Cancelled`] when the budget's flag was raised.
pub(super) fn nest_again(
    surfaces: &mut [&mut Layout],
    stock: &Stock,
    bound: u32,
    budget: &mut Budget,
) -> Result<(), Cancelled> {
    let boards: u32 = surfaces.iter().map(|layout| layout.filled.boards).sum();
    if boards <= bound {
        return Ok(());
    }
    let parts = parts_of(surfaces);
    let Some(best) = Nesting::new(&parts, stock).search((boards, bound), budget)? else {
        return Ok(());
    };
    adopt(surfaces, best);
    Ok(())
}

/// Joins short pieces with their neighbour in the course where the two fit on one board and what
/// was cut from their boards still comes out of them with no more cuts: fewer seams, fewer pieces
/// to carry. The shortest go first; a board that has much left over may help out.
///
/// # Errors
/// [`Cancelled`] when the budget's flag was raised.
pub(super) fn join_short_pieces(
    surfaces: &mut [&mut Layout],
    stock: &Stock,
    budget: &mut Budget,
) -> Result<(), Cancelled> {
    let mut kept_apart = Vec::new();
    for _ in 0..MOST_JOINED {
        let Some(pair) = shortest_pair(surfaces, stock, &kept_apart) else { break };
        if !join(surfaces, stock, &pair, budget)? {
            kept_apart.push((pair.surface, pair.seam));
        }
    }
    Ok(())
}

/// Joins the two pieces if the boards that they are cut from allow; whether they did.
fn join(
    surfaces: &mut [&mut Layout],
    stock: &Stock,
    pair: &Pair,
    budget: &mut Budget,
) -> Result<bool, Cancelled> {
    let laid = &surfaces[pair.surface].filled.laid;
    let mut own = vec![laid[pair.first].board, laid[pair.second].board];
    own.dedup();
    let mut helpers = vec![None];
    helpers.extend(most_left(surfaces, &own).into_iter().map(Some));
    let to = laid[pair.second].to;
    let count = surfaces.len();
    for helper in helpers {
        let boards: Vec<u32> = own.iter().copied().chain(helper).collect();
        let (mut pieces, mut parts, mut cuts) = (Vec::new(), Vec::new(), 0);
        for (surface, layout) in surfaces.iter().enumerate() {
            for (index, laid) in layout.filled.laid.iter().enumerate() {
                if !boards.contains(&laid.board) {
                    continue;
                }
                cuts += laid.cuts;
                let is_first = (surface, index) == (pair.surface, pair.first);
                if (surface, index) != (pair.surface, pair.second) {
                    let end = if is_first { to } else { laid.to };
                    let strip = &layout.task.strips[laid.strip];
                    parts.push(Shape::new(strip.hull(laid.from, end)));
                    pieces.push((surface, index));
                }
            }
        }
        let most = (u32::try_from(boards.len()).unwrap_or(u32::MAX), cuts);
        let nested = Nesting::new(&parts, stock).within(most, budget)?;
        // A board that is not needed any more would leave a gap in their numbers.
        let Some(nested) = nested.filter(|nested| nested.boards == most.0) else { continue };
        let board_of = |number: u32| boards.get(number as usize).copied().unwrap_or(number);
        for ((surface, index), place) in pieces.into_iter().zip(nested.places) {
            place.put(&mut surfaces[surface].filled.laid[index], board_of(place.board));
        }
        let filled = &mut surfaces[pair.surface].filled;
        filled.laid[pair.first].to = to;
        filled.laid.remove(pair.second);
        for (place, layout) in surfaces.iter_mut().enumerate() {
            let pool = &mut layout.filled.pool;
            pool.retain(|left| !boards.contains(&left.board));
            layout.filled.cuts = layout.filled.laid.iter().map(|laid| laid.cuts).sum();
            if place + 1 == count {
                pool.extend(
                    nested.pool.iter().map(|left| Offcut {
                        board: board_of(left.board),
                        shape: left.shape.clone(),
                    }),
                );
            }
        }
        return Ok(true);
    }
    Ok(false)
}

/// Boards that most is left of, but for `own`.
fn most_left(surfaces: &[&mut Layout], own: &[u32]) -> Vec<u32> {
    let mut left: Vec<(f64, u32)> = Vec::new();
    for offcut in surfaces.iter().flat_map(|layout| &layout.filled.pool) {
        match left.iter_mut().find(|(_, board)| *board == offcut.board) {
            Some((area, _)) => *area += offcut.shape.area,
            None if own.contains(&offcut.board) => {}
            None => left.push((offcut.shape.area, offcut.board)),
        }
    }
    left.sort_by(|a, b| b.0.total_cmp(&a.0).then(a.1.cmp(&b.1)));
    left.into_iter().take(MOST_HELPERS).map(|(_, board)| board).collect()
}

/// Two pieces that follow each other in a strip.
struct Pair {
    surface: usize,
    first: usize,
    second: usize,
    /// The strip and where along it they meet.
    seam: (usize, f64),
}

/// The pair with the shortest piece that is worth joining and fits on a board, but for the seams
/// that must stay.
fn shortest_pair(
    surfaces: &[&mut Layout],
    stock: &Stock,
    kept_apart: &[(usize, (usize, f64))],
) -> Option<Pair> {
    let board = Shape::rectangle(stock.length, stock.width);
    let mut shortest: Option<(f64, Pair)> = None;
    for (surface, layout) in surfaces.iter().enumerate() {
        let laid = &layout.filled.laid;
        let mut places: Vec<usize> = (0..laid.len()).collect();
        places.sort_by(|a, b| {
            let (a, b) = (&laid[*a], &laid[*b]);
            a.strip.cmp(&b.strip).then(a.from.total_cmp(&b.from))
        });
        for pair in places.windows(2) {
            let (a, b) = (&laid[pair[0]], &laid[pair[1]]);
            let seam = (a.strip, a.to);
            let short = (a.to - a.from).min(b.to - b.from);
            let is_pair = a.strip == b.strip
                && b.to - a.from <= stock.length + SAME
                && short < SHORT * stock.length
                && shortest.as_ref().is_none_or(|(least, _)| short < *least)
                && !kept_apart.contains(&(surface, seam));
            let fits = || {
                let whole = Shape::new(layout.task.strips[a.strip].hull(a.from, b.to));
                best_lay(&board, &whole).is_some()
            };
            if is_pair && fits() {
                let (first, second) = (pair[0], pair[1]);
                shortest = Some((short, Pair { surface, first, second, seam }));
            }
        }
    }
    shortest.map(|(_, pair)| pair)
}

/// Takes over where each piece is cut.
fn adopt(surfaces: &mut [&mut Layout], best: Nested) {
    let mut places = best.places.into_iter();
    for Layout { filled, .. } in surfaces.iter_mut().map(|layout| &mut **layout) {
        for (laid, place) in filled.laid.iter_mut().zip(&mut places) {
            (laid.board, laid.motion, laid.is_offcut) =
                (place.board, place.motion, place.is_offcut);
        }
        (filled.boards, filled.cuts) = (0, 0);
        filled.pool.clear();
    }
    if let Some(last) = surfaces.last_mut() {
        let filled = &mut last.filled;
        (filled.boards, filled.cuts, filled.pool) = (best.boards, best.cuts, best.pool);
    }
}

/// The pieces to cut: their convex hulls in the axes that they were laid in.
fn parts_of(surfaces: &[&mut Layout]) -> Vec<Shape> {
    let parts = surfaces.iter().flat_map(|layout| {
        let strips = &layout.task.strips;
        layout
            .filled
            .laid
            .iter()
            .map(|laid| Shape::new(strips[laid.strip].hull(laid.from, laid.to)))
    });
    parts.collect()
}

/// Where a piece is cut.
#[derive(Clone, Copy)]
struct Place {
    board: u32,
    motion: Motion,
    is_offcut: bool,
    cuts: u32,
}

impl Place {
    /// Writes down that a piece is cut here, from this board.
    fn put(&self, laid: &mut Laid, board: u32) {
        (laid.board, laid.motion) = (board, self.motion);
        (laid.is_offcut, laid.cuts) = (self.is_offcut, self.cuts);
    }
}

/// All pieces with a place.
struct Nested {
    places: Vec<Place>,
    boards: u32,
    cuts: u32,
    pool: Vec<Offcut>,
    work: u64,
}

impl Nested {
    /// Boards, then how badly what is left is gathered: less is better.
    fn score(&self) -> (u32, f64) {
        let squares = self.pool.iter().map(|offcut| offcut.shape.area * offcut.shape.area);
        (self.boards, -squares.sum::<f64>())
    }
}

/// The order with one or two pieces put elsewhere.
fn shuffled(order: &[usize], dice: &mut Dice) -> Vec<usize> {
    let mut tried = order.to_vec();
    for _ in 0..=dice.below(2) {
        let (from, to) = (dice.below(tried.len()), dice.below(tried.len()));
        if from < tried.len() {
            let moved = tried.remove(from);
            tried.insert(to, moved);
        }
    }
    tried
}

struct Nesting<'a> {
    parts: &'a [Shape],
    stock: &'a Stock,
    board: Shape,
    /// Places with whole boards on the first boards; the others are still to be found.
    uncut: Vec<Place>,
    /// How many boards are laid whole.
    whole: u32,
    /// The pieces to be cut.
    cut: Vec<usize>,
}

impl<'a> Nesting<'a> {
    fn new(parts: &'a [Shape], stock: &'a Stock) -> Self {
        let board = Shape::rectangle(stock.length, stock.width);
        let mut nesting =
            Self { parts, stock, board, uncut: Vec::new(), whole: 0, cut: Vec::new() };
        for (index, part) in parts.iter().enumerate() {
            let mut place = Place {
                board: nesting.whole,
                motion: Motion::turning(Vector::new(1.0, 0.0)),
                is_offcut: false,
                cuts: 0,
            };
            let lay = best_lay(&nesting.board, part);
            match lay.filter(|_| part.area > nesting.board.area - 0.01) {
                Some(lay) => {
                    place.motion = lay.motion;
                    nesting.whole += 1;
                }
                None => nesting.cut.push(index),
            }
            nesting.uncut.push(place);
        }
        nesting
    }

    /// A nesting with fewer boards than there were, when one was found.
    fn search(
        &self,
        (boards, bound): (u32, u32),
        budget: &mut Budget,
    ) -> Result<Option<Nested>, Cancelled> {
        let mut best: Option<(Vec<usize>, Nested)> = None;
        for order in self.by_size() {
            let Some(nested) = self.nest(&order, (boards, u32::MAX)) else { continue };
            if best.as_ref().is_none_or(|(_, kept)| nested.score() < kept.score()) {
                best = Some((order, nested));
            }
        }
        let Some((mut order, mut kept)) = best else { return Ok(None) };
        let mut dice = Dice::new(0x9E6D_62D0_6F6A_9A9B);
        for _ in 0..MOST_SHUFFLES {
            if kept.boards <= bound || !spend(budget, kept.work)? {
                break;
            }
            let tried = shuffled(&order, &mut dice);
            let Some(nested) = self.nest(&tried, (kept.boards, u32::MAX)) else { continue };
            if nested.score() <= kept.score() {
                (order, kept) = (tried, nested);
            }
        }
        Ok((kept.boards < boards).then_some(kept))
    }

    /// A nesting within so many boards and cuts, when a short search finds one.
    fn within(&self, most: (u32, u32), budget: &mut Budget) -> Result<Option<Nested>, Cancelled> {
        let mut dice = Dice::new(0xD1B5_4A32_D192_ED03);
        for mut order in self.by_size() {
            for _ in 0..FEW_SHUFFLES {
                // A nesting looks through some of the remainders for every piece.
                if !spend(budget, 8 * self.cut.len() as u64)? {
                    return Ok(None);
                }
                let nested = self.nest(&order, most);
                if nested.is_some() {
                    return Ok(nested);
                }
                order = shuffled(&order, &mut dice);
            }
        }
        Ok(None)
    }

    /// The pieces to be cut in orders by size: the largest, the widest, the longest first.
    fn by_size(&self) -> impl Iterator<Item = Vec<usize>> {
        let sizes: [fn(&Shape) -> f64; 3] = [
            |part| part.area,
            |part| part.width * 1e3 + part.area / part.width.max(1e-9),
            |part| part.area / part.width.max(1e-9) * 1e3 + part.width,
        ];
        sizes.into_iter().map(|size| {
            let mut order = self.cut.clone();
            order.sort_by(|a, b| size(&self.parts[*b]).total_cmp(&size(&self.parts[*a])));
            order
        })
    }

    /// Cuts all pieces in this order; `None` when it takes more than `most` boards or cuts.
    fn nest(&self, order: &[usize], most: (u32, u32)) -> Option<Nested> {
        let mut nested = Nested {
            places: self.uncut.clone(),
            boards: self.whole,
            cuts: 0,
            pool: Vec::new(),
            work: 0,
        };
        for &index in order {
            let part = &self.parts[index];
            nested.work += 1 + nested.pool.len() as u64 / 4;
            let from = best_offcut(&nested.pool, part);
            let is_offcut = from.is_some();
            let (offcut, motion) = match from {
                Some((place, motion)) => (nested.pool.swap_remove(place), motion),
                None => {
                    nested.boards += 1;
                    let motion = best_lay(&self.board, part)?.motion;
                    (Offcut { board: nested.boards - 1, shape: self.board.clone() }, motion)
                }
            };
            let on_board: Vec<Point> = part.ring.iter().map(|at| motion.apply(*at)).collect();
            let (left, cuts) = cut_out(&offcut, &on_board, self.stock.kerf);
            nested.places[index] = Place { board: offcut.board, motion, is_offcut, cuts };
            nested.cuts += cuts;
            if nested.boards > most.0 || nested.cuts > most.1 {
                return None;
            }
            let useful = self.stock.least.min(USEFUL);
            nested.pool.extend(left.into_iter().filter(|left| left.shape.width >= useful));
        }
        Some(nested)
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn nested(sizes: &[(f64, f64)], kerf: f64) -> Nested {
        let stock =
            Stock { length: 96.0, width: 48.0, kerf, stagger: 12.0, least: 6.0, apart: 12.0 };
        let parts: Vec<Shape> = sizes.iter().map(|(a, b)| Shape::rectangle(*a, *b)).collect();
        let mut budget = Budget::new(10_000, crate::effort::Cancel::new());
        let most = u32::try_from(sizes.len()).unwrap() + 1;
        Nesting::new(&parts, &stock).search((most, 1), &mut budget).unwrap().unwrap()
    }

    #[test]
    fn pieces_cut_in_a_bad_order_come_out_of_fewer_boards_in_a_good_one() {
        // Two of 60 and two of 36 in fill two boards when the long ones are cut first.
        let sizes = [(36.0, 48.0), (60.0, 48.0), (36.0, 48.0), (60.0, 48.0)];
        assert_eq!(nested(&sizes, 0.0).boards, 2);
        // A saw cut between 60 and 36 in is not to be had from 96.
        assert_eq!(nested(&sizes, 0.125).boards, 3);
    }

    #[test]
    fn whole_boards_keep_boards_of_their_own() {
        let all = nested(&[(96.0, 48.0), (48.0, 96.0), (24.0, 48.0)], 0.125);
        assert_eq!((all.boards, all.cuts), (3, 1));
        assert!(all.places[0].board != all.places[1].board && !all.places[2].is_offcut);
    }
}
