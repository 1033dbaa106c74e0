//! Zones, manifolds, tube and the heat that is asked of them.

use super::Outline;
use super::ids::{IdSource, KeepOutId, ManifoldId, ZoneId};
use crate::geometry::Point;
use crate::units::{Cents, Length};
use serde::{Deserialize, Serialize};

/// The heating of the floor.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
#[serde(default, deny_unknown_fields)]
pub struct Heating {
    /// The floor is heated at all.
    pub is_heated: bool,
    /// Zones; a zone without corners covers what the others leave of the floor.
    pub zones: Vec<Zone>,
    /// Manifolds.
    pub manifolds: Vec<Manifold>,
    /// Places where no tube may lie.
    pub keep_outs: Vec<KeepOut>,
    /// The tube and how it is laid.
    pub tube: TubeChoice,
    /// What flows.
    pub fluid: Fluid,
    /// Temperatures and load.
    pub design: HeatDesign,
    /// Circuits that later changes leave alone.
    pub pinned: Vec<PinnedCircuit>,
}

impl Default for Heating {
    fn default() -> Self {
        Self {
            is_heated: true,
            zones: Vec::new(),
            manifolds: Vec::new(),
            keep_outs: Vec::new(),
            tube: TubeChoice::default(),
            fluid: Fluid::default(),
            design: HeatDesign::default(),
            pinned: Vec::new(),
        }
    }
}

/// An area heated as one.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
#[serde(default, deny_unknown_fields)]
pub struct Zone {
    /// Its id.
    pub id: ZoneId,
    /// What it is called.
    pub name: String,
    /// Its corners; empty for all of the floor that no other zone takes.
    pub corners: Vec<Point>,
    /// The manifold that feeds it; the nearest when absent.
    pub manifold: Option<ManifoldId>,
    /// Spacing of the tube.
    pub spacing: Length,
    /// Closer spacing in a band along outside walls; none when absent.
    pub edge_band: Option<EdgeBand>,
    /// How the tube winds.
    pub pattern: TubePattern,
    /// How many circuits the user wants; the program decides when absent.
    pub circuits: Option<u32>,
    /// Heat the zone must give upward, Btu an hour; from the design load by area when absent.
    pub load_btuh: Option<f64>,
}

impl Default for Zone {
    fn default() -> Self {
        Self {
            id: ZoneId::default(),
            name: "Floor".to_owned(),
            corners: Vec::new(),
            manifold: None,
            spacing: Length::inches(12.0),
            edge_band: None,
            pattern: TubePattern::Automatic,
            circuits: None,
            load_btuh: None,
        }
    }
}

/// A band along outside walls with closer tube.
#[derive(Clone, Copy, Debug, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct EdgeBand {
    /// How wide, from the slab edge; an even number of runs as near to it as they come is laid.
    pub width: Length,
    /// Spacing inside it.
    pub spacing: Length,
}

/// How the tube winds.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, Serialize, Deserialize)]
pub enum TubePattern {
    /// The program chooses.
    #[default]
    Automatic,
    /// Supply beside return, winding inward.
    Counterflow,
    /// Back and forth along the zone's longest outside wall, water there first.
    Serpentine,
}

/// Where circuits start and end.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
#[serde(default, deny_unknown_fields)]
pub struct Manifold {
    /// Its id.
    pub id: ManifoldId,
    /// What it is called.
    pub name: String,
    /// The middle of its port line.
    pub at: Point,
    /// Direction of the port line, degrees counter-clockwise from east; automatic (along the
    /// nearest wall) when absent.
    pub along_degrees: Option<f64>,
    /// Distance from port to port on the manifold itself; leaders in the floor keep their own.
    pub port_spacing: Length,
}

impl Default for Manifold {
    fn default() -> Self {
        Self {
            id: ManifoldId::default(),
            name: "M1".to_owned(),
            at: Point::ORIGIN,
            along_degrees: None,
            port_spacing: Length::inches(3.0),
        }
    }
}

/// A place where no tube may lie.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct KeepOut {
    /// Its id.
    pub id: KeepOutId,
    /// What stands there.
    #[serde(default)]
    pub name: String,
    /// Its corners.
    pub corners: Vec<Point>,
    /// Why.
    #[serde(default)]
    pub reason: KeepOutReason,
}

/// Why no tube may lie somewhere.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, Serialize, Deserialize)]
pub enum KeepOutReason {
    /// Cabinets or fixtures.
    #[default]
    Cabinets,
    /// A stair.
    Stair,
    /// A wall that will be bolted down.
    AnchorLine,
    /// Anything else.
    Other,
}

/// The tube and how it lies.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
#[serde(default, deny_unknown_fields)]
pub struct TubeChoice {
    /// Nominal size.
    pub size: TubeSize,
    /// Depth in the slab.
    pub depth: TubeDepth,
    /// Longest circuit allowed, leaders included; by size from the facts when absent.
    pub longest_circuit: Option<Length>,
    /// Least bend radius; eight outside diameters when absent.
    pub least_bend_radius: Option<Length>,
    /// Distance of the outermost tube from the slab edge.
    pub edge_distance: Length,
    /// What tube does at thickened strips.
    pub at_strips: AtStrips,
    /// The tube has an oxygen barrier; unstated when absent.
    pub has_oxygen_barrier: Option<bool>,
    /// Coil lengths on hand.
    pub coil_lengths: Vec<Length>,
    /// Extra tube at each end of a circuit for the riser to the manifold.
    pub tail: Length,
    /// Distance between leaders that run side by side; two outside diameters at least.
    pub leader_spacing: Length,
}

impl Default for TubeChoice {
    fn default() -> Self {
        Self {
            size: TubeSize::Half,
            depth: TubeDepth::Bottom,
            longest_circuit: None,
            least_bend_radius: None,
            edge_distance: Length::inches(6.0),
            at_strips: AtStrips::Cross,
            has_oxygen_barrier: None,
            coil_lengths: [300.0, 500.0, 1000.0].map(Length::feet).to_vec(),
            tail: Length::feet(3.0),
            leader_spacing: Length::inches(3.0),
        }
    }
}

/// Nominal tube size.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, PartialOrd, Ord, Serialize, Deserialize)]
pub enum TubeSize {
    /// 3/8 in.
    ThreeEighths,
    /// 1/2 in.
    #[default]
    Half,
    /// 5/8 in.
    FiveEighths,
    /// 3/4 in.
    ThreeQuarters,
    /// 1 in.
    One,
}

impl TubeSize {
    /// The nominal size in inches, by which `facts::tube` knows its dimensions.
    #[must_use]
    pub const fn nominal_in(self) -> f64 {
        match self {
            Self::ThreeEighths => 0.375,
            Self::Half => 0.5,
            Self::FiveEighths => 0.625,
            Self::ThreeQuarters => 0.75,
            Self::One => 1.0,
        }
    }
}

/// Where in the slab the tube lies.
#[derive(Clone, Copy, Debug, Default, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub enum TubeDepth {
    /// On the foam, tied to the wire: the axis half an inch above the underside.
    #[default]
    Bottom,
    /// Half way down.
    Middle,
    /// Near the top: the axis an inch and a half down.
    Top,
    /// The axis this far below the top of the slab.
    Axis(Length),
}

/// What tube does where it meets a thickened strip.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, Serialize, Deserialize)]
pub enum AtStrips {
    /// It runs on over the strip.
    #[default]
    Cross,
    /// It keeps off but for crossings at right angles.
    Avoid,
}

/// What flows in the tube.
#[derive(Clone, Copy, Debug, Default, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub enum Fluid {
    /// Water.
    #[default]
    Water,
    /// Propylene glycol in water, by percent of mass.
    PropyleneGlycol(f64),
}

/// Temperatures and load of the design.
#[derive(Clone, Copy, Debug, PartialEq, Serialize, Deserialize)]
#[serde(default, deny_unknown_fields)]
pub struct HeatDesign {
    /// Room air, °F.
    pub indoor_f: f64,
    /// Outdoor design, °F.
    pub outdoor_f: f64,
    /// Ground under the foam, °F.
    pub ground_f: f64,
    /// Load of the rooms over the floor.
    pub load: HeatLoad,
    /// Supply temperature that the source gives; the least that serves when absent.
    pub supply_f: Option<f64>,
    /// Drop from supply to return, °F.
    pub drop_f: f64,
    /// Warmest floor surface allowed, °F.
    pub surface_limit_f: f64,
    /// Conductivity of the concrete, Btu/(h·ft·°F).
    pub concrete_k: f64,
    /// Heating degree days, base 65 °F; zero when not known.
    pub degree_days: f64,
    /// What a million Btu put into the floor costs, after the losses of what makes it; zero when
    /// not known.
    pub energy_per_million_btu: Cents,
}

impl Default for HeatDesign {
    fn default() -> Self {
        Self {
            indoor_f: 68.0,
            outdoor_f: 0.0,
            ground_f: 50.0,
            load: HeatLoad::default(),
            supply_f: None,
            drop_f: 10.0,
            surface_limit_f: 84.0,
            concrete_k: 0.81,
            degree_days: 0.0,
            energy_per_million_btu: Cents(0),
        }
    }
}

/// How the heat load is given.
#[derive(Clone, Copy, Debug, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub enum HeatLoad {
    /// By area, Btu/(h·ft²).
    ByArea(f64),
    /// For the whole floor, Btu/h.
    Total(f64),
    /// A simple room method, an aid and not a design: heat loss of the envelope and of air change.
    RoomAid {
        /// UA of walls, windows, doors and roof, Btu/(h·°F).
        envelope_ua: f64,
        /// Room volume, ft³.
        volume_ft3: f64,
        /// Air changes an hour.
        air_changes: f64,
    },
}

impl Default for HeatLoad {
    /// A well insulated house on its coldest day (common practice: 10 to 20 by area).
    fn default() -> Self {
        Self::ByArea(15.0)
    }
}

/// A circuit whose path the user has fixed.
#[derive(Clone, Debug, Default, PartialEq, Serialize, Deserialize)]
#[serde(default, deny_unknown_fields)]
pub struct PinnedCircuit {
    /// The zone it belongs to.
    pub zone: ZoneId,
    /// Which circuit of that zone, counted from 0.
    pub number: u32,
    /// Its path from supply port to return port.
    pub path: Vec<Point>,
    /// Water runs the other way.
    pub is_reversed: bool,
}

impl Heating {
    /// One zone over the whole floor and one manifold a foot inside the middle of the longest
    /// straight side.
    #[must_use]
    pub fn with_manifold_on_longest_side(outline: &Outline, ids: &mut IdSource) -> Self {
        let longest = outline
            .segments()
            .map(|(_, segment)| segment)
            .max_by(|a, b| a.length().total_cmp(&b.length()));
        let is_clockwise = outline.ring().signed_area() < 0.0;
        let at = longest.map_or(Point::ORIGIN, |segment| {
            let along = (segment.end() - segment.start()).unit().unwrap_or_default();
            let inward = if is_clockwise { -along.left() } else { along.left() };
            segment.point_at(0.5) + inward * 12.0
        });
        let zone = Zone { id: ids.fresh(), ..Zone::default() };
        let manifold = Manifold { id: ids.fresh(), at, ..Manifold::default() };
        Self { zones: vec![zone], manifolds: vec![manifold], ..Self::default() }
    }
}
