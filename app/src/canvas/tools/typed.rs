//! What people type while a tool is in hand: lengths, legs with a direction, sizes, places.
//!
//! ```text
//! 12' 6"        a length, toward the pointer
//! E 12'6        a leg to the east; N, NE, E, SE, S, SW, W, NW
//! 12'6 < 30     a leg at 30 degrees counter-clockwise from east
//! 40 x 28       a size
//! 4', 10'6      a place: east and north of the plan's own zero
//! close         back to the first corner
//! ```

use slabloom_core::geometry::{Point, Vector};
use slabloom_core::units::{LengthUnit, parse_length};

/// Text that a tool understands.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum Typed {
    /// A length toward the pointer, inches.
    Length(f64),
    /// A step in the plan, inches.
    Leg(Vector),
    /// A width and a height, inches.
    Size(f64, f64),
    /// A place in the plan.
    Place(Point),
    /// Close the outline.
    Close,
}

/// Reads what was typed; a bare number is in `unit`.
///
/// # Errors
/// One sentence that says what cannot be read.
pub fn read(text: &str, unit: LengthUnit) -> Result<Typed, String> {
    let text = text.trim();
    let inches = |part: &str| {
        parse_length(part.trim(), unit)
            .map(|length| length.to_inches())
            .map_err(|error| error.to_string())
    };
    if text.eq_ignore_ascii_case("close") || text.eq_ignore_ascii_case("c") {
        return Ok(Typed::Close);
    }
    if let Some((length, angle)) = text.split_once('<') {
        let degrees: f64 =
            angle.trim().trim_end_matches('°').parse().map_err(|_| {
                format!("“{}” is no angle: write degrees, as 12' < 30", angle.trim())
            })?;
        if !degrees.is_finite() {
            return Err("That is no angle".to_owned());
        }
        return Ok(Typed::Leg(Vector::from_angle(degrees.to_radians()) * inches(length)?));
    }
    if let Some((direction, rest)) = compass(text) {
        return Ok(Typed::Leg(direction * inches(rest)?));
    }
    if let Some((width, height)) =
        text.split_once(['x', 'X', '×']).or_else(|| text.split_once(" by "))
    {
        return Ok(Typed::Size(inches(width)?, inches(height)?));
    }
    if let Some((east, north)) = text.split_once(", ").or_else(|| text.split_once(';')) {
        return Ok(Typed::Place(Point::new(inches(east)?, inches(north)?)));
    }
    match inches(text) {
        Ok(length) => Ok(Typed::Length(length)),
        // `0,0` has no blank, and is no length with grouped thousands either.
        Err(message) => {
            match text.split_once(',').map(|(east, north)| (inches(east), inches(north))) {
                Some((Ok(east), Ok(north))) => Ok(Typed::Place(Point::new(east, north))),
                _ => Err(message),
            }
        }
    }
}

/// A leading direction and what comes after it.
fn compass(text: &str) -> Option<(Vector, &str)> {
    let letters = text.find(|character: char| !character.is_ascii_alphabetic())?;
    let (word, rest) = text.split_at(letters);
    let direction = match word.to_ascii_uppercase().as_str() {
        "E" | "EAST" | "R" => Vector::new(1.0, 0.0),
        "N" | "NORTH" | "U" => Vector::new(0.0, 1.0),
        "W" | "WEST" | "L" => Vector::new(-1.0, 0.0),
        "S" | "SOUTH" | "D" => Vector::new(0.0, -1.0),
        "NE" => Vector::new(1.0, 1.0),
        "NW" => Vector::new(-1.0, 1.0),
        "SE" => Vector::new(1.0, -1.0),
        "SW" => Vector::new(-1.0, -1.0),
        _ => return None,
    };
    direction.unit().map(|direction| (direction, rest))
}

#[cfg(test)]
mod tests {
    use super::*;

    fn feet(text: &str) -> Typed {
        read(text, LengthUnit::Feet).unwrap()
    }

    #[test]
    fn legs_sizes_places_and_lengths_are_told_apart() {
        assert_eq!(feet("12' 6\""), Typed::Length(150.0));
        assert_eq!(feet("40"), Typed::Length(480.0));
        assert_eq!(feet("E 40"), Typed::Leg(Vector::new(480.0, 0.0)));
        assert_eq!(feet("s 4'"), Typed::Leg(Vector::new(0.0, -48.0)));
        assert_eq!(feet("40 x 28"), Typed::Size(480.0, 336.0));
        assert_eq!(feet("0,0"), Typed::Place(Point::ORIGIN));
        assert_eq!(feet("10', 28'"), Typed::Place(Point::feet(10.0, 28.0)));
        assert_eq!(feet("close"), Typed::Close);
        let Typed::Leg(leg) = feet("10 < 90") else { panic!("a leg") };
        assert!((leg.y - 120.0).abs() < 1e-9 && leg.x.abs() < 1e-9);
        assert!(read("twelve", LengthUnit::Feet).is_err());
        assert!(read("12 < up", LengthUnit::Feet).is_err());
    }
}
