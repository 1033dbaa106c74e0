//! Floor map: the surface temperature over the plan from the circuits as they lie.
//!
//! The slab is a plate: heat spreads along it, goes up to the room, down to the ground and out at
//! the rim, and comes from the tubes, whose water cools on its way. Square cells, conjugate
//! gradients; the water is walked along each circuit and the plate solved again until the two
//! agree. What the plate cannot know, how heat gets from a tube at its depth to the plate's mean
//! and how much of the ripple reaches the surface, is taken from the cross-section
//! ([`PlateValues::from_section`]): for evenly spaced tubes the map then gives the section's own
//! fluxes, and its warmest and coolest surface.
//!
//! Limits: a plate has no depth, so within about a slab thickness of an edge or a crossing of
//! tubes the surface is only as good as that. Energy is conserved whatever the field; what is
//! left over is reported as [`FloorMapSolution::imbalance`].
//! Plan in inches; all else SI, temperatures in °C or any scale of kelvins.

mod calibrate;
mod plate;
mod smooth;
mod water;

use super::solver::conjugate_gradients;
use crate::effort::{Cancel, Cancelled};
use crate::geometry::{Point, Polygon, polygon};
use plate::Plate;
use water::Water;

pub use water::CircuitWater;

/// Cells that a map has at most, about; larger floors get larger cells.
const CELLS_AT_MOST: f64 = 300_000.0;
/// Cells that the box round a floor has at most, about.
const BOX_CELLS_AT_MOST: f64 = 1_200_000.0;
/// Smallest cell, inches.
const SMALLEST_CELL_IN: f64 = 2.0;
/// Rounds of water and plate at most.
const ROUNDS_AT_MOST: usize = 60;
/// The rounds end when heat in and heat out differ by less than this share; a tenth of a per cent
/// is asked of the map.
const IMBALANCE_ASKED: f64 = 5e-5;
/// Residual of the plate, as a share of the heat, at which a round may be the last: some
/// thousandths of a kelvin.
const RESIDUAL_ASKED: f64 = 1e-5;

/// The plate's conductances.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct PlateValues {
    /// Along the plate: conductivity times thickness, W/K.
    pub along: f64,
    /// Up to the room, W/(m²·K).
    pub up: f64,
    /// Down to the ground, W/(m²·K).
    pub down: f64,
    /// Floor surface over room as a share of plate over room.
    pub surface_share: f64,
    /// How the plate's ripple comes to the surface.
    pub ripple: Ripple,
    /// Spacing over which the ripple runs, inches.
    pub spacing_in: f64,
}

/// Surface ripple over plate ripple: the surface is not of the plate's shape, so crest and trough
/// each have their own.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Ripple {
    /// Where the plate is warmer than its mean over a spacing.
    pub crest: f64,
    /// Where it is cooler.
    pub trough: f64,
    /// Over a tube, where the plate is felt through the tube's kernel.
    pub tube: f64,
}

/// A circuit and its water.
#[derive(Clone, Copy, Debug)]
pub struct WaterCircuit<'a> {
    /// Course from supply to return, inches.
    pub path: &'a [Point],
    /// Heat capacity of the flow, W/K.
    pub flow: f64,
    /// Temperature at the supply port.
    pub supply: f64,
    /// Conductance from water to plate, W/(m·K); from [`PlateValues::from_section`].
    pub to_plate: f64,
}

/// A straight piece of the rim that loses heat to outside air, the slab on its left.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct RimPiece {
    /// Its start.
    pub from: Point,
    /// Its end.
    pub to: Point,
    /// Conductance from plate to outside, W/(m·K).
    pub loss: f64,
}

/// The outline of a region with the same loss everywhere, W/(m·K).
#[must_use]
pub fn even_rim(region: &Polygon, loss: f64) -> Vec<RimPiece> {
    polygon::edges(&region.outer).map(|(from, to)| RimPiece { from, to, loss }).collect()
}

/// What surrounds the slab.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Surroundings {
    /// Room air.
    pub room: f64,
    /// Ground under the foam.
    pub ground: f64,
    /// Outside air.
    pub outside: f64,
}

/// Surface temperatures and where the heat went.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct FloorMapSolution {
    /// South-west corner of the first cell, inches.
    pub origin: Point,
    /// Side of a cell, inches.
    pub cell_in: f64,
    /// Cells from west to east.
    pub columns: usize,
    /// Cells from south to north.
    pub rows: usize,
    /// Surface temperature of each cell by row from the south; not-a-number outside the slab.
    pub surface: Vec<f64>,
    /// Warmest surface and where; always over a tube, and so a little over the warmest cell.
    pub hottest: (f64, Point),
    /// Coolest surface within a spacing of tube, and where.
    pub coldest: (f64, Point),
    /// Mean surface of the whole slab.
    pub mean: f64,
    /// Mean surface within a spacing of tube.
    pub heated_mean: f64,
    /// Heat up into the room, W.
    pub up: f64,
    /// Heat down into the ground, W.
    pub down: f64,
    /// Heat out at the rim, W.
    pub edge: f64,
    /// Heat from the water, W.
    pub water: f64,
    /// Heat in less heat out, as a share of what flows.
    pub imbalance: f64,
    /// Each circuit.
    pub circuits: Vec<CircuitWater>,
}

/// Side of a cell, inches, for a floor of `area_in2` with tube at `spacing_in`.
#[must_use]
pub fn cell_for(area_in2: f64, spacing_in: f64) -> f64 {
    let fits = (area_in2 / CELLS_AT_MOST).sqrt();
    let coarsest = (0.5 * spacing_in).max(SMALLEST_CELL_IN);
    // Half inches keep the grid on most walls.
    ((fits * 2.0).ceil() / 2.0).clamp(SMALLEST_CELL_IN, coarsest)
}

/// The same or a larger cell, so that the box round the floor, which is cut into cells with it,
/// stays within bounds: a long strip askew has a box many times its own area.
#[must_use]
pub fn cell_within_box(cell_in: f64, region: &Polygon) -> f64 {
    let Some(bounds) = region.bounds() else { return cell_in };
    let boxed = (bounds.max.x - bounds.min.x) * (bounds.max.y - bounds.min.y);
    cell_in.max((boxed / BOX_CELLS_AT_MOST).max(0.0).sqrt())
}

/// What a floor map is made of.
#[derive(Clone, Copy, Debug)]
pub struct MapRequest<'a> {
    /// The slab, inches.
    pub region: &'a Polygon,
    /// Where it loses heat to outside air.
    pub rim: &'a [RimPiece],
    /// What lies in it.
    pub circuits: &'a [WaterCircuit<'a>],
    /// The plate.
    pub values: &'a PlateValues,
    /// What surrounds it.
    pub around: Surroundings,
    /// Side of a cell, inches.
    pub cell_in: f64,
}

/// Works out the map on cells of `cell_in`. `None` when the region is empty.
#[must_use]
pub fn map_floor(
    region: &Polygon,
    rim: &[RimPiece],
    circuits: &[WaterCircuit<'_>],
    values: &PlateValues,
    around: Surroundings,
    cell_in: f64,
) -> Option<FloorMapSolution> {
    let request = MapRequest { region, rim, circuits, values, around, cell_in };
    map_floor_unless(&request, &Cancel::new()).ok().flatten()
}

/// Works out a map. `Ok(None)` when the region is empty.
///
/// # Errors
/// [`Cancelled`] when the flag was raised; it is asked once a round.
pub fn map_floor_unless(
    request: &MapRequest<'_>,
    cancel: &Cancel,
) -> Result<Option<FloorMapSolution>, Cancelled> {
    let MapRequest { region, rim, circuits, values, around, cell_in } = *request;
    let Some(plate) = Plate::of(region, rim, cell_in.max(0.25), values) else { return Ok(None) };
    let water = Water::on(&plate, circuits, around.room);
    let (field, solution) = settle(&plate, &water, around, cancel)?;
    Ok(Some(smooth::surface(&plate, &water, &field, values, around, solution)))
}

/// Plate and water until they agree: the plate's excess over the room, and the heat flows.
fn settle(
    plate: &Plate,
    water: &Water,
    around: Surroundings,
    cancel: &Cancel,
) -> Result<(Vec<f64>, FloorMapSolution), Cancelled> {
    let (ground, outside) = (around.ground - around.room, around.outside - around.room);
    let losses: Vec<f64> =
        plate.down.iter().zip(&plate.edge).map(|(d, e)| d * ground + e * outside).collect();
    let mut diagonal = plate.diagonal().to_vec();
    water.add_diagonal(&mut diagonal);
    let scale: Vec<f64> = diagonal.iter().map(|d| 1.0 / d).collect();
    let apply = |field: &[f64], product: &mut [f64]| {
        plate.times(field, product);
        water.add_times(field, product);
    };
    let mut field = vec![0.0; plate.share.len()];
    let mut solution = FloorMapSolution::default();
    let mut tolerance = 1e-2;
    for _ in 0..ROUNDS_AT_MOST {
        if cancel.is_raised() {
            return Err(Cancelled);
        }
        let mut heat = losses.clone();
        water.walk(&field, &mut heat);
        conjugate_gradients(apply, &scale, &heat, &mut field, (tolerance, 400));
        let mut unused = vec![0.0; field.len()];
        solution.circuits = water.walk(&field, &mut unused);
        let sum = |ties: &[f64], at: f64| -> f64 {
            ties.iter().zip(&field).map(|(g, t)| g * (t - at)).sum()
        };
        solution.up = sum(&plate.up, 0.0);
        solution.down = sum(&plate.down, ground);
        solution.edge = sum(&plate.edge, outside);
        solution.water = solution.circuits.iter().map(|c| c.heat).sum();
        let flows = [solution.water, solution.up, solution.down, solution.edge];
        let largest = flows.iter().fold(0.0_f64, |most, flow| most.max(flow.abs()));
        let out = solution.up + solution.down + solution.edge;
        solution.imbalance = if largest > 0.0 { (solution.water - out) / largest } else { 0.0 };
        if solution.imbalance.abs() < IMBALANCE_ASKED && tolerance <= RESIDUAL_ASKED {
            break;
        }
        tolerance = (tolerance * 0.1).max(1e-8);
    }
    for circuit in &mut solution.circuits {
        circuit.back += around.room;
    }
    Ok((field, solution))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_long_strip_askew_has_a_box_within_bounds() {
        let corners = [(0.0, 0.0), (8400.0, 8376.0), (8400.0, 8400.0), (0.0, 24.0)];
        let strip = Polygon::new(corners.map(|(x, y)| Point::new(x, y)).to_vec(), Vec::new());
        let cell = cell_for(8400.0 * 24.0, 12.0);
        assert_eq!(cell, 2.0);
        let across = 8400.0 / cell_within_box(cell, &strip);
        let boxed = across * across;
        assert!(boxed <= 1.001 * BOX_CELLS_AT_MOST, "{boxed} cells");
        let house = [(0.0, 0.0), (480.0, 0.0), (480.0, 336.0), (0.0, 336.0)];
        let house = Polygon::new(house.map(|(x, y)| Point::new(x, y)).to_vec(), Vec::new());
        assert_eq!(cell_within_box(2.0, &house), 2.0);
    }
}
