//! Where joints cross tube, and how far the blade stays off it.
//!
//! Clearance under a cut = depth to the top of the tube, less the cut, less what the slab may be
//! thinner than drawn. Where a joint moves, the tube needs a sleeve.

use super::{JointCrossing, JointKind, JointLine};
use crate::facts::tube::SIZES;
use crate::geometry::{Bounds, Point, nearest};
use crate::job::Job;
use crate::job::heating::{TubeDepth, TubeSize};
use crate::tube::Tube;

/// A straight piece of tube with the circuit it belongs to.
#[derive(Clone, Copy, Debug)]
pub struct TubePiece {
    /// Index of its circuit.
    pub circuit: usize,
    /// One end.
    pub from: Point,
    /// Other end.
    pub to: Point,
}

/// Bends are flattened to this for crossings, inches.
const CHORD_IN: f64 = 0.1;

/// All tube as straight pieces, circuit by circuit.
#[must_use]
pub fn pieces(tube: &Tube) -> Vec<TubePiece> {
    let mut pieces = Vec::new();
    for (circuit, laid) in tube.circuits.iter().enumerate() {
        let points = laid.points(CHORD_IN);
        pieces.extend(points.iter().zip(points.iter().skip(1)).map(|(&from, &to)| TubePiece {
            circuit,
            from,
            to,
        }));
    }
    pieces
}

/// Pieces that come near a line.
#[must_use]
pub fn pieces_near(pieces: &[TubePiece], from: Point, to: Point, reach: f64) -> Vec<TubePiece> {
    let Some(bounds) = Bounds::of([from, to]) else { return Vec::new() };
    let bounds = bounds.grown(reach);
    let near = |piece: &&TubePiece| {
        Bounds::of([piece.from, piece.to]).is_some_and(|own| own.touches(bounds))
    };
    pieces.iter().filter(near).copied().collect()
}

/// From the top of the slab to the tube's axis, inches.
#[must_use]
pub fn axis_depth(job: &Job) -> f64 {
    let thickness = job.build_up.floor_thickness.to_inches();
    match job.heating.tube.depth {
        TubeDepth::Bottom => thickness - 0.5,
        TubeDepth::Middle => thickness / 2.0,
        TubeDepth::Top => 1.5,
        TubeDepth::Axis(depth) => depth.to_inches(),
    }
}

/// Outside diameter of the job's tube, inches.
#[must_use]
pub fn outside_diameter(job: &Job) -> f64 {
    let nominal = match job.heating.tube.size {
        TubeSize::ThreeEighths => 0.375,
        TubeSize::Half => 0.5,
        TubeSize::FiveEighths => 0.625,
        TubeSize::ThreeQuarters => 0.75,
        TubeSize::One => 1.0,
    };
    SIZES
        .iter()
        .find(|size| (size.nominal_in - nominal).abs() < 1e-9)
        .map_or(nominal + 0.125, |size| size.outside_in)
}

/// Concrete between blade and tube with the slab at its thinnest, inches.
#[must_use]
pub fn clearance(job: &Job, saw_depth: f64) -> f64 {
    axis_depth(job)
        - outside_diameter(job) / 2.0
        - saw_depth
        - job.joints.thin_slab_allowance.to_inches()
}

/// Every crossing of the joints with the tube, joint by joint.
#[must_use]
pub fn crossings<'a>(
    job: &Job,
    joints: impl Iterator<Item = &'a JointLine>,
    tube: &Tube,
) -> Vec<JointCrossing> {
    const SAME_CROSSING_IN: f64 = 0.05;
    let pieces = pieces(tube);
    let mut found: Vec<JointCrossing> = Vec::new();
    for joint in joints {
        let start = found.len();
        let is_sawn = joint.kind == JointKind::Contraction;
        let clearance = if is_sawn {
            clearance(job, joint.saw_depth)
        } else {
            axis_depth(job) - outside_diameter(job) / 2.0
        };
        for piece in pieces_near(&pieces, joint.from, joint.to, 0.1) {
            let Some((share, _)) =
                nearest::crossing((joint.from, joint.to), (piece.from, piece.to))
            else {
                continue;
            };
            let at = joint.from.toward(joint.to, share);
            let circuit =
                tube.circuits.get(piece.circuit).map_or(String::new(), |laid| laid.name.clone());
            // Two pieces that meet on the joint cross it once.
            let is_known = found
                .iter()
                .skip(start)
                .any(|known| known.circuit == circuit && known.at.distance(at) < SAME_CROSSING_IN);
            if !is_known {
                found.push(JointCrossing {
                    joint: joint.name.clone(),
                    kind: joint.kind,
                    circuit,
                    at,
                    clearance,
                    needs_sleeve: !is_sawn,
                });
            }
        }
    }
    found
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::units::Length;
    use std::sync::Arc;

    fn job(size: TubeSize, depth: TubeDepth) -> Job {
        let mut job = Job::default();
        let heating = Arc::make_mut(&mut job.heating);
        heating.tube.size = size;
        heating.tube.depth = depth;
        job
    }

    /// Worked by hand in the project's reference for a 4 in slab: tube on the foam (5/8 in
    /// outside) has its top 3.375 in down and 2.375 in under a 1 in cut, 1.625 in with the slab
    /// 3/4 in thin; tied at mid-depth the blade meets it by 1/16 in.
    #[test]
    fn clearances_of_the_worked_cases() {
        let bottom = TubeDepth::Axis(Length::inches(4.0 - 0.3125));
        assert!((clearance(&job(TubeSize::Half, bottom), 1.0) - 1.625).abs() < 1e-9);
        assert!((clearance(&job(TubeSize::Half, TubeDepth::Middle), 1.0) + 0.0625).abs() < 1e-9);
    }
}
