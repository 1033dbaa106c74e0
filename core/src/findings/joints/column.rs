//! A column that no joint meets.

use super::hits_at;
use crate::findings::{Hit, Rule, Severity};
use crate::job::Job;
use crate::joints::JointRule;
use crate::parts::Parts;

pub(super) const RULE: Rule = Rule {
    id: "joints.column",
    severity: Severity::Warn,
    asks: "Joints meet the isolation of every column.",
    source: "NRMCA CIP 6, joints meet the points of the turned square (read)",
    look,
};

fn look(_job: &Job, parts: &Parts) -> Vec<Hit> {
    hits_at(
        parts,
        JointRule::Column,
        |_| "No joint meets this column: cracks start at its corners".to_owned(),
        "Move a joint to the column, or tie bars round its isolation",
    )
}

#[cfg(test)]
mod tests {
    use super::super::testing::parts_with;
    use super::*;

    #[test]
    fn it_trips_and_just_does_not() {
        let job = Job::default();
        let hits = look(&job, &parts_with(&[(JointRule::Column, 2.0), (JointRule::Aspect, 2.0)]));
        assert_eq!(hits.len(), 1);
        assert!(hits.iter().all(|hit| hit.at.is_some()));
        assert!(look(&job, &parts_with(&[(JointRule::Aspect, 2.0)])).is_empty());
    }
}
