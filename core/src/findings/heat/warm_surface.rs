//! A floor too warm for feet or covering.

use crate::findings::{Hit, Rule, Severity};
use crate::job::Job;
use crate::parts::Parts;

pub(super) const RULE: Rule = Rule {
    id: "heat.warm-surface",
    severity: Severity::Warn,
    asks: "No place of the floor is warmer than the limit set for people and covering.",
    source: "EN 1264-2, surface limits 29 C occupied and 35 C at the rim (from memory); ASHRAE 55 (from memory)",
    look,
};

fn look(job: &Job, parts: &Parts) -> Vec<Hit> {
    let limit = job.heating.design.surface_limit_f;
    let heat = &parts.heat;
    if heat.surface_max_f <= limit {
        return Vec::new();
    }
    vec![Hit {
        at: heat.floor_map.as_ref().map(|map| map.hottest),
        message: format!(
            "The floor reaches {:.0} °F at its warmest; the limit is {limit:.0} °F",
            heat.surface_max_f
        ),
        remedy: "Lay tube closer and run cooler water, or set a lower load".to_owned(),
        ..Hit::default()
    }]
}

#[cfg(test)]
mod tests {
    use super::*;
    use std::sync::Arc;

    fn hits(heat: crate::heat::Heat) -> usize {
        let parts = Parts { heat: Arc::new(heat), ..Parts::default() };
        look(&Job::default(), &parts).len()
    }

    #[test]
    fn it_trips_and_just_does_not() {
        assert_eq!(hits(crate::heat::Heat { surface_max_f: 84.1, ..Default::default() }), 1);
        assert_eq!(hits(crate::heat::Heat { surface_max_f: 84.0, ..Default::default() }), 0);
    }
}
