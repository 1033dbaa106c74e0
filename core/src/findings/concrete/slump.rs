//! A mix too stiff or too wet for the tool that strikes it off.

use crate::findings::{Hit, Rule, Severity};
use crate::job::Job;
use crate::parts::Parts;
use crate::pour::{Tool, tool};

pub(super) const RULE: Rule = Rule {
    id: "concrete.slump",
    severity: Severity::Note,
    asks: "The slump suits the way the concrete is struck off.",
    source: "common practice",
    look,
};

fn look(job: &Job, _parts: &Parts) -> Vec<Hit> {
    let tool = tool(&job.pour);
    let slump = job.pour.mix.slump.to_inches();
    if tool.works_with(slump) {
        return Vec::new();
    }
    let Tool { name, least_slump_in: least, most_slump_in: most } = tool;
    vec![Hit {
        message: format!(
            "A slump of {slump:.1} in for {name}, which works with {least} to {most} in"
        ),
        remedy: "Agree the slump with the plant and the crew; raise it by admixture, not by water"
            .to_owned(),
        ..Hit::default()
    }]
}

#[cfg(test)]
mod tests {
    use super::*;
    use std::sync::Arc;

    fn hits(slump: f64) -> usize {
        let mut job = Job::default();
        Arc::make_mut(&mut job.pour).mix.slump = crate::units::Length::inches(slump);
        look(&job, &Parts::default()).len()
    }

    #[test]
    fn it_trips_and_just_does_not() {
        assert_eq!(hits(3.5), 1);
        assert_eq!(hits(5.5), 1);
        assert_eq!(hits(4.0), 0);
        assert_eq!(hits(5.0), 0);
    }
}
