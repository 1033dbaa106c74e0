//! The words of a [`ShapeFault`]: which sides, where, and what to do.

use super::Point;
use super::tolerance::LARGEST_COORDINATE_IN;
use super::validity::{RingRole, ShapeFault, SideOf};
use crate::units::{Length, Rounding, show_length};
use std::fmt;

impl ShapeFault {
    /// Where it is; `None` where no place can be named.
    #[must_use]
    pub const fn place(&self) -> Option<Point> {
        match *self {
            Self::NotFinite { .. } | Self::TooFar { .. } | Self::TooFewSides { .. } => None,
            Self::ZeroLengthSide { at, .. }
            | Self::ShortSide { at, .. }
            | Self::Spike { at, .. }
            | Self::RepeatedCorner { at, .. }
            | Self::CrossingSides { at, .. }
            | Self::TouchingSides { at, .. }
            | Self::TooSmall { at, .. }
            | Self::OpeningOutside { at, .. }
            | Self::OpeningCrossesOutline { at, .. }
            | Self::OpeningTouchesOutline { at, .. }
            | Self::OpeningsOverlap { at, .. }
            | Self::OpeningsTouch { at, .. } => Some(at),
        }
    }

    /// The sides it is about, none for a fault of whole rings.
    #[must_use]
    pub fn sides(&self) -> Vec<SideOf> {
        match *self {
            Self::NotFinite { side }
            | Self::TooFar { side }
            | Self::ZeroLengthSide { side, .. }
            | Self::ShortSide { side, .. } => vec![side],
            Self::Spike { before: first, after: second, .. }
            | Self::RepeatedCorner { first, second, .. }
            | Self::CrossingSides { first, second, .. }
            | Self::TouchingSides { first, second, .. }
            | Self::OpeningCrossesOutline { opening: first, outline: second, .. }
            | Self::OpeningTouchesOutline { opening: first, outline: second, .. } => {
                vec![first, second]
            }
            Self::TooFewSides { .. }
            | Self::TooSmall { .. }
            | Self::OpeningOutside { .. }
            | Self::OpeningsOverlap { .. }
            | Self::OpeningsTouch { .. } => Vec::new(),
        }
    }

    /// The rings it is about, each once.
    #[must_use]
    pub fn rings(&self) -> Vec<RingRole> {
        let mut rings: Vec<RingRole> = match *self {
            Self::TooFewSides { ring } | Self::TooSmall { ring, .. } => vec![ring],
            Self::OpeningOutside { opening, .. } => vec![RingRole::Opening(opening)],
            Self::OpeningsOverlap { first, second, .. }
            | Self::OpeningsTouch { first, second, .. } => {
                vec![RingRole::Opening(first), RingRole::Opening(second)]
            }
            _ => self.sides().iter().map(|side| side.ring).collect(),
        };
        rings.dedup();
        rings
    }

    /// What to do about it.
    #[must_use]
    pub const fn remedy(&self) -> &'static str {
        match self {
            Self::NotFinite { .. } => "Type the corner again",
            Self::TooFar { .. } => "Move the plan near to its origin",
            Self::TooFewSides { .. } => "Draw at least three sides",
            Self::ZeroLengthSide { .. } => "Take one of the two corners out",
            Self::ShortSide { .. } => "Take one of its corners out, or make it longer",
            Self::Spike { .. } => "Take the corner at the tip out",
            Self::RepeatedCorner { .. } | Self::TouchingSides { .. } => {
                "Pull the two apart, or draw two slabs"
            }
            Self::CrossingSides { .. } => {
                "Drag a corner of one of the sides until they no longer cross"
            }
            Self::TooSmall { .. } => "Check the unit of the numbers",
            Self::OpeningOutside { .. } => "Move the opening into the slab, or delete it",
            Self::OpeningCrossesOutline { .. } | Self::OpeningTouchesOutline { .. } => {
                "Move the opening in, or draw it as a notch of the outline"
            }
            Self::OpeningsOverlap { .. } | Self::OpeningsTouch { .. } => {
                "Pull the openings apart, or draw them as one"
            }
        }
    }
}

/// A place as people read it: feet and inches east and north of the origin.
fn place(at: Point) -> String {
    let show = |inches| show_length(Length::inches(inches), Rounding::Sixteenth);
    format!("{} east, {} north", show(at.x), show(at.y))
}

impl fmt::Display for RingRole {
    fn fmt(&self, formatter: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Self::Outline => write!(formatter, "the outline"),
            Self::Opening(number) => write!(formatter, "opening {}", number + 1),
        }
    }
}

impl fmt::Display for SideOf {
    fn fmt(&self, formatter: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(formatter, "side {} of {}", self.side + 1, self.ring)
    }
}

impl fmt::Display for ShapeFault {
    fn fmt(&self, formatter: &mut fmt::Formatter<'_>) -> fmt::Result {
        let words = self.words();
        let mut letters = words.chars();
        let first = letters.next().into_iter().flat_map(char::to_uppercase).collect::<String>();
        write!(formatter, "{first}{}", letters.as_str())
    }
}

impl ShapeFault {
    /// What is wrong, in words that start small.
    fn words(&self) -> String {
        match *self {
            Self::NotFinite { side } => format!("A corner of {side} is not a number"),
            Self::TooFar { side } => {
                let most = LARGEST_COORDINATE_IN / 12.0;
                format!("{side} reaches more than {most:.0} ft from the origin")
            }
            Self::TooFewSides { ring } => format!("{ring} has too few sides to enclose anything"),
            Self::ZeroLengthSide { side, at } => {
                format!("{side} has no length, at {}", place(at))
            }
            Self::ShortSide { side, at, length } => {
                format!("{side} is only {length:.3} in long, at {}", place(at))
            }
            Self::Spike { before, after, at } => {
                format!("{before} and {after} run back over each other, at {}", place(at))
            }
            Self::RepeatedCorner { first, second, at } => {
                format!("{first} and {second} have a corner at the same place, {}", place(at))
            }
            Self::CrossingSides { first, second, at } => {
                format!("{first} and {second} cross, at {}", place(at))
            }
            Self::TouchingSides { first, second, at } => {
                format!("{first} and {second} touch, at {}", place(at))
            }
            Self::TooSmall { ring, at, area } => {
                format!("{ring} encloses only {area:.2} in², at {}", place(at))
            }
            Self::OpeningOutside { opening, at } => {
                format!("opening {} lies outside the slab, at {}", opening + 1, place(at))
            }
            Self::OpeningCrossesOutline { opening, outline, at } => {
                format!("{opening} crosses {outline}, at {}", place(at))
            }
            Self::OpeningTouchesOutline { opening, outline, at } => {
                format!("{opening} touches {outline}, at {}", place(at))
            }
            Self::OpeningsOverlap { first, second, at } => {
                format!("openings {} and {} overlap, at {}", first + 1, second + 1, place(at))
            }
            Self::OpeningsTouch { first, second, at } => {
                format!("openings {} and {} touch, at {}", first + 1, second + 1, place(at))
            }
        }
    }
}
