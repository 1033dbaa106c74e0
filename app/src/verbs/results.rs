//! `slabloom results`: everything that follows from a job, by the JSON contract.

use super::args::Results;
use super::failure::{Exit, Failure};
use slabloom_core::derive::{contract, derive};
use std::io::Write;

pub(super) fn run(results: &Results, out: &mut dyn Write) -> Result<Exit, Failure> {
    let job = super::open(&results.job)?;
    out.write_all(contract::to_json(&derive(&job)).as_bytes())?;
    Ok(Exit::Done)
}
