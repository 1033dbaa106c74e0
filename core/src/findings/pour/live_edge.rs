//! A strip whose edge stiffens before the next one is placed against it.

use crate::findings::{Hit, Rule, Severity};
use crate::job::Job;
use crate::parts::Parts;

pub(super) const RULE: Rule = Rule {
    id: "pour.live-edge",
    severity: Severity::Warn,
    asks: "Fresh concrete comes against every strip before its edge stiffens.",
    source: "common practice: 30 to 45 min at 70 °F, a third longer for each 10 °F colder",
    look,
};

fn look(_job: &Job, parts: &Parts) -> Vec<Hit> {
    let pour = &parts.pour;
    let (_, most) = pour.live_edge_limits;
    if most <= 0.0 || pour.live_edge_minutes <= most {
        return Vec::new();
    }
    let strip = pour.strips.get(pour.live_edge_strip);
    vec![Hit {
        at: strip.map(|strip| crate::geometry::polygon::centroid(&strip.outer)),
        message: format!(
            "Screed strip {} takes {:.0} min: its edge may stiffen (about {most:.0} min with \
             concrete of this warmth) before the next strip stands against it",
            pour.live_edge_strip + 1,
            pour.live_edge_minutes
        ),
        remedy: "Set narrower strips, a larger crew, or more trucks; or plan a construction joint \
                 there"
            .to_owned(),
        ..Hit::default()
    }]
}

#[cfg(test)]
mod tests {
    use super::*;
    use std::sync::Arc;

    fn hits(live_edge_minutes: f64) -> usize {
        let pour = crate::pour::Pour {
            live_edge_minutes,
            live_edge_limits: (30.0, 45.0),
            ..Default::default()
        };
        look(&Job::default(), &Parts { pour: Arc::new(pour), ..Parts::default() }).len()
    }

    #[test]
    fn it_trips_and_just_does_not() {
        assert_eq!(hits(45.5), 1);
        assert_eq!(hits(45.0), 0);
    }
}
