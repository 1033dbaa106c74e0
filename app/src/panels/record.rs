//! The record of what was really built: footage marks off the tube, pressure tests, tickets.

use super::changed;
use crate::editor::requests::Requests;
use crate::editor::view_context::ViewContext;
use crate::widgets::{kept_heading, note, number_field, quantity_row, text_field};
use egui::Ui;
use slabloom_core::edit::Edit;
use slabloom_core::job::as_laid::{AsLaid, LaidCircuit, PressureTest};
use slabloom_core::tube::Circuit;
use slabloom_core::units::show_number;

pub(super) fn record_ui(cx: &ViewContext<'_>, ui: &mut Ui, ask: &mut Requests) {
    note(ui, "What was really built. It is printed on the record sheet.");
    for circuit in &cx.results.parts.tube.circuits {
        ui.push_id(("laid", circuit.zone, circuit.number), |ui| marks(cx, ui, ask, circuit));
    }
    let record = &cx.job.as_laid;
    for (index, test) in record.tests.iter().enumerate() {
        ui.push_id(("test", index), |ui| pressure(cx, ui, ask, index, test));
    }
    if ui.button("Add a pressure test").clicked() {
        let mut copy = (**record).clone();
        copy.tests.push(PressureTest::default());
        ask.edit(Edit::SetAsLaid(copy));
    }
    for words in super::tickets::tickets_in_words(&cx.job.pour) {
        note(ui, format!("Ticket {words}"));
    }
}

/// Footage marks of a circuit, and what they make of its length.
fn marks(cx: &ViewContext<'_>, ui: &mut Ui, ask: &mut Requests, circuit: &Circuit) {
    let record = &cx.job.as_laid;
    let is_this = |laid: &LaidCircuit| laid.zone == circuit.zone && laid.number == circuit.number;
    let known = record.circuits.iter().copied().find(is_this);
    let name = &circuit.name;
    let laid = known.unwrap_or(LaidCircuit {
        zone: circuit.zone,
        number: circuit.number,
        ..LaidCircuit::default()
    });
    let start = number_field(ui, &format!("{name}, mark at supply"), laid.start_mark_ft, "ft");
    let end = number_field(ui, &format!("{name}, mark at return"), laid.end_mark_ft, "ft");
    if start.is_some() || end.is_some() {
        let laid = LaidCircuit {
            start_mark_ft: start.unwrap_or(laid.start_mark_ft),
            end_mark_ft: end.unwrap_or(laid.end_mark_ft),
            ..laid
        };
        ask.edit(Edit::SetAsLaid(with_marks(record, laid)));
    }
    if known.is_some() {
        let feet = (laid.end_mark_ft - laid.start_mark_ft).abs();
        let off = feet - circuit.length / 12.0;
        let sign = if off > 0.0 { "+" } else { "" };
        let shown = format!("{} ft ({sign}{})", show_number(feet, 0), show_number(off, 0));
        quantity_row(ui, cx.palette, &format!("{name}, laid (off plan)"), &shown, None);
    }
}

/// The record with the marks of one circuit put in.
fn with_marks(record: &AsLaid, laid: LaidCircuit) -> AsLaid {
    let mut copy = record.clone();
    let known = copy
        .circuits
        .iter_mut()
        .find(|known| known.zone == laid.zone && known.number == laid.number);
    match known {
        Some(known) => *known = laid,
        None => copy.circuits.push(laid),
    }
    copy
}

fn pressure(
    cx: &ViewContext<'_>,
    ui: &mut Ui,
    ask: &mut Requests,
    index: usize,
    test: &PressureTest,
) {
    let nth = index + 1;
    let mut copy = test.clone();
    let is_kept =
        kept_heading(ui, &format!("Pressure test {nth}"), &format!("Take test {nth} away"));
    let words = |text: &str| Ok::<String, String>(text.to_owned());
    if let Some(when) = text_field(ui, &format!("Test {nth}, when"), &test.when, words) {
        copy.when = when;
    }
    let numbers = [
        ("pressure at start", "psi", &mut copy.start_psi),
        ("pressure at end", "psi", &mut copy.end_psi),
        ("lasted", "h", &mut copy.hours),
        ("air", "°F", &mut copy.air_f),
    ];
    for (what, unit, value) in numbers {
        if let Some(given) = number_field(ui, &format!("Test {nth}, {what}"), *value, unit) {
            *value = given;
        }
    }
    if let Some(by) = text_field(ui, &format!("Test {nth}, read by"), &test.by, words) {
        copy.by = by;
    }
    if is_kept && copy == *test {
        return;
    }
    let (record, given) = (&cx.job.as_laid, Some(copy));
    changed!(ask, Edit::SetAsLaid, record, given, |record, copy| {
        if is_kept {
            record.tests[index] = copy;
        } else {
            record.tests.remove(index);
        }
    });
}
