//! What a bid holds besides the takeoff: extras, what is left out, versions that were given out.

use super::bid::read_money;
use super::changed;
use crate::editor::requests::Requests;
use crate::editor::view_context::ViewContext;
use crate::widgets::{kept_heading, note, number_field, quantity_row, text_field};
use egui::Ui;
use slabloom_core::edit::Edit;
use slabloom_core::job::prices::Extra;
use slabloom_core::price::with_version;

fn words(text: &str) -> Result<String, String> {
    Ok(text.to_owned())
}

/// Lines that are no quantity of the takeoff.
pub(super) fn extras_ui(cx: &ViewContext<'_>, ui: &mut Ui, ask: &mut Requests) {
    let prices = &cx.job.prices;
    for (index, extra) in prices.extras.iter().enumerate() {
        ui.push_id(("extra", index), |ui| one_extra(cx, ui, ask, index, extra));
    }
    if ui.button("Add an extra").clicked() {
        let mut copy = (**prices).clone();
        let (quantity, unit) = (1.0, "lump".to_owned());
        copy.extras.push(Extra { name: "Extra".to_owned(), quantity, unit, ..Extra::default() });
        ask.edit(Edit::SetPrices(copy));
    }
}

fn one_extra(cx: &ViewContext<'_>, ui: &mut Ui, ask: &mut Requests, index: usize, extra: &Extra) {
    let nth = index + 1;
    let mut copy = extra.clone();
    let is_kept = kept_heading(ui, &extra.name, &format!("Take extra {nth} away"));
    if let Some(name) = text_field(ui, &format!("Extra {nth}, name"), &extra.name, words) {
        copy.name = name;
    }
    if let Some(count) = number_field(ui, &format!("Extra {nth}, how many"), extra.quantity, "") {
        copy.quantity = count.clamp(0.0, 1e6);
    }
    if let Some(unit) = text_field(ui, &format!("Extra {nth}, of what"), &extra.unit, words) {
        copy.unit = unit;
    }
    let label = format!("Extra {nth}, rate");
    if let Some(rate) = text_field(ui, &label, &extra.rate.to_string(), read_money) {
        copy.rate = rate;
    }
    if is_kept && copy == *extra {
        return;
    }
    let (prices, given) = (&cx.job.prices, Some(copy));
    changed!(ask, Edit::SetPrices, prices, given, |prices, copy| {
        if is_kept {
            prices.extras[index] = copy;
        } else {
            prices.extras.remove(index);
        }
    });
}

/// What the bid leaves out, a line each; an empty line goes.
pub(super) fn exclusions_ui(cx: &ViewContext<'_>, ui: &mut Ui, ask: &mut Requests) {
    let prices = &cx.job.prices;
    for (index, line) in prices.exclusions.iter().enumerate() {
        let given = text_field(ui, &format!("Left out {}", index + 1), line, words);
        changed!(ask, Edit::SetPrices, prices, given, |copy, line| {
            if line.is_empty() {
                copy.exclusions.remove(index);
            } else {
                copy.exclusions[index] = line;
            }
        });
    }
    let given = text_field(ui, "Leave out too", "", words);
    changed!(ask, Edit::SetPrices, prices, given, |copy, line| copy.exclusions.push(line));
}

/// Bids as they were given out, and the present one to be kept.
pub(super) fn versions_ui(cx: &ViewContext<'_>, ui: &mut Ui, ask: &mut Requests) {
    let (prices, price) = (&cx.job.prices, &cx.results.parts.price);
    for version in &prices.versions {
        let name = format!("{}  {}", version.date, version.note);
        quantity_row(ui, cx.palette, name.trim(), &version.total.to_string(), None);
    }
    note(ui, "Write what is new to keep the bid as it is now, with the job's date.");
    // Results that are behind would be kept with yesterday's total.
    if cx.is_behind {
        return;
    }
    if let Some(note) = text_field(ui, "Keep this bid as", "", words) {
        let kept = with_version(prices, price, &cx.job.facts.date, &note);
        ask.edit(Edit::SetPrices(kept));
    }
}
