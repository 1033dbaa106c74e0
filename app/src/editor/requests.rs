//! What panels and the canvas may ask for in a frame; the editor carries it out afterwards, in
//! one place and in order.

use crate::canvas::hit::Pick;
use crate::canvas::layers::Layer;
use crate::editor::actions::Action;
use crate::editor::settings::Settings;
use slabloom_core::edit::Edit;
use slabloom_core::geometry::Point;

/// Something asked for.
#[derive(Clone, Debug, PartialEq)]
pub enum Request {
    /// A change of the job.
    Edit(Edit),
    /// A change of the job within a drag.
    Part(Edit),
    /// The drag is over.
    EndGesture,
    /// The drag is given up.
    CancelGesture,
    /// What a key, a menu or the command list invokes.
    Action(Action),
    /// Choose these things and no others.
    Select(Vec<Pick>),
    /// Choose what the last edit put into the job.
    SelectNewest,
    /// Show this place.
    LookAt(Point),
    /// Show this layer.
    Reveal(Layer),
    /// Light up what the quantity with this key adds up from, until something else is chosen.
    Trace(String),
    /// Show these shapes in the accent.
    Highlight(Vec<Vec<Point>>),
    /// Take these settings.
    Settings(Settings),
    /// Tell the user something.
    Say(String),
}

/// What was asked for in a frame.
#[derive(Debug, Default)]
pub struct Requests(pub Vec<Request>);

impl Requests {
    /// Asks for something.
    pub fn push(&mut self, request: Request) {
        self.0.push(request);
    }

    /// Asks for a change of the job.
    pub fn edit(&mut self, edit: Edit) {
        self.push(Request::Edit(edit));
    }

    /// Asks for an action.
    pub fn act(&mut self, action: Action) {
        self.push(Request::Action(action));
    }
}
