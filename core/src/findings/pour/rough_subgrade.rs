//! Ground that is not as flat as it should be.

use crate::findings::{Hit, Rule, Severity};
use crate::job::Job;
use crate::parts::Parts;
use crate::units::Volume;

pub(super) const RULE: Rule = Rule {
    id: "pour.rough-subgrade",
    severity: Severity::Warn,
    asks: "Every shot of the subgrade is within the tolerance of its target.",
    source: "tolerance set in the job (one inch is common practice for house slabs; ACI 117-10 4.4.5 gives 3/4 in for fine grade, read in a secondary source)",
    look,
};

fn look(job: &Job, parts: &Parts) -> Vec<Hit> {
    let survey = &parts.subgrade;
    let worst = survey.out_of_tolerance.iter().max_by(|a, b| a.1.abs().total_cmp(&b.1.abs()));
    let Some(&(at, off)) = worst else {
        return Vec::new();
    };
    let side = if off > 0.0 { "high" } else { "low" };
    let extra = Volume::cubic_inches(survey.extra_concrete).to_cubic_yards();
    vec![Hit {
        at: Some(at),
        message: format!(
            "{} of {} shots are more than {:.2} in off; the worst is {:.2} in {side}. Left so, low ground takes {extra:.2} yd³ more concrete",
            survey.out_of_tolerance.len(),
            survey.shots,
            job.subgrade.tolerance.to_inches(),
            off.abs()
        ),
        remedy: "Call the excavator back before setting forms; the subgrade sheet shows where"
            .to_owned(),
        ..Hit::default()
    }]
}

#[cfg(test)]
mod tests {
    use super::*;
    use std::sync::Arc;

    fn hits(out: Vec<(crate::geometry::Point, f64)>) -> usize {
        let survey = crate::pour::SubgradeSurvey { out_of_tolerance: out, ..Default::default() };
        look(&Job::default(), &Parts { subgrade: Arc::new(survey), ..Parts::default() }).len()
    }

    #[test]
    fn it_trips_and_just_does_not() {
        assert_eq!(hits(vec![(crate::geometry::Point::ORIGIN, -1.25)]), 1);
        assert_eq!(hits(Vec::new()), 0);
    }
}
