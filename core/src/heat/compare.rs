//! Depths, spacings and foams side by side, and the cross-section for a picture.
//!
//! The installers' old argument, tube at the bottom, in the middle or at the top, is settled by
//! the section of this very slab: the supply each needs for the same heat, what it loses
//! downward, how uneven it leaves the surface, and how long it takes to warm up. Foams are
//! compared by their loss over a heating season, by ISO 13370 with the slab's own temperature.
//! These take longer than a glance and are asked for by whoever shows them, not by every derive.

use super::Heat;
use super::ground::GroundSlab;
use super::job_floor::{
    METERS_PER_INCH, RSI_PER_R, axis_depth_in, celsius, fahrenheit, foam_under, glycol_percent,
    section_of, tube_size,
};
use super::load::load_btuh;
use super::section::{SectionField, SectionResponse};
use super::standard::{EmbeddedFloor, output_coefficient, supply_over_room};
use super::warm_up::warm_up;
use crate::facts::fluids::properties;
use crate::facts::heating::{SOIL_CONDUCTIVITY, edge_loss_full};
use crate::job::Job;
use crate::job::heating::TubeDepth;
use crate::plan::Plan;
use crate::tube::hydraulics::film_coefficient;

/// Spacings compared, inches.
pub const SPACINGS_IN: [f64; 3] = [6.0, 9.0, 12.0];
/// Flow that the comparison's water film is taken at where no circuit gives one, gpm.
const USUAL_GPM: f64 = 0.6;
/// W/m² in one Btu/(h·ft²).
const FLUX_PER_BTUH_FT2: f64 = 3.154_591;
/// W/K in one Btu/(h·°F).
const WATTS_PER_KELVIN: f64 = 0.293_071_070_172 * 1.8;
/// Wall thickness that ISO 13370 is given, m.
const WALL: f64 = 0.2;

/// One depth and spacing for the same heat upward.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct FloorChoice {
    /// Where the tube lies.
    pub depth: TubeDepth,
    /// Its axis below the floor, inches.
    pub axis_in: f64,
    /// Spacing, inches.
    pub spacing_in: f64,
    /// Supply it needs, °F, by conduction.
    pub supply_f: f64,
    /// Supply it needs by EN 1264, °F: the standard's cross-check.
    pub standard_supply_f: f64,
    /// Heat down as a share of heat up and down.
    pub down_share: f64,
    /// Warmest less coolest surface, °F.
    pub ripple_f: f64,
    /// Warmest surface, °F.
    pub surface_max_f: f64,
    /// Hours to nine tenths of its heat, water held warm.
    pub warm_up_h: f64,
    /// Slowest time constant, hours.
    pub time_constant_h: f64,
}

/// Every depth at every spacing, shallow spacing first; empty when the slab is too thin for tube.
#[must_use]
pub fn compare_floors(job: &Job, plan: &Plan, heat: &Heat) -> Vec<FloorChoice> {
    let floor_in = job.build_up.floor_thickness.to_inches();
    let mut depths = vec![TubeDepth::Bottom, TubeDepth::Middle, TubeDepth::Top];
    if let own @ TubeDepth::Axis(_) = job.heating.tube.depth {
        depths.push(own);
    }
    let mut choices = Vec::new();
    for spacing_in in SPACINGS_IN {
        for &depth in &depths {
            let axis_in = axis_depth_in(depth, floor_in);
            choices.extend(choice(job, plan, heat, depth, (axis_in, spacing_in)));
        }
    }
    choices
}

fn choice(
    job: &Job,
    plan: &Plan,
    heat: &Heat,
    depth: TubeDepth,
    (axis_in, spacing_in): (f64, f64),
) -> Option<FloorChoice> {
    let design = &job.heating.design;
    let (room, ground) = (celsius(design.indoor_f), celsius(design.ground_f));
    let section = section_of(job, plan, spacing_in, axis_in);
    let response = SectionResponse::of(&section)?.with_water_film(Some(usual_film(job, heat)));
    let flux = asked_flux(job, plan);
    let water = response.water_for(flux, room, ground);
    let state = response.at(water, room, ground);
    let drop = design.drop_f.max(0.1) / 1.8;
    let supply = |excess: f64| fahrenheit(room + supply_over_room(excess, drop));
    let standard = EmbeddedFloor {
        spacing: section.spacing,
        outside: section.tube.outside,
        wall: 0.5 * (section.tube.outside - section.tube.inside),
        wall_conductivity: section.tube.conductivity,
        cover: section.held_axis_depth() - 0.5 * section.tube.outside,
        conductivity: section.slab.conductivity,
        covering: section.covering,
    };
    let warming = warm_up(&section).unwrap_or_default();
    let all = state.up + state.down;
    Some(FloorChoice {
        depth,
        axis_in,
        spacing_in,
        supply_f: supply(water - room),
        standard_supply_f: supply(flux / output_coefficient(&standard)),
        down_share: if all > 0.0 { state.down / all } else { 0.0 },
        ripple_f: (state.surface_max - state.surface_min) * 1.8,
        surface_max_f: fahrenheit(state.surface_max),
        warm_up_h: warming.hours[2],
        time_constant_h: warming.time_constant_h,
    })
}

/// Flux upward that the job asks for on the whole floor, W/m².
fn asked_flux(job: &Job, plan: &Plan) -> f64 {
    let design = &job.heating.design;
    let area_ft2 = plan.area / 144.0;
    if area_ft2 <= 0.0 {
        return 0.0;
    }
    load_btuh(design.load, area_ft2, design.indoor_f, design.outdoor_f) / area_ft2
        * FLUX_PER_BTUH_FT2
}

/// Film in the tube at the mean flow of the circuits, W/(m²·K).
fn usual_film(job: &Job, heat: &Heat) -> f64 {
    let gpm = if heat.circuits.is_empty() {
        USUAL_GPM
    } else {
        heat.pump_gpm / heat.circuits.len() as f64
    };
    let temperature =
        if heat.supply_f > 0.0 { 0.5 * (heat.supply_f + heat.return_f) } else { 100.0 };
    let fluid = properties(glycol_percent(job.heating.fluid), temperature);
    film_coefficient(gpm, tube_size(job.heating.tube.size).inside_at_mean_wall_in(), &fluid)
}

/// Loss to the ground by the two methods, at the design's outdoor temperature.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub struct GroundLoss {
    /// By ISO 13370 with the slab at its own temperature, Btu/h.
    pub iso_13370_btuh: f64,
    /// By the edge-loss factor of a heated slab insulated under all of it, Btu/h.
    pub edge_factor_btuh: f64,
    /// By ISO 13370 over the degree days, Btu; zero when they are not known.
    pub season_btu: f64,
}

/// Loss to the ground with `foam` m²·K/W under the floor.
fn ground_loss_with(job: &Job, plan: &Plan, foam: f64) -> GroundLoss {
    let design = &job.heating.design;
    let axis = axis_depth_in(job.heating.tube.depth, job.build_up.floor_thickness.to_inches());
    let section = section_of(job, plan, 12.0, axis);
    let slab = GroundSlab {
        area: plan.area * METERS_PER_INCH * METERS_PER_INCH,
        perimeter: plan.perimeter * METERS_PER_INCH,
        wall: WALL,
        soil: SOIL_CONDUCTIVITY[0].1,
        floor_resistance: foam + section.slab.thickness / section.slab.conductivity,
    };
    let difference_f = design.indoor_f - design.outdoor_f;
    // A heated slab is warmer than the room by what its flux needs to get out.
    let slab_over_room_f = asked_flux(job, plan) * section.plane_resistances().0 * 1.8;
    let warmer = if difference_f > 0.0 { 1.0 + slab_over_room_f / difference_f } else { 1.0 };
    let per_degree = slab.loss_per_kelvin(0.0) / WATTS_PER_KELVIN;
    let factor = edge_loss_full(true, foam / RSI_PER_R);
    GroundLoss {
        iso_13370_btuh: per_degree * difference_f.max(0.0) * warmer,
        edge_factor_btuh: factor * plan.perimeter / 12.0 * difference_f.max(0.0),
        season_btu: per_degree * 24.0 * design.degree_days.max(0.0) * warmer,
    }
}

/// Loss to the ground of the job as it is.
#[must_use]
pub fn ground_loss(job: &Job, plan: &Plan) -> GroundLoss {
    ground_loss_with(job, plan, foam_under(job, plan))
}

/// A foam and what it loses.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct FoamChoice {
    /// R of all foam, h·ft²·°F/Btu.
    pub r_value: f64,
    /// What the ground takes.
    pub loss: GroundLoss,
}

/// The loss with each foam R-value, h·ft²·°F/Btu, under the same slab. Cost stands with price.
#[must_use]
pub fn compare_foam(job: &Job, plan: &Plan, r_values: &[f64]) -> Vec<FoamChoice> {
    let choice = |&r_value: &f64| FoamChoice {
        r_value,
        loss: ground_loss_with(job, plan, r_value.max(0.0) * RSI_PER_R),
    };
    r_values.iter().map(choice).collect()
}

/// A line of one temperature through a half section.
#[derive(Clone, Debug, PartialEq)]
pub struct Isotherm {
    /// °F.
    pub temperature_f: f64,
    /// Straight pieces: distance from the tube's axis and depth below the floor, inches.
    pub pieces: Vec<[(f64, f64); 2]>,
}

/// The cross-section from a tube's axis to the middle between two, for a picture to scale.
#[derive(Clone, Debug, PartialEq)]
pub struct SectionPicture {
    /// Spacing, inches.
    pub spacing_in: f64,
    /// Tube axis below the floor, inches.
    pub axis_in: f64,
    /// Outside diameter of the tube, inches.
    pub tube_outside_in: f64,
    /// Slab thickness, inches.
    pub slab_in: f64,
    /// Foam thickness, inches.
    pub foam_in: f64,
    /// Stone thickness, inches.
    pub stone_in: f64,
    /// Lines of one temperature.
    pub isotherms: Vec<Isotherm>,
    /// Warmest surface, over a tube, °F.
    pub surface_max_f: f64,
    /// Coolest surface, between tubes, °F.
    pub surface_min_f: f64,
    /// Water, °F: the mean of supply and return.
    pub water_f: f64,
    /// Estimated error of the fluxes, as a share.
    pub error_share: f64,
}

/// The section at a spacing in inches with lines every `step_f`, °F; `None` when there is none.
#[must_use]
pub fn picture_section(
    job: &Job,
    plan: &Plan,
    heat: &Heat,
    spacing_in: f64,
    step_f: f64,
) -> Option<SectionPicture> {
    let axis = axis_depth_in(job.heating.tube.depth, job.build_up.floor_thickness.to_inches());
    let section = section_of(job, plan, spacing_in, axis);
    let checked = super::section::solve_checked(&section)?;
    let response = checked.response.with_water_film(Some(usual_film(job, heat)));
    let design = &job.heating.design;
    let (room, ground) = (celsius(design.indoor_f), celsius(design.ground_f));
    let water = if heat.supply_f > 0.0 {
        celsius(0.5 * (heat.supply_f + heat.return_f))
    } else {
        response.water_for(asked_flux(job, plan), room, ground)
    };
    let state = response.at(water, room, ground);
    let mut field = response.field(water, room, ground);
    field.values.iter_mut().for_each(|t| *t = fahrenheit(*t));
    for line in field.x.iter_mut().chain(&mut field.z) {
        *line /= METERS_PER_INCH;
    }
    let foam_in = job.build_up.foam_layers.iter().map(|layer| layer.thickness.to_inches()).sum();
    Some(SectionPicture {
        spacing_in,
        axis_in: section.held_axis_depth() / METERS_PER_INCH,
        tube_outside_in: section.tube.outside / METERS_PER_INCH,
        slab_in: section.slab.thickness / METERS_PER_INCH,
        foam_in,
        stone_in: job.build_up.stone.thickness.to_inches(),
        isotherms: isotherms(&field, step_f),
        surface_max_f: fahrenheit(state.surface_max),
        surface_min_f: fahrenheit(state.surface_min),
        water_f: fahrenheit(water),
        error_share: checked.error_share,
    })
}

/// Lines at whole multiples of `step` through a field, two triangles to a cell.
#[must_use]
pub fn isotherms(field: &SectionField, step: f64) -> Vec<Isotherm> {
    let known = || field.values.iter().copied().filter(|t| t.is_finite());
    let (low, high) = known().fold((f64::MAX, f64::MIN), |(a, b), t| (a.min(t), b.max(t)));
    if low >= high || step < 1e-3 || (high - low) / step > 1000.0 {
        return Vec::new();
    }
    let mut lines = Vec::new();
    let mut level = (low / step).ceil() * step;
    while level <= high {
        let pieces = pieces_at(field, level);
        if !pieces.is_empty() {
            lines.push(Isotherm { temperature_f: level, pieces });
        }
        level += step;
    }
    lines
}

fn pieces_at(field: &SectionField, level: f64) -> Vec<[(f64, f64); 2]> {
    let columns = field.x.len();
    let corner = |i: usize, j: usize| {
        Some((*field.x.get(i)?, *field.z.get(j)?, *field.values.get(j * columns + i)?))
    };
    let mut pieces = Vec::new();
    for j in 0..field.z.len().saturating_sub(1) {
        for i in 0..columns.saturating_sub(1) {
            let corners = (corner(i, j), corner(i + 1, j), corner(i, j + 1), corner(i + 1, j + 1));
            let (Some(a), Some(b), Some(c), Some(d)) = corners else { continue };
            pieces.extend(crossing([a, b, c], level));
            pieces.extend(crossing([b, d, c], level));
        }
    }
    pieces
}

/// Where a level crosses a triangle of (x, z, value) corners.
fn crossing(triangle: [(f64, f64, f64); 3], level: f64) -> Option<[(f64, f64); 2]> {
    let [a, b, c] = triangle;
    let cut = |p: (f64, f64, f64), q: (f64, f64, f64)| {
        ((p.2 >= level) != (q.2 >= level)).then(|| {
            let share = (level - p.2) / (q.2 - p.2);
            (p.0 + (q.0 - p.0) * share, p.1 + (q.1 - p.1) * share)
        })
    };
    let mut ends = [cut(a, b), cut(b, c), cut(c, a)].into_iter().flatten();
    Some([ends.next()?, ends.next()?])
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::geometry::Point;
    use std::sync::Arc;

    fn shop() -> (Job, Plan) {
        let corners = [(0.0, 0.0), (40.0, 0.0), (40.0, 28.0), (0.0, 28.0)];
        let mut job = Job::from_corners(&corners.map(|(x, y)| (Point::feet(x, y), None)));
        Arc::make_mut(&mut job.heating).design.degree_days = 6000.0;
        let plan = Plan::of(&job);
        (job, plan)
    }

    #[test]
    fn depth_and_spacing_do_what_the_trade_says() {
        let (job, plan) = shop();
        let choices = compare_floors(&job, &plan, &Heat::default());
        assert_eq!(choices.len(), 9);
        for three in choices.chunks(3) {
            let [bottom, middle, top] = three else { panic!("three depths") };
            assert!(bottom.supply_f > middle.supply_f && middle.supply_f > top.supply_f);
            assert!(bottom.ripple_f < middle.ripple_f && middle.ripple_f < top.ripple_f);
            assert!(bottom.down_share > top.down_share && bottom.down_share < 0.25);
            assert!(bottom.warm_up_h > 1.0 && bottom.warm_up_h < 24.0);
        }
        assert!(choices[0].supply_f < choices[6].supply_f, "closer tube runs cooler");
        for choice in &choices {
            let (solver, standard) = (choice.supply_f - 68.0, choice.standard_supply_f - 68.0);
            assert!(
                (standard / solver - 1.0).abs() < 0.15,
                "the standard is a cross-check: {choice:?}"
            );
        }
    }

    #[test]
    fn more_foam_loses_less_to_the_ground_by_both_methods() {
        let (job, plan) = shop();
        let foams = compare_foam(&job, &plan, &[0.0, 5.0, 10.0, 20.0]);
        for pair in foams.windows(2) {
            assert!(pair[1].loss.iso_13370_btuh < pair[0].loss.iso_13370_btuh);
            assert!(pair[1].loss.edge_factor_btuh < pair[0].loss.edge_factor_btuh);
            assert!(pair[1].loss.season_btu < pair[0].loss.season_btu);
        }
        // The job's own two inches of type IV are R-10.
        assert!(
            (ground_loss(&job, &plan).season_btu / foams[2].loss.season_btu - 1.0).abs() < 1e-9
        );
    }

    #[test]
    fn isotherms_keep_to_their_temperature() {
        let (job, plan) = shop();
        let picture = picture_section(&job, &plan, &Heat::default(), 12.0, 2.0).unwrap();
        assert!(picture.isotherms.len() > 10 && picture.error_share < 0.002);
        assert_eq!((picture.slab_in, picture.foam_in, picture.stone_in), (4.0, 2.0, 4.0));
        let plane = SectionField {
            x: vec![0.0, 1.0, 2.0],
            z: vec![0.0, 1.0, 2.0],
            values: vec![0.0, 1.0, 2.0, 1.0, 2.0, 3.0, 2.0, 3.0, 4.0],
        };
        for line in isotherms(&plane, 0.75) {
            let on_line = |&(x, z): &(f64, f64)| (x + z - line.temperature_f).abs() < 1e-12;
            assert!(line.pieces.iter().flatten().all(on_line));
        }
    }
}
