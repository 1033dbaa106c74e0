//! Text to length: `12' 6 1/2"`, `3.81 m` and the other ways people write them.

use super::Length;

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
    let number: f64 = text.trim().parse().map_err(|_| ParseError {
        text: text.to_owned(),
        at: 0,
        message: "That is not a length".to_owned(),
    })?;
    Ok(match bare_unit {
        LengthUnit::Feet => Length::feet(number),
        LengthUnit::Inches => Length::inches(number),
        LengthUnit::Meters => Length::meters(number),
        LengthUnit::Millimeters => Length::millimeters(number),
    })
}
