//! There is nothing to lay out.

use crate::findings::{Hit, Rule, Severity};
use crate::job::Job;
use crate::parts::Parts;

pub(super) const RULE: Rule = Rule {
    id: "plan.no-slab",
    severity: Severity::Stop,
    asks: "A job has an outline that can be a slab.",
    source: "needed for every other number",
    look,
};

fn look(job: &Job, parts: &Parts) -> Vec<Hit> {
    if !parts.plan.is_empty() {
        return Vec::new();
    }
    let (message, remedy) = if job.outline.sides.is_empty() {
        ("There is no outline yet", "Draw the outer form face, or type its walls")
    } else {
        (
            "The outline cannot be a slab: it has no area, or a corner that is no place",
            "Draw it again, or move the corner that is astray",
        )
    };
    vec![Hit { message: message.to_owned(), remedy: remedy.to_owned(), ..Hit::default() }]
}

#[cfg(test)]
mod tests {
    use crate::derive::derive;
    use crate::geometry::Point;
    use crate::job::Job;

    fn trips(job: &Job) -> bool {
        derive(job).findings.iter().any(|finding| finding.rule == super::RULE.id)
    }

    #[test]
    fn a_job_without_an_outline_is_stopped_and_one_with_a_triangle_is_not() {
        assert!(trips(&Job::default()));
        assert!(!trips(&Job::from_corners(&[
            (Point::feet(0.0, 0.0), None),
            (Point::feet(20.0, 0.0), None),
            (Point::feet(0.0, 20.0), None),
        ])));
    }
}
