//! Where to shoot the ground, and what a rod reading means.

use crate::geometry::{Point, nearest, polygon};
use crate::plan::Plan;

/// A grid place this share of the spacing from a corner is left out: the corner serves.
const NEAR_CORNER: f64 = 0.4;
/// More places than this are not proposed: the spacing is a slip of the pen.
const MOST_PLACES: f64 = 20_000.0;

/// Places to shoot: every corner of the slab, then a grid over it of at most this spacing in
/// inches, so that the whole slab lies between shots. Empty without a slab or a spacing.
#[must_use]
pub fn propose_shots(plan: &Plan, spacing: f64) -> Vec<Point> {
    let Some(bounds) = plan.bounds().filter(|_| spacing > 0.0) else { return Vec::new() };
    let corners: Vec<Point> = plan.corners.iter().map(|corner| corner.at).collect();
    let mut places = corners.clone();
    let spaces = |size: f64| (size / spacing).ceil().max(1.0);
    let (columns, rows) = (spaces(bounds.width()), spaces(bounds.height()));
    if columns * rows > MOST_PLACES {
        return places;
    }
    #[expect(clippy::cast_possible_truncation, reason = "at most MOST_PLACES")]
    #[expect(clippy::cast_sign_loss, reason = "at least one")]
    let (last_column, last_row) = (columns as u32, rows as u32);
    for row in 0..=last_row {
        for column in 0..=last_column {
            let at = Point::new(
                bounds.min.x + bounds.width() * f64::from(column) / columns,
                bounds.min.y + bounds.height() * f64::from(row) / rows,
            );
            let on_side = plan
                .region
                .rings()
                .flat_map(|ring| polygon::edges(ring))
                .any(|(from, to)| nearest::distance_to_line(at, from, to) < 1e-6);
            let near_corner =
                corners.iter().any(|corner| corner.distance(at) < NEAR_CORNER * spacing);
            if (on_side || plan.region.contains(at)) && !near_corner {
                places.push(at);
            }
        }
    }
    places
}

/// Height of the ground under a rod, in the unit of the readings: the benchmark's height and the
/// rod's reading on it give the height of the laser's plane, and the rod reads down from that.
#[must_use]
pub fn height_under_rod(benchmark: f64, rod_on_benchmark: f64, rod: f64) -> f64 {
    benchmark + rod_on_benchmark - rod
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::job::Job;

    #[test]
    fn every_corner_and_a_grid_between() {
        let corners =
            [(0.0, 0.0), (40.0, 0.0), (40.0, 18.0), (24.0, 18.0), (24.0, 30.0), (0.0, 30.0)]
                .map(|(x, y)| (Point::feet(x, y), None));
        let plan = Plan::of(&Job::from_corners(&corners));
        let places = propose_shots(&plan, 120.0);
        assert_eq!(places.iter().take(6).count(), 6);
        // 5 x 4 grid places of 10 ft, less two outside the L and those at or near its corners.
        assert!(places.len() > 12 && places.len() < 22, "{}", places.len());
        assert!(
            places.iter().all(|&at| nearest::distance_to_sides(at, &plan.region) < 1e-6
                || plan.region.contains(at))
        );
        assert!(propose_shots(&plan, 0.0).is_empty());
    }

    #[test]
    fn a_laser_and_a_rod() {
        // Benchmark 100.00, rod 4.37: the plane is at 104.37; 4.7033 on the rod is 99.6667, the
        // ground under 4 in of slab, 2 in of foam and 4 in of stone from 100.50.
        let ground = height_under_rod(100.0, 4.37, 4.7033);
        assert!((ground - (100.5 - 10.0 / 12.0)).abs() < 1e-4);
    }
}
