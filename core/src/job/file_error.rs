//! The words for what the file's grammar refused: the field, the nearest name that is known, and
//! what to do.

use super::file_places::numbers;
use super::read_error::{ReadError, TextPlace};
use ron::error::{Error, SpannedError};

const USE_THE_BACKUP: &str =
    "Mend the line, or open the copy from before the last save (its name ends in .bak)";

/// A refusal of the grammar in the user's words.
pub(super) fn in_words(error: &SpannedError) -> ReadError {
    let place =
        TextPlace { line: error.span.start.line.max(1), column: error.span.start.col.max(1) };
    let (message, remedy) = match &error.code {
        Error::NoSuchStructField { expected, found, outer } => {
            let whole = outer.as_ref().map_or_else(String::new, |outer| format!(" of {outer}"));
            (format!("There is no field “{found}”{whole}"), suggestion(found, expected))
        }
        Error::NoSuchEnumVariant { expected, found, outer } => {
            let whole = outer.as_ref().map_or_else(String::new, |outer| format!(" for {outer}"));
            (format!("“{found}” is no choice{whole}"), suggestion(found, expected))
        }
        Error::MissingStructField { field, outer } => {
            let whole = outer.as_ref().map_or_else(String::new, |outer| format!(" of {outer}"));
            (
                format!("The field “{field}”{whole} is missing"),
                format!("Write {field}: and its value"),
            )
        }
        Error::DuplicateStructField { field, .. } => {
            (format!("The field “{field}” is given twice"), "Keep one of the two".to_owned())
        }
        Error::Eof => ("The text ends before the job does".to_owned(), USE_THE_BACKUP.to_owned()),
        Error::ExpectedDifferentStructName { .. } | Error::ExpectedNamedStructLike(_) => (
            "This is not a job file: a job starts with a bracket and its fields".to_owned(),
            USE_THE_BACKUP.to_owned(),
        ),
        other => {
            let text: String = other.to_string().chars().take(200).collect();
            (text, USE_THE_BACKUP.to_owned())
        }
    };
    ReadError::at(place, message, remedy)
}

/// The known name that is nearest to what was written, or the names there are.
fn suggestion(found: &str, known: &[&str]) -> String {
    let nearest = known.iter().min_by_key(|name| word_distance(found, name));
    match nearest {
        Some(name) if word_distance(found, name) <= name.chars().count().div_ceil(2) => {
            format!("Did you mean “{name}”?")
        }
        Some(_) => format!("Known here: {}", known.join(", ")),
        None => "Take it out".to_owned(),
    }
}

/// The place of the first number of a field.
pub(super) fn place_of_field(text: &str, field: &str) -> Option<TextPlace> {
    let all = numbers(text);
    // A fault of a pair is at its worst number, else at the first number inside the field.
    let inside = |name: &str| {
        name == field || name.strip_prefix(field).is_some_and(|rest| rest.starts_with(['.', '[']))
    };
    let of_field = || all.iter().filter(|number| inside(&number.field));
    let worst = of_field().find(|number| !number.value.is_finite() || number.value.abs() > 1e9);
    worst.or_else(|| of_field().next()).map(|number| TextPlace::of(text, number.at))
}

/// How many letters must change to make one word of the other.
fn word_distance(a: &str, b: &str) -> usize {
    // Long words are no slip of the pen, and the count is square in them.
    let b: Vec<char> = b.chars().take(60).collect();
    let mut row: Vec<usize> = (0..=b.len()).collect();
    for (i, left) in a.chars().take(60).enumerate() {
        let mut next = vec![i + 1];
        let mut beside = i + 1;
        for (right, pair) in b.iter().zip(row.windows(2)) {
            let &[above_left, above] = pair else { continue };
            beside = (beside + 1).min(above + 1).min(above_left + usize::from(left != *right));
            next.push(beside);
        }
        row = next;
    }
    row.last().copied().unwrap_or(0)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn words_have_distances() {
        assert_eq!(word_distance("kitten", "sitting"), 3);
        assert_eq!(word_distance("", "abc"), 3);
        assert_eq!(word_distance("abc", "abc"), 0);
        assert_eq!(suggestion("spacng", &["size", "spacing"]), "Did you mean “spacing”?");
        assert_eq!(suggestion("zzzzzzz", &["size", "spacing"]), "Known here: size, spacing");
    }
}
