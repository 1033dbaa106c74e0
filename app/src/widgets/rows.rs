//! Rows of figures, findings and buttons with icons.

use crate::editor::icons;
use crate::editor::theme::{Palette, bold, bold_font};
use egui::{Align, Color32, Layout, Response, RichText, Role, Sense, Stroke, Ui, Vec2, WidgetInfo};
use slabloom_core::findings::{Finding, Severity};

/// A part of a panel under a heading that can be folded.
pub fn section(ui: &mut Ui, name: &str, is_open: bool, content: impl FnOnce(&mut Ui)) {
    egui::CollapsingHeader::new(RichText::new(name).font(bold_font(13.5)))
        .default_open(is_open)
        .show_unindented(ui, |ui| {
            ui.add_space(2.0);
            content(ui);
            ui.add_space(6.0);
        });
}

/// The heading of one thing of several, with a button that takes it away; whether it is kept.
pub fn kept_heading(ui: &mut Ui, title: &str, take_away: &str) -> bool {
    let mut is_kept = true;
    ui.horizontal(|ui| {
        ui.label(RichText::new(title).strong());
        ui.with_layout(Layout::right_to_left(Align::Center), |ui| {
            is_kept = !ui.small_button(take_away).clicked();
        });
    });
    is_kept
}

/// Text that explains, over as many lines as it takes.
pub fn note(ui: &mut Ui, text: impl Into<String>) -> Response {
    ui.add(egui::Label::new(RichText::new(text).weak()).wrap())
}

/// Text over as many lines as it takes.
pub fn wrapped(ui: &mut Ui, text: impl Into<RichText>) -> Response {
    ui.add(egui::Label::new(text.into()).wrap())
}

/// A quantity: name at the left, figure at the right, and how it changed since a drag began.
pub fn quantity_row(
    ui: &mut Ui,
    palette: &Palette,
    name: &str,
    figure: &str,
    change: Option<&str>,
) {
    ui.horizontal(|ui| {
        ui.label(name);
        ui.with_layout(Layout::right_to_left(Align::Center), |ui| {
            ui.label(RichText::new(figure).family(bold()).color(palette.ink));
            if let Some(change) = change {
                ui.label(RichText::new(change).color(palette.accent).small());
            }
        });
    });
}

/// A word in a box, for a state that should be seen.
pub fn chip(ui: &mut Ui, text: &str, ink: Color32, ground: Color32) -> Response {
    egui::Frame::new()
        .fill(ground)
        .stroke(Stroke::new(1.0, ink))
        .corner_radius(9.0)
        .inner_margin(egui::Margin::symmetric(7, 1))
        .show(ui, |ui| ui.label(RichText::new(text).color(ink).small()))
        .response
}

/// What an icon button looks like.
#[derive(Clone, Copy)]
pub struct IconLook<'a> {
    /// Draws the icon.
    pub icon: &'a dyn Fn(&egui::Painter, egui::Rect, Color32),
    /// The name beside it, and for screen readers.
    pub name: &'a str,
    /// The key, shown at the right.
    pub key: &'a str,
    /// It is the one in hand.
    pub is_chosen: bool,
    /// How large it is.
    pub size: Vec2,
}

/// A button with an icon, its name and its key.
pub fn icon_button(ui: &mut Ui, palette: &Palette, look: &IconLook<'_>) -> Response {
    let (rect, response) = ui.allocate_exact_size(look.size, Sense::click());
    let is_enabled = ui.is_enabled();
    response
        .widget_info(|| WidgetInfo::selected(Role::Button, is_enabled, look.is_chosen, look.name));
    if !ui.is_rect_visible(rect) {
        return response;
    }
    let painter = ui.painter();
    let (ground, ink) = match (look.is_chosen, response.hovered()) {
        (true, _) => (palette.accent, palette.on_accent),
        (false, true) => (palette.control_hover, palette.ink),
        (false, false) => (Color32::TRANSPARENT, palette.ink),
    };
    painter.rect_filled(rect, 4.0, ground);
    if response.has_focus() {
        let stroke = Stroke::new(2.0, palette.accent);
        painter.rect_stroke(rect.shrink(1.0), 4.0, stroke, egui::StrokeKind::Inside);
    }
    let ink = if is_enabled { ink } else { palette.ink_soft.gamma_multiply(0.6) };
    let icon_side = rect.height().min(24.0) - 4.0;
    let is_wide = rect.width() > rect.height() * 1.5;
    let icon_at = if is_wide {
        egui::pos2(rect.left() + 6.0 + icon_side / 2.0, rect.center().y)
    } else {
        rect.center()
    };
    (look.icon)(painter, egui::Rect::from_center_size(icon_at, Vec2::splat(icon_side)), ink);
    if is_wide {
        let at = egui::pos2(icon_at.x + icon_side / 2.0 + 7.0, rect.center().y);
        let font = egui::TextStyle::Button.resolve(ui.style());
        painter.text(at, egui::Align2::LEFT_CENTER, look.name, font, ink);
        let key_ink = if look.is_chosen { ink } else { palette.ink_soft };
        let font = egui::TextStyle::Small.resolve(ui.style());
        painter.text(
            egui::pos2(rect.right() - 7.0, rect.center().y),
            egui::Align2::RIGHT_CENTER,
            look.key,
            font,
            key_ink,
        );
    }
    response
}

/// A finding: mark, words; `true` when it was clicked to be shown on the plan.
pub fn finding_row(ui: &mut Ui, palette: &Palette, finding: &Finding) -> bool {
    let (color, word) = match finding.severity {
        Severity::Stop => (palette.stop, "Stop"),
        Severity::Warn => (palette.warn, "Look"),
        Severity::Note => (palette.ink_soft, "Note"),
    };
    let mut is_clicked = false;
    ui.horizontal_top(|ui| {
        let (rect, _) = ui.allocate_exact_size(Vec2::splat(20.0), Sense::hover());
        let mark = rect.shrink(1.0);
        icons::severity(ui.painter(), mark, finding.severity, color, palette.panel);
        ui.vertical(|ui| {
            let text = format!("{word}: {}", finding.message);
            let label = egui::Label::new(RichText::new(text).color(palette.ink))
                .wrap()
                .sense(Sense::click());
            let response =
                ui.add(label).on_hover_cursor(egui::CursorIcon::PointingHand).on_hover_ui(|ui| {
                    ui.label(RichText::new(&finding.remedy).strong());
                    ui.label(format!("Source: {}", finding.source));
                });
            is_clicked = response.clicked();
            if finding.severity != Severity::Note {
                note(ui, finding.remedy.clone());
            }
        });
    });
    ui.add_space(3.0);
    is_clicked
}
