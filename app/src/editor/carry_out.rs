//! Carries out what panels, keys and tools asked for: the one place where the state changes.

use super::Editor;
use super::dialogs::Decision;
use super::file_door::{OpenDialog, PathUse, Picked};
use super::requests::{Request, Requests};
use super::state::{AfterSave, CommandList, Dialog, Lit};
use super::{actions::Action, sample};
use crate::canvas::CanvasAnswer;
use crate::canvas::hit::Pick;
use crate::canvas::layers::Layer;
use crate::canvas::tools::{Ask, Input, Scene, Tool, ToolKind, select};
use egui::{Context, ViewportCommand};
use slabloom_core::edit::{Edit, Gesture, OutlineEdit, Reshape, SideEnd};
use slabloom_core::job::Job;
use slabloom_core::job::ids::ItemId;
use slabloom_core::units::{parse_length, show_number};
use std::path::PathBuf;
use std::sync::Arc;
use std::sync::mpsc::TryRecvError;

/// What the canvas asks for, as requests.
pub(super) fn translate(answer: CanvasAnswer, job: &Job, ask: &mut Requests) {
    for one in answer.asks {
        ask.push(match one {
            Ask::Edit(edit) => Request::Edit(edit),
            Ask::Part(edit) => Request::Part(edit),
            Ask::EndGesture => Request::EndGesture,
            Ask::CancelGesture => Request::CancelGesture,
            Ask::Select(picks) => Request::Select(picks),
            Ask::SelectNewest => Request::SelectNewest,
            Ask::Say(text) => Request::Say(text),
            Ask::Done => Request::Action(Action::Tool(ToolKind::Select)),
        });
    }
    ask.0.extend(answer.action.map(Request::Action));
    if let Some((side, text)) = answer.typed_length {
        ask.push(match parse_length(&text, job.facts.display.bare_unit) {
            Ok(length) => {
                Request::Edit(Edit::Outline(OutlineEdit::SetLength(side, length, SideEnd::End)))
            }
            Err(error) => Request::Say(error.to_string()),
        });
    }
}

impl Editor {
    /// Carries out one request.
    pub(super) fn carry_out(&mut self, context: &Context, request: Request) {
        let state = &mut self.state;
        match request {
            Request::Edit(edit) => {
                let had_slab = !state.plan.is_empty();
                if let Err(reason) = state.apply(&edit, Gesture::Single) {
                    crate::widgets::refuse(context, &reason.to_string());
                }
                // A first slab comes into view by itself.
                if !had_slab && !state.plan.is_empty() {
                    state.canvas.wants_fit = true;
                }
            }
            // What cannot be done was told; the next part of the drag may be possible.
            Request::Part(edit) => drop(state.apply(&edit, Gesture::Part)),
            Request::EndGesture => state.end_gesture(),
            Request::CancelGesture => state.cancel_gesture(),
            Request::Action(action) => self.act(context, action),
            Request::Select(picks) => {
                state.selection = picks;
                state.lit = Lit::default();
            }
            Request::Trace(key) => self.trace(key),
            Request::SelectNewest => state.select_newest(),
            Request::LookAt(at) => {
                state.canvas.look_at(at);
                state.lit = Lit { quantity: None, spot: Some(at) };
            }
            Request::Highlight(shapes) => state.highlight.extend(shapes),
            Request::Reveal(layer) => {
                if let Some(layers) = state.layers.get_mut(state.stage as usize) {
                    layers.show(layer);
                }
            }
            Request::Settings(settings) => {
                state.settings = settings.checked();
                self.remember_user();
            }
            Request::Say(text) => state.say(text),
        }
    }

    fn act(&mut self, context: &Context, action: Action) {
        let state = &mut self.state;
        match action {
            Action::New => self.guard(context, AfterSave::New),
            Action::OpenSample => self.guard(context, AfterSave::OpenSample),
            Action::Open => self.guard(context, AfterSave::Open),
            Action::OpenPath => self.guard(context, AfterSave::OpenPath),
            Action::OpenRecent(index) => {
                if let Some(path) = state.recent.get(index).cloned() {
                    self.guard(context, AfterSave::OpenThis(path));
                }
            }
            Action::Save => self.save(context),
            Action::SaveAs => self.pick(PathUse::Save),
            Action::SavePath => self.state.dialog = Some(Dialog::SavePath(suggested_path(self))),
            Action::Reload => {
                if let Some(path) = state.file.path.clone() {
                    self.guard(context, AfterSave::OpenThis(path));
                }
            }
            Action::Sheets => {
                if state.is_behind() {
                    state.say("Newer results are coming: print when they are there");
                } else {
                    self.pick(PathUse::Sheets);
                }
            }
            Action::LayPicture => self.pick(PathUse::Picture),
            Action::LayPicturePath => state.dialog = Some(Dialog::PicturePath(String::new())),
            Action::DropPicture => {
                drop(state.apply(&Edit::SetUnderlay(Default::default()), Gesture::Single));
            }
            Action::Undo => state.undo(),
            Action::Redo => state.redo(),
            Action::Delete => self.delete(),
            Action::Duplicate => self.duplicate(),
            Action::SelectAll => {
                let items = super::state::all_items(state.job());
                state.selection = items.into_iter().map(Pick::Item).collect();
            }
            Action::LockJoint => self.lock_joints(context),
            Action::TurnToLongest => self.turn_to_longest(),
            Action::Mirror => self.mirror(),
            Action::TakeRates => self.pick(PathUse::Rates),
            Action::Stage(stage) => {
                state.stage = stage;
                if !stage.tools().contains(&state.canvas.tool.kind()) {
                    state.canvas.tool = Tool::default();
                }
                state.message = None;
            }
            Action::Tool(kind) => {
                state.canvas.tool = Tool::new(kind);
                state.canvas.typed.clear();
                state.canvas.wants_focus = kind != ToolKind::Select;
                state.message = None;
                let is_of_picture = matches!(state.canvas.tool, Tool::Picture(_));
                if is_of_picture {
                    state.stage = super::stages::Stage::Forms;
                }
                if !is_of_picture
                    && !state.stage.tools().contains(&kind)
                    && let Some(stage) = super::stages::Stage::ALL
                        .into_iter()
                        .find(|stage| stage.tools().contains(&kind))
                {
                    state.stage = stage;
                }
                // What a tool makes must be seen.
                if let (Some(layer), Some(layers)) =
                    (layer_of(kind), state.layers.get_mut(state.stage as usize))
                {
                    layers.show(layer);
                }
            }
            Action::ZoomFit => state.canvas.wants_fit = true,
            Action::ZoomIn => state.canvas.view.zoom *= 1.25,
            Action::ZoomOut => state.canvas.view.zoom /= 1.25,
            Action::Layer(layer) => {
                if let Some(layers) = state.layers.get_mut(state.stage as usize) {
                    layers.toggle(layer);
                }
            }
            Action::ToggleSnap => state.is_snapping = !state.is_snapping,
            Action::CommandList => state.commands = Some(CommandList::default()),
            Action::Settings => state.dialog = Some(Dialog::Settings),
            Action::KeyHelp => state.dialog = Some(Dialog::Keys),
            Action::Quit => self.guard(context, AfterSave::Quit),
        }
    }

    fn delete(&mut self) {
        let picks = std::mem::take(&mut self.state.selection);
        for pick in picks {
            let edit = match pick {
                Pick::Corner(id) => Edit::Outline(OutlineEdit::RemoveCorner(id)),
                Pick::Item(ItemId::SideId(id)) => Edit::Outline(OutlineEdit::RemoveCorner(id)),
                Pick::Item(id) | Pick::ItemCorner(id, _) => Edit::Remove(id),
                Pick::Circuit(_)
                | Pick::FoundJoint(_)
                | Pick::SlabPanel(_)
                | Pick::BoardPiece(..) => {
                    self.state.say("The program laid that out: change what it follows from");
                    continue;
                }
            };
            drop(self.state.apply(&edit, Gesture::Single));
        }
    }

    fn duplicate(&mut self) {
        let picks = self.state.selection.clone();
        let ids = picks.iter().filter_map(|pick| match pick {
            Pick::Item(id) => Some(*id),
            _ => None,
        });
        for id in ids {
            match super::state::copy_of(self.state.job(), id) {
                Some(item) => {
                    drop(self.state.apply(&Edit::Put(item), Gesture::Single));
                    self.state.select_newest();
                }
                None => self.state.say("Pipes, drains, columns, pads and strips can be copied"),
            }
        }
    }

    fn lock_joints(&mut self, context: &Context) {
        let (job, results) = (Arc::clone(self.state.job()), Arc::clone(&self.state.results));
        let plan = Arc::clone(&self.state.plan);
        let selection = self.state.selection.clone();
        let scene = Scene {
            job: &job,
            plan: &plan,
            results: &results,
            selection: &selection,
            pickable: self.state.shown_layers().pickable(),
        };
        let mut ask = Requests::default();
        for pick in &selection {
            if let Pick::FoundJoint(index) = pick {
                let asks = select::lock_joint(*index, &scene);
                translate(CanvasAnswer { asks, ..CanvasAnswer::default() }, &job, &mut ask);
            }
        }
        if ask.0.is_empty() {
            self.state.say("Choose a joint first");
        }
        for request in ask.0 {
            self.carry_out(context, request);
        }
    }

    fn turn_to_longest(&mut self) {
        let longest = self
            .state
            .job()
            .outline
            .segments()
            .map(|(_, side)| (side.start(), side.end()))
            .max_by(|a, b| a.0.distance(a.1).total_cmp(&b.0.distance(b.1)));
        let Some((from, to)) = longest else { return };
        // To the nearest axis, so that the plan does not stand on its head.
        let angle = (to - from).angle();
        let quarter = std::f64::consts::FRAC_PI_2;
        let turn = (angle / quarter).round() * quarter - angle;
        let reshape = Reshape { about: from, turn, ..Reshape::default() };
        drop(self.state.apply(&Edit::Outline(OutlineEdit::Reshape(reshape)), Gesture::Single));
        self.state.canvas.wants_fit = true;
    }

    fn mirror(&mut self) {
        let Some(bounds) = self.state.plan.bounds() else { return };
        let reshape = Reshape { about: bounds.center(), is_mirrored: true, ..Reshape::default() };
        drop(self.state.apply(&Edit::Outline(OutlineEdit::Reshape(reshape)), Gesture::Single));
    }

    /// Does something that would lose changes, after asking.
    fn guard(&mut self, context: &Context, after: AfterSave) {
        if self.state.is_changed() {
            self.state.dialog = Some(Dialog::Unsaved(after));
        } else {
            self.go_on(context, after);
        }
    }

    fn go_on(&mut self, context: &Context, after: AfterSave) {
        match after {
            AfterSave::New => self.replace(Job::default()),
            AfterSave::OpenSample => self.replace(sample::sample()),
            AfterSave::Open => self.pick(PathUse::Open),
            AfterSave::OpenPath => self.state.dialog = Some(Dialog::OpenPath(String::new())),
            AfterSave::OpenThis(path) => self.open_from(path),
            AfterSave::Quit => {
                self.state.may_close = true;
                context.send_viewport_cmd(ViewportCommand::Close);
            }
        }
    }

    /// Puts a job without a file in place of this one.
    fn replace(&mut self, job: Job) {
        self.state.replace(job, None);
        self.claim_file();
    }

    /// Carries out what was decided in a dialog.
    pub(super) fn decide(&mut self, context: &Context, decision: Decision) {
        match decision {
            Decision::SaveThen(after) => {
                self.state.after_save = Some(after);
                self.save(context);
            }
            Decision::Discard(after) => {
                self.door.forget_aside(self.state.file.path.as_deref());
                self.state.file.saved = Arc::clone(self.state.job());
                self.go_on(context, after);
            }
            Decision::OpenFrom(path) => self.open_from(path),
            Decision::SaveTo(path) => self.save_to(context, path),
            Decision::SaveOver(path) => self.save_over(context, path),
            Decision::SaveElsewhere => self.pick(PathUse::Save),
            Decision::SheetsTo(path) => self.print_to(path),
            Decision::PictureFrom(path) => self.lay_picture(&path),
            Decision::RatesFrom(path) => self.take_rates(&path),
            Decision::Recover(left) => {
                self.state.replace(left.job, left.path);
                self.claim_file();
                // What was found is not in any file: it counts as changed.
                self.state.file.saved = Arc::new(Job::default());
                self.state.say("Here is the work that was not saved: save it now");
            }
            Decision::Forget(path) => self.door.forget_aside(path.as_deref()),
            Decision::Close => self.state.after_save = None,
        }
    }

    fn save(&mut self, context: &Context) {
        match self.state.file.path.clone() {
            Some(path) => self.save_to(context, path),
            None => self.pick(PathUse::Save),
        }
    }

    fn save_to(&mut self, context: &Context, path: PathBuf) {
        if !self.asks_before_burying(&path) {
            self.save_over(context, path);
        }
    }

    fn save_over(&mut self, context: &Context, path: PathBuf) {
        let job = Arc::clone(self.state.job());
        match self.door.write(&path, &job) {
            Ok(()) => {
                self.state.say(format!("Saved to {}", path.display()));
                self.door.forget_aside(self.state.file.path.as_deref());
                self.door.forget_aside(Some(&path));
                self.state.aside.kept = self.state.revision;
                self.state.file.saved = job;
                self.state.file.path = Some(path.clone());
                self.claim_file();
                self.remember(path);
                if let Some(after) = self.state.after_save.take() {
                    self.go_on(context, after);
                }
            }
            Err(message) => {
                self.state.after_save = None;
                self.state.say_problem(message);
            }
        }
    }

    fn open_from(&mut self, path: PathBuf) {
        match self.door.read(&path) {
            Ok(job) => {
                self.state.replace(job, Some(path.clone()));
                self.state.say(format!("Opened {}", path.display()));
                self.claim_file();
                self.remember(path);
            }
            Err(message) => self.state.say_problem(message),
        }
    }

    /// Puts the rate book of another job in place of this one's.
    fn take_rates(&mut self, path: &std::path::Path) {
        match self.door.read_rates(path) {
            Ok(prices) if prices.rates.is_empty() => {
                self.state.say_problem(format!("{} has no rates", path.display()));
            }
            Ok(prices) => {
                let count = prices.rates.len();
                if self.state.apply(&Edit::SetPrices(prices), Gesture::Single).is_ok() {
                    self.state.say(format!("{count} rates taken from {}", path.display()));
                }
            }
            Err(message) => self.state.say_problem(message),
        }
    }

    /// Lights up the parts that a quantity adds up from, and says them; the same again puts the
    /// light out.
    fn trace(&mut self, key: String) {
        let state = &mut self.state;
        if state.lit.quantity.as_ref() == Some(&key) {
            state.lit = Lit::default();
            return;
        }
        if let Some(line) = state.results.parts.takeoff.line(&key) {
            let parts: Vec<String> = line
                .parts
                .iter()
                .take(4)
                .map(|part| format!("{} {}", part.name, show_number(part.quantity, 2)))
                .collect();
            let more = line.parts.len().saturating_sub(4);
            let more = if more > 0 { format!(" + {more} more") } else { String::new() };
            let unit = line.unit;
            let whole = format!("{}: {} {unit}", line.item, show_number(line.quantity, 2));
            let said = if parts.is_empty() {
                whole
            } else {
                format!("{whole} = {}{more}", parts.join(" + "))
            };
            state.say(said);
        }
        state.lit = Lit { quantity: Some(key), spot: None };
    }

    fn remember(&mut self, path: PathBuf) {
        self.state.recent.retain(|known| *known != path);
        self.state.recent.insert(0, path);
        self.state.recent.truncate(10);
        self.remember_user();
    }

    /// Remembers recent jobs and the look for the next sitting.
    pub(super) fn remember_user(&self) {
        let mut file = self.door.user_file();
        file.recent.clone_from(&self.state.recent);
        self.state.settings.write_to(&mut file);
        self.door.keep_user_file(&file);
    }

    /// Keeps unsaved work aside, a little after the last change and never in a drag.
    pub(super) fn keep_aside(&mut self, context: &Context) {
        let now = context.input(|input| input.time);
        let state = &mut self.state;
        if state.aside.seen.0 != state.revision {
            state.aside.seen = (state.revision, now);
        }
        let is_due = state.aside.kept != state.revision && state.history.before_gesture().is_none();
        if !is_due || !state.is_changed() {
            return;
        }
        if now - state.aside.seen.1 >= ASIDE_AFTER_S {
            state.aside.kept = state.revision;
            self.door.keep_aside(state.file.path.as_deref(), state.job());
        } else {
            context.request_repaint_after(std::time::Duration::from_secs_f64(ASIDE_AFTER_S));
        }
    }

    fn print_to(&mut self, path: PathBuf) {
        let (job, results) = (Arc::clone(self.state.job()), Arc::clone(&self.state.results));
        self.state.sheets = Some(self.door.write_sheets(&path, &job, &results));
        self.state.say("The sheets are being drawn…");
    }

    /// Tells how the sheets went, once they are written.
    pub(super) fn poll_sheets(&mut self, context: &Context) {
        let Some(sheets) = &self.state.sheets else { return };
        let told = match sheets.try_recv() {
            Ok(told) => told,
            Err(TryRecvError::Empty) => {
                context.request_repaint_after(std::time::Duration::from_millis(50));
                return;
            }
            Err(TryRecvError::Disconnected) => Err("The sheets could not be drawn".to_owned()),
        };
        self.state.sheets = None;
        match told {
            Ok(words) => self.state.say(words),
            Err(words) => self.state.say_problem(words),
        }
        context.request_repaint();
    }

    /// Asks for a path in a dialog of the system.
    fn pick(&mut self, path_use: PathUse) {
        if self.state.path_dialog.is_none() {
            let ending = match path_use {
                PathUse::Open | PathUse::Save | PathUse::Picture | PathUse::Rates => {
                    super::file_door::JOB_ENDING
                }
                PathUse::Sheets => super::file_door::SHEETS_ENDING,
            };
            let name = format!("{}.{ending}", file_name(self.state.job()));
            let answer = self.door.pick(path_use, &name);
            self.state.path_dialog = Some(OpenDialog { path_use, answer });
        }
    }

    /// Takes the answer of a dialog of the system once it is there.
    pub(super) fn poll_path_dialog(&mut self, context: &Context) {
        let Some(dialog) = &self.state.path_dialog else { return };
        let Some(picked) = dialog.poll() else {
            context.request_repaint_after(std::time::Duration::from_millis(100));
            return;
        };
        let path_use = dialog.path_use;
        self.state.path_dialog = None;
        match (picked, path_use) {
            (Picked::Path(path), PathUse::Open) => self.open_from(path),
            (Picked::Path(path), PathUse::Save) => self.save_to(context, path),
            (Picked::Path(path), PathUse::Sheets) => self.print_to(path),
            (Picked::Path(path), PathUse::Picture) => self.lay_picture(&path),
            (Picked::Path(path), PathUse::Rates) => self.take_rates(&path),
            (Picked::Nothing, _) => self.state.after_save = None,
            (Picked::NoDialog, PathUse::Sheets) => {
                let name = file_name(self.state.job());
                let path = format!("{name}.{}", super::file_door::SHEETS_ENDING);
                self.state.dialog = Some(Dialog::SheetsPath(path));
            }
            (Picked::NoDialog, PathUse::Picture) => {
                self.state.dialog = Some(Dialog::PicturePath(String::new()));
            }
            (Picked::NoDialog, PathUse::Rates) => {
                self.state.dialog = Some(Dialog::RatesPath(String::new()));
            }
            (Picked::NoDialog, PathUse::Open) => {
                self.state.dialog = Some(Dialog::OpenPath(String::new()));
            }
            (Picked::NoDialog, PathUse::Save) => {
                self.state.dialog = Some(Dialog::SavePath(suggested_path(self)));
            }
        }
        context.request_repaint();
    }

    /// Holds the window open while there are changes that are not saved.
    pub(super) fn guard_closing(&mut self, context: &Context) {
        let wants_close = context.input(|input| input.viewport().close_requested());
        if wants_close && !self.state.may_close && self.state.is_changed() {
            context.send_viewport_cmd(ViewportCommand::CancelClose);
            self.state.dialog = Some(Dialog::Unsaved(AfterSave::Quit));
        }
    }

    /// What a tool would do with an input now; for keys that are no canvas input.
    pub fn tool_input(&mut self, context: &Context, input: &Input) {
        let (job, results) = (Arc::clone(self.state.job()), Arc::clone(&self.state.results));
        let plan = Arc::clone(&self.state.plan);
        let selection = self.state.selection.clone();
        let pickable = self.state.shown_layers().pickable();
        let scene =
            Scene { job: &job, plan: &plan, results: &results, selection: &selection, pickable };
        let asks = self.state.canvas.tool.handle(input, &scene);
        let mut ask = Requests::default();
        translate(CanvasAnswer { asks, ..CanvasAnswer::default() }, &job, &mut ask);
        for request in ask.0 {
            self.carry_out(context, request);
        }
    }
}

/// The layer that what a tool makes is on.
const fn layer_of(kind: ToolKind) -> Option<Layer> {
    match kind {
        ToolKind::Shot => Some(Layer::Subgrade),
        ToolKind::PictureScale | ToolKind::PictureSquare | ToolKind::PictureMove => {
            Some(Layer::Picture)
        }
        ToolKind::Strip | ToolKind::Pad => Some(Layer::Thickenings),
        ToolKind::Zone | ToolKind::KeepOut | ToolKind::Manifold => Some(Layer::Zones),
        ToolKind::Joint | ToolKind::IsolationJoint | ToolKind::ConstructionJoint => {
            Some(Layer::Joints)
        }
        _ => None,
    }
}

/// Unsaved work is kept aside this long after the last change, seconds.
const ASIDE_AFTER_S: f64 = 2.0;

fn suggested_path(editor: &Editor) -> String {
    editor.state.file.path.as_ref().map_or_else(
        || format!("{}.{}", file_name(editor.state.job()), super::file_door::JOB_ENDING),
        |path| path.display().to_string(),
    )
}

/// The job's title as a file name: letters, figures and dashes.
fn file_name(job: &Job) -> String {
    let words: Vec<String> = job
        .facts
        .title
        .split(|character: char| !character.is_alphanumeric())
        .filter(|word| !word.is_empty())
        .map(str::to_lowercase)
        .collect();
    if words.is_empty() { "slab".to_owned() } else { words.join("-") }
}
