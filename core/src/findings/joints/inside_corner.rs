//! An inside corner that no joint relieves.

use super::hits_at;
use crate::findings::{Hit, Rule, Severity};
use crate::job::Job;
use crate::joints::JointRule;
use crate::parts::Parts;

pub(super) const RULE: Rule = Rule {
    id: "joints.inside-corner",
    severity: Severity::Warn,
    asks: "Every inside corner lies on a joint.",
    source: "common practice: cracks start at inside corners from shrinkage two ways",
    look,
};

fn look(_job: &Job, parts: &Parts) -> Vec<Hit> {
    hits_at(
        parts,
        JointRule::InsideCorner,
        |_| "No joint meets this inside corner: a crack will start here".to_owned(),
        "Tie two diagonal bars across the corner, or draw a joint from it",
    )
}

#[cfg(test)]
mod tests {
    use super::super::testing::parts_with;
    use super::*;

    #[test]
    fn it_trips_and_just_does_not() {
        let job = Job::default();
        let hits =
            look(&job, &parts_with(&[(JointRule::InsideCorner, 2.0), (JointRule::Aspect, 2.0)]));
        assert_eq!(hits.len(), 1);
        assert!(hits.iter().all(|hit| hit.at.is_some()));
        assert!(look(&job, &parts_with(&[(JointRule::Aspect, 2.0)])).is_empty());
    }
}
