//! The editor's way to files: dialogs of the system, typed paths, reading and writing.
//!
//! A dialog of the system runs on a thread of its own, so that the frame never waits. When the
//! system can show none it answers at once with nothing, which cannot be told from a person who
//! cancelled, but for the time it took; then, and whenever a person likes, a path is typed.

use crate::export::pdf::{DocumentFacts, pdf};
use crate::files::{
    Backup, Change, Disk, JobLock, PlanImage, Recovery, Seen, Settings as UserFile,
    draw_thumbnails, is_there, open_job, read_plan_picture, read_text, save, save_job,
    settings_path, to_keep_in_job,
};
use slabloom_core::derive::{Results, derive};
use slabloom_core::job::Job;
use slabloom_core::job::file_bytes::FileBytes;
use slabloom_core::job::underlay::PlanPicture;
use slabloom_core::sheets::sheet_set;
use std::cell::RefCell;
use std::path::{Path, PathBuf};
use std::sync::mpsc::{Receiver, Sender, TryRecvError, channel};
use std::sync::{Arc, Mutex};
use std::time::{Duration, Instant};

/// How something went, in one sentence.
pub type Told = Result<String, String>;
/// A page of a plan picture's file, small, with its number counted from 1.
pub type Thumbnail = (u32, Result<PlanImage, String>);

/// Another job that this one is held against.
#[derive(Clone, Debug)]
pub struct OtherJob {
    /// Its file.
    pub path: PathBuf,
    /// What follows from it.
    pub results: Arc<Results>,
    /// What it is called; empty for a job without a name.
    pub title: String,
}

/// The ending of sheets.
pub const SHEETS_ENDING: &str = "pdf";
/// The ending of job files.
pub const JOB_ENDING: &str = "ron";
/// Nobody cancels a dialog faster than this.
const NO_DIALOG: Duration = Duration::from_millis(250);

/// What a path is picked for.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum PathUse {
    /// To read a job from.
    Open,
    /// To write the job to.
    Save,
    /// To write the sheets to.
    Sheets,
    /// To read a picture of a plan from.
    Picture,
    /// To read the rates of another job from.
    Rates,
    /// To hold the job against.
    Compare,
    /// To read shots of the ground from.
    Shots,
}

/// How a job's file stands against what was last read or written here.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub enum Standing {
    /// As it was.
    #[default]
    AsSeen,
    /// Someone else changed it.
    Changed,
    /// It is gone, or its drive is.
    Gone,
}

impl From<Change> for Standing {
    fn from(change: Change) -> Self {
        match change {
            Change::None => Self::AsSeen,
            Change::Changed => Self::Changed,
            Change::Gone => Self::Gone,
        }
    }
}

/// What came of a dialog.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum Picked {
    /// This path.
    Path(PathBuf),
    /// The person changed their mind.
    Nothing,
    /// The system could show no dialog.
    NoDialog,
}

/// Work that was never saved, found again.
#[derive(Clone, Debug, PartialEq)]
pub struct LeftOver {
    /// The file of the job; none if it never had one.
    pub path: Option<PathBuf>,
    /// The job as it was kept.
    pub job: Job,
}

/// Reads and writes jobs, and asks for paths.
pub trait FileDoor {
    /// Asks for a path in a dialog of the system; the answer comes later.
    fn pick(&self, path_use: PathUse, suggested: &str) -> Receiver<Picked>;
    /// Reads a job.
    ///
    /// # Errors
    /// One clear message.
    fn read(&self, path: &Path) -> Result<Job, String>;
    /// Reads another job, which is not opened by that.
    ///
    /// # Errors
    /// One clear message.
    fn look_into(&self, path: &Path) -> Result<Job, String>;
    /// Reads another job and works out what follows from it, on a thread of its own.
    fn work_out(&self, path: &Path) -> Receiver<Result<OtherJob, String>>;
    /// Reads a text of another program: a table of shots.
    ///
    /// # Errors
    /// One clear message.
    fn read_table(&self, path: &Path) -> Result<String, String>;
    /// Writes a job; the old file stays whole until the new one is.
    ///
    /// # Errors
    /// One clear message.
    fn write(&self, path: &Path, job: &Job) -> Result<(), String>;
    /// Claims a job's file for this window, or lets go of the last one; who else has it, in words.
    fn claim(&self, path: Option<&Path>) -> Option<String>;
    /// How a job's file stands now.
    fn standing(&self, path: &Path) -> Standing;
    /// The same, found out on a thread of its own.
    fn look(&self, path: &Path) -> Receiver<Standing>;
    /// Writes the sheet set as a PDF file, on a thread of its own; says how it went.
    fn write_sheets(&self, path: &Path, job: &Arc<Job>, results: &Arc<Results>) -> Receiver<Told>;
    /// Reads the plan picture that a job names or keeps, on a thread of its own; its longer side
    /// has at most as many pixels as are given with it.
    fn read_picture(
        &self,
        wanted: (&PlanPicture, u16),
        job: Option<&Path>,
    ) -> Receiver<Result<PlanImage, String>>;
    /// Draws the pages of a plan picture's file, small, on a thread of its own.
    fn draw_thumbnails(&self, picture: &PlanPicture, job: Option<&Path>) -> Receiver<Thumbnail>;
    /// Whether the file of a plan picture lies where the job says, or beside the job.
    fn is_there(&self, picture: &PlanPicture, job: Option<&Path>) -> bool;
    /// Reads the file of a plan picture, to be kept in the job, on a thread of its own.
    fn read_to_keep(
        &self,
        picture: &PlanPicture,
        job: Option<&Path>,
    ) -> Receiver<Result<FileBytes, String>>;
    /// Keeps unsaved work aside, without making the frame wait.
    fn keep_aside(&self, path: Option<&Path>, job: &Arc<Job>);
    /// Forgets what was kept aside: it is saved, or given up on purpose.
    fn forget_aside(&self, path: Option<&Path>);
    /// Unsaved work of earlier sittings, read once at the start.
    fn left_over(&self) -> Vec<LeftOver>;
    /// What is remembered of the user.
    fn user_file(&self) -> UserFile;
    /// Remembers it.
    fn keep_user_file(&self, file: &UserFile);
}

/// What the keeper does, in order.
#[derive(Debug)]
enum Keep {
    Aside(Option<PathBuf>, Arc<Job>),
    Forget(Option<PathBuf>),
    User(UserFile),
}

/// The real one. What is kept aside is written by a thread of its own, in the order it came.
#[derive(Debug)]
pub struct DiskDoor {
    keeper: Sender<Keep>,
    thread: Option<std::thread::JoinHandle<()>>,
    lock: RefCell<Option<JobLock>>,
    seen: Arc<Mutex<Option<(PathBuf, Seen)>>>,
}

impl Default for DiskDoor {
    fn default() -> Self {
        let (keeper, kept) = channel();
        let work = move || {
            let recovery = Recovery::of_user();
            for keep in kept {
                do_keep(recovery.as_ref(), keep);
            }
        };
        // Without a thread nothing is kept aside; saving works all the same.
        let thread = std::thread::Builder::new().name("autosave".to_owned()).spawn(work).ok();
        Self { keeper, thread, lock: RefCell::default(), seen: Arc::default() }
    }
}

impl Drop for DiskDoor {
    fn drop(&mut self) {
        // The keeper ends when nobody can tell it anything more; the last word is waited for.
        let (nobody, _) = channel();
        drop(std::mem::replace(&mut self.keeper, nobody));
        if let Some(thread) = self.thread.take() {
            thread.join().unwrap_or_default();
        }
    }
}

/// A failure to keep something aside is no reason to disturb: the next one may succeed.
fn do_keep(recovery: Option<&Recovery>, keep: Keep) {
    match (keep, recovery) {
        (Keep::Aside(path, job), Some(recovery)) => {
            recovery.keep(&Disk, path.as_deref(), &job).unwrap_or_default();
        }
        (Keep::Forget(path), Some(recovery)) => recovery.discard(&Disk, path.as_deref()),
        (Keep::User(file), _) => {
            if let Some(path) = settings_path() {
                file.save(&Disk, &path).unwrap_or_default();
            }
        }
        (Keep::Aside(..) | Keep::Forget(_), None) => {}
    }
}

impl DiskDoor {
    /// Remembers what a file was like when it was read or written.
    fn saw(&self, path: &Path, seen: Seen) {
        if let Ok(mut last) = self.seen.lock() {
            *last = Some((path.to_owned(), seen));
        }
    }

    fn keep(&self, keep: Keep) {
        // The keeper is gone only while the program ends.
        self.keeper.send(keep).unwrap_or_default();
    }
}

impl FileDoor for DiskDoor {
    fn pick(&self, path_use: PathUse, suggested: &str) -> Receiver<Picked> {
        let suggested = suggested.to_owned();
        on_thread("file dialog", move |sender| {
            let started = Instant::now();
            let (kind, ending) = match path_use {
                PathUse::Open | PathUse::Save | PathUse::Rates | PathUse::Compare => {
                    ("Slab job", &[JOB_ENDING][..])
                }
                PathUse::Sheets => ("PDF", &[SHEETS_ENDING][..]),
                PathUse::Picture => ("Picture of a plan", &["png", "jpg", "jpeg", "pdf"][..]),
                PathUse::Shots => ("Table of shots", &["csv", "txt", "pts"][..]),
            };
            let dialog = rfd::FileDialog::new().add_filter(kind, ending);
            let path = match path_use {
                PathUse::Sheets => {
                    dialog.set_title("Print the sheets").set_file_name(suggested).save_file()
                }
                PathUse::Open => dialog.set_title("Open a slab job").pick_file(),
                PathUse::Rates => dialog.set_title("Take rates from a job").pick_file(),
                PathUse::Compare => dialog.set_title("Compare with another job").pick_file(),
                PathUse::Picture => dialog.set_title("Choose a plan picture").pick_file(),
                PathUse::Shots => dialog.set_title("Read shots of the ground").pick_file(),
                PathUse::Save => {
                    dialog.set_title("Save the slab job").set_file_name(suggested).save_file()
                }
            };
            let picked = match path {
                Some(path) => Picked::Path(path),
                None if started.elapsed() < NO_DIALOG => Picked::NoDialog,
                None => Picked::Nothing,
            };
            answer(sender, picked);
        })
    }

    fn read(&self, path: &Path) -> Result<Job, String> {
        let (opened, seen) = open_job(&Disk, path).map_err(|error| error.to_string())?;
        self.saw(path, seen);
        Ok(opened.job)
    }

    fn look_into(&self, path: &Path) -> Result<Job, String> {
        let (opened, _) = open_job(&Disk, path).map_err(|error| error.to_string())?;
        Ok(opened.job)
    }

    fn work_out(&self, path: &Path) -> Receiver<Result<OtherJob, String>> {
        let path = path.to_owned();
        on_thread("other job", move |sender| {
            let read = open_job(&Disk, &path).map_err(|error| error.to_string());
            answer(sender, read.map(|(opened, _)| OtherJob::of(path, &opened.job)));
        })
    }

    fn read_table(&self, path: &Path) -> Result<String, String> {
        read_text(&Disk, path).map_err(|error| error.to_string())
    }

    fn write(&self, path: &Path, job: &Job) -> Result<(), String> {
        let seen = save_job(&Disk, path, job).map_err(|error| error.to_string())?;
        self.saw(path, seen);
        Ok(())
    }

    fn claim(&self, path: Option<&Path>) -> Option<String> {
        // The old claim goes first: it may be on the same file.
        self.lock.replace(None);
        let lock = JobLock::claim(path?);
        let holder = lock.held_by().map(str::to_owned);
        self.lock.replace(Some(lock));
        holder
    }

    fn standing(&self, path: &Path) -> Standing {
        standing_of(&self.seen, path)
    }

    fn look(&self, path: &Path) -> Receiver<Standing> {
        let (seen, path) = (Arc::clone(&self.seen), path.to_owned());
        on_thread("look at file", move |sender| answer(sender, standing_of(&seen, &path)))
    }

    fn write_sheets(&self, path: &Path, job: &Arc<Job>, results: &Arc<Results>) -> Receiver<Told> {
        let (path, job, results) = (path.to_owned(), Arc::clone(job), Arc::clone(results));
        on_thread("sheets", move |sender| answer(sender, print_sheets(&path, &job, &results)))
    }

    fn read_picture(
        &self,
        (picture, most): (&PlanPicture, u16),
        job: Option<&Path>,
    ) -> Receiver<Result<PlanImage, String>> {
        let (picture, job) = (picture.clone(), job.map(Path::to_owned));
        on_thread("plan picture", move |sender| {
            answer(sender, read_plan_picture(&Disk, (&picture, most), job.as_deref()));
        })
    }

    fn draw_thumbnails(&self, picture: &PlanPicture, job: Option<&Path>) -> Receiver<Thumbnail> {
        let (picture, job) = (picture.clone(), job.map(Path::to_owned));
        on_thread("thumbnails", move |sender| {
            // A chooser that was closed wants no more pages.
            let take = |page, drawn| sender.send((page, drawn)).is_ok();
            draw_thumbnails(&Disk, &picture, job.as_deref(), take);
        })
    }

    fn is_there(&self, picture: &PlanPicture, job: Option<&Path>) -> bool {
        is_there(&Disk, picture, job)
    }

    fn read_to_keep(
        &self,
        picture: &PlanPicture,
        job: Option<&Path>,
    ) -> Receiver<Result<FileBytes, String>> {
        let (picture, job) = (picture.clone(), job.map(Path::to_owned));
        on_thread("plan picture", move |sender| {
            answer(sender, to_keep_in_job(&Disk, &picture, job.as_deref()));
        })
    }

    fn keep_aside(&self, path: Option<&Path>, job: &Arc<Job>) {
        self.keep(Keep::Aside(path.map(Path::to_owned), Arc::clone(job)));
    }

    fn forget_aside(&self, path: Option<&Path>) {
        self.keep(Keep::Forget(path.map(Path::to_owned)));
    }

    fn left_over(&self) -> Vec<LeftOver> {
        let Some(recovery) = Recovery::of_user() else { return Vec::new() };
        let found = recovery.find(&Disk);
        found
            .into_iter()
            .filter_map(|unsaved| {
                let opened = recovery.open(&Disk, &unsaved).ok()?;
                Some(LeftOver { path: unsaved.job, job: opened.job })
            })
            .collect()
    }

    fn user_file(&self) -> UserFile {
        settings_path().map(|path| UserFile::load(&Disk, &path).0).unwrap_or_default()
    }

    fn keep_user_file(&self, file: &UserFile) {
        self.keep(Keep::User(file.clone()));
    }
}

impl OtherJob {
    /// The job of a file, with what follows from it.
    #[must_use]
    pub fn of(path: PathBuf, job: &Job) -> Self {
        Self { path, results: Arc::new(derive(job)), title: job.facts.title.clone() }
    }
}

/// Does work on a thread of its own, which answers through the sender. Without a thread there is
/// no sender, which reads as an answer that never comes.
pub(super) fn on_thread<T: Send + 'static>(
    name: &str,
    work: impl FnOnce(Sender<T>) + Send + 'static,
) -> Receiver<T> {
    /// Deeply nested files take more than a thread has by default.
    const STACK_BYTES: usize = 32 << 20;
    let (sender, receiver) = channel();
    let builder = std::thread::Builder::new().name(name.to_owned()).stack_size(STACK_BYTES);
    drop(builder.spawn(move || work(sender)));
    receiver
}

/// Gives an answer; nobody listens any more when the window was closed meanwhile, or something
/// else was asked for.
fn answer<T>(sender: Sender<T>, answer: T) {
    sender.send(answer).unwrap_or_default();
}

/// How a file stands against what was last seen of it; one never seen stands as it is.
fn standing_of(seen: &Mutex<Option<(PathBuf, Seen)>>, path: &Path) -> Standing {
    // The disk is asked without holding the door: it may take its time.
    let last = seen.lock().ok().and_then(|last| last.clone());
    let Some((_, mut known)) = last.filter(|(of, _)| of == path) else {
        return Standing::AsSeen;
    };
    let before = known;
    let change = known.change(&Disk, path);
    if known != before
        && let Ok(mut last) = seen.lock()
        && last.as_ref().is_some_and(|(of, seen)| of == path && *seen == before)
    {
        *last = Some((path.to_owned(), known));
    }
    change.into()
}

/// Makes the sheets and writes them.
fn print_sheets(path: &Path, job: &Job, results: &Results) -> Told {
    let pages = sheet_set(job, results);
    if pages.is_empty() {
        return Err("There is nothing for the sheets to show yet".to_owned());
    }
    let title = &job.facts.title;
    let facts = DocumentFacts {
        title: if title.is_empty() { "Slab".to_owned() } else { title.clone() },
        author: job.facts.drawn_by.clone(),
        subject: job.facts.place.clone(),
        date: None,
    };
    save(&Disk, path, &pdf(&pages, &facts), Backup::None).map_err(|error| error.to_string())?;
    Ok(format!("{} sheets in {}", pages.len(), path.display()))
}

/// A dialog that is open.
#[derive(Debug)]
pub struct OpenDialog {
    /// What the path is for.
    pub path_use: PathUse,
    /// Where the answer comes.
    pub answer: Receiver<Picked>,
}

impl OpenDialog {
    /// The answer, once it is there.
    #[must_use]
    pub fn poll(&self) -> Option<Picked> {
        match self.answer.try_recv() {
            Ok(picked) => Some(picked),
            Err(TryRecvError::Empty) => None,
            Err(TryRecvError::Disconnected) => Some(Picked::NoDialog),
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_second_door_to_a_job_is_told_and_the_first_sees_what_it_saved() {
        let folder = tempfile::tempdir().unwrap();
        let path = folder.path().join("job.ron");
        let (first, second) = (DiskDoor::default(), DiskDoor::default());
        first.write(&path, &Job::default()).unwrap();
        assert_eq!(first.claim(Some(&path)), None);
        assert_eq!(first.claim(Some(&path)), None, "one's own claim is none of another");
        assert!(second.claim(Some(&path)).is_some_and(|holder| holder.contains("process")));
        assert_eq!(first.standing(&path), Standing::AsSeen);
        let mut job = second.read(&path).unwrap();
        Arc::make_mut(&mut job.facts).title = "Theirs".to_owned();
        second.write(&path, &job).unwrap();
        assert_eq!(first.look(&path).recv(), Ok(Standing::Changed));
        assert_eq!(second.standing(&path), Standing::AsSeen);
        std::fs::remove_file(&path).unwrap();
        assert_eq!(first.standing(&path), Standing::Gone);
    }
}
