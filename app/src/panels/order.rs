//! The order list: what to buy from whom, and by when.

use crate::editor::view_context::ViewContext;
use crate::widgets::{note, quantity_row};
use egui::{RichText, Ui};
use slabloom_core::takeoff::order_list;
use slabloom_core::units::{dates, show_number};

/// Reads days off written with commas between.
pub(super) fn read_days_off(text: &str) -> Result<Vec<String>, String> {
    let days = text.split([',', ';', ' ']).map(str::trim).filter(|day| !day.is_empty());
    days.map(|day| match dates::day_number(day) {
        Some(number) => Ok(dates::show_day(number)),
        None => Err(format!("“{day}” is no date; write days as 2026-05-25, commas between")),
    })
    .collect()
}

/// Reads a day; an empty text is none.
pub(super) fn read_day(text: &str) -> Result<String, String> {
    match dates::day_number(text) {
        Some(number) => Ok(dates::show_day(number)),
        None if text.is_empty() => Ok(String::new()),
        None => Err(format!("“{text}” is no date; write it as 2026-05-20")),
    }
}

pub(super) fn order_ui(cx: &ViewContext<'_>, ui: &mut Ui) {
    let items = order_list(&cx.results.parts.takeoff);
    if items.is_empty() {
        super::empty(ui, "What to buy stands here as soon as there is a slab.");
        return;
    }
    for of_supplier in items.chunk_by(|one, other| one.supplier == other.supplier) {
        let Some(first) = of_supplier.first() else { continue };
        let supplier = first.supplier;
        let before = supplier.needed_before();
        let when = match supplier.needed_on(&cx.job.pour) {
            Some(date) => format!("by {date}, before {before}"),
            None => format!("before {before}"),
        };
        ui.label(RichText::new(format!("{}: {when}", supplier.name())).strong());
        for item in of_supplier {
            let decimals = if (item.quantity - item.quantity.round()).abs() < 1e-6 { 0 } else { 2 };
            let unit = item.unit.replace("ft2", "ft²").replace("yd3", "yd³");
            let figure = format!("{} {unit}", show_number(item.quantity, decimals));
            quantity_row(ui, cx.palette, &item.item, &figure, None);
        }
    }
    note(
        ui,
        if cx.job.pour.date.is_empty() {
            "Give the day of the pour, in the pour stage, for a date with each supplier."
        } else {
            "Working days before the pour (common practice); weekends and the days off listed \
             with it are left out."
        },
    );
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn days_off_are_read_or_the_wrong_one_is_named() {
        let days = read_days_off("2026-05-25, 2026-07-03").unwrap();
        assert_eq!(days, ["2026-05-25", "2026-07-03"]);
        assert_eq!(read_days_off(""), Ok(Vec::new()));
        assert!(read_days_off("2026-05-25, Labor-Day").unwrap_err().contains("Labor-Day"));
        assert!(read_day("2026-02-30").is_err());
        assert_eq!(read_day(""), Ok(String::new()));
    }
}
