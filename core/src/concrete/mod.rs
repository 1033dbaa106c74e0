//! The concrete solid, its forms, steel and base.
//!
//! Question: how much concrete, of which part, and what holds and carries it.
//!
//! Vocabulary: depths are inches below floor level; a *band* is the strip of plan along a side that
//! a thickened edge takes up, a *facet* a convex piece of plan with a plane, a *cell* a convex piece
//! of the slab with one plane for its top and one for its underside.
//!
//! Method: the slab is cut into trapezoids (`partition`); edges, strips and pads become facets
//! (`bands`, `underside`), and so do thresholds, recesses, slopes and edge foam (`topside`); every
//! cell takes the lowest facet over it (`cells`), cut along facet borders and where planes cross.
//! Volumes are sums of area times mean thickness (`volume`), so overlaps count once and nothing is
//! sampled.
//!
//! Conventions beyond `bands`: edge foam inside the form takes its thickness off the concrete of the
//! outline from the top down, over the height of its strips (all of the edge when no height is
//! given); pipes and columns up to 12 in across take nothing off; where a recess and a slope overlap
//! the lower top counts.
//!
//! Limits: exact for straight sides to rounding (1e-9 of the volume); along arcs the floor is exact
//! and a thickened edge is corrected from chords to its ring sector (1e-6 of the edge where nothing
//! else covers it); a round pad is a polygon of 96 corners with the circle's area at every depth.

mod bands;
mod bars;
mod base;
mod cells;
pub(crate) mod convex;
mod forms;
mod ground;
mod mesh;
pub(crate) mod partition;
mod spans;
mod squaring;
mod steel;
mod topside;
mod underside;
mod volume;

use crate::geometry::Point;
use crate::job::Job;
use crate::plan::{Plan, RimId};

/// Everything that follows from the solid.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Concrete {
    /// Volumes by part.
    pub volumes: Volumes,
    /// The solid as prisms with sloped tops and bottoms, which tile the slab.
    pub cells: Vec<SolidCell>,
    /// Form boards, stakes, squaring.
    pub forms: Forms,
    /// Steel and fibre.
    pub steel: SteelTakeoff,
    /// Stone and membrane.
    pub base: Base,
}

/// Volumes in cubic inches; `net` is the sum of the others.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub struct Volumes {
    /// The floor at its own thickness over the whole slab.
    pub floor: f64,
    /// What thickened edges add.
    pub edges: f64,
    /// What thickened strips add beyond edges.
    pub strips: f64,
    /// What pads add beyond edges and strips.
    pub pads: f64,
    /// What recesses and lowered thresholds take away (negative) or add.
    pub recesses: f64,
    /// What sloped tops take away (negative).
    pub slopes: f64,
    /// What edge foam inside the form and large penetrations take away (negative).
    pub displaced: f64,
    /// All of it.
    pub net: f64,
}

/// A convex piece of the plan over which top and underside are planes.
#[derive(Clone, Debug, PartialEq)]
pub struct SolidCell {
    /// Its corners, counter-clockwise.
    pub corners: Vec<Point>,
    /// Depth of the top below floor level at each corner, inches.
    pub top: Vec<f64>,
    /// Depth of the underside below floor level at each corner, inches.
    pub underside: Vec<f64>,
    /// What asks for the underside here.
    pub part: SolidPart,
}

/// Which part of the slab asks for the underside somewhere.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, PartialOrd, Ord)]
pub enum SolidPart {
    /// The floor itself.
    #[default]
    Floor,
    /// Flat bottom of a thickened edge.
    EdgeFlat,
    /// Slope of a thickened edge.
    EdgeHaunch,
    /// A thickened strip.
    Strip,
    /// A pad.
    Pad,
}

/// Forms and how to set them square.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Forms {
    /// Form boards side by side.
    pub sides: Vec<FormSide>,
    /// True (dressed) height of the form board, inches.
    pub board_height: f64,
    /// Stock boards to buy: length in inches and how many.
    pub stock: Vec<(f64, u32)>,
    /// Stakes.
    pub stakes: u32,
    /// Kickers.
    pub kickers: u32,
    /// Squaring checks.
    pub diagonals: Vec<Diagonal>,
    /// Every corner measured from two base lines.
    pub offsets: Vec<CornerOffset>,
    /// Where the two base lines meet.
    pub base_corner: Option<Point>,
    /// A 3-4-5 check that fits at the base corner: short leg, long leg, diagonal, inches; absent
    /// when that corner is not square or its sides are too short.
    pub check_legs: Option<[f64; 3]>,
}

/// Form boards along one side.
#[derive(Clone, Debug, PartialEq)]
pub struct FormSide {
    /// Which side.
    pub id: RimId,
    /// Its start, slab on the left.
    pub from: Point,
    /// Its end.
    pub to: Point,
    /// True length, inches.
    pub length: f64,
    /// Lengths of board along it, inches, in order from the start; every splice has a stake.
    pub boards: Vec<f64>,
    /// Stakes along it.
    pub stakes: u32,
}

/// A diagonal to tape.
#[derive(Clone, Debug, PartialEq)]
pub struct Diagonal {
    /// One pin.
    pub from: Point,
    /// Other pin.
    pub to: Point,
    /// Taped length, inches.
    pub length: f64,
    /// What it belongs to: the enclosing rectangle, or a rectangle of the outline.
    pub of: String,
}

/// A corner measured from two base lines.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct CornerOffset {
    /// The corner.
    pub at: Point,
    /// Along the first base line from the base corner, inches.
    pub along: f64,
    /// Off the first base line, inches.
    pub off: f64,
}

/// Steel and fibre to buy.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct SteelTakeoff {
    /// Mesh sheets or rolls to buy, offcuts used again.
    pub mesh_count: u32,
    /// What it would be if every place took a whole sheet.
    pub mesh_whole_count: u32,
    /// What they are called: `5 x 10 ft sheets 6x6-W2.9`.
    pub mesh_name: String,
    /// Mesh pieces as laid, in plan.
    pub mesh_pieces: Vec<Vec<Point>>,
    /// Weight of mesh, pounds.
    pub mesh_lb: f64,
    /// Bars by size.
    pub bars: Vec<BarTakeoff>,
    /// Runs of bar as laid.
    pub bar_runs: Vec<BarRun>,
    /// Chairs.
    pub chairs: u32,
    /// Ties.
    pub ties: u32,
    /// Fibre, pounds for the net volume.
    pub fibre_lb: f64,
}

/// Bars that lie along one line in plan.
#[derive(Clone, Debug, PartialEq)]
pub struct BarRun {
    /// What part of the slab they are in.
    pub place: BarPlace,
    /// Bar size.
    pub size: u8,
    /// Their line, straight or bent.
    pub line: Vec<Point>,
    /// Length of one, inches; laps to the next bar of the same run are not in it.
    pub length: f64,
    /// How many lie side by side.
    pub count: u32,
}

/// What a bar is for.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum BarPlace {
    /// Both ways in the floor.
    Floor,
    /// Along a thickened edge.
    Edge,
    /// Bent round an outside corner of thickened edges.
    OutsideCorner,
    /// Across an inside corner.
    InsideCorner,
    /// Along a thickened strip.
    Strip,
    /// Both ways in a pad.
    Pad,
}

/// Bars of one size.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub struct BarTakeoff {
    /// Bar size.
    pub size: u8,
    /// Length with laps, inches.
    pub length: f64,
    /// Stock bars to buy.
    pub stock_bars: u32,
    /// Weight of the length with laps, pounds.
    pub weight_lb: f64,
}

/// Stone and membrane.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub struct Base {
    /// Stone in place, cubic inches.
    pub stone_in_place: f64,
    /// Stone to buy, loose cubic yards.
    pub stone_loose_yd3: f64,
    /// Stone to buy, tons.
    pub stone_tons: f64,
    /// Membrane with laps, turn-ups and waste, square inches.
    pub membrane: f64,
    /// Rolls to buy.
    pub membrane_rolls: u32,
}

/// The solid of a job.
#[must_use]
pub fn cast(job: &Job, plan: &Plan) -> Concrete {
    let (volumes, cells) = volume::cast_solid(job, plan);
    let forms = forms::set_forms(job, plan);
    let steel = steel::reinforce(job, plan, volumes.net);
    let base = base::lay_base(job, plan);
    Concrete { volumes, cells, forms, steel, base }
}
