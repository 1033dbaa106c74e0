//! An empty plan says how to start: each way is a button with its key.

use super::CanvasContext;
use super::tools::ToolKind;
use crate::editor::actions::{self, Action};
use crate::editor::theme::bold_font;
use egui::{Rect, RichText, Stroke, StrokeKind, Ui, UiBuilder, Vec2};

/// Each way to start: the action, its button, and what it is good for.
const WAYS: [(Action, &str, &str); 6] = [
    (
        Action::Tool(ToolKind::AddRectangle),
        "Draw a rectangle",
        "two corners, or type 0, 0 and then 40 x 28",
    ),
    (Action::Tool(ToolKind::Walls), "Draw walls", "click the corners, or type E 40, N 28 …"),
    (Action::NewFromTemplate, "Start from a template…", "rectangle, L, house with bump-out"),
    (Action::LayPicture, "Trace a plan picture…", "a PDF, scan or photo of the plan"),
    (Action::Open, "Open a job…", "one that was saved before"),
    (Action::OpenSample, "Look at the sample", "a small house with everything in it"),
];

/// Shows the ways to start; gives the one that was chosen.
pub(super) fn ways_to_start(cx: &CanvasContext<'_>, ui: &mut Ui, canvas: Rect) -> Option<Action> {
    let palette = cx.palette;
    let size = Vec2::new(560.0, 300.0).min(canvas.size() - Vec2::splat(16.0));
    let rect = Rect::from_center_size(canvas.center(), size);
    let painter = ui.painter_at(canvas);
    painter.rect_filled(rect, 6.0, palette.raised);
    painter.rect_stroke(rect, 6.0, Stroke::new(1.0, palette.frame), StrokeKind::Inside);
    let mut chosen = None;
    ui.scope_builder(UiBuilder::new().max_rect(rect.shrink(18.0)), |ui| {
        ui.set_clip_rect(rect.intersect(canvas));
        ui.spacing_mut().item_spacing.y = 5.0;
        let title = RichText::new("Start with the outline of the slab");
        ui.label(title.font(bold_font(16.0)).color(palette.ink));
        ui.add_space(4.0);
        for (action, name, what) in WAYS {
            let key = actions::info(action).and_then(|row| row.key);
            let key = key.map(|key| ui.ctx().format_shortcut(&key)).unwrap_or_default();
            ui.horizontal(|ui| {
                let button = egui::Button::new(name)
                    .right_text(RichText::new(key).color(palette.ink_soft))
                    .min_size(Vec2::new(250.0, 34.0));
                if ui.add(button).accessible_name(name).clicked() {
                    chosen = Some(action);
                }
                ui.add(egui::Label::new(RichText::new(what).color(palette.ink_soft)).truncate());
            });
        }
    });
    chosen
}
