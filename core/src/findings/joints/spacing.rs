//! A panel side longer than the spacing.

use super::hits_at;
use crate::findings::{Hit, Rule, Severity};
use crate::job::Job;
use crate::joints::JointRule;
use crate::parts::Parts;

pub(super) const RULE: Rule = Rule {
    id: "joints.spacing",
    severity: Severity::Warn,
    asks: "No panel is longer than the joint spacing.",
    source: "ACI 302.1R-96, 24 to 36 times the thickness (through a trade question and answer); PCA table",
    look,
};

fn look(_job: &Job, parts: &Parts) -> Vec<Hit> {
    hits_at(
        parts,
        JointRule::Spacing,
        |breach| {
            format!("A panel is {:.1} ft long, more than the joint spacing", breach.amount / 12.0)
        },
        "Move or unlock the joints beside it, or add one across it",
    )
}

#[cfg(test)]
mod tests {
    use super::super::testing::parts_with;
    use super::*;

    #[test]
    fn it_trips_and_just_does_not() {
        let job = Job::default();
        let hits = look(&job, &parts_with(&[(JointRule::Spacing, 2.0), (JointRule::Aspect, 2.0)]));
        assert_eq!(hits.len(), 1);
        assert!(hits.iter().all(|hit| hit.at.is_some()));
        assert!(look(&job, &parts_with(&[(JointRule::Aspect, 2.0)])).is_empty());
    }
}
