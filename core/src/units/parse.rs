//! Text to length: `12' 6 1/2"`, `3.81 m` and the other ways people write them.
//!
//! The text becomes tokens (numbers, fractions, unit marks, dashes), each with its place, and
//! the tokens are read by this grammar, where a blank may stand between any two:
//! ```text
//! length   = [sign] ( feet-inches | dashed | single )
//! feet-inches = number feet-mark [dash] [inches [inch-mark]]     12' 6 1/2"   12'-6½"   12 ft 6 in
//! dashed   = whole dash inches [inch-mark]                       12-6   12-3-1/2   12-3.5
//! single   = amount [unit]                                       150.5"   3.81 m   147 1/2
//! inches   = number [[dash] fraction] | fraction                 below 12
//! amount   = number [fraction] | fraction | whole dash fraction inch-mark
//! ```
//! A bare number is in the unit that the job names. `12-1/2` without a mark is refused: some
//! people mean twelve and a half inches by it and others twelve feet and half an inch.

use super::Length;
use super::scan::Scanner;

/// The unit of a bare number.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, serde::Serialize, serde::Deserialize)]
pub enum LengthUnit {
    /// Feet.
    #[default]
    Feet,
    /// Inches.
    Inches,
    /// Metres.
    Meters,
    /// Millimetres.
    Millimeters,
}

impl LengthUnit {
    /// A length of `number` of these.
    #[must_use]
    pub const fn length(self, number: f64) -> Length {
        match self {
            Self::Feet => Length::feet(number),
            Self::Inches => Length::inches(number),
            Self::Meters => Length::meters(number),
            Self::Millimeters => Length::millimeters(number),
        }
    }

    /// How many inches one of these is.
    #[must_use]
    pub const fn inches(self) -> f64 {
        self.length(1.0).to_inches()
    }

    /// Its sign, as in `3 ft`.
    #[must_use]
    pub const fn sign(self) -> &'static str {
        match self {
            Self::Feet => "ft",
            Self::Inches => "in",
            Self::Meters => "m",
            Self::Millimeters => "mm",
        }
    }
}

/// A text that is no length, with the place of the mistake.
#[derive(Clone, Debug, PartialEq, Eq, thiserror::Error)]
#[error("{message}, at character {} of “{text}”", .at + 1)]
pub struct ParseError {
    /// What was typed.
    pub text: String,
    /// Which character the mistake stands at, counted from 0.
    pub at: usize,
    /// What is wrong and what to write instead.
    pub message: String,
}

/// Reads a length as people write it; a bare number is in `bare_unit`.
///
/// # Errors
/// [`ParseError`] with the place of the first character that does not fit.
pub fn parse_length(text: &str, bare_unit: LengthUnit) -> Result<Length, ParseError> {
    let mut scanner = Scanner::new(text)?;
    let tokens = tokens(&mut scanner)?;
    let mut reader = Reader { tokens: &tokens, next: 0, scanner: &scanner };
    let is_negative = reader.takes(Token::Dash);
    if !is_negative {
        reader.takes(Token::Plus);
    }
    let length = reader.length(bare_unit)?;
    reader.expect_end()?;
    // Written so that minus zero cannot arise.
    Ok(if is_negative { Length::ZERO - length } else { length })
}

/// A piece of the text that has a meaning of its own.
#[derive(Clone, Copy, Debug, PartialEq)]
enum Token {
    Number {
        value: f64,
        is_whole: bool,
    },
    Fraction(f64),
    Feet,
    Inches,
    /// A metric unit, as millimetres.
    Metric(f64),
    Dash,
    Plus,
}

fn tokens(scanner: &mut Scanner<'_>) -> Result<Vec<(usize, Token)>, ParseError> {
    let mut tokens = Vec::new();
    while !scanner.is_done() {
        let at = scanner.at();
        let Some(character) = scanner.peek() else { break };
        let token = match character {
            '0'..='9' | '.' => number_or_fraction(scanner)?,
            '-' | '‐' | '‑' | '–' | '—' | '−' => one(scanner, Token::Dash),
            '+' => one(scanner, Token::Plus),
            '\'' | '’' | '‘' | '′' | '´' | '`' => feet_or_doubled_mark(scanner),
            '"' | '”' | '“' | '″' | '‟' | '„' => one(scanner, Token::Inches),
            letter if letter.is_alphabetic() => unit_word(scanner)?,
            other => match glyph_fraction(other) {
                Some(value) => one(scanner, Token::Fraction(value)),
                None => {
                    return Err(scanner.mistake(at, format!("“{other}” has no place in a length")));
                }
            },
        };
        tokens.push((at, token));
    }
    Ok(tokens)
}

fn one(scanner: &mut Scanner<'_>, token: Token) -> Token {
    scanner.skip();
    token
}

/// A foot mark, or an inch mark typed as two foot marks.
fn feet_or_doubled_mark(scanner: &mut Scanner<'_>) -> Token {
    scanner.skip();
    if matches!(scanner.peek(), Some('\'' | '’' | '‘' | '′' | '´' | '`')) {
        one(scanner, Token::Inches)
    } else {
        Token::Feet
    }
}

const fn glyph_fraction(character: char) -> Option<f64> {
    Some(match character {
        '½' => 0.5,
        '¼' => 0.25,
        '¾' => 0.75,
        '⅛' => 0.125,
        '⅜' => 0.375,
        '⅝' => 0.625,
        '⅞' => 0.875,
        _ => return None,
    })
}

fn number_or_fraction(scanner: &mut Scanner<'_>) -> Result<Token, ParseError> {
    let start = scanner.at();
    let (value, is_whole) = scanner.number()?;
    if !matches!(scanner.peek(), Some('/' | '⁄')) {
        return Ok(Token::Number { value, is_whole });
    }
    let slash = scanner.at();
    scanner.skip();
    let below_at = scanner.at();
    if !scanner.peek().is_some_and(|next| next.is_ascii_digit()) {
        return Err(scanner.mistake(slash, "The lower number of the fraction is missing"));
    }
    let (below, below_is_whole) = scanner.number()?;
    if !is_whole || !below_is_whole {
        let at = if is_whole { below_at } else { start };
        return Err(scanner.mistake(at, "A fraction is of whole numbers, such as 3/8"));
    }
    if below == 0.0 {
        return Err(scanner.mistake(below_at, "Nothing can be divided by 0"));
    }
    Ok(Token::Fraction(value / below))
}

fn unit_word(scanner: &mut Scanner<'_>) -> Result<Token, ParseError> {
    let at = scanner.at();
    let word = scanner.take_while(char::is_alphabetic);
    let token = match word.to_lowercase().as_str() {
        "ft" | "foot" | "feet" => Token::Feet,
        "in" | "inch" | "inches" => Token::Inches,
        "mm" | "millimeter" | "millimeters" | "millimetre" | "millimetres" => Token::Metric(1.0),
        "cm" | "centimeter" | "centimeters" | "centimetre" | "centimetres" => Token::Metric(10.0),
        "m" | "meter" | "meters" | "metre" | "metres" => Token::Metric(1000.0),
        _ => {
            return Err(scanner
                .mistake(at, format!("“{word}” is no unit of length: write ft, in, m, cm or mm")));
        }
    };
    // A full stop after an abbreviation, as in `12 ft. 6 in.`, but not the point of `.5`.
    let is_stop = scanner.peek() == Some('.')
        && !scanner.peek_ahead(1).is_some_and(|next| next.is_ascii_digit());
    if is_stop {
        scanner.skip();
    }
    Ok(token)
}

/// Reads the tokens by the grammar on top of this file.
struct Reader<'tokens> {
    tokens: &'tokens [(usize, Token)],
    next: usize,
    scanner: &'tokens Scanner<'tokens>,
}

impl Reader<'_> {
    fn peek(&self) -> Option<Token> {
        self.tokens.get(self.next).map(|&(_, token)| token)
    }

    /// The place of the next token, or the end of the text.
    fn at(&self) -> usize {
        self.tokens.get(self.next).map_or_else(|| self.scanner.at(), |&(at, _)| at)
    }

    fn takes(&mut self, token: Token) -> bool {
        let is_here = self.peek() == Some(token);
        if is_here {
            self.next += 1;
        }
        is_here
    }

    fn mistake(&self, message: impl Into<String>) -> ParseError {
        self.scanner.mistake(self.at(), message)
    }

    fn length(&mut self, bare_unit: LengthUnit) -> Result<Length, ParseError> {
        let start = self.at();
        let (value, is_whole) = match self.peek() {
            None => return Err(self.mistake("A length is missing")),
            Some(Token::Fraction(value)) => (value, false),
            Some(Token::Number { value, is_whole }) => (value, is_whole),
            Some(_) => return Err(self.mistake("A number is expected here")),
        };
        let is_number = matches!(self.peek(), Some(Token::Number { .. }));
        self.next += 1;
        let fraction = if is_number { self.fraction_below_one()? } else { None };
        let amount = value + fraction.unwrap_or(0.0);
        let is_whole = is_whole && fraction.is_none();
        match self.peek() {
            None => Ok(bare_unit.length(amount)),
            Some(Token::Feet) => {
                self.next += 1;
                self.after_feet(amount, is_whole)
            }
            Some(Token::Inches) => {
                self.next += 1;
                Ok(Length::inches(amount))
            }
            Some(Token::Metric(millimeters)) => {
                self.next += 1;
                Ok(Length::millimeters(amount * millimeters))
            }
            Some(Token::Dash) if is_whole => {
                self.next += 1;
                self.after_bare_feet(amount, start)
            }
            Some(Token::Dash) => {
                Err(self.mistake("Only whole feet may stand before a dash and inches"))
            }
            Some(Token::Number { .. } | Token::Fraction(_)) => {
                Err(self.mistake("Which are the feet? Write feet and inches as 12'-6\""))
            }
            Some(Token::Plus) => Err(self.mistake("A plus sign can only stand in front")),
        }
    }

    /// What may follow `12'`: nothing, or inches.
    fn after_feet(&mut self, feet: f64, is_whole: bool) -> Result<Length, ParseError> {
        let has_dash = self.takes(Token::Dash);
        if self.peek().is_none() {
            return if has_dash {
                Err(self.mistake("The inches after the dash are missing"))
            } else {
                Ok(Length::feet(feet))
            };
        }
        if !is_whole {
            return Err(self.mistake("Inches can only follow whole feet"));
        }
        let inches = self.inches()?;
        self.takes(Token::Inches);
        Ok(Length::feet(feet) + Length::inches(inches))
    }

    /// What may follow `12-`: inches, or a fraction of an inch that is marked so.
    fn after_bare_feet(&mut self, whole: f64, start: usize) -> Result<Length, ParseError> {
        if let Some(Token::Fraction(fraction)) = self.peek() {
            if fraction >= 1.0 {
                return Err(self.mistake("A fraction after a whole number is below 1"));
            }
            self.next += 1;
            return if self.takes(Token::Inches) {
                Ok(Length::inches(whole + fraction))
            } else {
                Err(self.scanner.mistake(
                    start,
                    format!(
                        "Is that {whole} feet or {whole} inches? Write {whole}'-0 1/2\" or {whole} 1/2\""
                    ),
                ))
            };
        }
        let inches = self.inches()?;
        self.takes(Token::Inches);
        Ok(Length::feet(whole) + Length::inches(inches))
    }

    /// Inches beside feet: below 12, perhaps with a fraction.
    fn inches(&mut self) -> Result<f64, ParseError> {
        let at = self.at();
        let inches = match self.peek() {
            Some(Token::Fraction(value)) => {
                self.next += 1;
                value
            }
            Some(Token::Number { value, is_whole }) => {
                self.next += 1;
                let before_dash = self.next;
                if is_whole && self.takes(Token::Dash) && !self.is_at_fraction() {
                    self.next = before_dash;
                }
                let fraction = if is_whole { self.fraction_below_one()? } else { None };
                value + fraction.unwrap_or(0.0)
            }
            _ => return Err(self.mistake("Inches are expected here")),
        };
        if inches >= 12.0 {
            return Err(self
                .scanner
                .mistake(at, "Inches beside feet are below 12: carry them over to the feet"));
        }
        Ok(inches)
    }

    fn is_at_fraction(&self) -> bool {
        matches!(self.peek(), Some(Token::Fraction(_)))
    }

    fn fraction_below_one(&mut self) -> Result<Option<f64>, ParseError> {
        match self.peek() {
            Some(Token::Fraction(value)) if value < 1.0 => {
                self.next += 1;
                Ok(Some(value))
            }
            Some(Token::Fraction(_)) => {
                Err(self.mistake("A fraction after a whole number is below 1"))
            }
            _ => Ok(None),
        }
    }

    fn expect_end(&self) -> Result<(), ParseError> {
        match self.peek() {
            None => Ok(()),
            Some(_) => Err(self.mistake("The length was complete before this")),
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn inches(text: &str) -> f64 {
        parse_length(text, LengthUnit::Feet)
            .map_or_else(|error| panic!("{error}"), Length::to_inches)
    }

    #[test]
    fn every_spelling_of_the_trade() {
        for (text, expected) in [
            ("12' 6 1/2\"", 150.5),
            ("12'-6½\"", 150.5),
            ("12'-6 ½\"", 150.5),
            ("12 ft 6 in", 150.0),
            ("12ft 3in", 147.0),
            ("12 ft. 6 in.", 150.0),
            ("12 feet 6 inches", 150.0),
            ("12-6", 150.0),
            ("12-3-1/2", 147.5),
            ("12-3 1/2", 147.5),
            ("12-3.5", 147.5),
            ("12-6\"", 150.0),
            ("150.5\"", 150.5),
            ("5-1/2\"", 5.5),
            ("5 1/2 in", 5.5),
            ("½\"", 0.5),
            ("3/8\"", 0.375),
            ("12.5'", 150.0),
            ("12'", 144.0),
            ("12' 3.5\"", 147.5),
            ("12'3", 147.0),
            ("12'-0\"", 144.0),
            ("0'-8 3/4\"", 8.75),
            ("12’-3 1⁄2”", 147.5),
            ("12′ 3 ½″", 147.5),
            ("12' 6''", 150.0),
            ("12' – 6\"", 150.0),
            ("3.81 m", 150.0),
            ("3810mm", 150.0),
            ("3,810 mm", 150.0),
            ("381 cm", 150.0),
            ("12.5", 150.0),
            ("147 1/2", 1770.0),
            ("-0'-8 3/4\"", -8.75),
            ("−0'-8 3/4\"", -8.75),
            ("+3\"", 3.0),
            ("  7' ", 84.0),
        ] {
            assert_eq!(inches(text), expected, "{text}");
        }
        for (glyph, expected) in ["½", "¼", "¾", "⅛", "⅜", "⅝", "⅞"]
            .into_iter()
            .zip([0.5, 0.25, 0.75, 0.125, 0.375, 0.625, 0.875])
        {
            assert_eq!(inches(&format!("1'-2{glyph}\"")), 14.0 + expected);
        }
    }

    #[test]
    fn a_bare_number_is_in_the_unit_of_the_job() {
        for (unit, expected) in [
            (LengthUnit::Feet, 1524.0),
            (LengthUnit::Inches, 127.0),
            (LengthUnit::Meters, 127_000.0 / 25.4),
            (LengthUnit::Millimeters, 5.0),
        ] {
            assert_eq!(parse_length("127", unit).unwrap().to_inches(), expected);
        }
        // Decimal feet are tenths: seven and a half feet are 7'-6", not 7'-5".
        assert_eq!(inches("7.50"), 90.0);
        assert_eq!(parse_length("147 1/2", LengthUnit::Inches).unwrap().to_inches(), 147.5);
    }

    #[test]
    fn what_is_no_length_is_refused_at_its_place() {
        for (text, at) in [
            ("", 0),
            ("   ", 3),
            ("12'-13\"", 4),
            ("12'-12\"", 4),
            ("12' 11 9/8\"", 7),
            ("3/0", 2),
            ("3/", 1),
            ("3/x", 1),
            ("1.5/2", 0),
            ("1/2.5", 2),
            ("12-1/2", 0),
            ("12 6", 3),
            ("12'-", 4),
            ("12.5' 6\"", 6),
            ("12.5-6", 4),
            ("abc", 0),
            ("12 yards", 3),
            ("12' x", 4),
            ("12\" 6", 4),
            ("3 m 20", 4),
            ("3,81 m", 1),
            ("1e3", 1),
            ("NaN", 0),
            ("inf", 0),
            ("--3", 1),
            ("3+4", 1),
            ("'6", 0),
            ("12'6\"7", 5),
            ("12#", 2),
            ("9999999999999", 0),
        ] {
            let error = parse_length(text, LengthUnit::Feet).unwrap_err();
            assert_eq!(error.at, at, "{text}: {error}");
            assert!(!error.message.is_empty());
        }
    }

    #[test]
    fn minus_zero_does_not_arise() {
        assert!(inches("-0").is_sign_positive());
        assert!(inches("-0'-0\"").is_sign_positive());
    }
}
