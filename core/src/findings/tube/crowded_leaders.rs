//! Leaders that heat the floor before their manifold.

use crate::findings::{Hit, Rule, Severity};
use crate::job::Job;
use crate::parts::Parts;

pub(super) const RULE: Rule = Rule {
    id: "tube.crowded-leaders",
    severity: Severity::Note,
    asks: "Leaders do not run side by side in such number that the floor over them gets hot.",
    source: "common practice",
    look,
};

fn look(_job: &Job, parts: &Parts) -> Vec<Hit> {
    let crowds = parts.tube.manifolds.iter().filter_map(|m| Some((m, m.crowd.as_ref()?)));
    crowds
        .map(|(manifold, crowd)| Hit {
            at: Some(crowd.at),
            item: Some(manifold.id.into()),
            message: format!(
                "{} leaders of {} run side by side, {} in apart over {:.0} in: the floor gets warmer \
                 there than the rooms ask for",
                crowd.leaders, manifold.name, crowd.pitch, crowd.width
            ),
            remedy: "Put pipe insulation on the supply leaders there, or feed far zones from a \
                     manifold of their own"
                .to_owned(),
        })
        .collect()
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::tube::{LeaderCrowd, RoutedManifold, Tube};
    use std::sync::Arc;

    fn hits(crowd: Option<LeaderCrowd>) -> Vec<Hit> {
        let manifold = RoutedManifold { name: "M1".to_owned(), crowd, ..Default::default() };
        let tube = Tube { manifolds: vec![manifold], ..Tube::default() };
        look(&Job::default(), &Parts { tube: Arc::new(tube), ..Parts::default() })
    }

    #[test]
    fn it_trips_and_just_does_not() {
        assert!(hits(None).is_empty());
        let crowd = LeaderCrowd { leaders: 12, pitch: 3.0, width: 36.2, ..Default::default() };
        let found = hits(Some(crowd));
        assert_eq!(found.len(), 1);
        assert!(
            found[0].message.contains("12 leaders of M1 run side by side, 3 in apart over 36 in")
        );
    }
}
