//! Rules about joints and sawing.

mod aspect;
mod column;
mod cut_short;
mod inside_corner;
mod near_door;
mod no_joints;
mod sharp_corner;
mod sleeves;
mod sliver;
mod spacing;
mod strip;
mod tees;
mod wide_spacing;

use super::{Hit, Rule};
use crate::joints::{JointBreach, JointRule};
use crate::parts::Parts;

/// Rules in the order they are shown.
pub(super) const RULES: &[Rule] = &[
    no_joints::RULE,
    wide_spacing::RULE,
    spacing::RULE,
    aspect::RULE,
    inside_corner::RULE,
    column::RULE,
    sliver::RULE,
    sharp_corner::RULE,
    tees::RULE,
    strip::RULE,
    near_door::RULE,
    sleeves::RULE,
    cut_short::RULE,
];

/// A hit at each place where the layout could not keep a rule.
fn hits_at(
    parts: &Parts,
    rule: JointRule,
    message: impl Fn(&JointBreach) -> String,
    remedy: &str,
) -> Vec<Hit> {
    parts
        .joints
        .layout
        .breaches
        .iter()
        .filter(|breach| breach.rule == rule)
        .map(|breach| Hit {
            at: Some(breach.at),
            message: message(breach),
            remedy: remedy.to_owned(),
            ..Hit::default()
        })
        .collect()
}

#[cfg(test)]
mod testing {
    use super::*;
    use crate::geometry::Point;
    use crate::joints::{JointLayout, SettledJoints};
    use std::sync::Arc;

    /// Parts whose joint layout breaks one rule by an amount, or none.
    pub(super) fn parts_with(breaches: &[(JointRule, f64)]) -> Parts {
        let breaches = breaches
            .iter()
            .map(|&(rule, amount)| JointBreach { rule, at: Point::new(1.0, 2.0), amount })
            .collect();
        let layout = JointLayout { breaches, ..JointLayout::default() };
        let joints = SettledJoints { layout, ..SettledJoints::default() };
        Parts { joints: Arc::new(joints), ..Parts::default() }
    }
}
