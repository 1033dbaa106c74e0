//! A last truck that is mostly air.

use crate::findings::{Hit, Rule, Severity};
use crate::job::Job;
use crate::parts::Parts;

pub(super) const RULE: Rule = Rule {
    id: "pour.short-load",
    severity: Severity::Note,
    asks: "The last load is not so small that the plant charges extra for it.",
    source: "common practice: ask the plant",
    look,
};

fn look(job: &Job, parts: &Parts) -> Vec<Hit> {
    let loads = &parts.pour.loads_yd3;
    let Some(&last) =
        loads.last().filter(|last| loads.len() > 1 && **last < job.pour.short_load_yd3)
    else {
        return Vec::new();
    };
    vec![Hit {
        message: format!(
            "The last of {} loads is {last:.2} yd³, under the plant's short-load limit of {:.2} yd³",
            loads.len(),
            job.pour.short_load_yd3
        ),
        remedy: format!(
            "Ask for evened-out loads ({}), or what the short load costs, before ordering",
            parts
                .pour
                .even_loads_yd3
                .iter()
                .map(|load| format!("{load:.2}"))
                .collect::<Vec<_>>()
                .join(", ")
        ),
        ..Hit::default()
    }]
}

#[cfg(test)]
mod tests {
    use super::*;
    use std::sync::Arc;

    fn hits(loads_yd3: Vec<f64>) -> usize {
        let pour = crate::pour::Pour { loads_yd3, ..Default::default() };
        look(&Job::default(), &Parts { pour: Arc::new(pour), ..Parts::default() }).len()
    }

    #[test]
    fn it_trips_and_just_does_not() {
        assert_eq!(hits(vec![10.0, 3.75]), 1);
        assert_eq!(hits(vec![10.0, 4.0]), 0);
        assert_eq!(hits(vec![3.75]), 0);
    }
}
