//! A blade that comes close to the tube.

use crate::findings::{Hit, Rule, Severity};
use crate::job::Job;
use crate::parts::Parts;

pub(super) const RULE: Rule = Rule {
    id: "safety.blade-near-tube",
    severity: Severity::Warn,
    asks: "Blade and tube stay as far apart as the job asks, half an inch as a rule.",
    source: "common practice: warn under 1/2 in with the slab at its thinnest",
    look,
};

fn look(job: &Job, parts: &Parts) -> Vec<Hit> {
    let least = job.joints.least_cover_over_tube.to_inches();
    super::worst_crossing(
        parts,
        |clearance| (0.0..least).contains(&clearance),
        "Set and lock the blade depth, hold the tube under pressure while sawing, or lay it deeper",
    )
}

#[cfg(test)]
mod tests {
    use super::super::testing::parts_with;
    use super::*;

    #[test]
    fn it_trips_and_just_does_not() {
        assert_eq!(look(&Job::default(), &parts_with(0.49)).len(), 1);
        assert!(look(&Job::default(), &parts_with(0.5)).is_empty());
        assert!(look(&Job::default(), &parts_with(-0.1)).is_empty());
    }
}
