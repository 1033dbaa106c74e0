//! Union, intersection and difference of polygons, and lines cut by them: the one place that
//! calls the boolean engine.
//!
//! The engine works on an integer grid fitted to the input, so results stand off by about
//! 5e-7 in at house size; vertex order and identity are not kept. Callers compare with
//! [`super::tolerance::SAME_POINT_IN`] and find the owner of a side by its place. Input is checked
//! to be finite; a fault inside the engine is caught and becomes an empty answer, which callers
//! notice by its area.
//!
//! The engine can put its rings together in two ways. The strict one, which splits a ring where it
//! touches itself, has been seen to lose an island in a hole together with a hole beside it
//! (`an_island_in_a_hole_and_a_hole_beside_it_both_stay`). So rings are put together the plain way,
//! and the strict way is asked only about rings that touch themselves, and believed only where both
//! ways have the same area.

use super::polygon::signed_area;
use super::{Point, Polygon, tolerance};
use geo::{BooleanOps, Coord, LineString, MultiLineString, MultiPolygon};
use i_overlay::core::fill_rule::FillRule;
use i_overlay::core::overlay_rule::OverlayRule;
use i_overlay::float::overlay::{FloatOverlay, OverlayOptions};
use std::panic::{AssertUnwindSafe, catch_unwind};

/// What `a` and `b` share.
#[must_use]
pub fn intersection(a: &[Polygon], b: &[Polygon]) -> Vec<Polygon> {
    combine(a, b, OverlayRule::Intersect)
}

/// `a` and `b` together.
#[must_use]
pub fn union(a: &[Polygon], b: &[Polygon]) -> Vec<Polygon> {
    combine(a, b, OverlayRule::Union)
}

/// `a` without `b`.
#[must_use]
pub fn difference(a: &[Polygon], b: &[Polygon]) -> Vec<Polygon> {
    combine(a, b, OverlayRule::Difference)
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

/// Rings as the engine reads and gives them.
type Rings = Vec<Vec<[f64; 2]>>;

fn combine(a: &[Polygon], b: &[Polygon], rule: OverlayRule) -> Vec<Polygon> {
    if !all_finite(a) || !all_finite(b) {
        return Vec::new();
    }
    let (a, b) = (to_rings(a), to_rings(b));
    let put_together = |options: OverlayOptions<f64>| {
        let overlaid = catch_unwind(AssertUnwindSafe(|| {
            FloatOverlay::with_subj_and_clip_custom(&a, &b, options, Default::default())
                .overlay(rule, FillRule::EvenOdd)
        }));
        overlaid.map_or_else(|_| Vec::new(), from_rings)
    };
    let plain = put_together(OverlayOptions::default());
    if !plain.iter().flat_map(Polygon::rings).any(|ring| touches_itself(ring)) {
        return plain;
    }
    let strict = put_together(OverlayOptions::ogc());
    let area = |polygons: &[Polygon]| polygons.iter().map(Polygon::area).sum::<f64>();
    if (area(&strict) - area(&plain)).abs() <= tolerance::CRUMB_IN2 { strict } else { plain }
}

/// Whether a ring comes back to one of its corners.
fn touches_itself(ring: &[Point]) -> bool {
    let mut corners = ring.to_vec();
    corners.sort_by(|a, b| a.x.total_cmp(&b.x).then(a.y.total_cmp(&b.y)));
    corners.iter().zip(corners.iter().skip(1)).any(|(a, b)| a == b)
}

fn to_rings(polygons: &[Polygon]) -> Rings {
    let ring = |corners: &Vec<Point>| corners.iter().map(|corner| [corner.x, corner.y]).collect();
    polygons.iter().flat_map(Polygon::rings).map(ring).collect()
}

fn from_rings(shapes: Vec<Rings>) -> Vec<Polygon> {
    let ring = |ring: Vec<[f64; 2]>| ring.into_iter().map(|[x, y]| Point::new(x, y)).collect();
    without_crumbs(shapes.into_iter().map(|shape| {
        let mut rings = shape.into_iter().map(ring);
        (rings.next().unwrap_or_default(), rings.collect())
    }))
}

/// Outlines with their holes as polygons turned to the agreed direction, crumbs below
/// [`tolerance::CRUMB_IN2`] dropped.
fn without_crumbs(shapes: impl Iterator<Item = (Vec<Point>, Vec<Vec<Point>>)>) -> Vec<Polygon> {
    shapes
        .map(|(outer, mut holes)| {
            holes.retain(|hole| signed_area(hole).abs() > tolerance::CRUMB_IN2);
            Polygon::new(outer, holes)
        })
        .filter(|polygon| polygon.area() > tolerance::CRUMB_IN2)
        .collect()
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

/// To the geometry library's type.
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

/// From the geometry library's type, whose rings end where they began.
pub(super) fn from_geo(polygons: MultiPolygon) -> Vec<Polygon> {
    let open = |ring: &LineString| -> Vec<Point> {
        let mut points: Vec<Point> =
            ring.coords().map(|coord| Point::new(coord.x, coord.y)).collect();
        points.pop();
        points
    };
    without_crumbs(
        polygons.into_iter().map(|polygon| {
            (open(polygon.exterior()), polygon.interiors().iter().map(open).collect())
        }),
    )
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

    /// A frame that turns, a box with a hole in it within the frame, and two triangles. The area
    /// is that of another overlay library (GEOS, through shapely 2).
    #[test]
    fn an_island_in_a_hole_and_a_hole_beside_it_both_stay() {
        let ring = |corners: &[(f64, f64)]| -> Vec<Point> {
            corners.iter().map(|&(x, y)| Point::new(x, y)).collect()
        };
        let shape =
            |outer: &[(f64, f64)], hole: &[(f64, f64)]| Polygon::new(ring(outer), vec![ring(hole)]);
        let alone = |corners: &[(f64, f64)]| Polygon::new(ring(corners), Vec::new());
        let frame = shape(
            &[(-170.0, 1690.0), (-240.0, 1500.0), (-110.0, 1460.0), (-40.0, 1640.0)],
            &[(-50.0, 1630.0), (-110.0, 1460.0), (-230.0, 1500.0), (-160.0, 1680.0)],
        );
        let box_with_hole = shape(
            &[(-170.0, 1610.0), (-170.0, 1560.0), (-110.0, 1560.0), (-110.0, 1610.0)],
            &[(-160.0, 1600.0), (-120.0, 1600.0), (-120.0, 1570.0)],
        );
        let triangles = [
            alone(&[(-200.0, 1490.0), (-130.0, 1480.0), (-130.0, 1490.0)]),
            alone(&[(-200.0, 1600.0), (-150.0, 1570.0), (-180.0, 1580.0)]),
        ];
        let together = union(&triangles, &[frame, box_with_hole]);
        assert!((area(&together) - 7_037.441_441).abs() < 1e-3, "{}", area(&together));
    }

    #[test]
    fn a_ring_that_touches_itself_comes_back_in_two_parts() {
        let pair = [square(0.0, 0.0, 10.0), square(10.0, 10.0, 10.0)];
        let together = union_all(&pair);
        assert!((area(&together) - 200.0).abs() < 1e-6);
        assert!(together.iter().flat_map(Polygon::rings).all(|ring| !touches_itself(ring)));
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
