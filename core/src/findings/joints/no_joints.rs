//! A floor larger than one panel without contraction joints.

use crate::findings::{Hit, Rule, Severity};
use crate::job::Job;
use crate::joints::JointRules;
use crate::parts::Parts;

pub(super) const RULE: Rule = Rule {
    id: "joints.none",
    severity: Severity::Warn,
    asks: "A floor longer than the joint spacing has contraction joints.",
    source: "ACI 332, joints required (through a summary)",
    look,
};

fn look(job: &Job, parts: &Parts) -> Vec<Hit> {
    let spacing = JointRules::of(job).spacing;
    let longest = parts.plan.bounds().map_or(0.0, |bounds| bounds.width().max(bounds.height()));
    if job.joints.has_contraction_joints || longest <= spacing {
        return Vec::new();
    }
    vec![Hit {
        message: format!(
            "The floor is {:.0} ft long and has no contraction joints: it will choose where to crack",
            longest / 12.0
        ),
        remedy: "Turn contraction joints on, or have the engineer design steel for crack width"
            .to_owned(),
        ..Hit::default()
    }]
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::geometry::Point;
    use crate::plan::Plan;
    use std::sync::Arc;

    fn hits(length_ft: f64) -> usize {
        let corners = [(0.0, 0.0), (length_ft, 0.0), (length_ft, 8.0), (0.0, 8.0)];
        let mut job = Job::from_corners(&corners.map(|(x, y)| (Point::feet(x, y), None)));
        Arc::make_mut(&mut job.joints).has_contraction_joints = false;
        let parts = Parts { plan: Arc::new(Plan::of(&job)), ..Parts::default() };
        look(&job, &parts).len()
    }

    #[test]
    fn it_trips_and_just_does_not() {
        // A 4 in floor at 30 times its thickness: 10 ft.
        assert_eq!(hits(10.5), 1);
        assert_eq!(hits(10.0), 0);
    }
}
