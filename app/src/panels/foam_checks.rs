//! What the foam is held against: the loads that it bears, and the energy code that a person picks.

use super::changed;
use crate::editor::requests::Requests;
use crate::editor::view_context::ViewContext;
use crate::widgets::{choice_field, length_field, note, number_field, quantity_row};
use egui::Ui;
use slabloom_core::edit::Edit;
use slabloom_core::job::build_up::InsulationCode;
use slabloom_core::units::show_number;

/// The loads and how much of the long-term strength each layer uses under the floor.
pub(super) fn loads_ui(cx: &ViewContext<'_>, ui: &mut Ui, ask: &mut Requests) {
    let build_up = &cx.job.build_up;
    let given = number_field(ui, "Live load on the floor", build_up.floor_load_psf, "psf");
    changed!(ask, Edit::SetBuildUp, build_up, given, |copy, v| copy.floor_load_psf = v);
    let given = number_field(ui, "Heaviest wheel or jack", build_up.wheel_load_lb, "lb");
    changed!(ask, Edit::SetBuildUp, build_up, given, |copy, v| copy.wheel_load_lb = v);
    let given = number_field(ui, "Load on the edges", build_up.edge_load_plf, "lb/ft");
    changed!(ask, Edit::SetBuildUp, build_up, given, |copy, v| copy.edge_load_plf = v);
    for (layer, number) in cx.results.parts.foam.layers.iter().zip(1..) {
        let name = format!("Layer {number} uses");
        let share = format!("{} %", show_number(layer.strength_used * 100.0, 0));
        quantity_row(ui, cx.palette, &name, &share, None);
    }
    note(
        ui,
        "Of what the board bears for years: a third of its compressive resistance for load that \
         stays, a fifth for load that comes and goes. Edges have findings of their own.",
    );
}

/// Which row of a shipped table the job keeps.
#[derive(Clone, Copy, PartialEq)]
enum Row {
    None,
    Shipped(usize),
    /// A row whose figures were changed.
    Own,
}

/// The energy code: a shipped row, or figures of one's own.
pub(super) fn code_ui(cx: &ViewContext<'_>, ui: &mut Ui, ask: &mut Requests) {
    let build_up = &cx.job.build_up;
    let shipped = InsulationCode::shipped();
    let kept = build_up.insulation_code.as_ref();
    let now = kept.map_or(Row::None, |code| {
        shipped.iter().position(|row| row == code).map_or(Row::Own, Row::Shipped)
    });
    let names: Vec<String> =
        shipped.iter().map(|row| format!("{}, zones {}", row.code, row.zones)).collect();
    let mut choices = vec![(Row::None, "None")];
    choices.extend(names.iter().enumerate().map(|(at, name)| (Row::Shipped(at), name.as_str())));
    choices.push((Row::Own, "Own figures"));
    let picked = choice_field(ui, "Held against", now, &choices).map(|row| match row {
        Row::None => None,
        Row::Shipped(at) => shipped.get(at).cloned(),
        Row::Own => Some(own_row(kept)),
    });
    changed!(ask, Edit::SetBuildUp, build_up, picked, |copy, code| copy.insulation_code = code);
    let Some(code) = kept else {
        note(ui, "Pick the code that is in force here; the building official decides.");
        return;
    };
    let edge = number_field(ui, "R at the edge", code.edge_r, "");
    let depth = length_field(ui, "Edge foam down, or in", code.edge_depth, cx.display());
    let under = number_field(ui, "R under the floor", code.under_r, "");
    let changed = edge
        .map(|edge_r| InsulationCode { edge_r, ..own_row(kept) })
        .or_else(|| depth.map(|edge_depth| InsulationCode { edge_depth, ..own_row(kept) }))
        .or_else(|| under.map(|under_r| InsulationCode { under_r, ..own_row(kept) }));
    changed!(ask, Edit::SetBuildUp, build_up, changed, |copy, c| copy.insulation_code = Some(c));
    note(ui, format!("Source: {}. States amend these rows; the local code decides.", code.source));
}

/// The row kept, said to be a person's own.
fn own_row(kept: Option<&InsulationCode>) -> InsulationCode {
    const OWN: &str = "figures of this job";
    let mut row = kept.cloned().unwrap_or_default();
    if row.code.is_empty() {
        "Own figures".clone_into(&mut row.code);
    }
    if !row.source.contains(OWN) {
        row.source = match row.source.as_str() {
            "" => OWN.to_owned(),
            source => format!("{OWN}, after {source}"),
        };
    }
    row
}
