//! End seams, and how far those of neighbouring courses stand apart.
//!
//! Question: where do pieces of one course meet end to end, and do those seams keep the stagger?
//! Seams are read off the outlines alone: wherever a side across the courses is shared, also
//! where the shape of the floor made it (a wall's corner inside a course) and not a cut.
#![expect(
    clippy::indexing_slicing,
    reason = "every index is made by this file's own loops over the same vectors"
)]

use super::search::Layout;
use crate::geometry::{Point, polygon};

/// Sides across the courses at places nearer than this are one seam, inches.
const ONE_PLACE: f64 = 0.01;
/// A seam that ends nearer than this to a course line meets it, and a shared side shorter than
/// this is none, inches: what a knife cannot follow.
pub(super) const MEETS: f64 = 0.1;

/// An end seam in a course.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(super) struct EndSeam {
    /// Where along the course.
    pub at: f64,
    /// It meets the course's lower line.
    pub meets_low: bool,
    /// It meets the course's upper line.
    pub meets_high: bool,
}

impl EndSeam {
    /// The seam at a place from one height to another in a course between two lines.
    pub fn new(at: f64, (low, high): (f64, f64), band: (f64, f64)) -> Self {
        Self { at, meets_low: low < band.0 + MEETS, meets_high: high > band.1 - MEETS }
    }
}

/// A side across the courses.
struct Across {
    at: f64,
    low: f64,
    high: f64,
    band: (f64, f64),
    /// The outline lies before it.
    is_end: bool,
}

/// The seams between outlines in course axes, counter-clockwise, each with its course and the two
/// lines that bound the course; by course, in the order along it.
pub(super) fn end_seams(
    outlines: impl Iterator<Item = (usize, (f64, f64), Vec<Point>)>,
    courses: usize,
) -> Vec<Vec<EndSeam>> {
    let mut sides: Vec<Vec<Across>> = (0..courses).map(|_| Vec::new()).collect();
    for (course, band, ring) in outlines {
        for (from, to) in polygon::edges(&ring) {
            let (low, high) = (from.y.min(to.y), from.y.max(to.y));
            if (from.x - to.x).abs() < ONE_PLACE && high - low > MEETS {
                sides[course].push(Across { at: to.x, low, high, band, is_end: to.y > from.y });
            }
        }
    }
    sides.into_iter().map(seams_between).collect()
}

fn seams_between(mut sides: Vec<Across>) -> Vec<EndSeam> {
    sides.sort_by(|a, b| a.at.total_cmp(&b.at).then(a.low.total_cmp(&b.low)));
    let mut seams = Vec::new();
    for (index, side) in sides.iter().enumerate() {
        for next in sides[index + 1..].iter().take_while(|next| next.at < side.at + ONE_PLACE) {
            let (low, high) = (side.low.max(next.low), side.high.min(next.high));
            if side.is_end != next.is_end && high - low > MEETS {
                seams.push(EndSeam::new(side.at, (low, high), side.band));
            }
        }
    }
    seams
}

/// How many seams of neighbouring courses, by course in order, come nearer than `asked` to one
/// another.
pub(super) fn close_pairs(seams: &[Vec<EndSeam>], asked: f64) -> usize {
    let close = |pair: &[Vec<EndSeam>]| {
        let lower = pair[0].iter().filter(|seam| seam.meets_high);
        let near = |at: f64| {
            let is_near =
                |upper: &&EndSeam| upper.meets_low && (upper.at - at).abs() < asked - ONE_PLACE;
            pair[1].iter().filter(is_near).count()
        };
        lower.map(|seam| near(seam.at)).sum::<usize>()
    };
    seams.windows(2).map(close).sum()
}

/// The least distance between end seams of neighbouring courses, and the places on the plan where
/// it is less than the stagger asked for. Infinite when no two seams meet one course line.
pub(super) fn check_stagger(layout: &Layout) -> (f64, Vec<Point>) {
    let strips = &layout.task.strips;
    let courses = strips.iter().map(|strip| strip.course + 1).max().unwrap_or(0);
    let mut lines = vec![0.0; courses];
    for strip in strips {
        lines[strip.course] = strip.band.1;
    }
    let outlines = layout.filled.laid.iter().map(|piece| {
        let strip = &strips[piece.strip];
        (strip.course, strip.band, strip.outline(piece.from, piece.to))
    });
    let seams = end_seams(outlines, courses);
    let (mut least, mut close) = (f64::INFINITY, Vec::new());
    let (asked, reach) = (layout.task.stock.stagger - ONE_PLACE, 2.0 * layout.task.stock.length);
    for (course, pair) in seams.windows(2).enumerate() {
        for lower in pair[0].iter().filter(|seam| seam.meets_high) {
            let start = pair[1].partition_point(|seam| seam.at < lower.at - reach);
            for upper in pair[1][start..].iter().take_while(|seam| seam.at < lower.at + reach) {
                if !upper.meets_low {
                    continue;
                }
                let apart = (upper.at - lower.at).abs();
                least = least.min(apart);
                if apart < asked {
                    let at = Point::new(f64::midpoint(lower.at, upper.at), lines[course]);
                    close.push(layout.frame.plan_from_course(at));
                }
            }
        }
    }
    (least, close)
}

/// Places on the plan where an end seam comes nearer to one of the layer above than asked.
pub(super) fn seams_over_seams(layout: &Layout) -> Vec<Point> {
    let task = &layout.task;
    let asked = task.stock.apart - ONE_PLACE;
    let mut places = Vec::new();
    for piece in &layout.filled.laid {
        let strip = &task.strips[piece.strip];
        let is_near = |at: &f64| (piece.to - at).abs() < asked;
        if piece.to < strip.end() - ONE_PLACE && task.avoided[strip.course].iter().any(is_near) {
            let (low, high) = strip.side_at(piece.to);
            let at = Point::new(piece.to, f64::midpoint(low, high));
            places.push(layout.frame.plan_from_course(at));
        }
    }
    places
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::geometry::Polygon;

    fn piece(from: (f64, f64), to: (f64, f64)) -> (usize, (f64, f64), Vec<Point>) {
        let ring = Polygon::rectangle(Point::new(from.0, from.1), Point::new(to.0, to.1)).outer;
        (0, (0.0, 48.0), ring)
    }

    #[test]
    fn a_corner_inside_a_piece_makes_a_seam_too() {
        // The second piece comes down to the course line at 60 only: the small one beside it
        // meets it there, though neither ends the other's strip.
        let stepped =
            [(40.0, 10.0), (60.0, 10.0), (60.0, 0.0), (90.0, 0.0), (90.0, 48.0), (40.0, 48.0)];
        let bent = stepped.map(|(x, y)| Point::new(x, y)).to_vec();
        let small = piece((50.0, 0.0), (60.0, 9.0));
        let seams = end_seams([(0, (0.0, 48.0), bent), small].into_iter(), 1);
        assert_eq!(seams[0], vec![EndSeam { at: 60.0, meets_low: true, meets_high: false }]);
        let whole = end_seams(
            [piece((0.0, 0.0), (96.0, 48.0)), piece((96.0, 0.0), (192.0, 48.0))].into_iter(),
            1,
        );
        assert_eq!(whole[0], vec![EndSeam { at: 96.0, meets_low: true, meets_high: true }]);
    }
}
