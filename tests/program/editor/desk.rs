//! A desk to work at: the editor in a test window, with hands that click and type.

use egui::{Event, Key, Modifiers, PointerButton, Pos2};
use egui_kittest::Harness;
use egui_kittest::kittest::Queryable;
use slabloom::canvas::CANVAS_NAME;
use slabloom::canvas::view::Sight;
use slabloom::editor::Editor;
use slabloom::editor::file_door::{
    FileDoor, LeftOver, OtherJob, PathUse, Picked, Standing, Thumbnail, Told,
};
use slabloom::files::{
    Disk, PlanImage, Settings as UserFile, draw_thumbnails, is_there, read_plan_picture,
    to_keep_in_job,
};
use slabloom_core::derive::Results;
use slabloom_core::geometry::Point;
use slabloom_core::job::file_bytes::FileBytes;
use slabloom_core::job::underlay::PlanPicture;
use slabloom_core::job::{Job, file};
use std::cell::RefCell;
use std::collections::BTreeMap;
use std::path::{Path, PathBuf};
use std::rc::Rc;
use std::sync::Arc;
use std::sync::mpsc::{Receiver, channel};
use std::time::{Duration, Instant};

/// Files in memory.
pub type Shelf = Rc<RefCell<BTreeMap<PathBuf, String>>>;
/// Unsaved work in memory, by the job's file.
pub type Kept = Rc<RefCell<BTreeMap<Option<PathBuf>, Job>>>;

/// A door to files in memory; its dialogs answer with a fixed path.
pub struct ShelfDoor {
    shelf: Shelf,
    kept: Kept,
    answer: Picked,
    picture: Rc<RefCell<PathBuf>>,
    holder: Rc<RefCell<Option<String>>>,
    seen: RefCell<BTreeMap<PathBuf, String>>,
}

impl FileDoor for ShelfDoor {
    fn pick(&self, path_use: PathUse, _: &str) -> Receiver<Picked> {
        let (sender, receiver) = channel();
        let answer = match path_use {
            PathUse::Picture => Picked::Path(self.picture.borrow().clone()),
            _ => self.answer.clone(),
        };
        sender.send(answer).unwrap();
        receiver
    }

    fn read(&self, path: &Path) -> Result<Job, String> {
        let text = self.shelf.borrow().get(path).cloned().ok_or("no such file")?;
        self.seen.borrow_mut().insert(path.to_owned(), text.clone());
        file::read(&text).map(|opened| opened.job).map_err(|error| error.to_string())
    }

    fn look_into(&self, path: &Path) -> Result<Job, String> {
        let text = self.shelf.borrow().get(path).cloned().ok_or("no such file")?;
        file::read(&text).map(|opened| opened.job).map_err(|error| error.to_string())
    }

    fn work_out(&self, path: &Path) -> Receiver<Result<OtherJob, String>> {
        told(self.look_into(path).map(|job| OtherJob::of(path.to_owned(), &job)))
    }

    fn read_table(&self, path: &Path) -> Result<String, String> {
        self.shelf.borrow().get(path).cloned().ok_or_else(|| "no such file".to_owned())
    }

    fn write(&self, path: &Path, job: &Job) -> Result<(), String> {
        let text = file::write(job).map_err(|error| error.to_string())?;
        self.seen.borrow_mut().insert(path.to_owned(), text.clone());
        self.shelf.borrow_mut().insert(path.to_owned(), text);
        Ok(())
    }

    fn claim(&self, path: Option<&Path>) -> Option<String> {
        path.and_then(|_| self.holder.borrow().clone())
    }

    fn standing(&self, path: &Path) -> Standing {
        let (seen, shelf) = (self.seen.borrow(), self.shelf.borrow());
        match (seen.get(path), shelf.get(path)) {
            (Some(_), None) => Standing::Gone,
            (Some(seen), Some(now)) if seen != now => Standing::Changed,
            _ => Standing::AsSeen,
        }
    }

    fn look(&self, path: &Path) -> Receiver<Standing> {
        let (sender, receiver) = channel();
        sender.send(self.standing(path)).unwrap();
        receiver
    }

    fn write_sheets(&self, path: &Path, job: &Arc<Job>, results: &Arc<Results>) -> Receiver<Told> {
        let pages = slabloom_core::sheets::sheet_set(job, results);
        let text = pages.iter().map(|page| format!("{}\n", page.title)).collect();
        self.shelf.borrow_mut().insert(path.to_owned(), text);
        let (sender, receiver) = channel();
        sender.send(Ok(format!("{} sheets", pages.len()))).unwrap();
        receiver
    }

    fn read_picture(
        &self,
        wanted: (&PlanPicture, u16),
        job: Option<&Path>,
    ) -> Receiver<Result<PlanImage, String>> {
        told(read_plan_picture(&Disk, wanted, job))
    }

    fn draw_thumbnails(&self, picture: &PlanPicture, job: Option<&Path>) -> Receiver<Thumbnail> {
        let (sender, receiver) = channel();
        draw_thumbnails(&Disk, picture, job, |page, drawn| sender.send((page, drawn)).is_ok());
        receiver
    }

    fn is_there(&self, picture: &PlanPicture, job: Option<&Path>) -> bool {
        is_there(&Disk, picture, job)
    }

    fn read_to_keep(
        &self,
        picture: &PlanPicture,
        job: Option<&Path>,
    ) -> Receiver<Result<FileBytes, String>> {
        told(to_keep_in_job(&Disk, picture, job))
    }

    fn keep_aside(&self, path: Option<&Path>, job: &Arc<Job>) {
        self.kept.borrow_mut().insert(path.map(Path::to_owned), (**job).clone());
    }

    fn forget_aside(&self, path: Option<&Path>) {
        self.kept.borrow_mut().remove(&path.map(Path::to_owned));
    }

    fn left_over(&self) -> Vec<LeftOver> {
        let kept = self.kept.borrow();
        kept.iter().map(|(path, job)| LeftOver { path: path.clone(), job: job.clone() }).collect()
    }

    fn user_file(&self) -> UserFile {
        UserFile::default()
    }

    fn keep_user_file(&self, _: &UserFile) {}
}

/// An answer that is there already.
fn told<T>(answer: T) -> Receiver<T> {
    let (sender, receiver) = channel();
    sender.send(answer).unwrap();
    receiver
}

/// The editor with hands.
pub struct Desk {
    pub harness: Harness<'static, Editor>,
    shelf: Shelf,
    pub kept: Kept,
    /// The picture that is chosen when one is asked for.
    pub picture: Rc<RefCell<PathBuf>>,
    /// Who else has every job open, if anyone.
    pub holder: Rc<RefCell<Option<String>>>,
    /// Clicks, keys and lines typed so far: what a person counts as steps.
    pub steps: usize,
}

/// Where the dialogs of these tests save to.
pub const SAVED: &str = "/shelf/job.ron";

impl Desk {
    /// The editor on a job.
    pub fn with(job: Job) -> Self {
        Self::answering(job, Picked::Path(PathBuf::from(SAVED)))
    }

    /// The editor on a job; dialogs of the system give this answer.
    pub fn answering(job: Job, answer: Picked) -> Self {
        Self::over(job, answer, Kept::default())
    }

    /// The editor on a job, over what an earlier sitting kept.
    pub fn over(job: Job, answer: Picked, kept: Kept) -> Self {
        let shelf = Shelf::default();
        let picture = Rc::<RefCell<PathBuf>>::default();
        let holder = Rc::<RefCell<Option<String>>>::default();
        let door = Box::new(ShelfDoor {
            shelf: Rc::clone(&shelf),
            kept: Rc::clone(&kept),
            answer,
            picture: Rc::clone(&picture),
            holder: Rc::clone(&holder),
            seen: RefCell::default(),
        });
        let harness = Harness::builder().with_size([1280.0, 800.0]).build_eframe(move |creation| {
            let found = door.left_over();
            let mut editor = Editor::with_door(&creation.egui_ctx, job, None, door);
            editor.offer(found);
            editor
        });
        let mut desk = Self { harness, shelf, kept, picture, holder, steps: 0 };
        desk.frames(3);
        desk
    }

    /// The editor without a slab.
    pub fn empty() -> Self {
        Self::with(Job::default())
    }

    pub fn frames(&mut self, count: usize) {
        self.harness.run_steps(count);
    }

    /// Waits until the results of the job as it is are there.
    pub fn settle(&mut self) {
        let started = Instant::now();
        self.frames(1);
        while self.harness.state().is_working() {
            assert!(started.elapsed() < Duration::from_secs(60), "the results do not come");
            std::thread::sleep(Duration::from_millis(5));
            self.frames(1);
        }
        self.frames(1);
    }

    pub fn job(&self) -> Job {
        (**self.harness.state().state.job()).clone()
    }

    /// The job as its file would be.
    pub fn bytes(&self) -> String {
        file::write(&self.job()).unwrap()
    }

    /// What someone else writes to the path of the dialogs.
    pub fn written_by_another(&mut self, job: &Job) {
        let text = file::write(job).unwrap();
        self.shelf.borrow_mut().insert(PathBuf::from(SAVED), text);
    }

    /// The text of what was written to the path of the dialogs.
    pub fn written(&self) -> String {
        self.shelf.borrow().get(Path::new(SAVED)).cloned().unwrap_or_default()
    }

    /// What the saved file holds.
    pub fn saved(&self) -> Job {
        let text = self.shelf.borrow().get(Path::new(SAVED)).cloned().expect("nothing was saved");
        file::read(&text).unwrap().job
    }

    pub fn area_ft2(&self) -> f64 {
        slabloom_core::plan::Plan::of(&self.job()).area / 144.0
    }

    fn screen(&self, at: Point) -> Pos2 {
        let rect = self.harness.get_by_label(CANVAS_NAME).rect();
        Sight { view: self.harness.state().state.canvas.view, rect }.screen_from_plan(at)
    }

    fn button(&mut self, at: Pos2, button: PointerButton, pressed: bool) {
        self.harness.event(Event::PointerButton {
            pos: at,
            button,
            pressed,
            modifiers: Modifiers::NONE,
        });
        self.frames(1);
    }

    /// Clicks on the plan, feet.
    pub fn click(&mut self, x: f64, y: f64) {
        let at = self.screen(Point::feet(x, y));
        self.harness.hover_at(at);
        self.frames(1);
        self.button(at, PointerButton::Primary, true);
        self.button(at, PointerButton::Primary, false);
        // Two clicks are no double click.
        self.frames(3);
        self.steps += 1;
    }

    /// Clicks on the plan with the other button, feet.
    pub fn right_click(&mut self, x: f64, y: f64) {
        let at = self.screen(Point::feet(x, y));
        self.harness.hover_at(at);
        self.frames(1);
        self.button(at, PointerButton::Secondary, true);
        self.button(at, PointerButton::Secondary, false);
        self.frames(3);
        self.steps += 1;
    }

    /// Drags on the plan from one place to another, feet.
    pub fn drag(&mut self, from: (f64, f64), to: (f64, f64)) {
        let end = self.hold(from, to);
        self.release(end);
    }

    /// Lets go of what is held.
    pub fn release(&mut self, at: Pos2) {
        self.button(at, PointerButton::Primary, false);
        self.frames(1);
        self.steps += 1;
    }

    /// Drags and holds; where the pointer is then.
    pub fn hold(&mut self, from: (f64, f64), to: (f64, f64)) -> Pos2 {
        let (start, end) =
            (self.screen(Point::feet(from.0, from.1)), self.screen(Point::feet(to.0, to.1)));
        self.harness.hover_at(start);
        self.frames(1);
        self.button(start, PointerButton::Primary, true);
        for step in 1_u8..=4 {
            let at = start + (end - start) * (f32::from(step) / 4.0);
            self.harness.hover_at(at);
            self.frames(1);
        }
        end
    }

    /// Presses a key with these modifiers.
    pub fn press(&mut self, modifiers: Modifiers, key: Key) {
        self.harness.key_press_modifiers(modifiers, key);
        self.frames(2);
        self.steps += 1;
    }

    /// Types text as a keyboard does: each key and its character.
    pub fn type_text(&mut self, text: &str) {
        for character in text.chars() {
            let key = Key::from_name(&character.to_uppercase().to_string());
            let name = key.or_else(|| Key::from_name(&character.to_string()));
            if let Some(key) = name {
                self.harness.key_down(key);
            }
            self.harness.event(Event::Text(character.to_string()));
            if let Some(key) = name {
                self.harness.key_up(key);
            }
            self.frames(1);
        }
    }

    /// Types a line and presses Enter: one step.
    pub fn enter(&mut self, text: &str) {
        self.type_text(text);
        self.press(Modifiers::NONE, Key::Enter);
    }

    /// Clicks the control with this name.
    pub fn control(&mut self, name: &str) {
        self.harness.get_by_label(name).click();
        self.frames(2);
        self.steps += 1;
    }

    /// Finds a command by its words and does it.
    pub fn command(&mut self, words: &str) {
        self.press(Modifiers::COMMAND, Key::K);
        self.enter(words);
        self.frames(4);
    }

    pub fn undo(&mut self) {
        self.press(Modifiers::COMMAND, Key::Z);
    }

    pub fn redo(&mut self) {
        self.press(Modifiers::COMMAND | Modifiers::SHIFT, Key::Z);
    }

    pub fn save(&mut self) {
        self.press(Modifiers::COMMAND, Key::S);
        self.frames(2);
    }
}

/// A plain rectangle of 40 by 28 feet.
pub fn rectangle() -> Job {
    let corners = [(0.0, 0.0), (40.0, 0.0), (40.0, 28.0), (0.0, 28.0)];
    Job::from_corners(&corners.map(|(x, y)| (Point::feet(x, y), None)))
}
