//! A length as documents hold it: inches in `f64`.

use serde::{Deserialize, Serialize};
use std::ops::{Add, Div, Mul, Neg, Sub};

/// Inches in one foot.
pub const INCHES_PER_FOOT: f64 = 12.0;
/// Millimetres in one inch, exact since 1959.
pub const MILLIMETERS_PER_INCH: f64 = 25.4;

/// A length, held in inches so that sixteenths are exact. Saved as a bare number of inches.
#[derive(Clone, Copy, Debug, Default, PartialEq, PartialOrd, Serialize, Deserialize)]
#[serde(transparent)]
pub struct Length(f64);

impl Length {
    /// No length.
    pub const ZERO: Self = Self(0.0);

    /// From inches.
    #[must_use]
    pub const fn inches(inches: f64) -> Self {
        Self(inches)
    }

    /// From feet.
    #[must_use]
    pub const fn feet(feet: f64) -> Self {
        Self(feet * INCHES_PER_FOOT)
    }

    /// From millimetres.
    #[must_use]
    pub const fn millimeters(millimeters: f64) -> Self {
        Self(millimeters / MILLIMETERS_PER_INCH)
    }

    /// From metres.
    #[must_use]
    pub const fn meters(meters: f64) -> Self {
        Self::millimeters(meters * 1000.0)
    }

    /// In inches.
    #[must_use]
    pub const fn to_inches(self) -> f64 {
        self.0
    }

    /// In feet.
    #[must_use]
    pub const fn to_feet(self) -> f64 {
        self.0 / INCHES_PER_FOOT
    }

    /// In millimetres.
    #[must_use]
    pub const fn to_millimeters(self) -> f64 {
        self.0 * MILLIMETERS_PER_INCH
    }

    /// In metres.
    #[must_use]
    pub const fn to_meters(self) -> f64 {
        self.to_millimeters() / 1000.0
    }

    /// Whether the number is neither infinite nor not-a-number.
    #[must_use]
    pub const fn is_finite(self) -> bool {
        self.0.is_finite()
    }
}

impl Add for Length {
    type Output = Self;
    fn add(self, other: Self) -> Self {
        Self(self.0 + other.0)
    }
}

impl Sub for Length {
    type Output = Self;
    fn sub(self, other: Self) -> Self {
        Self(self.0 - other.0)
    }
}

impl Neg for Length {
    type Output = Self;
    fn neg(self) -> Self {
        Self(-self.0)
    }
}

impl Mul<f64> for Length {
    type Output = Self;
    fn mul(self, factor: f64) -> Self {
        Self(self.0 * factor)
    }
}

impl Div<f64> for Length {
    type Output = Self;
    fn div(self, divisor: f64) -> Self {
        Self(self.0 / divisor)
    }
}

impl Div for Length {
    type Output = f64;
    fn div(self, other: Self) -> f64 {
        self.0 / other.0
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn units_agree() {
        assert_eq!(Length::feet(12.5).to_inches(), 150.0);
        assert_eq!(Length::millimeters(25.4), Length::inches(1.0));
        assert_eq!(Length::meters(3.81).to_inches(), 150.0);
        assert_eq!(Length::feet(1.0) / Length::inches(4.0), 3.0);
    }
}
