//! A spacing chosen wider than the usual range.

use crate::facts::joints::{LARGEST_SPACING_IN, SPACING_MULTIPLES};
use crate::findings::{Hit, Rule, Severity};
use crate::job::Job;
use crate::joints::JointRules;
use crate::parts::Parts;

pub(super) const RULE: Rule = Rule {
    id: "joints.wide-spacing",
    severity: Severity::Warn,
    asks: "Joint spacing is at most 36 times the floor's thickness and never over 18 ft.",
    source: "ACI 302.1R-96, 24 to 36 times the thickness, 18 ft cap (through a trade question and answer)",
    look,
};

fn look(job: &Job, _parts: &Parts) -> Vec<Hit> {
    let spacing = JointRules::of(job).spacing;
    let most =
        (SPACING_MULTIPLES.1 * job.build_up.floor_thickness.to_inches()).min(LARGEST_SPACING_IN);
    if !job.joints.has_contraction_joints || spacing <= most + 1e-6 {
        return Vec::new();
    }
    vec![Hit {
        message: format!(
            "Joints up to {:.1} ft apart: the usual limit for this floor is {:.1} ft",
            spacing / 12.0,
            most / 12.0
        ),
        remedy: "Choose a smaller spacing, or have the engineer design steel for it".to_owned(),
        ..Hit::default()
    }]
}

#[cfg(test)]
mod tests {
    use super::*;
    use std::sync::Arc;

    fn hits(multiple: f64) -> usize {
        let mut job = Job::default();
        Arc::make_mut(&mut job.joints).spacing_multiple = multiple;
        look(&job, &Parts::default()).len()
    }

    #[test]
    fn it_trips_and_just_does_not() {
        assert_eq!(hits(36.5), 1);
        assert_eq!(hits(36.0), 0);
    }
}
