//! The headless verbs: what is typed after `slabloom`, one file a verb.
//!
//! A verb reads its input, writes to the given outputs and answers with an [`Exit`]. It never
//! panics on input, says one thing on `err` when it fails, and never leaves half a file.

mod args;
mod check;
mod compare;
mod edit;
mod failure;
mod new;
mod picture;
mod results;
mod sheets;
mod takeoff;

pub use args::{Args, Verb};
pub use failure::Exit;

use crate::files::{Disk, open_job};
use clap::Parser as _;
use failure::Failure;
use slabloom_core::derive::Results;
use slabloom_core::derive::alternates::{PricedAlternate, priced_alternates};
use slabloom_core::effort::Cancel;
use slabloom_core::job::Job;
use slabloom_core::job::check::FaultLevel;
use std::ffi::OsString;
use std::io::Write;
use std::path::Path;

/// Runs the program with its arguments (the first is its own name).
pub fn run(
    arguments: impl IntoIterator<Item = OsString>,
    out: &mut dyn Write,
    err: &mut dyn Write,
) -> Exit {
    let args = match Args::try_parse_from(arguments) {
        Ok(args) => args,
        Err(error) => {
            let text = error.render().to_string();
            // Help and version were asked for: they are output, not a complaint.
            if error.use_stderr() {
                let _ = err.write_all(text.as_bytes());
                return Exit::BadInput;
            }
            let _ = out.write_all(text.as_bytes()).and_then(|()| out.flush());
            return Exit::Done;
        }
    };
    let result = match &args.verb {
        Some(Verb::New(new)) => new::run(new, out),
        Some(Verb::Takeoff(takeoff)) => takeoff::run(takeoff, out),
        Some(Verb::Results(results)) => results::run(results, out),
        Some(Verb::Check(check)) => check::run(check, out),
        Some(Verb::Compare(compare)) => compare::run(compare, out),
        Some(Verb::Sheets(sheets)) => sheets::run(sheets, out),
        Some(Verb::Picture(picture)) => picture::run(picture),
        None => edit::run(args.job.as_deref()),
    };
    match result.and_then(|exit| out.flush().map_err(Failure::from).map(|()| exit)) {
        Ok(exit) => exit,
        Err(failure) => {
            if let Some(message) = failure.message {
                let _ = writeln!(err, "slabloom: {message}");
            }
            failure.exit
        }
    }
}

/// The alternates of the bid, priced. Nobody holds the flag, so the work is not given up.
fn alternates(job: &Job, results: &Results) -> Vec<PricedAlternate> {
    priced_alternates(job, results, &Cancel::new()).unwrap_or_default()
}

/// Opens a job that a layout can follow from.
fn open(path: &Path) -> Result<Job, Failure> {
    let (opened, _) = open_job(&Disk, path)?;
    match opened.faults.into_iter().find(|fault| fault.level < FaultLevel::Loose) {
        Some(fault) => Err(Failure::bad_input(format!("{}: {fault}", path.display()))),
        None if opened.job.outline.sides.is_empty() => Err(Failure::bad_input(format!(
            "{}: The job has no outline yet. Draw one, or make the job with slabloom new",
            path.display()
        ))),
        None => Ok(opened.job),
    }
}
