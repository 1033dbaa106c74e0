//! The rules of a job's joints as numbers: spacing, shape, and what each costs.
//!
//! The cost of a layout is counted in inches of sawing. Rules that give way cost far more than
//! sawing can save, in the order in which they matter; then comes the sawing itself; set-ups of
//! the saw, tees and uneven panels weigh little and decide between layouts that saw about alike.

use crate::facts::joints as facts;
use crate::job::Job;
use crate::job::joints::SawMethod;

/// Limits that a job sets, inches and plain ratios.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct JointRules {
    /// Largest panel side.
    pub spacing: f64,
    /// Panels longer to shorter than this are flagged.
    pub aspect_limit: f64,
    /// Panels no longer to shorter than this are the aim.
    pub aspect_goal: f64,
    /// Narrowest panel.
    pub narrowest: f64,
    /// Sharpest angle, radians.
    pub sharpest: f64,
}

/// A spacing below this would be no floor but paving, inches.
const LEAST_SPACING_IN: f64 = 36.0;

impl JointRules {
    /// The rules of a job.
    #[must_use]
    pub fn of(job: &Job) -> Self {
        let choices = &job.joints;
        let by_thickness = choices.spacing_multiple * job.build_up.floor_thickness.to_inches();
        let spacing = by_thickness.min(choices.spacing_cap.to_inches()).max(LEAST_SPACING_IN);
        Self::with_spacing(spacing, choices.aspect_limit)
    }

    /// The rules for one spacing, inches, and one limit of aspect.
    #[must_use]
    pub fn with_spacing(spacing: f64, aspect_limit: f64) -> Self {
        let aspect_limit = aspect_limit.max(1.05);
        Self {
            spacing,
            aspect_limit,
            aspect_goal: facts::ASPECT_GOAL.min(aspect_limit),
            narrowest: facts::NARROWEST_IN,
            sharpest: facts::SHARPEST_DEGREES.to_radians(),
        }
    }
}

/// Depth of the saw cut in the floor, inches.
#[must_use]
pub fn saw_depth(job: &Job) -> f64 {
    let is_early = job.joints.sawing == SawMethod::EarlyEntry;
    facts::saw_depth(job.build_up.floor_thickness.to_inches(), is_early)
}

/// What the soft aims weigh, in inches of sawing.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Weights {
    /// A joint that ends at the side of a panel.
    pub tee: f64,
    /// One more line to set up for.
    pub set_up: f64,
    /// A panel beyond the aspect goal.
    pub beyond_goal: f64,
    /// Each unit of aspect over 1.
    pub uneven: f64,
}

impl Weights {
    /// Sawing decides; the rest only between equals.
    pub const LEAST_SAWING: Self = Self { tee: 0.5, set_up: 0.5, beyond_goal: 0.5, uneven: 0.5 };
    /// A tee costs as much as a few feet of sawing, and so does a panel beyond the goal.
    pub const BALANCED: Self = Self { tee: 36.0, set_up: 6.0, beyond_goal: 36.0, uneven: 24.0 };
    /// A tee costs as much as a long cut.
    pub const FEWEST_TEES: Self = Self { tee: 240.0, set_up: 6.0, beyond_goal: 24.0, uneven: 24.0 };

    /// All of them times `factor`, never below those of the least sawing.
    #[must_use]
    pub fn scaled(self, factor: f64) -> Self {
        let least = Self::LEAST_SAWING;
        Self {
            tee: (self.tee * factor).max(least.tee),
            set_up: (self.set_up * factor).max(least.set_up),
            beyond_goal: (self.beyond_goal * factor).max(least.beyond_goal),
            uneven: (self.uneven * factor).max(least.uneven),
        }
    }
}

/// What a rule that gives way costs, in inches of sawing.
pub mod penalty {
    /// A panel over the spacing, and each inch of it.
    pub const SPACING: (f64, f64) = (60_000.0, 100.0);
    /// An opening with no joint to it at all.
    pub const ENCLOSED_OPENING: f64 = 24_000.0;
    /// A locked joint inside a panel.
    pub const LOCKED: f64 = 40_000.0;
    /// An inside corner without a joint.
    pub const INSIDE_CORNER: f64 = 9_000.0;
    /// A panel narrower than the least.
    pub const SLIVER: f64 = 6_000.0;
    /// A panel over the aspect limit, and each unit over it.
    pub const ASPECT: (f64, f64) = (4_000.0, 3_000.0);
    /// A corner sharper than the least that no turned end can mend.
    pub const SHARP: f64 = 2_400.0;
    /// A joint end that must be turned square to the edge.
    pub const SQUARE_END: f64 = 72.0;
    /// A column inside a panel.
    pub const COLUMN: f64 = 1_200.0;
    /// A joint that ends nearer to a door or a drain than asked.
    pub const NEAR_DOOR_OR_DRAIN: f64 = 600.0;
    /// Each inch of a thickened strip that passes through a panel: a joint over the strip is worth
    /// its own sawing and half as much again elsewhere.
    pub const STRIP: f64 = 1.5;
}
