//! A floor thinner than the code allows.

use crate::facts::concrete::LEAST_FLOOR_IN;
use crate::findings::{Hit, Rule, Severity};
use crate::job::Job;
use crate::parts::Parts;
use crate::units::{Rounding, show_length};

pub(super) const RULE: Rule = Rule {
    id: "concrete.thin-floor",
    severity: Severity::Stop,
    asks: "The floor is at least 3 1/2 in thick.",
    source: "International Residential Code R506.1 (as quoted elsewhere)",
    look,
};

fn look(job: &Job, parts: &Parts) -> Vec<Hit> {
    let floor = job.build_up.floor_thickness;
    if parts.plan.is_empty() || floor.to_inches() >= LEAST_FLOOR_IN {
        return Vec::new();
    }
    vec![Hit {
        message: format!(
            "The floor is {} thick; the code's least is 3 1/2 in",
            show_length(floor, Rounding::Sixteenth)
        ),
        remedy: "Make it 4 in or what the local code and the engineer ask for".to_owned(),
        ..Hit::default()
    }]
}

#[cfg(test)]
mod tests {
    use super::*;
    use std::sync::Arc;

    fn hits(inches: f64) -> usize {
        let mut job = Job::from_corners(&crate::findings::concrete::square_of_feet(20.0));
        Arc::make_mut(&mut job.build_up).floor_thickness = crate::units::Length::inches(inches);
        look(&job, &crate::findings::concrete::planned(&job)).len()
    }

    #[test]
    fn it_trips_and_just_does_not() {
        assert_eq!(hits(3.4), 1);
        assert_eq!(hits(3.5), 0);
    }
}
