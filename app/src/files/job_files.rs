//! Opening and saving jobs.

use super::atomic_save::{Backup, save};
use super::error::{FileError, text_of};
use super::storage::Storage;
use super::watch::Seen;
use slabloom_core::job::file::{self, LARGEST_FILE, Opened};
use slabloom_core::job::{Job, ReadError};
use std::path::Path;

/// The text of a file that should hold some.
///
/// # Errors
/// When it is not there, no file, too large or no text.
pub fn read_text(storage: &dyn Storage, path: &Path) -> Result<String, FileError> {
    let bytes = storage
        .read(path, LARGEST_FILE as u64)
        .map_err(|error| FileError::CannotRead(path.to_owned(), error))?;
    text_of(path, bytes)
}

/// Opens a job, and remembers what the file was like, to see later if others changed it.
///
/// # Errors
/// When the file cannot be read or holds no job.
pub fn open_job(storage: &dyn Storage, path: &Path) -> Result<(Opened, Seen), FileError> {
    let text = read_text(storage, path)?;
    let seen = Seen::of(storage, path, text.as_bytes());
    let opened = file::read(&text).map_err(|error| FileError::Wrong(path.to_owned(), error))?;
    Ok((opened, seen))
}

/// Saves a job and keeps the version before.
///
/// # Errors
/// When the file cannot be written, or when the job's text would not read back as the same job;
/// the file is as before then.
pub fn save_job(storage: &dyn Storage, path: &Path, job: &Job) -> Result<Seen, FileError> {
    let text = text_of_job(path, job)?;
    save(storage, path, text.as_bytes(), Backup::Keep)?;
    Ok(Seen::of(storage, path, text.as_bytes()))
}

/// The text of a job, held against what it reads back as.
pub(super) fn text_of_job(path: &Path, job: &Job) -> Result<String, FileError> {
    let wrong = |error: ReadError| FileError::Wrong(path.to_owned(), error);
    let text = file::write(job).map_err(wrong)?;
    let back = file::read(&text).map_err(wrong)?;
    if back.job == *job {
        Ok(text)
    } else {
        Err(wrong(ReadError::whole(
            "The job would not read back as it is",
            "Undo the last change and save again",
        )))
    }
}
