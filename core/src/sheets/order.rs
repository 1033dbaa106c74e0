//! The order list: what to buy, by stage of the work.

use super::cover::{decimals, unit_words};
use super::frame::{self, Draft};
use super::pieces::Piece;
use crate::derive::Results;
use crate::drawing::table::{Column, Table};
use crate::job::Job;
use crate::takeoff::{QuantityLine, Subject};
use crate::units::show_number;

/// The order list; empty when nothing is bought.
#[must_use]
pub fn sheets(job: &Job, results: &Results) -> Vec<Draft> {
    let lines = &results.parts.takeoff.lines;
    let pieces: Vec<Piece> = [
        (Subject::Forms, "Forms and ground"),
        (Subject::Foam, "Foam"),
        (Subject::Steel, "Steel and membrane"),
        (Subject::Tube, "Heating tube"),
        (Subject::Pour, "Concrete"),
        (Subject::Saw, "Joints"),
    ]
    .into_iter()
    .filter_map(|(subject, title)| Piece::table(table(lines, subject, title)))
    .collect();
    if pieces.is_empty() {
        return Vec::new();
    }
    let mut drafts = frame::continued(job, "Order list", pieces);
    if let Some(first) = drafts.first_mut() {
        "Order list".clone_into(&mut first.page.title);
    }
    drafts
}

fn table(lines: &[QuantityLine], subject: Subject, title: &str) -> Table {
    let mut table = Table::new(
        title,
        vec![
            Column::words("Item"),
            Column::numbers("Quantity"),
            Column::words("Unit"),
            Column::words("Got"),
        ],
    );
    for line in lines.iter().filter(|line| line.is_bought && line.subject == subject) {
        table.row([
            line.item.clone(),
            show_number(line.quantity, decimals(line.quantity)),
            unit_words(line.unit),
            "☐".to_owned(),
        ]);
    }
    table
}
