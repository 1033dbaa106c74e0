//! A panel corner sharper than the slab asks for.

use super::hits_at;
use crate::findings::{Hit, Rule, Severity};
use crate::job::Job;
use crate::joints::JointRule;
use crate::parts::Parts;

pub(super) const RULE: Rule = Rule {
    id: "joints.sharp-corner",
    severity: Severity::Warn,
    asks: "Joints meet edges and each other at 60 degrees or more.",
    source: "ACPA joint layout: avoid angles under 60 degrees, turn the last 2 ft square (read)",
    look,
};

fn look(_job: &Job, parts: &Parts) -> Vec<Hit> {
    hits_at(
        parts,
        JointRule::SharpCorner,
        |breach| {
            format!(
                "A joint meets the edge at {:.0} degrees: the tip will break off",
                breach.amount
            )
        },
        "Turn the last two feet of the joint square to the edge, or end it at a corner",
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
            look(&job, &parts_with(&[(JointRule::SharpCorner, 2.0), (JointRule::Aspect, 2.0)]));
        assert_eq!(hits.len(), 1);
        assert!(hits.iter().all(|hit| hit.at.is_some()));
        assert!(look(&job, &parts_with(&[(JointRule::Aspect, 2.0)])).is_empty());
    }
}
