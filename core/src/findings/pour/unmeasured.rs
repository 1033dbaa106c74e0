//! A part of the slab where nobody has shot the ground.

use crate::findings::{Hit, Rule, Severity};
use crate::job::Job;
use crate::parts::Parts;

pub(super) const RULE: Rule = Rule {
    id: "pour.unmeasured",
    severity: Severity::Note,
    asks: "Where any shot was taken, shots cover the whole slab.",
    source: "common practice",
    look,
};

fn look(_job: &Job, parts: &Parts) -> Vec<Hit> {
    if parts.subgrade.shots == 0 {
        return Vec::new();
    }
    let gaps = parts.subgrade.unmeasured.iter();
    gaps.map(|gap| Hit {
        at: gap.outer.first().copied(),
        message: format!("No shot was taken near {:.0} ft² of the slab", gap.area() / 144.0),
        remedy: "Shoot the corners there; volumes leave that part out".to_owned(),
        ..Hit::default()
    })
    .collect()
}

#[cfg(test)]
mod tests {
    use super::*;
    use std::sync::Arc;

    fn hits(shots: usize) -> usize {
        let gap = crate::geometry::Polygon::rectangle(
            crate::geometry::Point::ORIGIN,
            crate::geometry::Point::feet(4.0, 4.0),
        );
        let survey =
            crate::pour::SubgradeSurvey { shots, unmeasured: vec![gap], ..Default::default() };
        look(&Job::default(), &Parts { subgrade: Arc::new(survey), ..Parts::default() }).len()
    }

    #[test]
    fn it_trips_and_just_does_not() {
        assert_eq!(hits(3), 1);
        assert_eq!(hits(0), 0);
    }
}
