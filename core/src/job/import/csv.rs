//! Corners as a table of x and y, and the reading of such tables.
//!
//! Cells are parted by commas, semicolons, tabs or (where there is none of these) blanks; a cell
//! in double quotes may hold the separator, and a doubled quote in it is one quote (RFC 4180).
//! Lines that are empty or start with `#` are notes. A first line of words is a header and says
//! which column is which. A cell may be a length as people write it (`12'-6"`). The word `opening`
//! alone on a line starts the corners of an opening.

use super::{Imported, RawRing, finish};
use crate::geometry::{Point, polygon};
use crate::job::read_error::{ReadError, TextPlace};
use crate::units::{Length, LengthUnit, parse_length};

/// Reads corners from a table.
///
/// # Errors
/// [`ReadError`] with the line and column of the cell that is no length, or where the shape cannot
/// be a slab.
pub fn read(text: &str, unit: LengthUnit) -> Result<Imported, ReadError> {
    let mut rings = vec![RawRing::default()];
    let mut columns: Option<(usize, usize)> = None;
    let mut has_header = false;
    for row in rows(text) {
        if let [only] = row.cells.as_slice()
            && only.text.eq_ignore_ascii_case("opening")
        {
            rings.push(RawRing::default());
            continue;
        }
        if columns.is_none() {
            if let Some(found) = header(&row)? {
                columns = Some(found);
                has_header = true;
                continue;
            }
            columns = Some((0, 1));
        }
        let (x_column, y_column) = columns.unwrap_or((0, 1));
        let x = row.length(x_column, unit)?;
        let y = row.length(y_column, unit)?;
        let at = Point::new(x.to_inches(), y.to_inches());
        if let Some(ring) = rings.last_mut() {
            ring.points.push((at, Some(row.place)));
        }
        if rings.iter().map(|ring| ring.points.len()).sum::<usize>() > super::MOST_POINTS {
            return Err(ReadError::at(
                row.place,
                "There are too many corners",
                "Simplify the outline first",
            ));
        }
    }
    if rings.iter().all(|ring| ring.points.is_empty()) {
        return Err(ReadError::whole(
            "There are no corners in it",
            "Write one corner a line, as x,y",
        ));
    }
    let mut notes = Vec::new();
    let corners: Vec<Point> = rings
        .first()
        .map(|ring| ring.points.iter().map(|&(at, _)| at).collect())
        .unwrap_or_default();
    if !has_header && polygon::signed_area(&corners) < 0.0 {
        notes.push(
            "The corners run clockwise: if the file has north before east, the slab is mirrored; \
             name the columns in a first line (x,y or north,east) to be sure"
                .to_owned(),
        );
    }
    finish(rings, notes)
}

/// The columns of x and y when this row is a header.
fn header(row: &Row) -> Result<Option<(usize, usize)>, ReadError> {
    if !row.is_header() {
        return Ok(None);
    }
    let x = row.column_named(&["x", "e", "east", "easting"]);
    let y = row.column_named(&["y", "n", "north", "northing"]);
    match (x, y) {
        (Some(x), Some(y)) => Ok(Some((x, y))),
        _ => Err(ReadError::at(
            row.place,
            "The header names no columns of x and y",
            "Name them x,y or east,north",
        )),
    }
}

/// One cell with its place.
pub(super) struct Cell {
    pub(super) text: String,
    pub(super) place: TextPlace,
}

/// One line of a table.
pub(super) struct Row {
    pub(super) cells: Vec<Cell>,
    pub(super) place: TextPlace,
}

impl Row {
    /// Whether the line names columns: its first cell with letters does not start as a number does.
    pub(super) fn is_header(&self) -> bool {
        self.cells.iter().all(|cell| {
            !cell.text.starts_with(|first: char| first.is_ascii_digit() || "+-−.".contains(first))
        }) && self.cells.iter().any(|cell| !cell.text.is_empty())
    }

    /// The first column with one of these names, units and case aside: `East_ft` is `east`.
    pub(super) fn column_named(&self, names: &[&str]) -> Option<usize> {
        self.cells.iter().position(|cell| {
            let name = cell.text.to_lowercase();
            let bare = name.split(['_', '(', '[', ' ']).next().unwrap_or_default();
            names.contains(&bare)
        })
    }

    /// The length in a column.
    pub(super) fn length(&self, column: usize, unit: LengthUnit) -> Result<Length, ReadError> {
        let Some(cell) = self.cells.get(column) else {
            return Err(ReadError::at(
                self.place,
                format!(
                    "The line has {} cells, and cell {} is needed",
                    self.cells.len(),
                    column + 1
                ),
                "Part the cells by commas",
            ));
        };
        parse_length(&cell.text, unit).map_err(|error| {
            let place = TextPlace { column: cell.place.column + error.at, ..cell.place };
            ReadError::at(place, error.message, "Write lengths as 12.5 or 12'-6\"")
        })
    }
}

/// The lines of a table that hold something.
pub(super) fn rows(text: &str) -> impl Iterator<Item = Row> {
    let text = text.trim_start_matches('\u{feff}');
    text.lines().enumerate().filter_map(|(number, line)| {
        let trimmed = line.trim();
        if trimmed.is_empty() || trimmed.starts_with('#') {
            return None;
        }
        let place = TextPlace { line: number + 1, column: 1 };
        Some(Row { cells: cells(line, place), place })
    })
}

fn cells(line: &str, start: TextPlace) -> Vec<Cell> {
    let separator = [',', ';', '\t'].into_iter().find(|&separator| line.contains(separator));
    let mut cells: Vec<Cell> = Vec::new();
    let mut cell = Cell { text: String::new(), place: start };
    let mut is_quoted = false;
    let mut characters = line.chars().enumerate().peekable();
    while let Some((at, character)) = characters.next() {
        let next = characters.peek().map(|&(_, next)| next);
        let ends_cell = match separator {
            Some(separator) => character == separator,
            None => character.is_whitespace(),
        };
        if is_quoted && character == '"' && next == Some('"') {
            cell.text.push('"');
            characters.next();
        } else if is_quoted && character == '"' {
            is_quoted = false;
        } else if !is_quoted && character == '"' && cell.text.trim().is_empty() {
            is_quoted = true;
            cell.text.clear();
        } else if ends_cell && !is_quoted {
            let place = TextPlace { column: at + 2, ..start };
            let done = std::mem::replace(&mut cell, Cell { text: String::new(), place });
            cells.push(done);
        } else {
            cell.text.push(character);
        }
    }
    cells.push(cell);
    for cell in &mut cells {
        let leading = cell.text.chars().take_while(|next| next.is_whitespace()).count();
        cell.place.column += leading;
        cell.text = cell.text.trim().to_owned();
    }
    if separator.is_none() {
        // Blanks in a row part cells once.
        cells.retain(|cell| !cell.text.is_empty());
    }
    cells
}
