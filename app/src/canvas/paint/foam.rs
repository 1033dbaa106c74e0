//! Foam boards: whole, cut and from offcuts, told apart by hatch and tint, numbered for the crew.

use super::{Brush, Label, Pen, Subject};
use slabloom_core::foam::PieceKind;
use slabloom_core::geometry::polygon::centroid;

/// A piece whose number would not fit is not numbered.
const LEAST_NUMBERED: f32 = 20.0;

pub(super) fn boards(subject: &Subject<'_>, brush: &mut Brush<'_>) {
    let Some(layer) = subject.results.parts.foam.layers.first() else { return };
    let palette = brush.palette;
    for piece in &layer.pieces {
        let color = match piece.kind {
            PieceKind::Whole => palette.foam_whole,
            PieceKind::Cut => palette.foam_cut,
            PieceKind::Offcut => palette.foam_offcut,
        };
        brush.fill(std::iter::once(&piece.outline).chain(&piece.holes), color);
        let fine = Pen::solid(0.7, palette.foam_line.gamma_multiply(0.7));
        match piece.kind {
            PieceKind::Whole => {}
            PieceKind::Cut => brush.hatch(&piece.outline, 0.8, 11.0, fine),
            PieceKind::Offcut => {
                brush.hatch(&piece.outline, 0.8, 11.0, fine);
                brush.hatch(&piece.outline, -0.8, 11.0, fine);
            }
        }
        brush.ring(&piece.outline, Pen::solid(1.0, palette.foam_line));
        for hole in &piece.holes {
            brush.ring(hole, Pen::solid(1.0, palette.foam_line));
        }
    }
    for piece in &layer.pieces {
        let corners = brush.all(&piece.outline);
        let size = egui::Rect::from_points(&corners).size();
        if size.min_elem() < LEAST_NUMBERED {
            continue;
        }
        let ground = match piece.kind {
            PieceKind::Whole => None,
            PieceKind::Cut => Some(palette.foam_cut),
            PieceKind::Offcut => Some(palette.foam_offcut),
        };
        let at = brush.at(centroid(&piece.outline));
        let label = Label { ground, ..brush.text(at, piece.number.to_string(), 10.5) };
        brush.label(label);
    }
}
