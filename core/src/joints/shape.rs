//! What the rules ask of one panel: its least box, its angles, its inside corners.

#![expect(clippy::indexing_slicing, reason = "every index is made by this file's own loops")]

use crate::geometry::{Point, Vector, polygon::edges};
use crate::units::exact_math;

/// The sizes of the least box (by area) round some points, longer first, inches.
///
/// A least box lies along a side of the hull. Of boxes of the same area the longer one counts,
/// so that no other measure of the same panel finds it worse.
#[must_use]
pub fn least_box(points: &[Point]) -> (f64, f64) {
    let hull = hull(points);
    let mut best: Option<(f64, f64)> = None;
    let upright = [Vector::new(1.0, 0.0)];
    let sides = edges(&hull).filter_map(|(from, to)| (to - from).unit());
    for along in upright.into_iter().take(usize::from(hull.len() < 3)).chain(sides) {
        let (a, b) = (extent(&hull, along), extent(&hull, along.left()));
        let (long, short) = (a.max(b), a.min(b));
        let is_better = best.is_none_or(|(best_long, best_short)| {
            let (area, best_area) = (long * short, best_long * best_short);
            area < best_area * (1.0 - 1e-7) || (area < best_area * (1.0 + 1e-7) && long > best_long)
        });
        if is_better {
            best = Some((long, short));
        }
    }
    best.unwrap_or_default()
}

fn extent(points: &[Point], along: Vector) -> f64 {
    let (low, high) = points
        .iter()
        .map(|point| point.to_vector().dot(along))
        .fold((f64::INFINITY, f64::NEG_INFINITY), |(low, high), at| (low.min(at), high.max(at)));
    (high - low).max(0.0)
}

/// Convex hull, counter-clockwise.
#[must_use]
pub fn hull(points: &[Point]) -> Vec<Point> {
    let mut sorted = points.to_vec();
    sorted.sort_by(|a, b| a.x.total_cmp(&b.x).then(a.y.total_cmp(&b.y)));
    let half = |points: &mut dyn Iterator<Item = Point>| {
        let mut chain: Vec<Point> = Vec::new();
        for point in points {
            while chain.len() > 1 {
                let (a, b) = (chain[chain.len() - 2], chain[chain.len() - 1]);
                if (b - a).cross(point - b) > 0.0 {
                    break;
                }
                chain.pop();
            }
            chain.push(point);
        }
        chain.pop();
        chain
    };
    let mut ring = half(&mut sorted.iter().copied());
    ring.extend(half(&mut sorted.iter().rev().copied()));
    ring
}

/// The interior angle at a corner of a counter-clockwise ring, radians.
#[must_use]
pub fn angle(before: Point, at: Point, after: Point) -> f64 {
    let (arriving, leaving) = (at - before, after - at);
    let turn = exact_math::atan2(arriving.cross(leaving), arriving.dot(leaving));
    std::f64::consts::PI - turn
}

/// The interior angle at each corner of a counter-clockwise ring, radians.
pub fn angles(ring: &[Point]) -> impl Iterator<Item = (Point, f64)> + '_ {
    let count = ring.len();
    (0..count).map(move |index| {
        let (before, at, after) =
            (ring[(index + count - 1) % count], ring[index], ring[(index + 1) % count]);
        (at, angle(before, at, after))
    })
}

/// The ring without corners that do not turn and without repeated ones.
#[must_use]
pub fn tidy(ring: &[Point]) -> Vec<Point> {
    let mut kept: Vec<Point> = ring.to_vec();
    loop {
        let count = kept.len();
        if count < 4 {
            return kept;
        }
        let redundant = (0..count).find(|&index| {
            let (before, at, after) =
                (kept[(index + count - 1) % count], kept[index], kept[(index + 1) % count]);
            let (a, b) = (at - before, after - at);
            let reach = a.length().min(b.length());
            reach < 1e-6 || ((a.cross(b)).abs() < 1e-6 * a.length() * b.length() && a.dot(b) > 0.0)
        });
        match redundant {
            Some(index) => {
                kept.remove(index);
            }
            None => return kept,
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_least_box_of_a_turned_rectangle_is_the_rectangle() {
        let along = Vector::from_angle(0.4);
        let corner = Point::new(7.0, 3.0);
        let ring = [
            corner,
            corner + along * 120.0,
            corner + along * 120.0 + along.left() * 90.0,
            corner + along.left() * 90.0,
        ];
        let (long, short) = least_box(&ring);
        assert!((long - 120.0).abs() < 1e-9 && (short - 90.0).abs() < 1e-9);
        assert!(angles(&ring).all(|(_, angle)| (angle.to_degrees() - 90.0).abs() < 1e-9));
    }

    #[test]
    fn corners_that_do_not_turn_are_dropped() {
        let ring = [(0.0, 0.0), (5.0, 0.0), (10.0, 0.0), (10.0, 10.0), (10.0, 10.0), (0.0, 10.0)]
            .map(Point::from);
        assert_eq!(tidy(&ring).len(), 4);
    }
}
