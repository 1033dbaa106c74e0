//! Hatching: parallel lines clipped to an area by the even-odd rule.
//!
//! The lines stand at whole multiples of their spacing from the paper's own corner, so two areas
//! side by side are hatched through.

use super::style::Hatch;
use super::{BezPath, Spot, path};

/// How far a chord may stand off a curved rim, in points: nobody sees it.
const RIM_TOLERANCE: f64 = 0.1;

/// No area gets more lines than this; a larger one is hatched more coarsely.
const MOST_LINES: f64 = 2000.0;

/// The lines of a hatch within an area on paper.
#[must_use]
pub fn lines(area: &BezPath, hatch: &Hatch) -> BezPath {
    let rings: Vec<Vec<Spot>> =
        path::flatten(area, RIM_TOLERANCE).into_iter().map(|(points, _)| points).collect();
    let mut out = BezPath::new();
    one_set(&rings, hatch.angle_degrees, hatch.spacing, &mut out);
    if hatch.is_crossed {
        one_set(&rings, hatch.angle_degrees + 90.0, hatch.spacing, &mut out);
    }
    out
}

fn one_set(rings: &[Vec<Spot>], angle_degrees: f64, spacing: f64, out: &mut BezPath) {
    if !(spacing > 0.01 && angle_degrees.is_finite()) {
        return;
    }
    // On paper y points down, so an angle seen counter-clockwise is clockwise in its axes.
    let along = path::direction(-angle_degrees.to_radians());
    let across = |spot: Spot| along.x * spot.y - along.y * spot.x;
    let ahead = |spot: Spot| along.x * spot.x + along.y * spot.y;
    let heights = rings.iter().flatten().map(|&spot| across(spot));
    let (low, high) = heights
        .fold((f64::INFINITY, f64::NEG_INFINITY), |(low, high), h| (low.min(h), high.max(h)));
    if !(low.is_finite() && high.is_finite()) {
        return;
    }
    let spacing = spacing.max((high - low) / MOST_LINES);
    let mut height = (low / spacing).ceil() * spacing;
    while height < high {
        let mut crossings: Vec<f64> = Vec::new();
        for ring in rings {
            let next = ring.iter().cycle().skip(1);
            for (&from, &to) in ring.iter().zip(next) {
                let (below, above) = (across(from), across(to));
                if (below <= height) != (above <= height) {
                    let share = (height - below) / (above - below);
                    crossings.push(ahead(from) + (ahead(to) - ahead(from)) * share);
                }
            }
        }
        crossings.sort_by(f64::total_cmp);
        for pair in crossings.chunks_exact(2) {
            if let &[from, to] = pair {
                let spot = |far: f64| {
                    Spot::new(along.x * far - along.y * height, along.y * far + along.x * height)
                };
                out.move_to(spot(from));
                out.line_to(spot(to));
            }
        }
        height += spacing;
    }
}

#[cfg(test)]
mod tests {
    use super::super::{PathEl, Rect};
    use super::*;

    #[test]
    fn hatch_of_a_frame_leaves_the_hole_free_and_fills_by_area() {
        let mut area = path::rectangle(Rect::new(0.0, 0.0, 100.0, 60.0));
        area.extend(path::rectangle(Rect::new(30.0, 20.0, 70.0, 40.0)));
        let hatch = Hatch { spacing: 1.0, ..Hatch::CUT };
        let elements = lines(&area, &hatch).elements().to_vec();
        let mut length = 0.0;
        for pair in elements.chunks_exact(2) {
            let [PathEl::MoveTo(from), PathEl::LineTo(to)] = pair else { panic!("{pair:?}") };
            length += (*to - *from).hypot();
            let middle = from.midpoint(*to);
            assert!(!Rect::new(30.5, 20.5, 69.5, 39.5).contains(middle));
        }
        // Lines 1 pt apart measure the area: 6000 - 800.
        assert!((length - 5200.0).abs() < 60.0, "{length}");
    }
}
