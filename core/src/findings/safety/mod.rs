//! Rules about what can hurt someone.

mod blade_meets_tube;
mod blade_near_tube;

use super::{Hit, Rule};
use crate::joints::{JointCrossing, JointKind};
use crate::parts::Parts;

/// Rules in the order they are shown.
pub(super) const RULES: &[Rule] = &[blade_meets_tube::RULE, blade_near_tube::RULE];

/// One hit for all sawn crossings with a clearance in a range, at the worst of them.
fn worst_crossing(parts: &Parts, is_hit: impl Fn(f64) -> bool, remedy: &str) -> Vec<Hit> {
    let is_close = |crossing: &&JointCrossing| {
        crossing.kind == JointKind::Contraction && is_hit(crossing.clearance)
    };
    let crossings = &parts.joints.crossings;
    let worst =
        crossings.iter().filter(is_close).min_by(|a, b| a.clearance.total_cmp(&b.clearance));
    let Some(worst) = worst else { return Vec::new() };
    let count = crossings.iter().filter(is_close).count();
    vec![Hit {
        at: Some(worst.at),
        message: format!(
            "Joint {} crosses circuit {} with {:.2} in between blade and tube where the slab is thin ({count} {} like it)",
            worst.joint,
            worst.circuit,
            worst.clearance,
            if count == 1 { "crossing" } else { "crossings" }
        ),
        remedy: remedy.to_owned(),
        ..Hit::default()
    }]
}

#[cfg(test)]
mod testing {
    use super::*;
    use crate::joints::SettledJoints;
    use std::sync::Arc;

    pub(super) fn parts_with(clearance: f64) -> Parts {
        let crossings = vec![JointCrossing { clearance, ..JointCrossing::default() }];
        let joints = SettledJoints { crossings, ..SettledJoints::default() };
        Parts { joints: Arc::new(joints), ..Parts::default() }
    }
}
