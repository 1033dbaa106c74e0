//! A pour in cold weather.

use crate::facts::weather::{COLD_AIR_F, LEAST_CONCRETE_F};
use crate::findings::{Hit, Rule, Severity};
use crate::job::Job;
use crate::parts::Parts;

pub(super) const RULE: Rule = Rule {
    id: "pour.cold",
    severity: Severity::Warn,
    asks: "In air under 40 °F the pour has cold-weather protection, and the mix arrives at 55 °F or more.",
    source: "ACI 306R-10: cold weather under 40 °F, 55 °F as placed for sections under 12 in (read)",
    look,
};

fn look(job: &Job, _parts: &Parts) -> Vec<Hit> {
    let weather = job.pour.weather;
    // Without a humidity reading nobody has been out with the instruments yet.
    if weather.humidity_percent <= 0.0 {
        return Vec::new();
    }
    let mut hits = Vec::new();
    if weather.air_f < COLD_AIR_F {
        hits.push(Hit {
            message: format!("{:.0} °F air is cold weather for concrete", weather.air_f),
            remedy: "Thaw the ground, order warm concrete, have blankets ready (doubled at edges); heaters that burn fuel must vent outside".to_owned(),
            ..Hit::default()
        });
    }
    if weather.concrete_f < LEAST_CONCRETE_F {
        hits.push(Hit {
            message: format!(
                "Concrete at {:.0} °F is below the least of {LEAST_CONCRETE_F:.0} °F",
                weather.concrete_f
            ),
            remedy: "Ask the plant for hot water or heated aggregate".to_owned(),
            ..Hit::default()
        });
    }
    hits
}

#[cfg(test)]
mod tests {
    use super::*;
    use std::sync::Arc;

    fn hits(reading: f64) -> usize {
        let mut job = Job::default();
        let weather = &mut Arc::make_mut(&mut job.pour).weather;
        weather.humidity_percent = 50.0;
        weather.air_f = reading;
        look(&job, &Parts::default()).len()
    }

    #[test]
    fn it_trips_and_just_does_not() {
        assert_eq!(hits(39.9), 1);
        assert_eq!(hits(40.0), 0);
    }

    #[test]
    fn cold_concrete_is_told_in_mild_air_too() {
        let mut job = Job::default();
        let weather = &mut Arc::make_mut(&mut job.pour).weather;
        (weather.humidity_percent, weather.air_f) = (50.0, 60.0);
        weather.concrete_f = LEAST_CONCRETE_F - 0.1;
        let hits = look(&job, &Parts::default());
        assert_eq!(hits.len(), 1);
        assert!(hits[0].remedy.contains("hot water"));
    }
}
