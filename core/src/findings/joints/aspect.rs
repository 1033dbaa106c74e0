//! A panel too long for its width.

use super::hits_at;
use crate::findings::{Hit, Rule, Severity};
use crate::job::Job;
use crate::joints::JointRule;
use crate::parts::Parts;

pub(super) const RULE: Rule = Rule {
    id: "joints.aspect",
    severity: Severity::Warn,
    asks: "Panels are no longer to shorter than the limit, 1.5 at most.",
    source: "ACI 332 and ACPA joint layout, 1.5 to 1 (through summaries); TM 5-809-12 aims at 1.25",
    look,
};

fn look(_job: &Job, parts: &Parts) -> Vec<Hit> {
    hits_at(
        parts,
        JointRule::Aspect,
        |breach| {
            format!(
                "A panel is {:.2} times as long as it is wide: it tends to crack across its middle",
                breach.amount
            )
        },
        "Add a joint across it, or place diagonal bars or steel in this panel",
    )
}

#[cfg(test)]
mod tests {
    use super::super::testing::parts_with;
    use super::*;

    #[test]
    fn it_trips_and_just_does_not() {
        let job = Job::default();
        let hits = look(&job, &parts_with(&[(JointRule::Aspect, 2.0), (JointRule::Spacing, 2.0)]));
        assert_eq!(hits.len(), 1);
        assert!(hits.iter().all(|hit| hit.at.is_some()));
        assert!(look(&job, &parts_with(&[(JointRule::Spacing, 2.0)])).is_empty());
    }
}
