//! Text and its metrics, from the one face that is embedded.
//!
//! The face is DejaVu Sans 2.37 (licence beside it): it has the prime marks, the diameter sign,
//! vulgar fractions and arrows that slab sheets need, and its 1 and 7, 6, 8 and 9 are distinct.
//! Widths are the font's own advance widths, so PDF, SVG and picture break lines alike.

use super::style::Ink;
use super::{Rect, Spot, path};
use std::sync::OnceLock;

/// Which cut of the face.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, PartialOrd, Ord)]
pub enum Face {
    /// Book weight.
    #[default]
    Regular,
    /// Bold.
    Bold,
}

impl Face {
    /// The TrueType file.
    #[must_use]
    pub const fn bytes(self) -> &'static [u8] {
        match self {
            Self::Regular => include_bytes!("fonts/DejaVuSans.ttf"),
            Self::Bold => include_bytes!("fonts/DejaVuSans-Bold.ttf"),
        }
    }

    /// Its name without spaces, as PDF wants it.
    #[must_use]
    pub const fn name(self) -> &'static str {
        match self {
            Self::Regular => "DejaVuSans",
            Self::Bold => "DejaVuSans-Bold",
        }
    }
}

/// Height of capitals as a share of the text size (1493 of 2048 units, measured on the face's H).
pub const CAP_HEIGHT: f64 = 0.729;
/// How far letters such as g reach below the line, as a share of the text size.
pub const DESCENT: f64 = 0.236;
/// From one line to the next, as a share of the text size.
pub const LINE_PITCH: f64 = 1.25;
/// Text size for capitals 3/32 in high: notes.
pub const NOTE_SIZE: f64 = 6.75 / CAP_HEIGHT;
/// Text size for capitals 1/8 in high: numbers that get built.
pub const BUILT_SIZE: f64 = 9.0 / CAP_HEIGHT;

/// Where text stands against its spot, from left to right.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub enum Across {
    /// It starts there.
    #[default]
    Start,
    /// Its middle is there.
    Middle,
    /// It ends there.
    End,
}

/// Where text stands against its spot, up and down.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub enum Upright {
    /// The spot is on the writing line.
    #[default]
    Baseline,
    /// The spot is half way up the capitals.
    Middle,
    /// The spot is at the top of the capitals.
    Top,
}

/// A line of text.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Text {
    /// Where it stands.
    pub at: Spot,
    /// What it says.
    pub content: String,
    /// Size in points: capitals are 0.729 of it.
    pub size: f64,
    /// Weight.
    pub face: Face,
    /// Colour.
    pub ink: Ink,
    /// How it stands from left to right.
    pub across: Across,
    /// How it stands up and down.
    pub upright: Upright,
    /// Turn in radians, counter-clockwise as seen.
    pub angle: f64,
}

impl Text {
    /// A line of text that starts at a spot.
    #[must_use]
    pub fn new(at: Spot, size: f64, content: impl Into<String>) -> Self {
        Self { at, size, content: content.into(), ..Self::default() }
    }

    /// The same with its middle at the spot.
    #[must_use]
    pub fn centered(self) -> Self {
        Self { across: Across::Middle, upright: Upright::Middle, ..self }
    }

    /// The same, ending at the spot.
    #[must_use]
    pub fn ending(self) -> Self {
        Self { across: Across::End, ..self }
    }

    /// The same in bold.
    #[must_use]
    pub fn bold(self) -> Self {
        Self { face: Face::Bold, ..self }
    }

    /// The same, turned.
    #[must_use]
    pub fn turned(self, angle: f64) -> Self {
        Self { angle, ..self }
    }

    /// The same in another colour.
    #[must_use]
    pub fn inked(self, ink: Ink) -> Self {
        Self { ink, ..self }
    }

    /// Its length along the line, in points.
    #[must_use]
    pub fn width(&self) -> f64 {
        width(&self.content, self.face, self.size)
    }

    /// Where the writing line starts on paper (y down).
    #[must_use]
    pub fn origin(&self) -> Spot {
        let (along, up) = self.axes();
        let back = match self.across {
            Across::Start => 0.0,
            Across::Middle => self.width() / 2.0,
            Across::End => self.width(),
        };
        let drop = match self.upright {
            Upright::Baseline => 0.0,
            Upright::Middle => self.size * CAP_HEIGHT / 2.0,
            Upright::Top => self.size * CAP_HEIGHT,
        };
        self.at - along * back - up * drop
    }

    /// Steps of length 1 along and up from the writing line, on paper (y down).
    #[must_use]
    pub fn axes(&self) -> (super::Vec2, super::Vec2) {
        let along = path::direction(-self.angle);
        (along, super::Vec2::new(along.y, -along.x))
    }

    /// The corners of the box round its letters, on paper: from the deepest letter to the top of
    /// the capitals.
    #[must_use]
    pub fn corners(&self) -> [Spot; 4] {
        let (along, up) = self.axes();
        let start = self.origin() - up * (self.size * DESCENT);
        let (width, height) = (along * self.width(), up * (self.size * (DESCENT + CAP_HEIGHT)));
        [start, start + width, start + width + height, start + height]
    }

    /// The upright box round it.
    #[must_use]
    pub fn bounds(&self) -> Rect {
        let corners = self.corners();
        let [first, ..] = corners;
        corners.iter().fold(Rect::from_points(first, first), |rect, &spot| rect.union_pt(spot))
    }
}

/// Advance widths of the characters below this number are kept in a table.
const TABLE_END: u32 = 0x2800;

struct Advances {
    /// In thousandths of the text size, by character.
    by_character: Vec<f64>,
    /// Of a character the face does not have.
    missing: f64,
}

fn advances(face: Face) -> &'static Advances {
    static REGULAR: OnceLock<Advances> = OnceLock::new();
    static BOLD: OnceLock<Advances> = OnceLock::new();
    let cell = match face {
        Face::Regular => &REGULAR,
        Face::Bold => &BOLD,
    };
    cell.get_or_init(|| measure(face))
}

fn measure(face: Face) -> Advances {
    let Ok(font) = ttf_parser::Face::parse(face.bytes(), 0) else {
        return Advances { by_character: Vec::new(), missing: 0.6 };
    };
    let per_em = f64::from(font.units_per_em());
    let missing = font.glyph_hor_advance(ttf_parser::GlyphId(0)).map_or(0.6, f64::from) / per_em;
    let by_character = (0..TABLE_END)
        .map(|code| {
            char::from_u32(code)
                .and_then(|character| font.glyph_index(character))
                .and_then(|glyph| font.glyph_hor_advance(glyph))
                .map_or(missing, |advance| f64::from(advance) / per_em)
        })
        .collect();
    Advances { by_character, missing }
}

/// How long a line of text is, in points.
#[must_use]
pub fn width(content: &str, face: Face, size: f64) -> f64 {
    let table = advances(face);
    content
        .chars()
        .map(|character| {
            let place = usize::try_from(u32::from(character)).unwrap_or(usize::MAX);
            table.by_character.get(place).copied().unwrap_or(table.missing)
        })
        .sum::<f64>()
        * size
}

/// Breaks text into lines no wider than `room`: at spaces, and within a word only when the word
/// alone is too wide. Line breaks in the text are kept.
#[must_use]
pub fn wrap(content: &str, face: Face, size: f64, room: f64) -> Vec<String> {
    let mut lines = Vec::new();
    for paragraph in content.lines() {
        let mut line = String::new();
        for word in paragraph.split_whitespace() {
            let longer = if line.is_empty() { word.to_owned() } else { format!("{line} {word}") };
            if width(&longer, face, size) <= room {
                line = longer;
                continue;
            }
            if !line.is_empty() {
                lines.push(std::mem::take(&mut line));
            }
            line = break_word(word, face, size, room, &mut lines);
        }
        lines.push(line);
    }
    lines
}

/// Pushes full lines of a word that is too wide and returns what is left of it.
fn break_word(word: &str, face: Face, size: f64, room: f64, lines: &mut Vec<String>) -> String {
    let mut line = String::new();
    for character in word.chars() {
        line.push(character);
        if width(&line, face, size) > room && line.chars().count() > 1 {
            line.pop();
            lines.push(std::mem::replace(&mut line, character.to_string()));
        }
    }
    line
}

/// The text, cut with an ellipsis when it is wider than `room`.
#[must_use]
pub fn fitted(content: &str, face: Face, size: f64, room: f64) -> String {
    // Line ends and tabs have no width of their own on a single line.
    let content: String = content.chars().map(|c| if c.is_control() { ' ' } else { c }).collect();
    if width(&content, face, size) <= room {
        return content;
    }
    let mut short = String::new();
    for character in content.chars() {
        short.push(character);
        if width(&short, face, size) + width("…", face, size) > room {
            short.pop();
            break;
        }
    }
    short.push('…');
    short
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_cap_height_is_the_fonts_own() {
        let font = ttf_parser::Face::parse(Face::Regular.bytes(), 0).unwrap();
        // The file has no figure of its own, so a flat capital is measured.
        let glyph = font.glyph_index('H').unwrap();
        let height = font.glyph_bounding_box(glyph).unwrap().y_max;
        assert!((f64::from(height) / f64::from(font.units_per_em()) - CAP_HEIGHT).abs() < 0.001);
        assert!((f64::from(height) / f64::from(font.units_per_em()) - CAP_HEIGHT).abs() < 0.001);
    }

    #[test]
    fn the_face_has_every_sign_that_sheets_use() {
        let font = ttf_parser::Face::parse(Face::Regular.bytes(), 0).unwrap();
        for sign in "0123456789'\"/-–—·×°²³±≤≥→←↑↓′″½¼¾⅛⅜⅝⅞…✓☐ØøéñüßФ".chars()
        {
            assert!(font.glyph_index(sign).is_some(), "{sign}");
        }
    }

    #[test]
    fn widths_add_up() {
        let size = 10.0;
        let sum = width("26'-0", Face::Regular, size) + width("\"", Face::Regular, size);
        assert!((width("26'-0\"", Face::Regular, size) - sum).abs() < 1e-9);
        // A digit of this face is 1303 of 2048 units wide.
        assert!((width("0", Face::Regular, 2048.0) - 1303.0).abs() < 1e-6);
    }

    #[test]
    fn wrapped_lines_fit_and_lose_nothing() {
        let text = "Cut within the window, keep the blade wet and wear a respirator \
                    Averyveryverylongwordthatcannotfitononeline end";
        let lines = wrap(text, Face::Regular, 9.0, 100.0);
        assert!(lines.iter().all(|line| width(line, Face::Regular, 9.0) <= 100.0));
        let squeeze = |text: &str| text.replace(' ', "");
        assert_eq!(squeeze(&lines.concat()), squeeze(text));
    }

    #[test]
    fn turned_text_stands_where_its_middle_is() {
        let text = Text::new(Spot::new(50.0, 50.0), 10.0, "12'-0\"").centered();
        for angle in [0.0, 0.7, std::f64::consts::FRAC_PI_2] {
            let [a, _, c, _] = text.clone().turned(angle).corners();
            let middle = a.midpoint(c);
            // The box reaches below the line by the descent, so its middle is a little lower.
            assert!(middle.distance(Spot::new(50.0, 50.0)) < 10.0 * DESCENT);
        }
    }

    #[test]
    fn fitted_text_fits() {
        let text = fitted(&"wide ".repeat(40), Face::Bold, 9.0, 80.0);
        assert!(width(&text, Face::Bold, 9.0) <= 80.0 && text.ends_with('…'));
    }
}
