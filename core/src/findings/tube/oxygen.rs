//! Whether the tube keeps oxygen out of the water.

use crate::findings::{Hit, Rule, Severity};
use crate::job::Job;
use crate::parts::Parts;

pub(super) const RULE: Rule = Rule {
    id: "tube.oxygen-barrier",
    severity: Severity::Note,
    asks: "It is known that the tube has an oxygen barrier, which steel and iron in the system need.",
    source: "ASTM F3253 for barrier tube; DIN 4726 for the limit (from memory)",
    look,
};

fn look(job: &Job, parts: &Parts) -> Vec<Hit> {
    let message = match job.heating.tube.has_oxygen_barrier {
        Some(true) => return Vec::new(),
        _ if parts.tube.circuits.is_empty() => return Vec::new(),
        Some(false) => "The tube has no oxygen barrier: iron and steel in the system will rust",
        None => "It is not said whether the tube has an oxygen barrier",
    };
    vec![Hit {
        message: message.to_owned(),
        remedy:
            "Read it off the tube's print line; without a barrier the system must be free of iron"
                .to_owned(),
        ..Hit::default()
    }]
}

#[cfg(test)]
mod tests {
    use super::*;
    use std::sync::Arc;

    fn hits(barrier: Option<bool>) -> usize {
        let mut job = Job::default();
        Arc::make_mut(&mut job.heating).tube.has_oxygen_barrier = barrier;
        let tube = crate::tube::Tube { circuits: vec![Default::default()], ..Default::default() };
        look(&job, &Parts { tube: Arc::new(tube), ..Parts::default() }).len()
    }

    #[test]
    fn it_trips_and_just_does_not() {
        assert_eq!(hits(None), 1);
        assert_eq!(hits(Some(false)), 1);
        assert_eq!(hits(Some(true)), 0);
    }
}
