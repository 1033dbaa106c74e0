//! What strikes off, and the slump that it works with.

use crate::facts::concrete::STRIKE_OFF_SLUMP_IN;
use crate::job::pour::{PourPlan, StrikeOff};

/// A way to strike off.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Tool {
    /// What it is called, with its article.
    pub name: &'static str,
    /// Least slump that it works with, inches.
    pub least_slump_in: f64,
    /// Most slump that it works with, inches.
    pub most_slump_in: f64,
}

impl Tool {
    /// Whether it works with a slump, inches.
    #[must_use]
    pub fn works_with(&self, slump_in: f64) -> bool {
        (self.least_slump_in..=self.most_slump_in).contains(&slump_in)
    }
}

/// What strikes off in a plan.
///
/// # Source
/// [`crate::facts::concrete::STRIKE_OFF_SOURCE`]: common practice.
#[must_use]
pub const fn tool(plan: &PourPlan) -> Tool {
    let [straightedge, board, tube, laser] = STRIKE_OFF_SLUMP_IN;
    let (name, (least_slump_in, most_slump_in)) = match plan.strike_off {
        StrikeOff::Straightedge => ("a straightedge by hand", straightedge),
        StrikeOff::VibratingBoard => ("a vibrating board", board),
        StrikeOff::RollerTube => ("a roller tube", tube),
        StrikeOff::LaserScreed => ("a laser-guided machine", laser),
    };
    Tool { name, least_slump_in, most_slump_in }
}
