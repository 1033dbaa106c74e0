//! A number, length, place, list or text held against what a slab can have.

use super::{FaultLevel, JobFault, LONGEST_FIELD};
use crate::geometry::Point;
use crate::geometry::tolerance::LARGEST_COORDINATE_IN;
use crate::units::{Cents, Length, Rounding, show_length, show_number};
use std::fmt::Arguments;

/// No rate or amount is larger, in cents.
const MOST_CENTS: i64 = 1_000_000_000_000;

/// Notes numbers that are out of their range.
pub(super) struct Ranges<'found> {
    pub(super) found: &'found mut Vec<JobFault>,
}

impl Ranges<'_> {
    fn fault(&mut self, field: Arguments<'_>, message: String, remedy: String) {
        self.found.push(JobFault {
            level: FaultLevel::Unusable,
            field: field.to_string(),
            at: None,
            item: None,
            message,
            remedy,
        });
    }

    /// A number from `least` to `most`.
    pub(super) fn number(&mut self, field: Arguments<'_>, value: f64, least: f64, most: f64) {
        if !value.is_finite() {
            self.fault(field, "That is not a number".to_owned(), "Write a number".to_owned());
        } else if !(least..=most).contains(&value) {
            let shown = |number: f64| trimmed(show_number(number, 4));
            self.fault(
                field,
                format!("{} is out of range", shown(value)),
                format!("Write a number from {} to {}", shown(least), shown(most)),
            );
        }
    }

    /// A length from `least` to `most` inches.
    pub(super) fn length(&mut self, field: Arguments<'_>, value: Length, least: f64, most: f64) {
        let inches = value.to_inches();
        if !inches.is_finite() {
            self.fault(
                field,
                "That is not a number".to_owned(),
                "Write a length in inches".to_owned(),
            );
        } else if !(least..=most).contains(&inches) {
            let show = |inches: f64| show_length(Length::inches(inches), Rounding::Sixteenth);
            self.fault(
                field,
                format!("{} is out of range", show(inches)),
                format!("Write a length from {} to {}, in inches", show(least), show(most)),
            );
        }
    }

    /// A length that may be zero for none, else from `least` to `most` inches.
    pub(super) fn length_or_none(
        &mut self,
        field: Arguments<'_>,
        value: Length,
        least: f64,
        most: f64,
    ) {
        if value != Length::ZERO {
            self.length(field, value, least, most);
        }
    }

    pub(super) fn point(&mut self, field: Arguments<'_>, point: Point) {
        for (axis, value) in [("east", point.x), ("north", point.y)] {
            if !value.is_finite() {
                self.fault(
                    field,
                    format!("Its {axis} part is not a number"),
                    "Write a number of inches".to_owned(),
                );
            } else if value.abs() > LARGEST_COORDINATE_IN {
                self.fault(
                    field,
                    format!("It lies {} ft {axis} of the origin", show_number(value / 12.0, 0)),
                    format!(
                        "Places are within {} ft of the origin",
                        show_number(LARGEST_COORDINATE_IN / 12.0, 0)
                    ),
                );
            }
        }
    }

    pub(super) fn points(&mut self, field: Arguments<'_>, points: &[Point]) {
        for (number, &point) in points.iter().enumerate() {
            self.point(format_args!("{field}[{number}]"), point);
        }
    }

    /// An angle in degrees.
    pub(super) fn angle(&mut self, field: Arguments<'_>, degrees: f64) {
        self.number(field, degrees, -360.0, 360.0);
    }

    pub(super) fn cents(&mut self, field: Arguments<'_>, amount: Cents) {
        if amount.0.checked_abs().is_none_or(|cents| cents > MOST_CENTS) {
            self.fault(field, "That is no price".to_owned(), "Write whole cents".to_owned());
        }
    }

    pub(super) fn count(&mut self, field: Arguments<'_>, count: usize, most: usize) {
        if count > most {
            self.fault(
                field,
                format!("There are {count}"),
                format!("The program takes up to {most}"),
            );
        }
    }

    pub(super) fn text(&mut self, field: Arguments<'_>, text: &str) {
        if text.len() > LONGEST_FIELD {
            self.fault(
                field,
                format!("The text is {} characters long", text.len()),
                format!("Keep it below {LONGEST_FIELD}"),
            );
        }
    }
}

/// A shown number without zeros at its end.
fn trimmed(shown: String) -> String {
    if shown.contains('.') {
        shown.trim_end_matches('0').trim_end_matches('.').to_owned()
    } else {
        shown
    }
}
