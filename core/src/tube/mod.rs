//! Heating tube: zones, circuits, leaders, coils.
//!
//! Question: how is tube laid so that every circuit is within its length and none crosses?
//! Method: a circuit that leaves its manifold and comes back to it without crossing encloses a
//! ribbon of floor. So the floor is cut into cells of two lanes each way, the cells are shared out
//! among circuits as trees that start at the manifold, and each tube runs round its tree: tubes of
//! different trees cannot meet. A tree shaped like a comb gives a serpentine, one that winds inward
//! a counterflow spiral (spanning tree coverage: Gabriely and Rimon 2001). Leaders fan out in
//! nested Ls. Every result passes `check` before it is given out.

mod bends;
mod cells;
mod check;
mod clear_area;
pub mod coils;
mod cover;
mod divide;
mod fan;
mod field;
mod frame;
pub mod hydraulics;
mod lanes;
pub mod limits;
mod ports;
mod random;
mod route;
mod tree;
mod walk;
mod zone;

use crate::concrete::Concrete;
use crate::effort::{Cancel, Cancelled};
use crate::geometry::{Point, Polygon, Segment};
use crate::job::Job;
use crate::job::heating::{Manifold, TubePattern, Zone};
use crate::job::ids::{ManifoldId, ZoneId};
use crate::joints::MovingJoints;
use crate::plan::Plan;
use ports::PortLine;
use route::Rules;
use tree::Look;

/// Tube of a job, as routed.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Tube {
    /// Circuits in port order, zone by zone.
    pub circuits: Vec<Circuit>,
    /// The clear area of each zone that was routed: zone less edges, keep-outs and clearances.
    pub zones: Vec<RoutedZone>,
    /// What could not be done, and where.
    pub faults: Vec<TubeFault>,
}

/// A zone as routed.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct RoutedZone {
    /// Its id.
    pub id: ZoneId,
    /// The area that should be heated: zone less clearances and keep-outs.
    pub area: Vec<Polygon>,
    /// The same as a number, square inches.
    pub heated_area: f64,
    /// Spacing, inches.
    pub spacing: f64,
    /// The largest circle without tube: its centre and radius, inches.
    pub widest_gap: Option<(Point, f64)>,
    /// Share of the heated area within half the spacing of a tube.
    pub covered: f64,
}

/// One circuit: a single tube from supply port to return port.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Circuit {
    /// Its name on sheets: `M1-1`.
    pub name: String,
    /// Which circuit of its zone, from 0.
    pub number: u32,
    /// The zone it heats.
    pub zone: ZoneId,
    /// The manifold it hangs on.
    pub manifold: ManifoldId,
    /// Its course from supply port to return port: lines and true arcs.
    pub path: Vec<Segment>,
    /// True length in the slab, inches.
    pub length: f64,
    /// The part of the length that is leader: from the manifold to the zone and back, inches.
    pub leader: f64,
    /// Longest allowed, inches.
    pub limit: f64,
    /// Least bend radius found, inches.
    pub least_radius: f64,
    /// The user has fixed it.
    pub is_pinned: bool,
}

impl Circuit {
    /// The course as points, arcs flattened to `chord_tolerance` inches.
    #[must_use]
    pub fn points(&self, chord_tolerance: f64) -> Vec<Point> {
        let start = self.path.first().map(|segment| segment.start());
        start
            .into_iter()
            .chain(self.path.iter().flat_map(|segment| segment.flatten(chord_tolerance)))
            .collect()
    }
}

/// What routing could not do.
#[derive(Clone, Debug, PartialEq)]
pub struct TubeFault {
    /// The zone.
    pub zone: ZoneId,
    /// Where.
    pub at: Point,
    /// What.
    pub kind: TubeFaultKind,
}

/// Why a part of a zone has no tube, or not as asked.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum TubeFaultKind {
    /// The zone has no manifold.
    NoManifold,
    /// The manifold stands where no tube can start.
    ManifoldBlocked,
    /// A part of the zone cannot be reached: every way to it is too narrow.
    OutOfReach,
    /// Circuits could not be held within the length limit.
    TooLong,
    /// Circuits could not be balanced within 10 per cent.
    Unbalanced,
    /// The spacing is too close for the tube's bend radius.
    TightBend,
}

/// Routes the tube of a job.
///
/// # Errors
/// [`Cancelled`] when nobody waits for it any more.
pub fn route_circuits(
    job: &Job,
    plan: &Plan,
    _concrete: &Concrete,
    moving: &MovingJoints,
    cancel: &Cancel,
) -> Result<Tube, Cancelled> {
    let mut tube = Tube::default();
    if !job.heating.is_heated || plan.is_empty() {
        return Ok(tube);
    }
    for zone in &job.heating.zones {
        route_one_zone(job, plan, zone, moving, &mut tube, cancel)?;
    }
    Ok(tube)
}

fn route_one_zone(
    job: &Job,
    plan: &Plan,
    zone: &Zone,
    moving: &MovingJoints,
    tube: &mut Tube,
    cancel: &Cancel,
) -> Result<(), Cancelled> {
    let area = clear_area::clear_area(job, plan, zone, moving);
    let heated_area: f64 = area.heated.iter().map(Polygon::area).sum();
    let Some(at) = area.heated.first().and_then(|polygon| polygon.outer.first()).copied() else {
        return Ok(());
    };
    let spacing = zone.spacing.to_inches().max(2.0);
    let fault = |kind, at| TubeFault { zone: zone.id, at, kind };
    let Some(manifold) = manifold_of(job, zone, &area.floor) else {
        tube.faults.push(fault(TubeFaultKind::NoManifold, at));
        return Ok(());
    };
    let choice = &job.heating.tube;
    let rules = Rules {
        spacing,
        radius: limits::least_bend_radius(choice),
        limit: limits::longest_circuit(choice),
        edge: choice.edge_distance.to_inches(),
        port_spacing: manifold.port_spacing.to_inches().max(1.0),
        look: if zone.pattern == TubePattern::Counterflow { Look::Spiral } else { Look::FewBends },
    };
    let layout = match PortLine::of(manifold, &area.floor) {
        Some(ports) => zone::route_zone(&area, ports, &rules, zone.circuits, cancel)?,
        None => None,
    };
    let mut samples = cover::Samples::new(&area.heated, sample_step(heated_area), 4.0 * spacing);
    let mut routed = RoutedZone {
        id: zone.id,
        area: area.heated,
        heated_area,
        spacing,
        ..RoutedZone::default()
    };
    match layout {
        Some(layout) if is_sound(&layout, rules.limit) => {
            if layout.imbalance > 0.10 {
                tube.faults.push(fault(TubeFaultKind::Unbalanced, manifold.at));
            }
            for (number, found) in (0..).zip(layout.circuits) {
                if let Some(samples) = &mut samples {
                    samples.lay(&found.path);
                }
                tube.circuits.push(circuit(found, number, zone, manifold, &rules));
            }
        }
        Some(layout) if layout.breaches.is_empty() => {
            tube.faults.push(fault(TubeFaultKind::TooLong, manifold.at));
        }
        _ => tube.faults.push(fault(TubeFaultKind::ManifoldBlocked, manifold.at)),
    }
    if let Some(samples) = samples {
        let cover = samples.cover(spacing);
        routed.widest_gap = cover.widest_gap;
        routed.covered = cover.half;
    }
    tube.zones.push(routed);
    Ok(())
}

/// Nothing that could not be laid is ever given out.
fn is_sound(layout: &route::Layout, limit: f64) -> bool {
    layout.breaches.is_empty() && layout.circuits.iter().all(|found| found.length <= limit)
}

/// Samples close enough for a fair figure, and not too many on a large floor.
fn sample_step(area: f64) -> f64 {
    (area.max(0.0) / 60_000.0).sqrt().clamp(1.5, 12.0)
}

fn circuit(
    found: route::Found,
    number: u32,
    zone: &Zone,
    manifold: &Manifold,
    rules: &Rules,
) -> Circuit {
    let least_radius = found
        .path
        .iter()
        .filter_map(|segment| match segment {
            Segment::Arc(arc) => arc.circle().map(|circle| circle.radius),
            Segment::Line(..) => None,
        })
        .fold(f64::INFINITY, f64::min);
    Circuit {
        name: format!("{}-{}", manifold.name, number + 1),
        number,
        zone: zone.id,
        manifold: manifold.id,
        path: found.path,
        length: found.length,
        leader: found.leaders.0 + found.leaders.1,
        limit: rules.limit,
        least_radius,
        is_pinned: false,
    }
}

/// The manifold a zone names, else the one nearest to it.
fn manifold_of<'a>(job: &'a Job, zone: &Zone, floor: &[Polygon]) -> Option<&'a Manifold> {
    let manifolds = &job.heating.manifolds;
    let named = zone.manifold.and_then(|id| manifolds.iter().find(|item| item.id == id));
    let distance = |at: Point| {
        let is_inside = floor.iter().any(|polygon| polygon.contains(at));
        let to_side = floor
            .iter()
            .map(|polygon| crate::geometry::nearest::distance_to_sides(at, polygon))
            .fold(f64::INFINITY, f64::min);
        if is_inside { 0.0 } else { to_side }
    };
    named.or_else(|| manifolds.iter().min_by(|a, b| distance(a.at).total_cmp(&distance(b.at))))
}
