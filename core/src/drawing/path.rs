//! Paths of lines and true curves, made and measured the same way on every machine.
//!
//! Arcs become cubic curves of at most an eighth of a circle, whose radial error is 4.2e-6 of
//! the radius: under 1/800 in on a 20 ft radius.

use super::{BezPath, PathEl, Spot, Vec2};
use crate::units::exact_math;
use std::f64::consts::{FRAC_PI_4, TAU};

/// A straight line.
#[must_use]
pub fn line(from: Spot, to: Spot) -> BezPath {
    polyline(&[from, to])
}

/// An open line through points.
#[must_use]
pub fn polyline(points: &[Spot]) -> BezPath {
    let mut path = BezPath::new();
    for (place, &point) in points.iter().enumerate() {
        if place == 0 {
            path.move_to(point);
        } else {
            path.line_to(point);
        }
    }
    path
}

/// A closed ring through points.
#[must_use]
pub fn polygon(points: &[Spot]) -> BezPath {
    let mut path = polyline(points);
    if !points.is_empty() {
        path.close_path();
    }
    path
}

/// An upright rectangle.
#[must_use]
pub fn rectangle(rect: super::Rect) -> BezPath {
    polygon(&[
        Spot::new(rect.x0, rect.y0),
        Spot::new(rect.x1, rect.y0),
        Spot::new(rect.x1, rect.y1),
        Spot::new(rect.x0, rect.y1),
    ])
}

/// A step of length 1 at an angle, radians counter-clockwise where y points up.
#[must_use]
pub fn direction(angle: f64) -> Vec2 {
    let (sin, cos) = exact_math::sin_cos(angle);
    Vec2::new(cos, sin)
}

/// Adds an arc about `center` to a path that stands at its start; angles in the path's own axes.
pub fn arc_to(path: &mut BezPath, center: Spot, radius: f64, start_angle: f64, sweep: f64) {
    let pieces = (sweep.abs() / FRAC_PI_4).ceil().clamp(1.0, 16.0);
    let step = sweep / pieces;
    let reach = 4.0 / 3.0 * exact_math::tan(step / 4.0) * radius;
    let mut piece = 0.0;
    while piece < pieces {
        let (from, to) = (start_angle + step * piece, start_angle + step * (piece + 1.0));
        let (out_from, out_to) = (direction(from), direction(to));
        let (start, end) = (center + out_from * radius, center + out_to * radius);
        let (ahead, back) =
            (Vec2::new(-out_from.y, out_from.x) * reach, Vec2::new(-out_to.y, out_to.x) * reach);
        path.curve_to(start + ahead, end - back, end);
        piece += 1.0;
    }
}

/// A whole circle.
#[must_use]
pub fn circle(center: Spot, radius: f64) -> BezPath {
    let mut path = BezPath::new();
    path.move_to(center + Vec2::new(radius, 0.0));
    arc_to(&mut path, center, radius, 0.0, TAU);
    path.close_path();
    path
}

/// Each sub-path of a path as points, with whether it is closed; chords of curves stand off at
/// most `tolerance`.
#[must_use]
pub fn flatten(path: &BezPath, tolerance: f64) -> Vec<(Vec<Spot>, bool)> {
    let mut rings: Vec<(Vec<Spot>, bool)> = Vec::new();
    for element in path.elements() {
        match *element {
            PathEl::MoveTo(to) => rings.push((vec![to], false)),
            PathEl::ClosePath => {
                if let Some((points, is_closed)) = rings.last_mut() {
                    *is_closed = true;
                    // What follows a closing starts again at the first point.
                    if let Some(&first) = points.first() {
                        rings.push((vec![first], false));
                    }
                }
            }
            PathEl::LineTo(to) => extend(&mut rings, |points, _| points.push(to)),
            PathEl::QuadTo(c, to) => extend(&mut rings, |points, from| {
                let (a, b) = (from + (c - from) * (2.0 / 3.0), to + (c - to) * (2.0 / 3.0));
                flatten_cubic([from, a, b, to], tolerance, points);
            }),
            PathEl::CurveTo(a, b, to) => extend(&mut rings, |points, from| {
                flatten_cubic([from, a, b, to], tolerance, points);
            }),
        }
    }
    rings.retain(|(points, _)| points.len() > 1);
    rings
}

fn extend(rings: &mut [(Vec<Spot>, bool)], add: impl FnOnce(&mut Vec<Spot>, Spot)) {
    if let Some((points, _)) = rings.last_mut()
        && let Some(&from) = points.last()
    {
        add(points, from);
    }
}

/// Even steps of a cubic: the chord error of `n` steps is at most `bend / (8 n²)`, where `bend`
/// bounds the second derivative.
fn flatten_cubic([p0, p1, p2, p3]: [Spot; 4], tolerance: f64, points: &mut Vec<Spot>) {
    let first = (p2.to_vec2() - p1.to_vec2() * 2.0 + p0.to_vec2()) * 6.0;
    let second = (p3.to_vec2() - p2.to_vec2() * 2.0 + p1.to_vec2()) * 6.0;
    let length = |v: Vec2| exact_math::hypot(v.x, v.y);
    let bend = length(first).max(length(second));
    let steps = (bend / (8.0 * tolerance.max(1e-6))).sqrt().ceil().clamp(1.0, 200.0);
    let mut step = 1.0;
    while step < steps {
        let t = step / steps;
        let s = 1.0 - t;
        let sum = p0.to_vec2() * (s * s * s)
            + p1.to_vec2() * (3.0 * s * s * t)
            + p2.to_vec2() * (3.0 * s * t * t)
            + p3.to_vec2() * (t * t * t);
        points.push(sum.to_point());
        step += 1.0;
    }
    points.push(p3);
}

/// The box round all points and control points of a path; `None` for an empty path.
#[must_use]
pub fn bounds(path: &BezPath) -> Option<super::Rect> {
    let spots = path.elements().iter().flat_map(|element| match *element {
        PathEl::MoveTo(p) | PathEl::LineTo(p) => vec![p],
        PathEl::QuadTo(a, p) => vec![a, p],
        PathEl::CurveTo(a, b, p) => vec![a, b, p],
        PathEl::ClosePath => Vec::new(),
    });
    spots.fold(None, |rect: Option<super::Rect>, spot| {
        let here = super::Rect::new(spot.x, spot.y, spot.x, spot.y);
        Some(rect.map_or(here, |rect| rect.union(here)))
    })
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn an_arc_of_eighths_keeps_its_radius_within_five_millionths() {
        let path = circle(Spot::new(3.0, -2.0), 240.0);
        for (points, _) in flatten(&path, 1e-4) {
            for point in points {
                let radius = (point - Spot::new(3.0, -2.0)).hypot();
                assert!((radius / 240.0 - 1.0).abs() < 5e-6, "{radius}");
            }
        }
    }

    #[test]
    fn flattening_closes_and_opens_again() {
        let mut path = polygon(&[Spot::ZERO, Spot::new(1.0, 0.0), Spot::new(1.0, 1.0)]);
        path.move_to((5.0, 5.0));
        path.line_to((6.0, 5.0));
        let rings = flatten(&path, 0.1);
        assert_eq!(rings.len(), 2);
        assert!(rings[0].1 && !rings[1].1);
    }
}
