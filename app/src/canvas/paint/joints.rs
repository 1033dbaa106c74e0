//! Joints with their names, and the floor panels between them with their sizes.

use super::{Brush, Dash, Label, Pen, Subject, clear};
use egui::{Color32, Pos2, Shape, Stroke};
use slabloom_core::geometry::polygon::centroid;
use slabloom_core::job::joints::DrawnKind;
use slabloom_core::joints::{JointKind, JointLine};
use slabloom_core::units::{Length, show_length, show_number};

pub(super) fn lines(subject: &Subject<'_>, brush: &mut Brush<'_>) {
    let parts = &subject.results.parts;
    for line in parts.joints.layout.lines.iter().chain(&parts.moving_joints.lines) {
        joint(brush, line);
    }
}

/// Joints put there by hand: those that the layout does not hold yet, and a lock on each.
pub(super) fn drawn(subject: &Subject<'_>, brush: &mut Brush<'_>) {
    let parts = &subject.results.parts;
    let laid = || parts.joints.layout.lines.iter().chain(&parts.moving_joints.lines);
    for drawn in &subject.job.joints.drawn {
        let kind = match drawn.kind {
            DrawnKind::Contraction => JointKind::Contraction,
            DrawnKind::Isolation => JointKind::Isolation,
            DrawnKind::Construction => JointKind::Construction,
        };
        if !laid().any(|line| line.drawn == Some(drawn.id)) {
            brush.line(&[drawn.from, drawn.to], joint_pen(kind, brush.palette.joint));
        }
        lock(brush, drawn.from.middle(drawn.to));
    }
}

/// The pen of a kind of joint.
#[must_use]
pub fn joint_pen(kind: JointKind, color: Color32) -> Pen {
    match kind {
        JointKind::Contraction => Pen::solid(1.6, color).dashed(Dash::LongDashDot),
        JointKind::Isolation => Pen::solid(2.2, color).dashed(Dash::DoubleDot),
        JointKind::Construction => Pen::solid(3.0, color),
    }
}

fn joint(brush: &mut Brush<'_>, line: &JointLine) {
    let palette = brush.palette;
    brush.line(&[line.from, line.to], joint_pen(line.kind, palette.joint));
    if line.name.is_empty() || brush.length(line.length()) < 60.0 {
        return;
    }
    // The name stands in a bubble on the line, a little in from its first end.
    let (from, to) = (brush.at(line.from), brush.at(line.to));
    let at = from + (to - from).normalized() * 24.0;
    let radius = 9.5 * brush.text_scale;
    brush.shape(Shape::circle_filled(at, radius, palette.raised));
    brush.shape(Shape::circle_stroke(at, radius, Stroke::new(1.4, palette.joint)));
    let label =
        Label { color: palette.joint, is_bold: true, ..brush.text(at, line.name.clone(), 10.5) };
    brush.label(label);
}

/// A small padlock: this joint was put here by hand.
fn lock(brush: &mut Brush<'_>, at: slabloom_core::geometry::Point) {
    let palette = brush.palette;
    let at = brush.at(at);
    let body = egui::Rect::from_center_size(at + egui::Vec2::new(0.0, 2.0), egui::vec2(11.0, 8.5));
    let shackle: Vec<Pos2> = (0..=8)
        .map(|step| {
            let turn = std::f32::consts::PI * step as f32 / 8.0;
            body.center_top() + egui::vec2(-turn.cos() * 3.2, -turn.sin() * 4.5)
        })
        .collect();
    brush.shape(Shape::circle_filled(at, 10.0, palette.raised));
    brush.shape(Shape::line(shackle, Stroke::new(1.6, palette.joint)));
    brush.shape(Shape::rect_filled(body, 1.5, palette.joint));
}

pub(super) fn slab_panels(subject: &Subject<'_>, brush: &mut Brush<'_>) {
    let palette = brush.palette;
    let rounding = subject.job.facts.display.rounding;
    let limit = subject.job.joints.aspect_limit;
    let marks = clear::marks(subject, brush);
    for panel in &subject.results.parts.joints.layout.panels {
        let corners = brush.all(&panel.outline);
        let around = egui::Rect::from_points(&corners);
        let size = around.size();
        if size.min_elem() < 46.0 {
            continue;
        }
        let is_over = panel.aspect() > limit + 1e-9;
        let sizes = format!(
            "{} × {}",
            show_length(Length::inches(panel.long), rounding),
            show_length(Length::inches(panel.short), rounding)
        );
        let mark = if is_over { " ▲" } else { "" };
        let aspect = format!("{} : 1{mark}", show_number(panel.aspect(), 2));
        let color = if is_over { palette.stop } else { palette.ink_soft };
        let middle = brush.at(centroid(&panel.outline));
        let half = egui::vec2(brush.text_size(&sizes, 11.0).x / 2.0, 16.0);
        let at = clear::clear_place(middle, half, around, &marks);
        let line = |text: String, down: f32, is_bold| Label {
            color,
            is_bold,
            ground: Some(palette.slab),
            ..brush.text(at + egui::vec2(0.0, down), text, 11.0)
        };
        let rows = [line(sizes, -7.0, false), line(aspect, 8.0, true)];
        let [first, second] = rows;
        if size.x > 112.0 {
            brush.label(first);
        }
        brush.label(second);
    }
}
