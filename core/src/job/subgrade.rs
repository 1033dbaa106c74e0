//! Survey shots of the prepared ground.

use super::ids::ShotId;
use crate::geometry::Point;
use crate::units::Length;
use serde::{Deserialize, Serialize};

/// Measured points of the subgrade and what is asked of it.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
#[serde(default, deny_unknown_fields)]
pub struct Subgrade {
    /// The shots.
    pub shots: Vec<Shot>,
    /// Height that the shots should have: the underside of the stone or foam, in the same datum.
    pub target_height: Length,
    /// How far a shot may be off either way.
    pub tolerance: Length,
    /// The measured low ground is filled with concrete and added to the order.
    pub adds_to_order: bool,
}

impl Default for Subgrade {
    fn default() -> Self {
        Self {
            shots: Vec::new(),
            target_height: Length::ZERO,
            tolerance: Length::inches(1.0),
            adds_to_order: true,
        }
    }
}

/// One measured point.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Shot {
    /// Its id.
    pub id: ShotId,
    /// The surveyor's point number or name.
    #[serde(default)]
    pub name: String,
    /// Where.
    pub at: Point,
    /// How high, in the datum of the target.
    pub height: Length,
    /// What was noted.
    #[serde(default)]
    pub note: String,
}
