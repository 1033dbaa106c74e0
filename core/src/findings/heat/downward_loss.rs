//! A floor that heats the ground.

use crate::findings::{Hit, Rule, Severity};
use crate::job::Job;
use crate::parts::Parts;

pub(super) const RULE: Rule = Rule {
    id: "heat.downward-loss",
    severity: Severity::Note,
    asks: "Most of the heat goes up: no more than 15 per cent is lost down and at the edges.",
    source: "common practice; ASHRAE handbook gives 10 to 30 per cent for bare slabs (from memory)",
    look,
};

/// Share of the heat that may go down before it is worth more foam.
const LARGEST_SHARE: f64 = 0.15;

fn look(_job: &Job, parts: &Parts) -> Vec<Hit> {
    let heat = &parts.heat;
    let all = heat.up_btuh + heat.down_btuh;
    if all <= 0.0 || heat.down_btuh <= LARGEST_SHARE * all {
        return Vec::new();
    }
    vec![Hit {
        message: format!(
            "{:.0} % of the heat ({:.0} Btu/h) goes down and out at the edges",
            100.0 * heat.down_btuh / all,
            heat.down_btuh
        ),
        remedy: "Compare thicker foam under the floor and at the edges in the bid's alternates"
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
        assert_eq!(
            hits(crate::heat::Heat { up_btuh: 84.0, down_btuh: 16.0, ..Default::default() }),
            1
        );
        assert_eq!(
            hits(crate::heat::Heat { up_btuh: 85.0, down_btuh: 15.0, ..Default::default() }),
            0
        );
    }
}
