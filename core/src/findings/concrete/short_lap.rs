//! Bars or mesh that overlap too little.

use crate::facts::steel::{BAR_LAP_DIAMETERS, LEAST_MESH_LAP_IN};
use crate::findings::{Hit, Rule, Severity};
use crate::job::Job;
use crate::job::build_up::FloorSteel;
use crate::parts::Parts;

pub(super) const RULE: Rule = Rule {
    id: "concrete.short-lap",
    severity: Severity::Warn,
    asks: "Bars lap 40 diameters and mesh 6 in.",
    source: "common practice for bars; ACI 318 for plain welded wire (from memory, to be confirmed)",
    look,
};

fn look(job: &Job, _parts: &Parts) -> Vec<Hit> {
    let steel = &job.build_up.steel;
    let mut hits = Vec::new();
    let has_bars = matches!(steel.floor, FloorSteel::Bars { .. }) || steel.edge_bars > 0;
    if has_bars && steel.lap_diameters < BAR_LAP_DIAMETERS.0 {
        hits.push(Hit {
            message: format!("Bars lap {:.0} diameters", steel.lap_diameters),
            remedy: "Lap them 40 to 48 diameters, or what the engineer gives".to_owned(),
            ..Hit::default()
        });
    }
    let (FloorSteel::MeshSheets { lap, .. } | FloorSteel::MeshRolls { lap, .. }) = steel.floor
    else {
        return hits;
    };
    if lap.to_inches() < LEAST_MESH_LAP_IN {
        hits.push(Hit {
            message: format!("Mesh laps {:.1} in", lap.to_inches()),
            remedy: "Lap it one wire spacing and 2 in".to_owned(),
            ..Hit::default()
        });
    }
    hits
}

#[cfg(test)]
mod tests {
    use super::*;
    use std::sync::Arc;

    fn hits(diameters: f64, mesh: f64) -> usize {
        let mut job = Job::default();
        let steel = &mut Arc::make_mut(&mut job.build_up).steel;
        steel.lap_diameters = diameters;
        if let FloorSteel::MeshSheets { lap, .. } = &mut steel.floor {
            *lap = crate::units::Length::inches(mesh);
        }
        look(&job, &Parts::default()).len()
    }

    #[test]
    fn it_trips_and_just_does_not() {
        assert_eq!(hits(39.0, 6.0), 1);
        assert_eq!(hits(40.0, 5.9), 1);
        assert_eq!(hits(40.0, 6.0), 0);
    }
}
