//! Joint rules chosen, and joints drawn or locked by hand.

use super::ids::{JointId, PenetrationId, SideId};
use crate::geometry::Point;
use crate::units::Length;
use serde::{Deserialize, Serialize};
use std::collections::BTreeSet;

/// Choices for joints.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
#[serde(default, deny_unknown_fields)]
pub struct JointChoices {
    /// Contraction joints are laid out at all.
    pub has_contraction_joints: bool,
    /// Largest spacing as a multiple of floor thickness: 30 is common, 24 to 36 the usual range.
    pub spacing_multiple: f64,
    /// No panel side is longer than this, whatever the thickness.
    pub spacing_cap: Length,
    /// No contraction joint panel may be longer to shorter than this.
    pub aspect_limit: f64,
    /// Which proposal the user took.
    pub proposal: JointProposal,
    /// How joints are cut.
    pub sawing: SawMethod,
    /// How fast the crew saws, feet an hour.
    pub saw_feet_per_hour: f64,
    /// Joints drawn or locked by hand; the layout fills in around them.
    pub drawn: Vec<DrawnJoint>,
    /// Sides that stand against something fixed and get an isolation joint.
    pub isolated_sides: BTreeSet<SideId>,
    /// Columns without isolation.
    pub tied_columns: BTreeSet<PenetrationId>,
    /// Shape of column isolation.
    pub column_isolation: ColumnIsolation,
    /// Gap between a column's face and its isolation joint.
    pub column_gap: Length,
    /// How far a joint that ends at the side of a panel keeps from doors and drains; zero for no
    /// such wish.
    pub offsets_keep_off: Length,
    /// How close a tube may come to the blade before it is flagged.
    pub least_cover_over_tube: Length,
    /// How much thinner than drawn the slab may turn out, for the blade-to-tube check.
    pub thin_slab_allowance: Length,
}

impl Default for JointChoices {
    fn default() -> Self {
        Self {
            has_contraction_joints: true,
            spacing_multiple: 30.0,
            spacing_cap: Length::feet(15.0),
            aspect_limit: 1.5,
            proposal: JointProposal::default(),
            sawing: SawMethod::default(),
            saw_feet_per_hour: 60.0,
            drawn: Vec::new(),
            isolated_sides: BTreeSet::new(),
            tied_columns: BTreeSet::new(),
            column_isolation: ColumnIsolation::default(),
            column_gap: Length::inches(2.0),
            offsets_keep_off: Length::ZERO,
            least_cover_over_tube: Length::inches(0.5),
            thin_slab_allowance: Length::inches(0.75),
        }
    }
}

/// Which layout the search should prefer.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, Serialize, Deserialize)]
pub enum JointProposal {
    /// Few saw feet, a tee costing as much as some feet of sawing.
    #[default]
    Balanced,
    /// The least saw feet.
    LeastSawing,
    /// The fewest tees.
    FewestTees,
    /// No tee at all where that can be.
    NoTees,
}

/// How contraction joints are made.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, Serialize, Deserialize)]
pub enum SawMethod {
    /// A wet saw after the concrete has set.
    #[default]
    Conventional,
    /// An early-entry saw on the green slab.
    EarlyEntry,
}

/// Shape of the isolation joint round a column.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, Serialize, Deserialize)]
pub enum ColumnIsolation {
    /// A square turned 45 degrees: joints meet its points.
    #[default]
    Diamond,
    /// A circle.
    Round,
}

/// A joint drawn or locked by hand.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct DrawnJoint {
    /// Its id.
    pub id: JointId,
    /// What kind.
    pub kind: DrawnKind,
    /// One end.
    pub from: Point,
    /// Other end.
    pub to: Point,
}

/// What a drawn joint is.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, Serialize, Deserialize)]
pub enum DrawnKind {
    /// A contraction joint that the search must keep.
    #[default]
    Contraction,
    /// An isolation joint: full-depth separation.
    Isolation,
    /// Where a day's pour ends.
    Construction,
}
