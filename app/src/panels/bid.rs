//! Bid: every quantity with its rate, what it comes to, and where each quantity comes from.

use super::{changed, highlight};
use crate::editor::actions::Action;
use crate::editor::requests::{Request, Requests};
use crate::editor::view_context::ViewContext;
use crate::widgets::{note, number_field, quantity_row, section, text_field};
use egui::{RichText, Ui};
use slabloom_core::edit::Edit;
use slabloom_core::job::prices::Rate;
use slabloom_core::takeoff::{QuantityLine, Subject};
use slabloom_core::units::{Cents, show_number};

const SUBJECTS: [(Subject, &str); 6] = [
    (Subject::Forms, "Forms and ground"),
    (Subject::Foam, "Foam"),
    (Subject::Steel, "Steel and membrane"),
    (Subject::Tube, "Tube"),
    (Subject::Pour, "Concrete"),
    (Subject::Saw, "Joints"),
];

pub(super) fn bid_ui(cx: &ViewContext<'_>, ui: &mut Ui, ask: &mut Requests) {
    note(ui, "The program ships no market prices. Write your own rates; they stay with the job.");
    let button = ui.button("Take rates from a job…");
    if button.on_hover_text("Its rates, overhead, margin and extras, in place of these").clicked() {
        ask.act(Action::TakeRates);
    }
    let lines = &cx.results.parts.takeoff.lines;
    if lines.is_empty() {
        super::empty(ui, "Quantities stand here as soon as there is a slab.");
    }
    for (subject, name) in SUBJECTS {
        let of_subject: Vec<_> = lines.iter().filter(|line| line.subject == subject).collect();
        if of_subject.is_empty() {
            continue;
        }
        section(ui, name, true, |ui| {
            for line in of_subject {
                ui.push_id(&line.key, |ui| quantity(cx, ui, ask, line));
            }
        });
    }
    section(ui, "Extras", !cx.job.prices.extras.is_empty(), |ui| {
        super::terms::extras_ui(cx, ui, ask);
    });
    section(ui, "Total", true, |ui| total(cx, ui, ask));
    section(ui, "Alternates", true, |ui| super::alternates::alternates_ui(cx, ui, ask));
    section(ui, "Not in this bid", false, |ui| super::terms::exclusions_ui(cx, ui, ask));
    section(ui, "Bids given out", false, |ui| super::terms::versions_ui(cx, ui, ask));
    section(ui, "Order list", false, |ui| super::order::order_ui(cx, ui));
}

fn quantity(cx: &ViewContext<'_>, ui: &mut Ui, ask: &mut Requests, line: &QuantityLine) {
    let decimals = if (line.quantity - line.quantity.round()).abs() < 1e-6 { 0 } else { 2 };
    let unit = line.unit.replace("ft2", "ft²").replace("yd3", "yd³");
    let figure = format!("{} {}", show_number(line.quantity, decimals), unit);
    ui.horizontal(|ui| {
        if line.parts.is_empty() {
            ui.label(&line.item);
        } else {
            let response = ui.link(&line.item).on_hover_ui(|ui| {
                ui.label(RichText::new("Adds up from").strong());
                for part in &line.parts {
                    ui.label(format!("{}  {}", show_number(part.quantity, 2), part.name));
                }
            });
            if response.clicked() {
                ask.push(Request::Trace(line.key.clone()));
            } else if response.hovered() {
                let places: Vec<_> =
                    line.parts.iter().flat_map(|part| part.places.clone()).collect();
                highlight(ask, &places);
            }
        }
        ui.with_layout(egui::Layout::right_to_left(egui::Align::Center), |ui| {
            ui.label(RichText::new(figure).family(crate::editor::theme::bold()));
        });
    });
    if cx.traced == Some(line.key.as_str()) {
        traced_parts(cx, ui, line);
    }
    if !line.is_bought {
        return;
    }
    let prices = &cx.job.prices;
    let rate = prices.rates.iter().find(|rate| rate.item == line.key).map_or(Cents(0), |r| r.rate);
    let shown = if rate == Cents(0) { String::new() } else { rate.to_string() };
    if let Some(rate) = text_field(ui, "    rate", &shown, read_money) {
        let mut copy = (**prices).clone();
        match copy.rates.iter_mut().find(|known| known.item == line.key) {
            Some(known) => known.rate = rate,
            None => copy.rates.push(Rate { item: line.key.clone(), rate }),
        }
        ask.edit(Edit::SetPrices(copy));
    }
}

/// The parts of a quantity that are lit on the plan.
fn traced_parts(cx: &ViewContext<'_>, ui: &mut Ui, line: &QuantityLine) {
    const MOST: usize = 12;
    for part in line.parts.iter().take(MOST) {
        let figure = show_number(part.quantity, 2);
        quantity_row(ui, cx.palette, &format!("    {}", part.name), &figure, None);
    }
    if line.parts.len() > MOST {
        note(ui, format!("    and {} more, all lit on the plan", line.parts.len() - MOST));
    }
}

/// Reads an amount of money.
pub(super) fn read_money(text: &str) -> Result<Cents, String> {
    let bare: String =
        text.chars().filter(|character| !matches!(character, ',' | ' ' | '$')).collect();
    if bare.is_empty() {
        return Ok(Cents(0));
    }
    match bare.parse::<f64>() {
        Ok(amount) if (0.0..1e9).contains(&amount) => Ok(Cents::from_units(amount)),
        _ => Err(format!("“{text}” is no amount of money")),
    }
}

fn total(cx: &ViewContext<'_>, ui: &mut Ui, ask: &mut Requests) {
    let prices = &cx.job.prices;
    for (label, value) in
        [("Overhead", prices.overhead), ("Margin", prices.margin), ("Tax", prices.tax)]
    {
        let given = number_field(ui, label, value * 100.0, "%");
        changed!(ask, Edit::SetPrices, prices, given, |copy, percent| {
            let share = (percent / 100.0).clamp(0.0, 5.0);
            match label {
                "Overhead" => copy.overhead = share,
                "Margin" => copy.margin = share,
                _ => copy.tax = share,
            }
        });
    }
    let price = &cx.results.parts.price;
    let rows = [
        ("Cost", price.cost),
        ("Overhead", price.overhead),
        ("Margin", price.margin),
        ("Tax", price.tax),
        ("Price", price.total),
    ];
    for (name, amount) in rows {
        quantity_row(ui, cx.palette, name, &amount.to_string(), None);
    }
    let area = cx.plan.area / 144.0;
    if area > 0.0 {
        let per = Cents::from_units(price.total.to_units() / area);
        quantity_row(ui, cx.palette, "Per square foot", &per.to_string(), None);
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn money_is_read_with_and_without_its_sign() {
        assert_eq!(read_money("$1,250.50"), Ok(Cents(125_050)));
        assert_eq!(read_money(""), Ok(Cents(0)));
        assert!(read_money("ten").is_err());
        assert!(read_money("-3").is_err());
    }
}
