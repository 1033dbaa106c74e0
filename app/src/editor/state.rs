//! What the editor keeps: the job with its history, the newest results, what is chosen and shown.

use crate::canvas::Canvas;
use crate::canvas::hit::Pick;
use crate::canvas::layers::Layers;
use crate::editor::board_count::BoardCount;
use crate::editor::file_door::{LeftOver, OpenDialog, Told};
use crate::editor::other_job::Other;
use crate::editor::outside::Outside;
use crate::editor::page_chooser::PageChooser;
use crate::editor::plan_picture::ShownPicture;
use crate::editor::settings::Settings;
use crate::editor::stages::Stage;
use crate::editor::templates::Template;
use crate::worker::Reply;
use slabloom_core::derive::Results;
use slabloom_core::derive::alternates::DerivedAlternate;
use slabloom_core::edit::{Edit, EditError, Gesture, History, Item};
use slabloom_core::geometry::Point;
use slabloom_core::job::Job;
use slabloom_core::job::ids::ItemId;
use slabloom_core::plan::Plan;
use std::path::PathBuf;
use std::sync::Arc;
use std::sync::mpsc::Receiver;

/// A line for the user in the status bar.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Message {
    /// The words.
    pub text: String,
    /// It is about something that went wrong.
    pub is_problem: bool,
}

/// Which file the job belongs to.
#[derive(Clone, Debug)]
pub struct OpenFile {
    /// Where it is saved, once it is.
    pub path: Option<PathBuf>,
    /// The job as it was saved or opened.
    pub saved: Arc<Job>,
}

/// A window over the plan that wants an answer.
#[derive(Clone, Debug, PartialEq)]
pub enum Dialog {
    /// There are changes that are not saved; then this is done.
    Unsaved(AfterSave),
    /// A path is typed to open.
    OpenPath(String),
    /// A path is typed to save to.
    SavePath(String),
    /// A path is typed to print the sheets to.
    SheetsPath(String),
    /// A save would bury what someone else saved to the same file.
    Buries(PathBuf),
    /// A path is typed to lay a plan picture from.
    PicturePath(String),
    /// The sizes of a usual outline are typed.
    Template(TemplateForm),
    /// A path is typed of a job to take the rates from.
    RatesPath(String),
    /// A path is typed of a job to hold this one against.
    ComparePath(String),
    /// A path is typed to read shots of the ground from.
    ShotsPath(String),
    /// The settings.
    Settings,
    /// What the keys do.
    Keys,
    /// Unsaved work of an earlier sitting was found.
    Recover(Vec<LeftOver>),
}

/// What is done once the job is saved or given up.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum AfterSave {
    /// An empty job.
    New,
    /// A usual outline with typed sizes.
    Template,
    /// The sample.
    OpenSample,
    /// Another job by a dialog.
    Open,
    /// Another job by a typed path.
    OpenPath,
    /// This job.
    OpenThis(PathBuf),
    /// Leave.
    Quit,
}

/// A usual outline while its sizes are typed.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct TemplateForm {
    /// Which one.
    pub template: Template,
    /// What is typed for each size; empty for the one that is offered.
    pub sizes: [String; 5],
}

/// The list of commands while it is open.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct CommandList {
    /// What is searched for.
    pub search: String,
    /// Which of the found is chosen.
    pub row: usize,
    /// The field has had the focus.
    pub has_focus: bool,
}

/// What the editor keeps.
pub struct EditorState {
    /// The job and every state of it in this sitting.
    pub history: History,
    /// Counts the changes.
    pub revision: u64,
    /// The checked slab of the job as it is now.
    pub plan: Arc<Plan>,
    /// The newest results.
    pub results: Arc<Results>,
    /// The revision that the results belong to.
    pub results_revision: u64,
    /// The revision of the job when it was opened or begun: results before it are another job's.
    pub first_revision: u64,
    /// The results when the drag began that is going on.
    pub before_drag: Option<Arc<Results>>,
    /// A stage of the program failed for the job as it is.
    pub fault: Option<String>,
    /// The stage of the work.
    pub stage: Stage,
    /// What each stage shows.
    pub layers: [Layers; 7],
    /// What is chosen.
    pub selection: Vec<Pick>,
    /// Shapes to show in the accent for this frame.
    pub highlight: Vec<Vec<Point>>,
    /// The canvas.
    pub canvas: Canvas,
    /// Snapping is on.
    pub is_snapping: bool,
    /// The line for the user.
    pub message: Option<Message>,
    /// The file of the job.
    pub file: OpenFile,
    /// A window that wants an answer.
    pub dialog: Option<Dialog>,
    /// A dialog of the system that is open.
    pub path_dialog: Option<OpenDialog>,
    /// Sheets that are being written.
    pub sheets: Option<Receiver<Told>>,
    /// The list of commands while it is open.
    pub commands: Option<CommandList>,
    /// What is done after the job is saved.
    pub after_save: Option<AfterSave>,
    /// Jobs opened lately, newest first.
    pub recent: Vec<PathBuf>,
    /// Settings of the program.
    pub settings: Settings,
    /// The window may close: everything is saved or given up.
    pub may_close: bool,
    /// When unsaved work is kept aside.
    pub aside: Aside,
    /// The plan picture on the screen.
    pub picture: ShownPicture,
    /// What others do with the job's file.
    pub outside: Outside,
    /// What stays lit on the plan until something else is chosen.
    pub lit: Lit,
    /// The alternates of the job, newest first known.
    pub alternates: Option<Arc<Vec<DerivedAlternate>>>,
    /// The alternates are shown side by side.
    pub is_comparing: bool,
    /// Another job that this one is held against.
    pub other: Option<Other>,
    /// The boards that a start corner would take, while it is pointed at.
    pub boards: BoardCount,
    /// The pages of the plan picture's file, while one is chosen.
    pub pages: Option<PageChooser>,
}

/// What stays lit on the plan.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Lit {
    /// The key of the quantity whose parts are lit.
    pub quantity: Option<String>,
    /// A place that something was said about.
    pub spot: Option<Point>,
}

/// When unsaved work is kept aside: a little after the last change.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub struct Aside {
    /// The revision that was kept.
    pub kept: u64,
    /// The revision that was seen last, and when, in seconds of the window's clock.
    pub seen: (u64, f64),
}

impl EditorState {
    /// The state around a job.
    #[must_use]
    pub fn new(job: Job, path: Option<PathBuf>, settings: Settings) -> Self {
        let plan = Arc::new(Plan::of(&job));
        let history = History::new(job);
        let saved = Arc::clone(history.job());
        Self {
            history,
            revision: 1,
            plan,
            results: Arc::default(),
            results_revision: 0,
            first_revision: 1,
            before_drag: None,
            fault: None,
            stage: Stage::Forms,
            layers: Stage::ALL.map(Stage::layers),
            selection: Vec::new(),
            highlight: Vec::new(),
            canvas: Canvas::fitting(),
            is_snapping: true,
            message: None,
            file: OpenFile { path, saved },
            dialog: None,
            path_dialog: None,
            sheets: None,
            commands: None,
            after_save: None,
            recent: Vec::new(),
            settings: settings.checked(),
            may_close: false,
            aside: Aside { kept: 1, seen: (1, 0.0) },
            picture: ShownPicture::default(),
            outside: Outside::default(),
            lit: Lit::default(),
            alternates: None,
            is_comparing: false,
            other: None,
            pages: None,
            boards: BoardCount::default(),
        }
    }

    /// The job as it is now.
    #[must_use]
    pub fn job(&self) -> &Arc<Job> {
        self.history.job()
    }

    /// Whether the job differs from its file.
    #[must_use]
    pub fn is_changed(&self) -> bool {
        !Arc::ptr_eq(self.job(), &self.file.saved) && **self.job() != *self.file.saved
    }

    /// Whether newer results are coming.
    #[must_use]
    pub fn is_behind(&self) -> bool {
        self.results_revision != self.revision && self.fault.is_none()
    }

    /// Whether nothing is known yet of what follows from this job, but is being worked out.
    #[must_use]
    pub fn awaits_first(&self) -> bool {
        self.results_revision < self.first_revision && self.is_behind()
    }

    /// What is shown in this stage.
    #[must_use]
    pub fn shown_layers(&self) -> Layers {
        self.layers.get(self.stage as usize).copied().unwrap_or_default()
    }

    /// Puts another job in place of this one, with a history of its own.
    pub fn replace(&mut self, job: Job, path: Option<PathBuf>) {
        self.history = History::new(job);
        self.file = OpenFile { path, saved: Arc::clone(self.history.job()) };
        self.selection.clear();
        self.canvas.wants_fit = true;
        self.canvas.tool = crate::canvas::tools::Tool::default();
        self.before_drag = None;
        self.alternates = None;
        self.is_comparing = false;
        self.other = None;
        self.pages = None;
        self.after_change();
        // Figures of the job before must not stand for this one's.
        self.first_revision = self.revision;
        self.results = Arc::default();
    }

    /// Makes a change; what cannot be done is told and changes nothing.
    ///
    /// # Errors
    /// The reason that was told.
    pub fn apply(&mut self, edit: &Edit, gesture: Gesture) -> Result<(), EditError> {
        let before = Arc::clone(self.job());
        if gesture == Gesture::Part && self.history.before_gesture().is_none() {
            self.before_drag = Some(Arc::clone(&self.results));
        }
        let made = self.history.apply(edit, gesture);
        match made {
            Ok(()) => {
                self.message = None;
                if !Arc::ptr_eq(&before, self.job()) {
                    self.after_change();
                }
            }
            Err(ref error) => self.say_problem(error.to_string()),
        }
        made
    }

    /// Ends a drag.
    pub fn end_gesture(&mut self) {
        self.history.end_gesture();
        self.before_drag = None;
    }

    /// Gives a drag up.
    pub fn cancel_gesture(&mut self) {
        self.history.cancel_gesture();
        self.before_drag = None;
        self.after_change();
    }

    /// One step back.
    pub fn undo(&mut self) {
        let name = self.history.undo_names().next();
        if self.history.undo() {
            self.after_change();
            self.say(format!("Undone: {}", name.unwrap_or("change")));
        }
    }

    /// One step forward.
    pub fn redo(&mut self) {
        let name = self.history.redo_names().next();
        if self.history.redo() {
            self.after_change();
            self.say(format!("Done again: {}", name.unwrap_or("change")));
        }
    }

    fn after_change(&mut self) {
        self.revision += 1;
        self.fault = None;
        self.plan = Arc::new(Plan::of(self.history.job()));
        let job = Arc::clone(self.history.job());
        self.selection.retain(|pick| is_there(&job, *pick));
    }

    /// Takes what the worker sends. Results of an older job are taken too while nothing newer is
    /// there: the newest that we have is shown.
    pub fn take(&mut self, reply: Reply) {
        match reply {
            Reply::Done { revision, results } => {
                if revision > self.results_revision && revision >= self.first_revision {
                    self.results = results;
                    self.results_revision = revision;
                }
            }
            Reply::Alternates { revision, alternates } => {
                if revision == self.revision {
                    self.alternates = Some(alternates);
                }
            }
            Reply::Fault { revision, message } => {
                if revision == self.revision {
                    self.fault = Some(message);
                }
            }
        }
    }

    /// The shapes of what stays lit.
    #[must_use]
    pub fn lit_shapes(&self) -> Vec<Vec<Point>> {
        let line = self.lit.quantity.as_ref();
        let line = line.and_then(|key| self.results.parts.takeoff.line(key));
        let parts = line.into_iter().flat_map(|line| &line.parts);
        let places = parts.flat_map(|part| part.places.iter().cloned());
        places.chain(self.lit.spot.map(mark_round)).collect()
    }

    /// Chooses what an edit put into the job.
    pub fn select_newest(&mut self) {
        if let Some(id) = newest_item(self.history.job()) {
            self.selection = vec![Pick::Item(id)];
        }
    }

    /// Tells the user something.
    pub fn say(&mut self, text: impl Into<String>) {
        self.message = Some(Message { text: text.into(), is_problem: false });
    }

    /// Tells the user that something went wrong.
    pub fn say_problem(&mut self, text: impl Into<String>) {
        self.message = Some(Message { text: text.into(), is_problem: true });
    }
}

/// A ring of a foot and a half round a place, to find it by.
fn mark_round(at: Point) -> Vec<Point> {
    use slabloom_core::geometry::Vector;
    (0..24)
        .map(|step| at + Vector::from_angle(f64::from(step) * std::f64::consts::TAU / 24.0) * 18.0)
        .collect()
}

/// Whether what was chosen is still in the job.
fn is_there(job: &Job, pick: Pick) -> bool {
    match pick {
        Pick::Corner(id) => job.outline.sides.iter().any(|side| side.id == id),
        Pick::Item(id) | Pick::ItemCorner(id, _) => all_items(job).contains(&id),
        // Derived things may have another place in the next results.
        Pick::Circuit(_) | Pick::FoundJoint(_) | Pick::SlabPanel(_) | Pick::BoardPiece(..) => true,
    }
}

/// Everything with an id.
#[must_use]
pub fn all_items(job: &Job) -> Vec<ItemId> {
    let mut items: Vec<ItemId> = Vec::new();
    items.extend(job.outline.sides.iter().map(|item| ItemId::from(item.id)));
    items.extend(crate::canvas::hit::placed_items(job).into_iter().map(|(id, _)| id));
    items.extend(crate::canvas::hit::cornered_items(job).into_iter().map(|(id, ..)| id));
    items
}

/// The thing that got the newest id.
fn newest_item(job: &Job) -> Option<ItemId> {
    let newest = job.ids.0.checked_sub(1)?;
    // A new corner leaves the choice where it is.
    all_items(job).into_iter().find(|id| !matches!(id, ItemId::SideId(_)) && id.number() == newest)
}

/// A copy of a thing, a little aside, to put into the job as a new one.
#[must_use]
pub fn copy_of(job: &Job, id: ItemId) -> Option<Item> {
    let step = slabloom_core::geometry::Vector::new(24.0, 24.0);
    Some(match id {
        ItemId::PenetrationId(id) => {
            let mut item = job.openings.penetrations.iter().find(|item| item.id == id)?.clone();
            item.id = Default::default();
            item.at += step;
            Item::Penetration(item)
        }
        ItemId::PadId(id) => {
            let mut item = job.thickenings.pads.iter().find(|item| item.id == id)?.clone();
            item.id = Default::default();
            item.at += step;
            Item::Pad(item)
        }
        ItemId::StripId(id) => {
            let mut item = job.thickenings.strips.iter().find(|item| item.id == id)?.clone();
            item.id = Default::default();
            item.line.iter_mut().for_each(|at| *at += step);
            Item::Strip(item)
        }
        _ => return None,
    })
}
