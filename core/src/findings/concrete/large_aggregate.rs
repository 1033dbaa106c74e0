//! Stones too large for the section or for the bars.

use crate::facts::concrete::{AGGREGATE_OF_BAR_SPACE, AGGREGATE_OF_DEPTH};
use crate::facts::steel::bar_of_size;
use crate::findings::{Hit, Rule, Severity};
use crate::job::Job;
use crate::job::build_up::FloorSteel;
use crate::parts::Parts;
use crate::units::{Length, Rounding, show_length};

pub(super) const RULE: Rule = Rule {
    id: "concrete.large-aggregate",
    severity: Severity::Warn,
    asks: "The largest aggregate is at most a third of the floor and three quarters of the space between bars.",
    source: "ACI 318 26.4.2.1 (from memory, to be confirmed)",
    look,
};

fn look(job: &Job, _parts: &Parts) -> Vec<Hit> {
    let by_depth = job.build_up.floor_thickness.to_inches() * AGGREGATE_OF_DEPTH;
    let by_bars = match job.build_up.steel.floor {
        FloorSteel::Bars { size, spacing } => {
            (spacing.to_inches() - bar_of_size(size).diameter_in) * AGGREGATE_OF_BAR_SPACE
        }
        _ => f64::INFINITY,
    };
    let largest = by_depth.min(by_bars);
    if job.pour.mix.aggregate.to_inches() <= largest + 1e-9 {
        return Vec::new();
    }
    vec![Hit {
        message: format!(
            "Aggregate of {} is over {}, the most for {}",
            show_length(job.pour.mix.aggregate, Rounding::Sixteenth),
            show_length(Length::inches(largest.max(0.0)), Rounding::Sixteenth),
            if by_bars < by_depth { "the space between bars" } else { "a floor this thin" }
        ),
        remedy: "Order a mix with smaller aggregate".to_owned(),
        ..Hit::default()
    }]
}

#[cfg(test)]
mod tests {
    use super::*;
    use std::sync::Arc;

    fn hits(aggregate: f64, steel: FloorSteel) -> usize {
        let mut job = Job::default();
        Arc::make_mut(&mut job.pour).mix.aggregate = Length::inches(aggregate);
        Arc::make_mut(&mut job.build_up).steel.floor = steel;
        look(&job, &Parts::default()).len()
    }

    #[test]
    fn it_trips_and_just_does_not() {
        // A third of 4 in is 1 1/3 in; three quarters of 1 1/2 less 1/2 in is 3/4 in.
        assert_eq!(hits(1.5, FloorSteel::None), 1);
        assert_eq!(hits(1.25, FloorSteel::None), 0);
        let close = FloorSteel::Bars { size: 4, spacing: Length::inches(1.5) };
        assert_eq!(hits(1.0, close), 1);
        assert_eq!(hits(0.75, close), 0);
    }
}
