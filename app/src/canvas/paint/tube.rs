//! Heating: zones, places without tube, circuits with their flow, manifolds.
//!
//! Circuits are told apart by number, by pattern and by colour; arrows show which way the water
//! flows, and the ends are marked S and R, so that a black-and-white print reads the same.

use super::{Brush, Dash, Label, Pen, Subject, clear};
use egui::{Align2, Color32, Pos2, Shape, Stroke, Vec2};
use slabloom_core::geometry::polygon::centroid;

/// Patterns in their order; with four colours, sixteen circuits in a row differ.
const PATTERNS: [Dash; 4] = [Dash::Solid, Dash::Dashed, Dash::LongDashDot, Dash::DoubleDot];
/// Screen points from arrow to arrow.
const ARROW_EVERY: f32 = 150.0;

/// The pen of a circuit by its place in the list.
#[must_use]
pub fn circuit_pen(index: usize, colors: &[Color32; 4]) -> Pen {
    let color = colors[index % colors.len()];
    // The pattern moves on with each circuit and skips once a round, so neighbours differ in both.
    let dash = PATTERNS[(index + index / colors.len()) % PATTERNS.len()];
    Pen::solid(1.5, color).dashed(dash)
}

pub(super) fn zones(subject: &Subject<'_>, brush: &mut Brush<'_>) {
    let palette = brush.palette;
    let line = Pen::solid(1.2, palette.accent).dashed(Dash::Dashed);
    for zone in &subject.job.heating.zones {
        if zone.corners.is_empty() {
            continue;
        }
        brush.ring(&zone.corners, line);
        // In the upper left corner, where it is out of the way of circuits' numbers.
        let around = egui::Rect::from_points(&brush.all(&zone.corners));
        let at = around.left_top() + Vec2::new(8.0, 5.0);
        let label = Label {
            anchor: Align2::LEFT_TOP,
            color: palette.accent,
            is_bold: true,
            ground: Some(palette.slab),
            ..brush.text(at, zone.name.clone(), 12.0)
        };
        brush.label(label);
    }
    for area in &subject.job.heating.keep_outs {
        brush.hatch(&area.corners, -0.785, 8.0, Pen::solid(0.8, palette.ink_soft));
        brush.ring(&area.corners, Pen::solid(1.2, palette.ink_soft));
        let name = if area.name.is_empty() { "No tube" } else { area.name.as_str() };
        let half = brush.text_size(name, 11.0) / 2.0;
        let around = egui::Rect::from_points(&brush.all(&area.corners));
        let marks = clear::marks(subject, brush);
        let at = clear::clear_place(brush.at(centroid(&area.corners)), half, around, &marks);
        let label = Label { ground: Some(palette.slab), ..brush.text(at, name, 11.0) };
        brush.label(label);
    }
}

pub(super) fn circuits(subject: &Subject<'_>, brush: &mut Brush<'_>) {
    let palette = brush.palette;
    // Chords stay within a third of a screen point of their arcs.
    let tolerance = brush.sight.inches(0.35).max(0.02);
    for (index, circuit) in subject.results.parts.tube.circuits.iter().enumerate() {
        let pen = circuit_pen(index, &palette.circuits);
        let points = brush.all(&circuit.points(tolerance));
        if points.len() < 2 {
            continue;
        }
        brush.screen_line(points.clone(), pen);
        for (at, along) in places_along(&points, ARROW_EVERY) {
            brush.arrow_head(at, along, 4.5, pen.color);
        }
        for (end, letter) in [(points.first(), "S"), (points.last(), "R")] {
            let Some(at) = end.copied() else { continue };
            // Ports are a hand apart: nearer than this, letters would hide them.
            if brush.length(3.0) < 14.0 {
                continue;
            }
            let label = Label {
                color: pen.color,
                is_bold: true,
                ground: Some(palette.slab),
                ..brush.text(at, letter, 10.0)
            };
            brush.label(label);
        }
        if let Some(at) = number_place(&points) {
            badge(brush, at, &circuit.name, pen.color);
        }
    }
}

/// Places along a line, evenly apart, with the way it goes there.
fn places_along(points: &[Pos2], every: f32) -> Vec<(Pos2, Vec2)> {
    let mut places = Vec::new();
    let mut next = every * 0.5;
    let mut gone = 0.0;
    for (from, to) in points.iter().zip(points.iter().skip(1)) {
        let length = from.distance(*to);
        // Arrows stand on straight runs, where they can be read.
        while length > 10.0 && next < gone + length {
            let along = (*to - *from) / length;
            places.push((*from + along * (next - gone).clamp(5.0, length - 5.0), along));
            next += every;
        }
        gone += length;
        next = next.max(gone + 1.0);
    }
    places
}

/// Where the number of a circuit stands: in the middle of a long run, the one nearest to the
/// middle of the circuit, so that numbers keep off the rim.
fn number_place(points: &[Pos2]) -> Option<Pos2> {
    let runs = || points.iter().zip(points.iter().skip(1));
    let longest = runs().map(|(from, to)| from.distance(*to)).fold(0.0, f32::max);
    let around = egui::Rect::from_points(points);
    let inner = around.shrink(26.0);
    runs()
        .filter(|(from, to)| from.distance(**to) >= longest * 0.4)
        .map(|(from, to)| *from + (*to - *from) * 0.5)
        .min_by_key(|at| (!inner.contains(*at), at.distance(around.center()) as u32))
}

fn badge(brush: &mut Brush<'_>, at: Pos2, name: &str, color: Color32) {
    let palette = brush.palette;
    let label = Label {
        color: palette.ink,
        is_bold: true,
        ground: Some(palette.raised),
        ..brush.text(at, name, 11.0)
    };
    let half = Vec2::new(name.chars().count() as f32 * 3.6 + 5.0, 8.5) * brush.text_scale;
    let rect = egui::Rect::from_center_size(at, half * 2.0);
    brush.shape(Shape::rect_filled(rect, 3.0, palette.raised));
    brush.shape(Shape::rect_stroke(rect, 3.0, Stroke::new(1.4, color), egui::StrokeKind::Outside));
    brush.label(Label { ground: None, ..label });
}

pub(super) fn manifolds(subject: &Subject<'_>, brush: &mut Brush<'_>) {
    let palette = brush.palette;
    for manifold in &subject.job.heating.manifolds {
        let at = brush.at(manifold.at);
        let turn = manifold.along_degrees.unwrap_or(0.0).to_radians() as f32;
        let (along, across) =
            (Vec2::new(turn.cos(), -turn.sin()), Vec2::new(turn.sin(), turn.cos()));
        let corners = [(-1.0, -1.0), (1.0, -1.0), (1.0, 1.0), (-1.0, 1.0)]
            .map(|(x, y)| at + along * (x * 13.0) + across * (y * 6.0));
        brush.shape(Shape::convex_polygon(
            corners.to_vec(),
            palette.raised,
            Stroke::new(1.8, palette.ink),
        ));
        for port in [-8.0, -3.0, 3.0, 8.0] {
            let port = at + along * port;
            brush.shape(Shape::circle_filled(port, 1.7, palette.ink));
        }
        let label = Label {
            anchor: Align2::CENTER_BOTTOM,
            is_bold: true,
            ground: Some(palette.slab),
            ..brush.text(at - Vec2::new(0.0, 11.0), manifold.name.clone(), 11.5)
        };
        brush.label(label);
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn sixteen_circuits_in_a_row_all_differ() {
        let colors = crate::editor::theme::ThemeChoice::Light.palette().circuits;
        let pens: Vec<Pen> = (0..16).map(|index| circuit_pen(index, &colors)).collect();
        for (index, pen) in pens.iter().enumerate() {
            assert!(!pens[..index].contains(pen), "circuit {index}");
        }
        for pair in pens.windows(2) {
            assert!(pair[0].dash != pair[1].dash && pair[0].color != pair[1].color);
        }
    }
}
