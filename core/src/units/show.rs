//! Length to text, as the trade writes it, and bare numbers with grouped thousands.
//!
//! A length is rounded once, to a whole count of steps, and the count is split into feet, inches
//! and a reduced fraction, so a carry ripples by itself: 12 in and 16/16 cannot be shown. Halves
//! go away from zero. The form is `12'-3 1/2"`: feet always, a dash, inches always (`12'-0"`).

use super::{Length, LengthUnit};
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

/// Which units quantities are shown in.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub enum UnitSystem {
    /// Feet, yards, pounds, °F.
    #[default]
    Us,
    /// Metres, litres, kilograms, °C.
    Metric,
}

impl Rounding {
    /// The step.
    #[must_use]
    pub const fn step(self) -> Length {
        match self {
            Self::Sixteenth => Length::inches(1.0 / 16.0),
            Self::Eighth => Length::inches(1.0 / 8.0),
            Self::Quarter => Length::inches(1.0 / 4.0),
            Self::Millimeter => Length::millimeters(1.0),
        }
    }

    /// How many steps make an inch; none for millimetres.
    const fn steps_per_inch(self) -> Option<u64> {
        match self {
            Self::Sixteenth => Some(16),
            Self::Eighth => Some(8),
            Self::Quarter => Some(4),
            Self::Millimeter => None,
        }
    }

    /// The unit system that goes with it.
    #[must_use]
    pub const fn system(self) -> UnitSystem {
        match self {
            Self::Sixteenth | Self::Eighth | Self::Quarter => UnitSystem::Us,
            Self::Millimeter => UnitSystem::Metric,
        }
    }
}

/// No slab has a length beyond this, in steps; a longer one is shown as a power of ten.
const MOST_STEPS: f64 = 1e15;

/// The length as text: `12'-6 1/2"`, or `3810 mm`. A length that is not finite shows as `–`.
#[must_use]
pub fn show_length(length: Length, rounding: Rounding) -> String {
    let Some(per_inch) = rounding.steps_per_inch() else {
        return show_whole(length, LengthUnit::Millimeters);
    };
    let Some(steps) = whole_steps(length.to_inches() * per_inch as f64) else {
        return show_beyond(length);
    };
    let sign = if steps < 0 { "-" } else { "" };
    let steps = steps.unsigned_abs();
    let (feet, inches) = (steps / (12 * per_inch), steps / per_inch % 12);
    match reduced(steps % per_inch, per_inch) {
        None => format!("{sign}{feet}'-{inches}\""),
        Some((above, below)) => format!("{sign}{feet}'-{inches} {above}/{below}\""),
    }
}

/// The length in inches alone, for board and tube sizes: `5 1/2"`, or `140 mm`.
#[must_use]
pub fn show_inches(length: Length, rounding: Rounding) -> String {
    let Some(per_inch) = rounding.steps_per_inch() else {
        return show_whole(length, LengthUnit::Millimeters);
    };
    let Some(steps) = whole_steps(length.to_inches() * per_inch as f64) else {
        return show_beyond(length);
    };
    let sign = if steps < 0 { "-" } else { "" };
    let steps = steps.unsigned_abs();
    match (steps / per_inch, reduced(steps % per_inch, per_inch)) {
        (inches, None) => format!("{sign}{inches}\""),
        (0, Some((above, below))) => format!("{sign}{above}/{below}\""),
        (inches, Some((above, below))) => format!("{sign}{inches} {above}/{below}\""),
    }
}

/// The nearest whole count, halves away from zero; `None` when there is no such count.
fn whole_steps(steps: f64) -> Option<i64> {
    let steps = steps.round();
    #[expect(clippy::cast_possible_truncation, reason = "the range is checked here")]
    (steps.abs() <= MOST_STEPS).then_some(steps as i64)
}

/// A fraction in lowest terms; `None` for nothing. `below` is a power of two.
const fn reduced(above: u64, below: u64) -> Option<(u64, u64)> {
    if above == 0 {
        return None;
    }
    let (mut above, mut below) = (above, below);
    while above.is_multiple_of(2) && below > 1 {
        above /= 2;
        below /= 2;
    }
    Some((above, below))
}

fn show_whole(length: Length, unit: LengthUnit) -> String {
    match whole_steps(length.to_inches() / unit.inches()) {
        Some(steps) => format!("{steps} {}", unit.sign()),
        None => show_beyond(length),
    }
}

fn show_beyond(length: Length) -> String {
    if length.is_finite() { format!("{:.3e} in", length.to_inches()) } else { "–".to_owned() }
}

/// A number with `decimals` places (at most 9), thousands grouped by commas, halves away from
/// zero, never minus zero: `12,345.70`. A number that is not finite shows as `–`.
#[must_use]
pub fn show_number(value: f64, decimals: u32) -> String {
    let decimals = decimals.min(9);
    let scale = 10_u64.pow(decimals);
    let Some(steps) = whole_steps(value * scale as f64) else {
        return if value.is_finite() { format!("{value:.3e}") } else { "–".to_owned() };
    };
    let sign = if steps < 0 { "-" } else { "" };
    let steps = steps.unsigned_abs();
    let whole = grouped(steps / scale);
    if decimals == 0 {
        return format!("{sign}{whole}");
    }
    format!("{sign}{whole}.{:0places$}", steps % scale, places = decimals as usize)
}

/// A whole number with thousands grouped by commas.
#[must_use]
pub fn grouped(number: u64) -> String {
    let digits = number.to_string();
    let mut text = String::with_capacity(digits.len() * 4 / 3);
    for (place, digit) in digits.chars().enumerate() {
        if place > 0 && (digits.len() - place).is_multiple_of(3) {
            text.push(',');
        }
        text.push(digit);
    }
    text
}

#[cfg(test)]
mod tests {
    use super::super::parse_length;
    use super::*;
    use proptest::prelude::*;

    /// Value in inches, shown to 1/16 and to 1/8: the project's table of checked values for feet
    /// and inches on plan sheets.
    #[test]
    fn the_table_of_checked_values() {
        for (inches, sixteenth, eighth) in [
            (7.3854 * 12.0, "7'-4 5/8\"", "7'-4 5/8\""),
            (5.999 * 12.0, "6'-0\"", "6'-0\""),
            (12.9974 * 12.0, "13'-0\"", "13'-0\""),
            (19.6667 * 12.0, "19'-8\"", "19'-8\""),
            (100.0052 * 12.0, "100'-0 1/16\"", "100'-0\""),
            (0.994_791_67 * 12.0, "0'-11 15/16\"", "1'-0\""),
            (3.031_25, "0'-3 1/16\"", "0'-3\""),
            (11.0 + 31.0 / 32.0, "1'-0\"", "1'-0\""),
            (-0.7291 * 12.0, "-0'-8 3/4\"", "-0'-8 3/4\""),
            (0.0026 * 12.0, "0'-0\"", "0'-0\""),
            (1000.0 / 25.4, "3'-3 3/8\"", "3'-3 3/8\""),
            (2438.4 / 25.4, "8'-0\"", "8'-0\""),
            (12345.0 / 25.4, "40'-6\"", "40'-6\""),
        ] {
            assert_eq!(show_length(Length::inches(inches), Rounding::Sixteenth), sixteenth);
            assert_eq!(show_length(Length::inches(inches), Rounding::Eighth), eighth);
        }
    }

    #[test]
    fn millimetres_quarters_and_inches_alone() {
        assert_eq!(show_length(Length::inches(150.0), Rounding::Millimeter), "3810 mm");
        assert_eq!(show_length(Length::inches(-0.001), Rounding::Millimeter), "0 mm");
        assert_eq!(show_length(Length::inches(11.875), Rounding::Quarter), "1'-0\"");
        assert_eq!(show_length(Length::inches(-0.01), Rounding::Sixteenth), "0'-0\"");
        assert_eq!(show_inches(Length::inches(5.5), Rounding::Sixteenth), "5 1/2\"");
        assert_eq!(show_inches(Length::inches(0.375), Rounding::Eighth), "3/8\"");
        assert_eq!(show_inches(Length::inches(48.0), Rounding::Quarter), "48\"");
    }

    #[test]
    fn what_is_no_length_is_still_shown() {
        assert_eq!(show_length(Length::inches(f64::NAN), Rounding::Sixteenth), "–");
        assert_eq!(show_length(Length::inches(f64::INFINITY), Rounding::Millimeter), "–");
        assert_eq!(show_length(Length::inches(1e300), Rounding::Eighth), "1.000e300 in");
    }

    #[test]
    fn numbers_are_grouped() {
        assert_eq!(show_number(12_345.7, 2), "12,345.70");
        assert_eq!(show_number(-0.001, 2), "0.00");
        assert_eq!(show_number(-1234.5, 0), "-1,235");
        assert_eq!(show_number(999_999.5, 0), "1,000,000");
        assert_eq!(show_number(f64::NAN, 1), "–");
    }

    proptest! {
        #![proptest_config(ProptestConfig { failure_persistence: None, ..ProptestConfig::with_cases(2000) })]

        #[test]
        fn what_is_shown_is_read_back_within_half_a_step(
            inches in prop_oneof![-1e5..1e5_f64, -30.0..30.0_f64, (-4000_i32..4000).prop_map(|n| f64::from(n) / 32.0)]
        ) {
            let length = Length::inches(inches);
            for rounding in [Rounding::Sixteenth, Rounding::Eighth, Rounding::Quarter, Rounding::Millimeter] {
                let shown = show_length(length, rounding);
                prop_assert!(!shown.contains("16/16") && !shown.contains("'-12"), "{shown}");
                prop_assert!(!shown.starts_with("-0'-0\"") && shown != "-0 mm", "{shown}");
                for shown in [show_length(length, rounding), show_inches(length, rounding)] {
                    let read = parse_length(&shown, LengthUnit::Feet).unwrap();
                    let off = (read - length).to_inches().abs();
                    prop_assert!(off <= rounding.step().to_inches() / 2.0 + 1e-9, "{shown} is {off} off {inches}");
                    // Showing what was read changes nothing more.
                    prop_assert_eq!(show_length(read, rounding), show_length(length, rounding));
                }
            }
        }

        #[test]
        fn no_text_makes_the_reader_fail_badly(text in "[-−0-9 '\"½/.,a-z′″]{0,24}") {
            if let Ok(length) = parse_length(&text, LengthUnit::Feet) {
                prop_assert!(length.is_finite());
            }
        }
    }
}
