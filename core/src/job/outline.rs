//! The outer form face of the slab, side by side.

use super::ids::{IdSource, SideId};
use crate::geometry::{Point, Ring, Segment};
use serde::{Deserialize, Serialize};

/// The outline: sides in order, each from its start to the next one's start.
#[derive(Clone, Debug, Default, PartialEq, Serialize, Deserialize)]
#[serde(default, deny_unknown_fields)]
pub struct Outline {
    /// The sides, counter-clockwise or clockwise as drawn.
    pub sides: Vec<Side>,
}

/// One side of the outline.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Side {
    /// The side's own id: edge profiles and findings refer to it.
    pub id: SideId,
    /// The corner where it starts.
    pub start: Point,
    /// A point on the arc half way along when the side is curved.
    #[serde(default)]
    pub through: Option<Point>,
}

impl Outline {
    /// An outline through these corners, each with the middle point of an arc to the next corner
    /// where that side is curved.
    #[must_use]
    pub fn from_corners(corners: &[(Point, Option<Point>)], ids: &mut IdSource) -> Self {
        let sides = corners
            .iter()
            .map(|&(start, through)| Side { id: ids.fresh(), start, through })
            .collect();
        Self { sides }
    }

    /// The outline as an exact ring; its segments stand in the order of the sides.
    #[must_use]
    pub fn ring(&self) -> Ring {
        let corners: Vec<_> = self.sides.iter().map(|side| (side.start, side.through)).collect();
        Ring::from_corners(&corners)
    }

    /// Each side with its segment.
    pub fn segments(&self) -> impl Iterator<Item = (SideId, Segment)> {
        let segments = self.ring().segments;
        self.sides.iter().map(|side| side.id).zip(segments)
    }
}
