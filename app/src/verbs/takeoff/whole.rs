//! The whole takeoff: every quantity with its parts, the order list, the priced lines, findings.

use super::super::check::write_findings;
use slabloom_core::derive::Results;
use slabloom_core::derive::alternates::PricedAlternate;
use slabloom_core::job::Job;
use slabloom_core::takeoff::{QuantityLine, Subject, order_list};
use slabloom_core::units::{Cents, UnitSystem, quantity_text, show_number};
use std::io::{self, Write};

/// Writes it as text, however long.
pub(super) fn write(
    job: &Job,
    results: &Results,
    alternates: &[PricedAlternate],
    out: &mut dyn Write,
) -> io::Result<()> {
    let parts = &results.parts;
    let title = if job.facts.title.is_empty() { "Slab" } else { &job.facts.title };
    let area = slabloom_core::units::Area::square_inches(parts.plan.area);
    writeln!(out, "{title}: {}", quantity_text::show_area(area, UnitSystem::Us))?;
    let mut subject: Option<Subject> = None;
    for line in &parts.takeoff.lines {
        if subject != Some(line.subject) {
            subject = Some(line.subject);
            writeln!(out, "\n{}", line.subject.name())?;
        }
        write_line(line, out)?;
    }
    let order = order_list(&parts.takeoff);
    if !order.is_empty() {
        writeln!(out, "\nTo order")?;
        for item in order {
            let amount = amount(item.quantity, item.unit);
            writeln!(out, "  {:<44} {amount:>18}  {}", item.item, item.supplier.name())?;
        }
    }
    super::heat::write(job, results, out)?;
    write_price(results, out)?;
    write_alternates(alternates, out)?;
    if !results.findings.is_empty() {
        writeln!(out, "\nFindings")?;
        write_findings(&results.findings, job.facts.display.rounding, out)?;
    }
    Ok(())
}

fn write_line(line: &QuantityLine, out: &mut dyn Write) -> io::Result<()> {
    writeln!(out, "  {:<44} {:>18}", line.item, amount(line.quantity, line.unit))?;
    // Parts say something only where there is more than one.
    if line.parts.len() > 1 {
        for part in &line.parts {
            writeln!(out, "    {:<42} {:>18}", part.name, amount(part.quantity, line.unit))?;
        }
    }
    Ok(())
}

/// A quantity with its unit; whole numbers without decimals.
fn amount(quantity: f64, unit: &str) -> String {
    let decimals = if (quantity - quantity.round()).abs() < 1e-9 { 0 } else { 2 };
    format!("{} {unit}", show_number(quantity, decimals))
}

fn write_price(results: &Results, out: &mut dyn Write) -> io::Result<()> {
    let price = &results.parts.price;
    if price.lines.is_empty() {
        writeln!(out, "\nPrice: the job has no rates yet")?;
        return Ok(());
    }
    writeln!(out, "\nPrice")?;
    for line in &price.lines {
        let quantity = amount(line.quantity, &line.unit);
        writeln!(
            out,
            "  {:<44} {quantity:>18} {:>12} {:>14}",
            line.item,
            line.rate.to_string(),
            line.amount.to_string()
        )?;
    }
    let sums = [
        ("Cost", price.cost),
        ("Overhead", price.overhead),
        ("Margin", price.margin),
        ("Tax", price.tax),
        ("Total", price.total),
    ];
    for (name, sum) in sums {
        if sum != Cents(0) || name == "Total" {
            writeln!(out, "  {name:<76} {:>14}", sum.to_string())?;
        }
    }
    let feet = results.parts.plan.area / 144.0;
    if feet > 0.0 {
        let each = Cents::from_units(price.total.to_units() / feet);
        writeln!(out, "  {:<76} {:>14}", "Per square foot", each.to_string())?;
    }
    for stage in &price.stages {
        writeln!(out, "  Of the cost: {:<63} {:>14}", stage.stage, stage.amount.to_string())?;
    }
    for key in &price.unused_rates {
        writeln!(out, "  note: no quantity of this job answers to the rate {key}")?;
    }
    Ok(())
}

fn write_alternates(alternates: &[PricedAlternate], out: &mut dyn Write) -> io::Result<()> {
    if alternates.is_empty() {
        return Ok(());
    }
    writeln!(out, "\nAlternates")?;
    for alternate in alternates {
        writeln!(
            out,
            "  {:<61} {:>14} {:>14}",
            alternate.name,
            super::signed(alternate.difference),
            alternate.price.total.to_string()
        )?;
        for line in &alternate.changed {
            let (own, other) = (line.own.to_string(), line.alternate.to_string());
            writeln!(out, "    {:<59} {own:>14} {other:>14}", line.item)?;
        }
        for item in &alternate.unpriced {
            writeln!(out, "    note: no rate of its own for {item}")?;
        }
    }
    Ok(())
}
