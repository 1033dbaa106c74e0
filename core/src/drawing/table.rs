//! Tables: columns as wide as they need, cells that wrap, rows that go on over the page.

use super::mark::Mark;
use super::page::{Block, Role};
use super::style::{Ink, Layer, Pen};
use super::text::{self, Across, CAP_HEIGHT, Face, LINE_PITCH, Text};
use super::{Rect, Spot, path};

/// How a column stands.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub enum Align {
    /// Words: from the left.
    #[default]
    Left,
    /// Numbers: to the right, so that digits stand below each other.
    Right,
}

/// A column.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct Column {
    /// Its heading, with the unit.
    pub heading: String,
    /// How it stands.
    pub align: Align,
}

impl Column {
    /// A column of words.
    #[must_use]
    pub fn words(heading: impl Into<String>) -> Self {
        Self { heading: heading.into(), align: Align::Left }
    }

    /// A column of numbers.
    #[must_use]
    pub fn numbers(heading: impl Into<String>) -> Self {
        Self { heading: heading.into(), align: Align::Right }
    }
}

/// A table: drawn on sheets, and exported as plain rows.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct Table {
    /// What it lists.
    pub title: String,
    /// Its columns.
    pub columns: Vec<Column>,
    /// Its rows, a text for each column.
    pub rows: Vec<Vec<String>>,
}

impl Table {
    /// An empty table.
    #[must_use]
    pub fn new(title: impl Into<String>, columns: Vec<Column>) -> Self {
        Self { title: title.into(), columns, rows: Vec::new() }
    }

    /// Adds a row.
    pub fn row(&mut self, cells: impl IntoIterator<Item = impl Into<String>>) {
        self.rows.push(cells.into_iter().map(Into::into).collect());
    }
}

/// How a table is drawn.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct TableStyle {
    /// Text size.
    pub size: f64,
    /// Layer.
    pub layer: Layer,
    /// Number of the table on its page, for readers.
    pub number: u32,
}

/// A part of a table as drawn.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct TablePart {
    /// What stands on the page.
    pub blocks: Vec<Block>,
    /// The first row that did not fit; the number of rows when all did.
    pub next_row: usize,
    /// Where it ends, in points from the top of the page.
    pub bottom: f64,
    /// Its right end.
    pub right: f64,
}

/// Space left and right of a cell's text, in points.
const PAD: f64 = 4.0;

struct Layout {
    widths: Vec<f64>,
    style: TableStyle,
}

/// Draws the rows from `from_row` on into `room` (title, headings, rows), as many as fit. At
/// least the title, the headings and one row must fit, else nothing is drawn and `next_row` is
/// `from_row`.
#[must_use]
pub fn draw(table: &Table, from_row: usize, room: Rect, style: TableStyle) -> TablePart {
    let layout = Layout { widths: column_widths(table, room.width(), style.size), style };
    let right = room.x0 + layout.widths.iter().sum::<f64>();
    let nothing = TablePart { next_row: from_row, bottom: room.y0, right, ..TablePart::default() };
    let line = style.size * LINE_PITCH;
    let title =
        if from_row > 0 { format!("{}, continued", table.title) } else { table.title.clone() };
    let title = text::wrap(&title, Face::Bold, style.size * 1.1, room.width());
    let mut y = room.y0;
    let mut blocks = Vec::new();
    if title.iter().any(|line| !line.is_empty()) {
        let pitch = line * 1.1;
        let marks = title.iter().enumerate().map(|(place, words)| {
            let at = Spot::new(room.x0, y + style.size * 0.85 + pitch * place as f64);
            Mark::text(style.layer, Text::new(at, style.size * 1.1, words.as_str()).bold())
        });
        blocks.push(Block { role: Role::Heading, marks: marks.collect() });
        y += pitch * title.len() as f64 + style.size * 0.15;
    }
    let headings: Vec<String> = table.columns.iter().map(|column| column.heading.clone()).collect();
    let top = y;
    let mut rules = vec![y];
    y = layout.row(table, &headings, 0, Spot::new(room.x0, y), &mut blocks);
    rules.push(y);
    let mut next_row = from_row;
    for (place, row) in table.rows.iter().enumerate().skip(from_row) {
        let mut cells = Vec::new();
        let number = u32::try_from(place).unwrap_or(u32::MAX).saturating_add(1);
        let bottom = layout.row(table, row, number, Spot::new(room.x0, y), &mut cells);
        if bottom > room.y1 {
            break;
        }
        blocks.extend(cells);
        y = bottom;
        rules.push(y);
        next_row = place + 1;
    }
    if next_row == from_row && from_row < table.rows.len() || y > room.y1 {
        return nothing;
    }
    blocks.push(layout.rules(&rules, top, room.x0, right));
    TablePart { blocks, next_row, bottom: y, right }
}

/// How high a table would be from a row on, in points, when it had all the room it wants.
#[must_use]
pub fn height(table: &Table, from_row: usize, width: f64, style: TableStyle) -> f64 {
    draw(table, from_row, Rect::new(0.0, 0.0, width, f64::MAX), style).bottom
}

impl Layout {
    /// One row from `at` (its upper left corner); gives its lower end.
    fn row(
        &self,
        table: &Table,
        cells: &[String],
        number: u32,
        at: Spot,
        blocks: &mut Vec<Block>,
    ) -> f64 {
        let TableStyle { size, layer, number: table_number } = self.style;
        let is_heading = number == 0;
        let face = if is_heading { Face::Bold } else { Face::Regular };
        let (mut x, mut most) = (at.x, 1);
        for ((column, &width), cell) in table.columns.iter().zip(&self.widths).zip(cells) {
            let lines = text::wrap(cell, face, size, width - PAD * 2.0);
            let marks: Vec<Mark> = lines
                .iter()
                .enumerate()
                .filter(|(_, words)| !words.is_empty())
                .map(|(line, words)| {
                    let y = at.y + size * (CAP_HEIGHT + 0.28) + size * LINE_PITCH * line as f64;
                    let mut text = Text::new(Spot::new(x + PAD, y), size, words.as_str());
                    text.face = face;
                    if column.align == Align::Right {
                        text.at.x = x + width - PAD;
                        text.across = Across::End;
                    }
                    Mark::text(layer, text)
                })
                .collect();
            most = most.max(lines.len());
            let role = Role::Cell { table: table_number, row: number, is_heading };
            blocks.push(Block { role, marks });
            x += width;
        }
        at.y + size * LINE_PITCH * most as f64 + size * 0.2
    }

    fn rules(&self, rules: &[f64], top: f64, left: f64, right: f64) -> Block {
        let layer = self.style.layer;
        let bottom = rules.last().copied().unwrap_or(top);
        let mut marks: Vec<Mark> = rules
            .iter()
            .enumerate()
            .map(|(place, &y)| {
                let pen = if place < 2 || place + 1 == rules.len() {
                    Pen::THIN
                } else {
                    Pen::HAIR.inked(Ink::MidGray)
                };
                Mark::stroke(layer, path::line(Spot::new(left, y), Spot::new(right, y)), pen)
            })
            .collect();
        let mut x = left;
        let inner = self.widths.len().saturating_sub(1);
        for width in self.widths.iter().take(inner) {
            x += width;
            let pen = Pen::HAIR.inked(Ink::MidGray);
            marks.push(Mark::stroke(
                layer,
                path::line(Spot::new(x, top), Spot::new(x, bottom)),
                pen,
            ));
        }
        Block { role: Role::Artifact, marks }
    }
}

/// Widths of the columns: as wide as the longest cell where that fits; else the room left beyond
/// the longest words is shared by what each column lacks.
fn column_widths(table: &Table, room: f64, size: f64) -> Vec<f64> {
    let cells = |place: usize| {
        let heading = table.columns.get(place).map(|column| (column.heading.as_str(), Face::Bold));
        let rows = table.rows.iter().filter_map(move |row| row.get(place));
        heading.into_iter().chain(rows.map(|cell| (cell.as_str(), Face::Regular)))
    };
    let (mut wants, mut needs) = (Vec::new(), Vec::new());
    for place in 0..table.columns.len() {
        let (mut want, mut need) = (0.0_f64, 0.0_f64);
        for (cell, face) in cells(place) {
            for line in cell.lines() {
                want = want.max(text::width(line, face, size));
            }
            for word in cell.split_whitespace() {
                need = need.max(text::width(word, face, size));
            }
        }
        // A hair more than the longest text, so that rounding never breaks a line that fits.
        wants.push(want + PAD * 2.0 + 0.01);
        needs.push(need + PAD * 2.0 + 0.01);
    }
    let (all_want, all_need): (f64, f64) = (wants.iter().sum(), needs.iter().sum());
    if all_want <= room {
        return wants;
    }
    if all_need >= room {
        // Even single words do not fit: every column gives in the same share, words break.
        return needs.iter().map(|width| width * room / all_need).collect();
    }
    let share = (room - all_need) / (all_want - all_need).max(1e-9);
    wants.iter().zip(&needs).map(|(want, need)| need + (want - need) * share).collect()
}

#[cfg(test)]
mod tests {
    use super::super::page::{Page, PaperSize};
    use super::*;

    fn sample(rows: usize) -> Table {
        let mut table = Table::new(
            "Cut list",
            vec![Column::words("Piece"), Column::numbers("Length, ft"), Column::words("Note")],
        );
        for row in 0..rows {
            table.row([
                format!("{row}"),
                format!("{row}.25"),
                "cut from the offcut of the board before, see the plan for its place".to_owned(),
            ]);
        }
        table
    }

    #[test]
    fn a_long_table_goes_on_and_loses_no_row() {
        let table = sample(40);
        let style = TableStyle { size: 9.0, layer: Layer("Tables"), number: 0 };
        let (mut row, mut pages) = (0, 0);
        while row < table.rows.len() {
            let part = draw(&table, row, Rect::new(36.0, 36.0, 240.0, 300.0), style);
            assert!(part.next_row > row, "{row} {pages}");
            assert!(part.bottom <= 300.0 && part.right <= 240.01, "{} {}", part.bottom, part.right);
            let mut page = Page::new(PaperSize::inches("letter", 8.5, 11.0), "Table");
            page.blocks = part.blocks;
            assert_eq!(page.faults(), []);
            row = part.next_row;
            pages += 1;
        }
        assert!(pages > 2);
    }

    #[test]
    fn a_table_without_room_draws_nothing() {
        let style = TableStyle { size: 9.0, layer: Layer("Tables"), number: 0 };
        let part = draw(&sample(3), 0, Rect::new(0.0, 0.0, 200.0, 20.0), style);
        assert_eq!((part.next_row, part.blocks.len()), (0, 0));
    }
}
