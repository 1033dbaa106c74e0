//! Concrete that arrives too hot.

use crate::facts::weather::HOTTEST_CONCRETE_F;
use crate::findings::{Hit, Rule, Severity};
use crate::job::Job;
use crate::parts::Parts;

pub(super) const RULE: Rule = Rule {
    id: "pour.hot-mix",
    severity: Severity::Warn,
    asks: "Concrete is no hotter than 95 °F at discharge.",
    source: "ACI 301-20 and ACI 305.1-14 (read in secondary sources)",
    look,
};

fn look(job: &Job, _parts: &Parts) -> Vec<Hit> {
    let weather = job.pour.weather;
    if weather.humidity_percent <= 0.0 || weather.concrete_f <= HOTTEST_CONCRETE_F {
        return Vec::new();
    }
    vec![Hit {
        message: format!(
            "Concrete at {:.0} °F is over the limit of {HOTTEST_CONCRETE_F:.0} °F",
            weather.concrete_f
        ),
        remedy: "Ask the plant for ice or chilled water, or pour at night".to_owned(),
        ..Hit::default()
    }]
}

#[cfg(test)]
mod tests {
    use super::*;
    use std::sync::Arc;

    fn hits(reading: f64) -> usize {
        let mut job = Job::default();
        let weather = &mut Arc::make_mut(&mut job.pour).weather;
        weather.humidity_percent = 50.0;
        weather.concrete_f = reading;
        look(&job, &Parts::default()).len()
    }

    #[test]
    fn it_trips_and_just_does_not() {
        assert_eq!(hits(95.1), 1);
        assert_eq!(hits(95.0), 0);
    }
}
