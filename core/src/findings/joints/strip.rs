//! A thickened strip that no joint stands over.

use super::hits_at;
use crate::findings::{Hit, Rule, Severity};
use crate::job::Job;
use crate::joints::JointRule;
use crate::parts::Parts;

pub(super) const RULE: Rule = Rule {
    id: "joints.strip",
    severity: Severity::Note,
    asks: "A joint stands over every thickened strip.",
    source: "common practice: the deeper concrete holds the floor there, and a wall hides the cut",
    look,
};

fn look(job: &Job, parts: &Parts) -> Vec<Hit> {
    if !job.joints.has_contraction_joints {
        return Vec::new();
    }
    hits_at(
        parts,
        JointRule::Strip,
        |breach| {
            format!(
                "{:.0} ft of thickened strip have no joint over them: the floor may crack beside it",
                (breach.amount / 12.0).ceil()
            )
        },
        "Draw a joint along the strip, or tie bars across it",
    )
}

#[cfg(test)]
mod tests {
    use super::super::testing::parts_with;
    use super::*;

    #[test]
    fn a_strip_without_a_joint_is_told_once() {
        let job = Job::default();
        let hits = look(&job, &parts_with(&[(JointRule::Strip, 240.0)]));
        assert_eq!(hits.len(), 1);
        assert!(hits[0].message.starts_with("20 ft of thickened strip"));
        assert!(look(&job, &parts_with(&[(JointRule::Tee, 1.0)])).is_empty());
    }
}
