//! Where foam lies.
//!
//! Question: which part of the plan does a layer of floor foam cover? The *foam area* is the slab
//! (outline less openings) less
//! - edge foam that stands inside the form, as thick as the job lets it be at doors;
//! - the band of thickened edges: flat bottom and slope, measured from the outer face, mitred at
//!   corners; thickened strips and pads likewise with their slopes;
//! - the band at a door over which foam stops short;
//! - everything farther than the given width from the outline, for perimeter coverage;
//! - everything outside the zones, for coverage by zones.
//!
//! With plain edges and no edge foam it is the slab. Pipes and columns are not taken off: they are
//! holes in the pieces. A layer that goes under the edges covers flat bottoms and slopes as
//! surfaces of their own; see [`super::under_edges`].

use crate::geometry::{Point, Polygon, Vector, clip, nearest, offset};
use crate::job::Job;
use crate::job::build_up::{Coverage, FoamLayer};
use crate::job::edges::EdgeProfile;
use crate::plan::{Plan, RimId};

/// A straight piece of the slab's rim with how far from it the floor foam stops.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(super) struct Margin {
    /// Its start, slab on the left.
    pub from: Point,
    /// Its end.
    pub to: Point,
    /// How far from it, inches.
    pub depth: f64,
}

/// The foam area of a layer, in plan.
#[must_use]
pub(super) fn foam_area(job: &Job, plan: &Plan, layer: &FoamLayer) -> Vec<Polygon> {
    let slab = std::slice::from_ref(&plan.region);
    if plan.is_empty() {
        return Vec::new();
    }
    let mut area = less_margins(slab, &margins(plan, |id| margin_depth(job, id)));
    let thickenings = thickened_parts(job);
    if !thickenings.is_empty() {
        area = clip::difference(&area, &clip::union_all(&thickenings));
    }
    match &layer.coverage {
        Coverage::Full => area,
        Coverage::Perimeter(width) => {
            let outline = [Polygon::new(plan.region.outer.clone(), Vec::new())];
            clip::difference(&area, &offset::inset(&outline, width.to_inches()))
        }
        Coverage::Zones(_) => clip::intersection(&area, &zones(&layer.coverage)),
    }
}

/// What the zones of a coverage cover together, in plan.
#[must_use]
pub(crate) fn zones(coverage: &Coverage) -> Vec<Polygon> {
    let zones: Vec<Polygon> =
        coverage.zones().map(|ring| Polygon::new(ring.clone(), Vec::new())).collect();
    clip::union_all(&zones)
}

/// How far floor foam stays from the outer face of a side.
fn margin_depth(job: &Job, id: RimId) -> f64 {
    let edges = &job.edges;
    let profile = match id {
        RimId::Side(side) => edges.of_side(side),
        RimId::Opening(opening) => edges.of_opening(opening),
    };
    let band = profile
        .thickened()
        .map_or(0.0, |edge| edge.flat_width.to_inches() + edge.haunch_run.to_inches());
    let door = match profile {
        EdgeProfile::Threshold(threshold) => threshold.foam_stops_short.to_inches(),
        _ => 0.0,
    };
    let foam = match id {
        RimId::Side(_) => edges.edge_foam.inside_along(&profile),
        RimId::Opening(_) => 0.0,
    };
    band.max(door).max(foam).max(0.0)
}

/// The slab's rims as straight pieces, each with the depth its side asks for.
pub(super) fn margins(plan: &Plan, depth_of: impl Fn(RimId) -> f64) -> Vec<Vec<Margin>> {
    let mut rings: Vec<(Option<RimId>, Vec<Margin>)> = Vec::new();
    for side in &plan.rim {
        let depth = depth_of(side.id);
        // All sides of the outline make one ring, each opening one of its own.
        let owner = match side.id {
            RimId::Side(_) => None,
            opening @ RimId::Opening(_) => Some(opening),
        };
        if rings.last().is_none_or(|(last, _)| *last != owner) {
            rings.push((owner, Vec::new()));
        }
        let mut from = side.segment.start();
        for to in side.segment.flatten(crate::geometry::tolerance::ARC_CHORD_IN) {
            if let Some((_, ring)) = rings.last_mut()
                && from.distance(to) > 1e-6
            {
                ring.push(Margin { from, to, depth });
            }
            from = to;
        }
    }
    rings.into_iter().map(|(_, ring)| ring).collect()
}

/// The slab less a band along each side, mitred where two meet.
fn less_margins(slab: &[Polygon], rings: &[Vec<Margin>]) -> Vec<Polygon> {
    let depths = || rings.iter().flatten().map(|margin| margin.depth);
    let least = depths().fold(f64::INFINITY, f64::min);
    let most = depths().fold(0.0, f64::max);
    if most <= 0.0 {
        return slab.to_vec();
    }
    if most - least < 1e-9 {
        return offset::inset(slab, most);
    }
    let bands: Vec<Polygon> = rings.iter().flat_map(|ring| bands_of(ring)).collect();
    clip::difference(slab, &clip::union_all(&bands))
}

/// One quadrilateral a side, its inner corners where the inner lines of neighbours meet.
fn bands_of(ring: &[Margin]) -> Vec<Polygon> {
    ring_bands(ring).into_iter().flatten().collect()
}

/// The band along each side of a ring, `None` where a side has none.
pub(super) fn ring_bands(ring: &[Margin]) -> Vec<Option<Polygon>> {
    let count = ring.len();
    let around = |index: usize| ring.get(index % count.max(1)).copied();
    let mut bands = Vec::new();
    for (index, margin) in ring.iter().enumerate() {
        let neighbours = around(index + count - 1).zip(around(index + 1));
        let inward = (margin.to - margin.from).unit().map(Vector::left);
        let (Some((before, after)), Some(inward), true) = (neighbours, inward, margin.depth > 0.0)
        else {
            bands.push(None);
            continue;
        };
        let square = [margin.from + inward * margin.depth, margin.to + inward * margin.depth];
        let start = inner_corner(&before, margin).unwrap_or(square[0]);
        let end = inner_corner(margin, &after).unwrap_or(square[1]);
        let along = margin.to - margin.from;
        let quad = [margin.from, margin.to, end, start];
        // Where a side is too short for its mitres the band runs square, and its neighbours'
        // bands close the corner.
        let is_crossed = (end - start).dot(along) <= 0.0;
        let shape = if is_crossed { [margin.from, margin.to, square[1], square[0]] } else { quad };
        bands.push(Some(Polygon::new(shape.to_vec(), Vec::new())));
    }
    bands
}

/// Where the inner lines of two sides that follow each other meet.
fn inner_corner(before: &Margin, after: &Margin) -> Option<Point> {
    let line = |margin: &Margin| {
        let inward = (margin.to - margin.from).unit()?.left() * margin.depth;
        Some((margin.from + inward, margin.to + inward))
    };
    let (a, b) = (line(before)?, line(after)?);
    let corner = nearest::meeting_of_lines(a, b)?;
    // Nearly straight corners between unequal depths would meet far away: there the bands end
    // square.
    let reach = 4.0 * before.depth.max(after.depth) + 1.0;
    (corner.distance(after.from) <= reach).then_some(corner)
}

/// Flat bottoms with slopes of thickened strips and pads, grown by their slopes.
fn thickened_parts(job: &Job) -> Vec<Polygon> {
    let mut parts = Vec::new();
    for strip in &job.thickenings.strips {
        let half = strip.flat_width.to_inches() / 2.0;
        let run = strip.haunch_run.to_inches().max(0.0);
        for pair in strip.line.windows(2) {
            if let [from, to] = pair
                && let Some(along) = (*to - *from).unit()
            {
                let (side, end) = (along.left() * (half + run), along * run);
                let ring = vec![
                    *from - side - end,
                    *to - side + end,
                    *to + side + end,
                    *from + side - end,
                ];
                parts.push(Polygon::new(ring, Vec::new()));
            }
        }
    }
    for pad in &job.thickenings.pads {
        let flat = Polygon::new(pad.shape.outline(pad.at), Vec::new());
        let run = pad.haunch_run.to_inches();
        if run > 0.0 {
            parts.extend(offset::inset(std::slice::from_ref(&flat), -run));
        } else {
            parts.push(flat);
        }
    }
    parts.retain(|part| part.area() > 0.0 && part.outer.iter().all(|point| point.is_finite()));
    parts
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::job::edges::{EdgeFoam, ThickenedEdge, Threshold};
    use crate::units::Length;
    use std::sync::Arc;

    fn house() -> Job {
        Job::from_corners(&[
            (Point::feet(0.0, 0.0), None),
            (Point::feet(38.0, 0.0), None),
            (Point::feet(38.0, 26.0), None),
            (Point::feet(0.0, 26.0), None),
        ])
    }

    fn feet2(job: &Job) -> f64 {
        let area = foam_area(job, &Plan::of(job), &FoamLayer::default());
        area.iter().map(Polygon::area).sum::<f64>() / 144.0
    }

    #[test]
    fn plain_edges_leave_the_slab_and_thickened_ones_their_band() {
        let mut job = house();
        let band = 20.0 / 12.0;
        assert!((feet2(&job) - (38.0 - 2.0 * band) * (26.0 - 2.0 * band)).abs() < 1e-4);
        Arc::make_mut(&mut job.edges).usual = EdgeProfile::Plain;
        let foam = 2.0 / 12.0;
        assert!((feet2(&job) - (38.0 - 2.0 * foam) * (26.0 - 2.0 * foam)).abs() < 1e-4);
        Arc::make_mut(&mut job.edges).edge_foam =
            EdgeFoam { thickness: Length::ZERO, ..EdgeFoam::default() };
        assert!((feet2(&job) - 988.0).abs() < 1e-9);
    }

    #[test]
    fn zones_cover_what_they_share_with_the_floor_once() {
        let mut job = house();
        let edges = Arc::make_mut(&mut job.edges);
        edges.usual = EdgeProfile::Plain;
        edges.edge_foam.thickness = Length::ZERO;
        let zone = |low: (f64, f64), high: (f64, f64)| {
            Polygon::rectangle(Point::feet(low.0, low.1), Point::feet(high.0, high.1)).outer
        };
        // Ten feet of which four lie off the slab, and eight more that lap it by two, drawn the
        // other way round: twelve are covered.
        let mut other = zone((4.0, 0.0), (12.0, 8.0));
        other.reverse();
        let coverage = Coverage::Zones(vec![zone((-4.0, 0.0), (6.0, 8.0)), other]);
        let layer = FoamLayer { coverage, ..FoamLayer::default() };
        let area = foam_area(&job, &Plan::of(&job), &layer);
        let feet = area.iter().map(Polygon::area).sum::<f64>() / 144.0;
        assert!((feet - 12.0 * 8.0).abs() < 1e-6, "{feet}");
        let none = FoamLayer { coverage: Coverage::Zones(Vec::new()), ..FoamLayer::default() };
        assert!(foam_area(&job, &Plan::of(&job), &none).is_empty());
    }

    #[test]
    fn sides_of_their_own_meet_on_the_mitre() {
        let mut job = house();
        let side = job.outline.sides[0].id;
        let edges = Arc::make_mut(&mut job.edges);
        edges.usual = EdgeProfile::Plain;
        edges.edge_foam.thickness = Length::ZERO;
        edges.by_side.insert(side, EdgeProfile::Thickened(ThickenedEdge::default()));
        assert!((feet2(&job) - (988.0 - 38.0 * 20.0 / 12.0)).abs() < 1e-3);
        let door = Threshold { thickened: None, ..Threshold::default() };
        let edges = Arc::make_mut(&mut job.edges);
        edges.by_side.insert(side, EdgeProfile::Threshold(door));
        assert!((feet2(&job) - (988.0 - 38.0)).abs() < 1e-3);
    }
}
