//! Steel and fibre of a job, put together from mesh and bars.

use super::mesh::lay_mesh;
use super::{SteelTakeoff, bars};
use crate::geometry::{Segment, Vector};
use crate::job::Job;
use crate::job::build_up::FloorSteel;
use crate::plan::Plan;
use crate::units::Volume;

/// Steel and fibre for a slab of a net volume in cubic inches.
pub(super) fn reinforce(job: &Job, plan: &Plan, net: f64) -> SteelTakeoff {
    if plan.is_empty() {
        return SteelTakeoff::default();
    }
    let steel = &job.build_up.steel;
    let along = along_of(plan);
    let mut runs = bars::runs(job, plan);
    let mut mesh = super::mesh::Mesh::default();
    let mut ties = 0;
    if steel.floor != FloorSteel::None {
        let floor = bars::covered_floor(plan, steel.cover.to_inches());
        mesh = lay_mesh(steel.floor, &floor, along);
        ties = mesh.ties;
        if let FloorSteel::Bars { size, spacing } = steel.floor {
            let (floor_runs, floor_ties) =
                bars::floor_runs(size, spacing.to_inches(), &floor, along);
            runs.extend(floor_runs);
            ties = floor_ties;
        }
    }
    SteelTakeoff {
        mesh_count: mesh.count,
        mesh_whole_count: mesh.whole_count,
        mesh_name: mesh.name,
        mesh_pieces: mesh.pieces,
        mesh_lb: mesh.pounds,
        bars: bars::take_off(&runs, steel),
        bar_runs: runs,
        chairs: chairs(job, plan),
        ties,
        fibre_lb: Volume::cubic_inches(net).to_cubic_yards() * steel.fibre_lb_per_yd3.max(0.0),
    }
}

/// Chairs each way under the floor's steel: the floor by the square of their spacing.
fn chairs(job: &Job, plan: &Plan) -> u32 {
    let steel = &job.build_up.steel;
    let spacing = steel.chair_spacing.to_inches();
    if spacing <= 0.0 || steel.floor == FloorSteel::None {
        return 0;
    }
    #[expect(clippy::cast_possible_truncation, reason = "clamped")]
    #[expect(clippy::cast_sign_loss, reason = "clamped")]
    let chairs = (plan.area / (spacing * spacing)).ceil().clamp(0.0, 1e9) as u32;
    chairs
}

/// The direction of the longest straight side.
fn along_of(plan: &Plan) -> Vector {
    plan.outline
        .segments
        .iter()
        .filter_map(|segment| match segment {
            Segment::Line(from, to) => Some(*to - *from),
            Segment::Arc(_) => None,
        })
        .fold(Vector::new(1e-6, 0.0), |best, step| {
            if step.length() > best.length() + 1e-6 { step } else { best }
        })
        .unit()
        .unwrap_or(Vector::new(1.0, 0.0))
}
