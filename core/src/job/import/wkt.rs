//! Well-known text of one polygon: `POLYGON ((0 0, 40 0, 40 28, 0 0), (hole…))`.
//!
//! # Source
//! OGC Simple Features, Part 1 (ISO 19125-1), well-known text of `POLYGON`; from memory. Heights
//! and measures (`POLYGON Z`, `M`, `ZM`) are read over. The direction of rings is free.

use super::{Imported, RawRing, finish};
use crate::geometry::Point;
use crate::job::read_error::{ReadError, TextPlace};
use crate::units::LengthUnit;

/// Reads the one polygon of a text.
///
/// # Errors
/// [`ReadError`] at the first character that does not fit, or where the shape cannot be a slab.
pub fn read(text: &str, unit: LengthUnit) -> Result<Imported, ReadError> {
    let mut reader = Reader { text, rest: text };
    let mut notes = Vec::new();
    reader.kind()?;
    let rings = reader.rings(unit, &mut notes)?;
    reader.skip_blanks();
    if !reader.rest.is_empty() {
        return Err(reader.mistake("Something follows after the polygon", "Keep one polygon only"));
    }
    finish(rings, notes)
}

struct Reader<'text> {
    text: &'text str,
    rest: &'text str,
}

impl Reader<'_> {
    fn place(&self) -> TextPlace {
        let read = self.text.len() - self.rest.len();
        let at = self.text.get(..read).map_or(0, |before| before.chars().count());
        TextPlace::of(self.text, at)
    }

    fn mistake(&self, message: impl Into<String>, remedy: &str) -> ReadError {
        ReadError::at(self.place(), message, remedy)
    }

    fn skip_blanks(&mut self) {
        self.rest =
            self.rest.trim_start_matches(|next: char| next.is_whitespace() || next == '\u{feff}');
    }

    fn takes(&mut self, wanted: char) -> bool {
        self.skip_blanks();
        match self.rest.strip_prefix(wanted) {
            Some(rest) => {
                self.rest = rest;
                true
            }
            None => false,
        }
    }

    fn require(&mut self, wanted: char, why: &str) -> Result<(), ReadError> {
        if self.takes(wanted) {
            Ok(())
        } else {
            Err(self
                .mistake(format!("“{wanted}” is missing {why}"), "Write POLYGON ((x y, x y, …))"))
        }
    }

    fn word(&mut self) -> String {
        self.skip_blanks();
        let end =
            self.rest.find(|next: char| !next.is_ascii_alphabetic()).unwrap_or(self.rest.len());
        let (word, rest) = self.rest.split_at(end);
        self.rest = rest;
        word.to_ascii_uppercase()
    }

    fn kind(&mut self) -> Result<(), ReadError> {
        self.skip_blanks();
        let start = self.rest;
        let kind = self.word();
        match kind.as_str() {
            "POLYGON" => {}
            "POLYGONZ" | "POLYGONM" | "POLYGONZM" => return Ok(()),
            "MULTIPOLYGON" => {
                self.rest = start;
                return Err(self.mistake(
                    "A MULTIPOLYGON is more than one slab",
                    "Save each polygon as a job of its own",
                ));
            }
            other => {
                let found = if other.is_empty() {
                    "no geometry".to_owned()
                } else {
                    format!("“{other}”")
                };
                self.rest = start;
                return Err(self.mistake(
                    format!("A POLYGON is expected here, not {found}"),
                    "Write POLYGON ((x y, x y, …))",
                ));
            }
        }
        let before = self.rest;
        match self.word().as_str() {
            "" | "Z" | "M" | "ZM" => Ok(()),
            "EMPTY" => {
                self.rest = before;
                Err(self.mistake("The polygon is empty", "Export one with corners"))
            }
            other => {
                let message = format!("“{other}” has no place after POLYGON");
                self.rest = before;
                Err(self.mistake(message, "Write POLYGON ((x y, x y, …))"))
            }
        }
    }

    fn rings(
        &mut self,
        unit: LengthUnit,
        notes: &mut Vec<String>,
    ) -> Result<Vec<RawRing>, ReadError> {
        self.require('(', "before the rings")?;
        let mut rings = Vec::new();
        let mut corners = 0;
        loop {
            self.require('(', "before a ring")?;
            let mut ring = RawRing::default();
            loop {
                self.skip_blanks();
                let place = self.place_quickly(corners);
                let x = self.number()?;
                let y = self.number()?;
                self.skip_heights()?;
                let at = Point::new(unit.length(x).to_inches(), unit.length(y).to_inches());
                ring.points.push((at, place));
                corners += 1;
                if corners > super::MOST_POINTS {
                    return Err(
                        self.mistake("There are too many corners", "Simplify the outline first")
                    );
                }
                if !self.takes(',') {
                    break;
                }
            }
            self.require(')', "after a ring")?;
            let is_closed = match (ring.points.first(), ring.points.last()) {
                (Some((first, _)), Some((last, _))) => first.is_near(*last),
                _ => false,
            };
            if !is_closed {
                notes.push(format!(
                    "Ring {} did not repeat its first corner at the end; it was closed straight",
                    rings.len() + 1
                ));
            }
            rings.push(ring);
            if !self.takes(',') {
                break;
            }
        }
        self.require(')', "after the last ring")?;
        Ok(rings)
    }

    /// The place of a corner; counting lines from the start for each of very many would be slow.
    fn place_quickly(&self, corners: usize) -> Option<TextPlace> {
        (corners < 2000).then(|| self.place())
    }

    fn number(&mut self) -> Result<f64, ReadError> {
        self.skip_blanks();
        let end = self
            .rest
            .find(|next: char| next.is_whitespace() || matches!(next, ',' | '(' | ')'))
            .unwrap_or(self.rest.len());
        let (word, rest) = self.rest.split_at(end);
        let looks_like_one =
            word.starts_with(|first: char| first.is_ascii_digit() || "+-.".contains(first));
        let number: Option<f64> =
            word.parse().ok().filter(|number: &f64| looks_like_one && number.is_finite());
        match number {
            Some(number) => {
                self.rest = rest;
                Ok(number)
            }
            None if word.is_empty() => {
                Err(self
                    .mistake("A number is missing", "Each corner is x and y, parted by a blank"))
            }
            None => {
                let shown: String = word.chars().take(20).collect();
                Err(self.mistake(format!("“{shown}” is not a number"), "Write numbers as 12.5"))
            }
        }
    }

    /// Reads over up to two more numbers of a corner.
    fn skip_heights(&mut self) -> Result<(), ReadError> {
        for _ in 0..2 {
            self.skip_blanks();
            if self.rest.starts_with([',', ')']) || self.rest.is_empty() {
                break;
            }
            self.number()?;
        }
        Ok(())
    }
}
