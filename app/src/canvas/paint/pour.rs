//! Pour day and the ground: truck lines, screed strips, survey shots.

use super::{Brush, Dash, Label, Pen, Subject};
use egui::epaint::Vertex;
use egui::{Align2, Mesh, Rect, Shape, Stroke, Vec2};
use slabloom_core::units::{Length, Rounding, show_length, show_number};

/// Text size of the trucks' labels.
const SIZE: f32 = 11.0;
/// How far down its line a label may go, in its own heights.
const MOST_STEPS: u8 = 12;

pub(super) fn trucks(subject: &Subject<'_>, brush: &mut Brush<'_>) {
    let palette = brush.palette;
    let pour = &subject.results.parts.pour;
    for strip in &pour.strips {
        brush.ring(&strip.outer, Pen::solid(0.8, palette.ink_soft).dashed(Dash::Dotted));
    }
    let mut taken: Vec<Rect> = Vec::new();
    for truck in &pour.truck_lines {
        let pen = Pen::solid(2.0, palette.truck).dashed(Dash::Dashed);
        for piece in &truck.line {
            brush.line(piece, pen);
        }
        if let Some([from, to]) = truck.line.first() {
            let (from, to) = (brush.at(*from), brush.at(*to));
            let (top, bottom) = if from.y < to.y { (from, to) } else { (to, from) };
            let placed = show_number(truck.placed_yd3, 1);
            let text = format!("after truck {}: {placed} yd³", truck.truck);
            // Down its own line until it stands clear of the labels of the trucks before.
            let size = brush.text_size(&text, SIZE);
            let along = (bottom - top).normalized() * (size.y + 2.0);
            let room = |step: u8| {
                Rect::from_center_size(top + Vec2::new(0.0, 16.0) + along * f32::from(step), size)
            };
            let is_clear = |step: &u8| !taken.iter().any(|other| other.intersects(room(*step)));
            let place = room((0..MOST_STEPS).find(is_clear).unwrap_or(0));
            taken.push(place);
            let label = Label {
                color: palette.truck,
                is_bold: true,
                ground: Some(palette.slab),
                ..brush.text(place.center(), text, SIZE)
            };
            brush.label(label);
        }
    }
    direction(subject, brush);
}

/// An arrow along which the pour moves.
fn direction(subject: &Subject<'_>, brush: &mut Brush<'_>) {
    let Some(bounds) = subject.plan.bounds() else { return };
    let palette = brush.palette;
    let turn = subject.job.pour.direction_degrees.to_radians() as f32;
    let along = Vec2::new(turn.cos(), -turn.sin());
    let at = brush.at(bounds.center());
    let tail = at - along * 34.0;
    brush.screen_line(vec![tail, at + along * 26.0], Pen::solid(3.0, palette.truck));
    brush.arrow_head(at + along * 30.0, along, 9.0, palette.truck);
    let across = Vec2::new(along.y, -along.x) * 14.0;
    let label = Label {
        color: palette.truck,
        is_bold: true,
        ground: Some(palette.slab),
        ..brush.text(at + if across.y > 0.0 { -across } else { across }, "pour", 11.0)
    };
    brush.label(label);
}

/// The ground between shots: the further off the target, the stronger.
pub(super) fn subgrade(subject: &Subject<'_>, brush: &mut Brush<'_>) {
    let palette = brush.palette;
    let tolerance = subject.job.subgrade.tolerance.to_inches().max(0.1);
    let mut mesh = Mesh::default();
    for triangle in &subject.results.parts.subgrade.triangles {
        let base = mesh.vertices.len() as u32;
        for (at, height) in triangle {
            let share = (height.abs() / (tolerance * 2.0)).clamp(0.0, 1.0) as f32;
            let full = if *height > 0.0 { palette.high_ground } else { palette.low_ground };
            let color = full.gamma_multiply(0.45 * share);
            mesh.vertices.push(Vertex::untextured(brush.at(*at), color));
        }
        mesh.indices.extend([base, base + 1, base + 2]);
    }
    brush.shape(Shape::mesh(mesh));
    let thin = Pen::solid(0.6, palette.ink_soft.gamma_multiply(0.6));
    for triangle in &subject.results.parts.subgrade.triangles {
        // Each side alone: joined at a sharp corner, lines end in a spike far outside.
        let [a, b, c] = triangle.map(|(at, _)| at);
        for side in [[a, b], [b, c], [c, a]] {
            brush.line(&side, thin);
        }
    }
}

/// Shots with their height against the target: a mark that points the way the ground is off.
pub(super) fn shots(subject: &Subject<'_>, brush: &mut Brush<'_>) {
    let palette = brush.palette;
    let ground = &subject.job.subgrade;
    let rounding = match subject.job.facts.display.rounding {
        Rounding::Sixteenth => Rounding::Eighth,
        other => other,
    };
    for shot in &ground.shots {
        let off = shot.height - ground.target_height;
        let is_off = off.to_inches().abs() > ground.tolerance.to_inches() + 1e-9;
        let at = brush.at(shot.at);
        let (color, mark) = match (is_off, off.to_inches() > 0.0) {
            (false, _) => (palette.ink_soft, 0.0),
            (true, true) => (palette.high_ground, -1.0),
            (true, false) => (palette.low_ground, 1.0),
        };
        if mark == 0.0 {
            brush.shape(Shape::circle_stroke(at, 3.0, Stroke::new(1.4, color)));
        } else {
            brush.arrow_head(at, Vec2::new(0.0, mark), 6.0, color);
        }
        let sign = if off.to_inches() > 0.0 { "+" } else { "" };
        let text = format!("{sign}{}", inches_only(off, rounding));
        let label = Label {
            anchor: Align2::LEFT_CENTER,
            is_bold: is_off,
            ground: Some(palette.slab),
            ..brush.text(at + Vec2::new(8.0, 0.0), text, 10.5)
        };
        brush.label(label);
    }
}

fn inches_only(length: Length, rounding: Rounding) -> String {
    if length.to_inches().abs() < 12.0 {
        slabloom_core::units::show_inches(length, rounding)
    } else {
        show_length(length, rounding)
    }
}
