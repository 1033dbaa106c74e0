//! The bid for the customer: priced lines, total, alternates, what is left out.

use super::cover::{decimals, unit_words};
use super::frame::{self, Draft};
use super::pieces::{self, Piece};
use crate::derive::Results;
use crate::derive::alternates::PricedAlternate;
use crate::drawing::table::{Column, Table};
use crate::job::Job;
use crate::price::{Price, StagePrice};
use crate::units::{Cents, show_number};

/// The bid; empty while nothing has a rate.
#[must_use]
pub fn sheets(job: &Job, results: &Results) -> Vec<Draft> {
    let price = &results.parts.price;
    if price.total == Cents(0) {
        return Vec::new();
    }
    let mut drafts = frame::continued(job, "Bid", pieces(job, results));
    if let Some(first) = drafts.first_mut() {
        "Bid".clone_into(&mut first.page.title);
    }
    drafts
}

fn pieces(job: &Job, results: &Results) -> Vec<Piece> {
    let price = &results.parts.price;
    let mut lines = Table::new(
        "Bid",
        vec![
            Column::words("Item"),
            Column::numbers("Quantity"),
            Column::words("Unit"),
            Column::numbers("Rate"),
            Column::numbers("Amount"),
        ],
    );
    for line in &price.lines {
        lines.row([
            line.item.clone(),
            show_number(line.quantity, decimals(line.quantity).min(1) * 2),
            unit_words(&line.unit),
            line.rate.to_string(),
            line.amount.to_string(),
        ]);
    }
    let mut sums = Table::new("Total", vec![Column::words(""), Column::numbers("Amount")]);
    for (words, amount) in [
        ("Lines", price.cost),
        ("Overhead", price.overhead),
        ("Margin", price.margin),
        ("Tax", price.tax),
        ("Total", price.total),
    ] {
        if amount != Cents(0) {
            sums.row([words.to_owned(), amount.to_string()]);
        }
    }
    let tables = [lines, stages(&price.stages), sums];
    let mut pieces: Vec<Piece> = tables.into_iter().filter_map(Piece::table).collect();
    let feet = results.parts.plan.area / 144.0;
    if feet > 0.0 {
        pieces.push(Piece::Note(format!(
            "{} a square foot of slab.",
            Cents::from_units(price.total.to_units() / feet)
        )));
    }
    if !job.prices.exclusions.is_empty() {
        pieces.push(Piece::Heading("Not in this bid".to_owned()));
        let said = job.prices.exclusions.iter().map(|line| format!("– {line}"));
        pieces.push(Piece::Note(said.collect::<Vec<_>>().join("\n")));
    }
    pieces.extend(Piece::table(versions(job)));
    pieces.push(Piece::Note(
        "Each line is rounded once to the nearest cent, halves up; sums are of rounded lines."
            .to_owned(),
    ));
    pieces.push(Piece::Blanks(
        ["Offered by", "Date", "Accepted by", "Date"].map(str::to_owned).to_vec(),
    ));
    pieces
}

fn stages(stages: &[StagePrice]) -> Table {
    let mut table = Table::new("By stage", vec![Column::words("Stage"), Column::numbers("Amount")]);
    for stage in stages {
        table.row([stage.stage.to_owned(), stage.amount.to_string()]);
    }
    table
}

/// Bids that were given out, each with its change from the one before.
fn versions(job: &Job) -> Table {
    let mut table = Table::new(
        "Bids given before",
        vec![
            Column::numbers("No."),
            Column::words("Date"),
            Column::words("What was new"),
            Column::numbers("Total"),
            Column::numbers("Change"),
        ],
    );
    let mut last: Option<Cents> = None;
    for (place, version) in job.prices.versions.iter().enumerate() {
        let change = last.map_or_else(String::new, |last| signed(version.total - last));
        table.row([
            (place + 1).to_string(),
            version.date.clone(),
            version.note.clone(),
            version.total.to_string(),
            change,
        ]);
        last = Some(version.total);
    }
    table
}

/// An amount with its sign, since it is added or taken away.
fn signed(amount: Cents) -> String {
    if amount > Cents(0) { format!("+{amount}") } else { amount.to_string() }
}

/// Alternates that stand side by side in one table on this paper.
fn abreast(job: &Job) -> usize {
    use crate::job::sheet_set::Paper;
    match job.sheet_set.paper {
        Paper::Letter | Paper::Legal | Paper::A4 => 4,
        _ => 6,
    }
}

/// The alternates beside the bid, on sheets of their own.
#[must_use]
pub fn alternate_sheets(
    job: &Job,
    results: &Results,
    alternates: &[PricedAlternate],
) -> Vec<Draft> {
    if alternates.is_empty() {
        return Vec::new();
    }
    let mut pieces = vec![Piece::Note(
        "Each alternate is the whole slab worked out again with that one choice changed and \
         nothing else."
            .to_owned(),
    )];
    for some in alternates.chunks(abreast(job)) {
        pieces.extend(Piece::table(side_by_side(results, some)));
    }
    pieces.extend(Piece::table(changes(alternates)));
    let unpriced = alternates.iter().filter(|other| !other.unpriced.is_empty());
    for other in unpriced {
        pieces.push(Piece::Note(format!(
            "{}: no rate of its own is written for {}; its total does not know what that costs.",
            other.name,
            other.unpriced.join("; ")
        )));
    }
    let mut draft = Draft::new(job, "Bid alternates");
    let room = draft.body();
    let rest = pieces::fill(&mut draft.page, pieces, room);
    let mut drafts = vec![draft];
    drafts.extend(frame::continued(job, "Bid alternates", rest));
    drafts
}

/// Stages and sums of the job and of some alternates, a column each.
fn side_by_side(results: &Results, alternates: &[PricedAlternate]) -> Table {
    let own = &results.parts.price;
    let mut columns = vec![Column::words(""), Column::numbers("As drawn")];
    columns.extend(alternates.iter().map(|other| Column::numbers(other.name.as_str())));
    let mut table = Table::new("Alternates side by side", columns);
    let prices: Vec<&Price> =
        std::iter::once(&**own).chain(alternates.iter().map(|other| &other.price)).collect();
    let mut names: Vec<&'static str> = Vec::new();
    for stage in prices.iter().flat_map(|price| &price.stages) {
        if !names.contains(&stage.stage) {
            names.push(stage.stage);
        }
    }
    let mut row = |name: &str, of: &dyn Fn(&Price) -> Cents| {
        if prices.iter().any(|price| of(price) != Cents(0)) {
            let amounts = prices.iter().map(|price| of(price).to_string());
            table.row(std::iter::once(name.to_owned()).chain(amounts));
        }
    };
    for name in names {
        row(name, &|price| {
            let of_stage = price.stages.iter().filter(|stage| stage.stage == name);
            of_stage.map(|stage| stage.amount).sum()
        });
    }
    row("Overhead", &|price| price.overhead);
    row("Margin", &|price| price.margin);
    row("Tax", &|price| price.tax);
    row("Total", &|price| price.total);
    let differences = alternates.iter().map(|other| signed(other.difference));
    table.row(["Difference".to_owned(), String::new()].into_iter().chain(differences));
    let heat = std::iter::once(results.parts.heat.down_btuh)
        .chain(alternates.iter().map(|other| other.down_btuh));
    if results.parts.heat.down_btuh > 0.0 {
        let heat = heat.map(|btuh| show_number(btuh, 0));
        table.row(std::iter::once("Heat lost down, Btu/h".to_owned()).chain(heat));
    }
    table
}

/// The lines that each alternate changes.
fn changes(alternates: &[PricedAlternate]) -> Table {
    let mut table = Table::new(
        "What each alternate changes",
        vec![
            Column::words("Alternate"),
            Column::words("Line"),
            Column::numbers("As drawn"),
            Column::numbers("Instead"),
            Column::numbers("Difference"),
        ],
    );
    for other in alternates {
        for line in &other.changed {
            table.row([
                other.name.clone(),
                line.item.clone(),
                line.own.to_string(),
                line.alternate.to_string(),
                signed(line.alternate - line.own),
            ]);
        }
    }
    table
}
