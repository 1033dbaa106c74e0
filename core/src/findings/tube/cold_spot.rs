//! A spot that no tube is near.

use crate::findings::{Hit, Rule, Severity};
use crate::job::Job;
use crate::parts::Parts;

pub(super) const RULE: Rule = Rule {
    id: "tube.cold-spot",
    severity: Severity::Note,
    asks: "No place of a zone is farther from a tube than one and a half spacings.",
    source: "common practice",
    look,
};

/// Distance to the nearest tube, in spacings, from which a spot is worth looking at.
const FARTHEST: f64 = 1.5;

fn look(_job: &Job, parts: &Parts) -> Vec<Hit> {
    let gaps = parts.tube.zones.iter().filter_map(|zone| Some((zone, zone.widest_gap?)));
    gaps.filter(|(zone, (_, radius))| *radius > FARTHEST * zone.spacing)
        .map(|(zone, (at, radius))| Hit {
            at: Some(at),
            item: Some(zone.id.into()),
            message: format!(
                "The nearest tube is {radius:.0} in away here: this spot stays cooler"
            ),
            remedy: "Move the manifold, or draw the zone so that tube gets there".to_owned(),
        })
        .collect()
}

#[cfg(test)]
mod tests {
    use super::*;
    use std::sync::Arc;

    fn hits(radius: f64) -> usize {
        let zone = crate::tube::RoutedZone {
            spacing: 12.0,
            widest_gap: Some((crate::geometry::Point::ORIGIN, radius)),
            ..Default::default()
        };
        let tube = crate::tube::Tube { zones: vec![zone], ..Default::default() };
        look(&Job::default(), &Parts { tube: Arc::new(tube), ..Parts::default() }).len()
    }

    #[test]
    fn it_trips_and_just_does_not() {
        assert_eq!(hits(18.1), 1);
        assert_eq!(hits(18.0), 0);
    }
}
