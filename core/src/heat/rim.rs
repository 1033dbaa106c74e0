//! What the rim of the slab loses to outside air, from the edge section of each kind of side.
//!
//! Question: which conductance from plate to outside, for a metre of rim, makes the floor map lose
//! what two-dimensional conduction through this edge, its foam and the ground before it loses?
//! Method: the edge section ([`edge`](super::section::edge)) with the floor's own ground, held at
//! its temperature at the same depth as in the floor's section, says how much of a kelvin in the
//! room reaches the outside. In the map the same heat runs along the plate, which falls off from
//! the rim like a fin; the conductance that gives the same is the rim's. So heat that goes from
//! the ground straight to the outside, which no water brought, is not counted.
//!
//! Each side of the outline has the conductance of its own kind of edge. Limits: rims of openings
//! lose nothing (they lie inside); a frost wall's own resistance is left out, on the safe side; ground
//! stands six inches below the floor or at the bottom of the edge (common practice), as the job
//! does not say.

use super::floor_map::RimPiece;
use super::job_floor::{EARTH, GROUND_DEPTH, METERS_PER_INCH, RSI_PER_R, STONE, r_per_inch};
use super::section::FloorSection;
use super::section::edge::{EdgeSection, solve_edge};
use crate::facts::heating::GROUND_SURFACE_OUTSIDE;
use crate::geometry::{Segment, tolerance};
use crate::job::Job;
use crate::job::build_up::FoamType;
use crate::job::edges::{EdgeFoamPlace, EdgeProfile};
use crate::plan::{Plan, RimId};

/// Floor over grade, in (common practice).
const OVER_GRADE_IN: f64 = 6.0;
/// Wall that stands on the rim and keeps room air from it, in: a framed wall (common practice).
const WALL_IN: f64 = 5.5;
/// How far into the floor, and how far before the rim, the section goes, m: several times the
/// length over which a slab forgets its rim.
const REACH: f64 = 1.5;
/// Steps of the grid against the usual ones: within a hundredth of what four times finer gives.
const FINENESS: f64 = 1.0;
/// Largest part of what a fin of slab can bring to its rim that the rim is let take.
const LARGEST_SHARE: f64 = 0.97;

/// Kinds of edge along the outline with the length of each, inches, in the order of the sides.
#[must_use]
pub fn kinds_of_edge(job: &Job, plan: &Plan) -> Vec<(EdgeProfile, f64)> {
    let mut kinds: Vec<(EdgeProfile, f64)> = Vec::new();
    for side in &plan.rim {
        let RimId::Side(id) = side.id else { continue };
        let (profile, length) = (job.edges.of_side(id), side.segment.length());
        match kinds.iter_mut().find(|kind| kind.0 == profile) {
            Some(kind) => kind.1 += length,
            None => kinds.push((profile, length)),
        }
    }
    kinds
}

/// The edge section of a kind of side on the floor's own ground.
#[must_use]
pub fn edge_section(job: &Job, floor: &FloorSection, profile: &EdgeProfile) -> EdgeSection {
    let inches = |inches: f64| inches * METERS_PER_INCH;
    let edge_foam = &job.edges.edge_foam;
    let layers = &job.build_up.foam_layers;
    // Edge foam is board of the floor's first layer, else of the usual type.
    let board = layers.first().map_or(FoamType::IV, |layer| layer.foam_type);
    let foam_conductivity = METERS_PER_INCH / (r_per_inch(board) * RSI_PER_R);
    // Other boards under the floor count with the thickness of the first that is as good.
    let resistance: f64 = layers
        .iter()
        .map(|layer| layer.thickness.to_inches() * r_per_inch(layer.foam_type) * RSI_PER_R)
        .sum();
    let foam = resistance * foam_conductivity;
    let slab = floor.slab.thickness;
    let (depth, flat, run) = profile.thickened().map_or((slab, 0.0, 0.0), |edge| {
        let [depth, flat, run] =
            [edge.total_depth, edge.flat_width, edge.haunch_run].map(|l| l.to_meters().max(0.0));
        (depth.max(slab), flat, run)
    });
    let standing = edge_foam.along(profile).thickness.to_meters();
    // Foam inside the form takes its thickness off the flat of the edge.
    let flat = match edge_foam.place {
        EdgeFoamPlace::InsideForm => (flat - standing).max(0.0),
        EdgeFoamPlace::OutsideForm => flat,
    };
    let high = edge_foam.height.to_meters();
    let goes_under = layers.iter().any(|layer| layer.goes_under_edges);
    let stone = job.build_up.stone.thickness.to_meters().max(0.0);
    // Stone counts as the earth that resists as much.
    let ground = EARTH * (stone / STONE + GROUND_DEPTH / EARTH);
    EdgeSection {
        half_width: REACH + flat + run,
        slab,
        concrete: floor.slab.conductivity,
        foam,
        foam_under_edge: if goes_under { foam } else { 0.0 },
        foam_conductivity,
        edge_depth: depth,
        edge_flat: flat,
        edge_run: run,
        edge_foam: standing,
        edge_foam_depth: if high > 0.0 { high.min(depth) } else { depth },
        over_grade: inches(OVER_GRADE_IN).min(depth),
        wall: inches(WALL_IN),
        soil: EARTH,
        ground: REACH,
        held_at: Some((slab + foam + ground).max(depth + foam + 0.3)),
        inside: floor.coefficient_up(),
        outside: 1.0 / GROUND_SURFACE_OUTSIDE,
    }
}

/// Conductance from plate to outside for a metre of this kind of rim, W/(m·K), that makes the
/// plate of this floor lose what the edge section does.
#[must_use]
pub fn rim_conductance(edge: &EdgeSection, floor: &FloorSection) -> f64 {
    let Some(loss) = solve_edge(edge, FINENESS) else { return 0.0 };
    let (up, down) = floor.plane_resistances();
    let (up, down) = (1.0 / up, 1.0 / down);
    // What leaves a fin at its end comes from room and ground in the ratio of their ties.
    let at_rim = loss.coupling_outside * (up + down) / up;
    let fin = (edge.concrete * edge.slab * (up + down)).sqrt();
    let share = (at_rim / fin).clamp(0.0, LARGEST_SHARE);
    fin * share / (1.0 - share)
}

/// The outline with what each side of it loses to outside air; arcs as chords.
#[must_use]
pub fn rim_of(job: &Job, plan: &Plan, floor: &FloorSection) -> Vec<RimPiece> {
    let losses: Vec<(EdgeProfile, f64)> = kinds_of_edge(job, plan)
        .into_iter()
        .map(|(profile, _)| (profile, rim_conductance(&edge_section(job, floor, &profile), floor)))
        .collect();
    let mut pieces = Vec::new();
    for side in &plan.rim {
        let RimId::Side(id) = side.id else { continue };
        let profile = job.edges.of_side(id);
        let loss = losses.iter().find(|kind| kind.0 == profile).map_or(0.0, |kind| kind.1);
        let (mut from, ends) = match side.segment {
            Segment::Line(from, to) => (from, vec![to]),
            Segment::Arc(arc) => (arc.from, arc.flatten(tolerance::ARC_CHORD_IN)),
        };
        for to in ends {
            pieces.push(RimPiece { from, to, loss });
            from = to;
        }
    }
    pieces
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::geometry::{Point, Polygon};
    use crate::heat::floor_map::{PlateValues, Surroundings, even_rim, map_floor};
    use crate::heat::job_floor::section_of;
    use crate::heat::section::SectionResponse;
    use crate::job::edges::EdgeFoam;
    use crate::units::Length;
    use std::sync::Arc;

    fn shop() -> (Job, Plan) {
        let corners = [(0.0, 0.0), (40.0, 0.0), (40.0, 28.0), (0.0, 28.0)];
        let job = Job::from_corners(&corners.map(|(x, y)| (Point::feet(x, y), None)));
        let plan = Plan::of(&job);
        (job, plan)
    }

    #[test]
    fn the_plate_loses_at_its_rim_what_the_edge_section_loses() {
        let (job, plan) = shop();
        let floor = section_of(&job, &plan, 12.0, 3.5);
        let edge = edge_section(&job, &floor, &job.edges.usual);
        let published = solve_edge(&edge, FINENESS).unwrap().coupling_outside;
        let response = SectionResponse::of(&floor).unwrap();
        let (values, _) = PlateValues::from_section(&response, 2.0);
        // Long enough that corners, where two rims share a floor, count for little.
        let corners = [(0.0, 0.0), (7200.0, 0.0), (7200.0, 240.0), (0.0, 240.0)];
        let strip = Polygon::new(corners.map(|(x, y)| Point::new(x, y)).to_vec(), Vec::new());
        // Nothing but the room is warm, so all that leaves at the rim came from the room.
        let around = Surroundings { room: 1.0, ground: 0.0, outside: 0.0 };
        let rim = even_rim(&strip, rim_conductance(&edge, &floor));
        let map = map_floor(&strip, &rim, &[], &values, around, 2.0).unwrap();
        let per_meter = map.edge / (2.0 * 7440.0 * METERS_PER_INCH);
        let off = per_meter / published - 1.0;
        assert!(off.abs() < 0.02, "{per_meter} W/(m·K) against {published}");
    }

    #[test]
    fn foam_at_the_edge_saves_and_a_thickened_edge_costs() {
        let (mut job, plan) = shop();
        let floor = section_of(&job, &plan, 12.0, 3.5);
        let loss = |job: &Job| rim_of(job, &plan, &floor)[0].loss;
        let usual = loss(&job);
        assert!(usual > 0.2 && usual < 2.0, "{usual}");
        Arc::make_mut(&mut job.edges).edge_foam =
            EdgeFoam { thickness: Length::ZERO, ..EdgeFoam::default() };
        let bare = loss(&job);
        assert!(bare > 1.5 * usual, "{bare} against {usual}");
        Arc::make_mut(&mut job.edges).usual = EdgeProfile::Plain;
        assert!(loss(&job) < bare);
    }

    #[test]
    fn each_side_loses_by_its_own_edge() {
        let (mut job, plan) = shop();
        let floor = section_of(&job, &plan, 12.0, 3.5);
        let [south, _, north, _] = plan.rim.as_slice() else { panic!("four sides") };
        let RimId::Side(id) = north.id else { panic!("a side of the outline") };
        Arc::make_mut(&mut job.edges).edge_foam =
            EdgeFoam { thickness: Length::ZERO, ..EdgeFoam::default() };
        Arc::make_mut(&mut job.edges).by_side.insert(id, EdgeProfile::Plain);
        let rim = rim_of(&job, &plan, &floor);
        assert_eq!(rim.len(), 4);
        let along = |side: &crate::plan::RimSide| {
            let Segment::Line(from, to) = side.segment else { panic!("straight") };
            let piece = rim.iter().find(|piece| piece.from == from && piece.to == to).unwrap();
            (piece.loss, from.middle(to))
        };
        let ((thick, by_south), (plain, by_north)) = (along(south), along(north));
        assert!(thick > 1.1 * plain, "{thick} {plain}");
        let response = SectionResponse::of(&floor).unwrap();
        let (values, _) = PlateValues::from_section(&response, 2.0);
        let around = Surroundings { room: 20.0, ground: 10.0, outside: -20.0 };
        let map = map_floor(&plan.region, &rim, &[], &values, around, 2.0).unwrap();
        let inward = (by_north - by_south) * (3.0 / (by_north - by_south).length());
        let surface = |at: Point| {
            let column = ((at.x - map.origin.x) / map.cell_in) as usize;
            let row = ((at.y - map.origin.y) / map.cell_in) as usize;
            map.surface[row * map.columns + column]
        };
        assert!(surface(by_south + inward) + 0.2 < surface(by_north - inward));
        assert!(map.imbalance.abs() < 1e-3);
    }

    #[test]
    fn the_floors_whole_loss_stands_between_the_two_methods_of_the_trade() {
        // A shop without tube at one temperature: downward by the section and out at the rim,
        // against ISO 13370 and the factor of an unheated slab insulated under all of it.
        let (job, plan) = shop();
        let floor = section_of(&job, &plan, 12.0, 3.5);
        let edge = edge_section(&job, &floor, &job.edges.usual);
        let rim = solve_edge(&edge, FINENESS).unwrap().coupling_outside;
        let perimeter = plan.perimeter * METERS_PER_INCH;
        let iso = crate::heat::ground::GroundSlab {
            area: plan.area * METERS_PER_INCH * METERS_PER_INCH,
            perimeter,
            wall: 0.14,
            soil: EARTH,
            floor_resistance: 1.761,
        }
        .loss_per_kelvin(0.0);
        let factor = crate::facts::heating::edge_loss_full(false, 10.0) * 1.730_735 * perimeter;
        // The middle of the floor loses to the deep ground, which the rim does not count.
        assert!(rim * perimeter > 0.3 * iso && rim * perimeter < iso.max(factor), "{rim}");
    }
}
