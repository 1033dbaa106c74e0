//! How well tube covers what should be heated: share within a distance, and the widest gap.

#![expect(
    clippy::indexing_slicing,
    reason = "sample numbers are clamped to the raster made in `Samples::new`"
)]

use super::field::Field;
use crate::geometry::nearest::distance_to_line;
use crate::geometry::{Point, Polygon, Segment, Vector};

/// Points spread evenly over an area, each with its distance to the nearest tube so far.
#[derive(Clone, Debug)]
pub struct Samples {
    origin: Point,
    step: f64,
    columns: usize,
    rows: usize,
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
        let (columns, rows) = (whole(bounds.width() / step) + 1, whole(bounds.height() / step) + 1);
        let mut nearest = vec![f64::NAN; columns * rows];
        for row in 0..rows {
            for column in 0..columns {
                let point =
                    Point::new(origin.x + column as f64 * step, origin.y + row as f64 * step);
                if field.contains(point) {
                    nearest[row * columns + column] = reach;
                }
            }
        }
        Some(Self { origin, step, columns, rows, nearest, reach })
    }

    /// Takes in the tube of a path.
    pub fn lay(&mut self, path: &[Segment]) {
        for segment in path {
            let mut from = segment.start();
            for to in segment.flatten(0.1) {
                self.lay_leg(from, to);
                from = to;
            }
        }
    }

    fn lay_leg(&mut self, from: Point, to: Point) {
        // Long slanted legs would touch a large box: cut them.
        let parts = (from.distance(to) / (4.0 * self.reach)).ceil().max(1.0);
        for part in 0..whole(parts) {
            let (a, b) =
                (from.toward(to, part as f64 / parts), from.toward(to, (part + 1) as f64 / parts));
            let span = |low: f64, high: f64, start: f64, count: usize| {
                let first = whole(((low - self.reach - start) / self.step).ceil());
                let last = whole((high + self.reach - start) / self.step + 1.0).min(count);
                first..last
            };
            let columns = span(a.x.min(b.x), a.x.max(b.x), self.origin.x, self.columns);
            for row in span(a.y.min(b.y), a.y.max(b.y), self.origin.y, self.rows) {
                for column in columns.clone() {
                    let sample = &mut self.nearest[row * self.columns + column];
                    let point = Point::new(
                        self.origin.x + column as f64 * self.step,
                        self.origin.y + row as f64 * self.step,
                    );
                    if !sample.is_nan() {
                        *sample = sample.min(distance_to_line(point, a, b));
                    }
                }
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
                let (row, column) = (number / self.columns, number % self.columns);
                let step = Vector::new(column as f64 * self.step, row as f64 * self.step);
                pocket.push((self.origin + step, self.nearest[number]));
                let beside = [
                    (column > 0).then(|| number - 1),
                    (column + 1 < self.columns).then_some(number + 1),
                    (row > 0).then(|| number - self.columns),
                    (row + 1 < self.rows).then_some(number + self.columns),
                ];
                for other in beside.into_iter().flatten() {
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
        let widest_gap = widest.map(|(number, distance)| {
            let (row, column) = (number / self.columns, number % self.columns);
            let at = Point::new(
                self.origin.x + column as f64 * self.step,
                self.origin.y + row as f64 * self.step,
            );
            (at, distance)
        });
        Cover { half: share(half), three_quarters: share(three), widest_gap }
    }
}

fn whole(value: f64) -> usize {
    #[expect(clippy::cast_possible_truncation, clippy::cast_sign_loss, reason = "clamped")]
    let whole = value.clamp(0.0, 1e6) as usize;
    whole
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
