//! What does not hold in the job itself: numbers, ids, rings.

use crate::findings::{Hit, Rule, Severity};
use crate::job::Job;
use crate::job::check::{self, FaultLevel};
use crate::parts::Parts;

pub(super) const FAULT: Rule = Rule {
    id: "plan.fault",
    severity: Severity::Stop,
    asks: "Numbers are in reach, and outline and openings are rings that can be built.",
    source: "needed for every other number",
    look: look_for_blocking,
};

pub(super) const LOOSE: Rule = Rule {
    id: "plan.loose-reference",
    severity: Severity::Note,
    asks: "Whatever the job refers to is in the job.",
    source: "the job's own consistency",
    look: look_for_loose,
};

fn look_for_blocking(job: &Job, _parts: &Parts) -> Vec<Hit> {
    // A job without an outline has a rule of its own, in plainer words.
    if job.outline.sides.is_empty() {
        return Vec::new();
    }
    hits(job, |level| level < FaultLevel::Loose)
}

fn look_for_loose(job: &Job, _parts: &Parts) -> Vec<Hit> {
    hits(job, |level| level == FaultLevel::Loose)
}

fn hits(job: &Job, wanted: fn(FaultLevel) -> bool) -> Vec<Hit> {
    check::faults(job)
        .into_iter()
        .filter(|fault| wanted(fault.level))
        .map(|fault| Hit {
            at: fault.at,
            item: fault.item,
            message: fault.message,
            remedy: fault.remedy,
        })
        .collect()
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::geometry::Point;
    use crate::job::ids::SideId;
    use std::sync::Arc;

    fn triangle() -> Job {
        let corners = [(0.0, 0.0), (20.0, 0.0), (0.0, 20.0)];
        Job::from_corners(&corners.map(|(x, y)| (Point::feet(x, y), None)))
    }

    #[test]
    fn a_number_that_is_none_is_stopped_and_a_plain_triangle_is_not() {
        let mut job = triangle();
        assert!(look_for_blocking(&job, &Parts::default()).is_empty());
        Arc::make_mut(&mut job.outline).sides[0].start.x = f64::NAN;
        assert!(!look_for_blocking(&job, &Parts::default()).is_empty());
    }

    #[test]
    fn an_edge_of_a_side_that_is_gone_is_noted() {
        let mut job = triangle();
        assert!(look_for_loose(&job, &Parts::default()).is_empty());
        Arc::make_mut(&mut job.edges).by_side.insert(SideId(999), Default::default());
        assert!(!look_for_loose(&job, &Parts::default()).is_empty());
    }
}
