//! Nothing keeps ground moisture out.

use crate::findings::{Hit, Rule, Severity};
use crate::job::Job;
use crate::parts::Parts;

pub(super) const RULE: Rule = Rule {
    id: "concrete.no-membrane",
    severity: Severity::Warn,
    asks: "A vapor retarder lies under the floor.",
    source: "International Residential Code R506.2.3 (as quoted elsewhere); some unheated buildings are exempt",
    look,
};

fn look(job: &Job, parts: &Parts) -> Vec<Hit> {
    if parts.plan.is_empty() || job.build_up.membrane.is_laid {
        return Vec::new();
    }
    vec![Hit {
        message: "There is no vapor retarder under the floor".to_owned(),
        remedy: "Lay one under or over the foam, 10 mils, lapped 6 in".to_owned(),
        ..Hit::default()
    }]
}

#[cfg(test)]
mod tests {
    use super::*;
    use std::sync::Arc;

    fn hits(is_laid: bool) -> usize {
        let mut job = Job::from_corners(&crate::findings::concrete::square_of_feet(20.0));
        Arc::make_mut(&mut job.build_up).membrane.is_laid = is_laid;
        look(&job, &crate::findings::concrete::planned(&job)).len()
    }

    #[test]
    fn it_trips_and_just_does_not() {
        assert_eq!(hits(false), 1);
        assert_eq!(hits(true), 0);
    }
}
