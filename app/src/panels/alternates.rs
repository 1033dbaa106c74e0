//! Other ways to build the same slab: what each changes, and what that does to the figures, side
//! by side with the job as it is.

use super::side_by_side::step;
use crate::editor::actions::Action;
use crate::editor::requests::Requests;
use crate::editor::view_context::ViewContext;
use crate::widgets::{note, section, text_field};
use egui::{RichText, Ui};
use slabloom_core::derive::Results;
use slabloom_core::edit::Edit;
use slabloom_core::job::prices::{Alternate, Rate};
use slabloom_core::units::{Cents, Length, parse_length, show_length, show_number};

/// The list of alternates, to write and to read.
pub(super) fn alternates_ui(cx: &ViewContext<'_>, ui: &mut Ui, ask: &mut Requests) {
    let prices = &cx.job.prices;
    if prices.alternates.is_empty() {
        note(ui, "More foam, a thicker floor, closer tube: see what it costs before anyone asks.");
    }
    for (index, alternate) in prices.alternates.iter().enumerate() {
        ui.push_id(("alternate", index), |ui| one(cx, ui, ask, index, alternate));
    }
    ui.horizontal_wrapped(|ui| {
        if ui.button("Add an alternate").clicked() {
            let mut copy = (**prices).clone();
            let name = format!("Alternate {}", copy.alternates.len() + 1);
            copy.alternates.push(Alternate { name, ..Alternate::default() });
            ask.edit(Edit::SetPrices(copy));
        }
        if !prices.alternates.is_empty() && ui.button("Compare side by side…").clicked() {
            ask.act(Action::Compare);
        }
    });
}

fn one(cx: &ViewContext<'_>, ui: &mut Ui, ask: &mut Requests, index: usize, own: &Alternate) {
    let derived = cx.alternates.and_then(|list| list.get(index)).filter(|d| d.name == own.name);
    ui.horizontal(|ui| {
        ui.label(RichText::new(&own.name).strong());
        ui.with_layout(egui::Layout::right_to_left(egui::Align::Center), |ui| {
            let text = derived.map_or("…".to_owned(), |derived| {
                let now = cx.results.parts.price.total;
                step(derived.results.parts.price.total.0 - now.0)
            });
            ui.label(RichText::new(text).color(cx.palette.ink));
        });
    });
    section(ui, "What it changes", false, |ui| {
        let mut copy = own.clone();
        if let Some(name) = text_field(ui, "Name", &own.name, |text| Ok(text.to_owned())) {
            copy.name = name;
        }
        length_or_same(cx, ui, "Floor thickness", &mut copy.floor_thickness);
        length_or_same(cx, ui, "Foam, top layer", &mut copy.foam_thickness);
        if own.foam_thickness.is_some() {
            board_rate(ui, &mut copy);
        }
        length_or_same(cx, ui, "Tube spacing", &mut copy.tube_spacing);
        let fibre = copy.fibre_instead_of_steel.map_or_else(String::new, |lb| show_number(lb, 1));
        let given = text_field(ui, "Fibre for mesh, lb per yd³", &fibre, |text| match text {
            "" => Ok(None),
            _ => text.parse::<f64>().map(Some).map_err(|_| format!("“{text}” is no number")),
        });
        if let Some(given) = given {
            copy.fibre_instead_of_steel = given;
        }
        let mut prices = (*cx.job.prices).clone();
        if ui.button("Remove").clicked() {
            prices.alternates.remove(index);
            ask.edit(Edit::SetPrices(prices));
        } else if copy != *own {
            if let Some(place) = prices.alternates.get_mut(index) {
                *place = copy;
            }
            ask.edit(Edit::SetPrices(prices));
        }
    });
}

/// A length that is as in the job while the field is empty.
fn length_or_same(cx: &ViewContext<'_>, ui: &mut Ui, label: &str, value: &mut Option<Length>) {
    let display = cx.display();
    let shown = value.map_or_else(String::new, |value| show_length(value, display.rounding));
    let given = text_field(ui, label, &shown, |text| match text {
        "" => Ok(None),
        _ => parse_length(text, display.bare_unit).map(Some).map_err(|error| error.to_string()),
    });
    if let Some(given) = given {
        *value = given;
    }
}

/// What a board of the alternate's foam costs: the job's own rate is for its own thickness.
fn board_rate(ui: &mut Ui, alternate: &mut Alternate) {
    const KEY: &str = "foam.boards-1";
    let own = alternate.rates.iter().find(|rate| rate.item == KEY).map(|rate| rate.rate);
    let shown = own.map_or_else(String::new, |rate| rate.to_string());
    let given = text_field(ui, "Rate of its foam board", &shown, super::bid::read_money);
    let Some(rate) = given else { return };
    alternate.rates.retain(|known| known.item != KEY);
    if rate != Cents(0) {
        alternate.rates.push(Rate { item: KEY.to_owned(), rate });
    }
}

/// A figure that alternates are compared by.
struct Compared {
    name: &'static str,
    value: fn(&Results) -> f64,
    decimals: u32,
}

const COMPARED: [Compared; 7] = [
    Compared { name: "Price", value: |r| r.parts.price.total.to_units(), decimals: 0 },
    Compared { name: "Concrete to order, yd³", value: |r| r.parts.pour.order_yd3, decimals: 2 },
    Compared { name: "Foam boards", value: boards, decimals: 0 },
    Compared { name: "Tube, ft", value: tube_ft, decimals: 0 },
    Compared { name: "Supply water, °F", value: |r| r.parts.heat.supply_f, decimals: 0 },
    Compared {
        name: "Heat into the ground, Btu/h",
        value: |r| r.parts.heat.down_btuh,
        decimals: 0,
    },
    Compared { name: "Findings", value: |r| r.findings.len() as f64, decimals: 0 },
];

fn boards(results: &Results) -> f64 {
    results.parts.foam.layers.iter().map(|layer| f64::from(layer.boards)).sum()
}

fn tube_ft(results: &Results) -> f64 {
    results.parts.tube.circuits.iter().map(|circuit| circuit.length / 12.0).sum()
}

/// The job and its alternates, a column each, with what each differs by.
pub fn compare_ui(cx: &ViewContext<'_>, ui: &mut Ui) {
    let Some(alternates) = cx.alternates.filter(|list| !list.is_empty()) else {
        note(ui, "The alternates are being worked out…");
        return;
    };
    egui::ScrollArea::horizontal().show(ui, |ui| {
        egui::Grid::new("compare").striped(true).spacing([18.0, 8.0]).show(ui, |ui| {
            ui.label("");
            ui.label(RichText::new("This job").strong());
            for alternate in alternates {
                ui.label(RichText::new(&alternate.name).strong());
            }
            ui.end_row();
            for compared in COMPARED {
                ui.label(compared.name);
                let own = (compared.value)(cx.results);
                ui.label(show_number(own, compared.decimals));
                for alternate in alternates {
                    let value = (compared.value)(&alternate.results);
                    let difference = show_number(value - own, compared.decimals);
                    let is_same = difference.chars().all(|c| matches!(c, '0' | '.' | '-'));
                    let sign = if value > own { "+" } else { "" };
                    let shown = show_number(value, compared.decimals);
                    ui.vertical(|ui| {
                        ui.label(RichText::new(shown).color(cx.palette.ink));
                        if !is_same {
                            let text = RichText::new(format!("{sign}{difference}")).small();
                            ui.label(text.color(cx.palette.accent));
                        }
                    });
                }
                ui.end_row();
            }
        });
    });
    let lacks_rate = |one: &Alternate| one.foam_thickness.is_some() && one.rates.is_empty();
    if cx.job.prices.alternates.iter().any(lacks_rate) {
        note(
            ui,
            "Foam of another thickness is priced at the job's own board rate until it has its own.",
        );
    }
}
