//! A job as text and back: readable RON that people may edit by hand.
//!
//! Reading goes in four steps, each with its own complaint: the schema version alone, so that a
//! file of a newer program is not taken for a broken one; migration of older versions; the whole
//! job, where an unknown field is an error with the nearest known name; and the job's own
//! consistency. A value that may be absent is written plainly (`scale: 48.0`, `scale: None`).
//! Every field is written, in a fixed order, so that two saves of one job are the same bytes.

use super::check::{self, FaultLevel, JobFault};
use super::file_error::{in_words, place_of_field};
use super::read_error::ReadError;
use super::{Job, migrate};
use ron::extensions::Extensions;
use ron::ser::PrettyConfig;
use serde::Deserialize;

/// The largest file that is read, in bytes.
pub const LARGEST_FILE: usize = 16_000_000;

/// How deep values are set out line by line; deeper ones stand on one line.
const LINE_DEPTH: usize = 3;

const FIRST_LINES: &str = "\
// A slab job. Lengths are in inches, temperatures in °F, prices in cents; places are (east, north).
";

/// A job as read from a file.
#[derive(Clone, Debug, PartialEq)]
pub struct Opened {
    /// The job.
    pub job: Job,
    /// The version that the file had, when it was an older one.
    pub migrated_from: Option<u32>,
    /// What does not hold in it but does not keep it from being opened, worst first.
    pub faults: Vec<JobFault>,
}

/// The job as the text of a file.
///
/// # Errors
/// Only if the job cannot be put into words at all, which no test has seen.
pub fn write(job: &Job) -> Result<String, ReadError> {
    let layout = PrettyConfig::new().depth_limit(LINE_DEPTH).indentor("  ").new_line("\n");
    let text = options().to_string_pretty(job, layout).map_err(|error| {
        ReadError::whole(
            format!("The job cannot be written: {error}"),
            "Undo the last change and save again",
        )
    })?;
    Ok(format!("{FIRST_LINES}{text}\n"))
}

/// The job of a file's text.
///
/// # Errors
/// [`ReadError`] with line, column, field and remedy of the first thing that cannot be read, or of
/// a number that no slab can have.
pub fn read(text: &str) -> Result<Opened, ReadError> {
    if text.len() > LARGEST_FILE {
        return Err(ReadError::whole(
            format!("The file is larger than {} megabytes", LARGEST_FILE / 1_000_000),
            "Is it a job file?",
        ));
    }
    if text.trim().is_empty() {
        return Err(ReadError::whole(
            "The file is empty",
            "Open the copy from before the last save (its name ends in .bak)",
        ));
    }
    let from = schema(text)?;
    let migrated = migrate::to_present(text, from)?;
    let migrated_from = migrated.is_some().then_some(from);
    let text = migrated.as_deref().unwrap_or(text);
    let job: Job = options().from_str(text).map_err(|error| in_words(&error))?;
    let faults = check::faults(&job);
    if let Some(fault) = faults.first().filter(|fault| fault.level == FaultLevel::Unusable) {
        let message = format!("{}: {}", fault.field, fault.message);
        let place = place_of_field(text, &fault.field);
        return Err(ReadError { place, message, remedy: fault.remedy.clone() });
    }
    Ok(Opened { job, migrated_from, faults })
}

/// The version a file says it has.
fn schema(text: &str) -> Result<u32, ReadError> {
    /// Only the version; everything else is read over.
    #[derive(Deserialize)]
    struct Head {
        #[serde(default)]
        schema: Option<u32>,
    }
    let head: Head = options().from_str(text).map_err(|error| in_words(&error))?;
    head.schema.ok_or_else(|| {
        ReadError::whole("The file does not say its schema", "Write schema: 1 as its first field")
    })
}

fn options() -> ron::Options {
    ron::Options::default().with_default_extension(Extensions::IMPLICIT_SOME)
}
