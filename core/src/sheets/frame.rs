//! The paper, the frame and the title block that every sheet has.
//!
//! The title block is our own, with the fields of ISO 7200 (secondary source) that a slab needs:
//! owner, title, sheet number and count, date, creator, scale, revision; and the printer check.

use super::pieces::{self, Piece};
use crate::drawing::page::{Page, PaperSize, Role};
use crate::drawing::text::{self, Face, NOTE_SIZE, Text};
use crate::drawing::{Layer, Mark, Pen, Rect, Scale, Spot, path, symbol};
use crate::job::Job;
use crate::job::sheet_set::Paper;

/// Frame and title block.
pub const FRAME: Layer = Layer("Frame");

/// Margin that every printer keeps, in points: half an inch.
const MARGIN: f64 = 36.0;
/// Height of the title block: the square that checks the printer is an inch high.
const STRIP: f64 = 86.0;
/// Space between the frame and what stands in it.
const INSET: f64 = 10.0;

/// A sheet before it knows its number in the set.
#[derive(Clone, Debug, PartialEq)]
pub struct Draft {
    /// The page so far.
    pub page: Page,
    /// The scale of its plan; "not to scale" when absent.
    pub scale: Option<Scale>,
    /// How far its plan is turned, radians counter-clockwise as seen; no north without a plan.
    pub turned: Option<f64>,
}

impl Draft {
    /// An empty sheet.
    #[must_use]
    pub fn new(job: &Job, title: impl Into<String>) -> Self {
        Self { page: Page::new(paper(job), title), scale: None, turned: None }
    }

    /// The room inside frame and title block.
    #[must_use]
    pub fn body(&self) -> Rect {
        let sheet = self.page.size;
        Rect::new(
            MARGIN + INSET,
            MARGIN + INSET,
            sheet.width - MARGIN - INSET,
            sheet.height - MARGIN - STRIP - INSET,
        )
    }
}

/// The paper of a job's sheets, long side across.
#[must_use]
pub fn paper(job: &Job) -> PaperSize {
    match job.sheet_set.paper {
        Paper::Letter => PaperSize::inches("Letter", 8.5, 11.0),
        Paper::Legal => PaperSize::inches("Legal", 8.5, 14.0),
        Paper::Tabloid => PaperSize::inches("Tabloid", 11.0, 17.0),
        Paper::AnsiC => PaperSize::inches("ANSI C", 17.0, 22.0),
        Paper::AnsiD => PaperSize::inches("ANSI D", 22.0, 34.0),
        Paper::A4 => PaperSize::millimeters("A4", 210.0, 297.0),
        Paper::A3 => PaperSize::millimeters("A3", 297.0, 420.0),
        Paper::A2 => PaperSize::millimeters("A2", 420.0, 594.0),
        Paper::A1 => PaperSize::millimeters("A1", 594.0, 841.0),
    }
    .landscape()
}

/// How wide a column of notes is on this paper, in points.
#[must_use]
pub fn column_width(job: &Job) -> f64 {
    match job.sheet_set.paper {
        Paper::Letter | Paper::A4 => 226.0,
        Paper::Legal => 250.0,
        Paper::Tabloid | Paper::A3 => 292.0,
        Paper::AnsiC | Paper::AnsiD | Paper::A2 | Paper::A1 => 330.0,
    }
}

/// Sheets that carry on what did not fit, in as many columns as the paper has.
#[must_use]
pub fn continued(job: &Job, title: &str, mut rest: Vec<Piece>) -> Vec<Draft> {
    const GUTTER: f64 = 18.0;
    let mut drafts = Vec::new();
    while !rest.is_empty() {
        let mut draft = Draft::new(job, format!("{title}, continued"));
        let body = draft.body();
        let columns = (body.width() / (column_width(job) + GUTTER)).floor().clamp(1.0, 12.0);
        let width = (body.width() - GUTTER * (columns - 1.0)) / columns;
        let before = rest.clone();
        let mut column = 0.0;
        while column < columns && !rest.is_empty() {
            let x = body.x0 + (width + GUTTER) * column;
            let room = Rect::new(x, body.y0, x + width, body.y1);
            let cards = pieces::cards_left(&rest);
            rest = pieces::fill_wide(&mut draft.page, rest, room, body.x1);
            if pieces::cards_left(&rest) < cards {
                // Rows of drawings went on over the columns to the right.
                break;
            }
            column += 1.0;
        }
        if rest == before {
            // A piece higher than a sheet: it is cut down rather than tried for ever.
            cut_down(&mut rest);
            continue;
        }
        drafts.push(draft);
    }
    drafts
}

/// Shortens what no sheet can hold: texts of a table row to a line each, other pieces away.
fn cut_down(rest: &mut Vec<Piece>) {
    if let Some(Piece::Table(table, from)) = rest.first_mut()
        && let Some(row) = table.rows.get_mut(*from)
        && row.iter().any(|cell| cell.chars().count() > 40)
    {
        for cell in row {
            *cell = cell.chars().take(40).collect();
        }
    } else if let Some(Piece::Cards(all, from)) = rest.first_mut()
        && *from + 1 < all.cards.len()
    {
        *from += 1;
    } else if !rest.is_empty() {
        rest.remove(0);
    }
}

/// Frame and title block of sheet `number` of `count`.
pub fn finish(draft: &mut Draft, job: &Job, number: usize, count: usize) {
    draft.page.number = format!("S{number}");
    draft.page.to_scale = draft.scale.map(|scale| (draft.body(), scale));
    let sheet = draft.page.size;
    let outer = Rect::new(MARGIN, MARGIN, sheet.width - MARGIN, sheet.height - MARGIN);
    let top = outer.y1 - STRIP;
    let mut marks = vec![
        Mark::stroke(FRAME, path::rectangle(outer), Pen::HEAVY),
        Mark::stroke(
            FRAME,
            path::line(Spot::new(outer.x0, top), Spot::new(outer.x1, top)),
            Pen::WIDE,
        ),
    ];
    // Shares of what the check square (fixed) leaves; the middle cells take the rest.
    let room = outer.width() - 86.0;
    let cells = [0.21, 0.27, 0.29, 0.23].map(|share| share * room);
    let mut x = outer.x0;
    let mut words = Vec::new();
    for (place, width) in cells.into_iter().enumerate() {
        let cell = Rect::new(x + 6.0, top + 6.0, x + width - 6.0, outer.y1 - 5.0);
        match place {
            0 => words.extend(company(job, cell)),
            1 => words.extend(job_cell(job, cell)),
            2 => words.extend(sheet_cell(draft, job, cell, (number, count))),
            _ => marks.extend(scale_cell(draft, job, cell)),
        }
        x += width;
        marks.push(Mark::stroke(
            FRAME,
            path::line(Spot::new(x, top), Spot::new(x, outer.y1)),
            Pen::THIN,
        ));
    }
    let square = Spot::new(x + 7.0, top + 7.0);
    marks.extend(symbol::check_square(FRAME, square, &["this square", "is 1 in", "a side"]));
    draft.page.add(Role::Paragraph, words);
    draft.page.add(Role::Artifact, marks);
}

/// Lines from the top of a cell, each cut to its width; those below its end are left out. A line
/// larger than notes gives way in size before it is cut.
fn stack(cell: Rect, rows: &[(String, Face, f64)]) -> Vec<Mark> {
    let mut y = cell.y0;
    let mut marks = Vec::new();
    for (words, face, size) in rows {
        let full = text::width(words, *face, *size);
        let size = if full > cell.width() {
            (size * cell.width() / full).max(size.min(NOTE_SIZE))
        } else {
            *size
        };
        y += size * text::CAP_HEIGHT;
        if y + size * text::DESCENT > cell.y1 + 2.0 {
            break;
        }
        if !words.is_empty() {
            let words = text::fitted(words, *face, size, cell.width());
            let text = Text { face: *face, ..Text::new(Spot::new(cell.x0, y), size, words) };
            marks.push(Mark::text(FRAME, text));
        }
        y += size * 0.55;
    }
    marks
}

fn company(job: &Job, cell: Rect) -> Vec<Mark> {
    let mut rows: Vec<(String, Face, f64)> = Vec::new();
    for (place, line) in job.sheet_set.company_lines.iter().take(4).enumerate() {
        let face = if place == 0 { Face::Bold } else { Face::Regular };
        rows.push((line.clone(), face, NOTE_SIZE));
    }
    if !job.facts.drawn_by.is_empty() {
        rows.push((format!("Drawn: {}", job.facts.drawn_by), Face::Regular, NOTE_SIZE));
    }
    stack(cell, &rows)
}

fn job_cell(job: &Job, cell: Rect) -> Vec<Mark> {
    let facts = &job.facts;
    let title = if facts.title.is_empty() { "Slab" } else { &facts.title };
    let with = |name: &str, value: &str| {
        if value.is_empty() { String::new() } else { format!("{name} {value}") }
    };
    let number_and_date: Vec<String> = [with("Job", &facts.number), date_and_revision(job)]
        .into_iter()
        .filter(|words| !words.is_empty())
        .collect();
    // A place often needs two lines on narrow paper.
    let mut place = text::wrap(&facts.place, Face::Regular, NOTE_SIZE, cell.width());
    if place.len() > 2 {
        place = vec![facts.place.clone()];
    }
    let notes = place
        .into_iter()
        .chain([with("For", &facts.customer), number_and_date.join(", ")])
        .filter(|words| !words.is_empty())
        .map(|words| (words, Face::Regular, NOTE_SIZE));
    let title = (title.to_owned(), Face::Bold, NOTE_SIZE * 1.2);
    let rows: Vec<(String, Face, f64)> = std::iter::once(title).chain(notes).collect();
    stack(cell, &rows)
}

fn date_and_revision(job: &Job) -> String {
    let date = &job.facts.date;
    match job.sheet_set.revisions.len() {
        0 => date.clone(),
        count => format!("{date}  revision {count}"),
    }
}

fn sheet_cell(draft: &Draft, job: &Job, cell: Rect, (number, count): (usize, usize)) -> Vec<Mark> {
    let scale = match draft.scale {
        Some(scale) => format!("Scale {} on {}", scale.label(), draft.page.size.name),
        None => format!("Not to scale, {}", draft.page.size.name),
    };
    let state = if job.facts.is_checked {
        ("Checked against site and code".to_owned(), Face::Regular, NOTE_SIZE)
    } else {
        ("NOT FOR CONSTRUCTION UNTIL CHECKED".to_owned(), Face::Bold, NOTE_SIZE * 0.94)
    };
    let rows = [
        (draft.page.title.clone(), Face::Bold, NOTE_SIZE * 1.35),
        (format!("Sheet S{number} of {count}"), Face::Regular, NOTE_SIZE),
        (scale, Face::Regular, NOTE_SIZE),
        state,
    ];
    let mut marks = stack(cell, &rows);
    if !job.facts.is_checked
        && let Some(last) = marks.pop()
    {
        // The long warning may need two lines on narrow paper.
        if let crate::drawing::Shape::Text(text) = &last.shape {
            let size = text.size;
            let at = Spot::new(cell.x0, text.at.y - size * text::CAP_HEIGHT);
            let words = "NOT FOR CONSTRUCTION UNTIL CHECKED";
            let (lines, _) = pieces::lines(words, Face::Bold, size, at, cell.width());
            marks.extend(lines);
        }
    }
    marks
}

fn scale_cell(draft: &Draft, job: &Job, cell: Rect) -> Vec<Mark> {
    let mut marks = Vec::new();
    let north_side = 62.0;
    if let Some(turned) = draft.turned {
        let at = Spot::new(cell.x1 - north_side / 2.0, cell.y0 + 40.0);
        let north = job.facts.display.north_degrees - turned.to_degrees();
        marks.extend(symbol::north(FRAME, at, north_side, north));
    }
    if let Some(scale) = draft.scale {
        let room = cell.width() - north_side - 8.0;
        let at = Spot::new(cell.x0, cell.y0 + 30.0);
        marks.extend(symbol::scale_bar(FRAME, at, scale, room));
    }
    marks
}
