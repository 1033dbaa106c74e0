//! How far along a strip a remainder reaches.
//!
//! Question: when the next piece of a strip is laid on this remainder with a side along one of its
//! sides, how long can the piece become? For a motion held fast every side of the remainder
//! forbids the half plane beyond it; the piece may grow until the strip's lower or upper boundary
//! first enters one.
#![expect(
    clippy::indexing_slicing,
    reason = "every index is made by this file's own loops over the same vectors"
)]

use super::courses::Strip;
use super::fill::{SAME, Stock};
use super::offcuts::{Motion, SLACK, Shape, ways_to_lay};
use crate::geometry::{Point, Vector, polygon};

/// Remainders narrower than this count as waste in full, wider ones in part, inches.
const GOOD_WIDTH: f64 = 12.0;

/// A way to go on: how the piece lies and where it ends.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(super) struct Way {
    /// From the strip's axes to the board's.
    pub motion: Motion,
    /// Where the piece ends along the course.
    pub to: f64,
}

/// A strip from a place on.
pub(super) struct View<'a> {
    strip: &'a Strip,
    at: f64,
    /// Where the level stretch from here ends, with its lower and upper boundary.
    level: Option<(f64, f64, f64)>,
    lower: Vec<Point>,
    upper: Vec<Point>,
    /// The least piece that is worth cutting.
    stub: Shape,
    is_full: bool,
}

impl<'a> View<'a> {
    /// The strip from `at` on.
    pub fn new(strip: &'a Strip, at: f64, stock: &Stock) -> Self {
        let far = (at + 1.25 * stock.length).min(strip.end());
        let level = strip
            .cells
            .iter()
            .find(|cell| cell.to > at + SAME)
            .filter(|cell| cell.low.0 == cell.low.1 && cell.high.0 == cell.high.1)
            .map(|cell| (cell.to, cell.low.0, cell.high.0));
        let stub_end = (at + stock.least.max(stock.length / 16.0)).min(strip.end());
        let is_all_level = level.is_some_and(|(to, ..)| to >= far - SAME);
        let (lower, upper) =
            if is_all_level { (Vec::new(), Vec::new()) } else { strip.boundaries(at, far) };
        let stub = Shape::new(strip.hull(at, stub_end));
        let is_full = level.is_some_and(|(_, low, high)| high - low > stock.width - 0.01);
        Self { strip, at, level, lower, upper, stub, is_full }
    }

    /// Whether the strip is as high as a board is wide from here.
    pub fn is_full(&self) -> bool {
        self.is_full
    }

    /// Area of the strip from here to `to`.
    pub fn area_to(&self, to: f64) -> f64 {
        if let Some((end, low, high)) = self.level
            && to <= end + SAME
        {
            return (to - self.at) * (high - low);
        }
        polygon::signed_area(&self.strip.outline(self.at, to))
    }

    /// Calls `each` with every way in which the strip goes on from this remainder.
    pub fn ways(&self, room: &Shape, mut each: impl FnMut(Way)) {
        let (Some((_, low, high)), Some((length, height))) = (self.level, room.upright) else {
            ways_to_lay(room, &self.stub, |motion| {
                if let Some(to) = self.reach(&room.ring, &motion) {
                    each(Way { motion, to });
                }
            });
            return;
        };
        let corner = room.ring.iter().fold(room.ring[0], |least, point| {
            Point::new(least.x.min(point.x), least.y.min(point.y))
        });
        let tall = high - low;
        if height >= tall - SLACK {
            let motion = Motion {
                turn: Vector::new(1.0, 0.0),
                shift: Vector::new(corner.x - self.at, corner.y - low),
            };
            if let Some(to) = self.level_reach(&room.ring, &motion, length) {
                each(Way { motion, to });
            }
        }
        if length >= tall - SLACK {
            let motion = Motion {
                turn: Vector::new(0.0, 1.0),
                shift: Vector::new(corner.x + high, corner.y - self.at),
            };
            if let Some(to) = self.level_reach(&room.ring, &motion, height) {
                each(Way { motion, to });
            }
        }
    }

    fn level_reach(&self, ring: &[Point], motion: &Motion, length: f64) -> Option<f64> {
        match self.level {
            Some((end, ..)) if self.at + length <= end + SAME => Some(self.at + length),
            Some((end, ..)) if self.lower.is_empty() => Some(end),
            _ => self.reach(ring, motion),
        }
    }

    /// How far the strip stays inside the ring under this motion.
    fn reach(&self, ring: &[Point], motion: &Motion) -> Option<f64> {
        let mut to = f64::INFINITY;
        for (from, next) in polygon::edges(ring) {
            let Some(side) = (next - from).unit() else { continue };
            for line in [&self.lower, &self.upper] {
                let depth = |p: &Point| side.cross(motion.apply(*p) - from) + SLACK;
                let mut before: Option<(&Point, f64)> = None;
                for point in line {
                    if before.is_some_and(|(last, _): (&Point, f64)| last.x > to) {
                        break;
                    }
                    let here = depth(point);
                    if here < 0.0 {
                        let stop = match before {
                            Some((last, depth)) if depth > 0.0 => {
                                last.x + (point.x - last.x) * (depth / (depth - here))
                            }
                            Some((last, _)) => last.x,
                            None => return None,
                        };
                        to = to.min(stop);
                        break;
                    }
                    before = Some((point, here));
                }
            }
        }
        let far = self.lower.last().map_or(self.at, |point| point.x);
        let to = to.min(far);
        (to > self.at + SAME).then_some(to)
    }
}

/// What is lost when the strip up to `to` (area `own`) is cut from the room: remainders too
/// narrow to be of much use count in full, others in part.
pub(super) fn waste(room: &Shape, view: &View<'_>, to: f64, own: f64) -> f64 {
    let whole = room.area - own;
    let (Some((_, low, high)), Some((length, height))) = (view.level, room.upright) else {
        return 0.5 * whole;
    };
    let (tall, long) = (high - low, to - view.at);
    let (height, length) = if height >= tall - SLACK && length >= long - SLACK {
        (height, length)
    } else {
        (length, height)
    };
    let part = |a: f64, b: f64| {
        let (a, b) = (a.max(0.0), b.max(0.0));
        a * b * if a.min(b) >= GOOD_WIDTH { 0.25 } else { 1.0 }
    };
    part(height - tall, length) + part(length - long, tall)
}

/// The smaller of a piece's length and its greatest height.
pub(super) fn least_side(strip: &Strip, from: f64, to: f64) -> f64 {
    let ring = strip.outline(from, to);
    let (low, high) =
        ring.iter().fold((f64::INFINITY, f64::NEG_INFINITY), |(l, h), p| (l.min(p.y), h.max(p.y)));
    (to - from).min(high - low)
}
