//! A mix too stiff or too wet for the tool that strikes it off.

use crate::facts::concrete::STRIKE_OFF_SLUMP_IN;
use crate::findings::{Hit, Rule, Severity};
use crate::job::Job;
use crate::job::pour::StrikeOff;
use crate::parts::Parts;

pub(super) const RULE: Rule = Rule {
    id: "concrete.slump",
    severity: Severity::Note,
    asks: "The slump suits the way the concrete is struck off.",
    source: "common practice",
    look,
};

fn look(job: &Job, _parts: &Parts) -> Vec<Hit> {
    let [straightedge, board, tube, laser] = STRIKE_OFF_SLUMP_IN;
    let ((least, most), tool) = match job.pour.strike_off {
        StrikeOff::Straightedge => (straightedge, "a straightedge by hand"),
        StrikeOff::VibratingBoard => (board, "a vibrating board"),
        StrikeOff::RollerTube => (tube, "a roller tube"),
        StrikeOff::LaserScreed => (laser, "a laser-guided machine"),
    };
    let slump = job.pour.mix.slump.to_inches();
    if (least..=most).contains(&slump) {
        return Vec::new();
    }
    vec![Hit {
        message: format!(
            "A slump of {slump:.1} in for {tool}, which works with {least} to {most} in"
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
