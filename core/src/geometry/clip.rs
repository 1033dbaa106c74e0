//! Union, intersection and difference of polygons, and lines cut by them: the one place that
//! calls the boolean engine.
//!
//! The engine works on an integer grid fitted to the input, so results stand off by about
//! 5e-7 in at house size; vertex order and identity are not kept. Callers compare with
//! [`super::tolerance::SAME_POINT_IN`] and find the owner of a side by its place. Input is checked
//! to be finite; a fault inside the engine is caught and becomes an empty answer, which callers
//! notice by its area.

use super::polygon::signed_area;
use super::{Point, Polygon, tolerance};
use geo::{BooleanOps, Coord, LineString, MultiLineString, MultiPolygon};
use std::panic::{AssertUnwindSafe, catch_unwind};

/// What `a` and `b` share.
#[must_use]
pub fn intersection(a: &[Polygon], b: &[Polygon]) -> Vec<Polygon> {
    combine(a, b, |a, b| a.intersection(b))
}

/// `a` and `b` together.
#[must_use]
pub fn union(a: &[Polygon], b: &[Polygon]) -> Vec<Polygon> {
    combine(a, b, |a, b| a.union(b))
}

/// `a` without `b`.
#[must_use]
pub fn difference(a: &[Polygon], b: &[Polygon]) -> Vec<Polygon> {
    combine(a, b, |a, b| a.difference(b))
}

/// All of them together, overlaps counted once.
#[must_use]
pub fn union_all(polygons: &[Polygon]) -> Vec<Polygon> {
    // Halving keeps both sides of every union about equally small.
    match polygons {
        [] => Vec::new(),
        [one] => union(std::slice::from_ref(one), &[]),
        many => {
            let (left, right) = many.split_at(many.len() / 2);
            union(&union_all(left), &union_all(right))
        }
    }
}

/// The parts of an open line that lie inside `region`, in no promised order or direction.
#[must_use]
pub fn line_inside(line: &[Point], region: &[Polygon]) -> Vec<Vec<Point>> {
    if line.len() < 2 || !line.iter().all(|point| point.is_finite()) || !all_finite(region) {
        return Vec::new();
    }
    let lines = MultiLineString::new(vec![LineString::new(line.iter().map(to_coord).collect())]);
    let region = to_geo(region);
    let clipped = catch_unwind(AssertUnwindSafe(|| region.clip(&lines, false)));
    clipped.map_or_else(
        |_| Vec::new(),
        |parts| {
            parts
                .into_iter()
                .map(|part| part.coords().map(|coord| Point::new(coord.x, coord.y)).collect())
                .collect()
        },
    )
}

fn combine(
    a: &[Polygon],
    b: &[Polygon],
    operation: impl Fn(&MultiPolygon, &MultiPolygon) -> MultiPolygon,
) -> Vec<Polygon> {
    if !all_finite(a) || !all_finite(b) {
        return Vec::new();
    }
    let (a, b) = (to_geo(a), to_geo(b));
    catch_unwind(AssertUnwindSafe(|| operation(&a, &b))).map_or_else(|_| Vec::new(), from_geo)
}

fn all_finite(polygons: &[Polygon]) -> bool {
    polygons
        .iter()
        .flat_map(Polygon::rings)
        .flatten()
        .all(|point| point.is_finite() && point.x.abs() < 1e9 && point.y.abs() < 1e9)
}

fn to_coord(point: &Point) -> Coord {
    Coord { x: point.x, y: point.y }
}

fn to_line_string(ring: &[Point]) -> LineString {
    LineString::new(ring.iter().chain(ring.first()).map(to_coord).collect())
}

/// To the boolean engine's own type.
pub(super) fn to_geo(polygons: &[Polygon]) -> MultiPolygon {
    polygons
        .iter()
        .map(|polygon| {
            geo::Polygon::new(
                to_line_string(&polygon.outer),
                polygon.holes.iter().map(|hole| to_line_string(hole)).collect(),
            )
        })
        .collect()
}

/// From the boolean engine's own type: rings opened, turned to the agreed direction, crumbs
/// below [`tolerance::CRUMB_IN2`] dropped.
pub(super) fn from_geo(polygons: MultiPolygon) -> Vec<Polygon> {
    let open = |ring: &LineString| -> Vec<Point> {
        let mut points: Vec<Point> =
            ring.coords().map(|coord| Point::new(coord.x, coord.y)).collect();
        points.pop();
        points
    };
    polygons
        .into_iter()
        .map(|polygon| {
            let holes = polygon
                .interiors()
                .iter()
                .map(open)
                .filter(|hole| signed_area(hole).abs() > tolerance::CRUMB_IN2)
                .collect();
            Polygon::new(open(polygon.exterior()), holes)
        })
        .filter(|polygon| polygon.area() > tolerance::CRUMB_IN2)
        .collect()
}

#[cfg(test)]
mod tests {
    use super::*;

    fn square(x: f64, y: f64, size: f64) -> Polygon {
        Polygon::rectangle(Point::new(x, y), Point::new(x + size, y + size))
    }

    fn area(polygons: &[Polygon]) -> f64 {
        polygons.iter().map(Polygon::area).sum()
    }

    #[test]
    fn booleans_of_two_squares() {
        let (a, b) = ([square(0.0, 0.0, 100.0)], [square(50.0, 50.0, 100.0)]);
        assert!((area(&intersection(&a, &b)) - 2500.0).abs() < 1e-3);
        assert!((area(&union(&a, &b)) - 17500.0).abs() < 1e-3);
        assert!((area(&difference(&a, &b)) - 7500.0).abs() < 1e-3);
        assert!((area(&difference(&a, &[square(25.0, 25.0, 50.0)])) - 7500.0).abs() < 1e-3);
        assert!(
            (area(&union_all(&[
                square(0.0, 0.0, 10.0),
                square(5.0, 0.0, 10.0),
                square(40.0, 0.0, 10.0)
            ])) - 250.0)
                .abs()
                < 1e-3
        );
    }

    #[test]
    fn not_a_number_is_refused_quietly() {
        assert!(union(&[square(f64::NAN, 0.0, 1.0)], &[]).is_empty());
    }

    #[test]
    fn a_line_through_a_hole_comes_back_in_two_parts() {
        let frame = difference(&[square(0.0, 0.0, 100.0)], &[square(25.0, 25.0, 50.0)]);
        let parts = line_inside(&[Point::new(-10.0, 50.0), Point::new(110.0, 50.0)], &frame);
        let length: f64 = parts
            .iter()
            .flat_map(|part| part.iter().zip(part.iter().skip(1)))
            .map(|(a, b)| a.distance(*b))
            .sum();
        assert_eq!(parts.len(), 2);
        assert!((length - 50.0).abs() < 1e-3);
    }
}
