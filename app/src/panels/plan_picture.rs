//! The picture of a plan that is traced: what to do next with it, and how it lies.

use crate::canvas::tools::ToolKind;
use crate::editor::actions::Action;
use crate::editor::plan_picture::PictureStatus;
use crate::editor::requests::Requests;
use crate::editor::view_context::ViewContext;
use crate::widgets::{length_field, note, number_field};
use egui::{RichText, Ui};
use slabloom_core::edit::Edit;
use slabloom_core::job::underlay::{PlanPicture, Underlay};

pub(super) fn plan_picture_ui(cx: &ViewContext<'_>, ui: &mut Ui, ask: &mut Requests) {
    let Some(picture) = &cx.job.underlay.picture else {
        note(ui, "Have the plan as a scan or a photo? Lay it under the slab and trace over it.");
        if ui.button("Lay a plan picture…").on_hover_text("PNG or JPEG").clicked() {
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
        PictureStatus::Ready if !picture.is_to_scale => {
            note(ui, "Not to scale yet: set the scale by a dimension that you know.");
        }
        PictureStatus::Ready => {}
    }
}
