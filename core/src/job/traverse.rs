//! A slab typed as walls walked round: `E 40' N 28' W 16' S 4' W 24' close`.
//!
//! A *leg* is a direction and a length; a *traverse* is the legs in order from a start corner.
//! Directions:
//! ```text
//! E  NW  south            compass letters and words
//! N 45°30' E   N45E       quadrant bearing; without a degree sign it stands without blanks,
//!                         for `N 26 W 38` is two legs
//! az 330   330°           azimuth, clockwise from north
//! left 90   right 45°     a turn from the leg before; without an angle it is a square one
//! ```
//! A leg may be followed by `bow 2'` when the wall is an arc that stands out of its chord by so
//! much in the middle (`bow in`, `bow left` and `bow right` say where to). Legs are separated by
//! blanks, line ends, semicolons or commas; `#` starts a note to the end of the line. How the end
//! meets the start is judged in [`super::closing`].

use super::closing::{Closing, close};
use super::read_error::{ReadError, TextPlace};
use crate::geometry::{Point, Vector};
use crate::units::{Length, LengthUnit, exact_math, parse_length};

/// The most characters a list of walls may have.
pub const LONGEST_WALLS: usize = 100_000;

/// One wall: a direction and a length, perhaps bowed.
#[derive(Clone, Debug, PartialEq)]
pub struct Leg {
    /// As it was typed.
    pub text: String,
    /// Where in the text it starts.
    pub place: TextPlace,
    /// Degrees clockwise from north.
    pub azimuth_degrees: f64,
    /// How long the wall, or the chord of a bowed one, is.
    pub length: Length,
    /// How far and where to the wall bows.
    pub bow: Option<Bow>,
}

/// The bow of a curved wall.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Bow {
    /// Which way.
    pub side: BowSide,
    /// How far the middle of the arc stands off the chord.
    pub by: Length,
}

/// Which way a wall bows.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum BowSide {
    /// Out of the slab.
    Out,
    /// Into the slab.
    In,
    /// To the left of the leg.
    Left,
    /// To the right of the leg.
    Right,
}

impl Leg {
    /// The step from its start to its end, in inches. Compass directions are exact.
    #[must_use]
    pub fn step(&self) -> Vector {
        direction(self.azimuth_degrees) * self.length.to_inches()
    }
}

/// A step of length 1 at an azimuth, exact at the quarter turns.
fn direction(azimuth_degrees: f64) -> Vector {
    let azimuth = azimuth_degrees.rem_euclid(360.0);
    match azimuth {
        0.0 => Vector::new(0.0, 1.0),
        90.0 => Vector::new(1.0, 0.0),
        180.0 => Vector::new(0.0, -1.0),
        270.0 => Vector::new(-1.0, 0.0),
        _ => {
            let (east, north) = exact_math::sin_cos(azimuth.to_radians());
            Vector::new(east, north)
        }
    }
}

/// A walked outline.
#[derive(Clone, Debug, PartialEq)]
pub struct Traverse {
    /// The typed legs.
    pub legs: Vec<Leg>,
    /// The corners, the first at the origin, each with the middle point of an arc to the next.
    pub corners: Vec<(Point, Option<Point>)>,
    /// How the end met the start.
    pub closing: Closing,
}

/// Reads a list of walls; bare numbers are in `bare_unit`.
///
/// # Errors
/// [`ReadError`] at the leg that cannot be read, or, when the walls do not close, at the leg that
/// is most likely wrong, with how far and where to the end misses the start.
pub fn parse_traverse(text: &str, bare_unit: LengthUnit) -> Result<Traverse, ReadError> {
    let mut reader = LegReader::new(text, bare_unit)?;
    let (legs, ending) = reader.legs()?;
    close(legs, ending)
}

/// How the list ends.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Ending {
    /// The last leg comes back to the start.
    Complete,
    /// `close`: one more straight side goes back to the start, square with its neighbors.
    Close,
    /// `close straight`: the same, at whatever angle it falls.
    CloseStraight,
}

struct LegReader<'text> {
    text: &'text str,
    characters: Vec<char>,
    at: usize,
    bare_unit: LengthUnit,
}

impl<'text> LegReader<'text> {
    fn new(text: &'text str, bare_unit: LengthUnit) -> Result<Self, ReadError> {
        let characters: Vec<char> = text.chars().take(LONGEST_WALLS + 1).collect();
        if characters.len() > LONGEST_WALLS {
            return Err(ReadError::whole(
                format!("The list of walls is longer than {LONGEST_WALLS} characters"),
                "Is it the right file?",
            ));
        }
        Ok(Self { text, characters, at: 0, bare_unit })
    }

    fn peek(&self) -> Option<char> {
        self.characters.get(self.at).copied()
    }

    fn ahead(&self, places: usize) -> Option<char> {
        self.characters.get(self.at + places).copied()
    }

    fn mistake(&self, at: usize, message: impl Into<String>, remedy: &str) -> ReadError {
        ReadError::at(TextPlace::of(self.text, at), message, remedy)
    }

    fn skip_blanks(&mut self) {
        while self.peek().is_some_and(|next| next.is_whitespace() && next != '\n') {
            self.at += 1;
        }
    }

    /// Goes past everything that may stand between legs.
    fn skip_separators(&mut self) {
        while let Some(next) = self.peek() {
            if next == '#' {
                while self.peek().is_some_and(|next| next != '\n') {
                    self.at += 1;
                }
            } else if next.is_whitespace() || matches!(next, ',' | ';') {
                self.at += 1;
            } else {
                break;
            }
        }
    }

    /// The word that stands here, in small letters, without going past it.
    fn word(&self) -> String {
        let letters = self.characters.iter().skip(self.at).take_while(|next| next.is_alphabetic());
        letters.take(20).flat_map(|letter| letter.to_lowercase()).collect()
    }

    fn skip_word(&mut self) {
        while self.peek().is_some_and(char::is_alphabetic) {
            self.at += 1;
        }
    }

    fn legs(&mut self) -> Result<(Vec<Leg>, Ending), ReadError> {
        let mut legs: Vec<Leg> = Vec::new();
        loop {
            self.skip_separators();
            if self.peek().is_none() {
                return Ok((legs, Ending::Complete));
            }
            if self.word() == "close" {
                self.skip_word();
                self.skip_separators();
                let ending = if self.word() == "straight" {
                    self.skip_word();
                    self.skip_separators();
                    Ending::CloseStraight
                } else {
                    Ending::Close
                };
                return match self.peek() {
                    None => Ok((legs, ending)),
                    Some(_) => Err(self.mistake(
                        self.at,
                        "Something follows after “close”",
                        "Let “close” be the last word",
                    )),
                };
            }
            let leg = self.leg(legs.last())?;
            legs.push(leg);
        }
    }

    fn leg(&mut self, before: Option<&Leg>) -> Result<Leg, ReadError> {
        let start = self.at;
        let azimuth_degrees = self.direction(before)?;
        let length = self.length()?;
        self.skip_blanks();
        let bow = if self.word() == "bow" { Some(self.bow()?) } else { None };
        let typed: String = self.characters.iter().skip(start).take(self.at - start).collect();
        Ok(Leg {
            text: typed.trim_end().to_owned(),
            place: TextPlace::of(self.text, start),
            azimuth_degrees,
            length,
            bow,
        })
    }

    fn direction(&mut self, before: Option<&Leg>) -> Result<f64, ReadError> {
        let start = self.at;
        if self.peek().is_some_and(|next| next.is_ascii_digit() || next == '.') {
            if !self.is_at_degrees() {
                return Err(self.mistake(
                    start,
                    "A direction is missing before the length",
                    "Write the direction first, as in E 40' or 330° 30'",
                ));
            }
            return self.angle();
        }
        let word = self.word();
        if let Some(azimuth) = compass(&word) {
            self.skip_word();
            return if azimuth == 0.0 || azimuth == 180.0 {
                Ok(self.bearing(azimuth == 0.0)?.unwrap_or(azimuth))
            } else {
                Ok(azimuth)
            };
        }
        let turn = match word.as_str() {
            "az" | "azimuth" => {
                self.skip_word();
                self.skip_blanks();
                return self.angle();
            }
            "left" | "l" => -1.0,
            "right" | "r" => 1.0,
            _ => {
                let found = if word.is_empty() {
                    self.peek().map(String::from).unwrap_or_default()
                } else {
                    word
                };
                return Err(self.mistake(
                    start,
                    format!("“{found}” is no direction"),
                    "Write N, E, S or W, a bearing such as N 45° E, az 330, left, right, or close",
                ));
            }
        };
        let Some(before) = before else {
            return Err(self.mistake(
                start,
                "The first leg cannot turn from a leg before it",
                "Begin with N, E, S or W",
            ));
        };
        self.skip_word();
        self.skip_blanks();
        let angle = if self.is_at_turn_angle() { self.angle()? } else { 90.0 };
        Ok((before.azimuth_degrees + turn * angle).rem_euclid(360.0))
    }

    /// The rest of a quadrant bearing after its N or S; `None` when what follows is a length.
    fn bearing(&mut self, from_north: bool) -> Result<Option<f64>, ReadError> {
        let start = self.at;
        let is_adjoining = self.peek().is_some_and(|next| next.is_ascii_digit());
        self.skip_blanks();
        let number_at = self.at;
        let has_degrees = self.is_at_degrees();
        let angle = if has_degrees {
            self.angle()?
        } else if is_adjoining {
            self.plain_number()?
        } else {
            self.at = start;
            return Ok(None);
        };
        if has_degrees {
            self.skip_blanks();
        }
        let sign = match self.word().as_str() {
            "e" | "east" => 1.0,
            "w" | "west" => -1.0,
            _ if has_degrees => {
                return Err(self.mistake(
                    self.at,
                    "A bearing ends with E or W",
                    "Write it as N 45°30' E",
                ));
            }
            _ => {
                self.at = start;
                return Ok(None);
            }
        };
        let letters = self.word().chars().count();
        if !has_degrees && self.ahead(letters).is_some_and(|next| next.is_ascii_digit()) {
            // `N26W38` is two legs.
            self.at = start;
            return Ok(None);
        }
        if angle > 90.0 {
            return Err(self.mistake(
                number_at,
                "The angle of a bearing is at most 90 degrees",
                "Write az and the azimuth for other angles",
            ));
        }
        self.skip_word();
        let azimuth = if from_north { sign * angle } else { 180.0 - sign * angle };
        Ok(Some(azimuth.rem_euclid(360.0)))
    }

    /// Whether a number with a degree sign or word stands here.
    fn is_at_degrees(&self) -> bool {
        let digits = self.digits_here();
        let blanks = self.blanks_after(digits);
        digits > 0
            && match self.ahead(digits + blanks) {
                Some('°' | 'º') => true,
                Some(letter) if letter.is_alphabetic() => {
                    let word: String = self
                        .characters
                        .iter()
                        .skip(self.at + digits + blanks)
                        .take_while(|next| next.is_alphabetic())
                        .take(8)
                        .flat_map(|letter| letter.to_lowercase())
                        .collect();
                    matches!(word.as_str(), "deg" | "degree" | "degrees")
                }
                _ => false,
            }
    }

    /// Whether the angle of a turn stands here: degrees, or a bare number before another number.
    fn is_at_turn_angle(&self) -> bool {
        let digits = self.digits_here();
        let blanks = self.blanks_after(digits);
        self.is_at_degrees()
            || (digits > 0
                && blanks > 0
                && self
                    .ahead(digits + blanks)
                    .is_some_and(|next| next.is_ascii_digit() || next == '.'))
    }

    fn digits_here(&self) -> usize {
        let here = self.characters.iter().skip(self.at);
        here.take_while(|next| next.is_ascii_digit() || **next == '.').count()
    }

    fn blanks_after(&self, places: usize) -> usize {
        let after = self.characters.iter().skip(self.at + places);
        after.take_while(|next| matches!(next, ' ' | '\t')).count()
    }

    fn plain_number(&mut self) -> Result<f64, ReadError> {
        let digits = self.digits_here();
        let typed: String = self.characters.iter().skip(self.at).take(digits).collect();
        let number: f64 = typed.parse().map_err(|_| {
            self.mistake(self.at, "An angle is expected here", "Write degrees, as in 45 or 45°30'")
        })?;
        self.at += digits;
        Ok(number)
    }

    /// Degrees, perhaps with minutes and seconds, up to a full turn.
    fn angle(&mut self) -> Result<f64, ReadError> {
        let start = self.at;
        let mut angle = self.plain_number()?;
        let blanks_before = self.blanks_after(0);
        match self.ahead(blanks_before) {
            Some('°' | 'º') => {
                self.at += blanks_before + 1;
                for (marks, share) in [(['\'', '′', '’'], 60.0), (['"', '″', '”'], 3600.0)]
                {
                    let digits = self.digits_here();
                    if digits > 0 && self.ahead(digits).is_some_and(|mark| marks.contains(&mark)) {
                        let part = self.plain_number()?;
                        self.at += 1;
                        if part >= 60.0 {
                            return Err(self.mistake(
                                start,
                                "Minutes and seconds of an angle are below 60",
                                "Carry them over to the degrees",
                            ));
                        }
                        angle += part / share;
                    }
                }
            }
            Some(letter) if letter.is_alphabetic() && self.is_degree_word(blanks_before) => {
                self.at += blanks_before;
                self.skip_word();
            }
            _ => {}
        }
        if angle <= 360.0 {
            Ok(angle)
        } else {
            Err(self.mistake(start, "An angle is at most 360 degrees", "Check the number"))
        }
    }

    fn is_degree_word(&self, places: usize) -> bool {
        let after = self.characters.iter().skip(self.at + places);
        let word: String = after.take_while(|next| next.is_alphabetic()).take(8).collect();
        matches!(word.to_lowercase().as_str(), "deg" | "degree" | "degrees")
    }

    fn bow(&mut self) -> Result<Bow, ReadError> {
        self.skip_word();
        self.skip_blanks();
        let side = match self.word().as_str() {
            "out" => Some(BowSide::Out),
            "in" => Some(BowSide::In),
            "left" => Some(BowSide::Left),
            "right" => Some(BowSide::Right),
            _ => None,
        };
        if side.is_some() {
            self.skip_word();
        }
        Ok(Bow { side: side.unwrap_or(BowSide::Out), by: self.length()? })
    }

    /// Reads the length that stands here, up to the next direction, separator or note.
    fn length(&mut self) -> Result<Length, ReadError> {
        self.skip_blanks();
        let start = self.at;
        let mut end = start;
        while let Some(next) = self.peek() {
            let is_grouping = next == ','
                && self.at > start
                && self.characters.get(self.at - 1).is_some_and(char::is_ascii_digit)
                && self.ahead(1).is_some_and(|after| after.is_ascii_digit());
            let starts_number = next.is_ascii_digit()
                && self.at > start
                && self.characters.get(self.at - 1).is_some_and(|before| before.is_whitespace());
            if matches!(next, '\n' | ';' | '#')
                || (next == ',' && !is_grouping)
                || (starts_number && self.is_at_degrees())
                || (next.is_alphabetic() && is_keyword(&self.word()))
            {
                break;
            }
            if next.is_alphabetic() {
                self.skip_word();
            } else {
                self.at += 1;
            }
            end = self.at;
        }
        let typed: String = self.characters.iter().skip(start).take(end - start).collect();
        let length = parse_length(&typed, self.bare_unit).map_err(|error| {
            let at = start + error.at.min(typed.trim_end().chars().count());
            self.mistake(at, error.message, "Write lengths as 12'-6 1/2\" or 3.81 m")
        })?;
        if length.to_inches() <= 0.0 {
            return Err(self.mistake(start, "A wall is longer than nothing", "Check the length"));
        }
        Ok(length)
    }
}

fn compass(word: &str) -> Option<f64> {
    Some(match word {
        "n" | "north" => 0.0,
        "ne" | "northeast" => 45.0,
        "e" | "east" => 90.0,
        "se" | "southeast" => 135.0,
        "s" | "south" => 180.0,
        "sw" | "southwest" => 225.0,
        "w" | "west" => 270.0,
        "nw" | "northwest" => 315.0,
        _ => return None,
    })
}

fn is_keyword(word: &str) -> bool {
    compass(word).is_some()
        || matches!(word, "left" | "l" | "right" | "r" | "az" | "azimuth" | "close" | "bow")
}
