//! Delivery tickets, typed in on the day, and what is left to order after each.

use super::changed;
use super::pour::{clock, read_clock};
use super::properties::place;
use crate::editor::requests::{Request, Requests};
use crate::editor::view_context::ViewContext;
use crate::widgets::{kept_heading, note, number_field, quantity_row, text_field};
use egui::Ui;
use slabloom_core::edit::Edit;
use slabloom_core::geometry::Point;
use slabloom_core::job::pour::{PourPlan, Ticket};
use slabloom_core::units::quantity_text::show_volume;
use slabloom_core::units::{Volume, show_number};

pub(super) fn tickets_ui(cx: &ViewContext<'_>, ui: &mut Ui, ask: &mut Requests) {
    let (plan, pour) = (&cx.job.pour, &cx.results.parts.pour);
    let yards = |yards: f64| show_volume(Volume::cubic_yards(yards), cx.system());
    for (index, ticket) in plan.tickets.iter().enumerate() {
        ui.push_id(("ticket", index), |ui| one(cx, ui, ask, index, ticket));
    }
    if ui.button("Add a ticket").clicked() {
        let mut copy = (**plan).clone();
        copy.tickets.push(next(cx, plan));
        ask.edit(Edit::SetPour(copy));
    }
    let delivered: f64 = plan.tickets.iter().map(|ticket| ticket.yards.max(0.0)).sum();
    quantity_row(ui, cx.palette, "Delivered", &yards(delivered), None);
    match pour.still_to_order_yd3 {
        Some(left) => quantity_row(ui, cx.palette, "Still to order", &yards(left), None),
        None => drop(note(ui, "With each ticket, and the place reached, this says what is left.")),
    }
    if last_load_is_due(plan, pour.loads_yd3.len()) {
        note(ui, "Order the last load now, from what is left.");
    }
}

/// Whether all loads but the last are in: the moment to say how large the last one is.
fn last_load_is_due(plan: &PourPlan, loads: usize) -> bool {
    loads > 1 && plan.tickets.len() + 1 == loads
}

/// The ticket that is expected next: the planned load.
fn next(cx: &ViewContext<'_>, plan: &PourPlan) -> Ticket {
    let count = plan.tickets.len();
    let load = cx.results.parts.pour.loads_yd3.get(count).copied();
    Ticket {
        number: (count + 1).to_string(),
        yards: load.unwrap_or(plan.truck_yd3),
        ..Ticket::default()
    }
}

fn one(cx: &ViewContext<'_>, ui: &mut Ui, ask: &mut Requests, index: usize, ticket: &Ticket) {
    let plan = &cx.job.pour;
    let nth = index + 1;
    let mut copy = ticket.clone();
    let is_kept = kept_heading(ui, &format!("Truck {nth}"), &format!("Take ticket {nth} away"));
    let words = |text: &str| Ok::<String, String>(text.to_owned());
    if let Some(number) = text_field(ui, &format!("Ticket {nth}, number"), &ticket.number, words) {
        copy.number = number;
    }
    let label = format!("Ticket {nth}, on it");
    if let Some(yards) = number_field(ui, &label, ticket.yards, "yd³") {
        copy.yards = yards.clamp(0.0, 20.0);
    }
    let batched = ticket.batched_minutes.map(clock).unwrap_or_default();
    let label = format!("Ticket {nth}, batched at");
    if let Some(time) = text_field(ui, &label, &batched, read_clock) {
        copy.batched_minutes = time;
    }
    match ticket.reached {
        Some(at) => {
            if let Some(at) = place(cx, ui, at) {
                copy.reached = Some(at);
            }
            if ui.small_button(format!("Show where truck {nth} ran out")).clicked() {
                ask.push(Request::LookAt(at));
            }
        }
        None => {
            let planned = planned_end(cx, nth);
            let button = egui::Button::new(format!("Say where truck {nth} ran out"));
            if ui.add_enabled(planned.is_some(), button).clicked() {
                copy.reached = planned;
            }
        }
    }
    if is_kept && copy == *ticket {
        return;
    }
    let given = Some(copy);
    changed!(ask, Edit::SetPour, plan, given, |pour, copy| {
        if is_kept {
            pour.tickets[index] = copy;
        } else {
            pour.tickets.remove(index);
        }
    });
}

/// Where a truck was planned to run out: the place to start from when the true one is typed.
fn planned_end(cx: &ViewContext<'_>, nth: usize) -> Option<Point> {
    let pour = &cx.results.parts.pour;
    let line = pour.truck_lines.iter().find(|line| line.truck as usize == nth);
    let longest = line
        .into_iter()
        .flat_map(|line| &line.line)
        .max_by(|a, b| a[0].distance(a[1]).total_cmp(&b[0].distance(b[1])));
    // The last truck has no line: it ends at the far side, where nothing is left.
    longest
        .map(|[from, to]| from.toward(*to, 0.5))
        .or_else(|| cx.plan.bounds().map(|bounds| bounds.center()))
}

/// Yards that came and the place reached, in a line for each ticket.
pub(super) fn tickets_in_words(plan: &PourPlan) -> Vec<String> {
    let mut sum = 0.0;
    plan.tickets
        .iter()
        .map(|ticket| {
            sum += ticket.yards;
            let at = ticket.batched_minutes.map(clock).unwrap_or_default();
            format!("{} {at}: {} yd, {} in all", ticket.number, ticket.yards, show_number(sum, 2))
        })
        .collect()
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_last_load_is_due_when_all_others_are_in() {
        let mut plan = PourPlan::default();
        assert!(!last_load_is_due(&plan, 3));
        plan.tickets = vec![Ticket::default(); 2];
        assert!(last_load_is_due(&plan, 3));
        assert!(!last_load_is_due(&plan, 2));
        assert!(!last_load_is_due(&PourPlan::default(), 1));
    }
}
