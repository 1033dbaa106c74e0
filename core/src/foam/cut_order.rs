//! The order in which a board comes apart, for whoever cuts it.
//!
//! Question: which straight cuts from edge to edge part the pieces of a board, and which of them
//! goes first? And which stretches of a piece's rim are curves, that no straightedge gives?
//!
//! Method: of what is left of the board, a cut runs along a side of a piece if it goes through no
//! other piece; upright cuts go before slanted ones, and of those the one that parts the board
//! most evenly. Both sides are then cut on. Cuts one after the other in one direction have one
//! *rank*; it grows by one whenever the direction changes, so that all cuts of the first rank can
//! be made through the whole board.
//!
//! Limits: the sides of a curve are no cuts of their own unless they part two pieces; a notch
//! inside a piece's convex hull is no cut either.
#![expect(
    clippy::indexing_slicing,
    reason = "every index is made by this file's own loops over the same vectors"
)]

use super::offcuts::{hull, left_of};
use crate::geometry::polygon::{edges, signed_area};
use crate::geometry::{Point, Polygon, Vector};

/// What lies beyond a cut by less than this is not cut off, inches.
const SAME: f64 = 1e-3;
/// A rim that bends by less than this at a corner may be a curve, radians (15 degrees).
const GENTLE: f64 = 0.262;
/// A curve has at least so many gentle bends one after the other.
const LEAST_BENDS: usize = 2;
/// More cuts than this has no board.
const MOST_CUTS: usize = 500;

/// A straight cut across what is left of a board.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct BoardCut {
    /// One end, on the board: x along its length, y across.
    pub from: Point,
    /// The other end.
    pub to: Point,
    /// When it is made: all cuts of rank 1 go before those of rank 2.
    pub rank: u32,
}

impl BoardCut {
    /// Whether it runs neither along nor across the board.
    #[must_use]
    pub fn is_slanted(&self) -> bool {
        let step = self.to - self.from;
        step.x.abs() > SAME && step.y.abs() > SAME
    }
}

/// The cuts that part these pieces, outlines on a board of this length and width, by rank. `kerf`
/// is what a cut eats.
#[must_use]
pub fn cut_order((length, width): (f64, f64), pieces: &[&[Point]], kerf: f64) -> Vec<BoardCut> {
    let cutting = Cutting { rims: pieces.iter().map(|outline| Rim::of(outline)).collect(), kerf };
    let board = Polygon::rectangle(Point::ORIGIN, Point::new(length, width)).outer;
    let mut open =
        vec![Remainder { ring: board, pieces: (0..pieces.len()).collect(), rank: 0, along: None }];
    let mut cuts: Vec<BoardCut> = Vec::new();
    while let Some(remainder) = open.pop() {
        let Some((start, along)) = cutting.best_line(&remainder) else { continue };
        if cuts.len() >= MOST_CUTS {
            break;
        }
        let is_parallel = remainder.along.is_some_and(|last| last.cross(along).abs() < 1e-9);
        let rank = if is_parallel { remainder.rank } else { remainder.rank + 1 };
        let kept = left_of(&remainder.ring, start, along, 0.0);
        let taken = left_of(&remainder.ring, start, -along, -kerf);
        if let Some((from, to)) = ends_on(&kept, start, along) {
            cuts.push(BoardCut { from, to, rank });
        }
        let (left, right): (Vec<usize>, Vec<usize>) =
            remainder.pieces.iter().partition(|piece| cutting.lies_left(**piece, start, along));
        for (ring, pieces) in [(taken, right), (kept, left)] {
            open.push(Remainder { ring, pieces, rank, along: Some(along) });
        }
    }
    cuts.sort_by_key(|cut| cut.rank);
    cuts
}

/// Both ends of the side of a ring that lies on the line.
fn ends_on(ring: &[Point], start: Point, along: Vector) -> Option<(Point, Point)> {
    let on_line = ring.iter().filter(|point| along.cross(**point - start).abs() < SAME);
    let by_place =
        |a: &&Point, b: &&Point| along.dot(a.to_vector()).total_cmp(&along.dot(b.to_vector()));
    let first = on_line.clone().min_by(by_place)?;
    let last = on_line.max_by(by_place)?;
    Some((*first, *last))
}

/// What is left of a board.
struct Remainder {
    ring: Vec<Point>,
    pieces: Vec<usize>,
    /// Rank and direction of the last cut that made it.
    rank: u32,
    along: Option<Vector>,
}

/// A piece's convex hull with what its sides are.
struct Rim {
    hull: Vec<Point>,
    curves: Vec<Vec<Point>>,
}

impl Rim {
    fn of(outline: &[Point]) -> Self {
        Self { hull: hull(outline), curves: curves(outline) }
    }

    fn is_curved(&self, from: Point, to: Point) -> bool {
        let is_side = |pair: &[Point]| {
            pair[0].distance(from) < SAME && pair[1].distance(to) < SAME
                || pair[0].distance(to) < SAME && pair[1].distance(from) < SAME
        };
        self.curves.iter().any(|curve| curve.windows(2).any(is_side))
    }
}

struct Cutting {
    rims: Vec<Rim>,
    kerf: f64,
}

impl Cutting {
    /// Whether a piece lies wholly on the left of a line.
    fn lies_left(&self, piece: usize, start: Point, along: Vector) -> bool {
        self.rims[piece].hull.iter().all(|point| along.cross(*point - start) >= -SAME)
    }

    /// Whether it lies wholly on the right, the kerf kept.
    fn lies_right(&self, piece: usize, start: Point, along: Vector) -> bool {
        let clear = |point: &Point| along.cross(*point - start) <= SAME - self.kerf;
        self.rims[piece].hull.iter().all(clear)
    }

    /// Where the next cut runs; `None` when nothing straight is left to cut.
    fn best_line(&self, remainder: &Remainder) -> Option<(Point, Vector)> {
        let mut best: Option<(u32, f64, Point, Vector)> = None;
        for &piece in &remainder.pieces {
            for (start, end) in edges(&self.rims[piece].hull) {
                let Some(along) = (end - start).unit() else { continue };
                let beyond =
                    remainder.ring.iter().map(|at| -along.cross(*at - start)).fold(0.0, f64::max);
                let is_clear = |other: &usize| {
                    self.lies_left(*other, start, along) || self.lies_right(*other, start, along)
                };
                if beyond <= SAME || !remainder.pieces.iter().all(is_clear) {
                    continue;
                }
                let is_upright = along.x.abs() < 1e-9 || along.y.abs() < 1e-9;
                let is_curved = self.rims[piece].is_curved(start, end);
                if is_curved && remainder.pieces.len() < 2 {
                    continue;
                }
                let kind = if is_curved { 2 } else { u32::from(!is_upright) };
                let taken = signed_area(&left_of(&remainder.ring, start, -along, 0.0)).abs();
                let even = taken.min(signed_area(&remainder.ring).abs() - taken);
                let is_better = best.is_none_or(|(least, most, ..)| {
                    kind < least || kind == least && even > most + SAME
                });
                if is_better {
                    best = Some((kind, even, start, along));
                }
            }
        }
        best.map(|(_, _, start, along)| (start, along))
    }
}

/// The stretches of a rim that are curves: corners one after the other at each of which it bends a
/// little to the same side, with the corners before and after.
#[must_use]
pub fn curves(outline: &[Point]) -> Vec<Vec<Point>> {
    let count = outline.len();
    if count < LEAST_BENDS + 2 {
        return Vec::new();
    }
    let bend = |index: usize| {
        let (before, at, after) = (
            outline[(index + count - 1) % count],
            outline[index % count],
            outline[(index + 1) % count],
        );
        let (arriving, leaving) = (at - before, after - at);
        let angle = crate::units::exact_math::atan2(arriving.cross(leaving), arriving.dot(leaving));
        if angle.abs() < GENTLE { angle } else { f64::NAN }
    };
    let goes_on = |last: f64, next: f64| last * next > 0.0;
    // Start where no curve goes on, so that none is cut in two.
    let first = (0..count).find(|&index| !goes_on(bend(index + count - 1), bend(index)));
    let first = first.unwrap_or(0);
    let mut curves: Vec<Vec<Point>> = Vec::new();
    let mut run: Vec<usize> = Vec::new();
    for index in first..=first + count {
        let is_end = index == first + count
            || run.last().is_some_and(|last| !goes_on(bend(*last), bend(index)));
        if is_end {
            if run.len() >= LEAST_BENDS {
                let (from, to) = (run[0] + count - 1, run[run.len() - 1] + count + 1);
                curves.push((from..=to).map(|place| outline[place % count]).collect());
            }
            run.clear();
        }
        if bend(index).is_finite() {
            run.push(index);
        }
    }
    curves
}

/// The corners of a rim that are on no curve and inside the convex hull: where it is notched.
#[must_use]
pub fn notches(outline: &[Point]) -> Vec<Point> {
    let hull = hull(outline);
    let curves = curves(outline);
    let is_near = |ring: &[Point], point: &Point| ring.iter().any(|at| at.distance(*point) < SAME);
    let is_inside = |point: &&Point| {
        let on_rim = edges(&hull).any(|(from, to)| {
            (to - from).unit().is_some_and(|along| along.cross(**point - from).abs() < SAME)
        });
        !on_rim && !curves.iter().any(|curve| is_near(curve, point))
    };
    outline.iter().filter(is_inside).copied().collect()
}

#[cfg(test)]
mod tests {
    use super::*;

    fn rectangle(x: f64, y: f64, length: f64, height: f64) -> Vec<Point> {
        Polygon::rectangle(Point::new(x, y), Point::new(x + length, y + height)).outer
    }

    fn order(pieces: &[Vec<Point>], kerf: f64) -> Vec<BoardCut> {
        let all: Vec<&[Point]> = pieces.iter().map(Vec::as_slice).collect();
        cut_order((96.0, 48.0), &all, kerf)
    }

    /// A quarter circle of 40 in about the origin with its two radii.
    fn quarter() -> Vec<Point> {
        let arc = (0..=9).map(|step| {
            let (sin, cos) =
                crate::units::exact_math::sin_cos(f64::from(step) * std::f64::consts::PI / 18.0);
            Point::new(40.0 * cos, 40.0 * sin)
        });
        std::iter::once(Point::ORIGIN).chain(arc).collect()
    }

    #[test]
    fn a_crosscut_goes_before_the_rips_that_end_at_it() {
        let pieces = [
            rectangle(0.0, 0.0, 60.0, 48.0),
            rectangle(60.0, 0.0, 36.0, 20.0),
            rectangle(60.0, 20.0, 36.0, 20.0),
        ];
        let cuts = order(&pieces, 0.0);
        let ranks: Vec<u32> = cuts.iter().map(|cut| cut.rank).collect();
        assert_eq!(ranks, [1, 2, 2]);
        assert!((cuts[0].from.x - 60.0).abs() < 1e-9 && (cuts[0].to.x - 60.0).abs() < 1e-9);
        assert!(cuts.iter().all(|cut| !cut.is_slanted()));
        // Three pieces 1/8 in apart with a saw of 1/8 in come apart too.
        let sawn = [rectangle(0.0, 0.0, 40.0, 48.0), rectangle(40.125, 0.0, 40.0, 48.0)];
        assert_eq!(order(&sawn, 0.125).len(), 2);
    }

    #[test]
    fn a_slanted_cut_parts_two_pieces_and_a_curve_is_none() {
        let pieces = [
            vec![
                Point::new(0.0, 0.0),
                Point::new(60.0, 0.0),
                Point::new(20.0, 48.0),
                Point::new(0.0, 48.0),
            ],
            vec![
                Point::new(60.0, 0.0),
                Point::new(96.0, 0.0),
                Point::new(96.0, 48.0),
                Point::new(20.0, 48.0),
            ],
        ];
        let cuts = order(&pieces, 0.0);
        assert!(cuts.len() == 1 && cuts[0].is_slanted());
        // The blank of a quarter circle is cut square; the curve is left to the knife.
        let cuts = order(&[quarter()], 0.0);
        assert_eq!(cuts.len(), 0, "its sides on the board need no cut: {cuts:?}");
        let found = curves(&quarter());
        assert_eq!((found.len(), found[0].len()), (1, 10));
        assert!(curves(&rectangle(0.0, 0.0, 10.0, 10.0)).is_empty());
    }

    #[test]
    fn a_notch_is_found_where_the_rim_leaves_the_hull() {
        let notched = vec![
            Point::new(0.0, 0.0),
            Point::new(40.0, 0.0),
            Point::new(40.0, 20.0),
            Point::new(38.0, 20.0),
            Point::new(38.0, 30.0),
            Point::new(0.0, 30.0),
        ];
        assert_eq!(notches(&notched), [Point::new(38.0, 20.0)]);
        assert!(notches(&quarter()).is_empty());
    }
}
