//! A vapor retarder under the newer code, or lapped too little.

use crate::facts::concrete::{LEAST_MEMBRANE_LAP_IN, LEAST_MEMBRANE_MILS};
use crate::findings::{Hit, Rule, Severity};
use crate::job::Job;
use crate::parts::Parts;

pub(super) const RULE: Rule = Rule {
    id: "concrete.thin-membrane",
    severity: Severity::Note,
    asks: "The vapor retarder is 10 mils thick (6 before 2021) and lapped 6 in.",
    source: "International Residential Code R506.2.3: 10 mils from 2021 (from memory), 6 mils and lap 6 in before (as quoted elsewhere)",
    look,
};

fn look(job: &Job, parts: &Parts) -> Vec<Hit> {
    let sheet = job.build_up.membrane;
    let is_enough =
        sheet.mils >= LEAST_MEMBRANE_MILS && sheet.lap.to_inches() >= LEAST_MEMBRANE_LAP_IN;
    if parts.plan.is_empty() || !sheet.is_laid || is_enough {
        return Vec::new();
    }
    vec![Hit {
        message: format!(
            "The vapor retarder is {:.0} mils, lapped {:.0} in",
            sheet.mils,
            sheet.lap.to_inches()
        ),
        remedy: "Take 10 mils lapped 6 in, or confirm what the local code asks".to_owned(),
        ..Hit::default()
    }]
}

#[cfg(test)]
mod tests {
    use super::*;
    use std::sync::Arc;

    fn hits(mils: f64, lap: f64) -> usize {
        let mut job = Job::from_corners(&crate::findings::concrete::square_of_feet(20.0));
        let sheet = &mut Arc::make_mut(&mut job.build_up).membrane;
        sheet.mils = mils;
        sheet.lap = crate::units::Length::inches(lap);
        look(&job, &crate::findings::concrete::planned(&job)).len()
    }

    #[test]
    fn it_trips_and_just_does_not() {
        assert_eq!(hits(6.0, 6.0), 1);
        assert_eq!(hits(10.0, 5.0), 1);
        assert_eq!(hits(10.0, 6.0), 0);
    }
}
