//! The foam sheets, one a layer: numbered pieces, what is cut from which board, edge boards.

use super::frame::Draft;
use super::pieces::Piece;
use super::plan_area::{PlanArea, PlanSheet, length, plan_sheets};
use super::plan_marks::{self, FOAM};
use super::tags::Shown;
use crate::derive::Results;
use crate::drawing::table::{Column, Table};
use crate::drawing::text::{NOTE_SIZE, Text};
use crate::drawing::{Dash, Ink, Pen};
use crate::foam::{BoardPiece, FoamLayout, PieceKind};
use crate::geometry::polygon::centroid;
use crate::geometry::{Bounds, Point};
use crate::job::Job;
use crate::units::{Length, show_inches, show_number};
use std::collections::BTreeMap;

/// The foam sheets; empty without foam.
#[must_use]
pub fn sheets(job: &Job, results: &Results) -> Vec<Draft> {
    let foam = &results.parts.foam;
    let laid = foam.layers.iter().enumerate().filter(|(_, layer)| !layer.pieces.is_empty());
    laid.flat_map(|(place, layer)| {
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
                pieces: pieces(job, results, layer, place == 0),
                draw: &draw,
                is_tiled: true,
            },
        )
    })
    .collect()
}

fn draw(area: &mut PlanArea<'_>, results: &Results, layer: usize) {
    let parts = &results.parts;
    let Some(layout) = parts.foam.layers.get(layer) else { return };
    let hidden = Pen::FINE.inked(Ink::MidGray);
    area.beneath(&plan_marks::thickenings(&parts.concrete, hidden));
    area.plan(&plan_marks::boards(parts, layer, Pen::THIN));
    area.plan(&plan_marks::slab(&parts.plan, Pen::WIDE));
    area.plan(&plan_marks::penetrations(&parts.plan, Pen::THIN));
    let number = u16::try_from(layer).unwrap_or(u16::MAX);
    for (place, piece) in layout.pieces.iter().enumerate() {
        let tag = Shown::BoardPiece(number, u32::try_from(place).unwrap_or(u32::MAX)).tag();
        piece_number(area, piece, tag);
    }
}

/// The number of a piece in its middle, bold where it is cut; outside on a callout when tight.
fn piece_number(area: &mut PlanArea<'_>, piece: &BoardPiece, tag: u64) {
    let middle = inside_point(&piece.outline);
    let say = piece.number.to_string();
    let mut text = Text::new(area.to_paper(middle), NOTE_SIZE, say.clone()).centered();
    if piece.kind != PieceKind::Whole {
        text = text.bold();
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
fn inside_point(outline: &[Point]) -> Point {
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

fn pieces(job: &Job, results: &Results, layer: &FoamLayout, is_first: bool) -> Vec<Piece> {
    let inches = |value: f64| show_inches(Length::inches(value), job.facts.display.rounding);
    let whole = layer.pieces.iter().filter(|piece| piece.kind == PieceKind::Whole).count();
    let mut pieces = vec![
        Piece::Heading(format!(
            "{} boards {} × {} × {} thick",
            layer.boards,
            length(job, layer.board_width),
            length(job, layer.board_length),
            inches(layer.thickness)
        )),
        Piece::Note(format!(
            "{} pieces: {whole} whole, {} cut; {} sq ft, R {}. No layout can do with fewer than \
             {} boards. Seams {} ft for tape.",
            layer.pieces.len(),
            layer.pieces.len() - whole,
            show_number(layer.area / 144.0, 0),
            show_number(layer.r_value, 1),
            layer.bound,
            show_number(layer.seam / 12.0, 0)
        )),
        Piece::Note(
            "Numbers are in laying order; bold pieces are cut, see the list. Pieces with the same \
             board come from one board."
                .to_owned(),
        ),
    ];
    pieces.extend(Piece::table(cut_list(job, layer)));
    let edge = &results.parts.foam.edge;
    if is_first && edge.strip_length > 0.0 {
        pieces.push(Piece::Note(format!(
            "Edge boards: {} ft of strip, {} more boards beyond the floor's offcuts.",
            show_number(edge.strip_length / 12.0, 0),
            edge.boards
        )));
        pieces.extend(Piece::table(edge_list(job, results)));
    }
    pieces.push(Piece::Legend(vec![
        (Pen::THIN, "board seam".to_owned()),
        (Pen::WIDE, "slab edge".to_owned()),
        (Pen::FINE.dashed(Dash::Dashed).inked(Ink::MidGray), "thickening".to_owned()),
    ]));
    pieces.push(Piece::Caution(
        "CAUTION".to_owned(),
        vec![
            "Foam burns: keep flame and hot work away, and store it tied down against wind."
                .to_owned(),
            "Do not leave foam in long sunlight; cutting with hot wire gives off fumes.".to_owned(),
        ],
    ));
    pieces
}

/// Cut pieces board by board, with the least box of each.
fn cut_list(job: &Job, layer: &FoamLayout) -> Table {
    let mut table = Table::new(
        "Cut list",
        vec![Column::numbers("Board"), Column::words("Piece: length × width on the board")],
    );
    let mut boards: BTreeMap<u32, Vec<&BoardPiece>> = BTreeMap::new();
    for piece in layer.pieces.iter().filter(|piece| piece.kind != PieceKind::Whole) {
        boards.entry(piece.board).or_default().push(piece);
    }
    for (board, pieces) in boards {
        let said: Vec<String> = pieces
            .iter()
            .map(|piece| {
                let size = Bounds::of(piece.on_board.iter().copied());
                let (long, wide) = size.map_or((0.0, 0.0), |size| (size.width(), size.height()));
                let shape = if piece.on_board.len() == 4 { "" } else { " (shaped)" };
                format!("{}: {} × {}{shape}", piece.number, length(job, long), length(job, wide))
            })
            .collect();
        table.row([(board + 1).to_string(), said.join("; ")]);
    }
    table
}

fn edge_list(job: &Job, results: &Results) -> Table {
    let mut table = Table::new(
        "Edge boards by side",
        vec![Column::numbers("Side"), Column::numbers("Length"), Column::numbers("Height")],
    );
    for (place, strip) in results.parts.foam.edge.strips.iter().enumerate() {
        table.row([(place + 1).to_string(), length(job, strip.length), length(job, strip.height)]);
    }
    table
}
