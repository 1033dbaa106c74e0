//! Tube that crosses a joint that moves.

use crate::findings::{Hit, Rule, Severity};
use crate::job::Job;
use crate::parts::Parts;

pub(super) const RULE: Rule = Rule {
    id: "joints.sleeves",
    severity: Severity::Note,
    asks: "Tube that crosses an isolation or construction joint runs in a sleeve.",
    source: "common practice: a sleeve over the joint, a foot or so to each side",
    look,
};

fn look(_job: &Job, parts: &Parts) -> Vec<Hit> {
    let mut sleeved = parts.joints.crossings.iter().filter(|crossing| crossing.needs_sleeve);
    let Some(first) = sleeved.next() else { return Vec::new() };
    let count = 1 + sleeved.count();
    vec![Hit {
        at: Some(first.at),
        message: format!("Tube crosses joints that move at {count} places"),
        remedy: format!("Set {count} sleeves before placing; the joint sheet lists them"),
        ..Hit::default()
    }]
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::joints::{JointCrossing, SettledJoints};
    use std::sync::Arc;

    fn hits(needs_sleeve: bool) -> usize {
        let crossings = vec![JointCrossing { needs_sleeve, ..JointCrossing::default() }];
        let joints = SettledJoints { crossings, ..SettledJoints::default() };
        look(&Job::default(), &Parts { joints: Arc::new(joints), ..Parts::default() }).len()
    }

    #[test]
    fn it_trips_and_just_does_not() {
        assert_eq!(hits(true), 1);
        assert_eq!(hits(false), 0);
    }
}
