//! A truck that is emptied too long after it was batched.

use crate::findings::{Hit, Rule, Severity};
use crate::job::Job;
use crate::parts::Parts;

pub(super) const RULE: Rule = Rule {
    id: "pour.discharge-limit",
    severity: Severity::Warn,
    asks: "Each truck is empty within the time limit from batching.",
    source: "ASTM C94, 90 min in editions to about 2012 (from memory; later ones leave it to buyer and plant)",
    look,
};

fn look(job: &Job, parts: &Parts) -> Vec<Hit> {
    let (age, limit) = (parts.pour.longest_age_minutes, job.pour.discharge_limit_minutes);
    if age <= limit {
        return Vec::new();
    }
    vec![Hit {
        message: format!(
            "A truck is empty {age:.0} min after batching (half the round trip and its own \
             unloading); the limit is {limit:.0} min"
        ),
        remedy: "Order smaller loads, place faster, or agree a retarder with the plant".to_owned(),
        ..Hit::default()
    }]
}

#[cfg(test)]
mod tests {
    use super::*;
    use std::sync::Arc;

    fn hits(longest_age_minutes: f64) -> usize {
        let pour = crate::pour::Pour { longest_age_minutes, ..Default::default() };
        look(&Job::default(), &Parts { pour: Arc::new(pour), ..Parts::default() }).len()
    }

    #[test]
    fn it_trips_and_just_does_not() {
        assert_eq!(hits(90.5), 1);
        assert_eq!(hits(90.0), 0);
    }
}
