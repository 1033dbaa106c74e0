//! What each fuzz target does with its bytes. The same functions run under the fuzzer and, on
//! bytes of a seeded generator, as tests on the stable toolchain.
//!
//! A body returns when all is well and panics when something does not hold.

mod arbitrary_edits;
mod arbitrary_job;

use slabloom_core::derive::{contract, derive};
use slabloom_core::drawing::page::PageFault;
use slabloom_core::drawing::{Page, Shape, path};
use slabloom_core::edit::{Gesture, History};
use slabloom_core::job::ids::IdSource;
use slabloom_core::job::import::shots::{self, HeightColumn, ShotOptions, ShotOrder};
use slabloom_core::job::import::{Imported, csv, geojson, wkt};
use slabloom_core::job::traverse::parse_traverse;
use slabloom_core::job::{Job, ReadError, check, file};
use slabloom_core::sheets::sheet_set;
use slabloom_core::units::{
    Length, LengthUnit, Rounding, UnitSystem, parse_length, quantity_text, show_length,
};

pub use arbitrary_job::Bytes;

/// A target: its name and what it does with bytes.
pub type Target = (&'static str, fn(&[u8]));

/// Readers of text.
pub const READERS: &[Target] = &[
    ("job_file", job_file),
    ("walls", walls),
    ("lengths", lengths),
    ("quantities", quantities),
    ("wkt", wkt_outline),
    ("geojson", geojson_outline),
    ("csv", csv_outline),
    ("shots", survey_shots),
];

/// The same bytes as text, the unit taken from the first of them.
fn text_of(bytes: &[u8]) -> (LengthUnit, String) {
    let unit = match bytes.first().map_or(0, |byte| byte % 4) {
        0 => LengthUnit::Feet,
        1 => LengthUnit::Inches,
        2 => LengthUnit::Meters,
        _ => LengthUnit::Millimeters,
    };
    (unit, String::from_utf8_lossy(bytes).into_owned())
}

/// A complaint says something, and its place is one.
fn hold_complaint(error: &ReadError) {
    assert!(!error.message.is_empty());
    assert!(error.place.is_none_or(|place| place.line > 0 && place.column > 0));
    assert!(error.to_string().lines().count() >= 1);
}

/// A job's text is read or refused; what is read is written and read back the same.
pub fn job_file(bytes: &[u8]) {
    let (_, text) = text_of(bytes);
    match file::read(&text) {
        Ok(opened) => {
            let written = file::write(&opened.job).expect("what was read can be written");
            let again = file::read(&written).expect("what was written can be read");
            assert!(again.job == opened.job, "the same job comes back");
        }
        Err(error) => hold_complaint(&error),
    }
}

/// A list of walls is walked or refused.
pub fn walls(bytes: &[u8]) {
    let (unit, text) = text_of(bytes);
    match parse_traverse(&text, unit) {
        Ok(walked) => {
            assert!(!walked.corners.is_empty());
            for (at, through) in walked.corners {
                assert!(at.is_finite() && through.is_none_or(|through| through.is_finite()));
            }
        }
        Err(error) => hold_complaint(&error),
    }
}

/// A length is read or refused at a place inside its text; what is read shows and reads back.
pub fn lengths(bytes: &[u8]) {
    let (unit, text) = text_of(bytes);
    match parse_length(&text, unit) {
        Ok(length) => {
            assert!(length.is_finite());
            for rounding in [Rounding::Sixteenth, Rounding::Quarter, Rounding::Millimeter] {
                let shown = show_length(length, rounding);
                if length.to_inches().abs() < 1e9 {
                    let back: Length = parse_length(&shown, unit).expect("what is shown is read");
                    let off = (back - length).to_inches().abs();
                    assert!(off <= rounding.step().to_inches() / 2.0 + 1e-6, "{text}: {shown}");
                }
            }
        }
        Err(error) => assert!(error.at <= error.text.chars().count(), "{error}"),
    }
}

/// Quantities are read as finite numbers or refused.
pub fn quantities(bytes: &[u8]) {
    let (_, text) = text_of(bytes);
    for system in [UnitSystem::Us, UnitSystem::Metric] {
        let finite = [
            quantity_text::parse_area(&text, system).map(|read| read.is_finite()),
            quantity_text::parse_volume(&text, system).map(|read| read.is_finite()),
            quantity_text::parse_temperature(&text, system).map(|read| read.is_finite()),
            quantity_text::parse_flow(&text, system).map(|read| read.is_finite()),
            quantity_text::parse_heat(&text, system).map(|read| read.is_finite()),
            quantity_text::parse_heat_flux(&text, system).map(|read| read.is_finite()),
            quantity_text::parse_weight(&text, system).map(|read| read.is_finite()),
            quantity_text::parse_pressure(&text, system).map(|read| read.is_finite()),
            quantity_text::parse_r_value(&text, system).map(|read| read.is_finite()),
        ];
        for read in finite {
            assert!(read.unwrap_or(true), "{text}");
        }
    }
}

fn hold_outline(read: Result<Imported, ReadError>) {
    match read {
        Ok(imported) => {
            let job = imported.into_job();
            let blocking = check::blocking_fault(&job);
            // What is imported can be built, but for slabs beyond what is laid out.
            assert!(blocking.is_none_or(|fault| fault.field == "outline"));
        }
        Err(error) => hold_complaint(&error),
    }
}

/// Well-known text becomes a slab or is refused.
pub fn wkt_outline(bytes: &[u8]) {
    let (unit, text) = text_of(bytes);
    hold_outline(wkt::read(&text, unit));
}

/// GeoJSON becomes a slab or is refused.
pub fn geojson_outline(bytes: &[u8]) {
    let (unit, text) = text_of(bytes);
    hold_outline(geojson::read(&text, unit));
}

/// A table of corners becomes a slab or is refused.
pub fn csv_outline(bytes: &[u8]) {
    let (unit, text) = text_of(bytes);
    hold_outline(csv::read(&text, unit));
}

/// A table of shots is read or refused.
pub fn survey_shots(bytes: &[u8]) {
    let (unit, text) = text_of(bytes);
    for order in [None, Some(ShotOrder::EastNorth), Some(ShotOrder::NorthEast)] {
        for heights in [HeightColumn::Heights, HeightColumn::RodReadings(Length::feet(100.0))] {
            let options = ShotOptions { unit, order, heights, ..ShotOptions::default() };
            match shots::read(&text, options, &mut IdSource::default()) {
                Ok(read) => {
                    assert!(read.shots.iter().all(|shot| shot.at.is_finite()));
                    assert!(read.shots.iter().all(|shot| shot.height.is_finite()));
                }
                Err(error) => hold_complaint(&error),
            }
        }
    }
}

/// The job that bytes make.
pub fn any_job(bytes: &[u8]) -> Job {
    arbitrary_job::job(&mut Bytes::new(bytes))
}

/// Any job, sound or not, gives results without a panic, and all of its numbers are numbers.
pub fn derive_any_job(bytes: &[u8]) {
    let job = any_job(bytes);
    let json = contract::to_json(&derive(&job));
    hold_numbers(&serde_json::from_str(&json).expect("results are JSON"), "results");
    let text = file::write(&job).expect("any job can be written");
    if let Ok(opened) = file::read(&text) {
        assert!(opened.job == job, "any job that can be opened comes back");
    }
}

/// The same job gives the same bytes.
pub fn derive_any_job_twice(bytes: &[u8]) {
    let job = any_job(bytes);
    let json = contract::to_json(&derive(&job));
    assert!(json == contract::to_json(&derive(&job)), "the same job, the same bytes");
}

/// Any job that may be built has sheets on which every mark has a place.
/// Answers how many pages were looked at.
pub fn sheets_of_any_job(bytes: &[u8]) -> usize {
    let pages = any_pages(bytes);
    pages.iter().for_each(hold_page);
    pages.len()
}

/// The sheets of the job that bytes make; none when it may not be built.
pub fn any_pages(bytes: &[u8]) -> Vec<Page> {
    let job = any_job(bytes);
    if check::blocking_fault(&job).is_some() {
        return Vec::new();
    }
    sheet_set(&job, &derive(&job))
}

/// Every mark of a page stands somewhere, and no words leave the paper.
pub fn hold_page(page: &Page) {
    for mark in page.blocks.iter().flat_map(|block| &block.marks) {
        let is_placed = match &mark.shape {
            Shape::Text(text) => text.at.is_finite(),
            Shape::Stroke { path, .. } | Shape::Fill { path, .. } | Shape::Hatch { path, .. } => {
                path::bounds(path).is_none_or(|rim| rim.is_finite())
            }
        };
        assert!(is_placed, "{}: {mark:?}", page.title);
    }
    let lost = page.faults().into_iter().find(|fault| matches!(fault, PageFault::OffPage(_)));
    assert!(lost.is_none(), "{}: {lost:?}", page.title);
}

/// A number that is none is written as null: only what may be absent is.
fn hold_numbers(value: &serde_json::Value, key: &str) {
    use serde_json::Value;
    match value {
        Value::Null => assert!(MAY_BE_NULL.contains(&key), "{key} is not a number"),
        Value::Array(items) => items.iter().for_each(|item| hold_numbers(item, key)),
        Value::Object(fields) => fields.iter().for_each(|(key, field)| hold_numbers(field, key)),
        Value::Bool(_) | Value::Number(_) | Value::String(_) => {}
    }
}

/// Keys of the results whose value may be absent.
const MAY_BE_NULL: &[&str] = &[
    "at_in",
    "boards_cost",
    "edge_at_doors",
    "evaporation_lb_ft2_h",
    "face_in",
    "layer",
    "least_radius_in",
    "season_cost",
    "still_to_order_yd3",
];

/// Any edits, undone to the start and done again, give the same bytes at both ends.
/// Answers how many of them were made.
pub fn edit_and_undo(bytes: &[u8]) -> usize {
    let mut bytes = Bytes::new(bytes);
    let start = arbitrary_job::job(&mut bytes);
    let first = file::write(&start).expect("a job can be written");
    let mut history = History::new(start);
    let mut made = 0;
    while !bytes.is_empty() {
        let edit = arbitrary_edits::edit(&mut bytes, history.job());
        let gesture = if bytes.chance(60) { Gesture::Part } else { Gesture::Single };
        if history.apply(&edit, gesture).is_ok() {
            made += 1;
        }
        match bytes.byte() {
            0..20 => history.end_gesture(),
            20..30 => history.cancel_gesture(),
            30..60 => drop(history.undo()),
            60..80 => drop(history.redo()),
            _ => {}
        }
    }
    history.end_gesture();
    let last = write(history.job());
    let mut steps = 0;
    while history.undo() {
        steps += 1;
    }
    assert!(write(history.job()) == first, "undone, the job is as it was");
    for _ in 0..steps {
        assert!(history.redo());
    }
    assert!(write(history.job()) == last, "done again, the job is as it was");
    made
}

fn write(job: &Job) -> String {
    file::write(job).expect("a job can be written")
}
