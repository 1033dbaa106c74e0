//! Carries out what panels, keys and tools asked for: the one place where the state changes.

use super::Editor;
use super::dialogs::Decision;
use super::file_door::PathUse;
use super::job_file::suggested_path;
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
use std::sync::Arc;

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
            // On an empty plan there is nothing to lose.
            Action::NewFromTemplate if state.job().outline.sides.is_empty() => {
                self.go_on(context, AfterSave::Template);
            }
            Action::NewFromTemplate => self.guard(context, AfterSave::Template),
            Action::Compare => state.is_comparing = !state.is_comparing,
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
            Action::CompareJobs => self.pick(PathUse::Compare),
            Action::ChoosePage => self.choose_page(),
            Action::KeepPicture => self.keep_picture(),
            Action::LeavePicture => self.leave_picture(),
            Action::ReadShots => self.pick(PathUse::Shots),
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

    pub(super) fn go_on(&mut self, context: &Context, after: AfterSave) {
        match after {
            AfterSave::New => self.replace(Job::default()),
            AfterSave::Template => self.state.dialog = Some(Dialog::Template(Default::default())),
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

    /// The outline of a template: into the job that has none, or as a new job.
    fn start_from(&mut self, corners: Vec<slabloom_core::geometry::Point>) {
        let corners: Vec<_> = corners.into_iter().map(|at| (at, None)).collect();
        if self.state.job().outline.sides.is_empty() {
            let edit = Edit::Outline(OutlineEdit::Draw(corners));
            drop(self.state.apply(&edit, Gesture::Single));
            self.state.canvas.wants_fit = true;
        } else {
            self.replace(Job::from_corners(&corners));
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
            Decision::StartFrom(corners) => self.start_from(corners),
            Decision::SaveTo(path) => self.save_to(context, path),
            Decision::SaveOver(path) => self.save_over(context, path),
            Decision::SaveElsewhere => self.pick(PathUse::Save),
            Decision::SheetsTo(path) => self.print_to(path),
            Decision::PictureFrom(path) => self.lay_picture(&path),
            Decision::RatesFrom(path) => self.take_rates(&path),
            Decision::CompareWith(path) => self.compare_with(&path),
            Decision::ShotsFrom(path) => self.read_shots(context, &path),
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
        ToolKind::StartCorner | ToolKind::FoamZone => Some(Layer::Foam),
        ToolKind::PictureScale | ToolKind::PictureSquare | ToolKind::PictureMove => {
            Some(Layer::Picture)
        }
        ToolKind::Strip | ToolKind::Pad => Some(Layer::Thickenings),
        ToolKind::Zone | ToolKind::KeepOut | ToolKind::Manifold => Some(Layer::Zones),
        ToolKind::Circuit => Some(Layer::Tube),
        ToolKind::Joint | ToolKind::IsolationJoint | ToolKind::ConstructionJoint => {
            Some(Layer::Joints)
        }
        _ => None,
    }
}
