//! Water leaving the surface faster than it bleeds.

use crate::facts::weather::EVAPORATION_LIMIT;
use crate::findings::{Hit, Rule, Severity};
use crate::job::Job;
use crate::parts::Parts;

pub(super) const RULE: Rule = Rule {
    id: "pour.evaporation",
    severity: Severity::Warn,
    asks: "Evaporation from the fresh surface stays under 0.20 lb per square foot and hour.",
    source: "ACI 305R limit of 0.20 lb/ft2/h (read in an ACI answer); rate by Uno 1998, ACI Materials Journal 95-M34",
    look,
};

fn look(_job: &Job, parts: &Parts) -> Vec<Hit> {
    parts
        .pour
        .evaporation
        .filter(|rate| *rate >= EVAPORATION_LIMIT)
        .map(|rate| Hit {
            message: format!(
                "The surface would lose {rate:.2} lb/ft²/h: it may crack before it sets"
            ),
            remedy: "Wait for less wind, cool the mix, set windbreaks, or fog and cover at once"
                .to_owned(),
            ..Hit::default()
        })
        .into_iter()
        .collect()
}

#[cfg(test)]
mod tests {
    use super::*;
    use std::sync::Arc;

    fn hits(rate: Option<f64>) -> usize {
        let pour = crate::pour::Pour { evaporation: rate, ..Default::default() };
        look(&Job::default(), &Parts { pour: Arc::new(pour), ..Parts::default() }).len()
    }

    #[test]
    fn it_trips_and_just_does_not() {
        assert_eq!(hits(Some(0.2)), 1);
        assert_eq!(hits(Some(0.199)), 0);
        assert_eq!(hits(None), 0);
    }
}
