//! `slabloom new`: a job from typed walls or from an outline file.

use super::args::New;
use super::failure::{Exit, Failure};
use crate::files::{Disk, FileError, Storage as _, read_text, save_job};
use slabloom_core::geometry::validity;
use slabloom_core::job::import::{Imported, csv, geojson, wkt};
use slabloom_core::job::traverse::parse_traverse;
use slabloom_core::job::{Job, ReadError};
use slabloom_core::units::{Length, Rounding, show_length, show_number};
use std::io::Write;
use std::path::Path;
use std::sync::Arc;

pub(super) fn run(new: &New, out: &mut dyn Write) -> Result<Exit, Failure> {
    if !new.force && Disk.stamp(&new.job).is_ok() {
        return Err(Failure::bad_input(format!(
            "{}: it is there already. Give another name, or --force to put the new job in its place",
            new.job.display()
        )));
    }
    let (mut job, notes) = match (&new.walls, &new.outline) {
        (Some(walls), _) => from_walls(walls, new)?,
        (None, Some(outline)) => from_outline(outline, new)?,
        (None, None) => {
            return Err(Failure::bad_input("Give --walls or --outline"));
        }
    };
    let facts = Arc::make_mut(&mut job.facts);
    facts.display.bare_unit = new.unit.length_unit();
    facts.title = new.title.clone().unwrap_or_else(|| {
        new.job.file_stem().map(|stem| stem.to_string_lossy().into_owned()).unwrap_or_default()
    });
    save_job(&Disk, &new.job, &job)?;
    let ring = job.outline.ring();
    let openings = job.openings.openings.iter().map(|opening| opening.ring().signed_area().abs());
    writeln!(
        out,
        "{}: {} sides, {} ft², {} round",
        new.job.display(),
        job.outline.sides.len(),
        show_number((ring.signed_area().abs() - openings.sum::<f64>()) / 144.0, 1),
        show_length(Length::inches(ring.perimeter()), Rounding::Sixteenth),
    )?;
    for note in notes {
        writeln!(out, "note: {note}")?;
    }
    Ok(Exit::Done)
}

fn from_walls(walls: &str, new: &New) -> Result<(Job, Vec<String>), Failure> {
    let refuse = |error: ReadError| Failure::bad_input(format!("--walls: {error}"));
    let walked = parse_traverse(walls, new.unit.length_unit()).map_err(refuse)?;
    let job = Job::from_corners(&walked.corners);
    if let Some(fault) = validity::faults(&job.outline.ring(), &[]).first() {
        // The side that starts at a corner is the leg of the same number.
        let place = fault.sides().first().and_then(|side| walked.legs.get(side.side));
        return Err(refuse(ReadError {
            place: place.map(|leg| leg.place),
            message: fault.to_string(),
            remedy: fault.remedy().to_owned(),
        }));
    }
    Ok((job, walked.closing.note.into_iter().collect()))
}

fn from_outline(path: &Path, new: &New) -> Result<(Job, Vec<String>), Failure> {
    let text = read_text(&Disk, path)?;
    let unit = new.unit.length_unit();
    let ending = path.extension().map(|ending| ending.to_string_lossy().to_lowercase());
    let read = match ending.as_deref() {
        Some("wkt") => wkt::read(&text, unit),
        Some("geojson" | "json") => geojson::read(&text, unit),
        Some("csv" | "txt") => csv::read(&text, unit),
        _ => {
            return Err(Failure::bad_input(format!(
                "{}: the outline is read by the ending of its name. Name it .wkt, .geojson or .csv",
                path.display()
            )));
        }
    };
    let mut imported: Imported =
        read.map_err(|error| Failure::from(FileError::Wrong(path.to_owned(), error)))?;
    let notes = std::mem::take(&mut imported.notes);
    Ok((imported.into_job(), notes))
}
