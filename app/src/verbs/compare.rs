//! `slabloom compare`: the quantities of two jobs side by side, and what each costs.
//!
//! What is the same in both is left out, so that a short answer means a small change. Lines stay
//! within 100 columns.

use super::args::Compare;
use super::failure::{Exit, Failure};
use slabloom_core::derive::derive;
use slabloom_core::takeoff::{QuantityPair, side_by_side};
use slabloom_core::units::{Cents, show_number};
use std::io::Write;

/// Differences below what any figure shows are none.
const SAME: f64 = 0.005;

pub(super) fn run(compare: &Compare, out: &mut dyn Write) -> Result<Exit, Failure> {
    let (first, second) = (super::open(&compare.job)?, super::open(&compare.other)?);
    let (first, second) = (derive(&first).parts, derive(&second).parts);
    let name = |path: &std::path::Path| {
        path.file_name().map_or_else(String::new, |name| name.to_string_lossy().into_owned())
    };
    let (own, other) = (name(&compare.job), name(&compare.other));
    line(out, [String::new(), own, other, "difference".to_owned()])?;
    let mut subject = None;
    let mut is_same = true;
    for pair in side_by_side(&first.takeoff, &second.takeoff) {
        if pair.difference().abs() < SAME {
            continue;
        }
        is_same = false;
        if subject != Some(pair.subject) {
            subject = Some(pair.subject);
            writeln!(out, "{}", pair.subject.name())?;
        }
        line(out, words(&pair))?;
    }
    if is_same {
        writeln!(out, "Every quantity is the same in both")?;
    }
    let (own, other) = (first.price.total, second.price.total);
    let difference = super::takeoff::signed(Cents(other.0 - own.0));
    line(out, ["Price".to_owned(), own.to_string(), other.to_string(), difference])?;
    Ok(Exit::Done)
}

/// One line of four columns; a name too long for its own is cut.
fn line(out: &mut dyn Write, columns: [String; 4]) -> std::io::Result<()> {
    let [what, own, other, difference] =
        columns.map(|text| text.chars().take(46).collect::<String>());
    let cut = |text: &str| text.chars().take(17).collect::<String>();
    writeln!(out, "{what:<46} {:>17} {:>17} {:>16}", cut(&own), cut(&other), cut(&difference))
}

fn words(pair: &QuantityPair) -> [String; 4] {
    let is_whole = |value: f64| (value - value.round()).abs() < 1e-6;
    let decimals = if is_whole(pair.first) && is_whole(pair.second) { 0 } else { 2 };
    let show = |value: f64| show_number(value, decimals);
    let sign = if pair.difference() > 0.0 { "+" } else { "" };
    [
        format!("  {}, {}", pair.item, pair.unit),
        show(pair.first),
        show(pair.second),
        format!("{sign}{}", show(pair.difference())),
    ]
}
