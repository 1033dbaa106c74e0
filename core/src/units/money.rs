//! Money in whole cents, so that a bid adds up.

use serde::{Deserialize, Serialize};
use std::iter::Sum;
use std::ops::{Add, Neg, Sub};

/// An amount in whole cents. Saved as a bare whole number of cents.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, PartialOrd, Ord, Serialize, Deserialize)]
#[serde(transparent)]
pub struct Cents(pub i64);

impl Cents {
    /// From units of money, rounded to the nearest cent, halves away from zero.
    /// A number that no amount can be (not finite, or beyond 9e15 cents) gives zero.
    #[must_use]
    pub fn from_units(units: f64) -> Self {
        let cents = (units * 100.0).round();
        if cents.is_finite() && cents.abs() < 9e15 {
            #[expect(clippy::cast_possible_truncation, reason = "the range is checked above")]
            Self(cents as i64)
        } else {
            Self(0)
        }
    }

    /// In units of money.
    #[must_use]
    pub fn to_units(self) -> f64 {
        self.0 as f64 / 100.0
    }

    /// This rate times a quantity, rounded once to the nearest cent, halves away from zero. The
    /// quantity is taken to a millionth and the product is of whole numbers, so that 0.35 of 90
    /// cents is 31.5 and becomes 32, as on paper. Zero where the product is no amount of money.
    #[must_use]
    pub fn times(self, quantity: f64) -> Self {
        const PARTS: i128 = 1_000_000;
        let parts = (quantity * 1e6).round();
        if parts.is_nan() || parts.abs() >= 1e18 {
            return Self(0);
        }
        #[expect(clippy::cast_possible_truncation, reason = "the range is checked above")]
        let product = i128::from(self.0) * parts as i128;
        let half = if product < 0 { -PARTS / 2 } else { PARTS / 2 };
        Self(i64::try_from((product + half) / PARTS).unwrap_or(0))
    }
}

impl Add for Cents {
    type Output = Self;
    fn add(self, other: Self) -> Self {
        Self(self.0.saturating_add(other.0))
    }
}

impl Sub for Cents {
    type Output = Self;
    fn sub(self, other: Self) -> Self {
        Self(self.0.saturating_sub(other.0))
    }
}

impl Neg for Cents {
    type Output = Self;
    fn neg(self) -> Self {
        Self(self.0.saturating_neg())
    }
}

impl Sum for Cents {
    fn sum<I: Iterator<Item = Self>>(amounts: I) -> Self {
        amounts.fold(Self(0), Add::add)
    }
}

impl std::fmt::Display for Cents {
    fn fmt(&self, formatter: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        let sign = if self.0 < 0 { "-" } else { "" };
        let cents = self.0.unsigned_abs();
        let units = (cents / 100).to_string();
        let mut grouped = String::new();
        for (place, digit) in units.chars().enumerate() {
            if place > 0 && (units.len() - place).is_multiple_of(3) {
                grouped.push(',');
            }
            grouped.push(digit);
        }
        write!(formatter, "{sign}${grouped}.{:02}", cents % 100)
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn cents_round_once_and_show_grouped() {
        assert_eq!(Cents::from_units(0.005), Cents(1));
        assert_eq!(Cents(14_550).times(36.25), Cents(527_438));
        // 31.5 cents: the nearest double of 0.35 lies below it.
        assert_eq!(Cents(90).times(0.35), Cents(32));
        assert_eq!(Cents(-90).times(0.35), Cents(-32));
        assert_eq!(Cents(100).times(1.005), Cents(101));
        assert_eq!(Cents(5).times(f64::INFINITY), Cents(0));
        assert_eq!(Cents(123_456_789).to_string(), "$1,234,567.89");
        assert_eq!(Cents(-5).to_string(), "-$0.05");
        assert_eq!(Cents::from_units(f64::NAN), Cents(0));
    }
}
