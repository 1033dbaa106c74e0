//! A blade that reaches the tube.

use crate::facts::joints::BLADE_CLEARANCE_IN;
use crate::findings::{Hit, Rule, Severity};
use crate::job::Job;
use crate::parts::Parts;

pub(super) const RULE: Rule = Rule {
    id: "safety.blade-meets-tube",
    severity: Severity::Stop,
    asks: "No saw cut reaches the tube, even where the slab is thin.",
    source: "common practice: depth to the top of the tube, less the cut, less what the slab may be thin, stays above 0",
    look,
};

fn look(_job: &Job, parts: &Parts) -> Vec<Hit> {
    super::worst_crossing(
        parts,
        |clearance| clearance < BLADE_CLEARANCE_IN.1,
        "Lay the tube deeper, cut early with the shallow blade, or move the joint off the tube",
    )
}

#[cfg(test)]
mod tests {
    use super::super::testing::parts_with;
    use super::*;

    #[test]
    fn it_trips_and_just_does_not() {
        assert_eq!(look(&Job::default(), &parts_with(-0.01)).len(), 1);
        assert!(look(&Job::default(), &parts_with(0.0)).is_empty());
    }
}
