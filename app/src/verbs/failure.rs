//! How a verb ends.

use crate::files::FileError;
use std::io;

/// How the program ends.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Exit {
    /// Done.
    Done,
    /// Done, and a finding says stop.
    Stop,
    /// Bad input or usage.
    BadInput,
    /// An output could not be written.
    CannotWrite,
}

impl Exit {
    /// The number that the system is told.
    #[must_use]
    pub const fn code(self) -> u8 {
        match self {
            Self::Done => 0,
            Self::Stop => 1,
            Self::BadInput => 2,
            Self::CannotWrite => 3,
        }
    }
}

/// Why a verb gave up.
#[derive(Debug)]
pub(super) struct Failure {
    /// How the program ends.
    pub(super) exit: Exit,
    /// What is said; nothing when nobody listens any more.
    pub(super) message: Option<String>,
}

impl Failure {
    pub(super) fn bad_input(message: impl Into<String>) -> Self {
        Self { exit: Exit::BadInput, message: Some(message.into()) }
    }
}

impl From<FileError> for Failure {
    fn from(error: FileError) -> Self {
        let exit = if error.is_about_writing() { Exit::CannotWrite } else { Exit::BadInput };
        Self { exit, message: Some(error.to_string()) }
    }
}

/// Writing to the given output failed.
impl From<io::Error> for Failure {
    fn from(error: io::Error) -> Self {
        if error.kind() == io::ErrorKind::BrokenPipe {
            // Who read the output has had enough, as `head` has: that is no fault.
            return Self { exit: Exit::Done, message: None };
        }
        let message = format!("The output cannot be written: {error}");
        Self { exit: Exit::CannotWrite, message: Some(message) }
    }
}
