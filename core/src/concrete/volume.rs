//! The volumes, part by part, in the order floor, edges, strips, pads, recesses, slopes, displaced:
//! each part is what it adds to those before it, so the parts add up to the net volume.
//!
//! Straight sides are exact. Along an arc the floor is exact; a thickened edge is summed over the
//! chords of the plan and then corrected by the ring sector that it really is, which leaves an
//! error only where another thickening covers part of the arc.

use super::cells::Cells;
use super::ground::Ground;
use super::topside::{self, Lowered};
use super::underside::{edge_facets, edge_profile, pad_facets, strip_facets};
use super::{SolidCell, Volumes};
use crate::geometry::{Segment, tolerance};
use crate::job::Job;
use crate::plan::Plan;
use crate::units::exact_math;

/// The solid of a job and its volumes.
pub(super) fn cast_solid(job: &Job, plan: &Plan) -> (Volumes, Vec<SolidCell>) {
    let Some(ground) = Ground::of(plan) else { return (Volumes::default(), Vec::new()) };
    let floor = job.build_up.floor_thickness.to_inches().max(0.0);
    let mut cells = Cells::of_tiles(&ground.region.tiles, floor);
    let mut so_far = cells.volume();
    let mut volumes = Volumes { floor: floor * plan.area, ..Volumes::default() };
    let mut gained = |cells: &Cells| {
        let now = cells.volume();
        let gain = now - so_far;
        so_far = now;
        gain
    };
    for facet in edge_facets(&ground, &job.edges, floor) {
        cells.lower_underside(&facet);
    }
    volumes.edges = gained(&cells) + arc_correction(job, plan, floor);
    for strip in &job.thickenings.strips {
        for facet in strip_facets(strip, ground.shift, floor) {
            cells.lower_underside(&facet);
        }
    }
    volumes.strips = gained(&cells);
    for pad in &job.thickenings.pads {
        for facet in pad_facets(pad, ground.shift, floor) {
            cells.lower_underside(&facet);
        }
    }
    volumes.pads = gained(&cells);
    lower_floor(job, &ground, floor, &mut cells);
    volumes.recesses = gained(&cells);
    for area in &job.thickenings.slopes {
        lower(&mut cells, &topside::slope(area, ground.shift));
    }
    volumes.slopes = gained(&cells);
    lower(&mut cells, &topside::edge_foam(&ground, &job.edges));
    lower(&mut cells, &topside::large_penetrations(plan, ground.shift));
    volumes.displaced = gained(&cells);
    volumes.net = volumes.floor
        + volumes.edges
        + volumes.strips
        + volumes.pads
        + volumes.recesses
        + volumes.slopes
        + volumes.displaced;
    (volumes, cells.into_solid(ground.shift))
}

/// Recesses and thresholds.
fn lower_floor(job: &Job, ground: &Ground, floor: f64, cells: &mut Cells) {
    for recess in &job.thickenings.recesses {
        let lowered = topside::recess(recess, ground.shift);
        // The underside goes first, so that the top has room to go down.
        for facet in topside::recess_underside(recess, &lowered, floor) {
            cells.lower_underside(&facet);
        }
        lower(cells, &lowered);
    }
    lower(cells, &topside::thresholds(ground, &job.edges));
}

fn lower(cells: &mut Cells, pieces: &[Lowered]) {
    for piece in pieces {
        cells.lower_top(&piece.corners, piece.top);
    }
}

/// What thickened edges along arcs hold beyond the sum over chords.
fn arc_correction(job: &Job, plan: &Plan, floor: f64) -> f64 {
    plan.rim
        .iter()
        .filter_map(|side| {
            let Segment::Arc(arc) = side.segment else { return None };
            let profile = edge_profile(&job.edges, side.id)?;
            let circle = arc.circle()?;
            let extra = profile.depth - floor;
            let (flat, run) = (profile.flat, profile.run);
            // The slab is on the left: inside the circle of an arc that turns left.
            let inward = if circle.sweep > 0.0 { -1.0 } else { 1.0 };
            if extra <= 0.0 || (inward < 0.0 && circle.radius < profile.width()) {
                return None;
            }
            let section = extra * (flat + run / 2.0);
            let first_moment = extra * (flat * flat / 2.0 + flat * run / 2.0 + run * run / 6.0);
            let steps = arc.flatten(tolerance::ARC_CHORD_IN).len() as f64;
            let sweep = circle.sweep.abs();
            let half_step = sweep / steps / 2.0;
            let exact = sweep * (circle.radius * section + inward * first_moment);
            let to_chord = circle.radius * exact_math::cos(half_step);
            let chorded = 2.0
                * steps
                * exact_math::tan(half_step)
                * (to_chord * section + inward * first_moment);
            Some(exact - chorded)
        })
        .sum()
}
