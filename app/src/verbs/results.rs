//! `slabloom results`: everything that follows from a job, by the JSON contract.

use super::args::Results;
use super::failure::{Exit, Failure};
use slabloom_core::derive::{contract, derive};
use std::io::Write;

pub(super) fn run(results: &Results, out: &mut dyn Write) -> Result<Exit, Failure> {
    let job = super::open(&results.job)?;
    let results = derive(&job);
    let alternates = super::alternates(&job, &results);
    out.write_all(contract::to_json_with(&results, &alternates).as_bytes())?;
    Ok(Exit::Done)
}
