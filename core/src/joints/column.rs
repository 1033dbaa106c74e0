//! Isolation joints round columns: a turned square or a circle whose points joints meet.
//!
//! A turned square round a column reaches `|u| + |v| = d` along the joints' axes, with `d` the
//! column's own reach plus the gap times the root of two, so that the gap is kept square to its
//! faces: for a square column of side p and a gap g, d = p + g·√2.

use super::ground::Frame;
use crate::geometry::{Point, Vector};
use crate::job::joints::ColumnIsolation;

/// A column with its isolation in the axes of the joints.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct ColumnSpot {
    /// Its centre.
    pub at: Point,
    /// How far the isolation reaches from the centre along the joints, inches.
    pub reach: f64,
    /// The isolation joint as a ring, counter-clockwise; empty when the column is tied.
    pub ring: Vec<Point>,
}

/// Sides of the polygon that stands for a round isolation joint.
const ROUND_SIDES: u32 = 24;

impl ColumnSpot {
    /// The isolation of a column of this outline, with joints along `frame`.
    #[must_use]
    pub fn around(
        at: Point,
        outline: &[Point],
        frame: Frame,
        shape: ColumnIsolation,
        gap: f64,
    ) -> Self {
        let along = frame.along();
        let across = along.left();
        let steps = || outline.iter().map(|&corner| corner - at);
        match shape {
            ColumnIsolation::Diamond => {
                let own = steps()
                    .map(|step| step.dot(along).abs() + step.dot(across).abs())
                    .fold(0.0, f64::max);
                let reach = own + gap * std::f64::consts::SQRT_2;
                let ring = vec![
                    at + along * reach,
                    at + across * reach,
                    at - along * reach,
                    at - across * reach,
                ];
                Self { at, reach, ring }
            }
            ColumnIsolation::Round => {
                let reach = steps().map(Vector::length).fold(0.0, f64::max) + gap;
                let turn = std::f64::consts::TAU / f64::from(ROUND_SIDES);
                let start = along.angle();
                let ring = (0..ROUND_SIDES)
                    .map(|side| at + Vector::from_angle(start + turn * f64::from(side)) * reach)
                    .collect();
                Self { at, reach, ring }
            }
        }
    }

    /// The same in another frame.
    #[must_use]
    pub fn entered(&self, frame: Frame) -> Self {
        Self {
            at: frame.enter(self.at),
            reach: self.reach,
            ring: self.ring.iter().map(|&point| frame.enter(point)).collect(),
        }
    }

    /// The part of the line from `from` to `to` inside the isolation, as shares along it.
    #[must_use]
    pub fn covers(&self, from: Point, to: Point) -> Option<(f64, f64)> {
        let along = to - from;
        let (mut enters, mut leaves) = (0.0_f64, 1.0_f64);
        for (a, b) in crate::geometry::polygon::edges(&self.ring) {
            // Inside is on the left of each side of a convex ring.
            let side = b - a;
            let (start, slope) = (side.cross(from - a), side.cross(along));
            if slope.abs() < 1e-12 {
                if start < 0.0 {
                    return None;
                }
            } else {
                let share = -start / slope;
                if slope > 0.0 {
                    enters = enters.max(share);
                } else {
                    leaves = leaves.min(share);
                }
            }
        }
        (!self.ring.is_empty() && leaves > enters).then_some((enters, leaves))
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::geometry::polygon::signed_area;
    use crate::job::openings::Footprint;
    use crate::units::Length;

    /// Reference cases computed by hand: p 12, g 2 gives d 14.828, side 20.971, 3.0539 ft²;
    /// p 10, g 2 gives d 12.828, side 18.142; round r 10.485 and 9.071.
    #[test]
    fn turned_squares_and_circles_have_the_sizes_of_the_trade() {
        for (plate, reach, side, round) in
            [(12.0, 14.828, 20.971, 10.485), (10.0, 12.828, 18.142, 9.071)]
        {
            let shape = Footprint::Rectangle {
                length: Length::inches(plate),
                width: Length::inches(plate),
                turn_degrees: 0.0,
            };
            let outline = shape.outline(Point::ORIGIN);
            let around =
                |shape| ColumnSpot::around(Point::ORIGIN, &outline, Frame::UPRIGHT, shape, 2.0);
            let diamond = around(ColumnIsolation::Diamond);
            assert!((diamond.reach - reach).abs() < 1e-3);
            assert!((diamond.ring[0].distance(diamond.ring[1]) - side).abs() < 1e-3);
            assert!(
                (signed_area(&diamond.ring) - 2.0 * diamond.reach * diamond.reach).abs() < 1e-9
            );
            assert!((around(ColumnIsolation::Round).reach - round).abs() < 1e-3);
        }
    }

    #[test]
    fn a_joint_stops_at_the_points() {
        let spot = ColumnSpot {
            at: Point::ORIGIN,
            reach: 10.0,
            ring: [(10.0, 0.0), (0.0, 10.0), (-10.0, 0.0), (0.0, -10.0)].map(Point::from).to_vec(),
        };
        let covered = spot.covers(Point::new(-100.0, 0.0), Point::new(100.0, 0.0)).unwrap();
        assert!((covered.0 - 0.45).abs() < 1e-12 && (covered.1 - 0.55).abs() < 1e-12);
        assert_eq!(spot.covers(Point::new(-100.0, 11.0), Point::new(100.0, 11.0)), None);
    }
}
