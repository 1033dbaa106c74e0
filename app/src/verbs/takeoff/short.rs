//! The takeoff on one screen: what a contractor reads to each supplier, then price and findings.
//!
//! Lines stay within 100 columns. What one supplier sells in several stock lengths is one line;
//! weights and tons stand behind what they belong to. All else is in the whole takeoff.

use super::signed;
use slabloom_core::derive::Results;
use slabloom_core::derive::alternates::PricedAlternate;
use slabloom_core::findings::Severity;
use slabloom_core::job::Job;
use slabloom_core::sheets::order::for_supplier;
use slabloom_core::takeoff::{OrderItem, Supplier, Takeoff, order_list};
use slabloom_core::units::{
    Area, Cents, Length, UnitSystem, quantity_text, show_inches, show_length, show_number,
};
use std::io::{self, Write};

/// Widest line.
const COLUMNS: usize = 100;
/// More findings than this are counted, not listed.
const MOST_FINDINGS: usize = 8;

/// Writes it as text.
pub(super) fn write(
    job: &Job,
    results: &Results,
    alternates: &[PricedAlternate],
    out: &mut dyn Write,
) -> io::Result<()> {
    let (plan, display) = (&results.parts.plan, &job.facts.display);
    let title = if job.facts.title.is_empty() { "Slab" } else { &job.facts.title };
    let area = quantity_text::show_area(Area::square_inches(plan.area), UnitSystem::Us);
    let round = show_length(Length::inches(plan.perimeter), display.rounding);
    let floor = show_inches(job.build_up.floor_thickness, display.rounding);
    writeln!(out, "{title}: {area}, {round} round, {floor} floor")?;
    wrapped(&measured(&results.parts.takeoff), "", out)?;
    write_order(job, &results.parts.takeoff, out)?;
    write_price(results, alternates, out)?;
    write_findings(results, out)?;
    writeln!(out, "\n(--all lists every quantity with its parts)")
}

/// What was measured, in a sentence.
fn measured(takeoff: &Takeoff) -> String {
    let say = |key: &str, words: &str| {
        takeoff.line(key).map(|line| format!("{} of {words}", amount(line.quantity, line.unit)))
    };
    let circuits = takeoff.line("tube.circuits").map(|line| show_number(line.quantity, 0));
    let tube = say("tube.length", "tube").map(|tube| match circuits {
        Some(count) => format!("{tube} in {count} circuits"),
        None => tube,
    });
    let said: Vec<String> = [
        say("forms.length", "forms"),
        say("foam.area-1", "foam"),
        say("foam.edge-strip", "edge foam"),
        tube,
        say("concrete.net", "concrete net"),
        say("saw.length", "saw cuts"),
    ]
    .into_iter()
    .flatten()
    .collect();
    said.join(", ")
}

fn write_order(job: &Job, takeoff: &Takeoff, out: &mut dyn Write) -> io::Result<()> {
    let items = order_list(takeoff);
    if items.is_empty() {
        return Ok(());
    }
    writeln!(out, "\nTo order")?;
    let mut supplier: Option<Supplier> = None;
    for (count, item) in rows(job, takeoff, &items) {
        if supplier != Some(item.supplier) {
            supplier = Some(item.supplier);
            let when = item.supplier.needed_on(&job.pour);
            let when = when.map_or_else(String::new, |date| format!(", on site by {date}"));
            let (name, before) = (item.supplier.name(), item.supplier.needed_before());
            writeln!(out, "{name} (before {before}{when})")?;
        }
        writeln!(out, "  {count:>12}  {}", item.item)?;
    }
    Ok(())
}

/// What is ordered: how much, and the item in words.
fn rows(job: &Job, takeoff: &Takeoff, items: &[OrderItem]) -> Vec<(String, OrderItem)> {
    const LENGTHS: &str = "forms.board-";
    let mut rows: Vec<(String, OrderItem)> = Vec::new();
    for item in items {
        let mut item = item.clone();
        let count = amount(item.quantity, item.unit);
        if item.key == "base.stone"
            && let Some(tons) = takeoff.line("base.stone-tons")
        {
            item.item = format!("{} ({} tons)", item.item, show_number(tons.quantity, 1));
        }
        item.item = for_supplier(job, &item);
        let (name, length) = item.item.rsplit_once(", ").unwrap_or((&item.item, ""));
        let length = length.trim_end_matches(" long").trim_end_matches("-0\"");
        match rows.last_mut() {
            // Boards of another length go on in the line of the first.
            Some((_, first)) if item.key.starts_with(LENGTHS) && first.key == LENGTHS => {
                first.item = format!("{}, {count} at {length}", first.item);
            }
            _ if item.key.starts_with(LENGTHS) => {
                item.item = format!("{name}: {count} at {length}");
                LENGTHS.clone_into(&mut item.key);
                rows.push((String::new(), item));
            }
            _ => rows.push((count, item)),
        }
    }
    let boards = items.iter().filter(|item| item.key.starts_with(LENGTHS));
    let all_boards = show_number(boards.map(|board| board.quantity).sum(), 0);
    if let Some((count, _)) = rows.iter_mut().find(|(_, item)| item.key == LENGTHS) {
        *count = all_boards;
    }
    rows
}

fn write_price(
    results: &Results,
    alternates: &[PricedAlternate],
    out: &mut dyn Write,
) -> io::Result<()> {
    let price = &results.parts.price;
    if price.lines.is_empty() {
        return writeln!(out, "\nPrice: the job has no rates yet");
    }
    let feet = results.parts.plan.area / 144.0;
    let each = Cents::from_units(price.total.to_units() / feet.max(1e-9));
    writeln!(out, "\nPrice: Total {}, {each} a square foot", price.total)?;
    let mut said: Vec<String> =
        price.stages.iter().map(|stage| format!("{} {}", stage.stage, stage.amount)).collect();
    for (name, amount) in
        [("overhead", price.overhead), ("margin", price.margin), ("tax", price.tax)]
    {
        if amount != Cents(0) {
            said.push(format!("{name} {amount}"));
        }
    }
    wrapped(&said.join(", "), "  ", out)?;
    if !alternates.is_empty() {
        let said: Vec<String> = alternates
            .iter()
            .map(|other| {
                // A star: something in it has no rate of its own.
                let star = if other.unpriced.is_empty() { "" } else { " (not all of it priced)" };
                format!("{} {}{star}", other.name, signed(other.difference))
            })
            .collect();
        wrapped(&format!("Alternates: {}", said.join(", ")), "  ", out)?;
    }
    Ok(())
}

fn write_findings(results: &Results, out: &mut dyn Write) -> io::Result<()> {
    if results.findings.is_empty() {
        return Ok(());
    }
    writeln!(out, "\nFindings (slabloom check says where, and what to do)")?;
    for finding in results.findings.iter().take(MOST_FINDINGS) {
        let level = match finding.severity {
            Severity::Stop => "STOP",
            Severity::Warn => "warn",
            Severity::Note => "note",
        };
        wrapped(&format!("{level}  {}", finding.message), "  ", out)?;
    }
    let more = results.findings.len().saturating_sub(MOST_FINDINGS);
    if more > 0 {
        writeln!(out, "  and {more} more")?;
    }
    Ok(())
}

/// Words in lines of at most [`COLUMNS`], the first after `lead`, the others a little further in.
fn wrapped(words: &str, lead: &str, out: &mut dyn Write) -> io::Result<()> {
    let mut line = lead.to_owned();
    let mut is_empty = true;
    for word in words.split(' ') {
        if !is_empty && line.chars().count() + 1 + word.chars().count() > COLUMNS {
            writeln!(out, "{line}")?;
            line = format!("{lead}    ");
            is_empty = true;
        }
        if !is_empty {
            line.push(' ');
        }
        line.push_str(word);
        is_empty = false;
    }
    if is_empty { Ok(()) } else { writeln!(out, "{line}") }
}

/// A quantity with its unit as people say it: counts are bare numbers.
fn amount(quantity: f64, unit: &str) -> String {
    let is_whole = (quantity - quantity.round()).abs() < 1e-9;
    let number = show_number(quantity, if is_whole { 0 } else { 2 });
    match unit {
        "each" => number,
        "rolls" | "boards" | "loads" if number == "1" => {
            format!("1 {}", unit.trim_end_matches('s'))
        }
        "ft2" => format!("{number} ft²"),
        "yd3" => format!("{number} yd³"),
        _ => format!("{number} {unit}"),
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn lines_stay_within_the_screen() {
        let mut out = Vec::new();
        wrapped(&"word ".repeat(60), "  ", &mut out).unwrap();
        let text = String::from_utf8(out).unwrap();
        assert!(text.lines().all(|line| line.chars().count() <= COLUMNS));
        assert_eq!(text.matches("word").count(), 60);
        assert!(text.lines().skip(1).all(|line| line.starts_with("      word")));
    }
}
