//! What went wrong with a file, in the user's words.

use slabloom_core::job::ReadError;
use std::io;
use std::path::{Path, PathBuf};

/// What went wrong with a file.
#[derive(Debug)]
pub enum FileError {
    /// It could not be read.
    CannotRead(PathBuf, io::Error),
    /// It was read, but what it says is wrong.
    Wrong(PathBuf, ReadError),
    /// It could not be written; what was there before is untouched.
    CannotWrite(PathBuf, io::Error),
}

impl FileError {
    /// Whether writing failed, not reading.
    #[must_use]
    pub const fn is_about_writing(&self) -> bool {
        matches!(self, Self::CannotWrite(..))
    }
}

impl std::fmt::Display for FileError {
    fn fmt(&self, formatter: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        match self {
            Self::CannotRead(path, error) => {
                write!(formatter, "{}: cannot be read: {}", path.display(), cause(error))
            }
            Self::Wrong(path, error) => match error.place {
                Some(place) => {
                    let rest = ReadError { place: None, ..error.clone() };
                    write!(formatter, "{}:{}:{}: {rest}", path.display(), place.line, place.column)
                }
                None => write!(formatter, "{}: {error}", path.display()),
            },
            Self::CannotWrite(path, error) => {
                write!(formatter, "{}: cannot be written: {}", path.display(), cause(error))
            }
        }
    }
}

impl std::error::Error for FileError {}

/// The cause of a disk's refusal, as people say it.
fn cause(error: &io::Error) -> String {
    match error.kind() {
        io::ErrorKind::NotFound => "it is not there".to_owned(),
        io::ErrorKind::PermissionDenied => "it is not allowed".to_owned(),
        io::ErrorKind::IsADirectory => "it is a folder".to_owned(),
        io::ErrorKind::NotADirectory => "a part of its path is no folder".to_owned(),
        io::ErrorKind::AlreadyExists => "it is there already".to_owned(),
        io::ErrorKind::StorageFull | io::ErrorKind::QuotaExceeded => "the disk is full".to_owned(),
        io::ErrorKind::ReadOnlyFilesystem => "it is read-only".to_owned(),
        io::ErrorKind::FileTooLarge => "it is too large for a job".to_owned(),
        _ => error.to_string(),
    }
}

/// The text of bytes that should be UTF-8.
pub(super) fn text_of(path: &Path, bytes: Vec<u8>) -> Result<String, FileError> {
    String::from_utf8(bytes).map_err(|error| {
        let line = error
            .as_bytes()
            .iter()
            .take(error.utf8_error().valid_up_to())
            .filter(|&&byte| byte == b'\n')
            .count();
        let wrong = ReadError::whole(
            format!("It is not text: line {} holds bytes that are no letters", line + 1),
            "Is it the right file?",
        );
        FileError::Wrong(path.to_owned(), wrong)
    })
}
