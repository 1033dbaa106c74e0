//! `slabloom sheets`: the sheet set as one PDF file, or one SVG file a sheet.

use super::args::Sheets;
use super::failure::{Exit, Failure};
use crate::export::pdf::{DocumentFacts, pdf};
use crate::export::svg::svg;
use crate::files::{Backup, Disk, FileError, Storage as _, save};
use slabloom_core::derive::derive;
use slabloom_core::drawing::Page;
use slabloom_core::job::Job;
use slabloom_core::sheets::{Subject, sheet_set_of};
use std::io::Write;
use std::sync::Arc;

pub(super) fn run(sheets: &Sheets, out: &mut dyn Write) -> Result<Exit, Failure> {
    let mut subjects = Vec::new();
    for word in &sheets.only {
        match Subject::of_word(word.trim()) {
            Some(subject) => subjects.push(subject),
            None => {
                let known: Vec<&str> = Subject::words().collect();
                return Err(Failure::bad_input(format!(
                    "--only: there is no sheet “{word}”. Known are {}",
                    known.join(", ")
                )));
            }
        }
    }
    let mut job = super::open(&sheets.job)?;
    let set = Arc::make_mut(&mut job.sheet_set);
    if let Some(paper) = sheets.paper {
        set.paper = paper.paper();
    }
    if sheets.scale.is_some() {
        set.scale = sheets.scale;
    }
    let results = derive(&job);
    let pages = sheet_set_of(&job, &results, &subjects);
    if pages.is_empty() {
        return Err(Failure::bad_input(format!(
            "{}: The job has nothing for these sheets to show",
            sheets.job.display()
        )));
    }
    if sheets.svg {
        write_svg(sheets, &pages)?;
    } else {
        save(&Disk, &sheets.output, &pdf(&pages, &facts(&job)), Backup::None)?;
    }
    let plural = if pages.len() == 1 { "" } else { "s" };
    writeln!(out, "{}: {} sheet{plural}", sheets.output.display(), pages.len())?;
    Ok(Exit::Done)
}

/// One file a sheet, in a folder that is made where it is missing.
fn write_svg(sheets: &Sheets, pages: &[Page]) -> Result<(), Failure> {
    Disk.make_folder(&sheets.output)
        .map_err(|error| FileError::CannotWrite(sheets.output.clone(), error))?;
    for (number, page) in pages.iter().enumerate() {
        let name = format!("{:02}-{}.svg", number + 1, file_name(&page.title));
        save(&Disk, &sheets.output.join(name), svg(page).as_bytes(), Backup::None)?;
    }
    Ok(())
}

/// A title as part of a file's name: small letters and digits, dashes between.
fn file_name(title: &str) -> String {
    let words: Vec<String> = title
        .split(|letter: char| !letter.is_ascii_alphanumeric())
        .filter(|word| !word.is_empty())
        .map(str::to_ascii_lowercase)
        .collect();
    words.join("-")
}

fn facts(job: &Job) -> DocumentFacts {
    DocumentFacts {
        title: if job.facts.title.is_empty() { "Slab".to_owned() } else { job.facts.title.clone() },
        author: job.facts.drawn_by.clone(),
        subject: job.facts.place.clone(),
        date: date(&job.facts.date),
    }
}

/// A date as YYYY-MM-DD; `None` for anything else.
fn date(text: &str) -> Option<(u16, u8, u8)> {
    let mut parts = text.trim().split('-');
    let (year, month, day) = (parts.next()?, parts.next()?, parts.next()?);
    let date = (year.parse().ok()?, month.parse().ok()?, day.parse().ok()?);
    let is_one = parts.next().is_none()
        && (1000..=9999).contains(&date.0)
        && (1..=12).contains(&date.1)
        && (1..=31).contains(&date.2);
    is_one.then_some(date)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn names_and_dates() {
        assert_eq!(file_name("Foam, layer 1: boards"), "foam-layer-1-boards");
        assert_eq!(date("2026-04-20"), Some((2026, 4, 20)));
        assert_eq!(date("spring"), None);
        assert_eq!(date("2026-13-01"), None);
    }
}
