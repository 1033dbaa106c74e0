//! What asks for the underside: thickened edges, strips and pads, as facets.

use super::SolidPart;
use super::bands::{BandSide, LONGEST_MITRE, Profile, bands_of_ring};
use super::cells::Facet;
use super::convex::{HalfPlane, Plane, clipped, sides_of};
use super::ground::{Ground, Tiled};
use crate::geometry::{Point, Vector, polygon};
use crate::job::Edges;
use crate::job::openings::Footprint;
use crate::job::thickenings::{Pad, ThickenedStrip};
use crate::plan::RimId;
use crate::units::Length;
use crate::units::exact_math;
use std::f64::consts::{PI, TAU};

/// Cosine of the turn beyond which two legs of a strip double back (150 degrees): each then ends
/// square and they overlap.
const DOUBLES_BACK: f64 = -0.866;
/// Corners of a round pad. Alone it has the circle's volume; where another thickening covers part
/// of it the polygon's border is off by a thousandth of its radius.
const ROUND_CORNERS: u32 = 96;

/// The thickened edge that a rim side asks for.
pub(super) fn edge_profile(edges: &Edges, id: RimId) -> Option<Profile> {
    let edge = match id {
        RimId::Side(side) => edges.of_side(side),
        RimId::Opening(opening) => edges.of_opening(opening),
    }
    .thickened()?;
    Some(Profile::new(
        edge.total_depth.to_inches(),
        edge.flat_width.to_inches(),
        edge.haunch_run.to_inches(),
    ))
}

/// Facets of all thickened edges.
pub(super) fn edge_facets(ground: &Ground, edges: &Edges, floor: f64) -> Vec<Facet> {
    let mut facets = Vec::new();
    for ring in ground.profiled(|id| edge_profile(edges, id)) {
        facets.extend(within_region(&ground.region, &ring, floor));
    }
    facets
}

/// Facets of the bands of a ring, each only where its side reaches.
pub(super) fn within_region(region: &Tiled, ring: &[BandSide], base: f64) -> Vec<Facet> {
    let mut facets = Vec::new();
    for band in bands_of_ring(ring, base) {
        let Some(reached) = region.reached_by(&band) else {
            facets.extend(band.facets);
            continue;
        };
        for facet in &band.facets {
            for piece in &reached {
                let corners = clipped(&facet.corners, sides_of(piece));
                if !corners.is_empty() {
                    facets.push(Facet { corners, ..*facet });
                }
            }
        }
    }
    facets
}

/// Facets of a thickened strip: legs with square ends, mitred where they meet.
pub(super) fn strip_facets(strip: &ThickenedStrip, shift: Vector, floor: f64) -> Vec<Facet> {
    let depth = strip.total_depth.to_inches();
    let (half, run) =
        (strip.flat_width.to_inches().max(0.0) / 2.0, strip.haunch_run.to_inches().max(0.0));
    if depth <= floor || half + run <= 0.0 {
        return Vec::new();
    }
    let legs: Vec<(Point, Point, Vector)> = strip
        .line
        .iter()
        .zip(strip.line.iter().skip(1))
        .filter_map(|(&from, &to)| Some((from - shift, to - shift, (to - from).unit()?)))
        .collect();
    let mut facets = Vec::new();
    for (index, &(from, to, step)) in legs.iter().enumerate() {
        let step_of = |index: Option<usize>| index.and_then(|at| legs.get(at)).map(|leg| leg.2);
        let start = HalfPlane { base: from, normal: joint(step, step_of(index.checked_sub(1))) };
        let end = HalfPlane { base: to, normal: -joint(step, step_of(Some(index + 1))) };
        let reach = step * ((half + run) * LONGEST_MITRE);
        let across = |near: f64, far: f64| {
            let (low, high) = (step.left() * near, step.left() * far);
            let whole =
                [from - reach + low, to + reach + low, to + reach + high, from - reach + high];
            clipped(&whole, [start, end])
        };
        let mut add = |corners: Vec<Point>, plane: Plane| {
            if !corners.is_empty() {
                facets.push(Facet { corners, plane, part: SolidPart::Strip });
            }
        };
        add(across(-half, half), Plane::level(depth));
        if run > 0.0 {
            for side in [1.0, -1.0] {
                let outward = step.left() * side;
                let plane =
                    Plane::falling(from + outward * half, depth, outward, (floor - depth) / run);
                let (near, far) = (side * half, side * (half + run));
                add(across(near.min(far), near.max(far)), plane);
            }
        }
    }
    facets
}

/// What a leg ends on where it meets another: the line that halves the angle, or square.
fn joint(step: Vector, other: Option<Vector>) -> Vector {
    match other {
        Some(other) if step.dot(other) > DOUBLES_BACK => (step + other).unit().unwrap_or(step),
        _ => step,
    }
}

/// Facets of a pad: the flat bottom, and slopes all round.
pub(super) fn pad_facets(pad: &Pad, shift: Vector, floor: f64) -> Vec<Facet> {
    let depth = pad.total_depth.to_inches();
    if depth <= floor || pad.shape.widest().to_inches() <= 0.0 {
        return Vec::new();
    }
    let (flat, run) = match pad.shape {
        Footprint::Rectangle { .. } => {
            (pad.shape.outline(pad.at - shift), pad.haunch_run.to_inches())
        }
        Footprint::Round { diameter } => round_pad(pad.at - shift, diameter, pad.haunch_run),
    };
    if polygon::signed_area(&flat) <= 0.0 {
        return Vec::new();
    }
    let profile = Some(Profile::new(depth, 0.0, run));
    // Walked the other way round, the outside is on the left.
    let ring: Vec<BandSide> = polygon::edges(&flat)
        .map(|(from, to)| BandSide { from: to, to: from, profile })
        .collect::<Vec<_>>()
        .into_iter()
        .rev()
        .collect();
    let mut facets: Vec<Facet> =
        bands_of_ring(&ring, floor).into_iter().flat_map(|band| band.facets).collect();
    facets.push(Facet { corners: flat, plane: Plane::level(depth), part: SolidPart::Pad });
    for facet in &mut facets {
        facet.part = SolidPart::Pad;
    }
    facets
}

/// A round pad as a polygon as large as the circle, and the run of its slope: shortened by as much
/// as the polygon's flats lie inside the circle, so that every level is as large as its circle too.
fn round_pad(at: Point, diameter: Length, run: Length) -> (Vec<Point>, f64) {
    let corners = f64::from(ROUND_CORNERS);
    let flats = (PI / (corners * exact_math::tan(PI / corners))).sqrt();
    let radius = diameter.to_inches() / 2.0 * flats / exact_math::cos(PI / corners);
    let outline = (0..ROUND_CORNERS)
        .map(|corner| at + Vector::from_angle(TAU * f64::from(corner) / corners) * radius)
        .collect();
    (outline, run.to_inches() * flats)
}
