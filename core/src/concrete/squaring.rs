//! Setting forms square: diagonals to tape, a 3-4-5 check, every corner from two base lines.
//!
//! The base line is the longest straight side; its base corner the end where it meets another
//! straight side at a right angle, if one does. Rectangles of the outline are the largest upright
//! ones that fit between its sides along and across the base line.

use super::spans::passes_through;
use super::{CornerOffset, Diagonal};
use crate::geometry::{Bounds, Point, Segment, Vector, polygon};
use crate::plan::Plan;

/// Sides within this of along or across, as a sine, count as square to the base line.
const SQUARE_SINE: f64 = 1e-6;
/// Above this many lines one way the rectangles are not sought: nobody tapes that many.
const MOST_LINES: usize = 16;
/// Coordinates nearer than this, in inches, are one line.
const SAME_LINE_IN: f64 = 0.01;
/// A rectangle with a side shorter than this is not worth a diagonal, inches.
const SHORTEST_SIDE_IN: f64 = 48.0;

/// What squaring gives.
#[derive(Default)]
pub(super) struct Squared {
    pub(super) diagonals: Vec<Diagonal>,
    pub(super) offsets: Vec<CornerOffset>,
    pub(super) base_corner: Option<Point>,
    pub(super) check_legs: Option<[f64; 3]>,
}

/// The base: a corner, the steps along the first base line and off it into the slab.
struct Base {
    corner: Point,
    along: Vector,
    off: Vector,
    /// Lengths of the straight sides along and across, when the corner is square.
    square_sides: Option<(f64, f64)>,
}

impl Base {
    fn local(&self, place: Point) -> Point {
        let step = place - self.corner;
        Point::new(self.along.dot(step), self.off.dot(step))
    }

    fn plan(&self, local: Point) -> Point {
        self.corner + self.along * local.x + self.off * local.y
    }
}

/// Diagonals, offsets and the check of a plan.
pub(super) fn square(plan: &Plan) -> Squared {
    let Some(base) = base_of(plan) else { return Squared::default() };
    let corners: Vec<Point> = plan.outline.segments.iter().map(|segment| segment.start()).collect();
    let offsets = corners
        .iter()
        .map(|&at| {
            let local = base.local(at);
            CornerOffset { at, along: local.x, off: local.y }
        })
        .collect();
    let outer: Vec<Point> = plan.region.outer.iter().map(|&at| base.local(at)).collect();
    let mut diagonals = Vec::new();
    if let Some(bounds) = Bounds::of(outer.iter().copied()) {
        push_diagonals(&base, bounds, "enclosing rectangle", &mut diagonals);
        let found = rectangles(&outer);
        if found.len() > 1 || found.first().is_some_and(|one| !same_box(*one, bounds)) {
            for (number, bounds) in found.into_iter().enumerate() {
                push_diagonals(&base, bounds, &format!("rectangle {}", number + 1), &mut diagonals);
            }
        }
    }
    let check_legs = base.square_sides.and_then(|(one, other)| check_that_fits(one, other));
    Squared { diagonals, offsets, base_corner: Some(base.corner), check_legs }
}

/// The longest straight side from its squarest end.
fn base_of(plan: &Plan) -> Option<Base> {
    let segments = &plan.outline.segments;
    let count = segments.len();
    let straight = |index: usize| match segments.get(index % count) {
        Some(&Segment::Line(from, to)) => Some((from, to)),
        _ => None,
    };
    let longest = (0..count).filter_map(|index| Some((index, straight(index)?))).max_by(
        |(a_index, a), (b_index, b)| {
            // The first of equally long sides, so that nothing depends on rounding's last digit.
            let (a, b) = (a.0.distance(a.1), b.0.distance(b.1));
            if (a - b).abs() < SAME_LINE_IN { b_index.cmp(a_index) } else { a.total_cmp(&b) }
        },
    );
    let Some((index, (from, to))) = longest else {
        let corner = *plan.region.outer.first()?;
        let (along, off) = (Vector::new(1.0, 0.0), Vector::new(0.0, 1.0));
        return Some(Base { corner, along, off, square_sides: None });
    };
    let along = (to - from).unit()?;
    let off = along.left();
    let square_with = |neighbour: Option<(Point, Point)>| {
        let (a, b) = neighbour?;
        let is_square = along.dot((b - a).unit()?).abs() <= SQUARE_SINE;
        is_square.then(|| (from.distance(to), a.distance(b)))
    };
    // At an inside corner the neighbour runs away from the slab's side of the base line.
    let is_inward = |far: Point| off.dot(far - from) > 0.0;
    let before = straight(index + count - 1).filter(|side| is_inward(side.0));
    let after = straight(index + 1).filter(|side| is_inward(side.1));
    let (at_start, at_end) = (square_with(before), square_with(after));
    Some(match (at_start, at_end) {
        (None, Some(sides)) => Base { corner: to, along: -along, off, square_sides: Some(sides) },
        (square_sides, _) => Base { corner: from, along, off, square_sides },
    })
}

/// The largest 3-4-5 in whole feet whose legs fit both sides, the longer leg on the longer side.
fn check_that_fits(one: f64, other: f64) -> Option<[f64; 3]> {
    let (long, short) = (one.max(other), one.min(other));
    let times = (short / 36.0).min(long / 48.0).floor().min(10.0);
    (times >= 1.0).then_some([36.0 * times, 48.0 * times, 60.0 * times])
}

fn push_diagonals(base: &Base, bounds: Bounds, of: &str, diagonals: &mut Vec<Diagonal>) {
    let (min, max) = (bounds.min, bounds.max);
    let pairs = [(min, max), (Point::new(max.x, min.y), Point::new(min.x, max.y))];
    diagonals.extend(pairs.into_iter().map(|(from, to)| Diagonal {
        from: base.plan(from),
        to: base.plan(to),
        length: from.distance(to),
        of: of.to_owned(),
    }));
}

/// The largest upright rectangles within an outline between the lines of its upright sides.
fn rectangles(outer: &[Point]) -> Vec<Bounds> {
    let upright: Vec<(Point, Point)> = polygon::edges(outer)
        .filter(|(from, to)| {
            let step = *to - *from;
            step.x.abs().min(step.y.abs()) <= SAME_LINE_IN && step.length() > SAME_LINE_IN
        })
        .collect();
    let lines = |across: bool| {
        let mut at: Vec<f64> = upright
            .iter()
            .filter(|(from, to)| ((to.x - from.x).abs() < (to.y - from.y).abs()) == across)
            .map(|(from, to)| if across { (from.x + to.x) / 2.0 } else { (from.y + to.y) / 2.0 })
            .collect();
        at.sort_by(f64::total_cmp);
        at.dedup_by(|a, b| (*a - *b).abs() <= SAME_LINE_IN);
        at
    };
    let (xs, ys) = (lines(true), lines(false));
    if xs.len() > MOST_LINES || ys.len() > MOST_LINES {
        return Vec::new();
    }
    let mut found: Vec<Bounds> = Vec::new();
    for (west_index, &west) in xs.iter().enumerate() {
        for &east in xs.iter().skip(west_index + 1) {
            for run in runs_inside(outer, (west, east), &ys) {
                found.push(run);
            }
        }
    }
    found.retain(|one| one.width().min(one.height()) >= SHORTEST_SIDE_IN);
    let largest = found.clone();
    found.retain(|one| {
        !largest.iter().any(|other| {
            other.contains(one.min) && other.contains(one.max) && !same_box(*one, *other)
        })
    });
    found
}

/// The longest runs between lines across that lie wholly inside between two lines along.
fn runs_inside(outer: &[Point], (west, east): (f64, f64), ys: &[f64]) -> Vec<Bounds> {
    let mut runs: Vec<Bounds> = Vec::new();
    for (&south, &north) in ys.iter().zip(ys.iter().skip(1)) {
        let strip = Bounds { min: Point::new(west, south), max: Point::new(east, north) };
        if !lies_inside(outer, strip) {
            continue;
        }
        match runs.last_mut() {
            Some(run) if run.max.y == south => run.max.y = north,
            _ => runs.push(strip),
        }
    }
    runs
}

/// Whether a box lies within a ring: its middle is inside and no side passes through it.
fn lies_inside(outer: &[Point], strip: Bounds) -> bool {
    let inner = strip.grown(-2.0 * SAME_LINE_IN);
    if inner.width() <= 0.0 || inner.height() <= 0.0 {
        return false;
    }
    polygon::ring_contains(outer, strip.center())
        && !polygon::edges(outer).any(|(from, to)| passes_through(inner, from, to))
}

fn same_box(one: Bounds, other: Bounds) -> bool {
    one.min.is_near(other.min) && one.max.is_near(other.max)
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::job::Job;

    fn plan(corners: &[(f64, f64)]) -> Plan {
        let corners: Vec<_> = corners.iter().map(|&(x, y)| (Point::feet(x, y), None)).collect();
        Plan::of(&Job::from_corners(&corners))
    }

    #[test]
    fn an_l_has_its_two_rectangles() {
        let l = [(0.0, 0.0), (40.0, 0.0), (40.0, 18.0), (24.0, 18.0), (24.0, 30.0), (0.0, 30.0)];
        let squared = square(&plan(&l));
        let lengths: Vec<(String, f64)> = squared
            .diagonals
            .iter()
            .map(|diagonal| (diagonal.of.clone(), (diagonal.length / 12.0 * 1e4).round() / 1e4))
            .collect();
        // 40 x 30 is 50 ft, 24 x 30 is 38.4187, 40 x 18 is 43.8634.
        assert_eq!(lengths.len(), 6);
        assert_eq!(lengths[0], ("enclosing rectangle".to_owned(), 50.0));
        assert_eq!(lengths[2].1, 38.4187);
        assert_eq!(lengths[4].1, 43.8634);
        assert_eq!(squared.check_legs, Some([360.0, 480.0, 600.0]));
    }

    #[test]
    fn corners_are_measured_from_the_base_lines() {
        let squared = square(&plan(&[(5.0, 5.0), (35.0, 5.0), (35.0, 25.0), (5.0, 25.0)]));
        let last = squared.offsets.last().expect("four corners");
        assert!((last.along).abs() < 1e-9 && (last.off - 240.0).abs() < 1e-9);
    }
}
