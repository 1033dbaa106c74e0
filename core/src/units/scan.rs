//! A reader that walks over typed text character by character and knows the place of each.
//!
//! Numbers are written with a point for decimals; a comma only groups thousands, so that
//! `3,81` is refused rather than read as three thousand or as three and a bit.

use super::ParseError;

/// The most characters a typed quantity may have; a longer text is no quantity but a pasted file.
pub const LONGEST_TEXT: usize = 200;
/// No quantity of a slab is larger, whatever its unit; keeps arithmetic far from infinity.
pub const LARGEST_NUMBER: f64 = 1e12;

/// Walks over a text.
#[derive(Clone, Debug)]
pub struct Scanner<'text> {
    text: &'text str,
    characters: Vec<char>,
    at: usize,
}

impl<'text> Scanner<'text> {
    /// A reader at the start of `text`.
    ///
    /// # Errors
    /// When the text is longer than [`LONGEST_TEXT`].
    pub fn new(text: &'text str) -> Result<Self, ParseError> {
        let characters: Vec<char> = text.chars().take(LONGEST_TEXT + 1).collect();
        if characters.len() > LONGEST_TEXT {
            return Err(ParseError {
                text: text.chars().take(20).chain(['…']).collect(),
                at: 0,
                message: format!("That is longer than {LONGEST_TEXT} characters"),
            });
        }
        Ok(Self { text, characters, at: 0 })
    }

    /// Where it stands, in characters from 0.
    #[must_use]
    pub const fn at(&self) -> usize {
        self.at
    }

    /// The next character, without going past it.
    #[must_use]
    pub fn peek(&self) -> Option<char> {
        self.peek_ahead(0)
    }

    /// The character `ahead` places further on.
    #[must_use]
    pub fn peek_ahead(&self, ahead: usize) -> Option<char> {
        self.characters.get(self.at + ahead).copied()
    }

    /// Goes past one character.
    pub fn skip(&mut self) {
        self.at += 1;
    }

    /// Goes past blanks.
    pub fn skip_blanks(&mut self) {
        while self.peek().is_some_and(char::is_whitespace) {
            self.skip();
        }
    }

    /// Goes past and gives the characters that `is_wanted` accepts.
    pub fn take_while(&mut self, is_wanted: impl Fn(char) -> bool) -> String {
        let mut taken = String::new();
        while let Some(character) = self.peek().filter(|&character| is_wanted(character)) {
            taken.push(character);
            self.skip();
        }
        taken
    }

    /// A mistake at the character `at`.
    #[must_use]
    pub fn mistake(&self, at: usize, message: impl Into<String>) -> ParseError {
        ParseError { text: self.text.to_owned(), at, message: message.into() }
    }

    /// Reads a number without sign: `12`, `12.5`, `.5`, `3,810`. The flag says that it is whole,
    /// that is, written without a point.
    ///
    /// # Errors
    /// When no number stands here, or its commas do not group thousands, or it is too large.
    pub fn number(&mut self) -> Result<(f64, bool), ParseError> {
        let start = self.at;
        let mut digits = self.take_while(|character| character.is_ascii_digit());
        let leading = digits.len();
        while self.peek() == Some(',') && !digits.is_empty() {
            let comma = self.at;
            self.skip();
            let group = self.take_while(|character| character.is_ascii_digit());
            if group.len() != 3 || leading > 3 {
                return Err(self.mistake(
                    comma,
                    "A comma here only groups thousands; write a point for decimals",
                ));
            }
            digits.push_str(&group);
        }
        let mut is_whole = true;
        let has_point = self.peek() == Some('.')
            && (self.peek_ahead(1).is_some_and(|next| next.is_ascii_digit()) || !digits.is_empty());
        if has_point {
            is_whole = false;
            self.skip();
            digits.push('.');
            digits.push_str(&self.take_while(|character| character.is_ascii_digit()));
        }
        if digits.is_empty() {
            return Err(self.mistake(start, "A number is expected here"));
        }
        let value: f64 = digits
            .parse()
            .map_err(|_| self.mistake(start, "That is not a number a computer can hold"))?;
        if value > LARGEST_NUMBER {
            return Err(self.mistake(start, "That number is too large"));
        }
        Ok((value, is_whole))
    }

    /// Whether the text is used up but for blanks.
    pub fn is_done(&mut self) -> bool {
        self.skip_blanks();
        self.peek().is_none()
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn numbers_are_read_with_grouped_thousands() {
        for (text, value, is_whole) in [
            ("12", 12.0, true),
            ("12.5", 12.5, false),
            (".5", 0.5, false),
            ("12.", 12.0, false),
            ("3,810", 3810.0, true),
            ("1,234,567.25", 1_234_567.25, false),
        ] {
            let mut scanner = Scanner::new(text).unwrap();
            assert_eq!(scanner.number().unwrap(), (value, is_whole), "{text}");
            assert!(scanner.is_done());
        }
    }

    #[test]
    fn a_decimal_comma_is_refused_at_the_comma() {
        for (text, at) in [("3,81", 1), ("3810,5", 4), ("1234,567", 4), ("3,", 1)] {
            assert_eq!(Scanner::new(text).unwrap().number().unwrap_err().at, at, "{text}");
        }
    }

    #[test]
    fn what_is_no_number_is_refused() {
        assert_eq!(Scanner::new("x").unwrap().number().unwrap_err().at, 0);
        assert!(Scanner::new("9999999999999").unwrap().number().is_err());
        assert!(Scanner::new(&"9".repeat(201)).is_err());
        assert!(Scanner::new(&"9".repeat(200)).unwrap().number().is_err());
    }
}
