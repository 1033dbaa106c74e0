//! `slabloom takeoff`: what to order, the price and the findings on one screen; with `--all` every
//! quantity with its parts; with `--json` the takeoff's part of the results.

mod heat;
mod short;
mod whole;

use super::args::Takeoff;
use super::failure::{Exit, Failure};
use serde_json::{Map, Value};
use slabloom_core::derive::alternates::PricedAlternate;
use slabloom_core::derive::{Results, contract, derive};
use slabloom_core::units::Cents;
use std::io::Write;

pub(super) fn run(takeoff: &Takeoff, out: &mut dyn Write) -> Result<Exit, Failure> {
    let job = super::open(&takeoff.job)?;
    let results = derive(&job);
    let alternates = super::alternates(&job, &results);
    if takeoff.json {
        out.write_all(json(&results, &alternates)?.as_bytes())?;
    } else if takeoff.all {
        whole::write(&job, &results, &alternates, out)?;
    } else {
        short::write(&job, &results, &alternates, out)?;
    }
    Ok(Exit::Done)
}

/// The takeoff's part of the results contract, in the same form.
fn json(results: &Results, alternates: &[PricedAlternate]) -> Result<String, Failure> {
    let refuse = |error: serde_json::Error| {
        Failure::bad_input(format!("The results cannot be put into JSON: {error}"))
    };
    let text = contract::to_json_with(results, alternates);
    let whole: Value = serde_json::from_str(&text).map_err(refuse)?;
    let mut part = Map::new();
    for key in ["schema", "takeoff", "price", "findings"] {
        part.insert(key.to_owned(), whole.get(key).cloned().unwrap_or_default());
    }
    Ok(serde_json::to_string_pretty(&Value::Object(part)).map_err(refuse)? + "\n")
}

/// An amount with its sign, since it is added or taken away: `+$120.00`.
pub(super) fn signed(amount: Cents) -> String {
    if amount > Cents(0) { format!("+{amount}") } else { amount.to_string() }
}
