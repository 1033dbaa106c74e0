//! Tools: small state machines that turn what a person does on the plan into edits.
//!
//! A tool sees plan points, keys with a meaning and typed text, never the toolkit. It answers
//! with [`Ask`]s, which the editor carries out in order, and says what it waits for
//! ([`Tool::hint`]), where it measures from ([`Tool::anchor`]) and what to show while it is in
//! use ([`Tool::ghosts`]). Everything that can be dragged can be clicked or typed as well
//! (WCAG 2.2, 2.5.7).

pub mod circuit;
pub mod picture;
pub mod place;
pub mod select;
pub mod start_corner;
pub mod two_points;
pub mod typed;
pub mod walls;

use crate::canvas::hit::Pick;
use slabloom_core::derive::Results;
use slabloom_core::edit::Edit;
use slabloom_core::geometry::{Point, Vector};
use slabloom_core::job::Job;
use slabloom_core::plan::Plan;

pub use circuit::CircuitTool;
pub use picture::PictureTool;
pub use place::PlaceTool;
pub use select::SelectTool;
pub use start_corner::StartCornerTool;
pub use two_points::TwoPointTool;
pub use walls::WallsTool;

/// Every tool, in the order of the tool rail.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum ToolKind {
    /// Choose, drag, double-click.
    Select,
    /// An outline wall by wall.
    Walls,
    /// A rectangle added to the slab.
    AddRectangle,
    /// A rectangle taken off the slab.
    TakeRectangle,
    /// A new corner on a side.
    Corner,
    /// A hole through everything.
    Opening,
    /// A pipe through the slab.
    Pipe,
    /// A floor drain.
    Drain,
    /// A column.
    Column,
    /// A thickened strip under a bearing line.
    Strip,
    /// A pad under a column.
    Pad,
    /// A heated zone.
    Zone,
    /// A place without tube.
    KeepOut,
    /// A manifold.
    Manifold,
    /// A circuit drawn by hand.
    Circuit,
    /// A contraction joint.
    Joint,
    /// An isolation joint.
    IsolationJoint,
    /// Where a day's pour ends.
    ConstructionJoint,
    /// The corner that boards start from.
    StartCorner,
    /// A part of the floor that foam covers.
    FoamZone,
    /// A survey shot.
    Shot,
    /// A distance.
    Measure,
    /// The scale of the plan picture, by a known dimension.
    PictureScale,
    /// A wall of the plan picture that should lie level or plumb.
    PictureSquare,
    /// The place of the plan picture.
    PictureMove,
}

/// Where the pointer is, in plan terms.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Pointer {
    /// The snapped place.
    pub at: Point,
    /// The place as pointed at.
    pub raw: Point,
    /// How near something must be to be meant, inches.
    pub reach: f64,
    /// What is chosen is added to what is chosen already.
    pub is_adding: bool,
}

/// What a person does.
#[derive(Clone, Debug, PartialEq)]
pub enum Input {
    /// The pointer moved.
    Move(Pointer),
    /// A click.
    Click(Pointer),
    /// A double click.
    DoubleClick(Pointer),
    /// A drag began at this place.
    DragStart(Pointer),
    /// A drag goes on.
    Drag(Pointer),
    /// A drag ended.
    Drop(Pointer),
    /// Text was typed and confirmed.
    Typed(typed::Typed),
    /// Enter without text.
    Confirm,
    /// Escape.
    Cancel,
    /// Backspace without text.
    Back,
    /// The key that turns the next wall into an arc.
    Arc,
    /// An arrow key: a step of this many inches.
    Nudge(Vector),
}

/// What a tool asks of the editor.
#[derive(Clone, Debug, PartialEq)]
pub enum Ask {
    /// A change of its own.
    Edit(Edit),
    /// A change within a drag.
    Part(Edit),
    /// The drag is over.
    EndGesture,
    /// The drag is given up.
    CancelGesture,
    /// Choose these things.
    Select(Vec<Pick>),
    /// Choose what was last put into the job by this edit.
    SelectNewest,
    /// Tell the user something.
    Say(String),
    /// The tool has done its work: back to the first tool.
    Done,
}

/// What a tool may look at.
#[derive(Clone, Copy, Debug)]
pub struct Scene<'a> {
    /// The job.
    pub job: &'a Job,
    /// Its checked slab.
    pub plan: &'a Plan,
    /// What follows from it, perhaps of a change ago.
    pub results: &'a Results,
    /// What is chosen.
    pub selection: &'a [Pick],
    /// What can be picked.
    pub pickable: crate::canvas::hit::Pickable,
}

/// Something to show while a tool is in use.
#[derive(Clone, Debug, PartialEq)]
pub enum Ghost {
    /// A line with its length and direction.
    Line(Point, Point),
    /// A line that only leads the eye.
    Thin(Point, Point),
    /// A rectangle with its sizes.
    Rectangle(Point, Point),
    /// An arc through the middle point.
    Arc(Point, Point, Point),
    /// A corner that was set.
    Dot(Point),
    /// A box round what will be chosen.
    Marquee(Point, Point),
}

/// The tool in hand with its state.
#[derive(Clone, Debug, PartialEq)]
pub enum Tool {
    /// Choose and drag.
    Select(SelectTool),
    /// Wall by wall.
    Walls(WallsTool),
    /// Two places: rectangles and lines.
    TwoPoints(TwoPointTool),
    /// One place.
    Place(PlaceTool),
    /// A circuit leg by leg.
    Circuit(CircuitTool),
    /// The plan picture.
    Picture(PictureTool),
    /// The corner that boards start from.
    StartCorner(StartCornerTool),
}

impl Default for Tool {
    fn default() -> Self {
        Self::new(ToolKind::Select)
    }
}

impl Tool {
    /// A tool at its beginning.
    #[must_use]
    pub fn new(kind: ToolKind) -> Self {
        match kind {
            ToolKind::Select => Self::Select(SelectTool::default()),
            ToolKind::Walls => Self::Walls(WallsTool::default()),
            ToolKind::StartCorner => Self::StartCorner(StartCornerTool::default()),
            ToolKind::Circuit => Self::Circuit(CircuitTool::default()),
            ToolKind::AddRectangle
            | ToolKind::TakeRectangle
            | ToolKind::Opening
            | ToolKind::Strip
            | ToolKind::Zone
            | ToolKind::KeepOut
            | ToolKind::FoamZone
            | ToolKind::Joint
            | ToolKind::IsolationJoint
            | ToolKind::ConstructionJoint
            | ToolKind::Measure => Self::TwoPoints(TwoPointTool::new(kind)),
            ToolKind::Corner
            | ToolKind::Pipe
            | ToolKind::Drain
            | ToolKind::Column
            | ToolKind::Pad
            | ToolKind::Manifold
            | ToolKind::Shot => Self::Place(PlaceTool::new(kind)),
            ToolKind::PictureScale | ToolKind::PictureSquare | ToolKind::PictureMove => {
                Self::Picture(PictureTool::new(kind))
            }
        }
    }

    /// Which tool it is.
    #[must_use]
    pub fn kind(&self) -> ToolKind {
        match self {
            Self::Select(_) => ToolKind::Select,
            Self::Walls(_) => ToolKind::Walls,
            Self::TwoPoints(tool) => tool.kind,
            Self::Place(tool) => tool.kind,
            Self::Picture(tool) => tool.kind,
            Self::StartCorner(_) => ToolKind::StartCorner,
            Self::Circuit(_) => ToolKind::Circuit,
        }
    }

    /// Takes what a person did and says what should happen.
    pub fn handle(&mut self, input: &Input, scene: &Scene<'_>) -> Vec<Ask> {
        match self {
            Self::Select(tool) => tool.handle(input, scene),
            Self::Walls(tool) => tool.handle(input),
            Self::TwoPoints(tool) => tool.handle(input, &scene.job.build_up),
            Self::Place(tool) => tool.handle(input, scene),
            Self::Picture(tool) => tool.handle(input, scene),
            Self::StartCorner(tool) => tool.handle(input, scene),
            Self::Circuit(tool) => tool.handle(input, scene),
        }
    }

    /// What the tool waits for.
    #[must_use]
    pub fn hint(&self) -> &'static str {
        match self {
            Self::Select(tool) => tool.hint(),
            Self::Walls(tool) => tool.hint(),
            Self::TwoPoints(tool) => tool.hint(),
            Self::Place(tool) => tool.hint(),
            Self::Picture(tool) => tool.hint(),
            Self::StartCorner(tool) => tool.hint(),
            Self::Circuit(tool) => tool.hint(),
        }
    }

    /// The place that lengths are measured from, if the tool is in the middle of something.
    #[must_use]
    pub fn anchor(&self) -> Option<Point> {
        match self {
            Self::Select(tool) => tool.anchor(),
            Self::Walls(tool) => tool.corners.last().map(|corner| corner.at),
            Self::TwoPoints(tool) => tool.first,
            Self::Circuit(tool) => tool.corners.last().copied(),
            Self::Place(_) | Self::StartCorner(_) => None,
            Self::Picture(tool) => tool.first,
        }
    }

    /// Whether the tool is in the middle of something that Escape would give up.
    #[must_use]
    pub fn is_under_way(&self) -> bool {
        self.anchor().is_some()
    }

    /// Whether typed letters and figures are for the tool.
    #[must_use]
    pub fn takes_text(&self) -> bool {
        !matches!(self, Self::Select(_))
    }

    /// Corners that the tool has set and snapping should know.
    #[must_use]
    pub fn own_corners(&self) -> Vec<Point> {
        match self {
            Self::Walls(tool) => tool.corners.iter().map(|corner| corner.at).collect(),
            Self::TwoPoints(tool) => tool.first.into_iter().collect(),
            Self::Circuit(tool) => tool.corners.clone(),
            Self::Select(_) | Self::Place(_) | Self::Picture(_) | Self::StartCorner(_) => {
                Vec::new()
            }
        }
    }

    /// Whether the place pointed at goes to what it is near.
    #[must_use]
    pub fn snaps(&self) -> bool {
        match self {
            Self::Picture(tool) => tool.snaps(),
            // Its own corner is marked, wherever the pointer is.
            Self::StartCorner(_) => false,
            _ => true,
        }
    }

    /// What to show while the tool is in use.
    #[must_use]
    pub fn ghosts(&self, pointer: Option<Point>) -> Vec<Ghost> {
        match self {
            Self::Select(tool) => tool.ghosts(pointer),
            Self::Walls(tool) => tool.ghosts(pointer),
            Self::TwoPoints(tool) => tool.ghosts(pointer),
            Self::Place(_) => Vec::new(),
            Self::Picture(tool) => tool.ghosts(pointer),
            Self::StartCorner(tool) => tool.ghosts(),
            Self::Circuit(tool) => tool.ghosts(pointer),
        }
    }
}
