//! How well tube covers what should be heated: share within a distance, and the widest gap.

#![expect(
    clippy::indexing_slicing,
    reason = "samples are numbered by the raster made in `Samples::new`"
)]

use super::field::Field;
use super::raster::Raster;
use crate::geometry::{Point, Polygon, Segment};

/// Points spread evenly over an area, each with its distance to the nearest tube so far.
#[derive(Clone, Debug)]
pub struct Samples {
    raster: Raster,
    /// Distance to tube; NaN outside the area.
    nearest: Vec<f64>,
    reach: f64,
}

/// What samples tell.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub struct Cover {
    /// Share within half the spacing.
    pub half: f64,
    /// Share within three quarters of it.
    pub three_quarters: f64,
    /// Centre and radius of the largest circle without tube.
    pub widest_gap: Option<(Point, f64)>,
}

impl Samples {
    /// Samples `step` apart over an area, for distances up to `reach`.
    #[must_use]
    pub fn new(area: &[Polygon], step: f64, reach: f64) -> Option<Self> {
        let field = Field::new(area)?;
        let bounds = field.bounds();
        let origin = Point::new(bounds.min.x + step / 2.0, bounds.min.y + step / 2.0);
        let raster = Raster::new(origin, (bounds.width(), bounds.height()), step);
        let nearest = (0..raster.len())
            .map(|number| if field.contains(raster.place(number)) { reach } else { f64::NAN });
        Some(Self { raster, nearest: nearest.collect(), reach })
    }

    /// Takes in the tube of a path.
    pub fn lay(&mut self, path: &[Segment]) {
        for segment in path {
            let mut from = segment.start();
            for to in segment.flatten(0.1) {
                self.raster.lay((from, to), self.reach, &mut self.nearest);
                from = to;
            }
        }
    }

    /// Pockets of floor farther from tube than half the spacing: places that hang together, with
    /// their distance to tube.
    #[must_use]
    pub fn pockets(&self, spacing: f64) -> Vec<Vec<(Point, f64)>> {
        let is_bare = |number: usize| self.nearest[number] > spacing / 2.0 + 0.05;
        let mut is_seen = vec![false; self.nearest.len()];
        let mut pockets = Vec::new();
        for first in 0..self.nearest.len() {
            if is_seen[first] || !is_bare(first) {
                continue;
            }
            is_seen[first] = true;
            let (mut open, mut pocket) = (vec![first], Vec::new());
            while let Some(number) = open.pop() {
                pocket.push((self.raster.place(number), self.nearest[number]));
                for other in self.raster.beside(number) {
                    if !is_seen[other] && is_bare(other) {
                        is_seen[other] = true;
                        open.push(other);
                    }
                }
            }
            pockets.push(pocket);
        }
        pockets
    }

    /// The figures.
    #[must_use]
    pub fn cover(&self, spacing: f64) -> Cover {
        let (mut all, mut half, mut three) = (0_u32, 0_u32, 0_u32);
        let mut widest: Option<(usize, f64)> = None;
        for (number, &distance) in self.nearest.iter().enumerate() {
            if distance.is_nan() {
                continue;
            }
            all += 1;
            half += u32::from(distance <= spacing / 2.0 + 0.05);
            three += u32::from(distance <= spacing * 0.75);
            if widest.is_none_or(|(_, most)| distance > most) {
                widest = Some((number, distance));
            }
        }
        let share = |count: u32| if all == 0 { 0.0 } else { f64::from(count) / f64::from(all) };
        let widest_gap = widest.map(|(number, distance)| (self.raster.place(number), distance));
        Cover { half: share(half), three_quarters: share(three), widest_gap }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn one_tube_down_the_middle_of_a_strip() {
        let strip = [Polygon::rectangle(Point::new(0.0, 0.0), Point::new(240.0, 24.0))];
        let mut samples = Samples::new(&strip, 1.0, 18.0).unwrap();
        samples.lay(&[Segment::Line(Point::new(0.0, 12.0), Point::new(240.0, 12.0))]);
        let cover = samples.cover(12.0);
        assert!((cover.half - 0.5).abs() < 0.03, "{cover:?}");
        assert!((cover.three_quarters - 0.75).abs() < 0.03);
        // The strips along its two sides are bare.
        let mut pockets = samples.pockets(12.0);
        pockets.sort_by(|a, b| a[0].0.y.total_cmp(&b[0].0.y));
        assert_eq!(pockets.len(), 2);
        assert!(pockets[0].iter().all(|(place, far)| place.y < 6.0 && *far > 6.0));
        assert!(pockets[1].iter().all(|(place, far)| place.y > 18.0 && *far > 6.0));
    }
}
