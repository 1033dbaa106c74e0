//! From circuits as routed to what each carries: supply temperature, flows, heads, floor map.
//!
//! In order: the load of each zone; the water each zone needs, from its own cross-section; the
//! supply that the neediest zone needs at the design drop (or the supply that the source gives);
//! in every other zone the drop at which its circuits give just what is asked; flows from that;
//! then the floor map, which knows edges, leaders and water that cools, corrects flows and supply
//! until the floor gives its load; head by Churchill's law with the mean wall.

use super::floor_map::{
    FloorMapSolution, MapRequest, PlateValues, RimPiece, Surroundings, WaterCircuit, cell_for,
    cell_within_box, map_floor_unless,
};
use super::job_floor::{
    METERS_PER_INCH, axis_depth_in, celsius, fahrenheit, glycol_percent, section_of, tube_size,
};
use super::load::load_btuh;
use super::rim::rim_of;
use super::section::SectionResponse;
use super::standard::{medium_excess, supply_over_room};
use super::{CircuitHeat, FloorMap, Heat};
use crate::effort::{Cancel, Cancelled};
use crate::facts::fluids::{FluidProperties, properties};
use crate::geometry::{Point, Segment};
use crate::job::Job;
use crate::job::ids::ZoneId;
use crate::plan::Plan;
use crate::tube::hydraulics::{
    FrictionLaw, circuit_head_ft, film_coefficient, tube_flow, volume_gallons,
};
use crate::tube::{Circuit, Tube};

/// W in one Btu/h.
const WATTS_PER_BTUH: f64 = 0.293_071_070_172_222;
/// Chord tolerance of circuits on the map, inches.
const CHORD_IN: f64 = 0.1;
/// Least flow of a circuit that has one at all, gpm.
const LEAST_GPM: f64 = 0.05;
/// Largest part of the excess of supply over room that a circuit may lose on its way.
const LARGEST_DROP_SHARE: f64 = 0.85;
/// Corrections by a map of double cells before the map itself.
const CORRECTIONS: usize = 2;

/// A zone with its cross-section.
struct HeatedZone {
    id: ZoneId,
    is_edge_band: bool,
    response: SectionResponse,
    /// Upward flux asked for, W/m².
    flux: f64,
    spacing_in: f64,
    area_in2: f64,
    /// Drop from supply to return, K.
    drop: f64,
}

impl HeatedZone {
    fn heats(&self, circuit: &Circuit) -> bool {
        self.id == circuit.zone && self.is_edge_band == circuit.is_edge_band
    }
}

/// An edge band has water as warm as the rest of its zone, and so gives more by area: the heat
/// asked of both is shared out so.
fn share_by_water(zones: &mut [HeatedZone], Surroundings { room, ground, .. }: Surroundings) {
    let bands = zones.iter().filter(|zone| zone.is_edge_band).map(|zone| zone.id);
    for id in bands.collect::<Vec<ZoneId>>() {
        let given = |water: f64| -> f64 {
            let parts = zones.iter().filter(|zone| zone.id == id);
            parts.map(|zone| zone.response.at(water, room, ground).up * zone.area_in2).sum()
        };
        let asked: f64 =
            zones.iter().filter(|zone| zone.id == id).map(|zone| zone.flux * zone.area_in2).sum();
        // What is given rises in a straight line with the water.
        let (cold, step) = (given(room), given(room + 1.0) - given(room));
        if step <= 0.0 {
            continue;
        }
        let water = room + (asked - cold) / step;
        for zone in zones.iter_mut().filter(|zone| zone.id == id) {
            zone.flux = zone.response.at(water, room, ground).up.max(0.0);
        }
    }
}

/// Where the settling stands: what water comes in, and each circuit's flow.
struct Design<'a> {
    job: &'a Job,
    plan: &'a Plan,
    tube: &'a Tube,
    around: Surroundings,
    zones: Vec<HeatedZone>,
    /// Length of each circuit, m, as laid where it is known.
    lengths: Vec<f64>,
    supply: f64,
    /// Drop asked of the neediest zone, K.
    drop: f64,
    /// Flow of each circuit, gpm.
    flows: Vec<f64>,
    /// What each side loses to outside air.
    rim: Vec<RimPiece>,
}

/// Heat of a job.
pub(super) fn settle(
    job: &Job,
    plan: &Plan,
    tube: &Tube,
    cancel: &Cancel,
) -> Result<Heat, Cancelled> {
    let choices = &job.heating.design;
    if !job.heating.is_heated || plan.is_empty() {
        return Ok(Heat::default());
    }
    let total = load_btuh(choices.load, plan.area / 144.0, choices.indoor_f, choices.outdoor_f);
    let loads = zone_loads(job, tube, total);
    let load = if loads.is_empty() { total } else { loads.iter().map(|l| l.1).sum() };
    let nothing = Heat { load_btuh: load, ..Heat::default() };
    let Some(mut design) = Design::of(job, plan, tube, &loads) else { return Ok(nothing) };
    if let Some(zone) = design.largest_zone() {
        design.rim = rim_of(job, plan, zone.response.floor());
    }
    design.first_guess();
    design.with_films();
    let Some(map) = design.correct(load * WATTS_PER_BTUH, cancel)? else { return Ok(nothing) };
    Ok(design.written_out(load, &map))
}

/// Load of each routed zone, Btu/h: its own, else its share of the floor's by heated area.
fn zone_loads(job: &Job, tube: &Tube, total: f64) -> Vec<(ZoneId, f64)> {
    let area: f64 = tube.zones.iter().map(|zone| zone.heated_area).sum();
    let own =
        |id: ZoneId| job.heating.zones.iter().find(|zone| zone.id == id).and_then(|z| z.load_btuh);
    let share = |heated: f64| if area > 0.0 { total * heated / area } else { 0.0 };
    // A load of its own is shared between the edge band of a zone and its other floor.
    let own = |zone: &crate::tube::RoutedZone| {
        let same = tube.zones.iter().filter(|other| other.id == zone.id);
        let all: f64 = same.map(|other| other.heated_area).sum();
        own(zone.id).map(|load| if all > 0.0 { load * (zone.heated_area / all) } else { load })
    };
    let load =
        |zone: &crate::tube::RoutedZone| own(zone).unwrap_or_else(|| share(zone.heated_area));
    tube.zones.iter().map(|zone| (zone.id, load(zone).max(0.0))).collect()
}

impl<'a> Design<'a> {
    fn of(job: &'a Job, plan: &'a Plan, tube: &'a Tube, loads: &[(ZoneId, f64)]) -> Option<Self> {
        if tube.circuits.is_empty() {
            return None;
        }
        let choices = &job.heating.design;
        let axis = axis_depth_in(job.heating.tube.depth, job.build_up.floor_thickness.to_inches());
        let mut zones = Vec::new();
        for (zone, &(id, load)) in tube.zones.iter().zip(loads) {
            let response = SectionResponse::of(&section_of(job, plan, zone.laid_spacing, axis))?;
            let area = zone.heated_area * METERS_PER_INCH * METERS_PER_INCH;
            let flux = if area > 0.0 { load * WATTS_PER_BTUH / area } else { 0.0 };
            let (spacing_in, area_in2) = (zone.laid_spacing, zone.heated_area);
            let is_edge_band = zone.is_edge_band;
            zones.push(HeatedZone {
                id,
                is_edge_band,
                response,
                flux,
                spacing_in,
                area_in2,
                drop: 0.0,
            });
        }
        let around = Surroundings {
            room: celsius(choices.indoor_f),
            ground: celsius(choices.ground_f),
            outside: celsius(choices.outdoor_f),
        };
        share_by_water(&mut zones, around);
        let lengths =
            tube.circuits.iter().map(|c| laid_length_in(job, c) * METERS_PER_INCH).collect();
        let drop = (choices.drop_f / 1.8).max(0.1);
        (!zones.is_empty()).then_some(Self {
            job,
            plan,
            tube,
            around,
            zones,
            lengths,
            supply: around.room,
            drop,
            flows: vec![0.0; tube.circuits.len()],
            rim: Vec::new(),
        })
    }

    fn zone_of(&self, circuit: &Circuit) -> Option<&HeatedZone> {
        let is_its = |zone: &&HeatedZone| zone.heats(circuit);
        self.zones.iter().find(is_its).or_else(|| self.zones.first())
    }

    /// Supply, drops and flows from the cross-sections alone.
    fn first_guess(&mut self) {
        let Surroundings { room, ground, .. } = self.around;
        let needs: Vec<f64> = self
            .zones
            .iter()
            .map(|z| (z.response.water_for(z.flux, room, ground) - room).max(0.0))
            .collect();
        let most = needs.iter().copied().fold(0.0, f64::max);
        let given = self.job.heating.design.supply_f.map(celsius);
        self.supply = given.unwrap_or_else(|| room + supply_over_room(most, self.drop));
        let over = (self.supply - room).max(0.0);
        // With a supply from the source the neediest zone takes the drop asked for.
        let drop = self.drop.min(LARGEST_DROP_SHARE * over);
        let reachable = medium_excess(self.supply, self.supply - drop, room);
        for (zone, need) in self.zones.iter_mut().zip(needs) {
            zone.drop = drop_for(over, need.min(reachable)).max(drop.min(zone_least(drop)));
        }
        let fluid = self.fluid();
        let flows: Vec<f64> = (self.tube.circuits.iter().zip(&self.lengths))
            .map(|(circuit, length)| {
                let Some(zone) = self.zone_of(circuit) else { return 0.0 };
                let excess = medium_excess(self.supply, self.supply - zone.drop, room);
                let heat = zone.response.at(room + excess, room, ground).per_tube * length;
                flow_for(heat, zone.drop, &fluid)
            })
            .collect();
        self.flows = flows;
    }

    /// Takes up the film of the water in each zone, from the mean flow of its circuits, and
    /// guesses again.
    fn with_films(&mut self) {
        let fluid = self.fluid();
        let inside = tube_size(self.job.heating.tube.size).inside_at_mean_wall_in();
        for zone in 0..self.zones.len() {
            let Some(heated) = self.zones.get(zone) else { continue };
            let flows: Vec<f64> = (self.tube.circuits.iter().zip(&self.flows))
                .filter(|(circuit, _)| heated.heats(circuit))
                .map(|(_, flow)| *flow)
                .collect();
            if let (Some(zone), false) = (self.zones.get_mut(zone), flows.is_empty()) {
                let mean = flows.iter().sum::<f64>() / flows.len() as f64;
                let film = film_coefficient(mean.max(LEAST_GPM), inside, &fluid);
                zone.response = zone.response.clone().with_water_film(Some(film));
            }
        }
        self.first_guess();
    }

    /// Fluid at its mean temperature.
    fn fluid(&self) -> FluidProperties {
        let mean = fahrenheit(self.supply - 0.5 * self.drop);
        properties(glycol_percent(self.job.heating.fluid), mean)
    }

    /// The map of the floor after flows and supply have been set by coarser ones.
    fn correct(
        &mut self,
        load: f64,
        cancel: &Cancel,
    ) -> Result<Option<FloorMapSolution>, Cancelled> {
        let least_spacing = self.zones.iter().map(|z| z.spacing_in).fold(f64::INFINITY, f64::min);
        let cell = cell_for(self.plan.area, least_spacing);
        let cell = cell_within_box(cell, &self.plan.region);
        let coarser = (2.0 * cell).min(0.5 * least_spacing).max(cell);
        // What the floor gives grows in a straight line with the excess of its supply over the
        // room, from what it gives with water no warmer than that.
        let Some(bare) = self.map(coarser, self.around.room, cancel)? else { return Ok(None) };
        for _ in 0..CORRECTIONS {
            let Some(coarse) = self.map(coarser, self.supply, cancel)? else { return Ok(None) };
            let mut by = 1.0;
            if self.job.heating.design.supply_f.is_none() && coarse.up > bare.up {
                by = ((load - bare.up) / (coarse.up - bare.up)).clamp(0.5, 2.0);
                self.supply = self.around.room + (self.supply - self.around.room) * by;
            }
            self.reset_flows(&coarse, by);
        }
        self.map(cell, self.supply, cancel)
    }

    /// Flows at which each circuit has its zone's drop, if its heat changes by the factor.
    fn reset_flows(&mut self, map: &FloorMapSolution, by: f64) {
        let fluid = self.fluid();
        let flows: Vec<f64> = (self.tube.circuits.iter().zip(&map.circuits))
            .map(|(circuit, water)| {
                let drop = self.zone_of(circuit).map_or(self.drop, |zone| zone.drop);
                flow_for(water.heat * by, drop, &fluid)
            })
            .collect();
        self.flows = flows;
    }

    fn largest_zone(&self) -> Option<&HeatedZone> {
        self.zones.iter().max_by(|a, b| a.area_in2.total_cmp(&b.area_in2))
    }

    /// The map on cells of some inches with this supply.
    fn map(
        &self,
        cell: f64,
        supply: f64,
        cancel: &Cancel,
    ) -> Result<Option<FloorMapSolution>, Cancelled> {
        let Some(largest) = self.largest_zone() else { return Ok(None) };
        let (values, _) = PlateValues::from_section(&largest.response, cell);
        let paths: Vec<Vec<Point>> =
            self.tube.circuits.iter().map(|c| c.points(CHORD_IN)).collect();
        let fluid = self.fluid();
        let waters: Vec<WaterCircuit<'_>> = (self.tube.circuits.iter().zip(&paths))
            .zip(&self.flows)
            .filter_map(|((circuit, path), &gpm)| {
                let zone = self.zone_of(circuit)?;
                let (_, to_plate) = PlateValues::from_section(&zone.response, cell);
                let flow = gpm * fluid.btuh_per_gpm_degree() * WATTS_PER_BTUH * 1.8;
                Some(WaterCircuit { path, flow, supply, to_plate })
            })
            .collect();
        let request = MapRequest {
            region: &self.plan.region,
            rim: &self.rim,
            circuits: &waters,
            values: &values,
            around: self.around,
            cell_in: cell,
        };
        map_floor_unless(&request, cancel)
    }

    fn written_out(&self, load: f64, map: &FloorMapSolution) -> Heat {
        let fluid = self.fluid();
        let inside = tube_size(self.job.heating.tube.size).inside_at_mean_wall_in();
        let mut circuits = Vec::new();
        let mut gallons = 0.0;
        for (((circuit, water), &gpm), length) in
            self.tube.circuits.iter().zip(&map.circuits).zip(&self.flows).zip(&self.lengths)
        {
            let length_in = length / METERS_PER_INCH;
            let flow = tube_flow(gpm, inside, &fluid, FrictionLaw::Churchill);
            gallons += volume_gallons(length_in, inside);
            circuits.push(CircuitHeat {
                flow_gpm: gpm,
                head_ft: circuit_head_ft(&flow, length_in, right_angles(circuit), inside),
                velocity_fps: flow.velocity_ft_s,
                reynolds: flow.reynolds,
                output_btuh: water.heat / WATTS_PER_BTUH,
                return_f: fahrenheit(water.back),
            });
        }
        let gpm: f64 = circuits.iter().map(|c| c.flow_gpm).sum();
        let mixed: f64 = circuits.iter().map(|c| c.flow_gpm * c.return_f).sum();
        let supply_f = fahrenheit(self.supply);
        Heat {
            load_btuh: load,
            supply_f,
            return_f: if gpm > 0.0 { mixed / gpm } else { supply_f },
            up_btuh: map.up / WATTS_PER_BTUH,
            down_btuh: (map.down + map.edge) / WATTS_PER_BTUH,
            edge_btuh: map.edge / WATTS_PER_BTUH,
            water_btuh: map.water / WATTS_PER_BTUH,
            surface_mean_f: fahrenheit(map.heated_mean),
            surface_max_f: fahrenheit(map.hottest.0),
            surface_min_f: fahrenheit(map.coldest.0),
            pump_gpm: gpm,
            pump_head_ft: circuits.iter().map(|c| c.head_ft).fold(0.0, f64::max),
            circuits,
            fluid_gallons: gallons,
            floor_map: Some(shown(map)),
        }
    }
}

/// A drop is not forced below this, K, for a zone that asks for next to nothing.
fn zone_least(drop: f64) -> f64 {
    0.1 * drop
}

/// Drop from supply to return at which the log-mean excess is `excess`, with the supply `over`
/// the room, K.
fn drop_for(over: f64, excess: f64) -> f64 {
    let (mut low, mut high) = (0.0, LARGEST_DROP_SHARE * over);
    for _ in 0..60 {
        let middle = 0.5 * (low + high);
        // A larger drop has a smaller mean.
        if medium_excess(over, over - middle, 0.0) > excess { low = middle } else { high = middle }
    }
    0.5 * (low + high)
}

/// Flow that carries `heat` W with a drop in K, gpm.
fn flow_for(heat: f64, drop: f64, fluid: &FluidProperties) -> f64 {
    let carried = fluid.btuh_per_gpm_degree() * drop * 1.8;
    if carried > 0.0 { (heat / WATTS_PER_BTUH / carried).max(LEAST_GPM) } else { LEAST_GPM }
}

/// Length of a circuit, inches: by its footage marks where they were read, else as planned.
fn laid_length_in(job: &Job, circuit: &Circuit) -> f64 {
    let marks = job
        .as_laid
        .circuits
        .iter()
        .find(|laid| laid.zone == circuit.zone && laid.number == circuit.number)
        .map(|laid| (laid.end_mark_ft - laid.start_mark_ft).abs() * 12.0);
    marks.filter(|length| *length > 0.0).unwrap_or(circuit.length)
}

/// Bends of a circuit, in right angles.
fn right_angles(circuit: &Circuit) -> f64 {
    let turned = circuit.path.iter().filter_map(|segment| match segment {
        Segment::Arc(arc) => arc.circle().map(|circle| circle.sweep.abs()),
        Segment::Line(..) => None,
    });
    turned.sum::<f64>() / std::f64::consts::FRAC_PI_2
}

/// The map as the results carry it.
fn shown(map: &FloorMapSolution) -> FloorMap {
    FloorMap {
        origin: map.origin,
        cell: map.cell_in,
        columns: map.columns,
        rows: map.rows,
        surface_f: map.surface.iter().map(|t| fahrenheit(*t) as f32).collect(),
        hottest: map.hottest.1,
        coldest: map.coldest.1,
        imbalance: map.imbalance,
    }
}
