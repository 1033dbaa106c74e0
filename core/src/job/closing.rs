//! Whether the end of a walked outline meets its start, and which leg is wrong when it does not.
//!
//! The *closing error* is the step from the start to where the last leg ends. It is taken up
//! silently to 1/16 in, with a note to 1/2 in when it is no worse than 1 in 500 of the walk, and
//! refused beyond (common practice for a taped building). Nothing is spread over the legs: one
//! leg was misread, and the one to suspect runs along the closing error. Of several the one is
//! named whose mended length is rounder than its typed one, for people write round numbers.
//!
//! `close` adds one more side back to the start. It should fall square to a neighbor, or at a
//! real angle; when it falls nearly square a leg is wrong and the same judgement is made.

use super::read_error::ReadError;
use super::traverse::{Bow, BowSide, Ending, Leg, Traverse};
use crate::geometry::{Point, Vector, polygon};
use crate::units::{Length, Rounding, exact_math, show_length, show_number};

/// Closing error that is taken up without a word, in inches.
pub const SILENT_ERROR_IN: f64 = 1.0 / 16.0;
/// Closing error that is taken up with a note, in inches.
pub const NOTED_ERROR_IN: f64 = 0.5;
/// A noted error must also be no worse than one part in this many of the walk.
pub const LEAST_RATIO: f64 = 500.0;
/// A closing side less than this off square is a mistake, not an angled wall, in degrees.
const NEARLY_SQUARE_DEGREES: f64 = 5.0;

/// How the end met the start.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Closing {
    /// Distance by which the last leg missed the start; zero when a side was added.
    pub error: Length,
    /// The side that `close` added.
    pub added_side: Option<Length>,
    /// What the user should know, in words.
    pub note: Option<String>,
}

/// Closes the walk.
///
/// # Errors
/// [`ReadError`] at the leg most likely wrong when the end does not meet the start.
pub(super) fn close(legs: Vec<Leg>, ending: Ending) -> Result<Traverse, ReadError> {
    if legs.is_empty() {
        return Err(ReadError::whole(
            "There is no wall in the list",
            "Write walls as E 40' N 28' W 40' close",
        ));
    }
    let mut places = vec![Point::ORIGIN];
    let mut at = Point::ORIGIN;
    for leg in &legs {
        at += leg.step();
        places.push(at);
    }
    let error = at - Point::ORIGIN;
    let is_back = error.length() <= SILENT_ERROR_IN;
    let closing = match ending {
        Ending::Complete => judge_end(&legs, error)?,
        // A list that is back already needs no more side.
        Ending::Close | Ending::CloseStraight if is_back => judge_end(&legs, error)?,
        Ending::CloseStraight => {
            Closing { added_side: Some(Length::inches(error.length())), ..Closing::default() }
        }
        Ending::Close => judge_added_side(&legs, error)?,
    };
    if closing.added_side.is_none() {
        places.pop();
    }
    let is_clockwise = polygon::signed_area(&places) < 0.0;
    let bows = legs.iter().map(|leg| leg.bow).chain([None]);
    let ends = places.iter().copied().cycle().skip(1);
    let corners = places
        .iter()
        .zip(ends)
        .zip(bows)
        .map(|((&from, to), bow)| (from, bow.and_then(|bow| middle(from, to, bow, is_clockwise))))
        .collect();
    Ok(Traverse { legs, corners, closing })
}

/// The middle point of a bowed wall.
fn middle(from: Point, to: Point, bow: Bow, is_clockwise: bool) -> Option<Point> {
    let goes_left = match bow.side {
        BowSide::Left => true,
        BowSide::Right => false,
        // Counter-clockwise, the slab is on the left.
        BowSide::Out => is_clockwise,
        BowSide::In => !is_clockwise,
    };
    let left = (to - from).unit()?.left() * bow.by.to_inches();
    Some(from.middle(to) + if goes_left { left } else { -left })
}

fn judge_end(legs: &[Leg], error: Vector) -> Result<Closing, ReadError> {
    let missed = error.length();
    let walked: f64 = legs.iter().map(|leg| leg.length.to_inches()).sum();
    let length = Length::inches(missed);
    if missed <= SILENT_ERROR_IN {
        return Ok(Closing { error: length, ..Closing::default() });
    }
    let how_far = format!(
        "The walls do not close: they end {} of the start, 1 in {}",
        offset_words(error),
        show_number((walked / missed).floor(), 0)
    );
    let (suspect, remedy) = suspect(legs, error);
    if missed <= NOTED_ERROR_IN && walked / missed >= LEAST_RATIO {
        let note = Some(format!("{how_far}; the last corner was drawn to the start. {remedy}"));
        return Ok(Closing { error: length, note, ..Closing::default() });
    }
    let place = suspect.or(legs.last()).map(|leg| leg.place);
    Err(ReadError { place, message: how_far, remedy })
}

/// Whether the side that `close` adds is square to a neighbor or at a real angle.
fn judge_added_side(legs: &[Leg], error: Vector) -> Result<Closing, ReadError> {
    let back = -error;
    let added_side = Some(Length::inches(back.length()));
    let done = Closing { added_side, ..Closing::default() };
    let along: Vec<Vector> = legs
        .iter()
        .filter_map(|leg| leg.step().unit())
        .flat_map(|unit| [unit, unit.left()])
        .collect();
    // How far the side's end is off each line that it might have been meant to run along.
    let off = |unit: &Vector| back.cross(*unit).abs();
    let Some(nearest) = along.iter().min_by(|a, b| off(a).total_cmp(&off(b))) else {
        return Ok(done);
    };
    let (off_line, on_line) = (off(nearest), back.dot(*nearest).abs());
    let degrees = exact_math::atan2(off_line, on_line).to_degrees();
    if off_line <= SILENT_ERROR_IN {
        return Ok(done);
    }
    if degrees >= NEARLY_SQUARE_DEGREES {
        let note = Some(format!(
            "The closing side of {} is at an angle to its neighbors",
            show_length(Length::inches(back.length()), Rounding::Sixteenth)
        ));
        return Ok(Closing { note, ..done });
    }
    // What the walk misses the closing side's line by, as an error of a leg across it.
    let across = *nearest * back.dot(*nearest) - back;
    let how_far = format!(
        "The closing side of {} would be out of square: its end is {} of where it should be",
        show_length(Length::inches(back.length()), Rounding::Sixteenth),
        offset_words(across)
    );
    let (suspect, remedy) = suspect(legs, across);
    if off_line <= NOTED_ERROR_IN {
        return Ok(Closing { note: Some(format!("{how_far}. {remedy}")), ..done });
    }
    let place = suspect.or(legs.last()).map(|leg| leg.place);
    let remedy = format!("{remedy}. To close at that angle, write close straight");
    Err(ReadError { place, message: how_far, remedy })
}

/// A step in words: `0'-1" east and 0'-6" north`.
fn offset_words(step: Vector) -> String {
    let part = |amount: f64, positive: &str, negative: &str| {
        let show = show_length(Length::inches(amount.abs()), Rounding::Sixteenth);
        (amount.abs() > SILENT_ERROR_IN / 2.0)
            .then(|| format!("{show} {}", if amount > 0.0 { positive } else { negative }))
    };
    let parts: Vec<String> = [part(step.x, "east", "west"), part(step.y, "north", "south")]
        .into_iter()
        .flatten()
        .collect();
    if parts.is_empty() {
        show_length(Length::inches(step.length()), Rounding::Sixteenth)
    } else {
        parts.join(" and ")
    }
}

/// The leg most likely wrong, and what to do in words.
fn suspect(legs: &[Leg], error: Vector) -> (Option<&Leg>, String) {
    let number_of = |leg: &Leg| legs.iter().position(|other| other == leg).map_or(0, |at| at + 1);
    // Walked the wrong way: the error is twice the leg.
    let turned = legs.iter().find(|leg| (leg.step() * 2.0 - error).length() <= SILENT_ERROR_IN);
    if let Some(leg) = turned {
        let remedy =
            format!("Leg {}, “{}”, most likely goes the other way", number_of(leg), leg.text);
        return (Some(leg), remedy);
    }
    let mended = legs.iter().filter_map(|leg| {
        let unit = leg.step().unit()?;
        let along = error.dot(unit);
        let is_along = error.cross(unit).abs() <= SILENT_ERROR_IN.max(0.01 * along.abs());
        let new_length = leg.length.to_inches() - along;
        let gain = roundness(new_length) - roundness(leg.length.to_inches());
        (is_along && new_length > 0.0).then_some((leg, new_length, gain))
    });
    // The first of the best, so that the answer does not depend on anything but the text.
    let best = mended.fold(None, |best: Option<(&Leg, f64, i32)>, next| match best {
        Some(best) if best.2 >= next.2 => Some(best),
        _ => Some(next),
    });
    match best {
        Some((leg, new_length, _)) => {
            let show = show_length(Length::inches(new_length), Rounding::Sixteenth);
            let remedy = format!(
                "Leg {}, “{}”, is most likely wrong: with {show} it closes",
                number_of(leg),
                leg.text
            );
            (Some(leg), remedy)
        }
        None => {
            (None, "No one leg runs along the gap: is a leg missing, or are two wrong?".to_owned())
        }
    }
}

/// How round a length is: whole feet 6, half feet 5, inches 4, halves of an inch 3, and so on.
fn roundness(inches: f64) -> i32 {
    [(12.0, 6), (6.0, 5), (1.0, 4), (0.5, 3), (0.25, 2), (0.125, 1)]
        .into_iter()
        .find(|&(step, _)| {
            let steps: f64 = inches / step;
            (steps - steps.round()).abs() * step < 0.01
        })
        .map_or(0, |(_, rank)| rank)
}
