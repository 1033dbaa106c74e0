//! The editor's way to files: dialogs of the system, typed paths, reading and writing.
//!
//! A dialog of the system runs on a thread of its own, so that the frame never waits. When the
//! system can show none it answers at once with nothing, which cannot be told from a person who
//! cancelled, but for the time it took; then, and whenever a person likes, a path is typed.

use slabloom_core::job::{Job, file};
use std::path::{Path, PathBuf};
use std::sync::mpsc::{Receiver, TryRecvError, channel};
use std::time::{Duration, Instant};

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

/// Reads and writes jobs, and asks for paths.
pub trait FileDoor {
    /// Asks for a path in a dialog of the system; the answer comes later.
    fn pick(&self, path_use: PathUse, suggested: &str) -> Receiver<Picked>;
    /// Reads a job.
    ///
    /// # Errors
    /// One clear message.
    fn read(&self, path: &Path) -> Result<Job, String>;
    /// Writes a job; the old file stays whole until the new one is.
    ///
    /// # Errors
    /// One clear message.
    fn write(&self, path: &Path, job: &Job) -> Result<(), String>;
}

/// The real one.
#[derive(Debug, Default)]
pub struct DiskDoor;

impl FileDoor for DiskDoor {
    fn pick(&self, path_use: PathUse, suggested: &str) -> Receiver<Picked> {
        let (sender, receiver) = channel();
        let suggested = suggested.to_owned();
        let ask = move || {
            let started = Instant::now();
            let dialog = rfd::FileDialog::new().add_filter("Slab job", &[JOB_ENDING]);
            let path = match path_use {
                PathUse::Open => dialog.set_title("Open a slab job").pick_file(),
                PathUse::Save => {
                    dialog.set_title("Save the slab job").set_file_name(suggested).save_file()
                }
            };
            let picked = match path {
                Some(path) => Picked::Path(path),
                None if started.elapsed() < NO_DIALOG => Picked::NoDialog,
                None => Picked::Nothing,
            };
            // Nobody listens any more when the window was closed meanwhile.
            drop(sender.send(picked));
        };
        // Without a thread there is no sender, which reads as "no dialog".
        drop(std::thread::Builder::new().name("file dialog".to_owned()).spawn(ask));
        receiver
    }

    fn read(&self, path: &Path) -> Result<Job, String> {
        let text = std::fs::read_to_string(path)
            .map_err(|error| format!("{} could not be read: {error}", path.display()))?;
        let opened = file::read(&text).map_err(|error| format!("{}: {error}", path.display()))?;
        Ok(opened.job)
    }

    fn write(&self, path: &Path, job: &Job) -> Result<(), String> {
        let text = file::write(job).map_err(|error| error.to_string())?;
        std::fs::write(path, text)
            .map_err(|error| format!("{} could not be written: {error}", path.display()))
    }
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
