//! The foam sheets, one a layer: numbered pieces, what is cut from which board, edge boards; after
//! them the one of edge foam that has boards of its own.

use super::cut_diagrams::{self, cut_diagrams};
use super::foam_rows::{boards_by_piece, cut_boards, cut_list, is_cut, standing};
use super::frame::Draft;
use super::pieces::Piece;
use super::plan_area::{PlanArea, PlanSheet, length, plan_sheets};
use super::plan_marks::{self, FOAM};
use super::standing_foam;
use super::tags::Shown;
use crate::derive::Results;
use crate::drawing::text::{NOTE_SIZE, Text};
use crate::drawing::{Dash, Ink, Pen};
use crate::foam::{BoardPiece, FoamLayout, PieceKind};
use crate::geometry::Point;
use crate::geometry::polygon::centroid;
use crate::job::Job;
use crate::units::{Length, show_inches, show_number};

/// The foam sheets; empty without foam.
#[must_use]
pub fn sheets(job: &Job, results: &Results) -> Vec<Draft> {
    let foam = &results.parts.foam;
    let laid = foam.layers.iter().enumerate().filter(|(_, layer)| !layer.pieces.is_empty());
    let of_layers = laid.flat_map(|(place, layer)| {
        let title = if foam.layers.len() > 1 {
            format!("Foam layer {}", place + 1)
        } else {
            "Foam boards".to_owned()
        };
        let draw = |area: &mut PlanArea<'_>| draw(area, results, place);
        plan_sheets(
            job,
            &results.parts.plan,
            PlanSheet {
                title: &title,
                alt: format!(
                    "Foam plan: {} pieces from {} boards",
                    layer.pieces.len(),
                    layer.boards
                ),
                band: (22.0, 22.0),
                pieces: pieces(job, results, place),
                draw: &draw,
                is_tiled: true,
            },
        )
    });
    of_layers.chain(standing_foam::sheets(job, results)).collect()
}

fn draw(area: &mut PlanArea<'_>, results: &Results, layer: usize) {
    let parts = &results.parts;
    let Some(layout) = parts.foam.layers.get(layer) else { return };
    let hidden = Pen::FINE.inked(Ink::MidGray);
    area.beneath(&plan_marks::thickenings(&parts.concrete, hidden));
    area.plan(&plan_marks::boards(parts, layer, Pen::THIN));
    area.plan(&plan_marks::slab(&parts.plan, Pen::WIDE));
    area.plan(&plan_marks::penetrations(&parts.plan, Pen::THIN));
    for of in standing(&parts.foam, Some(layer)) {
        standing_foam::names(area, &parts.plan, of);
    }
    let number = u16::try_from(layer).unwrap_or(u16::MAX);
    for (place, piece) in layout.pieces.iter().enumerate() {
        let tag = Shown::BoardPiece(number, u32::try_from(place).unwrap_or(u32::MAX)).tag();
        piece_number(area, piece, tag);
    }
}

/// The number of a piece in its middle, bold where it is cut; outside on a callout when tight.
fn piece_number(area: &mut PlanArea<'_>, piece: &BoardPiece, tag: u64) {
    let middle = inside_point(&piece.outline);
    let mut text = Text::new(area.to_paper(middle), NOTE_SIZE, piece.number.to_string()).centered();
    if is_cut(piece) {
        text = text.bold();
        let from = format!("{} ({})", piece.number, piece.board + 1);
        let with_board = Text { content: from, ..text.clone() };
        if area.label_within(FOAM, with_board, tag) {
            return;
        }
    }
    // A narrow piece carries its number upright.
    let upright = text.clone().turned(std::f64::consts::FRAC_PI_2);
    if !area.label_within(FOAM, text.clone(), tag) && !area.label_within(FOAM, upright, tag) {
        let mut label = crate::drawing::place::Label::new(FOAM, text);
        label.tag = tag;
        area.put(label);
    }
}

/// A place inside a piece: its centroid, or for a bent one the middle of its widest level cut.
pub(super) fn inside_point(outline: &[Point]) -> Point {
    let center = centroid(outline);
    if crate::geometry::polygon::ring_contains(outline, center) {
        return center;
    }
    let mut crossings: Vec<f64> = crate::geometry::polygon::edges(outline)
        .filter(|(from, to)| (from.y > center.y) != (to.y > center.y))
        .map(|(from, to)| from.x + (to.x - from.x) * (center.y - from.y) / (to.y - from.y))
        .collect();
    crossings.sort_by(f64::total_cmp);
    crossings
        .chunks_exact(2)
        .filter_map(|pair| match pair {
            &[from, to] => Some((to - from, f64::midpoint(from, to))),
            _ => None,
        })
        .max_by(|a, b| a.0.total_cmp(&b.0))
        .map_or(center, |(_, x)| Point::new(x, center.y))
}

/// How near the count is to the least that could be had.
fn how_near(layer: &FoamLayout) -> String {
    if layer.boards <= layer.bound {
        "No layout takes fewer boards.".to_owned()
    } else {
        format!("No layout takes fewer than {} boards.", layer.bound)
    }
}

fn pieces(job: &Job, results: &Results, place: usize) -> Vec<Piece> {
    let foam = &results.parts.foam;
    let Some(layer) = foam.layers.get(place) else { return Vec::new() };
    let inches = |value: f64| show_inches(Length::inches(value), job.facts.display.rounding);
    let whole = layer.pieces.iter().filter(|piece| piece.kind == PieceKind::Whole).count();
    let boards = cut_boards(job, foam, place);
    let mut pieces = vec![
        Piece::Heading(format!(
            "{} boards {} × {} × {} thick",
            layer.boards,
            length(job, layer.board_width),
            length(job, layer.board_length),
            inches(layer.thickness)
        )),
        Piece::Note(format!(
            "{} pieces: {whole} whole, {} cut; {} sq ft, R {}. {} Seams {} ft for tape.",
            layer.pieces.len(),
            layer.pieces.len() - whole,
            show_number(layer.area / 144.0, 0),
            show_number(layer.r_value, 1),
            how_near(layer),
            show_number(layer.seam / 12.0, 0)
        )),
        Piece::Note(format!(
            "The board bears {} psi; for years a third of it for load that stays and a fifth for \
             load that comes and goes: the floor uses {} % of that.",
            show_number(layer.resistance, 0),
            show_number(layer.strength_used * 100.0, 0)
        )),
        Piece::Note(
            "Lay in the order of the numbers. Bold pieces are cut: in brackets the board of the \
             cut list they come from. A board comes apart with straight cuts from edge to edge."
                .to_owned(),
        ),
    ];
    if let (Some(code), true) = (&job.build_up.insulation_code, place == 0) {
        pieces.push(Piece::Note(format!(
            "Held against {} ({}): R {} at the edge, R {} under the slab. The local code decides.",
            code.code,
            code.source,
            show_number(code.edge_r, 1),
            show_number(code.under_r, 1)
        )));
    }
    pieces.extend(Piece::table(cut_list("Cut list", &boards)));
    pieces.extend(boards_by_piece(&boards).map(Piece::Note));
    for of in standing(foam, Some(place)) {
        pieces.extend(standing_foam::beside_floor(job, of));
    }
    pieces.push(Piece::Legend(vec![
        (Pen::THIN, "board seam".to_owned()),
        (Pen::WIDE, "slab edge".to_owned()),
        (Pen::FINE.dashed(Dash::Dashed).inked(Ink::MidGray), "thickening".to_owned()),
    ]));
    pieces.push(standing_foam::caution());
    let size = (layer.board_length, layer.board_width);
    let diagrams = cut_diagrams(job, "Board", &boards, (size, layer.kerf));
    pieces.extend(cut_diagrams::pieces(diagrams, boards.len()));
    pieces
}
