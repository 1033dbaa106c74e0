//! What is wrong with a text that was to become a job or a part of one, and where.

use std::fmt;

/// A place in a text, counted from 1 as editors do.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub struct TextPlace {
    /// The line.
    pub line: usize,
    /// The column, in characters.
    pub column: usize,
}

impl TextPlace {
    /// The place of the character `at` (from 0) of `text`.
    #[must_use]
    pub fn of(text: &str, at: usize) -> Self {
        let mut place = Self { line: 1, column: 1 };
        for character in text.chars().take(at) {
            if character == '\n' {
                place = Self { line: place.line + 1, column: 1 };
            } else {
                place.column += 1;
            }
        }
        place
    }
}

impl fmt::Display for TextPlace {
    fn fmt(&self, formatter: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(formatter, "line {}, column {}", self.line, self.column)
    }
}

/// A text that could not be read: what is wrong, where, and what to do.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct ReadError {
    /// Where in the text; `None` when it is about the whole.
    pub place: Option<TextPlace>,
    /// What is wrong.
    pub message: String,
    /// What to do about it; empty when the message says it.
    pub remedy: String,
}

impl ReadError {
    /// A mistake at a place.
    #[must_use]
    pub fn at(place: TextPlace, message: impl Into<String>, remedy: impl Into<String>) -> Self {
        Self { place: Some(place), message: message.into(), remedy: remedy.into() }
    }

    /// A mistake of the whole text.
    #[must_use]
    pub fn whole(message: impl Into<String>, remedy: impl Into<String>) -> Self {
        Self { place: None, message: message.into(), remedy: remedy.into() }
    }
}

impl fmt::Display for ReadError {
    fn fmt(&self, formatter: &mut fmt::Formatter<'_>) -> fmt::Result {
        if let Some(place) = self.place {
            write!(formatter, "{place}: ")?;
        }
        formatter.write_str(&self.message)?;
        if !self.remedy.is_empty() {
            write!(formatter, ". {}", self.remedy)?;
        }
        Ok(())
    }
}

impl std::error::Error for ReadError {}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn places_count_lines_and_characters() {
        let text = "ab\nçd\n";
        assert_eq!(TextPlace::of(text, 0), TextPlace { line: 1, column: 1 });
        assert_eq!(TextPlace::of(text, 4), TextPlace { line: 2, column: 2 });
        assert_eq!(TextPlace::of(text, 99), TextPlace { line: 3, column: 1 });
        let error = ReadError::at(TextPlace::of(text, 4), "Wrong", "Mend it");
        assert_eq!(error.to_string(), "line 2, column 2: Wrong. Mend it");
    }
}
