//! The bid for the customer: priced lines, total, alternates, what is left out.

use super::cover::{decimals, unit_words};
use super::frame::{self, Draft};
use super::pieces::Piece;
use crate::derive::Results;
use crate::drawing::table::{Column, Table};
use crate::job::Job;
use crate::units::{Cents, show_number};

/// The bid; empty while nothing has a rate.
#[must_use]
pub fn sheets(job: &Job, results: &Results) -> Vec<Draft> {
    let price = &results.parts.price;
    if price.total == Cents(0) {
        return Vec::new();
    }
    let mut drafts = frame::continued(job, "Bid", pieces(job, results));
    for (place, draft) in drafts.iter_mut().enumerate() {
        if place == 0 {
            "Bid".clone_into(&mut draft.page.title);
        }
    }
    drafts
}

/// Whole cents as money, grouped: `12,345.60`.
#[must_use]
pub fn money(cents: Cents) -> String {
    show_number(cents.to_units(), 2)
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
            show_number(line.quantity, decimals(line.quantity)),
            unit_words(&line.unit),
            money(line.rate),
            money(line.amount),
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
            sums.row([words.to_owned(), money(amount)]);
        }
    }
    let mut pieces: Vec<Piece> = [lines, sums].into_iter().filter_map(Piece::table).collect();
    let feet = results.parts.plan.area / 144.0;
    if feet > 0.0 {
        pieces.push(Piece::Note(format!(
            "{} a square foot of slab.",
            show_number(price.total.to_units() / feet, 2)
        )));
    }
    if !job.prices.exclusions.is_empty() {
        pieces.push(Piece::Heading("Not in this bid".to_owned()));
        let said = job.prices.exclusions.iter().map(|line| format!("– {line}"));
        pieces.push(Piece::Note(said.collect::<Vec<_>>().join("\n")));
    }
    pieces.push(Piece::Blanks(
        ["Offered by", "Date", "Accepted by", "Date"].map(str::to_owned).to_vec(),
    ));
    pieces
}
