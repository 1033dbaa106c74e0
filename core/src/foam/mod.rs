//! Foam boards: courses, pieces, what is cut from what, and how near the count is to the least.
//!
//! Questions: how many boards does each layer take, what is each piece cut from, and what does the
//! helper lay where?
//!
//! Vocabulary: a *course* is a row of boards one board wide; *course axes* have x along the
//! courses; a *strip* is what boards fill end to end within a course; an *offcut* is what a cut
//! leaves; an *end seam* is the seam between two pieces of one course and must keep away from the
//! end seams of the courses beside it (the *stagger*).
//!
//! Method:
//! 1. [`area`] decides where foam lies. [`FoamLayout::region`] shows it and the pieces tile it.
//! 2. [`courses`] cuts it into strips for a direction and a first course line.
//! 3. [`fill`] fills strips as a crew does: offcuts before new boards, joints where they save most
//!    and keep the stagger; [`offcuts`] and [`reach`] say what comes out of which remainder with
//!    straight cuts only.
//! 4. [`search`] tries directions, course lines and ways to fill, counted in steps; [`trail`]
//!    spares it what did not change.
//! 5. [`nest`] cuts the pieces of floor and faces once more, now that all are known, and joins
//!    short ones where their boards allow.
//! 6. [`bound`] gives the count that no layout can beat, and [`strip_bound`] one that no layout
//!    on the same course lines can.
//! 7. [`edge_boards`] says how long the strips at the edges are and [`edge_rips`] what they are
//!    cut from: the floor's offcuts where they fit, and boards.
//!
//! Limits: pieces are turned but never turned over; a search, not a proof; every layer has boards
//! of its own, so that what one leaves over does not serve the next.

mod area;
mod bound;
pub mod by_hand;
mod course_lines;
mod courses;
pub mod cut_order;
mod edge_boards;
mod edge_rips;
mod end_seams;
mod fill;
mod frame;
mod front;
mod lay;
mod nest;
mod offcuts;
mod pieces;
mod reach;
mod search;
pub mod strength;
mod strip_bound;
mod trail;
mod under_edges;

pub(crate) use area::zones as covered_zones;

use crate::concrete::Concrete;
use crate::effort::{Cancel, Cancelled};
use crate::geometry::{Point, Polygon};
use crate::job::Job;
use crate::plan::Plan;

/// Foam of a job.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Foam {
    /// Layers from the top down.
    pub layers: Vec<FoamLayout>,
    /// Foam that stands at the edges.
    pub edge: EdgeFoamTakeoff,
    /// Foam that stands at doors, where it is thinner there; empty where doors have none.
    pub edge_at_doors: EdgeFoamTakeoff,
}

impl Foam {
    /// The foam that stands: along walls and, thinner, at doors.
    #[must_use]
    pub const fn standing(&self) -> [&EdgeFoamTakeoff; 2] {
        [&self.edge, &self.edge_at_doors]
    }
}

/// One layer as laid.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct FoamLayout {
    /// Short side of a board, inches.
    pub board_width: f64,
    /// Long side of a board, inches.
    pub board_length: f64,
    /// Thickness, inches.
    pub thickness: f64,
    /// What a cut eats of a board, inches.
    pub kerf: f64,
    /// Least distance asked for between end seams of neighbouring courses, inches.
    pub stagger: f64,
    /// R-value of the layer, h·ft²·°F/Btu.
    pub r_value: f64,
    /// Compressive resistance of the board, psi.
    pub resistance: f64,
    /// Share of its long-term strength that the floor uses: a third of the resistance for load
    /// that stays, a fifth for load that comes and goes; over 1 it creeps.
    pub strength_used: f64,
    /// Direction of the courses, radians from east.
    pub direction: f64,
    /// Where a course line runs, across the direction from the plan's origin, inches.
    pub course_line: f64,
    /// The lower line of every course of the floor, by its number.
    pub course_lines: std::collections::BTreeMap<u32, f64>,
    /// Area covered, square inches, slopes in true size; pipes are not taken off.
    pub area: f64,
    /// Where the layer lies, in plan: the slab less edge foam inside the form and less
    /// thickened parts, under which a layer goes by faces of their own if at all. The outlines of pieces under
    /// the floor ([`PieceSurface::Floor`]) tile it.
    pub region: Vec<Polygon>,
    /// Boards to buy for the pieces of this layer.
    pub boards: u32,
    /// No layout in courses along the lines tried can do with fewer boards: the greater of
    /// [`FoamLayout::area_bound`] and a linear program over the strips.
    pub bound: u32,
    /// No layout at all can do with fewer boards: area over board area, rounded up.
    pub area_bound: u32,
    /// Bundles to buy; zero when the job gives no bundle size.
    pub bundles: u32,
    /// Share of the boards bought that does not lie in the floor: 0.05 for five per cent.
    pub waste: f64,
    /// Pieces in laying order.
    pub pieces: Vec<BoardPiece>,
    /// Saw or knife cuts.
    pub cuts: u32,
    /// Length of seams between pieces, inches, for tape.
    pub seam: f64,
    /// Rolls of tape for the seams.
    pub tape_rolls: u32,
    /// Least distance found between end seams of neighbouring courses, inches; infinite when no
    /// two courses have end seams.
    pub least_stagger: f64,
    /// Places where seams stand closer than the job asks.
    pub close_seams: Vec<Point>,
    /// Places where an end seam lies nearly over one of the layer above.
    pub seams_over_seams: Vec<Point>,
}

impl FoamLayout {
    /// The other pieces of the floor and of the faces under its edges that come from the same
    /// board as this one, named by its place in [`FoamLayout::pieces`].
    pub fn siblings(&self, piece: usize) -> impl Iterator<Item = &BoardPiece> {
        let board = self.pieces.get(piece).map(|piece| piece.board);
        let others = self.pieces.iter().enumerate().filter(move |(place, _)| *place != piece);
        others.map(|(_, other)| other).filter(move |other| Some(other.board) == board)
    }
}

/// A piece of board.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct BoardPiece {
    /// Its number on the plan, from 1.
    pub number: u32,
    /// Its outline in plan.
    pub outline: Vec<Point>,
    /// Its outline in true size, in axes of its face, corner for corner; empty where the plan
    /// shows the true size, which it does not on a slope.
    pub on_face: Vec<Point>,
    /// What pipes and columns take out of it, in plan; part of the outline's rim may be shared
    /// where a pipe stands on a seam.
    pub holes: Vec<Vec<Point>>,
    /// Which board it is cut from, from 0; boards of one layer are counted together.
    pub board: u32,
    /// The same outline on the board: x along its length, y across. Turned and shifted, never
    /// turned over.
    pub on_board: Vec<Point>,
    /// The holes on the board.
    pub holes_on_board: Vec<Vec<Point>>,
    /// What it is.
    pub kind: PieceKind,
    /// Course it lies in, from 0.
    pub course: u32,
    /// Which face of the concrete it lies under.
    pub surface: PieceSurface,
}

/// What a piece is.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub enum PieceKind {
    /// A whole board.
    #[default]
    Whole,
    /// The first piece cut from a board.
    Cut,
    /// A piece cut from what was left of a board.
    Offcut,
}

/// Which face of the concrete a piece lies under.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub enum PieceSurface {
    /// The floor.
    #[default]
    Floor,
    /// The flat bottom of a thickened edge.
    EdgeFlat,
    /// The slope of a thickened edge: the outline in plan is foreshortened, the one on the board
    /// has its true length along the slope.
    EdgeSlope,
}

/// Foam that stands at the edges.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct EdgeFoamTakeoff {
    /// Total length of strips, inches.
    pub strip_length: f64,
    /// Strips by side: the side's start and end, its strip length and height, inches.
    pub strips: Vec<EdgeStrip>,
    /// Boards to buy beyond the floor's offcuts.
    pub boards: u32,
    /// The layer (from 0) whose offcuts and boards the strips are cut from; absent when no layer
    /// is as thick, and the strips have boards of their own.
    pub layer: Option<usize>,
    /// Width and length of the boards the strips are cut from and the foam's thickness, inches.
    pub board: [f64; 3],
    /// What a cut eats of a board, inches.
    pub kerf: f64,
    /// Pieces of strip with the boards they are cut from.
    pub pieces: Vec<EdgePiece>,
}

/// A piece of edge foam.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct EdgePiece {
    /// Which of [`EdgeFoamTakeoff::strips`] it belongs to, from 0.
    pub strip: usize,
    /// Where it starts along the strip, inches.
    pub from: f64,
    /// Where it ends.
    pub to: f64,
    /// Its lower edge above the bottom of the strip, inches.
    pub above_bottom: f64,
    /// Which board it is cut from: boards of the layer named, and new ones counted on from them.
    pub board: u32,
    /// Its outline on the standing strip: x along the side from its start, y up from the strip's
    /// bottom.
    pub outline: Vec<Point>,
    /// Its outline on the board.
    pub on_board: Vec<Point>,
}

/// Edge foam along one side.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub struct EdgeStrip {
    /// Start of the side.
    pub from: Point,
    /// End of the side.
    pub to: Point,
    /// Strip length with corner laps, inches.
    pub length: f64,
    /// Strip height, inches.
    pub height: f64,
}

/// Lays the foam of a job.
///
/// # Errors
/// [`Cancelled`] when nobody waits for it any more.
pub fn lay_foam(
    job: &Job,
    plan: &Plan,
    _concrete: &Concrete,
    cancel: &Cancel,
) -> Result<Foam, Cancelled> {
    lay::lay_all(job, plan, cancel)
}
