//! Foam boards: courses, pieces, what is cut from what, and how near the count is to the least.

use crate::concrete::Concrete;
use crate::effort::{Cancel, Cancelled};
use crate::geometry::Point;
use crate::job::Job;
use crate::plan::Plan;

/// Foam of a job.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Foam {
    /// Layers from the top down.
    pub layers: Vec<FoamLayout>,
    /// Foam that stands at the edges.
    pub edge: EdgeFoamTakeoff,
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
    /// R-value of the layer, h·ft²·°F/Btu.
    pub r_value: f64,
    /// Direction of the courses, radians from east.
    pub direction: f64,
    /// Area covered, square inches.
    pub area: f64,
    /// Boards to buy for the pieces of this layer.
    pub boards: u32,
    /// No layout can do with fewer boards than this.
    pub bound: u32,
    /// Pieces in laying order.
    pub pieces: Vec<BoardPiece>,
    /// Saw or knife cuts.
    pub cuts: u32,
    /// Length of seams between pieces, inches, for tape.
    pub seam: f64,
    /// Least distance found between end seams of neighbouring courses, inches.
    pub least_stagger: f64,
    /// Places where seams stand closer than the job asks.
    pub close_seams: Vec<Point>,
}

/// A piece of board.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct BoardPiece {
    /// Its number on the plan, from 1.
    pub number: u32,
    /// Its outline in plan.
    pub outline: Vec<Point>,
    /// Holes for pipes in plan.
    pub holes: Vec<Vec<Point>>,
    /// Which board it is cut from, from 0; boards of one layer are counted together.
    pub board: u32,
    /// The same outline on the board: x along its length, y across.
    pub on_board: Vec<Point>,
    /// What it is.
    pub kind: PieceKind,
    /// Course it lies in, from 0.
    pub course: u32,
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

/// Foam that stands at the edges.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct EdgeFoamTakeoff {
    /// Total length of strips, inches.
    pub strip_length: f64,
    /// Strips by side: the side's start and end, its strip length and height, inches.
    pub strips: Vec<EdgeStrip>,
    /// Boards to buy beyond the floor's offcuts.
    pub boards: u32,
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
    _job: &Job,
    _plan: &Plan,
    _concrete: &Concrete,
    _cancel: &Cancel,
) -> Result<Foam, Cancelled> {
    Ok(Foam::default())
}
