//! The foam part of the results: layers with their pieces, and the strips at the edges.

use super::form::{EdgeFoam, EdgeStrip, Foam, FoamLayer, Piece, StripPiece};
use super::{course, feet, patch, place, square_feet};
use crate::derive::Results;
use crate::foam::{BoardPiece, FoamLayout, PieceKind, PieceSurface};

pub(super) fn foam(results: &Results) -> Foam {
    let foam = &results.parts.foam;
    let doors = &foam.edge_at_doors;
    Foam {
        layers: foam.layers.iter().map(layer).collect(),
        edge: edge(&foam.edge),
        edge_at_doors: (!doors.strips.is_empty()).then(|| edge(doors)),
    }
}

/// A distance that may be without bound as a number of JSON: zero where nothing was measured.
fn finite(value: f64) -> f64 {
    if value.is_finite() { value } else { 0.0 }
}

fn layer(layer: &FoamLayout) -> FoamLayer {
    FoamLayer {
        board_in: [layer.board_width, layer.board_length, layer.thickness],
        kerf_in: layer.kerf,
        direction_deg: layer.direction.to_degrees(),
        stagger_in: layer.stagger,
        boards: layer.boards,
        bound: layer.bound,
        area_bound: layer.area_bound,
        gap_boards: layer.boards.saturating_sub(layer.bound),
        bundles: layer.bundles,
        cuts: layer.cuts,
        waste: layer.waste,
        seam_ft: feet(layer.seam),
        area_ft2: square_feet(layer.area),
        r_value: layer.r_value,
        resistance_psi: layer.resistance,
        strength_used: finite(layer.strength_used),
        least_stagger_in: finite(layer.least_stagger),
        close_seams_in: course(&layer.close_seams),
        seams_over_seams_in: course(&layer.seams_over_seams),
        area_in: layer.region.iter().map(patch).collect(),
        pieces: layer.pieces.iter().map(piece).collect(),
    }
}

fn piece(piece: &BoardPiece) -> Piece {
    let rings = |rings: &[Vec<crate::geometry::Point>]| -> Vec<_> {
        rings.iter().map(|ring| course(ring)).collect()
    };
    Piece {
        number: piece.number,
        surface: match piece.surface {
            PieceSurface::Floor => "floor",
            PieceSurface::EdgeFlat => "flat",
            PieceSurface::EdgeSlope => "slope",
        },
        kind: match piece.kind {
            PieceKind::Whole => "whole",
            PieceKind::Cut => "cut",
            PieceKind::Offcut => "offcut",
        },
        outline_in: course(&piece.outline),
        face_in: (!piece.on_face.is_empty()).then(|| course(&piece.on_face)),
        holes_in: rings(&piece.holes),
        board: piece.board,
        on_board_in: course(&piece.on_board),
        holes_on_board_in: rings(&piece.holes_on_board),
        course: piece.course,
    }
}

fn edge(edge: &crate::foam::EdgeFoamTakeoff) -> EdgeFoam {
    EdgeFoam {
        strip_ft: feet(edge.strip_length),
        boards: edge.boards,
        layer: edge.layer,
        board_in: edge.board,
        kerf_in: edge.kerf,
        strips: edge
            .strips
            .iter()
            .map(|strip| EdgeStrip {
                from_in: place(strip.from),
                to_in: place(strip.to),
                length_ft: feet(strip.length),
                height_in: strip.height,
            })
            .collect(),
        pieces: edge
            .pieces
            .iter()
            .zip(1..)
            .map(|(piece, number)| StripPiece {
                number,
                surface: "edge",
                strip: piece.strip,
                outline_in: course(&piece.outline),
                board: piece.board,
                on_board_in: course(&piece.on_board),
            })
            .collect(),
    }
}
