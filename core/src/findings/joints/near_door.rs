//! A joint that ends nearer to a door or a drain than asked.

use super::hits_at;
use crate::findings::{Hit, Rule, Severity};
use crate::job::Job;
use crate::joints::JointRule;
use crate::parts::Parts;
use crate::units::{Length, show_length};

pub(super) const RULE: Rule = Rule {
    id: "joints.near_door_or_drain",
    severity: Severity::Note,
    asks: "Joints that end at the side of a panel keep from doors and drains as far as asked.",
    source: "common practice: a crack that runs on from an offset shows most at a door or a drain",
    look,
};

fn look(job: &Job, parts: &Parts) -> Vec<Hit> {
    let shown = |inches: f64| show_length(Length::inches(inches), job.facts.display.rounding);
    let asked = shown(job.joints.offsets_keep_off.to_inches());
    hits_at(
        parts,
        JointRule::NearDoorOrDrain,
        |breach| {
            let near = shown(breach.amount);
            format!("A joint ends {near} from a door or drain where {asked} was asked for")
        },
        "Drag the joint away, draw one that runs through, or ask for less",
    )
}

#[cfg(test)]
mod tests {
    use super::super::testing::parts_with;
    use super::*;

    #[test]
    fn the_distance_is_told_beside_what_was_asked() {
        let mut job = Job::default();
        std::sync::Arc::make_mut(&mut job.joints).offsets_keep_off = Length::feet(3.0);
        let hits = look(&job, &parts_with(&[(JointRule::NearDoorOrDrain, 18.0)]));
        assert_eq!(hits.len(), 1);
        assert!(hits[0].message.contains("1'-6\"") && hits[0].message.contains("3'-0\""));
        assert!(look(&job, &parts_with(&[(JointRule::Strip, 18.0)])).is_empty());
    }
}
