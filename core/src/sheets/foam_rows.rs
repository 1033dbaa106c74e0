//! Tables of the foam sheets: what is cut from which board, and strips side by side; with the
//! boards as both tables and diagrams read them.

use crate::drawing::table::{Column, Table};
use crate::foam::{BoardPiece, EdgeFoamTakeoff, Foam, PieceKind};
use crate::geometry::{Bounds, Point};
use crate::job::Job;
use crate::units::{Length, Rounding, show_length};
use std::collections::BTreeMap;

/// A piece on the board that it is cut from.
pub(super) struct OnBoard<'a> {
    /// Its number on the plan, or the side that a strip belongs to.
    pub name: String,
    /// Its number where it has one of its own.
    number: Option<u32>,
    /// Its outline on the board.
    pub outline: &'a [Point],
    /// Holes on the board.
    pub holes: &'a [Vec<Point>],
    /// Its size as said: along × across the board, of a strip length × height.
    pub size: String,
}

/// Boards that are cut, by number from 0, with the pieces of each.
pub(super) type CutBoards<'a> = BTreeMap<u32, Vec<OnBoard<'a>>>;

/// Strips of one thickness that stand, and what they are called.
#[derive(Clone, Copy)]
pub(super) struct Standing<'a> {
    /// The strips and what they are cut from.
    pub edge: &'a EdgeFoamTakeoff,
    /// The letter before a side's number.
    pub letter: char,
    /// What their boards are called: `Edge` boards.
    pub word: &'static str,
    /// They stand at doors and are thinner than elsewhere.
    pub is_at_doors: bool,
}

impl Standing<'_> {
    /// What the strip of a side is called, by its place from 0.
    pub fn name(&self, strip: usize) -> String {
        format!("{}{}", self.letter, strip + 1)
    }
}

/// The strips that are cut from the boards of this layer; of none, those that have boards of their
/// own.
pub(super) fn standing(foam: &Foam, layer: Option<usize>) -> Vec<Standing<'_>> {
    let [edge, doors] = foam.standing();
    let both = [
        Standing { edge, letter: 'E', word: "Edge", is_at_doors: false },
        Standing { edge: doors, letter: 'D', word: "Door", is_at_doors: true },
    ];
    both.into_iter().filter(|of| of.edge.strip_length > 0.0 && of.edge.layer == layer).collect()
}

/// Whether a piece is cut from its board, or has a pipe's hole cut into it.
pub(super) fn is_cut(piece: &BoardPiece) -> bool {
    piece.kind != PieceKind::Whole || !piece.holes.is_empty()
}

/// The boards of a layer that are cut, with the strips that come from them too.
pub(super) fn cut_boards<'a>(job: &Job, foam: &'a Foam, layer: usize) -> CutBoards<'a> {
    let mut boards = CutBoards::new();
    let pieces = foam.layers.get(layer).map_or(&[][..], |layout| layout.pieces.as_slice());
    for piece in pieces.iter().filter(|piece| is_cut(piece)) {
        boards.entry(piece.board).or_default().push(OnBoard {
            name: piece.number.to_string(),
            number: Some(piece.number),
            outline: &piece.on_board,
            holes: &piece.holes_on_board,
            size: size(job, &piece.on_board),
        });
    }
    for of in standing(foam, Some(layer)) {
        add_strips(job, of, &mut boards);
    }
    boards
}

/// The boards that serve these strips alone.
pub(super) fn boards_of<'a>(job: &Job, of: Standing<'a>) -> CutBoards<'a> {
    let mut boards = CutBoards::new();
    add_strips(job, of, &mut boards);
    boards
}

fn add_strips<'a>(job: &Job, of: Standing<'a>, boards: &mut CutBoards<'a>) {
    for piece in &of.edge.pieces {
        boards.entry(piece.board).or_default().push(OnBoard {
            name: of.name(piece.strip),
            number: None,
            outline: &piece.on_board,
            holes: &[],
            size: size(job, &piece.outline),
        });
    }
}

/// Cut pieces board by board, with the least box of each; equal ones are said once.
pub(super) fn cut_list(title: &str, boards: &CutBoards<'_>) -> Table {
    let mut table = Table::new(
        title,
        vec![Column::numbers("Board"), Column::words("Pieces: along × across the board")],
    );
    for (board, pieces) in boards {
        let mut said: Vec<(String, Vec<&OnBoard<'_>>)> = Vec::new();
        for piece in pieces {
            let shape = if is_shaped(piece.outline) { " (shaped)" } else { "" };
            let hole = if piece.holes.is_empty() { "" } else { " (hole)" };
            let size = format!("{}{shape}{hole}", piece.size);
            match said.iter_mut().find(|(other, _)| *other == size) {
                Some((_, same)) => same.push(piece),
                None => said.push((size, vec![piece])),
            }
        }
        let said: Vec<String> =
            said.into_iter().map(|(size, same)| format!("{}: {size}", names(&same))).collect();
        table.row([(board + 1).to_string(), said.join("; ")]);
    }
    table
}

/// The board of every cut piece, by the pieces' numbers: a narrow piece has no room for it on the
/// plan. `None` when no piece of the floor is cut.
pub(super) fn boards_by_piece(boards: &CutBoards<'_>) -> Option<String> {
    let mut found: Vec<(u32, u32)> = boards
        .iter()
        .flat_map(|(board, pieces)| {
            pieces.iter().filter_map(move |piece| Some((piece.number?, board + 1)))
        })
        .collect();
    found.sort_unstable();
    let said: Vec<String> =
        found.iter().map(|(piece, board)| format!("{piece} ({board})")).collect();
    (!said.is_empty()).then(|| format!("Cut pieces with their boards: {}.", said.join(", ")))
}

/// Names of equal pieces: runs of numbers as such, strips of a side with how many.
fn names(pieces: &[&OnBoard<'_>]) -> String {
    let mut numbers: Vec<u32> = pieces.iter().filter_map(|piece| piece.number).collect();
    numbers.sort_unstable();
    let mut said: Vec<String> = numbers
        .chunk_by(|one, next| one + 1 == *next)
        .map(|run| match run {
            &[one] => one.to_string(),
            &[one, next] => format!("{one}, {next}"),
            run => {
                let (first, last) = (run.first().unwrap_or(&0), run.last().unwrap_or(&0));
                format!("{first} to {last}")
            }
        })
        .collect();
    let mut sides: BTreeMap<&str, usize> = BTreeMap::new();
    for piece in pieces.iter().filter(|piece| piece.number.is_none()) {
        *sides.entry(&piece.name).or_default() += 1;
    }
    said.extend(sides.into_iter().map(|(side, count)| match count {
        1 => side.to_owned(),
        _ => format!("{count} of {side}"),
    }));
    said.join(", ")
}

/// Strips side by side, with the pieces that each is laid of from its start.
pub(super) fn strip_list(job: &Job, of: Standing<'_>) -> Table {
    let edge = of.edge;
    let mut table = Table::new(
        format!("{} boards by side", of.word),
        vec![
            Column::numbers("Side"),
            Column::numbers("Length"),
            Column::numbers("Height"),
            Column::words("Laid of, from its start"),
        ],
    );
    for (place, strip) in edge.strips.iter().enumerate() {
        let own: Vec<String> = edge
            .pieces
            .iter()
            .filter(|piece| piece.strip == place)
            .map(|piece| shown(job, piece.to - piece.from))
            .collect();
        let said: Vec<String> = own
            .chunk_by(|one, next| one == next)
            .filter_map(|run| Some((run.first()?, run.len())))
            .map(|(size, count)| match count {
                1 => size.clone(),
                _ => format!("{count} of {size}"),
            })
            .collect();
        table.row([
            of.name(place),
            shown(job, strip.length),
            shown(job, strip.height),
            said.join(", "),
        ]);
    }
    table
}

/// A length as foam is cut: to 1/8 in, or coarser where the job rounds so.
pub(super) fn shown(job: &Job, inches: f64) -> String {
    let rounding = match job.facts.display.rounding {
        Rounding::Sixteenth => Rounding::Eighth,
        coarser => coarser,
    };
    show_length(Length::inches(inches), rounding)
}

fn size(job: &Job, outline: &[Point]) -> String {
    let bounds = Bounds::of(outline.iter().copied());
    let (long, wide) = bounds.map_or((0.0, 0.0), |bounds| (bounds.width(), bounds.height()));
    format!("{} × {}", shown(job, long), shown(job, wide))
}

/// Whether an outline is anything but an upright rectangle.
pub(super) fn is_shaped(outline: &[Point]) -> bool {
    let Some(bounds) = Bounds::of(outline.iter().copied()) else { return false };
    let area = crate::geometry::polygon::signed_area(outline).abs();
    outline.len() != 4 || bounds.width() * bounds.height() - area > 0.05
}
