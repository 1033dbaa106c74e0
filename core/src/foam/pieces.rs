//! From a filling to the pieces a helper cuts and lays, and what can be read off them.
//!
//! Question: what does the plan show and the cut list say? Pieces are numbered in laying order,
//! course by course. A piece's outline ignores pipes; `holes` holds what pipes and columns take
//! out of it, also where a pipe stands on a seam and each neighbour has a bite of it.
#![expect(
    clippy::indexing_slicing,
    reason = "every index is made by this file's own loops over the same vectors"
)]

use super::courses::Strip;
use super::fill::{Laid, Stock};
use super::frame::Frame;
use super::offcuts::Motion;
use super::search::Layout;
use super::{BoardPiece, PieceKind, PieceSurface};
use crate::geometry::{Bounds, Point, Polygon, clip, polygon};
use crate::plan::Plan;

/// A piece with where it lies in its course, for the checks below.
pub(super) struct Placed {
    /// The piece.
    pub piece: BoardPiece,
    /// What it was made from.
    pub laid: Laid,
}

/// The pieces of a layout in laying order.
pub(super) fn pieces_of(layout: &Layout, surface: PieceSurface) -> Vec<Placed> {
    let stock = &layout.task.stock;
    let mut laid: Vec<&Laid> = layout.filled.laid.iter().collect();
    laid.sort_by(|a, b| {
        let course = |piece: &Laid| layout.task.strips[piece.strip].course;
        course(a).cmp(&course(b)).then(a.from.total_cmp(&b.from)).then(a.strip.cmp(&b.strip))
    });
    laid.into_iter()
        .map(|piece| {
            let strip = &layout.task.strips[piece.strip];
            Placed {
                piece: board_piece(layout.frame, strip, piece, (stock, surface)),
                laid: *piece,
            }
        })
        .collect()
}

fn board_piece(
    frame: Frame,
    strip: &Strip,
    laid: &Laid,
    (stock, surface): (&Stock, PieceSurface),
) -> BoardPiece {
    let course = strip.outline(laid.from, laid.to);
    let is_whole = polygon::signed_area(&course) > stock.length * stock.width - 0.01;
    BoardPiece {
        number: 0,
        outline: course.iter().map(|point| frame.plan_from_course(*point)).collect(),
        on_face: Vec::new(),
        holes: Vec::new(),
        board: laid.board,
        on_board: course.iter().map(|point| on_board(&laid.motion, *point)).collect(),
        holes_on_board: Vec::new(),
        kind: match (is_whole, laid.is_offcut) {
            (true, _) => PieceKind::Whole,
            (false, true) => PieceKind::Offcut,
            (false, false) => PieceKind::Cut,
        },
        course: u32::try_from(strip.course).unwrap_or(u32::MAX),
        surface,
    }
}

fn on_board(motion: &Motion, point: Point) -> Point {
    let at = motion.apply(point);
    // A hair below zero by rounding is zero on a board.
    Point::new(
        if at.x.abs() < 1e-9 { 0.0 } else { at.x },
        if at.y.abs() < 1e-9 { 0.0 } else { at.y },
    )
}

/// Cuts pipes and columns out of the pieces; `course_from_plan` takes a place of the plan to the
/// axes that the piece was laid in.
pub(super) fn cut_holes(
    placed: &mut [Placed],
    plan: &Plan,
    course_from_plan: impl Fn(&Laid, Point) -> Point,
) {
    for pipe in &plan.penetrations {
        let Some(bounds) = Bounds::of(pipe.outline.iter().copied()) else { continue };
        let hole = [Polygon::new(pipe.outline.clone(), Vec::new())];
        for Placed { piece, laid } in placed.iter_mut() {
            let near = Bounds::of(piece.outline.iter().copied()).is_some_and(|b| b.touches(bounds));
            if !near {
                continue;
            }
            let own = [Polygon::new(piece.outline.clone(), Vec::new())];
            for part in clip::intersection(&hole, &own) {
                let moved = |p: &Point| on_board(&laid.motion, course_from_plan(laid, *p));
                piece.holes_on_board.push(part.outer.iter().map(moved).collect());
                piece.holes.push(part.outer);
            }
        }
    }
}

/// Length of seams between pieces: half of what their outlines have beyond the area's rim.
pub(super) fn seam_length(pieces: &[Placed], area: &[Polygon]) -> f64 {
    let own: f64 = pieces.iter().map(|placed| polygon::perimeter(&placed.piece.outline)).sum();
    let rim: f64 = area.iter().map(Polygon::perimeter).sum();
    ((own - rim) / 2.0).max(0.0)
}

/// Pieces under flat bottoms and slopes: `faces[strip]` is the face that each strip belongs to.
pub(super) fn face_pieces(layout: &Layout, faces: &[&super::under_edges::Face]) -> Vec<Placed> {
    let mut laid: Vec<&Laid> = layout.filled.laid.iter().collect();
    laid.sort_by(|a, b| a.strip.cmp(&b.strip).then(a.from.total_cmp(&b.from)));
    laid.into_iter()
        .map(|piece| {
            let (strip, face) = (&layout.task.strips[piece.strip], faces[piece.strip]);
            let own = (&layout.task.stock, face.surface);
            let mut board_piece = board_piece(layout.frame, strip, piece, own);
            let course = strip.outline(piece.from, piece.to);
            board_piece.outline = course.iter().map(|point| face.plan_from_face(*point)).collect();
            if face.surface == PieceSurface::EdgeSlope {
                board_piece.on_face = course;
            }
            Placed { piece: board_piece, laid: *piece }
        })
        .collect()
}
