//! GeoJSON of one polygon: a bare `Polygon`, a `Feature`, or a `FeatureCollection` with one.
//!
//! # Source
//! RFC 7946 (The GeoJSON Format), 3.1.6: rings of at least four positions, the last like the first,
//! and a reader should not refuse rings of the other direction. By that standard coordinates are
//! longitude and latitude; local plan coordinates are used by agreement, so a shape of a size that
//! only degrees have is refused with that reason.

use super::{Imported, RawRing, finish};
use crate::geometry::{Bounds, Point};
use crate::job::read_error::{ReadError, TextPlace};
use crate::units::LengthUnit;
use serde_json::Value;

const ONE_POLYGON: &str = "Export one Polygon, or one Feature with a Polygon";

/// Reads the one polygon of a text.
///
/// # Errors
/// [`ReadError`] with the place of a fault of the JSON, or the ring and corner that is wrong.
pub fn read(text: &str, unit: LengthUnit) -> Result<Imported, ReadError> {
    let text = text.trim_start_matches('\u{feff}');
    let value: Value = serde_json::from_str(text).map_err(|error| {
        let place = TextPlace { line: error.line(), column: error.column().max(1) };
        let full = error.to_string();
        let message = full.split(" at line ").next().unwrap_or_default().to_owned();
        ReadError::at(place, format!("That is not JSON: {message}"), "Export the file again")
    })?;
    let polygon = polygon_of(&value, 0)?;
    let Some(Value::Array(listed)) = polygon.get("coordinates") else {
        return Err(ReadError::whole("The polygon has no coordinates", ONE_POLYGON));
    };
    let mut rings = Vec::new();
    for (number, ring) in listed.iter().enumerate() {
        rings.push(read_ring(ring, number + 1, unit)?);
    }
    refuse_degrees(&rings, unit)?;
    finish(rings, Vec::new())
}

/// The object of the one polygon, inside features where need be.
fn polygon_of(value: &Value, depth: u32) -> Result<&Value, ReadError> {
    let kind = value.get("type").and_then(Value::as_str).unwrap_or_default();
    match kind {
        "Polygon" => Ok(value),
        "Feature" if depth < 2 => match value.get("geometry") {
            Some(geometry) if !geometry.is_null() => polygon_of(geometry, 2),
            _ => Err(ReadError::whole("The feature has no geometry", ONE_POLYGON)),
        },
        "FeatureCollection" if depth == 0 => {
            let features = value.get("features").and_then(Value::as_array);
            match features.map(Vec::as_slice) {
                Some([feature]) => polygon_of(feature, 1),
                Some(features) => Err(ReadError::whole(
                    format!("The collection has {} features, and a slab is one", features.len()),
                    ONE_POLYGON,
                )),
                None => Err(ReadError::whole("The collection has no features", ONE_POLYGON)),
            }
        }
        "MultiPolygon" => Err(ReadError::whole(
            "A MultiPolygon is more than one slab",
            "Save each polygon as a job of its own",
        )),
        "" => Err(ReadError::whole("That is no GeoJSON: it has no “type”", ONE_POLYGON)),
        other => {
            let shown: String = other.chars().take(40).collect();
            Err(ReadError::whole(format!("A Polygon is expected, not “{shown}”"), ONE_POLYGON))
        }
    }
}

fn read_ring(ring: &Value, number: usize, unit: LengthUnit) -> Result<RawRing, ReadError> {
    let Some(positions) = ring.as_array() else {
        return Err(ReadError::whole(
            format!("Ring {number} is no list of positions"),
            ONE_POLYGON,
        ));
    };
    let mut read = RawRing::default();
    for (position_number, position) in positions.iter().enumerate() {
        let number_at = |part: usize| position.get(part).and_then(Value::as_f64);
        let (Some(x), Some(y)) = (number_at(0), number_at(1)) else {
            return Err(ReadError::whole(
                format!("Position {} of ring {number} is not two numbers", position_number + 1),
                "Each position is [x, y]",
            ));
        };
        let at = Point::new(unit.length(x).to_inches(), unit.length(y).to_inches());
        read.points.push((at, None));
    }
    Ok(read)
}

/// A slab drawn in longitude and latitude is a fraction of a degree across.
fn refuse_degrees(rings: &[RawRing], unit: LengthUnit) -> Result<(), ReadError> {
    let points = rings.iter().flat_map(|ring| ring.points.iter().map(|&(at, _)| at));
    let Some(bounds) = Bounds::of(points) else { return Ok(()) };
    let across = bounds.width().max(bounds.height()) / unit.inches();
    let (far_x, far_y) = (bounds.max.x.abs() / unit.inches(), bounds.max.y.abs() / unit.inches());
    if across < 0.1 && across > 0.0 && far_x <= 180.0 && far_y <= 90.0 {
        return Err(ReadError::whole(
            "These look like degrees of longitude and latitude, not plan coordinates",
            "Export the outline in a local system of feet or metres",
        ));
    }
    Ok(())
}
