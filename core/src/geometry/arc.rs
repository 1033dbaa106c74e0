//! A circular arc given by its two ends and its middle point.
//!
//! The middle point is what people set out (the bow of a bay, read off a chord) and it names one
//! arc of less than a full circle without any question of side or direction.

use super::{Point, Vector};
use crate::units::exact_math;
use std::f64::consts::TAU;

/// An arc from `from` to `to`, by way of its middle point.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Arc {
    /// Where it starts.
    pub from: Point,
    /// A point on it between the ends.
    pub through: Point,
    /// Where it ends.
    pub to: Point,
}

/// The circle of an arc: centre, radius, start angle and signed sweep (positive turns left).
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct ArcCircle {
    /// Centre of the circle.
    pub center: Point,
    /// Radius in inches.
    pub radius: f64,
    /// Angle of the start point, in radians.
    pub start_angle: f64,
    /// Signed angle swept, in radians; positive is counter-clockwise.
    pub sweep: f64,
}

impl Arc {
    /// Its circle; `None` when the three points lie on one line (it is a straight side then).
    #[must_use]
    pub fn circle(self) -> Option<ArcCircle> {
        let chord = self.through - self.from;
        let far = self.to - self.from;
        let twice_area = chord.cross(far);
        // A bow flatter than one part in a million of the chord is a straight side.
        let scale = chord.length().max(far.length());
        if twice_area.abs() <= 1e-6 * scale * scale || !twice_area.is_finite() {
            return None;
        }
        let (a, b) = (chord.dot(chord), far.dot(far));
        let to_center = Vector::new(
            (far.y * a - chord.y * b) / (2.0 * twice_area),
            (chord.x * b - far.x * a) / (2.0 * twice_area),
        );
        let center = self.from + to_center;
        let start_angle = (self.from - center).angle();
        let end_angle = (self.to - center).angle();
        let left_turn = twice_area > 0.0;
        let mut sweep = end_angle - start_angle;
        if left_turn && sweep <= 0.0 {
            sweep += TAU;
        } else if !left_turn && sweep >= 0.0 {
            sweep -= TAU;
        }
        Some(ArcCircle { center, radius: to_center.length(), start_angle, sweep })
    }

    /// True length along the arc.
    #[must_use]
    pub fn length(self) -> f64 {
        self.circle().map_or_else(
            || self.from.distance(self.to),
            |circle| circle.radius * circle.sweep.abs(),
        )
    }

    /// The signed area between the chord and the arc: added to the polygon of chords it gives the
    /// exact area of a counter-clockwise ring.
    #[must_use]
    pub fn bow_area(self) -> f64 {
        self.circle().map_or(0.0, |circle| {
            circle.radius * circle.radius * (circle.sweep - exact_math::sin(circle.sweep)) / 2.0
        })
    }

    /// Points after `from` up to and with `to`, so that no chord stands off by more than
    /// `chord_tolerance`.
    #[must_use]
    pub fn flatten(self, chord_tolerance: f64) -> Vec<Point> {
        let Some(circle) = self.circle() else {
            return vec![self.to];
        };
        let cosine = (1.0 - chord_tolerance / circle.radius).clamp(-1.0, 1.0);
        let widest_step = (2.0 * exact_math::acos(cosine)).max(0.01);
        #[expect(clippy::cast_possible_truncation, reason = "at most 629 steps of 0.01")]
        #[expect(clippy::cast_sign_loss, reason = "a quotient of two positive numbers")]
        let steps = ((circle.sweep.abs() / widest_step).ceil() as usize).max(2);
        (1..steps)
            .map(|step| circle.point_at(circle.sweep * step as f64 / steps as f64))
            .chain([self.to])
            .collect()
    }

    /// The point at `share` of the way along.
    #[must_use]
    pub fn point_at(self, share: f64) -> Point {
        self.circle().map_or_else(
            || self.from.toward(self.to, share),
            |circle| circle.point_at(circle.sweep * share),
        )
    }
}

impl ArcCircle {
    /// The point at `turned` radians from the start.
    #[must_use]
    pub fn point_at(self, turned: f64) -> Point {
        self.center + Vector::from_angle(self.start_angle + turned) * self.radius
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use std::f64::consts::PI;

    #[test]
    fn a_half_circle_has_the_length_and_area_of_one() {
        let arc = Arc {
            from: Point::new(10.0, 0.0),
            through: Point::new(0.0, 10.0),
            to: Point::new(-10.0, 0.0),
        };
        assert!((arc.length() - 10.0 * PI).abs() < 1e-9);
        assert!((arc.bow_area() - 50.0 * PI).abs() < 1e-9);
        for point in arc.flatten(0.02) {
            assert!((point.to_vector().length() - 10.0).abs() < 1e-9);
        }
    }

    #[test]
    fn a_right_turning_arc_takes_area_away() {
        let arc = Arc {
            from: Point::new(-10.0, 0.0),
            through: Point::new(0.0, 10.0),
            to: Point::new(10.0, 0.0),
        };
        assert!((arc.bow_area() + 50.0 * PI).abs() < 1e-9);
    }

    #[test]
    fn three_points_on_a_line_are_a_straight_side() {
        let arc = Arc {
            from: Point::new(0.0, 0.0),
            through: Point::new(5.0, 0.0),
            to: Point::new(10.0, 0.0),
        };
        assert!(arc.circle().is_none());
        assert_eq!(arc.length(), 10.0);
        assert_eq!(arc.flatten(0.02), vec![Point::new(10.0, 0.0)]);
    }
}
