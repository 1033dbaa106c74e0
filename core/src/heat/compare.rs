//! Depths, spacings and foams side by side.
//!
//! The installers' old argument, tube at the bottom, in the middle or at the top, is settled by
//! the section of this very slab: the supply each needs for the same heat, what it loses
//! downward, how uneven it leaves the surface, and how long it takes to warm up. Foams are
//! compared by what their boards cost against their loss over a heating season, by ISO 13370 with
//! the slab's own temperature.

use super::Heat;
use super::ground::GroundSlab;
use super::job_floor::{
    METERS_PER_INCH, RSI_PER_R, axis_depth_in, celsius, fahrenheit, foam_under, glycol_percent,
    section_of, tube_size,
};
use super::load::load_btuh;
use super::section::{FloorSection, Layer, SectionResponse};
use super::standard::{EmbeddedFloor, output_coefficient, supply_over_room};
use super::warm_up::hours_to_shares;
use crate::effort::{Cancel, Cancelled};
use crate::facts::fluids::properties;
use crate::facts::heating::{SOIL_CONDUCTIVITY, edge_loss_full};
use crate::foam::Foam;
use crate::job::Job;
use crate::job::heating::TubeDepth;
use crate::plan::Plan;
use crate::tube::hydraulics::film_coefficient;
use crate::units::{Cents, Length};
use std::sync::Arc;

/// Spacings compared, inches.
pub const SPACINGS_IN: [f64; 3] = [6.0, 9.0, 12.0];
/// Thicknesses of foam compared, inches.
pub const FOAMS_IN: [f64; 6] = [0.0, 1.0, 2.0, 3.0, 4.0, 6.0];
/// The rate's key for the boards of the first layer.
const FIRST_BOARDS: &str = "foam.boards-1";
/// Flow that the comparison's water film is taken at where no circuit gives one, gpm.
const USUAL_GPM: f64 = 0.6;
/// W/m² in one Btu/(h·ft²).
pub(super) const FLUX_PER_BTUH_FT2: f64 = 3.154_591;
/// W/K in one Btu/(h·°F).
const WATTS_PER_KELVIN: f64 = 0.293_071_070_172 * 1.8;
/// Resistance of a layer under the slab from which on the ground below is left out of warm-up,
/// m²·K/W: R-4, which earth of a metre (0.67) and stone do not reach.
const LEAST_TO_CUT: f64 = 0.7;
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
    /// Hours to 63.2 per cent of it: the floor's time constant. The ground under the foam goes on
    /// for days, but for next to nothing of the heat.
    pub time_constant_h: f64,
    /// This is what the job has.
    pub is_own: bool,
}

/// Every depth at every spacing, close spacing first; none where the slab is too thin for tube.
/// The job's own depth and its `spacing_in` are among them.
///
/// # Errors
/// [`Cancelled`] when the flag was raised.
pub fn compare_floors(
    job: &Job,
    plan: &Plan,
    heat: &Heat,
    spacing_in: f64,
    cancel: &Cancel,
) -> Result<Vec<FloorChoice>, Cancelled> {
    let floor_in = job.build_up.floor_thickness.to_inches();
    let own = job.heating.tube.depth;
    let mut depths = vec![TubeDepth::Bottom, TubeDepth::Middle, TubeDepth::Top];
    if matches!(own, TubeDepth::Axis(_)) {
        depths.push(own);
    }
    let mut spacings = SPACINGS_IN.to_vec();
    if !spacings.iter().any(|known| (known - spacing_in).abs() < 1e-6) {
        spacings.push(spacing_in);
        spacings.sort_by(f64::total_cmp);
    }
    let mut choices = Vec::new();
    for &spacing in &spacings {
        for &depth in &depths {
            if cancel.is_raised() {
                return Err(Cancelled);
            }
            let at = (axis_depth_in(depth, floor_in), spacing);
            let is_own = depth == own && (spacing - spacing_in).abs() < 1e-6;
            choices.extend(
                choice(job, plan, heat, depth, at).map(|choice| FloorChoice { is_own, ..choice }),
            );
        }
    }
    Ok(choices)
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
    // To nine tenths of the heat; the rest of the day is nobody's question here.
    let [_, most_h, nine_tenths_h, _] =
        hours_to_shares(&cut_under_foam(&section), 3).unwrap_or_default();
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
        warm_up_h: nine_tenths_h,
        time_constant_h: most_h,
        is_own: false,
    })
}

/// The section without the ground that its foam keeps from the floor's first days: an inch of
/// what lies under the foam, at the temperature that everything had at first.
fn cut_under_foam(section: &FloorSection) -> FloorSection {
    let resists = |layer: &Layer| layer.thickness / layer.conductivity > LEAST_TO_CUT;
    let Some(foam) = section.under.iter().position(resists) else { return section.clone() };
    let mut under: Vec<Layer> = section.under.iter().take(foam + 2).copied().collect();
    if let Some(last) = under.get_mut(foam + 1) {
        last.thickness = last.thickness.min(METERS_PER_INCH);
    }
    FloorSection { under, ..section.clone() }
}

/// Flux upward that the job asks for on the whole floor, W/m².
pub(super) fn asked_flux(job: &Job, plan: &Plan) -> f64 {
    let design = &job.heating.design;
    let area_ft2 = plan.area / 144.0;
    if area_ft2 <= 0.0 {
        return 0.0;
    }
    load_btuh(design.load, area_ft2, design.indoor_f, design.outdoor_f) / area_ft2
        * FLUX_PER_BTUH_FT2
}

/// Film in the tube at the mean flow of the circuits, W/(m²·K).
pub(super) fn usual_film(job: &Job, heat: &Heat) -> f64 {
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
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub struct FoamChoice {
    /// Thickness of the first layer, inches.
    pub thickness_in: f64,
    /// R of all foam, h·ft²·°F/Btu.
    pub r_value: f64,
    /// What the ground takes.
    pub loss: GroundLoss,
    /// What its boards cost, in whole cents, when the job has a rate for boards: the rate is for
    /// the thickness that the job has, and board is sold by its volume near enough (common
    /// practice), so another thickness costs in proportion.
    pub cost: Option<Cents>,
    /// What the heat that the ground takes in a heating season costs, when degree days and a price
    /// of heat are known.
    pub season_cost: Option<Cents>,
    /// This is what the job has.
    pub is_own: bool,
}

/// The loss with each foam R-value, h·ft²·°F/Btu, under the same slab.
#[must_use]
pub fn compare_foam(job: &Job, plan: &Plan, r_values: &[f64]) -> Vec<FoamChoice> {
    let choice = |&r_value: &f64| FoamChoice {
        r_value,
        loss: ground_loss_with(job, plan, r_value.max(0.0) * RSI_PER_R),
        ..FoamChoice::default()
    };
    r_values.iter().map(choice).collect()
}

/// Other thicknesses of the first foam layer, with what its boards cost; the job's own is among
/// them. Further layers stay as they are. None where the floor is not heated.
#[must_use]
pub fn foam_choices(job: &Job, plan: &Plan, foam: &Foam) -> Vec<FoamChoice> {
    if !job.heating.is_heated || plan.is_empty() {
        return Vec::new();
    }
    let layers = &job.build_up.foam_layers;
    let first = layers.first().cloned().unwrap_or_default();
    let own = if layers.is_empty() { 0.0 } else { first.thickness.to_inches() };
    let mut thicknesses = FOAMS_IN.to_vec();
    if !thicknesses.iter().any(|known| (known - own).abs() < 1e-6) {
        thicknesses.push(own);
        thicknesses.sort_by(f64::total_cmp);
    }
    let rates = job.prices.rates.iter();
    let mut rate =
        rates.filter(|rate| rate.item == FIRST_BOARDS && rate.rate.0 != 0).map(|r| r.rate);
    let per_inch = rate.next_back().and_then(|rate| {
        let boards = foam.layers.first().map_or(0, |layer| layer.boards);
        (own > 0.0).then(|| rate.to_units() * f64::from(boards) / own)
    });
    let energy = job.heating.design.energy_per_million_btu;
    let choice = |thickness_in: f64| {
        let mut other = job.clone();
        let mut layer = first.clone();
        layer.thickness = Length::inches(thickness_in);
        let build_up = Arc::make_mut(&mut other.build_up);
        build_up.foam_layers =
            std::iter::once(layer).chain(layers.iter().skip(1).cloned()).collect();
        let resistance = foam_under(&other, plan);
        let loss = ground_loss_with(job, plan, resistance);
        let season_is_priced = energy.0 > 0 && loss.season_btu > 0.0;
        FoamChoice {
            thickness_in,
            r_value: resistance / RSI_PER_R,
            loss,
            season_cost: season_is_priced.then(|| energy.times(loss.season_btu / 1e6)),
            cost: per_inch.map(|each| Cents::from_units(each * thickness_in)),
            is_own: (thickness_in - own).abs() < 1e-6,
        }
    };
    thicknesses.into_iter().map(choice).collect()
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::geometry::Point;

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
        let choices = compare_floors(&job, &plan, &Heat::default(), 12.0, &Cancel::new()).unwrap();
        assert_eq!(choices.len(), 9);
        assert_eq!(choices.iter().filter(|choice| choice.is_own).count(), 1);
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
    fn foam_costs_by_its_thickness_and_the_jobs_own_is_among_them() {
        let (mut job, plan) = shop();
        let foam = Foam {
            layers: vec![crate::foam::FoamLayout { boards: 40, ..Default::default() }],
            ..Foam::default()
        };
        assert!(foam_choices(&job, &plan, &foam).iter().all(|choice| choice.cost.is_none()));
        Arc::make_mut(&mut job.prices)
            .rates
            .push(crate::job::prices::Rate { item: FIRST_BOARDS.to_owned(), rate: Cents(3000) });
        let choices = foam_choices(&job, &plan, &foam);
        let own = choices.iter().find(|choice| choice.is_own).unwrap();
        assert_eq!((own.thickness_in, own.cost), (2.0, Some(Cents(120_000))));
        assert!((own.r_value - 10.0).abs() < 1e-9);
        assert_eq!(own.loss, ground_loss(&job, &plan));
        assert!(choices.iter().all(|choice| choice.season_cost.is_none()));
        Arc::make_mut(&mut job.heating).design.energy_per_million_btu = Cents(2500);
        let choices = foam_choices(&job, &plan, &foam);
        let own = choices.iter().find(|choice| choice.is_own).unwrap();
        let dollars = own.season_cost.unwrap().to_units();
        assert!((dollars - own.loss.season_btu / 1e6 * 25.0).abs() <= 0.005);
        for pair in choices.windows(2) {
            assert!(pair[1].season_cost < pair[0].season_cost);
            assert!(pair[1].cost > pair[0].cost);
            assert!(pair[1].loss.season_btu < pair[0].loss.season_btu);
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
}
