//! Thickened edges in closed form: at every depth the floor between them is the outline with each
//! side moved in by its own amount, and moved lines meet on the mitre.
//!
//! Between two depths at which an edge begins, the moved corners go along straight lines with
//! depth, so the area is a quadratic and Simpson's rule over each stretch is exact. This holds
//! only while the moved outline keeps all its sides and does not meet itself or another ring;
//! otherwise there is no answer here.

use slabloom_core::geometry::polygon::signed_area;
use slabloom_core::geometry::{Point, nearest};
use slabloom_core::job::Job;
use slabloom_core::plan::{Plan, RimId};

/// Depth, flat, run of a side's edge; `None` where it is plain.
type Edge = Option<(f64, f64, f64)>;

/// A ring with the edge of each side, the slab on the left.
pub struct EdgedRing {
    pub corners: Vec<Point>,
    pub edges: Vec<Edge>,
}

/// The rings of a job of straight sides.
pub fn rings(job: &Job, plan: &Plan) -> Vec<EdgedRing> {
    let floor = job.build_up.floor_thickness.to_inches();
    let edge_of = |id: RimId| {
        let profile = match id {
            RimId::Side(side) => job.edges.of_side(side),
            RimId::Opening(opening) => job.edges.of_opening(opening),
        };
        profile
            .thickened()
            .map(|edge| {
                (
                    edge.total_depth.to_inches(),
                    edge.flat_width.to_inches(),
                    edge.haunch_run.to_inches(),
                )
            })
            .filter(|edge| edge.0 > floor && edge.1 + edge.2 > 0.0)
    };
    let count = plan.outline.segments.len();
    let outline = EdgedRing {
        corners: plan.rim[..count].iter().map(|side| side.segment.start()).collect(),
        edges: plan.rim[..count].iter().map(|side| edge_of(side.id)).collect(),
    };
    let openings = plan.openings.iter().map(|(id, corners)| EdgedRing {
        corners: corners.clone(),
        edges: vec![edge_of(RimId::Opening(*id)); corners.len()],
    });
    std::iter::once(outline).chain(openings).collect()
}

/// How far a side's inner line stands off at a depth within the stretch that ends at `low`.
fn moved_in(edge: Edge, floor: f64, depth: f64, low: f64) -> f64 {
    match edge {
        Some((total, flat, run)) if total >= low => flat + run * (total - depth) / (total - floor),
        _ => 0.0,
    }
}

/// The ring with every side moved in; `None` when a side shrank to nothing or a corner is too
/// nearly straight to have a mitre.
pub fn moved_ring(ring: &EdgedRing, offsets: &[f64]) -> Option<Vec<Point>> {
    let n = ring.corners.len();
    let side = |i: usize| {
        let (a, b) = (ring.corners[i % n], ring.corners[(i + 1) % n]);
        let step = (b - a).unit()?;
        let off = step.left() * offsets[i % n];
        Some((a + off, b + off, step))
    };
    let mut moved = Vec::with_capacity(n);
    for i in 0..n {
        let (before, here) = (side(i + n - 1)?, side(i)?);
        let turn = before.2.cross(here.2);
        if turn.abs() < 0.1 {
            return None;
        }
        let along = (here.0 - before.0).cross(here.2) / turn;
        moved.push(before.0 + before.2 * along);
    }
    let keeps_sides = (0..n).all(|i| {
        let step = side(i).map(|side| side.2);
        step.is_some_and(|step| step.dot(moved[(i + 1) % n] - moved[i]) > 1e-6)
    });
    keeps_sides.then_some(moved)
}

/// Whether no two sides of the rings cross, neighbours apart.
fn is_clear(rings: &[Vec<Point>]) -> bool {
    let sides: Vec<(usize, usize, usize, Point, Point)> = rings
        .iter()
        .enumerate()
        .flat_map(|(r, ring)| {
            let n = ring.len();
            (0..n).map(move |i| (r, i, n, ring[i], ring[(i + 1) % n]))
        })
        .collect();
    sides.iter().enumerate().all(|(at, one)| {
        sides[at + 1..].iter().all(|other| {
            let apart = other.1.abs_diff(one.1);
            let neighbours = one.0 == other.0 && (apart == 1 || apart + 1 == one.2);
            neighbours || nearest::crossing((one.3, one.4), (other.3, other.4)).is_none()
        })
    })
}

/// The rings at a depth within the stretch that ends at `low`, sides moved in.
pub fn rings_at(rings: &[EdgedRing], floor: f64, depth: f64, low: f64) -> Option<Vec<Vec<Point>>> {
    let moved: Option<Vec<Vec<Point>>> = rings
        .iter()
        .map(|ring| {
            let offsets: Vec<f64> =
                ring.edges.iter().map(|&edge| moved_in(edge, floor, depth, low)).collect();
            moved_ring(ring, &offsets)
        })
        .collect();
    moved.filter(|rings| is_clear(rings))
}

/// The depths between which the moved rings go along straight lines, from the floor down.
pub fn stretches(rings: &[EdgedRing], floor: f64) -> Vec<(f64, f64)> {
    let mut depths: Vec<f64> =
        rings.iter().flat_map(|ring| &ring.edges).flatten().map(|edge| edge.0).collect();
    depths.push(floor);
    depths.sort_by(f64::total_cmp);
    depths.dedup();
    depths.windows(2).map(|pair| (pair[0], pair[1])).collect()
}

/// Volume of the slab with its edges, in cubic inches; `None` when the closed form does not hold.
pub fn edged_volume(job: &Job, plan: &Plan) -> Option<f64> {
    let floor = job.build_up.floor_thickness.to_inches();
    let rings = rings(job, plan);
    let area = |rings: &[Vec<Point>]| rings.iter().map(|ring| signed_area(ring)).sum::<f64>();
    let plain: Vec<Vec<Point>> = rings.iter().map(|ring| ring.corners.clone()).collect();
    let whole = area(&plain);
    let mut volume = floor * whole;
    for (high, low) in stretches(&rings, floor) {
        let mut areas = [0.0; 3];
        for (ring_area, depth) in areas.iter_mut().zip([high, f64::midpoint(high, low), low]) {
            *ring_area = whole - area(&rings_at(&rings, floor, depth, low)?);
        }
        volume += (low - high) / 6.0 * (areas[0] + 4.0 * areas[1] + areas[2]);
    }
    Some(volume)
}
