//! Joints that end at the side of a panel.

use crate::findings::{Hit, Rule, Severity};
use crate::job::Job;
use crate::joints::JointRule;
use crate::parts::Parts;

pub(super) const RULE: Rule = Rule {
    id: "joints.tee",
    severity: Severity::Note,
    asks: "Joints run through from edge to edge.",
    source: "TM 5-809-12 chapter 5, joints straight and continuous (read)",
    look,
};

fn look(_job: &Job, parts: &Parts) -> Vec<Hit> {
    let layout = &parts.joints.layout;
    let mut tees = layout.breaches.iter().filter(|breach| breach.rule == JointRule::Tee);
    let Some(first) = tees.next() else { return Vec::new() };
    let count = 1 + tees.count();
    let fewest = layout.proposals.iter().min_by_key(|proposal| proposal.tees);
    let remedy = match fewest {
        Some(other) if (other.tees as usize) < count => format!(
            "The layout \"{}\" has {} for {:.0} ft of sawing in place of {:.0}; or place steel past the ends",
            other.name,
            other.tees,
            other.saw_length / 12.0,
            layout.saw_length / 12.0
        ),
        _ => "Run bars across in the panel past each end, or accept a fine crack".to_owned(),
    };
    vec![Hit {
        at: Some(first.at),
        message: format!(
            "{count} joint {} at the side of a panel: a crack may run on from there",
            if count == 1 { "end stops" } else { "ends stop" }
        ),
        remedy,
        ..Hit::default()
    }]
}

#[cfg(test)]
mod tests {
    use super::super::testing::parts_with;
    use super::*;

    #[test]
    fn many_tees_make_one_note_and_none_makes_none() {
        let job = Job::default();
        let tee = (JointRule::Tee, 1.0);
        assert_eq!(look(&job, &parts_with(&[tee, tee, tee])).len(), 1);
        assert!(look(&job, &parts_with(&[(JointRule::Aspect, 1.6)])).is_empty());
    }
}
