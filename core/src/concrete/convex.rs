//! Planes over the plan and convex pieces of plan: cut along a line, area, volume under a plane.
//!
//! Every exact volume of this room is a sum over convex pieces. A cut gives both halves the very
//! same new points, so however often pieces are cut their areas still add up to the whole.

use crate::geometry::{Point, Vector};

/// Closer to a cutting line than this, in inches, a corner counts as on it. A slip of this size
/// along a hundred feet of a foot of depth is a thousandth of a cubic inch.
pub(crate) const ON_LINE_IN: f64 = 1e-7;
/// Pieces smaller than this, in square inches, are rounding and dropped.
pub(crate) const CRUMB_IN2: f64 = 1e-9;

/// A depth below floor level that changes evenly over the plan.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(crate) struct Plane {
    /// Inches deeper for each inch east and north.
    slope: Vector,
    /// Depth at the origin of the plan's axes.
    at_origin: f64,
}

impl Plane {
    /// The same depth everywhere.
    pub(crate) const fn level(depth: f64) -> Self {
        Self { slope: Vector::new(0.0, 0.0), at_origin: depth }
    }

    /// `depth` at `from`, and `rate` inches deeper for each inch along the unit step `direction`.
    pub(crate) fn falling(from: Point, depth: f64, direction: Vector, rate: f64) -> Self {
        let slope = direction * rate;
        Self { slope, at_origin: depth - slope.dot(from.to_vector()) }
    }

    /// The plane through three places with their depths; level when they lie on one line.
    pub(crate) fn through(places: [(Point, f64); 3]) -> Self {
        let [(a, at_a), (b, at_b), (c, at_c)] = places;
        let (to_b, to_c) = (b - a, c - a);
        let twice_area = to_b.cross(to_c);
        if twice_area.abs() <= f64::EPSILON * to_b.length() * to_c.length() {
            return Self::level(at_a);
        }
        let (rise_b, rise_c) = (at_b - at_a, at_c - at_a);
        let slope = Vector::new(
            (rise_b * to_c.y - rise_c * to_b.y) / twice_area,
            (rise_c * to_b.x - rise_b * to_c.x) / twice_area,
        );
        Self { slope, at_origin: at_a - slope.dot(a.to_vector()) }
    }

    /// Depth at a place.
    pub(crate) fn at(self, place: Point) -> f64 {
        self.slope.dot(place.to_vector()) + self.at_origin
    }

    /// The same plane so much deeper.
    pub(crate) fn lowered(self, by: f64) -> Self {
        Self { at_origin: self.at_origin + by, ..self }
    }

    /// How much deeper this plane is than another, as a plane of its own.
    pub(crate) fn less(self, other: Self) -> Self {
        Self { slope: self.slope - other.slope, at_origin: self.at_origin - other.at_origin }
    }
}

/// The side of an endless line: places whose step from `base` goes with `normal`, a unit step.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(crate) struct HalfPlane {
    pub(crate) base: Point,
    pub(crate) normal: Vector,
}

impl HalfPlane {
    /// Left of the line from `from` to `to`.
    pub(crate) fn left_of(from: Point, to: Point) -> Option<Self> {
        Some(Self { base: from, normal: (to - from).unit()?.left() })
    }

    /// Distance from the line, positive inside.
    pub(crate) fn depth_of(self, place: Point) -> f64 {
        self.normal.dot(place - self.base)
    }
}

/// A convex piece cut in two.
pub(crate) struct Cut {
    /// Where the measure is positive; empty when there is no such part.
    pub(crate) inside: Vec<Point>,
    /// Where it is negative; empty when there is no such part.
    pub(crate) outside: Vec<Point>,
}

/// Cuts a convex piece where a measure that changes evenly over the plan is zero.
pub(crate) fn cut(piece: &[Point], measure: impl Fn(Point) -> f64) -> Cut {
    let values: Vec<f64> = piece
        .iter()
        .map(|&corner| {
            let value = measure(corner);
            if value.abs() <= ON_LINE_IN { 0.0 } else { value }
        })
        .collect();
    // A piece where the measure is zero all over counts as outside: nothing is to be gained there.
    if !values.iter().any(|&value| value > 0.0) {
        return Cut { inside: Vec::new(), outside: piece.to_vec() };
    }
    if !values.iter().any(|&value| value < 0.0) {
        return Cut { inside: piece.to_vec(), outside: Vec::new() };
    }
    let (mut inside, mut outside) =
        (Vec::with_capacity(piece.len() + 1), Vec::with_capacity(piece.len() + 1));
    let corners = piece.iter().zip(&values);
    for ((&from, &here), (&to, &there)) in corners.clone().zip(corners.cycle().skip(1)) {
        if here >= 0.0 {
            inside.push(from);
        }
        if here <= 0.0 {
            outside.push(from);
        }
        if here * there < 0.0 {
            let crossing = from.toward(to, here / (here - there));
            inside.push(crossing);
            outside.push(crossing);
        }
    }
    Cut { inside: dropped_if_flat(inside), outside: dropped_if_flat(outside) }
}

/// The part of a convex piece inside all half planes; empty when there is none.
pub(crate) fn clipped(piece: &[Point], sides: impl IntoIterator<Item = HalfPlane>) -> Vec<Point> {
    let mut left = piece.to_vec();
    for side in sides {
        if left.is_empty() {
            break;
        }
        left = cut(&left, |place| side.depth_of(place)).inside;
    }
    left
}

/// The half planes whose common part a counter-clockwise convex piece is.
pub(crate) fn sides_of(piece: &[Point]) -> impl Iterator<Item = HalfPlane> {
    crate::geometry::polygon::edges(piece).filter_map(|(from, to)| HalfPlane::left_of(from, to))
}

/// Plan area of a convex piece.
pub(crate) fn area(piece: &[Point]) -> f64 {
    crate::geometry::polygon::signed_area(piece)
}

/// Plan area times the mean of a plane over it: exact, because the plane is.
pub(crate) fn volume_under(piece: &[Point], plane: Plane) -> f64 {
    let Some((&base, rest)) = piece.split_first() else { return 0.0 };
    let at_base = plane.at(base);
    rest.iter()
        .zip(rest.iter().skip(1))
        .map(|(&a, &b)| {
            let area = (a - base).cross(b - base) / 2.0;
            area * (at_base + plane.at(a) + plane.at(b)) / 3.0
        })
        .sum()
}

fn dropped_if_flat(piece: Vec<Point>) -> Vec<Point> {
    if piece.len() < 3 || area(&piece) <= CRUMB_IN2 { Vec::new() } else { piece }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn square(size: f64) -> Vec<Point> {
        vec![
            Point::new(0.0, 0.0),
            Point::new(size, 0.0),
            Point::new(size, size),
            Point::new(0.0, size),
        ]
    }

    #[test]
    fn both_halves_of_a_cut_add_up() {
        let line = HalfPlane { base: Point::new(3.0, 0.0), normal: Vector::from_angle(0.3) };
        let halves = cut(&square(10.0), |place| line.depth_of(place));
        assert!((area(&halves.inside) + area(&halves.outside) - 100.0).abs() < 1e-12);
        assert!(area(&halves.inside) > 0.0 && area(&halves.outside) > 0.0);
    }

    #[test]
    fn a_cut_beside_the_piece_leaves_it_whole() {
        let line = HalfPlane { base: Point::new(-1.0, 0.0), normal: Vector::new(1.0, 0.0) };
        let halves = cut(&square(10.0), |place| line.depth_of(place));
        assert_eq!(halves.inside, square(10.0));
        assert!(halves.outside.is_empty());
    }

    #[test]
    fn the_volume_under_a_plane_is_area_times_its_middle() {
        let plane = Plane::through([
            (Point::new(0.0, 0.0), 4.0),
            (Point::new(10.0, 0.0), 5.0),
            (Point::new(0.0, 10.0), 6.0),
        ]);
        assert!((plane.at(Point::new(5.0, 5.0)) - 5.5).abs() < 1e-12);
        assert!((volume_under(&square(10.0), plane) - 550.0).abs() < 1e-9);
    }
}
