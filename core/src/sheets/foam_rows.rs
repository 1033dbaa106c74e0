//! Tables of the foam sheets: what is cut from which board, pieces that are no rectangles, strips.

use super::plan_area::length;
use crate::derive::Results;
use crate::drawing::table::{Column, Table};
use crate::foam::{BoardPiece, EdgePiece, FoamLayout, PieceKind};
use crate::geometry::{Bounds, Point};
use crate::job::Job;
use std::collections::BTreeMap;

/// Cut pieces board by board, with the least box of each.
pub(super) fn cut_list(job: &Job, layer: &FoamLayout) -> Table {
    let mut table = Table::new(
        "Cut list",
        vec![Column::numbers("Board"), Column::words("Piece: along × across the board")],
    );
    let mut boards: BTreeMap<u32, Vec<&BoardPiece>> = BTreeMap::new();
    for piece in layer.pieces.iter().filter(|piece| piece.kind != PieceKind::Whole) {
        boards.entry(piece.board).or_default().push(piece);
    }
    for (board, pieces) in boards {
        let said: Vec<String> = pieces
            .iter()
            .map(|piece| {
                let shape = if is_shaped(&piece.on_board) { " (shaped)" } else { "" };
                format!("{}: {}{shape}", piece.number, size(job, &piece.on_board))
            })
            .collect();
        table.row([(board + 1).to_string(), said.join("; ")]);
    }
    table
}

/// Corners of the pieces that are no rectangles, each from the lower left corner of its box, as a
/// helper marks them on the board.
pub(super) fn shaped_list(job: &Job, layer: &FoamLayout) -> Table {
    let mut table = Table::new(
        "Shaped pieces",
        vec![
            Column::numbers("Piece"),
            Column::words("Corners: along, across from the corner of its box"),
        ],
    );
    for piece in layer.pieces.iter().filter(|piece| is_shaped(&piece.on_board)) {
        let Some(bounds) = Bounds::of(piece.on_board.iter().copied()) else { continue };
        let corner = bounds.min;
        let said: Vec<String> = piece
            .on_board
            .iter()
            .map(|at| format!("{}, {}", length(job, at.x - corner.x), length(job, at.y - corner.y)))
            .collect();
        table.row([piece.number.to_string(), said.join("; ")]);
    }
    table
}

/// Strips side by side.
pub(super) fn edge_list(job: &Job, results: &Results) -> Table {
    let mut table = Table::new(
        "Edge boards by side",
        vec![Column::numbers("Side"), Column::numbers("Length"), Column::numbers("Height")],
    );
    for (place, strip) in results.parts.foam.edge.strips.iter().enumerate() {
        table.row([
            format!("E{}", place + 1),
            length(job, strip.length),
            length(job, strip.height),
        ]);
    }
    table
}

/// Strips board by board: numbers of boards go on from the floor's when they share them.
pub(super) fn edge_cut_list(job: &Job, results: &Results) -> Table {
    let mut table = Table::new(
        "Cut list of edge boards",
        vec![Column::numbers("Board"), Column::words("Side: length × height")],
    );
    let mut boards: BTreeMap<u32, Vec<&EdgePiece>> = BTreeMap::new();
    for piece in &results.parts.foam.edge.pieces {
        boards.entry(piece.board).or_default().push(piece);
    }
    for (board, pieces) in boards {
        let said: Vec<String> = pieces
            .iter()
            .map(|piece| format!("E{}: {}", piece.strip + 1, size(job, &piece.outline)))
            .collect();
        table.row([(board + 1).to_string(), said.join("; ")]);
    }
    table
}

fn size(job: &Job, outline: &[Point]) -> String {
    let bounds = Bounds::of(outline.iter().copied());
    let (long, wide) = bounds.map_or((0.0, 0.0), |bounds| (bounds.width(), bounds.height()));
    format!("{} × {}", length(job, long), length(job, wide))
}

/// Whether an outline is anything but an upright rectangle.
fn is_shaped(outline: &[Point]) -> bool {
    let Some(bounds) = Bounds::of(outline.iter().copied()) else { return false };
    let area = crate::geometry::polygon::signed_area(outline).abs();
    outline.len() != 4 || bounds.width() * bounds.height() - area > 0.05
}
