//! Contours of the measured ground, and the target that would balance it.
//!
//! The ground is the flat triangles of the survey, so a contour is a straight piece through every
//! triangle that lies on both sides of its height, and shares of the ground at or below a height
//! are exact areas. Heights are inches above target.

use super::{Contour, SubgradeSurvey};
use crate::concrete::convex::{Plane, area, cut};
use crate::geometry::Point;

/// Steps between contours that are tried, inches: the first that gives no more than
/// [`MOST_CONTOURS`].
const STEPS_IN: [f64; 7] = [0.25, 0.5, 1.0, 2.0, 3.0, 6.0, 12.0];
/// More contours than this crowd a sheet.
const MOST_CONTOURS: f64 = 16.0;
/// Share of the ground that the clear raise leaves at or below the target.
const CLEAR_SHARE: f64 = 0.95;
/// Halvings of the search for the clear raise: to a millionth of the ground's range.
const HALVINGS: u32 = 40;

/// Fills in contours, balance raise and clear raise from the triangles.
pub(super) fn complete(survey: &mut SubgradeSurvey) {
    let heights = survey.triangles.iter().flatten().map(|corner| corner.1);
    let (low, high) = heights
        .fold((f64::INFINITY, f64::NEG_INFINITY), |(low, high), at| (low.min(at), high.max(at)));
    if !(low.is_finite() && high.is_finite()) {
        return;
    }
    survey.contours = levels(low, high)
        .into_iter()
        .map(|height| Contour { height, lines: lines_at(&survey.triangles, height) })
        .filter(|contour| !contour.lines.is_empty())
        .collect();
    let whole: f64 = survey.triangles.iter().map(|triangle| area(&places(triangle))).sum();
    if whole > 0.0 {
        survey.balance_raise = (survey.cut - survey.fill) / whole;
        survey.clear_raise = clear_raise(&survey.triangles, whole, (low, high));
    }
}

fn places(triangle: &[(Point, f64); 3]) -> [Point; 3] {
    triangle.map(|corner| corner.0)
}

/// Heights of the contours: whole steps strictly between the lowest and the highest ground.
fn levels(low: f64, high: f64) -> Vec<f64> {
    let Some(step) = STEPS_IN.into_iter().find(|step| (high - low) / step <= MOST_CONTOURS) else {
        return Vec::new();
    };
    let mut at = (low / step).floor() * step;
    let mut levels = Vec::new();
    while at < high {
        if at > low {
            levels.push(at + 0.0);
        }
        at += step;
    }
    levels
}

/// The pieces of one contour. A corner that lies on the height counts as above it, so that a
/// contour along a shared side is drawn once and none breaks off.
fn lines_at(triangles: &[[(Point, f64); 3]], height: f64) -> Vec<[Point; 2]> {
    triangles
        .iter()
        .filter_map(|&[a, b, c]| {
            let mut ends = [(a, b), (b, c), (c, a)].into_iter().filter_map(|(from, to)| {
                let (below, above) = (from.1 - height, to.1 - height);
                ((below >= 0.0) != (above >= 0.0))
                    .then(|| from.0.toward(to.0, below / (below - above)))
            });
            Some([ends.next()?, ends.next()?])
        })
        .filter(|[from, to]| !from.is_near(*to))
        .collect()
}

/// The height below which the clear share of the ground lies.
fn clear_raise(triangles: &[[(Point, f64); 3]], whole: f64, (low, high): (f64, f64)) -> f64 {
    let below = |raise: f64| -> f64 {
        triangles
            .iter()
            .map(|triangle| {
                let height = Plane::through(*triangle);
                area(&cut(&places(triangle), |place| raise - height.at(place)).inside)
            })
            .sum()
    };
    let (mut low, mut high) = (low, high);
    for _ in 0..HALVINGS {
        let middle = f64::midpoint(low, high);
        if below(middle) >= CLEAR_SHARE * whole {
            high = middle;
        } else {
            low = middle;
        }
    }
    high
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Ten feet of ground that falls from +1 in the west to -2 in the east.
    fn slope() -> SubgradeSurvey {
        let corner = |x: f64, y: f64| (Point::feet(x, y), 1.0 - 0.3 * x);
        let (a, b, c, d) =
            (corner(0.0, 0.0), corner(10.0, 0.0), corner(10.0, 10.0), corner(0.0, 10.0));
        SubgradeSurvey {
            triangles: vec![[a, b, c], [a, c, d]],
            // Wedges: (1/2)(10/3)(10) ft2 at 1 in and (1/2)(20/3)(10) ft2 at 2 in, over 3.
            cut: 100.0 / 3.0 * 144.0 * 0.5,
            fill: 200.0 / 3.0 * 144.0,
            ..SubgradeSurvey::default()
        }
    }

    #[test]
    fn contours_of_a_slope_run_across_it() {
        let mut survey = slope();
        complete(&mut survey);
        let zero = survey.contours.iter().find(|contour| contour.height == 0.0).unwrap();
        let length: f64 = zero.lines.iter().map(|[from, to]| from.distance(*to)).sum();
        assert!((length - 120.0).abs() < 1e-9);
        assert!(zero.lines.iter().flatten().all(|at| (at.x - 40.0).abs() < 1e-9));
        let heights: Vec<f64> = survey.contours.iter().map(|contour| contour.height).collect();
        assert_eq!(heights.len(), 11);
        assert!(heights.windows(2).all(|pair| pair[0] < pair[1]));
    }

    #[test]
    fn raises_of_a_slope() {
        let mut survey = slope();
        complete(&mut survey);
        // The mean of a plane is its middle; 95 % lies below +1 less 5 % of the fall.
        assert!((survey.balance_raise + 0.5).abs() < 1e-9, "{}", survey.balance_raise);
        assert!((survey.clear_raise - 0.85).abs() < 1e-6, "{}", survey.clear_raise);
    }
}
