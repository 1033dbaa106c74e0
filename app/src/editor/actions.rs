//! Every action in one table: menus, keys, the command list and tool tips all read it.

use crate::canvas::layers::Layer;
use crate::canvas::tools::ToolKind;
use crate::editor::stages::Stage;
use egui::{Key, KeyboardShortcut, Modifiers};

/// What a key, a menu entry or the command list invokes.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Action {
    /// An empty job.
    New,
    /// A usual outline with typed sizes.
    NewFromTemplate,
    /// The alternates side by side.
    Compare,
    /// The built-in sample.
    OpenSample,
    /// A job from a file.
    Open,
    /// A job from a typed path.
    OpenPath,
    /// To the job's file.
    Save,
    /// The job's file once more, as it is now.
    Reload,
    /// To another file.
    SaveAs,
    /// To a typed path.
    SavePath,
    /// The sheet set as a PDF file.
    Sheets,
    /// Lay a picture of a plan under the slab.
    LayPicture,
    /// Lay a picture from a typed path.
    LayPicturePath,
    /// Take the picture away.
    DropPicture,
    /// The pages of the picture's file, to choose one.
    ChoosePage,
    /// Keep the picture's file in the job.
    KeepPicture,
    /// Keep the picture's file beside the job.
    LeavePicture,
    /// The rate book of another job.
    TakeRates,
    /// Quantities and price beside those of another job.
    CompareJobs,
    /// Shots of the ground from a table.
    ReadShots,
    /// The n-th recent job.
    OpenRecent(usize),
    /// One step back.
    Undo,
    /// One step forward.
    Redo,
    /// Remove what is chosen.
    Delete,
    /// A copy of what is chosen, a little aside.
    Duplicate,
    /// Choose everything.
    SelectAll,
    /// Lock the chosen joints where they are.
    LockJoint,
    /// Turn the outline so that its longest wall lies level.
    TurnToLongest,
    /// Mirror the outline.
    Mirror,
    /// Go to a stage.
    Stage(Stage),
    /// Take a tool.
    Tool(ToolKind),
    /// Show all of the slab.
    ZoomFit,
    /// Nearer.
    ZoomIn,
    /// Farther.
    ZoomOut,
    /// Show or hide a layer.
    Layer(Layer),
    /// Hold snapping off until pressed again.
    ToggleSnap,
    /// The list of all commands.
    CommandList,
    /// The settings.
    Settings,
    /// What the keys do.
    KeyHelp,
    /// Leave.
    Quit,
}

/// A row of the table.
#[derive(Clone, Copy, Debug)]
pub struct ActionInfo {
    /// The action.
    pub action: Action,
    /// What menus call it.
    pub name: &'static str,
    /// What it does, for the command list and tool tips.
    pub hint: &'static str,
    /// Its key.
    pub key: Option<KeyboardShortcut>,
}

const fn plain(key: Key) -> Option<KeyboardShortcut> {
    Some(KeyboardShortcut::new(Modifiers::NONE, key))
}

const fn command(key: Key) -> Option<KeyboardShortcut> {
    Some(KeyboardShortcut::new(Modifiers::COMMAND, key))
}

const fn command_shift(key: Key) -> Option<KeyboardShortcut> {
    Some(KeyboardShortcut::new(Modifiers::COMMAND.plus(Modifiers::SHIFT), key))
}

const fn row(
    action: Action,
    name: &'static str,
    hint: &'static str,
    key: Option<KeyboardShortcut>,
) -> ActionInfo {
    ActionInfo { action, name, hint, key }
}

/// All actions but recent jobs.
pub const ACTIONS: &[ActionInfo] = {
    use Action as A;
    use ToolKind as T;
    &[
        row(A::New, "New job", "Start with an empty plan", command(Key::N)),
        row(
            A::NewFromTemplate,
            "New from a template…",
            "Rectangle, L or house with bump-out, with typed sizes",
            command_shift(Key::N),
        ),
        row(A::Compare, "Compare alternates", "Each way to build it in a column", None),
        row(A::OpenSample, "Open the sample", "The small house that is built in", None),
        row(A::Open, "Open…", "Open a job from a file", command(Key::O)),
        row(A::OpenPath, "Open by path…", "Type where the job is", command_shift(Key::O)),
        row(A::Save, "Save", "Save the job to its file", command(Key::S)),
        row(A::Reload, "Reload", "Read the job's file again, as others left it", None),
        row(A::SaveAs, "Save as…", "Save the job to another file", command_shift(Key::S)),
        row(A::SavePath, "Save by path…", "Type where the job should go", None),
        row(A::Sheets, "Print sheets…", "The sheet set as a PDF file", command(Key::P)),
        row(
            A::LayPicture,
            "Plan picture…",
            "Lay a PDF page, PNG or JPEG of the plan under the slab, to trace over it",
            None,
        ),
        row(A::LayPicturePath, "Plan picture by path…", "Type where the picture is", None),
        row(A::ChoosePage, "Choose the plan's page…", "Another page of the same PDF", None),
        row(
            A::KeepPicture,
            "Keep plan picture in the job",
            "So that the job goes anywhere as one file",
            None,
        ),
        row(
            A::LeavePicture,
            "Keep plan picture beside the job",
            "So that the job's file stays small",
            None,
        ),
        row(
            A::CompareJobs,
            "Compare with another job…",
            "Quantities and price of both, and what differs",
            None,
        ),
        row(A::TakeRates, "Take rates from a job…", "Its rates, overhead, margin and extras", None),
        row(
            A::ReadShots,
            "Read shots of the ground…",
            "A table: number, north, east, height",
            None,
        ),
        row(A::DropPicture, "Take plan picture away", "The file itself stays", None),
        row(A::Undo, "Undo", "Take the last change back", command(Key::Z)),
        row(A::Redo, "Redo", "Make it again", command_shift(Key::Z)),
        row(A::Delete, "Delete", "Remove what is chosen", plain(Key::Delete)),
        row(A::Duplicate, "Duplicate", "A copy of what is chosen, two feet aside", command(Key::D)),
        row(A::SelectAll, "Select all", "Choose everything on the plan", command(Key::A)),
        row(A::LockJoint, "Lock joint", "Hold the chosen joint where it is", plain(Key::K)),
        row(
            A::TurnToLongest,
            "Square to longest wall",
            "Turn the plan so that it lies level",
            None,
        ),
        row(A::Mirror, "Mirror", "Mirror the outline, east for west", None),
        row(A::Stage(Stage::Forms), "Stage: Forms", Stage::Forms.task(), plain(Key::Num1)),
        row(A::Stage(Stage::Foam), "Stage: Foam", Stage::Foam.task(), plain(Key::Num2)),
        row(A::Stage(Stage::Tube), "Stage: Tube", Stage::Tube.task(), plain(Key::Num3)),
        row(A::Stage(Stage::Heat), "Stage: Heat", Stage::Heat.task(), plain(Key::Num7)),
        row(A::Stage(Stage::Saw), "Stage: Saw", Stage::Saw.task(), plain(Key::Num4)),
        row(A::Stage(Stage::Pour), "Stage: Pour", Stage::Pour.task(), plain(Key::Num5)),
        row(A::Stage(Stage::Bid), "Stage: Bid", Stage::Bid.task(), plain(Key::Num6)),
        row(A::Tool(T::Select), "Select", "Choose, drag, type over dimensions", plain(Key::V)),
        row(A::Tool(T::Walls), "Walls", "Draw the outline wall by wall", plain(Key::W)),
        row(
            A::Tool(T::AddRectangle),
            "Add rectangle",
            "A slab, or a bump-out, in two clicks",
            plain(Key::R),
        ),
        row(A::Tool(T::TakeRectangle), "Take off", "Take a rectangle off the slab", plain(Key::T)),
        row(A::Tool(T::Corner), "Corner", "Add a corner on a side", plain(Key::C)),
        row(A::Tool(T::Opening), "Opening", "A hole through everything", plain(Key::O)),
        row(A::Tool(T::Pipe), "Pipe", "A pipe that comes up through the slab", plain(Key::P)),
        row(A::Tool(T::Drain), "Drain", "A floor drain", plain(Key::D)),
        row(A::Tool(T::Column), "Column", "A column, isolated from the floor", plain(Key::L)),
        row(A::Tool(T::Strip), "Strip", "A thickened strip under a bearing line", plain(Key::B)),
        row(A::Tool(T::Pad), "Pad", "A pad under a column", plain(Key::A)),
        row(A::Tool(T::Zone), "Zone", "An area heated as one", plain(Key::Z)),
        row(A::Tool(T::KeepOut), "No tube", "A place where no tube may lie", plain(Key::X)),
        row(A::Tool(T::Manifold), "Manifold", "Place a manifold, or drag one", plain(Key::M)),
        row(
            A::Tool(T::Circuit),
            "Circuit",
            "A circuit by hand, leg by leg; the others are routed round it",
            None,
        ),
        row(A::Tool(T::Joint), "Joint", "A contraction joint by hand", plain(Key::J)),
        row(A::Tool(T::IsolationJoint), "Isolation", "A joint that separates fully", plain(Key::I)),
        row(
            A::Tool(T::ConstructionJoint),
            "Day joint",
            "A construction joint, where a day's pour ends",
            plain(Key::Y),
        ),
        row(
            A::Tool(T::StartCorner),
            "Start corner",
            "The corner that boards start from, with the count while you drag",
            plain(Key::E),
        ),
        row(
            A::Tool(T::FoamZone),
            "Foam zone",
            "A part of the floor that the top layer of foam covers",
            plain(Key::U),
        ),
        row(A::Tool(T::Shot), "Shot", "A measured point of the ground", plain(Key::S)),
        row(A::Tool(T::Measure), "Measure", "A distance on the plan", plain(Key::Q)),
        row(
            A::Tool(T::PictureScale),
            "Scale picture",
            "Click both ends of a dimension you know, then type it",
            None,
        ),
        row(
            A::Tool(T::PictureSquare),
            "Square picture",
            "Click along a wall that should lie level or plumb",
            None,
        ),
        row(
            A::Tool(T::PictureMove),
            "Move picture",
            "Drag it, or click a point and its place",
            None,
        ),
        row(A::ZoomFit, "Show all", "Show all of the slab", plain(Key::F)),
        row(A::ZoomIn, "Nearer", "Zoom in", plain(Key::Plus)),
        row(A::ZoomOut, "Farther", "Zoom out", plain(Key::Minus)),
        row(A::Layer(Layer::Grid), "Layer: Grid", "Show or hide", plain(Key::G)),
        row(A::Layer(Layer::Picture), "Layer: Plan picture", "Show or hide", None),
        row(A::Layer(Layer::Dimensions), "Layer: Dimensions", "Show or hide", None),
        row(A::Layer(Layer::Thickenings), "Layer: Thickenings", "Show or hide", None),
        row(A::Layer(Layer::Steel), "Layer: Steel", "Show or hide", None),
        row(A::Layer(Layer::Foam), "Layer: Foam boards", "Show or hide", None),
        row(A::Layer(Layer::Zones), "Layer: Zones", "Show or hide", None),
        row(A::Layer(Layer::Tube), "Layer: Tube", "Show or hide", None),
        row(A::Layer(Layer::HeatMap), "Layer: Floor temperature", "Show or hide", plain(Key::H)),
        row(A::Layer(Layer::Joints), "Layer: Joints", "Show or hide", None),
        row(A::Layer(Layer::SlabPanels), "Layer: Panel sizes", "Show or hide", None),
        row(A::Layer(Layer::Trucks), "Layer: Truck lines", "Show or hide", None),
        row(A::Layer(Layer::Subgrade), "Layer: Subgrade shots", "Show or hide", None),
        row(A::ToggleSnap, "Snapping on or off", "Alt holds it off for a moment", plain(Key::N)),
        row(A::CommandList, "Command list", "Find any command by its name", command(Key::K)),
        row(A::Settings, "Settings…", "Look, text size, units", command(Key::Comma)),
        row(A::KeyHelp, "Keys…", "What every key does", plain(Key::F1)),
        row(A::Quit, "Quit", "Leave the program", command(Key::Q)),
    ]
};

/// The row of an action.
#[must_use]
pub fn info(action: Action) -> Option<&'static ActionInfo> {
    ACTIONS.iter().find(|row| row.action == action)
}

/// The name of a tool.
#[must_use]
pub fn tool_name(kind: ToolKind) -> &'static str {
    info(Action::Tool(kind)).map_or("", |row| row.name)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn no_key_and_no_action_stands_twice() {
        for (index, row) in ACTIONS.iter().enumerate() {
            for other in &ACTIONS[index + 1..] {
                assert_ne!(row.action, other.action);
                assert!(row.key.is_none() || row.key != other.key, "{} {}", row.name, other.name);
            }
        }
    }

    #[test]
    fn every_tool_of_every_stage_and_every_layer_is_an_action() {
        for stage in Stage::ALL {
            assert!(info(Action::Stage(stage)).is_some());
            for tool in stage.tools() {
                assert!(info(Action::Tool(*tool)).is_some(), "{tool:?}");
            }
        }
        for layer in Layer::ALL {
            assert!(info(Action::Layer(layer)).is_some(), "{layer:?}");
        }
    }
}
