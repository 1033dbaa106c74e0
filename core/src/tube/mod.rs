//! Heating tube: zones, circuits, leaders, coils.
//!
//! Question: how is tube laid so that every circuit is within its length and none crosses?
//! Method: a circuit that leaves its manifold and comes back to it without crossing encloses a
//! ribbon of floor. So the floor is cut into cells of two lanes each way, the cells are shared out
//! among circuits as trees that start at the manifold, and each tube runs round its tree: tubes of
//! different trees cannot meet. A tree shaped like a comb gives a serpentine, one that winds inward
//! a counterflow spiral (spanning tree coverage: Gabriely and Rimon 2001). Leaders fan out in
//! nested Ls; out of a narrow arm some run on together first (`mouth`). An edge band is laid first,
//! as circuits of its own that follow the walls (`band`).
//! Floor that still lies bare beside a run is filled from it (`fill`, `pocket`), and bends are made
//! less where the tube has room for it at last (`swing`).
//! Every result passes `check` before it is given out.

mod away;
mod band;
mod bends;
mod blocks;
mod bundle;
mod cells;
mod check;
mod clear_area;
pub mod coils;
mod cold_wall;
pub mod corridor;
mod cover;
mod demand;
mod divide;
mod draw_out;
mod fan;
mod field;
mod fill;
mod forest;
mod frame;
mod home;
pub mod hydraulics;
mod lanes;
mod lean;
pub mod limits;
mod mouth;
mod one_zone;
mod pair;
mod pinned;
mod pocket;
mod ports;
mod random;
mod raster;
mod rooted;
mod route;
mod rules;
mod splay;
mod stretch;
mod swing;
mod tree;
mod turn;
mod view;
mod walk;
mod zone;

pub use pinned::pinned_of;

use crate::concrete::Concrete;
use crate::effort::{Cancel, Cancelled};
use crate::geometry::{Point, Polygon, Segment};
use crate::job::Job;
use crate::job::ids::{ManifoldId, ZoneId};
use crate::joints::MovingJoints;
use crate::plan::Plan;

/// Tube of a job, as routed.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Tube {
    /// Circuits in port order, zone by zone.
    pub circuits: Vec<Circuit>,
    /// The clear area of each zone that was routed: zone less edges, keep-outs and clearances.
    pub zones: Vec<RoutedZone>,
    /// Edge bands that were asked for, as laid.
    pub bands: Vec<LaidBand>,
    /// Every manifold with the floor that its leaders take.
    pub manifolds: Vec<RoutedManifold>,
    /// What could not be done, and where.
    pub faults: Vec<TubeFault>,
}

/// A manifold as its circuits hang on it.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct RoutedManifold {
    /// Its id.
    pub id: ManifoldId,
    /// What it is called.
    pub name: String,
    /// The middle of its port line.
    pub at: Point,
    /// Where its leaders run, closer together than any zone is spaced.
    pub leader_corridor: Vec<Polygon>,
    /// Where so many of them run side by side that the floor gets warmer.
    pub crowd: Option<LeaderCrowd>,
}

/// Leaders that crowd.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct LeaderCrowd {
    /// How many run there side by side at most.
    pub leaders: usize,
    /// Distance between them, inches.
    pub pitch: f64,
    /// Over what width at most, inches.
    pub width: f64,
    /// The middle of the place.
    pub at: Point,
    /// The place.
    pub areas: Vec<Polygon>,
}

/// A zone as routed.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct RoutedZone {
    /// Its id.
    pub id: ZoneId,
    /// What it is called.
    pub name: String,
    /// The area that should be heated: zone less clearances and keep-outs.
    pub area: Vec<Polygon>,
    /// The same as a number, square inches.
    pub heated_area: f64,
    /// Spacing asked for, inches.
    pub spacing: f64,
    /// Spacing it is laid at, inches: wider where it could not be laid as asked.
    pub laid_spacing: f64,
    /// The largest circle without tube: its centre and radius, inches.
    pub widest_gap: Option<(Point, f64)>,
    /// Share of the heated area within half the spacing of a tube.
    pub covered: f64,
    /// It is the closer band along the outside walls of its zone, whose other floor stands under
    /// the same id.
    pub is_edge_band: bool,
}

/// An edge band as laid.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub struct LaidBand {
    /// The zone.
    pub zone: ZoneId,
    /// Width and spacing asked for, inches.
    pub asked: (f64, f64),
    /// How wide it is, from the slab edge to half a spacing beyond the last run, inches.
    pub width: f64,
    /// Spacing it is laid at, inches.
    pub spacing: f64,
    /// Outside wall of the zone, inches.
    pub wall: f64,
    /// How much of it the band lies along, inches.
    pub along: f64,
    /// Why it is not all that was asked for.
    pub short: Option<BandShort>,
}

impl LaidBand {
    /// The same where nothing of it is laid after all.
    #[must_use]
    pub fn none_laid(self) -> Self {
        Self { width: 0.0, along: 0.0, short: Some(BandShort::Blocked), ..self }
    }
}

/// Why an edge band is not laid as asked.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum BandShort {
    /// The zone has no outside wall.
    NoOutsideWall,
    /// It is narrower than two runs, the least that can be laid.
    TooNarrow,
    /// The spacing is too close for the tube's bend radius.
    TightBend,
    /// The floor is too narrow for so wide a band.
    NoRoom,
    /// Something stands in its way, or no leaders reach it.
    Blocked,
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
    /// The leader at the supply end and at the return end, inches; together they are `leader`.
    pub leader_ends: (f64, f64),
    /// Longest allowed, inches.
    pub limit: f64,
    /// Least bend radius found, inches.
    pub least_radius: f64,
    /// The user has fixed it.
    pub is_pinned: bool,
    /// Spacing of its runs, inches.
    pub spacing: f64,
    /// It lies in the edge band of its zone.
    pub is_edge_band: bool,
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
    /// A part of the zone lies farther from the manifold than circuits within the limit reach.
    TooFar,
    /// Circuits could not be balanced within 10 per cent.
    Unbalanced,
    /// The spacing is too close for the tube's bend radius.
    TightBend,
    /// The zone could not be laid as close as asked, and is laid wider.
    LaidWider,
    /// Leaders find no way out before the manifold, and start beside it.
    PortsAside,
    /// The search ended before it had tried all that it would.
    CutShort,
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
        tube.circuits.extend(pinned::circuits(job, zone));
    }
    for zone in one_zone::in_order(job, plan, moving) {
        one_zone::route_one_zone(job, plan, zone, moving, &mut tube, cancel)?;
    }
    tube.manifolds = corridor::manifolds(job, &tube.circuits);
    Ok(tube)
}
