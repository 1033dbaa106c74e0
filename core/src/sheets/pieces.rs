//! What stands in the column beside a plan: headings, notes, cautions, legends and tables, which
//! flow on to further sheets when a column is full.

use super::plan_marks::NOTES;
use crate::drawing::page::{Block, Page, Role};
use crate::drawing::table::{self, Table, TableStyle};
use crate::drawing::text::{self, CAP_HEIGHT, Face, LINE_PITCH, NOTE_SIZE, Text};
use crate::drawing::{Affine, Ink, Mark, Pen, Rect, Spot, Vec2, path};

/// Space between pieces in points.
const GAP: f64 = 9.0;

/// From one line to write on to the next, in points.
const BLANK: f64 = 22.0;

/// One thing in a column.
#[derive(Clone, Debug, PartialEq)]
pub enum Piece {
    /// A heading.
    Heading(String),
    /// Running text.
    Note(String),
    /// A boxed caution: what is dangerous and what to do.
    Caution(String, Vec<String>),
    /// Line samples with what they mean.
    Legend(Vec<(Pen, String)>),
    /// A table, from this row on.
    Table(Table, usize),
    /// Lines to write on, each after its words.
    Blanks(Vec<String>),
    /// A drawing that is to no scale.
    Diagram(Diagram),
    /// Drawings side by side in rows, as many in a row as the room is wide, from this one on.
    Cards(Cards, usize),
}

/// Drawings of one width.
#[derive(Clone, Debug, PartialEq)]
pub struct Cards {
    /// Width of each in points.
    pub width: f64,
    /// The drawings.
    pub cards: Vec<Diagram>,
}

/// A small drawing in a column, its marks from its own upper left corner.
#[derive(Clone, Debug, PartialEq)]
pub struct Diagram {
    /// What it shows, in words.
    pub alt: String,
    /// Its height in points; it is as wide as it likes within the column.
    pub height: f64,
    /// What it draws.
    pub marks: Vec<Mark>,
}

impl Piece {
    /// A whole table; nothing when it has no rows.
    #[must_use]
    pub fn table(table: Table) -> Option<Self> {
        (!table.rows.is_empty()).then_some(Self::Table(table, 0))
    }

    /// Drawings in rows; nothing when there are none.
    #[must_use]
    pub fn cards(cards: Cards) -> Option<Self> {
        (!cards.cards.is_empty()).then_some(Self::Cards(cards, 0))
    }
}

/// Puts pieces below each other into `room` of a page; gives back what did not fit.
#[must_use]
pub fn fill(page: &mut Page, pieces: Vec<Piece>, room: Rect) -> Vec<Piece> {
    fill_wide(page, pieces, room, room.x1)
}

/// The same where rows of drawings may go on to the right as far as `right`.
#[must_use]
pub fn fill_wide(page: &mut Page, pieces: Vec<Piece>, room: Rect, right: f64) -> Vec<Piece> {
    let mut y = room.y0;
    let mut rest = pieces.into_iter().peekable();
    while let Some(piece) = rest.next() {
        let end = if matches!(piece, Piece::Cards(..)) { right } else { room.x1 };
        let here = Rect::new(room.x0, y, end, room.y1);
        // A heading does not stand alone at the foot of a column.
        let needed = match (&piece, rest.peek()) {
            (Piece::Heading(_), Some(Piece::Blanks(rows))) => 40.0 + BLANK * rows.len() as f64,
            (Piece::Heading(_), Some(Piece::Cards(all, _))) => {
                30.0 + all.cards.first().map_or(0.0, |card| card.height)
            }
            (Piece::Heading(_), Some(_)) => 62.0,
            // Nor does a table that goes on for long begin with a row or two there.
            (Piece::Table(table, 0), _) => 30.0 + 14.0 * table.rows.len().min(3) as f64,
            _ => 0.0,
        };
        if needed > here.height() && y > room.y0 {
            return std::iter::once(piece).chain(rest).collect();
        }
        let (bottom, left) = one(page, piece, here);
        if let Some(left) = left {
            return std::iter::once(left).chain(rest).collect();
        }
        y = bottom + GAP;
    }
    Vec::new()
}

/// One piece; gives its lower end and what is left of it.
fn one(page: &mut Page, piece: Piece, room: Rect) -> (f64, Option<Piece>) {
    if let Piece::Table(whole, from) = piece {
        let number = u32::try_from(page.blocks.len()).unwrap_or(u32::MAX);
        let style = TableStyle { size: NOTE_SIZE, layer: NOTES, number };
        let part = table::draw(&whole, from, room, style);
        if part.next_row > from {
            page.blocks.extend(part.blocks);
            // The whole table goes with the page on which it starts.
            if from == 0 {
                page.tables.push(whole.clone());
            }
        }
        let is_done = part.next_row >= whole.rows.len();
        return (part.bottom, (!is_done).then_some(Piece::Table(whole, part.next_row)));
    }
    if let Piece::Note(words) = &piece {
        return note(page, words, room);
    }
    if let Piece::Cards(all, from) = piece {
        return cards(page, all, from, room);
    }
    let (blocks, bottom) = drawn(&piece, room);
    if bottom > room.y1 {
        return (room.y0, Some(piece));
    }
    page.blocks.extend(blocks);
    (bottom, None)
}

/// As many lines of running text as fit; the others go on.
fn note(page: &mut Page, words: &str, room: Rect) -> (f64, Option<Piece>) {
    let pitch = NOTE_SIZE * LINE_PITCH;
    let all = text::wrap(words, Face::Regular, NOTE_SIZE, room.width());
    #[expect(clippy::cast_possible_truncation, reason = "lines of a sheet of paper")]
    #[expect(clippy::cast_sign_loss, reason = "clamped to 0 and more")]
    let fit = ((room.height() / pitch).floor().clamp(0.0, 10_000.0) as usize).min(all.len());
    // No line of a text stands alone, here or where it goes on.
    let fit = if fit + 1 == all.len() { fit.saturating_sub(1) } else { fit };
    let fit = if fit == 1 && all.len() > 1 { 0 } else { fit };
    let (here, later) = all.split_at(fit);
    let at = Spot::new(room.x0, room.y0);
    let (marks, bottom) =
        lines(&here.join("\n"), Face::Regular, NOTE_SIZE, at, room.width() + 0.01);
    page.add(Role::Paragraph, marks);
    // What goes on is broken anew: the next column may be of another width.
    let glue = if words.contains('\n') { "\n" } else { " " };
    let left = (!later.is_empty()).then(|| Piece::Note(later.join(glue)));
    (if here.is_empty() { room.y0 } else { bottom }, left)
}

/// As many rows of drawings as fit.
fn cards(page: &mut Page, all: Cards, from: usize, room: Rect) -> (f64, Option<Piece>) {
    let abreast = ((room.width() + GAP) / (all.width + GAP)).floor().clamp(0.0, 20.0);
    let (mut y, mut next) = (room.y0, from);
    while next < all.cards.len() && abreast >= 1.0 {
        #[expect(clippy::cast_possible_truncation, reason = "between 1 and 20")]
        #[expect(clippy::cast_sign_loss, reason = "between 1 and 20")]
        let row: Vec<&Diagram> = all.cards.iter().skip(next).take(abreast as usize).collect();
        let height = row.iter().map(|card| card.height).fold(0.0, f64::max);
        if y + height > room.y1 {
            break;
        }
        for (place, card) in row.iter().enumerate() {
            let x = room.x0 + (all.width + GAP) * place as f64;
            page.blocks.push(card.at(Spot::new(x, y)));
        }
        next += row.len();
        y += height + GAP;
    }
    let bottom = if next > from { y - GAP } else { room.y0 };
    (bottom, (next < all.cards.len()).then_some(Piece::Cards(all, next)))
}

/// How many drawings in rows are still to be placed.
#[must_use]
pub fn cards_left(pieces: &[Piece]) -> usize {
    let left = |piece: &Piece| match piece {
        Piece::Cards(all, from) => all.cards.len().saturating_sub(*from),
        _ => 0,
    };
    pieces.iter().map(left).sum()
}

impl Diagram {
    fn at(&self, corner: Spot) -> Block {
        let map = Affine::translate(Vec2::new(corner.x, corner.y));
        let marks = self.marks.iter().map(|mark| mark.mapped(map)).collect();
        Block { role: Role::Figure { alt: self.alt.clone() }, marks }
    }
}

fn drawn(piece: &Piece, room: Rect) -> (Vec<Block>, f64) {
    match piece {
        Piece::Heading(words) => {
            let (marks, bottom) = lines(
                words,
                Face::Bold,
                NOTE_SIZE * 1.25,
                Spot::new(room.x0, room.y0),
                room.width(),
            );
            (vec![Block { role: Role::Heading, marks }], bottom)
        }
        Piece::Caution(title, rows) => caution(title, rows, room),
        Piece::Legend(rows) => legend(rows, room),
        Piece::Blanks(rows) => blanks(rows, room),
        Piece::Diagram(diagram) => {
            (vec![diagram.at(Spot::new(room.x0, room.y0))], room.y0 + diagram.height)
        }
        Piece::Note(_) | Piece::Table(..) | Piece::Cards(..) => (Vec::new(), room.y0),
    }
}

/// Wrapped lines from an upper left corner; gives the marks and the lower end.
#[must_use]
pub fn lines(words: &str, face: Face, size: f64, at: Spot, width: f64) -> (Vec<Mark>, f64) {
    let pitch = size * LINE_PITCH;
    let all = text::wrap(words, face, size, width);
    let bottom = at.y + pitch * all.len() as f64;
    let marks = all
        .into_iter()
        .enumerate()
        .filter(|(_, line)| !line.is_empty())
        .map(|(place, line)| {
            let y = at.y + size * CAP_HEIGHT + pitch * place as f64;
            Mark::text(NOTES, Text { face, ..Text::new(Spot::new(at.x, y), size, line) })
        })
        .collect();
    (marks, bottom)
}

fn caution(title: &str, rows: &[String], room: Rect) -> (Vec<Block>, f64) {
    const PAD: f64 = 6.0;
    let (x, width) = (room.x0 + PAD, room.width() - PAD * 2.0);
    let (heading, mut y) = lines(title, Face::Bold, NOTE_SIZE, Spot::new(x, room.y0 + PAD), width);
    y += 2.0;
    let mut said = Vec::new();
    for row in rows {
        let dot = Text::new(Spot::new(x, y + NOTE_SIZE * CAP_HEIGHT), NOTE_SIZE, "–");
        let (marks, bottom) =
            lines(row, Face::Regular, NOTE_SIZE, Spot::new(x + 10.0, y), width - 10.0);
        said.push(Mark::text(NOTES, dot));
        said.extend(marks);
        y = bottom + 1.5;
    }
    let bottom = y + PAD - 3.0;
    let frame = path::rectangle(Rect::new(room.x0, room.y0, room.x1, bottom));
    let blocks = vec![
        Block {
            role: Role::Artifact,
            marks: vec![
                Mark::fill(NOTES, frame.clone(), Ink::PaleGray),
                Mark::stroke(NOTES, frame, Pen::WIDE),
            ],
        },
        Block { role: Role::Heading, marks: heading },
        Block { role: Role::Paragraph, marks: said },
    ];
    (blocks, bottom)
}

fn legend(rows: &[(Pen, String)], room: Rect) -> (Vec<Block>, f64) {
    const SAMPLE: f64 = 46.0;
    let mut y = room.y0;
    let (mut samples, mut words) = (Vec::new(), Vec::new());
    for (pen, say) in rows {
        let (marks, bottom) = lines(
            say,
            Face::Regular,
            NOTE_SIZE,
            Spot::new(room.x0 + SAMPLE + 8.0, y),
            room.width() - SAMPLE - 8.0,
        );
        let middle = y + NOTE_SIZE * CAP_HEIGHT / 2.0;
        let sample = path::line(Spot::new(room.x0, middle), Spot::new(room.x0 + SAMPLE, middle));
        samples.push(Mark::stroke(NOTES, sample, *pen));
        words.extend(marks);
        y = bottom + 2.0;
    }
    let blocks = vec![
        Block { role: Role::Artifact, marks: samples },
        Block { role: Role::Paragraph, marks: words },
    ];
    (blocks, y)
}

fn blanks(rows: &[String], room: Rect) -> (Vec<Block>, f64) {
    let (mut rules, mut words) = (Vec::new(), Vec::new());
    let mut y = room.y0;
    for row in rows {
        y += BLANK;
        let row = text::fitted(row, Face::Regular, NOTE_SIZE, room.width() * 0.7);
        let start = room.x0 + text::width(&row, Face::Regular, NOTE_SIZE) + 6.0;
        let rule = path::line(Spot::new(start, y + 2.0), Spot::new(room.x1, y + 2.0));
        rules.push(Mark::stroke(NOTES, rule, Pen::FINE));
        words.push(Mark::text(NOTES, Text::new(Spot::new(room.x0, y), NOTE_SIZE, row)));
    }
    let blocks = vec![
        Block { role: Role::Artifact, marks: rules },
        Block { role: Role::Paragraph, marks: words },
    ];
    (blocks, y + 6.0)
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::drawing::PaperSize;

    #[test]
    fn no_line_of_a_text_stands_alone() {
        let words = "one two three four five six seven eight nine ten eleven twelve";
        let pitch = NOTE_SIZE * LINE_PITCH;
        let count = text::wrap(words, Face::Regular, NOTE_SIZE, 80.0).len();
        assert!(count >= 4, "{count} lines");
        for fit in 0..=count {
            let mut page = Page::new(PaperSize::inches("Letter", 8.5, 11.0), "");
            let room = Rect::new(0.0, 0.0, 80.0, pitch * (fit as f64 + 0.5));
            let (_, left) = note(&mut page, words, room);
            let later = match left {
                Some(Piece::Note(words)) => {
                    text::wrap(&words, Face::Regular, NOTE_SIZE, 80.0).len()
                }
                _ => 0,
            };
            assert!(later != 1 && count - later != 1, "{} and {later} lines", count - later);
        }
    }
}
