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
/// Space between parts of a table that stand abreast, in points.
const ABREAST_GAP: f64 = 10.0;

#[derive(Clone)]
struct Layout {
    widths: Vec<f64>,
    style: TableStyle,
}

/// Draws the rows from `from_row` on into `room` (title, headings, rows), as many as fit. At
/// least the title, the headings and one row must fit, else nothing is drawn and `next_row` is
/// `from_row`. A narrow table with many rows stands in parts abreast, as even as its rows allow.
#[must_use]
pub fn draw(table: &Table, from_row: usize, room: Rect, style: TableStyle) -> TablePart {
    let layout = Layout { widths: column_widths(table, room.width(), style.size), style };
    let wide: f64 = layout.widths.iter().sum();
    let (mut blocks, top) = layout.title(table, from_row, room);
    let count = parts_abreast(wide, room.width(), table.rows.len().saturating_sub(from_row));
    let limit = layout.even_bottom(table, from_row, (top, room.y1), count);
    let mut whole =
        TablePart { next_row: from_row, bottom: top, right: room.x0 + wide, ..Default::default() };
    for place in 0..count {
        let left = room.x0 + (wide + ABREAST_GAP) * f64::from(place);
        let number = style.number.saturating_add(place);
        let layout = Layout { style: TableStyle { number, ..style }, ..layout.clone() };
        let here = Rect::new(left, top, left + wide, limit);
        let part = layout.part(table, whole.next_row, here);
        if part.next_row == whole.next_row && !(table.rows.is_empty() && part.bottom <= room.y1) {
            break;
        }
        blocks.extend(part.blocks);
        whole.next_row = part.next_row;
        whole.bottom = whole.bottom.max(part.bottom);
        whole.right = part.right;
    }
    if whole.bottom > top {
        whole.blocks = blocks;
    } else {
        whole.bottom = room.y0;
    }
    whole
}

/// How many parts of a width stand abreast for so many rows.
fn parts_abreast(wide: f64, room: f64, rows: usize) -> u32 {
    const LEAST_ROWS: usize = 3;
    let by_room = ((room + ABREAST_GAP) / (wide + ABREAST_GAP)).floor().clamp(1.0, 6.0);
    let by_rows = u32::try_from(rows / LEAST_ROWS).unwrap_or(u32::MAX).max(1);
    #[expect(clippy::cast_possible_truncation, reason = "between 1 and 6")]
    #[expect(clippy::cast_sign_loss, reason = "between 1 and 6")]
    let by_room = by_room as u32;
    by_room.min(by_rows)
}

/// How high a table would be from a row on, in points, when it had all the room it wants.
#[must_use]
pub fn height(table: &Table, from_row: usize, width: f64, style: TableStyle) -> f64 {
    draw(table, from_row, Rect::new(0.0, 0.0, width, f64::MAX), style).bottom
}

impl Layout {
    /// The table's title, wrapped; gives its lower end.
    fn title(&self, table: &Table, from_row: usize, room: Rect) -> (Vec<Block>, f64) {
        let TableStyle { size, layer, .. } = self.style;
        let words =
            if from_row > 0 { format!("{}, continued", table.title) } else { table.title.clone() };
        let lines = text::wrap(&words, Face::Bold, size * 1.1, room.width());
        if lines.iter().all(String::is_empty) {
            return (Vec::new(), room.y0);
        }
        let pitch = size * LINE_PITCH * 1.1;
        let marks = lines.iter().enumerate().map(|(place, words)| {
            let at = Spot::new(room.x0, room.y0 + size * 0.85 + pitch * place as f64);
            Mark::text(layer, Text::new(at, size * 1.1, words.as_str()).bold())
        });
        let block = Block { role: Role::Heading, marks: marks.collect() };
        (vec![block], room.y0 + pitch * lines.len() as f64 + size * 0.15)
    }

    /// Headings and the rows from one on that fit; without a row that fits, `next_row` is that one.
    fn part(&self, table: &Table, from_row: usize, room: Rect) -> TablePart {
        let (left, top) = (room.x0, room.y0);
        let mut blocks = Vec::new();
        let mut y = self.row(table, &headings(table), 0, Spot::new(left, top), &mut blocks);
        let mut rules = vec![top, y];
        let mut next_row = from_row;
        for (place, row) in table.rows.iter().enumerate().skip(from_row) {
            let mut cells = Vec::new();
            let number = u32::try_from(place).unwrap_or(u32::MAX).saturating_add(1);
            let bottom = self.row(table, row, number, Spot::new(left, y), &mut cells);
            if bottom > room.y1 {
                break;
            }
            blocks.extend(cells);
            y = bottom;
            rules.push(y);
            next_row = place + 1;
        }
        blocks.push(self.rules(&rules, top, left, room.x1));
        TablePart { blocks, next_row, bottom: y, right: room.x1 }
    }

    /// The least lower end at which so many parts abreast hold all rows; the room's own when even
    /// that does not hold them.
    fn even_bottom(
        &self,
        table: &Table,
        from_row: usize,
        (top, most): (f64, f64),
        count: u32,
    ) -> f64 {
        if count < 2 {
            return most;
        }
        let height = |cells: &[String], face| self.row_height(table, cells, face);
        let heading = height(&headings(table), Face::Bold);
        let rows: Vec<f64> =
            table.rows.iter().skip(from_row).map(|row| height(row, Face::Regular)).collect();
        let room = most - top - heading;
        let mut least = rows.iter().sum::<f64>() / f64::from(count);
        while least < room {
            let (mut parts, mut filled) = (1, 0.0);
            for &row in &rows {
                if filled + row > least + 1e-6 && filled > 0.0 {
                    parts += 1;
                    filled = 0.0;
                }
                filled += row;
            }
            if parts <= count && rows.iter().all(|&row| row <= least + 1e-6) {
                return top + heading + least + 1e-6;
            }
            least += self.style.size * 0.5;
        }
        most
    }

    /// How high a row is.
    fn row_height(&self, table: &Table, cells: &[String], face: Face) -> f64 {
        let size = self.style.size;
        let lines = table.columns.iter().zip(&self.widths).zip(cells);
        let most = lines
            .map(|((_, width), cell)| text::wrap(cell, face, size, width - PAD * 2.0).len())
            .fold(1, usize::max);
        size * LINE_PITCH * most as f64 + size * 0.2
    }

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

/// The headings of the columns.
fn headings(table: &Table) -> Vec<String> {
    table.columns.iter().map(|column| column.heading.clone()).collect()
}

/// Widths of the columns: as wide as the longest cell where that fits; else the widest columns
/// give way first, so that a short cell beside a long one keeps its line.
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
    let under =
        |most: f64| wants.iter().zip(&needs).map(move |(&want, &need)| want.min(most).max(need));
    // The greatest width at which all columns together fit, by halving: a few dozen steps find it
    // to less than the width of a pen.
    let (mut fits, mut most) = (0.0, room);
    for _ in 0..40 {
        let middle = 0.5 * (fits + most);
        if under(middle).sum::<f64>() <= room {
            fits = middle;
        } else {
            most = middle;
        }
    }
    under(fits).collect()
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
    fn a_narrow_table_stands_in_even_parts_abreast() {
        let mut table =
            Table::new("Corners", vec![Column::words("Corner"), Column::numbers("Off")]);
        for row in 0..11 {
            table.row([format!("{row}"), format!("{row}.5")]);
        }
        let style = TableStyle { size: 9.0, layer: Layer("Tables"), number: 0 };
        let room = Rect::new(36.0, 36.0, 336.0, 500.0);
        let part = draw(&table, 0, room, style);
        let mut page = Page::new(PaperSize::inches("letter", 8.5, 11.0), "Table");
        page.blocks = part.blocks;
        assert_eq!(page.faults(), []);
        assert_eq!(part.next_row, 11);
        assert!(part.right <= room.x1);
        let headings = page.texts().filter(|text| text.content == "Corner").count();
        assert_eq!(headings, 3, "three parts of three and four rows");
        let alone = height(&table, 0, 80.0, style);
        assert!(part.bottom - room.y0 < alone * 0.5, "{} {alone}", part.bottom);
        for row in 0..11 {
            let said = page.texts().filter(|text| text.content == format!("{row}.5")).count();
            assert_eq!(said, 1, "row {row}");
        }
    }

    #[test]
    fn a_short_cell_beside_a_long_one_keeps_its_line() {
        let mut table = Table::new(
            "",
            vec![Column::words("Item"), Column::numbers("N"), Column::words("Unit")],
        );
        table.row(["Concrete of four thousand five hundred pounds, with a reducer", "5", "cu yd"]);
        let widths = column_widths(&table, 200.0, 9.0);
        let line = text::width("cu yd", Face::Regular, 9.0) + PAD * 2.0;
        assert!(widths[2] >= line, "{widths:?}");
        assert!(widths.iter().sum::<f64>() <= 200.0 && widths.iter().sum::<f64>() > 199.0);
    }

    #[test]
    fn a_table_without_room_draws_nothing() {
        let style = TableStyle { size: 9.0, layer: Layer("Tables"), number: 0 };
        let part = draw(&sample(3), 0, Rect::new(0.0, 0.0, 200.0, 20.0), style);
        assert_eq!((part.next_row, part.blocks.len()), (0, 0));
    }
}
