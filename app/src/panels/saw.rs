//! Saw: joint rules, the layout, its panels, and the sawing on the day.

use super::{changed, highlight};
use crate::canvas::hit::Pick;
use crate::editor::requests::{Request, Requests};
use crate::editor::view_context::ViewContext;
use crate::widgets::{
    choice_field, length_field, note, number_field, quantity_row, section, toggle_field,
};
use egui::{RichText, Ui};
use slabloom_core::edit::Edit;
use slabloom_core::job::joints::{JointProposal, SawMethod};
use slabloom_core::joints::taking_proposal;
use slabloom_core::units::{Length, show_inches, show_length, show_number};

pub(super) fn saw_ui(cx: &ViewContext<'_>, ui: &mut Ui, ask: &mut Requests) {
    section(ui, "Rules", true, |ui| rules(cx, ui, ask));
    section(ui, "Other layouts", true, |ui| proposals(cx, ui, ask));
    section(ui, "Joints", true, |ui| joints(cx, ui, ask));
    section(ui, "Floor panels", true, |ui| panels(cx, ui, ask));
    section(ui, "Sawing", true, |ui| sawing(cx, ui));
    section(ui, "Joints over tube", true, |ui| crossings(cx, ui, ask));
}

fn rules(cx: &ViewContext<'_>, ui: &mut Ui, ask: &mut Requests) {
    let choices = &cx.job.joints;
    let given = toggle_field(ui, "Lay out contraction joints", choices.has_contraction_joints);
    changed!(ask, Edit::SetJoints, choices, given, |copy, v| copy.has_contraction_joints = v);
    let proposals = [
        (JointProposal::Balanced, "Balanced"),
        (JointProposal::LeastSawing, "Least sawing"),
        (JointProposal::FewestTees, "Fewest tees"),
        (JointProposal::NoTees, "No tees"),
    ];
    let given = choice_field(ui, "Layout", choices.proposal, &proposals);
    changed!(ask, Edit::SetJoints, choices, given, |copy, v| copy.proposal = v);
    let given = number_field(ui, "Spacing, × thickness", choices.spacing_multiple, "");
    changed!(ask, Edit::SetJoints, choices, given, |copy, v| {
        copy.spacing_multiple = v.clamp(1.0, 100.0);
    });
    let given = length_field(ui, "Never wider than", choices.spacing_cap, cx.display());
    changed!(ask, Edit::SetJoints, choices, given, |copy, v| copy.spacing_cap = v);
    let given = number_field(ui, "Longest to shortest", choices.aspect_limit, "");
    changed!(ask, Edit::SetJoints, choices, given, |copy, v| copy.aspect_limit = v.clamp(1.0, 5.0));
    let given = length_field(ui, "Ends off doors, drains", choices.offsets_keep_off, cx.display());
    changed!(ask, Edit::SetJoints, choices, given, |copy, v| copy.offsets_keep_off = v);
    let saws = [(SawMethod::Conventional, "Wet, next day"), (SawMethod::EarlyEntry, "Early entry")];
    let given = choice_field(ui, "Saw", choices.sawing, &saws);
    changed!(ask, Edit::SetJoints, choices, given, |copy, v| copy.sawing = v);
}

/// The layout as it is and the others found, each with its figures, to take by a click.
fn proposals(cx: &ViewContext<'_>, ui: &mut Ui, ask: &mut Requests) {
    let layout = &cx.results.parts.joints.layout;
    let rounding = cx.display().rounding;
    let figures = |saw_length: f64, tees: u32| {
        let sawing = show_length(Length::inches(saw_length), rounding);
        format!("{sawing}, {tees} {}", if tees == 1 { "tee" } else { "tees" })
    };
    let own = figures(layout.saw_length, layout.tees);
    quantity_row(ui, cx.palette, "As laid out", &own, None);
    for other in &layout.proposals {
        ui.horizontal(|ui| {
            let hint = format!("Lay out so: {} panels", other.panels);
            if ui.link(&other.name).on_hover_text(hint).clicked() {
                ask.edit(Edit::SetJoints(taking_proposal(cx.job, other)));
            }
            ui.with_layout(egui::Layout::right_to_left(egui::Align::Center), |ui| {
                ui.label(figures(other.saw_length, other.tees));
            });
        });
    }
    if layout.proposals.is_empty() {
        note(ui, "No other layout does better by any measure, or the floor is too large to try.");
    }
}

fn joints(cx: &ViewContext<'_>, ui: &mut Ui, ask: &mut Requests) {
    let layout = &cx.results.parts.joints.layout;
    if layout.lines.is_empty() {
        super::empty(ui, "No contraction joints are needed or laid out yet.");
    }
    let rounding = cx.display().rounding;
    for (index, line) in layout.lines.iter().enumerate() {
        let pick = line.drawn.map_or(Pick::FoundJoint(index), |id| Pick::Item(id.into()));
        ui.push_id(("joint", index), |ui| {
            ui.horizontal(|ui| {
                let lock = if line.drawn.is_some() { " (locked)" } else { "" };
                let name = format!("Joint {}{lock}", line.name);
                if ui.selectable_label(cx.selection.contains(&pick), name).clicked() {
                    ask.push(Request::Select(vec![pick]));
                }
                ui.with_layout(egui::Layout::right_to_left(egui::Align::Center), |ui| {
                    ui.label(show_length(Length::inches(line.length()), rounding));
                });
            });
        });
    }
    note(ui, "Drag a joint to put it elsewhere; it is locked there. K locks it where it is.");
}

fn panels(cx: &ViewContext<'_>, ui: &mut Ui, ask: &mut Requests) {
    let layout = &cx.results.parts.joints.layout;
    let limit = cx.job.joints.aspect_limit;
    quantity_row(ui, cx.palette, "Panels", &layout.panels.len().to_string(), None);
    let rounding = cx.display().rounding;
    for panel in layout.panels.iter().filter(|panel| panel.aspect() > limit + 1e-9) {
        let text = format!(
            "▲ {} × {} is {} : 1",
            show_length(Length::inches(panel.long), rounding),
            show_length(Length::inches(panel.short), rounding),
            show_number(panel.aspect(), 2)
        );
        let response = ui.link(RichText::new(text).color(cx.palette.stop));
        if response.hovered() || response.clicked() {
            highlight(ask, std::slice::from_ref(&panel.outline));
        }
    }
}

fn sawing(cx: &ViewContext<'_>, ui: &mut Ui) {
    let joints = &cx.results.parts.joints;
    let rounding = cx.display().rounding;
    let feet = |inches: f64| show_length(Length::inches(inches), rounding);
    quantity_row(ui, cx.palette, "To saw", &feet(joints.layout.saw_length), None);
    if joints.layout.saw_bound > 0.0 {
        quantity_row(ui, cx.palette, "Least possible", &feet(joints.layout.saw_bound), None);
    }
    if let Some(line) = joints.layout.lines.iter().find(|line| line.saw_depth > 0.0) {
        let depth = show_inches(Length::inches(line.saw_depth), rounding);
        quantity_row(ui, cx.palette, "Blade depth", &depth, None);
    }
    let sawing = &joints.sawing;
    if sawing.hours > 0.0 {
        let hours = format!("{} h", show_number(sawing.hours, 1));
        quantity_row(ui, cx.palette, "Time at the crew's rate", &hours, None);
        let (from, to) = sawing.window_hours;
        let window = format!("{}–{} h", show_number(from, 0), show_number(to, 0));
        quantity_row(ui, cx.palette, "After finishing, a guide", &window, None);
    }
}

fn crossings(cx: &ViewContext<'_>, ui: &mut Ui, ask: &mut Requests) {
    let crossings = &cx.results.parts.joints.crossings;
    let least = cx.job.joints.least_cover_over_tube.to_inches();
    let close: Vec<_> = crossings.iter().filter(|crossing| crossing.clearance < least).collect();
    quantity_row(ui, cx.palette, "Crossings", &crossings.len().to_string(), None);
    if crossings.is_empty() {
        return;
    }
    let worst = crossings.iter().map(|crossing| crossing.clearance).fold(f64::INFINITY, f64::min);
    let shown = show_inches(Length::inches(worst), cx.display().rounding);
    quantity_row(ui, cx.palette, "Least cover, blade to tube", &shown, None);
    for crossing in close.iter().take(12) {
        let text = format!("▲ joint {} over {}", crossing.joint, crossing.circuit);
        if ui.link(RichText::new(text).color(cx.palette.stop)).clicked() {
            ask.push(Request::LookAt(crossing.at));
        }
    }
    if !close.is_empty() {
        note(ui, "Check the depth of the tube on site before any blade goes in.");
    }
}
