//! Openings through the slab, and pipes, drains and columns that come up through it.

use super::ids::{OpeningId, PenetrationId};
use crate::geometry::{Point, Ring};
use crate::units::Length;
use serde::{Deserialize, Serialize};

/// Openings and penetrations.
#[derive(Clone, Debug, Default, PartialEq, Serialize, Deserialize)]
#[serde(default, deny_unknown_fields)]
pub struct Openings {
    /// Holes through everything: courtyards, stair wells, pits.
    pub openings: Vec<Opening>,
    /// Things that come up through the slab.
    pub penetrations: Vec<Penetration>,
}

/// A hole through everything.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Opening {
    /// Its id.
    pub id: OpeningId,
    /// What it is called.
    #[serde(default)]
    pub name: String,
    /// Its corners in order.
    pub corners: Vec<Corner>,
}

/// A corner of an opening, with the middle point of an arc to the next corner where curved.
#[derive(Clone, Copy, Debug, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Corner {
    /// Where it is.
    pub at: Point,
    /// A point on the arc half way to the next corner when that side is curved.
    #[serde(default)]
    pub through: Option<Point>,
}

impl Opening {
    /// The opening as an exact ring.
    #[must_use]
    pub fn ring(&self) -> Ring {
        let corners: Vec<_> =
            self.corners.iter().map(|corner| (corner.at, corner.through)).collect();
        Ring::from_corners(&corners)
    }
}

/// Something that comes up through the slab.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Penetration {
    /// Its id.
    pub id: PenetrationId,
    /// What it is called.
    #[serde(default)]
    pub name: String,
    /// Its centre.
    pub at: Point,
    /// What it is.
    #[serde(default)]
    pub kind: PenetrationKind,
    /// Its cross-section.
    pub shape: Footprint,
    /// How far tube keeps from its face.
    #[serde(default = "Penetration::usual_clearance")]
    pub tube_clearance: Length,
}

impl Penetration {
    /// Six inches, common practice for drains and stacks.
    #[must_use]
    pub const fn usual_clearance() -> Length {
        Length::inches(6.0)
    }
}

/// What a penetration is; joints and tube treat a column differently from a pipe.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, Serialize, Deserialize)]
pub enum PenetrationKind {
    /// A pipe or conduit.
    #[default]
    Pipe,
    /// A floor drain.
    Drain,
    /// A column, isolated from the floor.
    Column,
    /// Anything else.
    Other,
}

/// A cross-section in plan.
#[derive(Clone, Copy, Debug, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub enum Footprint {
    /// A circle.
    Round {
        /// Its diameter.
        diameter: Length,
    },
    /// A rectangle about the centre.
    Rectangle {
        /// Size along its own first axis.
        length: Length,
        /// Size across.
        width: Length,
        /// Turn of the first axis from east, in degrees counter-clockwise.
        #[serde(default)]
        turn_degrees: f64,
    },
}

impl Footprint {
    /// The corners of the footprint about `center`: a circle as a regular polygon of 48 corners
    /// whose area is the circle's.
    #[must_use]
    pub fn outline(&self, center: Point) -> Vec<Point> {
        use crate::geometry::Vector;
        use crate::units::exact_math;
        use std::f64::consts::{PI, TAU};
        match *self {
            Self::Round { diameter } => {
                const CORNERS: u32 = 48;
                let step = TAU / f64::from(CORNERS);
                // The polygon through points at this radius has the area of the circle.
                let radius = diameter.to_inches() / 2.0
                    * (PI / (f64::from(CORNERS) / 2.0 * exact_math::sin(step))).sqrt();
                (0..CORNERS)
                    .map(|corner| center + Vector::from_angle(step * f64::from(corner)) * radius)
                    .collect()
            }
            Self::Rectangle { length, width, turn_degrees } => {
                let along =
                    Vector::from_angle(turn_degrees.to_radians()) * (length.to_inches() / 2.0);
                let across = Vector::from_angle(turn_degrees.to_radians()).left()
                    * (width.to_inches() / 2.0);
                vec![
                    center - along - across,
                    center + along - across,
                    center + along + across,
                    center - along + across,
                ]
            }
        }
    }

    /// The larger size across.
    #[must_use]
    pub fn widest(&self) -> Length {
        match *self {
            Self::Round { diameter } => diameter,
            Self::Rectangle { length, width, .. } => {
                if length > width {
                    length
                } else {
                    width
                }
            }
        }
    }
}
