//! Foam under the floor that is too weak for what stands on it.

use crate::findings::{Hit, Rule, Severity};
use crate::foam::strength::{board_of, floor_share};
use crate::job::Job;
use crate::parts::Parts;

pub(super) const RULE: Rule = Rule {
    id: "foam.crushed-floor",
    severity: Severity::Stop,
    asks: "Foam carries the floor with a third of its strength for load that stays and a fifth for \
           load that comes and goes.",
    source: "common practice of foam under slabs; strength by ASTM C578 (2010), Table 1 [as quoted \
             elsewhere]; wheel load as a plate on springs",
    look,
};

fn look(job: &Job, _parts: &Parts) -> Vec<Hit> {
    job.build_up
        .foam_layers
        .iter()
        .zip(1..)
        .filter_map(|(layer, number)| {
            let share = floor_share(&job.build_up, layer.foam_type);
            (share > 1.0).then(|| Hit {
                message: format!(
                    "Foam layer {number} (type {:?}, {:.0} psi) is loaded to {:.0} % of what it \
                     bears for good",
                    layer.foam_type,
                    board_of(layer.foam_type).compressive_psi,
                    share * 100.0
                ),
                remedy:
                    "Choose a stronger type, or a thicker floor; an engineer decides for heavy \
                         wheels, lifts and racks"
                        .to_owned(),
                ..Hit::default()
            })
        })
        .collect()
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::job::build_up::FoamType;
    use std::sync::Arc;

    fn hits(floor_load_psf: f64) -> usize {
        let mut job = Job::default();
        let build_up = Arc::make_mut(&mut job.build_up);
        build_up.floor_load_psf = floor_load_psf;
        for layer in &mut build_up.foam_layers {
            layer.foam_type = FoamType::IX;
        }
        look(&job, &Parts::default()).len()
    }

    #[test]
    fn it_trips_and_just_does_not() {
        // 25 psi: 0.347 of 8.33 psi for the floor's weight leaves 4.79 psi, which is 690 psf.
        assert_eq!(hits(695.0), 1);
        assert_eq!(hits(685.0), 0);
    }
}
