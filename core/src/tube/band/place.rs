//! An edge band among what else lies: its circuits taken in, and the floor left for the rest of
//! the zone.

use super::{BandLayout, BandTask, outside_wall, route_band, rules_of};
use crate::effort::{Budget, Cancel, Cancelled};
use crate::geometry::clip::difference;
use crate::geometry::{Point, Polygon};
use crate::job::Job;
use crate::job::heating::{EdgeBand, Manifold, Zone};
use crate::joints::MovingJoints;
use crate::plan::Plan;
use crate::tube::clear_area::{ClearArea, clear_area};
use crate::tube::limits;
use crate::tube::one_zone::{crowded, manifold_of, routed_zone, stands_in, take_in};
use crate::tube::ports::PortLine;
use crate::tube::route::Layout;
use crate::tube::{RoutedZone, Tube, TubeFault, TubeFaultKind};
use crate::units::Length;

/// How full circuits are planned, as a share of the limit.
const FULL: f64 = 0.965;
/// Less floor than this many square spacings within a band holds no circuit.
const LEAST_WITHIN: f64 = 16.0;
/// What may be tried for a band, in steps as for a floor.
const MOST_TRIED: u64 = 600_000;
/// Circuits more uneven than this are pointed out.
const EVEN: f64 = 0.10;

/// What an edge band leaves.
#[derive(Clone, Debug, Default)]
pub struct AroundBand {
    /// Floor that the band serves.
    pub served: Vec<Polygon>,
    /// Circuits of the band.
    pub circuits: u32,
    /// Floor of the zone without the band is too small for circuits of its own.
    pub is_all: bool,
    /// The band as a routed area; none where none is laid.
    zone: Option<(Zone, Vec<Polygon>)>,
}

impl AroundBand {
    /// The band as a routed area, once all tube of the zone lies.
    #[must_use]
    pub fn routed(&self, tube: &Tube) -> Option<RoutedZone> {
        let (zone, heated) = self.zone.as_ref()?;
        let area = ClearArea { heated: heated.clone(), ..ClearArea::default() };
        let name = format!("{}, edge band", zone.name);
        Some(RoutedZone { name, is_edge_band: true, ..routed_zone(zone, &area, tube) })
    }

    /// The zone as its other floor is routed: with the circuits that the band leaves of those
    /// wanted.
    #[must_use]
    pub fn rest_of(&self, zone: &Zone) -> Zone {
        let left = |wanted: u32| wanted.saturating_sub(self.circuits).max(1);
        Zone { circuits: zone.circuits.map(left), ..zone.clone() }
    }
}

/// Lays the edge band of a zone, where it wants one, into `tube`.
///
/// # Errors
/// [`Cancelled`] when nobody waits for it any more.
pub fn lay_band(
    (job, plan, moving): (&Job, &Plan, &MovingJoints),
    zone: &Zone,
    tube: &mut Tube,
    cancel: &Cancel,
) -> Result<AroundBand, Cancelled> {
    let Some(band) = zone.edge_band.filter(|band| is_closer(*band, zone)) else {
        return Ok(AroundBand::default());
    };
    let area = clear_area(job, plan, zone, moving, (0.0, &tube.circuits));
    let Some(manifold) = manifold_of(job, zone, &area.floor) else {
        return Ok(AroundBand::default());
    };
    let Some(ports) = PortLine::of(manifold, &job.heating.tube, std::slice::from_ref(&plan.region))
    else {
        return Ok(AroundBand::default());
    };
    let wall = outside_wall(&area.floor, &plan.region);
    let reserve = room_for_rest(job, zone, (&area, ports), wall * band.width.to_inches());
    let laid = &tube.circuits;
    let task = BandTask { job, plan, moving, laid, zone, band, ports, reserve };
    let mut budget = Budget::new(MOST_TRIED, cancel.clone());
    let layout = route_band(task, &mut budget)?;
    let rules = rules_of(task, layout.band.spacing);
    tube.bands.push(layout.band);
    if budget.is_spent() {
        let fault = TubeFault { zone: zone.id, at: manifold.at, kind: TubeFaultKind::CutShort };
        tube.faults.push(fault);
    }
    if layout.circuits.is_empty() {
        return Ok(AroundBand::default());
    }
    Ok(taken_in(layout, (zone, manifold, &rules), &area, tube))
}

fn is_closer(band: EdgeBand, zone: &Zone) -> bool {
    band.spacing.to_inches() < zone.spacing.to_inches() - 0.01 && band.width.to_inches() > 0.0
}

/// Half the room that ports of the rest of a zone take at its manifold, with their distance from
/// the band's, which takes `band` square inches of floor; none where they stand elsewhere.
fn room_for_rest(job: &Job, zone: &Zone, (area, ports): (&ClearArea, PortLine), band: f64) -> f64 {
    if !stands_in(ports, &area.floor) {
        return 0.0;
    }
    let spacing = zone.spacing.to_inches().max(2.0);
    let heated: f64 = area.heated.iter().map(Polygon::area).sum();
    let rest = (heated - band).max(0.0);
    let limit = FULL * limits::longest_circuit(&job.heating.tube);
    let circuits = (rest / spacing / limit.max(1.0)).ceil() + 1.0;
    (circuits - 0.5) * ports.spacing + 0.82 * spacing + 1.0
}

fn taken_in(
    layout: BandLayout,
    (zone, manifold, rules): (&Zone, &Manifold, &crate::tube::rules::Rules),
    area: &ClearArea,
    tube: &mut Tube,
) -> AroundBand {
    let fault = |kind, at: Point| TubeFault { zone: zone.id, at, kind };
    let plain = Layout { circuits: layout.circuits, ..Layout::default() };
    if layout.imbalance > EVEN {
        tube.faults.push(fault(TubeFaultKind::Unbalanced, manifold.at));
    }
    if let Some(&at) = crowded(&plain, rules).first() {
        tube.faults.push(fault(TubeFaultKind::TightBend, at));
    }
    let first = tube.circuits.len();
    take_in(plain, (zone, manifold), rules, tube);
    for circuit in tube.circuits.iter_mut().skip(first) {
        circuit.is_edge_band = true;
    }
    let spacing = zone.spacing.to_inches().max(2.0);
    let within = area.clone().without(&layout.served, spacing).heated;
    let is_all = within.iter().map(Polygon::area).sum::<f64>() < LEAST_WITHIN * spacing * spacing;
    let heated = if is_all { area.heated.clone() } else { difference(&area.heated, &within) };
    AroundBand {
        served: layout.served,
        circuits: u32::try_from(tube.circuits.len() - first).unwrap_or(u32::MAX),
        is_all,
        zone: Some((Zone { spacing: Length::inches(layout.band.spacing), ..zone.clone() }, heated)),
    }
}
