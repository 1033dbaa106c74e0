//! Unsaved work kept aside, and found again after a crash.
//!
//! Each open job has one file in the recovery folder of the user, apart from the job's own folder,
//! so that a drive that vanishes does not take both. It is a job file with one line on top that
//! names the job it belongs to, and is written like any save. It is taken away when the job is
//! saved or closed; what is found at the next start was never saved.

use super::atomic_save::{Backup, save};
use super::error::FileError;
use super::job_files::{read_text, text_of_job};
use super::storage::Storage;
use super::watch::fingerprint;
use slabloom_core::job::Job;
use slabloom_core::job::file::{self, Opened};
use std::path::{Path, PathBuf};

const FIRST_WORDS: &str = "// Unsaved work on ";
const NO_FILE: &str = "a job without a file";

/// The recovery folder.
#[derive(Clone, Debug)]
pub struct Recovery {
    folder: PathBuf,
}

/// Unsaved work that was found.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Unsaved {
    /// The recovery file.
    pub file: PathBuf,
    /// The job it belongs to; `None` for one that never had a file.
    pub job: Option<PathBuf>,
}

impl Recovery {
    /// The recovery folder at a place.
    #[must_use]
    pub const fn at(folder: PathBuf) -> Self {
        Self { folder }
    }

    /// The recovery folder of the user; `None` where the system names no place for such.
    #[must_use]
    pub fn of_user() -> Option<Self> {
        super::settings::folders()
            .map(|folders| Self::at(folders.data_local_dir().join("recovery")))
    }

    /// The recovery file of a job.
    #[must_use]
    pub fn file_of(&self, job: Option<&Path>) -> PathBuf {
        let name = match job {
            Some(path) => {
                let whole = std::path::absolute(path).unwrap_or_else(|_| path.to_owned());
                format!("{:016x}.ron", fingerprint(whole.as_os_str().as_encoded_bytes()))
            }
            None => format!("unsaved-{}.ron", std::process::id()),
        };
        self.folder.join(name)
    }

    /// Keeps the work on a job aside.
    ///
    /// # Errors
    /// When the folder cannot be written; what was kept before is still there.
    pub fn keep(
        &self,
        storage: &dyn Storage,
        job_path: Option<&Path>,
        job: &Job,
    ) -> Result<(), FileError> {
        let file = self.file_of(job_path);
        storage
            .make_folder(&self.folder)
            .map_err(|error| FileError::CannotWrite(self.folder.clone(), error))?;
        let whose = job_path.map_or_else(
            || NO_FILE.to_owned(),
            |path| {
                let whole = std::path::absolute(path).unwrap_or_else(|_| path.to_owned());
                whole.to_string_lossy().replace(['\n', '\r'], " ")
            },
        );
        let text = format!("{FIRST_WORDS}{whose}\n{}", text_of_job(&file, job)?);
        save(storage, &file, text.as_bytes(), Backup::None)
    }

    /// Takes away what was kept for a job: it is saved, or thrown away on purpose.
    pub fn discard(&self, storage: &dyn Storage, job_path: Option<&Path>) {
        // Nothing kept is as good as nothing left; a file that cannot go will be offered once more.
        let _ = storage.remove(&self.file_of(job_path));
    }

    /// Unsaved work of earlier runs.
    #[must_use]
    pub fn find(&self, storage: &dyn Storage) -> Vec<Unsaved> {
        let files = storage.list(&self.folder).unwrap_or_default();
        files
            .into_iter()
            .filter(|file| file.extension().is_some_and(|extension| extension == "ron"))
            .filter_map(|file| {
                let text = read_text(storage, &file).ok()?;
                let whose = text.lines().next()?.strip_prefix(FIRST_WORDS)?;
                let job = (whose != NO_FILE).then(|| PathBuf::from(whose));
                Some(Unsaved { file, job })
            })
            .collect()
    }

    /// Opens unsaved work.
    ///
    /// # Errors
    /// When the recovery file cannot be read.
    pub fn open(&self, storage: &dyn Storage, unsaved: &Unsaved) -> Result<Opened, FileError> {
        let text = read_text(storage, &unsaved.file)?;
        file::read(&text).map_err(|error| FileError::Wrong(unsaved.file.clone(), error))
    }
}

#[cfg(test)]
mod tests {
    use super::super::storage::Disk;
    use super::*;
    use slabloom_core::geometry::Point;

    #[test]
    fn work_is_found_again_and_gone_when_discarded() {
        let folder = tempfile::tempdir().unwrap();
        let recovery = Recovery::at(folder.path().join("deep/recovery"));
        assert!(recovery.find(&Disk).is_empty());
        let corners =
            [(0.0, 0.0), (20.0, 0.0), (20.0, 20.0)].map(|(x, y)| (Point::feet(x, y), None));
        let job = Job::from_corners(&corners);
        let path = folder.path().join("job.ron");
        recovery.keep(&Disk, Some(&path), &job).unwrap();
        recovery.keep(&Disk, None, &Job::default()).unwrap();
        let found = recovery.find(&Disk);
        assert_eq!(found.len(), 2);
        let of_path = found.iter().find(|unsaved| unsaved.job.as_deref() == Some(&path)).unwrap();
        assert_eq!(recovery.open(&Disk, of_path).unwrap().job, job);
        recovery.discard(&Disk, Some(&path));
        assert_eq!(recovery.find(&Disk), [Unsaved { file: recovery.file_of(None), job: None }]);
    }
}
