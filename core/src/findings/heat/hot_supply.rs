//! Water hotter than the tube may carry.

use crate::facts::tube::WARMEST_WATER_F;
use crate::findings::{Hit, Rule, Severity};
use crate::job::Job;
use crate::parts::Parts;

pub(super) const RULE: Rule = Rule {
    id: "heat.hot-supply",
    severity: Severity::Stop,
    asks: "Supply water is no hotter than the tube is rated for.",
    source: "ASTM F3253, scope: 200 °F for barrier tube",
    look,
};

fn look(_job: &Job, parts: &Parts) -> Vec<Hit> {
    let supply = parts.heat.supply_f;
    if supply <= WARMEST_WATER_F {
        return Vec::new();
    }
    vec![Hit {
        message: format!(
            "Supply would have to be {supply:.0} °F; the tube is rated to {WARMEST_WATER_F:.0} °F"
        ),
        remedy: "Lay tube closer or nearer the top, thin the covering, or lower the load"
            .to_owned(),
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
        assert_eq!(hits(crate::heat::Heat { supply_f: 201.0, ..Default::default() }), 1);
        assert_eq!(hits(crate::heat::Heat { supply_f: 200.0, ..Default::default() }), 0);
    }
}
