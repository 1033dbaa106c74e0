//! Thickened strips and pads under the floor, recesses and slopes in its top.

use super::ids::{PadId, RecessId, SlopeId, StripId};
use super::openings::Footprint;
use crate::geometry::Point;
use crate::units::Length;
use serde::{Deserialize, Serialize};

/// Everything that makes the floor other than flat and even, but for its edges.
#[derive(Clone, Debug, Default, PartialEq, Serialize, Deserialize)]
#[serde(default, deny_unknown_fields)]
pub struct Thickenings {
    /// Thickened strips under bearing lines.
    pub strips: Vec<ThickenedStrip>,
    /// Pads under columns.
    pub pads: Vec<Pad>,
    /// Lowered parts of the floor.
    pub recesses: Vec<Recess>,
    /// Parts of the floor that fall.
    pub slopes: Vec<SlopedArea>,
}

/// A deeper strip under a bearing line.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct ThickenedStrip {
    /// Its id.
    pub id: StripId,
    /// What it is called.
    #[serde(default)]
    pub name: String,
    /// Its centre line, straight from point to point; ends are square.
    pub line: Vec<Point>,
    /// Width of the flat bottom.
    pub flat_width: Length,
    /// From the top of the slab to the bottom of the strip.
    pub total_depth: Length,
    /// Horizontal run of the slope on each side, up to the underside of the floor.
    pub haunch_run: Length,
}

/// A deeper place under a column.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Pad {
    /// Its id.
    pub id: PadId,
    /// What it is called.
    #[serde(default)]
    pub name: String,
    /// Its centre.
    pub at: Point,
    /// The flat bottom's shape.
    pub shape: Footprint,
    /// From the top of the slab to the bottom of the pad.
    pub total_depth: Length,
    /// Horizontal run of the slope all round; zero for upright faces.
    #[serde(default)]
    pub haunch_run: Length,
}

/// A lowered part of the floor, such as a shower.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Recess {
    /// Its id.
    pub id: RecessId,
    /// What it is called.
    #[serde(default)]
    pub name: String,
    /// Its corners at floor level.
    pub corners: Vec<Point>,
    /// How much lower than the floor its bottom is.
    pub lowered_by: Length,
    /// Horizontal run of its sides, inward; zero for upright faces.
    #[serde(default)]
    pub side_run: Length,
    /// The underside goes down with it, so that the floor keeps its thickness there.
    #[serde(default)]
    pub keeps_thickness: bool,
}

/// A part of the floor whose top falls evenly, measured down from the floor's level.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct SlopedArea {
    /// Its id.
    pub id: SlopeId,
    /// What it is called.
    #[serde(default)]
    pub name: String,
    /// Its corners.
    pub corners: Vec<Point>,
    /// Where it falls to.
    pub falls_to: FallsTo,
    /// Fall per foot of run.
    pub fall_per_foot: Length,
}

/// What a sloped area falls to.
#[derive(Clone, Copy, Debug, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub enum FallsTo {
    /// A line such as a door: the top is a plane that is lowest along the line and at floor level
    /// at the corner of the area farthest from it.
    Line {
        /// One end.
        from: Point,
        /// Other end.
        to: Point,
    },
    /// A drain: every side of the area stays at floor level and planes meet at the drain; the
    /// depth there is the fall over its distance to the nearest side.
    Drain {
        /// The drain's place.
        at: Point,
    },
}
