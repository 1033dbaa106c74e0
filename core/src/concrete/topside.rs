//! What lowers the top: thresholds, recesses, sloped floors, and what stands in the concrete.
//!
//! Depths are measured down from floor level. Where features overlap the lower top counts.

use super::SolidPart;
use super::bands::{BandSide, Profile};
use super::cells::{Cells, Facet};
use super::convex::{HalfPlane, Plane, clipped};
use super::ground::{Ground, Tiled};
use super::underside::within_region;
use crate::geometry::{Point, Polygon, Vector, nearest, polygon};
use crate::job::Edges;
use crate::job::edges::{EdgeFoamPlace, EdgeProfile};
use crate::job::thickenings::{FallsTo, Recess, SlopedArea};
use crate::plan::{Plan, RimId};

/// A depth below any underside, in inches: what takes all the concrete away.
const THROUGH_IN: f64 = 1e6;
/// A pipe or column up to this size displaces nothing: it is left to the allowance.
pub(crate) const LARGE_PENETRATION_IN: f64 = 12.0;

/// A convex piece of plan with the depth that its top is lowered to.
pub(super) struct Lowered {
    pub(super) corners: Vec<Point>,
    pub(super) top: Plane,
}

impl From<Facet> for Lowered {
    fn from(facet: Facet) -> Self {
        Self { corners: facet.corners, top: facet.plane }
    }
}

/// The lowered bands at doors.
pub(super) fn thresholds(ground: &Ground, edges: &Edges) -> Vec<Lowered> {
    let profile = |id: RimId| {
        let edge = match id {
            RimId::Side(side) => edges.of_side(side),
            RimId::Opening(opening) => edges.of_opening(opening),
        };
        match edge {
            EdgeProfile::Threshold(door) => {
                Some(Profile::new(door.lowered_by.to_inches(), door.width.to_inches(), 0.0))
            }
            _ => None,
        }
    };
    ground
        .profiled(profile)
        .flat_map(|ring| within_region(&ground.region, &ring, 0.0))
        .map(Lowered::from)
        .collect()
}

/// A recess: level bottom, sides that slope inward from its corners at floor level.
pub(super) fn recess(recess: &Recess, shift: Vector) -> Vec<Lowered> {
    let depth = recess.lowered_by.to_inches();
    let region = moved(&recess.corners, shift);
    if depth <= 0.0 || region.outer.len() < 3 {
        return Vec::new();
    }
    let run = recess.side_run.to_inches();
    let tiled = Tiled::of(&region);
    // What the sloped sides leave standing in the recess is a heap along each side, highest at
    // the side; heaps join as thickened edges do.
    let profile = Some(Profile::new(depth, 0.0, run));
    let ring: Vec<BandSide> =
        polygon::edges(&region.outer).map(|(from, to)| BandSide { from, to, profile }).collect();
    let mut left_standing = Cells::of_tiles(&tiled.tiles, 0.0);
    for facet in within_region(&tiled, &ring, 0.0) {
        left_standing.lower_underside(&facet);
    }
    left_standing
        .all()
        .iter()
        .map(|cell| Lowered {
            corners: cell.corners.clone(),
            top: Plane::level(depth).less(cell.underside),
        })
        .collect()
}

/// Where a recess keeps the floor's thickness: the underside under it.
pub(super) fn recess_underside(recess: &Recess, lowered: &[Lowered], floor: f64) -> Vec<Facet> {
    if !recess.keeps_thickness {
        return Vec::new();
    }
    lowered
        .iter()
        .map(|piece| Facet {
            corners: piece.corners.clone(),
            plane: piece.top.lowered(floor),
            part: SolidPart::Floor,
        })
        .collect()
}

/// A part of the floor that falls to a line or a drain.
pub(super) fn slope(area: &SlopedArea, shift: Vector) -> Vec<Lowered> {
    let fall = area.fall_per_foot.to_inches() / 12.0;
    let region = moved(&area.corners, shift);
    if fall <= 0.0 || region.outer.len() < 3 {
        return Vec::new();
    }
    match area.falls_to {
        FallsTo::Line { from, to } => fall_to_line(&region, from - shift, to - shift, fall),
        FallsTo::Drain { at } => fall_to_drain(&region, at - shift, fall),
    }
}

/// Planes lowest along the line and at floor level at the area's corner farthest from it; one
/// plane when the area lies on one side of the line.
fn fall_to_line(region: &Polygon, from: Point, to: Point, fall: f64) -> Vec<Lowered> {
    let Some(line) = HalfPlane::left_of(from, to) else { return Vec::new() };
    let farthest =
        region.outer.iter().map(|&corner| line.depth_of(corner).abs()).fold(0.0, f64::max);
    let tiles = Tiled::of(region).tiles;
    let sides = [line, HalfPlane { base: line.base, normal: -line.normal }];
    sides
        .into_iter()
        .flat_map(|side| {
            let top = Plane::falling(from, fall * farthest, side.normal, -fall);
            tiles
                .iter()
                .map(|tile| Lowered { corners: clipped(tile, [side]), top })
                .filter(|piece| !piece.corners.is_empty())
                .collect::<Vec<_>>()
        })
        .collect()
}

/// A pyramid upside down: every side at floor level, its point at the drain. Sides that the drain
/// does not see from within are left out.
fn fall_to_drain(region: &Polygon, drain: Point, fall: f64) -> Vec<Lowered> {
    if !region.contains(drain) {
        return Vec::new();
    }
    let depth = fall * nearest::distance_to_sides(drain, region);
    region
        .edges()
        .filter(|&(from, to)| (from - drain).cross(to - drain) > 0.0)
        .map(|(from, to)| Lowered {
            corners: vec![drain, from, to],
            top: Plane::through([(drain, depth), (from, 0.0), (to, 0.0)]),
        })
        .collect()
}

/// Edge foam inside the form: concrete is missing from the top down, over the height of the strips;
/// at doors as far as foam stands there.
pub(super) fn edge_foam(ground: &Ground, edges: &Edges) -> Vec<Lowered> {
    let foam = edges.edge_foam;
    if foam.place != EdgeFoamPlace::InsideForm || foam.thickness.to_inches() <= 0.0 {
        return Vec::new();
    }
    let height = foam.height.to_inches();
    let depth = if height > 0.0 { height } else { THROUGH_IN };
    let profile = |id: RimId| {
        let RimId::Side(side) = id else { return None };
        let thickness = foam.inside_along(&edges.of_side(side));
        (thickness > 0.0).then(|| Profile::new(depth, thickness, 0.0))
    };
    let outline = ground.profiled(profile).take(1);
    outline.flat_map(|ring| within_region(&ground.region, &ring, 0.0)).map(Lowered::from).collect()
}

/// Pipes and columns large enough to count.
pub(super) fn large_penetrations(plan: &Plan, shift: Vector) -> Vec<Lowered> {
    plan.penetrations
        .iter()
        .filter(|item| item.widest > LARGE_PENETRATION_IN)
        .map(|item| Lowered {
            corners: moved(&item.outline, shift).outer,
            top: Plane::level(THROUGH_IN),
        })
        .collect()
}

fn moved(corners: &[Point], shift: Vector) -> Polygon {
    Polygon::new(corners.iter().map(|&corner| corner - shift).collect(), Vec::new())
}
