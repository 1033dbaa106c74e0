//! From a job's choices to the numbers of physics: layers, tube, edges, in SI.
//!
//! The ground has its temperature a metre under the stone, as in the section's reference cases;
//! stone counts as gravel, earth as clay or silt. Foam that covers only a band along the outside
//! counts by its share of the floor. The rim has its own page, [`super::rim`].

use super::section::{FloorSection, Layer, SectionTube};
use crate::facts::{foam, heating as facts, tube as tube_facts};
use crate::foam::covered_zones;
use crate::geometry::{Polygon, clip};
use crate::job::Job;
use crate::job::build_up::{Coverage, FoamLayer, FoamType};
use crate::job::heating::{Fluid, TubeDepth, TubeSize};
use crate::plan::Plan;

/// Metres in an inch.
pub(super) const METERS_PER_INCH: f64 = 0.0254;
/// W/(m·K) in one Btu/(h·ft·°F).
pub(super) const CONDUCTIVITY_PER_BTU: f64 = 1.730_735;
/// m²·K/W in one h·ft²·°F/Btu.
pub(super) const RSI_PER_R: f64 = 0.176_110_183_682;
/// Heat capacities by volume, J/(m³·K): concrete of 2300 kg/m³, foam of 30, ground of 1800
/// (handbook figures).
const CONCRETE_HEAT: f64 = 2300.0 * 900.0;
const FOAM_HEAT: f64 = 30.0 * 1450.0;
const GROUND_HEAT: f64 = 1800.0 * 1000.0;
/// Depth under the stone at which the ground has its temperature, m.
pub(super) const GROUND_DEPTH: f64 = 1.0;
/// Conductivity of earth and of stone, W/(m·K): clay or silt, and gravel, of ISO 13370.
pub(super) const EARTH: f64 = facts::SOIL_CONDUCTIVITY[0].1;
pub(super) const STONE: f64 = facts::SOIL_CONDUCTIVITY[1].1;
/// Axis above the foam for tube tied to wire on it, in (common practice: half an inch).
const BOTTOM_AXIS_OVER_FOAM_IN: f64 = 0.5;
/// Axis below the floor for tube near the top, in.
const TOP_AXIS_IN: f64 = 1.5;

/// From °F to °C.
pub(super) fn celsius(fahrenheit: f64) -> f64 {
    (fahrenheit - 32.0) / 1.8
}

/// From °C to °F.
pub(super) fn fahrenheit(celsius: f64) -> f64 {
    celsius * 1.8 + 32.0
}

/// Rows of the tube tables for a job's tube size.
pub(super) fn tube_size(size: TubeSize) -> &'static tube_facts::TubeDimensions {
    tube_facts::nearest(match size {
        TubeSize::ThreeEighths => 0.375,
        TubeSize::Half => 0.5,
        TubeSize::FiveEighths => 0.625,
        TubeSize::ThreeQuarters => 0.75,
        TubeSize::One => 1.0,
    })
}

/// Percent of glycol by mass.
pub(super) fn glycol_percent(fluid: Fluid) -> f64 {
    match fluid {
        Fluid::Water => 0.0,
        Fluid::PropyleneGlycol(percent) => percent,
    }
}

/// Depth of the tube's axis below the top of the floor, inches.
#[must_use]
pub fn axis_depth_in(depth: TubeDepth, floor_in: f64) -> f64 {
    match depth {
        TubeDepth::Bottom => floor_in - BOTTOM_AXIS_OVER_FOAM_IN,
        TubeDepth::Middle => 0.5 * floor_in,
        TubeDepth::Top => TOP_AXIS_IN,
        TubeDepth::Axis(depth) => depth.to_inches(),
    }
}

/// R of an inch of a board, h·ft²·°F/Btu.
#[must_use]
pub fn r_per_inch(foam_type: FoamType) -> f64 {
    // The enum is named as the standard names its types.
    let name = format!("{foam_type:?}");
    foam::BOARDS.iter().find(|row| row.designation == name).map_or(4.0, |row| row.r_per_inch)
}

/// Resistance under the floor of a foam layer, m²·K/W, with the rest of the way down when it is
/// only a band.
fn foam_resistance(layer: &FoamLayer, plan: &Plan, rest: f64) -> f64 {
    let full = layer.thickness.to_inches() * r_per_inch(layer.foam_type) * RSI_PER_R;
    let share = match &layer.coverage {
        Coverage::Full => 1.0,
        _ if plan.area <= 0.0 => 0.0,
        Coverage::Perimeter(width) => width.to_inches() * plan.perimeter / plan.area,
        Coverage::Zones(_) => {
            let slab = std::slice::from_ref(&plan.region);
            let covered = clip::intersection(slab, &covered_zones(&layer.coverage));
            covered.iter().map(Polygon::area).sum::<f64>() / plan.area
        }
    };
    let share = share.clamp(0.0, 1.0);
    // Covered and bare floor stand side by side, so their conductances add.
    1.0 / (share / (full + rest) + (1.0 - share) / rest) - rest
}

/// All foam under the floor, m²·K/W.
#[must_use]
pub(super) fn foam_under(job: &Job, plan: &Plan) -> f64 {
    let rest = GROUND_DEPTH / EARTH;
    job.build_up.foam_layers.iter().map(|layer| foam_resistance(layer, plan, rest)).sum()
}

/// The floor's section with tube at a spacing and axis depth, inches; no water film.
#[must_use]
pub fn section_of(job: &Job, plan: &Plan, spacing_in: f64, axis_in: f64) -> FloorSection {
    let build_up = &job.build_up;
    let size = tube_size(job.heating.tube.size);
    let solid = |thickness_in: f64, conductivity: f64, heat_capacity: f64| Layer {
        thickness: thickness_in * METERS_PER_INCH,
        conductivity,
        heat_capacity,
    };
    let mut under = Vec::new();
    let foam_in: f64 = build_up.foam_layers.iter().map(|layer| layer.thickness.to_inches()).sum();
    let resistance = foam_under(job, plan);
    if foam_in > 0.0 && resistance > 0.0 {
        under.push(solid(foam_in, foam_in * METERS_PER_INCH / resistance, FOAM_HEAT));
    }
    let stone_in = build_up.stone.thickness.to_inches();
    if stone_in > 0.0 {
        under.push(solid(stone_in, STONE, GROUND_HEAT));
    }
    under.push(solid(GROUND_DEPTH / METERS_PER_INCH, EARTH, GROUND_HEAT));
    FloorSection {
        spacing: spacing_in * METERS_PER_INCH,
        axis_depth: axis_in * METERS_PER_INCH,
        slab: solid(
            build_up.floor_thickness.to_inches(),
            job.heating.design.concrete_k * CONDUCTIVITY_PER_BTU,
            CONCRETE_HEAT,
        ),
        tube: SectionTube {
            outside: size.outside_in * METERS_PER_INCH,
            inside: size.inside_at_mean_wall_in() * METERS_PER_INCH,
            conductivity: tube_facts::WALL_CONDUCTIVITY,
            water_film: None,
        },
        covering: build_up.floor_covering_r.max(0.0) * RSI_PER_R,
        surface: facts::SURFACE_COEFFICIENT_UP,
        under,
    }
}
