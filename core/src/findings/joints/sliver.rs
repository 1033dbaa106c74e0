//! A panel narrower than two feet.

use super::hits_at;
use crate::findings::{Hit, Rule, Severity};
use crate::job::Job;
use crate::joints::JointRule;
use crate::parts::Parts;

pub(super) const RULE: Rule = Rule {
    id: "joints.sliver",
    severity: Severity::Warn,
    asks: "No panel is narrower than 2 ft.",
    source: "ACPA joint layout: avoid slabs under 2 ft wide (read)",
    look,
};

fn look(_job: &Job, parts: &Parts) -> Vec<Hit> {
    hits_at(
        parts,
        JointRule::Sliver,
        |breach| format!("A panel is only {:.0} in wide and will break up", breach.amount),
        "Move the joint away from the edge, or leave it out here",
    )
}

#[cfg(test)]
mod tests {
    use super::super::testing::parts_with;
    use super::*;

    #[test]
    fn it_trips_and_just_does_not() {
        let job = Job::default();
        let hits = look(&job, &parts_with(&[(JointRule::Sliver, 2.0), (JointRule::Aspect, 2.0)]));
        assert_eq!(hits.len(), 1);
        assert!(hits.iter().all(|hit| hit.at.is_some()));
        assert!(look(&job, &parts_with(&[(JointRule::Aspect, 2.0)])).is_empty());
    }
}
