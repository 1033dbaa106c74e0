//! Files of older programs brought up to the present form, one version at a time.
//!
//! [`STEPS`] holds one function for each old version; each takes the text of its version and
//! gives the text of the next. A field that only was added needs none (its default serves); one
//! that was renamed, moved or changed its meaning does. A file of every version stands in
//! `tests/old_jobs` for ever and is opened by a test.

use super::SCHEMA;
use super::read_error::ReadError;

/// Makes the text of the next version from the text of its own.
pub type Step = fn(&str) -> Result<String, ReadError>;

/// The step from version 1 is the first entry, from 2 the second, and so on. Version 1 is the
/// present one, so there is none yet.
pub const STEPS: &[Step] = &[];

/// The text of the present version from the text of version `from`; `None` when it is that already.
///
/// # Errors
/// [`ReadError`] when the version is newer than this program or was never written, or when a step
/// cannot read its text.
pub fn to_present(text: &str, from: u32) -> Result<Option<String>, ReadError> {
    walk(text, from, SCHEMA, STEPS)
}

fn walk(text: &str, from: u32, present: u32, steps: &[Step]) -> Result<Option<String>, ReadError> {
    if from > present {
        return Err(ReadError::whole(
            format!(
                "The file is of schema {from}, from a newer program; this one knows to {present}"
            ),
            "Open it with the newer program",
        ));
    }
    if from == 0 {
        return Err(ReadError::whole(
            "No program wrote files of schema 0",
            format!("Write schema: {present} if the file is of this program"),
        ));
    }
    let mut migrated: Option<String> = None;
    let done = usize::try_from(from - 1).unwrap_or(usize::MAX);
    let needed = usize::try_from(present - from).unwrap_or(0);
    for step in steps.iter().skip(done).take(needed) {
        migrated = Some(step(migrated.as_deref().unwrap_or(text))?);
    }
    Ok(migrated)
}

#[cfg(test)]
mod tests {
    use super::*;

    const RENAMES: &[Step] = &[
        |text| Ok(text.replace("walls:", "sides:").replace("schema: 1", "schema: 2")),
        |text| Ok(text.replace("deep:", "total_depth:").replace("schema: 2", "schema: 3")),
    ];

    #[test]
    fn old_files_walk_up_one_version_at_a_time() {
        let walked = walk("(schema: 1, walls: [], deep: 4)", 1, 3, RENAMES);
        assert_eq!(walked.unwrap().as_deref(), Some("(schema: 3, sides: [], total_depth: 4)"));
        let walked = walk("(schema: 2, deep: 4)", 2, 3, RENAMES);
        assert_eq!(walked.unwrap().as_deref(), Some("(schema: 3, total_depth: 4)"));
        assert_eq!(walk("(schema: 3)", 3, 3, RENAMES), Ok(None));
    }

    #[test]
    fn versions_that_are_none_are_refused() {
        assert!(to_present("", SCHEMA + 1).unwrap_err().message.contains("newer program"));
        assert!(to_present("", 0).is_err());
        assert_eq!(to_present("", SCHEMA), Ok(None));
    }

    #[test]
    fn there_is_a_step_for_every_old_version() {
        assert_eq!(STEPS.len() + 1, SCHEMA as usize);
    }
}
