//! Regions grown or shrunk by a constant distance, corners mitred.

use super::Polygon;
use super::clip::{from_geo, to_geo};
use geo::algorithm::buffer::{BufferStyle, LineJoin};
use geo::{Buffer, Simplify};
use std::panic::{AssertUnwindSafe, catch_unwind};

/// Corners sharper than this are cut square instead of drawn out to a spike, in radians.
const SHARPEST_MITRE: f64 = 0.17;

/// The regions shrunk by `distance` on every side (grown where it is negative), corners mitred.
/// Parts narrower than twice the distance vanish; one region may become several.
#[must_use]
pub fn inset(polygons: &[Polygon], distance: f64) -> Vec<Polygon> {
    offset(polygons, -distance, LineJoin::Miter(SHARPEST_MITRE))
}

/// The regions grown by `distance` on every side, corners rounded: every place within `distance`.
#[must_use]
pub fn grow_round(polygons: &[Polygon], distance: f64) -> Vec<Polygon> {
    offset(polygons, distance, LineJoin::Round(0.1))
}

/// The regions without corners that lie within `tolerance` of the line between those beside them (after
/// Douglas and Peucker, 1973).
#[must_use]
pub fn simplified(polygons: &[Polygon], tolerance: f64) -> Vec<Polygon> {
    from_geo(to_geo(polygons).simplify(tolerance))
}

fn offset(polygons: &[Polygon], distance: f64, join: LineJoin<f64>) -> Vec<Polygon> {
    let usable = distance.is_finite()
        && polygons.iter().flat_map(Polygon::rings).flatten().all(|point| point.is_finite());
    if !usable {
        return Vec::new();
    }
    let shape = to_geo(polygons);
    let style = BufferStyle::new(distance).line_join(join);
    catch_unwind(AssertUnwindSafe(|| shape.buffer_with_style(style)))
        .map_or_else(|_| Vec::new(), from_geo)
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::geometry::Point;

    #[test]
    fn insets_are_mitred_and_growth_is_round() {
        let square = [Polygon::rectangle(Point::new(0.0, 0.0), Point::new(100.0, 100.0))];
        let smaller: f64 = inset(&square, 10.0).iter().map(Polygon::area).sum();
        assert!((smaller - 6400.0).abs() < 1e-2);
        let larger: f64 = inset(&square, -10.0).iter().map(Polygon::area).sum();
        assert!((larger - 14400.0).abs() < 1e-2);
        let round: f64 = grow_round(&square, 10.0).iter().map(Polygon::area).sum();
        assert!((round - (14000.0 + 314.159)).abs() < 1.0);
        assert!(inset(&square, 60.0).is_empty());
    }

    #[test]
    fn steps_smaller_than_the_tolerance_go_and_larger_ones_stay() {
        let stepped = |step: f64| {
            let corners =
                [(0.0, 0.0), (50.0, 0.0), (50.0, step), (100.0, step), (100.0, 80.0), (0.0, 80.0)];
            Polygon::new(corners.map(|(x, y)| Point::new(x, y)).to_vec(), Vec::new())
        };
        let corners_left = |step: f64| simplified(&[stepped(step)], 0.25)[0].outer.len();
        assert_eq!((corners_left(0.2), corners_left(2.0)), (4, 6));
        assert!(simplified(&[], 0.25).is_empty());
    }
}
