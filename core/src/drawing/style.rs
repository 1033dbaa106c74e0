//! Pens, dashes, hatches and inks: black and white first, colour only as help.
//!
//! Widths are the ISO 128-2 series in points; dash lengths are that standard's multiples of the
//! line width (long dash 24, dash 12, space 3, dot at most 0.5; from memory).

/// A point of 1/72 in for a millimetre.
const POINTS_PER_MM: f64 = 72.0 / 25.4;

/// A named layer: viewers can switch it off.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub struct Layer(pub &'static str);

/// What colour a mark has. Every distinction made by a colour is also made by line type, width
/// or words; the grays stay apart when copied.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, PartialOrd, Ord)]
pub enum Ink {
    /// Black.
    #[default]
    Black,
    /// Dark gray: other trades' lines.
    DarkGray,
    /// Middle gray.
    MidGray,
    /// Light gray: fills beneath other things.
    LightGray,
    /// Very light gray: fills beneath text.
    PaleGray,
    /// The paper itself, to knock a hole into hatching.
    Paper,
    /// Blue: cold, return, below.
    Blue,
    /// Vermillion: hot, supply, above, stop.
    Red,
    /// Bluish green: within tolerance.
    Green,
    /// Orange: look at it.
    Orange,
}

impl Ink {
    /// Red, green and blue, 0 to 255. The colours are those of the Okabe–Ito palette, which
    /// stays apart for colour-blind readers (secondary source).
    #[must_use]
    pub const fn rgb(self) -> [u8; 3] {
        match self {
            Self::Black => [0, 0, 0],
            Self::DarkGray => [96, 96, 96],
            Self::MidGray => [150, 150, 150],
            Self::LightGray => [208, 208, 208],
            Self::PaleGray => [238, 238, 238],
            Self::Paper => [255, 255, 255],
            Self::Blue => [0x00, 0x72, 0xB2],
            Self::Red => [0xD5, 0x5E, 0x00],
            Self::Green => [0x00, 0x9E, 0x73],
            Self::Orange => [0xE6, 0x9F, 0x00],
        }
    }
}

/// The rhythm of a line, ISO 128-2 line types 01, 02, 04, 05 and 07.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, PartialOrd, Ord)]
pub enum Dash {
    /// Continuous.
    #[default]
    Solid,
    /// Dashed: hidden below.
    Dashed,
    /// Long dash, dot: saw cuts.
    LongDashDot,
    /// Long dash, two dots: isolation joints.
    LongDashDoubleDot,
    /// Dotted.
    Dotted,
}

impl Dash {
    /// Lengths of ink and gap in turn for a line `width` wide; empty for a continuous line.
    #[must_use]
    pub fn pattern(self, width: f64) -> Vec<f64> {
        // Thin lines are drawn as if they were a little wider, so that a dot is not lost in print.
        let d = width.max(0.5);
        let lengths: &[f64] = match self {
            Self::Solid => &[],
            Self::Dashed => &[8.0, 3.0],
            Self::LongDashDot => &[20.0, 3.0, 1.0, 3.0],
            Self::LongDashDoubleDot => &[14.0, 3.0, 1.0, 3.0, 1.0, 3.0],
            Self::Dotted => &[1.0, 3.0],
        };
        lengths.iter().map(|length| length * d).collect()
    }
}

/// What a line is drawn with. `width` is in points.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Pen {
    /// Line width in points of 1/72 in.
    pub width: f64,
    /// Rhythm.
    pub dash: Dash,
    /// Colour.
    pub ink: Ink,
}

impl Pen {
    /// 0.13 mm: hatching. Office printers drop anything thinner.
    pub const HAIR: Self = Self::mm(0.13);
    /// 0.18 mm: dimensions, leaders, seams.
    pub const FINE: Self = Self::mm(0.18);
    /// 0.25 mm: tables, symbols.
    pub const THIN: Self = Self::mm(0.25);
    /// 0.35 mm: tube, joints, hidden edges.
    pub const MEDIUM: Self = Self::mm(0.35);
    /// 0.5 mm: ticks, what a sheet is about.
    pub const WIDE: Self = Self::mm(0.5);
    /// 0.7 mm: slab edge, frame.
    pub const HEAVY: Self = Self::mm(0.7);

    /// A continuous black pen of a width in millimetres.
    #[must_use]
    pub const fn mm(width: f64) -> Self {
        Self { width: width * POINTS_PER_MM, dash: Dash::Solid, ink: Ink::Black }
    }

    /// The same pen with another rhythm.
    #[must_use]
    pub const fn dashed(self, dash: Dash) -> Self {
        Self { dash, ..self }
    }

    /// The same pen in another colour.
    #[must_use]
    pub const fn inked(self, ink: Ink) -> Self {
        Self { ink, ..self }
    }
}

/// Parallel lines that fill an area, in paper units whatever the scale.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Hatch {
    /// Direction of the lines, degrees counter-clockwise as seen.
    pub angle_degrees: f64,
    /// Distance from line to line in points; at least 1 mm reads well.
    pub spacing: f64,
    /// A second set at right angles.
    pub is_crossed: bool,
    /// Pen of the lines.
    pub pen: Pen,
}

impl Hatch {
    /// Plain 45 degree hatch, 2 mm apart: a cut through concrete.
    pub const CUT: Self = Self {
        angle_degrees: 45.0,
        spacing: 2.0 * POINTS_PER_MM,
        is_crossed: false,
        pen: Pen::HAIR,
    };
    /// Crossed lines 2 mm apart: rigid foam.
    pub const FOAM: Self = Self { is_crossed: true, ..Self::CUT };
    /// Wide single lines 4 mm apart: ground.
    pub const GROUND: Self = Self {
        angle_degrees: 135.0,
        spacing: 4.0 * POINTS_PER_MM,
        is_crossed: false,
        pen: Pen::HAIR,
    };
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_medium_line_is_0_992_points() {
        assert!((Pen::MEDIUM.width - 0.992).abs() < 0.001);
    }

    #[test]
    fn no_pen_is_thinner_than_printers_keep() {
        const { assert!(Pen::HAIR.width >= 0.368) }
    }

    #[test]
    fn dash_patterns_come_in_pairs() {
        for dash in [Dash::Dashed, Dash::LongDashDot, Dash::LongDashDoubleDot, Dash::Dotted] {
            assert_eq!(dash.pattern(1.0).len() % 2, 0);
        }
    }
}
