//! Survey shots from a table: point number, northing, easting, height, note.
//!
//! Surveyors' point files have no header as a rule and come in two orders, north first or east
//! first; read in the wrong one the ground is mirrored. A header settles it; without one the
//! order that the user names is taken, else north first, with a note that says so. Three columns
//! are taken as x, y and height. A rod reading is the distance from the line of sight down to the
//! ground: height is the instrument's height less the reading.

use super::csv::{Row, rows};
use crate::geometry::{Point, Vector};
use crate::job::ids::{IdSource, ShotId};
use crate::job::read_error::ReadError;
use crate::job::subgrade::Shot;
use crate::units::{Length, LengthUnit};

/// Which of the two plan columns comes first.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum ShotOrder {
    /// Number, north, east, height, note.
    NorthEast,
    /// Number, east, north, height, note.
    EastNorth,
}

/// What the height column holds.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum HeightColumn {
    /// Heights of the ground.
    Heights,
    /// Rod readings, with the height of the instrument's line of sight.
    RodReadings(Length),
}

/// How to read a table of shots.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct ShotOptions {
    /// The unit of bare numbers.
    pub unit: LengthUnit,
    /// The order of the plan columns where no header tells it; north first when absent.
    pub order: Option<ShotOrder>,
    /// What the height column holds.
    pub heights: HeightColumn,
    /// Added to every place: the shift that the outline of the same survey was given.
    pub shift: Vector,
}

impl Default for ShotOptions {
    fn default() -> Self {
        Self {
            unit: LengthUnit::Feet,
            order: None,
            heights: HeightColumn::Heights,
            shift: Vector::default(),
        }
    }
}

/// Shots as read.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct ImportedShots {
    /// The shots in the order of the file.
    pub shots: Vec<Shot>,
    /// What the user should know, in words.
    pub notes: Vec<String>,
}

/// Which column holds what.
#[derive(Clone, Copy)]
struct Columns {
    name: Option<usize>,
    east: usize,
    north: usize,
    height: usize,
    note: Option<usize>,
    is_rod: bool,
}

/// Reads a table of shots; ids come from `ids`.
///
/// # Errors
/// [`ReadError`] with the line and column of the cell that is no length.
pub fn read(
    text: &str,
    options: ShotOptions,
    ids: &mut IdSource,
) -> Result<ImportedShots, ReadError> {
    let mut read = ImportedShots::default();
    let mut columns: Option<Columns> = None;
    for row in rows(text) {
        let columns = match columns {
            Some(columns) => columns,
            None if row.is_header() => {
                let named = named_columns(&row)?;
                if named.is_rod && options.heights == HeightColumn::Heights {
                    read.notes.push(
                        "The heights are rod readings, and no instrument height is given: heights \
                         are measured down from the line of sight"
                            .to_owned(),
                    );
                }
                columns = Some(named);
                continue;
            }
            None => {
                let guessed = usual_columns(&row, options.order);
                if options.order.is_none() && guessed.name.is_some() {
                    read.notes.push(
                        "No header tells the order of columns: north was taken first, then east; \
                         if the ground looks mirrored, read the file east first"
                            .to_owned(),
                    );
                }
                *columns.insert(guessed)
            }
        };
        let shot = shot(&row, columns, &options, ids)?;
        read.shots.push(shot);
        if read.shots.len() > super::MOST_POINTS {
            return Err(ReadError::at(
                row.place,
                "There are too many shots",
                "Thin them out first",
            ));
        }
    }
    if read.shots.is_empty() {
        return Err(ReadError::whole(
            "There are no shots in it",
            "Write one shot a line: number, north, east, height, note",
        ));
    }
    Ok(read)
}

fn shot(
    row: &Row,
    columns: Columns,
    options: &ShotOptions,
    ids: &mut IdSource,
) -> Result<Shot, ReadError> {
    let east = row.length(columns.east, options.unit)?;
    let north = row.length(columns.north, options.unit)?;
    let reading = row.length(columns.height, options.unit)?;
    let height = match options.heights {
        HeightColumn::RodReadings(instrument) => instrument - reading,
        HeightColumn::Heights if columns.is_rod => Length::ZERO - reading,
        HeightColumn::Heights => reading,
    };
    let text = |column: Option<usize>| {
        column
            .and_then(|column| row.cells.get(column))
            .map_or_else(String::new, |cell| cell.text.clone())
    };
    // A note may itself hold commas: it is everything from its column on.
    let note = match columns.note {
        Some(column) => {
            let parts: Vec<&str> =
                row.cells.iter().skip(column).map(|cell| cell.text.as_str()).collect();
            parts.join(", ").trim_end_matches([',', ' ']).to_owned()
        }
        None => String::new(),
    };
    Ok(Shot {
        id: ids.fresh::<ShotId>(),
        name: text(columns.name),
        at: Point::new(east.to_inches(), north.to_inches()) + options.shift,
        height,
        note,
    })
}

fn named_columns(row: &Row) -> Result<Columns, ReadError> {
    let east = row.column_named(&["x", "e", "east", "easting"]);
    let north = row.column_named(&["y", "n", "north", "northing"]);
    let height = row.column_named(&["z", "height", "elevation", "elev", "el", "h"]);
    let rod = row.column_named(&["rod", "reading", "fs", "foresight"]);
    let (Some(east), Some(north), Some(height_column)) = (east, north, height.or(rod)) else {
        return Err(ReadError::at(
            row.place,
            "The header does not name east, north and height",
            "Name the columns number,north,east,height,note; a rod reading is named rod",
        ));
    };
    Ok(Columns {
        name: row.column_named(&["number", "point", "name", "id", "no", "p"]),
        east,
        north,
        height: height_column,
        note: row.column_named(&["note", "notes", "description", "desc", "code", "d"]),
        is_rod: height.is_none(),
    })
}

fn usual_columns(row: &Row, order: Option<ShotOrder>) -> Columns {
    if row.cells.len() <= 3 {
        let (east, north) = match order {
            Some(ShotOrder::NorthEast) => (1, 0),
            Some(ShotOrder::EastNorth) | None => (0, 1),
        };
        return Columns { name: None, east, north, height: 2, note: None, is_rod: false };
    }
    let (east, north) = match order {
        Some(ShotOrder::EastNorth) => (1, 2),
        Some(ShotOrder::NorthEast) | None => (2, 1),
    };
    Columns { name: Some(0), east, north, height: 3, note: Some(4), is_rod: false }
}
