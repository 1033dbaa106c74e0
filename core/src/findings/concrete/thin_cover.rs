//! Steel too near the face.

use crate::facts::steel::LEAST_COVER_IN;
use crate::findings::{Hit, Rule, Severity};
use crate::job::Job;
use crate::job::build_up::FloorSteel;
use crate::parts::Parts;
use crate::units::{Rounding, show_length};

pub(super) const RULE: Rule = Rule {
    id: "concrete.thin-cover",
    severity: Severity::Warn,
    asks: "Bars have 1 1/2 in of cover at a formed face (2 in over No. 5), and 3 in where cast against earth.",
    source: "ACI 318 Table 20.5.1.3 (from memory, to be confirmed)",
    look,
};

/// Cover of bars over No. 5 at a formed face, in.
const LEAST_COVER_OF_LARGE_BARS_IN: f64 = 2.0;

fn look(job: &Job, _parts: &Parts) -> Vec<Hit> {
    let steel = &job.build_up.steel;
    let has_steel = steel.floor != FloorSteel::None
        || steel.edge_bars > 0
        || steel.strip_bars > 0
        || steel.pad_bars > 0;
    let largest = match steel.floor {
        FloorSteel::Bars { size, .. } => size.max(steel.edge_bar_size),
        _ => steel.edge_bar_size,
    };
    let least = if largest > 5 { LEAST_COVER_OF_LARGE_BARS_IN } else { LEAST_COVER_IN.1 };
    if !has_steel || steel.cover.to_inches() >= least {
        return Vec::new();
    }
    vec![Hit {
        message: format!(
            "Steel has {} of cover at the face; {least:.1} in is the least against a form",
            show_length(steel.cover, Rounding::Sixteenth)
        ),
        remedy: "Give it more cover: 3 in where concrete is cast against earth".to_owned(),
        ..Hit::default()
    }]
}

#[cfg(test)]
mod tests {
    use super::*;
    use std::sync::Arc;

    fn hits(cover: f64, size: u8) -> usize {
        let mut job = Job::default();
        let steel = &mut Arc::make_mut(&mut job.build_up).steel;
        steel.cover = crate::units::Length::inches(cover);
        steel.edge_bar_size = size;
        look(&job, &Parts::default()).len()
    }

    #[test]
    fn it_trips_and_just_does_not() {
        assert_eq!(hits(1.25, 4), 1);
        assert_eq!(hits(1.5, 4), 0);
        assert_eq!(hits(1.5, 6), 1);
        assert_eq!(hits(2.0, 6), 0);
    }
}
