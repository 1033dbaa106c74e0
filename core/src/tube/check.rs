//! Whether circuits could be laid as drawn: run on every result before it is given out.
//!
//! Looks at the finished courses only, with arcs flattened, and knows nothing of how they were
//! made: no crossing, distance between runs, distance from walls and clearances, bend radius.
//! Two pieces of one tube that are less than about a half turn apart along it are the same bend
//! and are not compared.

#![expect(
    clippy::indexing_slicing,
    reason = "bucket and piece numbers come from this file's own loops over the same vectors"
)]

use super::field::Field;
use super::raster::whole;
use crate::geometry::nearest::{crossing, distance_between_lines};
use crate::geometry::{Bounds, Point, Segment};

/// How far flattened arcs may stand off, inches.
const CHORD_IN: f64 = 0.02;
/// How much nearer than they may runs come by rounding, inches.
pub const SLACK_IN: f64 = 0.03;

/// A finished circuit to be looked at.
#[derive(Clone, Debug)]
pub struct Course<'a> {
    /// From supply port to return port.
    pub path: &'a [Segment],
    /// How much of its beginning is leader, inches.
    pub leader_in: f64,
    /// How much of its end is leader, inches.
    pub leader_out: f64,
}

/// What must hold.
#[derive(Clone, Copy, Debug)]
pub struct Demands {
    /// Least distance between two runs, inches.
    pub least: f64,
    /// Least distance where one of them is a leader, inches.
    pub least_at_leaders: f64,
    /// Least distance of a bend from a straight run and from another bend, inches: less than
    /// `least` only where the spacing is so close that a return must be a bulb.
    pub least_at_bends: [f64; 2],
    /// Least bend radius, inches.
    pub radius: f64,
}

/// What does not hold, and where.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum Breach {
    /// Two runs cross.
    Crossing(Point),
    /// Two runs are too near each other.
    TooClose(Point, f64),
    /// A run leaves the floor where tube may lie.
    Outside(Point),
    /// A bend is too tight, or the course has a kink or a gap.
    Bend(Point),
}

impl Breach {
    /// Where it is.
    #[must_use]
    pub const fn at(&self) -> Point {
        match *self {
            Self::Crossing(at) | Self::TooClose(at, _) | Self::Outside(at) | Self::Bend(at) => at,
        }
    }
}

struct Piece {
    from: Point,
    to: Point,
    circuit: usize,
    along: f64,
    is_leader: bool,
    is_bend: bool,
}

/// Everything that is wrong with some circuits.
#[must_use]
pub fn breaches(courses: &[Course], field: &Field, demands: Demands) -> Vec<Breach> {
    let mut found = Vec::new();
    let mut pieces = Vec::new();
    for (circuit, course) in courses.iter().enumerate() {
        found.extend(bad_bends(course.path, demands.radius).map(Breach::Bend));
        cut_up(course, circuit, demands.least.max(2.0), &mut pieces);
    }
    found.extend(
        pieces
            .iter()
            .filter(|piece| !piece.is_leader && !field.is_clear(piece.from, piece.to))
            .map(|piece| Breach::Outside(piece.from)),
    );
    close_pairs(&pieces, demands, &mut found);
    found
}

/// Where a bend comes nearer to another run than runs may to each other: bulbs of a spacing so
/// close that they have no room.
#[must_use]
pub fn crowded_bends(courses: &[Course], demands: Demands) -> Vec<Point> {
    let mut pieces = Vec::new();
    for (circuit, course) in courses.iter().enumerate() {
        cut_up(course, circuit, demands.least.max(2.0), &mut pieces);
    }
    let mut found = Vec::new();
    let at_bends = Demands { least_at_bends: [demands.least; 2], ..demands };
    close_pairs(&pieces, at_bends, &mut found);
    found.iter().map(Breach::at).collect()
}

fn bad_bends(path: &[Segment], radius: f64) -> impl Iterator<Item = Point> + '_ {
    let tight = path.iter().filter_map(move |segment| match segment {
        Segment::Arc(arc) => {
            let circle = arc.circle()?;
            (circle.radius < radius - 0.001).then_some(arc.through)
        }
        Segment::Line(..) => None,
    });
    let kinks = path.windows(2).filter_map(|pair| {
        let before = crate::plan::direction_at_end(pair[0])?;
        let after = crate::plan::direction_at_start(pair[1])?;
        let is_smooth = before.dot(after) > 0.0 && before.cross(after).abs() < 0.03;
        let is_joined = pair[0].end().distance(pair[1].start()) < 1e-3;
        (!is_smooth || !is_joined).then(|| pair[1].start())
    });
    tight.chain(kinks)
}

fn cut_up(course: &Course, circuit: usize, longest: f64, pieces: &mut Vec<Piece>) {
    let total: f64 = course.path.iter().map(|segment| segment.length()).sum();
    let mut along = 0.0;
    for segment in course.path {
        let mut from = segment.start();
        for to in segment.flatten(CHORD_IN) {
            let length = from.distance(to);
            let parts = (length / longest).ceil().clamp(1.0, 1e5);
            #[expect(clippy::cast_possible_truncation, clippy::cast_sign_loss, reason = "clamped")]
            let parts = parts as usize;
            for part in 0..parts {
                let share = |n: usize| n as f64 / parts as f64;
                let (start, end) = (along + length * share(part), along + length * share(part + 1));
                pieces.push(Piece {
                    from: from.toward(to, share(part)),
                    to: from.toward(to, share(part + 1)),
                    circuit,
                    along: (start + end) / 2.0,
                    is_bend: matches!(segment, Segment::Arc(_)),
                    // All of it, since only leaders are marked as close.
                    is_leader: end < course.leader_in || start > total - course.leader_out,
                });
            }
            along += length;
            from = to;
        }
    }
}

fn close_pairs(pieces: &[Piece], demands: Demands, found: &mut Vec<Breach>) {
    let Some(bounds) = Bounds::of(pieces.iter().flat_map(|piece| [piece.from, piece.to])) else {
        return;
    };
    // A piece is no longer than a bucket is wide, so that all within reach of it touch the nine
    // buckets round its middle when the bucket is twice the distance asked for.
    let size = (2.0 * demands.least).max(4.0);
    let columns = whole(bounds.width() / size) + 1;
    let rows = whole(bounds.height() / size) + 1;
    let place = |piece: &Piece| {
        let middle = piece.from.middle(piece.to);
        let column = whole((middle.x - bounds.min.x) / size).min(columns - 1);
        let row = whole((middle.y - bounds.min.y) / size).min(rows - 1);
        (column, row)
    };
    let mut buckets: Vec<Vec<u32>> = vec![Vec::new(); columns * rows];
    for (number, piece) in pieces.iter().enumerate() {
        let (column, row) = place(piece);
        buckets[row * columns + column].push(u32::try_from(number).unwrap_or(u32::MAX));
    }
    let same_bend = std::f64::consts::PI * demands.radius.max(demands.least * 0.65) * 1.1;
    for (number, piece) in pieces.iter().enumerate() {
        let (column, row) = place(piece);
        for row in row.saturating_sub(1)..=(row + 1).min(rows - 1) {
            for column in column.saturating_sub(1)..=(column + 1).min(columns - 1) {
                for &other in &buckets[row * columns + column] {
                    let other = other as usize;
                    if other > number {
                        compare(piece, &pieces[other], demands, same_bend, found);
                    }
                }
            }
        }
    }
}

fn compare(a: &Piece, b: &Piece, demands: Demands, same_bend: f64, found: &mut Vec<Breach>) {
    let least = match (a.is_leader || b.is_leader, a.is_bend, b.is_bend) {
        (true, ..) => demands.least_at_leaders,
        (_, false, false) => demands.least,
        (_, true, true) => demands.least_at_bends[1],
        _ => demands.least_at_bends[0],
    };
    let (away, reach) = (b.from - a.from, 2.0 * demands.least + least + 2.0);
    if away.dot(away) > reach * reach {
        return;
    }
    let is_near_along = a.circuit == b.circuit && (a.along - b.along).abs() < same_bend;
    if is_near_along {
        let is_next =
            (a.along - b.along).abs() <= a.from.distance(a.to) + b.from.distance(b.to) + 1e-6;
        if !is_next && crossing((a.from, a.to), (b.from, b.to)).is_some() {
            found.push(Breach::Crossing(a.from));
        }
        return;
    }
    if lies_apart((a.from.x, a.to.x), (b.from.x, b.to.x), least)
        || lies_apart((a.from.y, a.to.y), (b.from.y, b.to.y), least)
    {
        return;
    }
    let distance = distance_between_lines((a.from, a.to), (b.from, b.to));
    if distance <= 0.0 {
        found.push(Breach::Crossing(a.from));
    } else if distance < least - SLACK_IN {
        found.push(Breach::TooClose(a.from, distance));
    }
}

/// Whether two stretches of one axis lie farther apart than `least`.
fn lies_apart(a: (f64, f64), b: (f64, f64), least: f64) -> bool {
    a.0.min(a.1) - b.0.max(b.1) > least || b.0.min(b.1) - a.0.max(a.1) > least
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::geometry::Polygon;
    use crate::tube::bends::bend_course;

    fn look(corners: &[&[(f64, f64)]]) -> Vec<Breach> {
        let field =
            Field::new(&[Polygon::rectangle(Point::new(-1.0, -1.0), Point::new(200.0, 200.0))])
                .unwrap();
        let paths: Vec<Vec<Segment>> = corners
            .iter()
            .map(|list| {
                let points: Vec<Point> = list.iter().map(|&(x, y)| Point::new(x, y)).collect();
                bend_course(&points, 5.0).unwrap()
            })
            .collect();
        let courses: Vec<Course> =
            paths.iter().map(|path| Course { path, leader_in: 0.0, leader_out: 0.0 }).collect();
        let demands =
            Demands { least: 9.6, least_at_leaders: 2.5, least_at_bends: [9.6, 9.6], radius: 5.0 };
        breaches(&courses, &field, demands)
    }

    #[test]
    fn a_good_serpentine_passes() {
        let lanes = [
            (0.0, 0.0),
            (100.0, 0.0),
            (100.0, 12.0),
            (12.0, 12.0),
            (12.0, 24.0),
            (100.0, 24.0),
            (100.0, 36.0),
            (0.0, 36.0),
        ];
        assert_eq!(look(&[&lanes]), vec![]);
    }

    #[test]
    fn a_bulb_that_crowds_the_next_run_is_found() {
        let bulb = [(0.0, 12.0), (80.0, 12.0), (80.0, 18.0), (0.0, 18.0)];
        let run = [(0.0, 24.0), (150.0, 24.0)];
        let paths = [&bulb[..], &run[..]].map(|list| {
            let points: Vec<Point> = list.iter().map(|&(x, y)| Point::new(x, y)).collect();
            bend_course(&points, 5.0).unwrap()
        });
        let courses: Vec<Course> =
            paths.iter().map(|path| Course { path, leader_in: 0.0, leader_out: 0.0 }).collect();
        // A bulb of 5 in radius stands 4 in off the next run at 6 in (project reference, bends).
        let demands =
            |least| Demands { least, least_at_leaders: 1.0, least_at_bends: [1.0; 2], radius: 5.0 };
        assert_eq!(crowded_bends(&courses, demands(3.9)), vec![]);
        assert!(!crowded_bends(&courses, demands(4.8)).is_empty());
    }

    #[test]
    fn each_kind_of_fault_is_seen() {
        let level = [(0.0, 50.0), (150.0, 50.0)];
        let upright = [(50.0, 0.0), (50.0, 150.0)];
        assert!(
            look(&[&level, &upright]).iter().any(|breach| matches!(breach, Breach::Crossing(_)))
        );
        let near = [(0.0, 55.0), (150.0, 55.0)];
        assert!(look(&[&level, &near]).iter().any(|breach| matches!(breach, Breach::TooClose(..))));
        let out = [(0.0, 150.0), (250.0, 150.0)];
        assert!(look(&[&out]).iter().any(|breach| matches!(breach, Breach::Outside(_))));
        // A tube that crosses itself well apart along its course.
        let knot = [(0.0, 0.0), (100.0, 0.0), (100.0, 60.0), (50.0, 60.0), (50.0, -0.5)];
        assert!(look(&[&knot]).iter().any(|breach| matches!(breach, Breach::Crossing(_))));
    }
}
