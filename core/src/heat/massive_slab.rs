//! Tube inside a massive slab by the resistance method of ISO 11855-2 (its type E): a star of
//! three resistances with the plane of the tubes in its middle.
//!
//! It is right away from the faces and too generous near them, since it knows no face: within 0.4
//! per cent of conduction when the axis is a third of a spacing from both faces or more, 3 per
//! cent over at the middle of a 4 in slab with tube at 12 in, 13 per cent over with that tube at
//! the bottom. It stands here as a third opinion; [`section`](super::section) is what the floor is
//! reckoned by. All SI.
//!
//! # Source
//! ISO 11855-2, type E: R_x = W·ln(W/(π·d))/(2π·λ) and R_r of the tube's wall. The form of R_x was
//! read in an open building model library, the rest is from memory.

use super::section::{FloorSection, SectionState};
use crate::units::exact_math::ln;
use std::f64::consts::PI;

/// Resistance from the water to the plane of the tubes, m²·K/W.
#[must_use]
pub fn water_to_plane(floor: &FloorSection) -> f64 {
    let tube = &floor.tube;
    let spread = ln(floor.spacing / (PI * tube.outside)) / (2.0 * PI * floor.slab.conductivity);
    floor.spacing * (tube.resistance() + spread)
}

/// Whether the method claims to hold: tube thin against the spacing, faces away from it.
#[must_use]
pub fn holds(floor: &FloorSection) -> bool {
    let axis = floor.held_axis_depth();
    let to_face = axis.min(floor.slab.thickness - axis);
    floor.tube.outside / floor.spacing < 0.2 && to_face / floor.spacing > 0.3
}

/// Fluxes and mean surface with water, room and ground at their temperatures; the method knows no
/// warmest and coolest place, which are given as the mean.
#[must_use]
pub fn state(floor: &FloorSection, water: f64, room: f64, ground: f64) -> SectionState {
    let (up, down) = floor.plane_resistances();
    let ties = [1.0 / water_to_plane(floor), 1.0 / up, 1.0 / down];
    let plane = (ties[0] * water + ties[1] * room + ties[2] * ground) / ties.iter().sum::<f64>();
    let (flux_up, flux_down) = ((plane - room) / up, (plane - ground) / down);
    let surface = room + flux_up / floor.surface;
    SectionState {
        per_tube: (flux_up + flux_down) * floor.spacing,
        up: flux_up,
        down: flux_down,
        surface_max: surface,
        surface_min: surface,
        surface_mean: surface,
        slab_top_max: room + flux_up / floor.coefficient_up(),
    }
}
