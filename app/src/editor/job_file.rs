//! Opens, saves and prints: what the editor does with files, through its door.

use super::Editor;
use super::arriving::arrived;
use super::file_door::{OpenDialog, PathUse, Picked};
use super::state::{AfterSave, Dialog};
use egui::{Context, ViewportCommand};
use slabloom_core::edit::{Edit, Gesture};
use slabloom_core::job::Job;
use std::path::PathBuf;
use std::sync::Arc;

impl Editor {
    pub(super) fn save(&mut self, context: &Context) {
        match self.state.file.path.clone() {
            Some(path) => self.save_to(context, path),
            None => self.pick(PathUse::Save),
        }
    }

    pub(super) fn save_to(&mut self, context: &Context, path: PathBuf) {
        if !self.asks_before_burying(&path) {
            self.save_over(context, path);
        }
    }

    pub(super) fn save_over(&mut self, context: &Context, path: PathBuf) {
        self.rebase_picture(&path);
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

    pub(super) fn open_from(&mut self, path: PathBuf) {
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
    pub(super) fn take_rates(&mut self, path: &std::path::Path) {
        match self.door.look_into(path) {
            Ok(other) if other.prices.rates.is_empty() => {
                self.state.say_problem(format!("{} has no rates", path.display()));
            }
            Ok(other) => {
                let count = other.prices.rates.len();
                if self
                    .state
                    .apply(&Edit::SetPrices((*other.prices).clone()), Gesture::Single)
                    .is_ok()
                {
                    self.state.say(format!("{count} rates taken from {}", path.display()));
                }
            }
            Err(message) => self.state.say_problem(message),
        }
    }

    /// Reads a table of shots into the field where shots are typed: there it is seen, and how it
    /// is to be read is chosen, before it changes the job.
    pub(super) fn read_shots(&mut self, context: &Context, path: &std::path::Path) {
        match self.door.read_table(path) {
            Ok(text) => {
                crate::panels::put_shots_text(context, &text);
                self.state.stage = super::stages::Stage::Pour;
                self.state.say("Look the shots over at the right, then take them");
            }
            Err(message) => self.state.say_problem(message),
        }
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

    pub(super) fn print_to(&mut self, path: PathBuf) {
        let (job, results) = (Arc::clone(self.state.job()), Arc::clone(&self.state.results));
        self.state.sheets = Some(self.door.write_sheets(&path, &job, &results));
        self.state.say("The sheets are being drawn…");
    }

    /// Tells how the sheets went, once they are written.
    pub(super) fn poll_sheets(&mut self, context: &Context) {
        let Some(sheets) = &self.state.sheets else { return };
        let Some(told) = arrived(sheets, context, "The sheets could not be drawn") else { return };
        self.state.sheets = None;
        match told {
            Ok(words) => self.state.say(words),
            Err(words) => self.state.say_problem(words),
        }
        context.request_repaint();
    }

    /// Asks for a path in a dialog of the system.
    pub(super) fn pick(&mut self, path_use: PathUse) {
        if self.state.path_dialog.is_none() {
            let ending = match path_use {
                PathUse::Open
                | PathUse::Save
                | PathUse::Picture
                | PathUse::Rates
                | PathUse::Compare
                | PathUse::Shots => super::file_door::JOB_ENDING,
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
            (Picked::Path(path), PathUse::Compare) => self.compare_with(&path),
            (Picked::Path(path), PathUse::Shots) => self.read_shots(context, &path),
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
            (Picked::NoDialog, PathUse::Compare) => {
                self.state.dialog = Some(Dialog::ComparePath(String::new()));
            }
            (Picked::NoDialog, PathUse::Shots) => {
                self.state.dialog = Some(Dialog::ShotsPath(String::new()));
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
}

/// Unsaved work is kept aside this long after the last change, seconds.
const ASIDE_AFTER_S: f64 = 2.0;

/// Where a job without a file would be saved.
pub(super) fn suggested_path(editor: &Editor) -> String {
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
