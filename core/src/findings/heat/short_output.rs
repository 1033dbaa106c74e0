//! A floor that cannot carry the load.

use crate::findings::{Hit, Rule, Severity};
use crate::job::Job;
use crate::parts::Parts;

pub(super) const RULE: Rule = Rule {
    id: "heat.short-output",
    severity: Severity::Warn,
    asks: "The floor gives the heat that the rooms ask for.",
    source: "balance of output and load",
    look,
};

/// Shortfalls below this share are within what a load is known to.
const WORTH_SAYING: f64 = 0.02;

fn look(_job: &Job, parts: &Parts) -> Vec<Hit> {
    let heat = &parts.heat;
    let short = heat.load_btuh - heat.up_btuh;
    if parts.tube.circuits.is_empty() || short <= WORTH_SAYING * heat.load_btuh {
        return Vec::new();
    }
    vec![Hit {
        message: format!(
            "The floor gives {:.0} of the {:.0} Btu/h asked for: {short:.0} Btu/h short",
            heat.up_btuh, heat.load_btuh
        ),
        remedy: "Lay tube closer, run warmer water, or add another source of heat".to_owned(),
        ..Hit::default()
    }]
}

#[cfg(test)]
mod tests {
    use super::*;
    use std::sync::Arc;

    fn hits(up_btuh: f64) -> usize {
        let heat = crate::heat::Heat { load_btuh: 10_000.0, up_btuh, ..Default::default() };
        let tube = crate::tube::Tube { circuits: vec![Default::default()], ..Default::default() };
        let parts = Parts { heat: Arc::new(heat), tube: Arc::new(tube), ..Parts::default() };
        look(&Job::default(), &parts).len()
    }

    #[test]
    fn it_trips_and_just_does_not() {
        assert_eq!(hits(9_700.0), 1);
        assert_eq!(hits(9_800.0), 0);
    }
}
