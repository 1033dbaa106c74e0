//! The picture of a plan that is traced: what to do next with it, and how it lies.

use crate::canvas::tools::ToolKind;
use crate::editor::actions::Action;
use crate::editor::plan_picture::PictureStatus;
use crate::editor::requests::Requests;
use crate::editor::view_context::ViewContext;
use crate::widgets::{length_field, note, number_field, toggle_field};
use egui::{RichText, Ui};
use slabloom_core::edit::Edit;
use slabloom_core::job::underlay::{PlanPicture, Underlay};

pub(super) fn plan_picture_ui(cx: &ViewContext<'_>, ui: &mut Ui, ask: &mut Requests) {
    let Some(picture) = &cx.job.underlay.picture else {
        note(
            ui,
            "Have the plan as a PDF, a scan or a photo? Lay it under the slab and trace over it.",
        );
        if ui.button("Lay a plan picture…").on_hover_text("PDF, PNG or JPEG").clicked() {
            ask.act(Action::LayPicture);
        }
        return;
    };
    standing(cx, ui, ask, picture);
    ui.horizontal_wrapped(|ui| {
        for (name, tool, hint) in [
            ("Set scale", ToolKind::PictureScale, "By two clicks and a dimension you know"),
            ("Square it", ToolKind::PictureSquare, "By two clicks along a wall"),
            ("Move it", ToolKind::PictureMove, "By a drag, or by a point and its place"),
        ] {
            if ui.button(name).on_hover_text(hint).clicked() {
                ask.act(Action::Tool(tool));
            }
        }
    });
    let mut copy = picture.clone();
    pages(cx, ui, ask, &mut copy);
    if let Some(percent) = number_field(ui, "Strength", picture.strength * 100.0, "%") {
        copy.strength = percent / 100.0;
    }
    if let Some(turn) = number_field(ui, "Turned by", picture.turn_degrees, "°") {
        copy.turn_degrees = turn;
    }
    if let Some(width) = length_field(ui, "Width of the picture", picture.width, cx.display()) {
        copy.width = width;
        copy.is_to_scale = true;
    }
    if let Some(at) = super::properties::place(cx, ui, picture.at) {
        copy.at = at;
    }
    if copy != *picture {
        ask.edit(Edit::SetUnderlay(Underlay { picture: Some(copy) }));
    }
    let is_kept = !picture.kept.is_empty();
    if let Some(keeps) = toggle_field(ui, "Keep it in the job's file", is_kept) {
        ask.act(if keeps { Action::KeepPicture } else { Action::LeavePicture });
    }
    if ui.button("Take the picture away").on_hover_text("The file itself stays").clicked() {
        ask.act(Action::DropPicture);
    }
}

/// Which file it is, what is wrong with it, and what comes next.
fn standing(cx: &ViewContext<'_>, ui: &mut Ui, ask: &mut Requests, picture: &PlanPicture) {
    let name = picture.path.rsplit('/').next().unwrap_or(&picture.path);
    ui.add(egui::Label::new(RichText::new(name).strong()).truncate()).on_hover_text(&picture.path);
    match cx.picture {
        PictureStatus::Coming => drop(note(ui, "The picture is being read…")),
        PictureStatus::Problem(problem) => {
            let text = RichText::new(format!("▲ {problem}")).color(cx.palette.stop);
            ui.add(egui::Label::new(text).wrap());
            if ui.button("Choose it again…").clicked() {
                ask.act(Action::LayPicture);
            }
        }
        PictureStatus::Ready(facts) => {
            if facts.has_gaps {
                note(
                    ui,
                    "Some of this page could not be drawn. If what you need is missing, print it \
                     to a new PDF or save it as a PNG picture.",
                );
            }
            if !picture.is_to_scale {
                note(ui, "Not to scale yet: set the scale by a dimension that you know.");
            }
        }
    }
}

/// Which page of the file it is, where there are several.
fn pages(cx: &ViewContext<'_>, ui: &mut Ui, ask: &mut Requests, picture: &mut PlanPicture) {
    let several = match cx.picture {
        PictureStatus::Ready(facts) => facts.pages > 1,
        // The page that could not be shown may be the wrong one.
        PictureStatus::Problem(_) => picture.page > 1,
        PictureStatus::Coming => false,
    };
    if !several {
        return;
    }
    let unit = match cx.picture {
        PictureStatus::Ready(facts) => format!("of {}", facts.pages),
        _ => String::new(),
    };
    if let Some(page) = number_field(ui, "Page", f64::from(picture.page), &unit) {
        picture.page = page.round().clamp(1.0, 10_000.0) as u32;
        picture.is_to_scale = false;
    }
    if ui.button("Choose the page…").on_hover_text("By a small picture of each").clicked() {
        ask.act(Action::ChoosePage);
    }
}
