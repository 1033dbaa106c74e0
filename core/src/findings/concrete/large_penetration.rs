//! Something large comes up through the slab and takes concrete away.

use crate::findings::{Hit, Rule, Severity};
use crate::job::Job;
use crate::parts::Parts;

pub(super) const RULE: Rule = Rule {
    id: "concrete.large-penetration",
    severity: Severity::Note,
    asks: "A penetration above 12 in across is taken off the concrete, and the takeoff says so.",
    source: "common practice: smaller ones are left to the allowance",
    look,
};

/// Above this size across, in inches, it counts.
const LARGE_IN: f64 = 12.0;

fn look(_job: &Job, parts: &Parts) -> Vec<Hit> {
    parts
        .plan
        .penetrations
        .iter()
        .filter(|item| item.widest > LARGE_IN)
        .map(|item| Hit {
            at: Some(item.at),
            item: Some(item.id.into()),
            message: format!("{:.0} in across: its concrete is not ordered", item.widest),
            remedy: "Box it out, and check its size on site".to_owned(),
        })
        .collect()
}

#[cfg(test)]
mod tests {
    use super::*;
    use std::sync::Arc;

    fn hits(across: f64) -> usize {
        let plan = crate::plan::Plan {
            penetrations: vec![crate::plan::PlanPenetration {
                id: 1.into(),
                kind: crate::job::openings::PenetrationKind::Column,
                at: crate::geometry::Point::ORIGIN,
                outline: Vec::new(),
                tube_clearance: 6.0,
                widest: across,
            }],
            ..Default::default()
        };
        look(&Job::default(), &Parts { plan: Arc::new(plan), ..Parts::default() }).len()
    }

    #[test]
    fn it_trips_and_just_does_not() {
        assert_eq!(hits(12.5), 1);
        assert_eq!(hits(12.0), 0);
    }
}
