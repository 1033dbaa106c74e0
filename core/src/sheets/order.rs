//! The order list: what to buy, by kind of supplier, with the step of the work and the date that
//! it is needed for.

use super::cover::{decimals, unit_words};
use super::frame::{self, Draft};
use super::pieces::Piece;
use crate::derive::Results;
use crate::drawing::table::{Column, Table};
use crate::job::Job;
use crate::takeoff::{OrderItem, Supplier, order_list};
use crate::units::{show_inches, show_number};

/// The order list; empty when nothing is bought.
#[must_use]
pub fn sheets(job: &Job, results: &Results) -> Vec<Draft> {
    let items = order_list(&results.parts.takeoff);
    let mut pieces = Vec::new();
    for of_supplier in items.chunk_by(|one, other| one.supplier == other.supplier) {
        if let Some(first) = of_supplier.first() {
            pieces.extend(Piece::table(table(job, first.supplier, of_supplier)));
        }
    }
    if pieces.is_empty() {
        return Vec::new();
    }
    pieces.push(Piece::Note(if job.pour.date.is_empty() {
        "No day is set for the pour yet: with one, each supplier's date stands here.".to_owned()
    } else {
        let days_off = match job.pour.days_off.as_slice() {
            [] => String::new(),
            listed => format!(" and days off ({})", listed.join(", ")),
        };
        format!(
            "Dates are working days before the pour of {} (common practice for a house); \
             Saturdays, Sundays{days_off} are left out. Agree each with its supplier.",
            job.pour.date
        )
    }));
    let mut drafts = frame::continued(job, "Order list", pieces);
    if let Some(first) = drafts.first_mut() {
        "Order list".clone_into(&mut first.page.title);
    }
    drafts
}

fn table(job: &Job, supplier: Supplier, items: &[OrderItem]) -> Table {
    let when = match supplier.needed_on(&job.pour) {
        Some(date) => format!("on site by {date}, before {}", supplier.needed_before()),
        None => format!("before {}", supplier.needed_before()),
    };
    let mut table = Table::new(
        format!("{}: {when}", supplier.name()),
        vec![
            Column::words("Item"),
            Column::numbers("Quantity"),
            Column::words("Unit"),
            Column::words("Got"),
        ],
    );
    for item in items {
        table.row([
            for_supplier(job, item),
            show_number(item.quantity, decimals(item.quantity)),
            unit_words(item.unit),
            "☐".to_owned(),
        ]);
    }
    table
}

/// An item as its supplier has to hear it: which stock bars, which concrete.
#[must_use]
pub fn for_supplier(job: &Job, item: &OrderItem) -> String {
    if item.key.starts_with("steel.bars-") {
        let stock = job.build_up.steel.stock_bar.to_feet();
        return item.item.replace("stock lengths", &format!("{} ft long", show_number(stock, 0)));
    }
    if item.key != "concrete.order" {
        return item.item.clone();
    }
    let mix = &job.pour.mix;
    let slump = show_inches(mix.slump, job.facts.display.rounding);
    let air = if mix.air_percent > 0.0 {
        format!(", {} % air", show_number(mix.air_percent, 1))
    } else {
        String::new()
    };
    let added = if mix.admixtures.is_empty() { "" } else { ", " };
    format!(
        "Concrete, {} psi, {slump} slump{air}{added}{}",
        show_number(mix.strength_psi, 0),
        mix.admixtures
    )
}
