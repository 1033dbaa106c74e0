//! Places evenly spread over a box: which of them lie near a leg of tube is seen from where it
//! runs, so that no leg is held against places far from it.

use crate::geometry::{Point, Vector};

/// Places in rows, the first in the south-west.
#[derive(Clone, Copy, Debug)]
pub struct Raster {
    origin: Point,
    step: f64,
    columns: usize,
    rows: usize,
}

impl Raster {
    /// Places `step` apart from `origin` on, over so much width and height, inches.
    pub fn new(origin: Point, (width, height): (f64, f64), step: f64) -> Self {
        Self { origin, step, columns: whole(width / step) + 1, rows: whole(height / step) + 1 }
    }

    /// How many places there are: their numbers are less.
    pub const fn len(&self) -> usize {
        self.columns * self.rows
    }

    /// A place by its number.
    pub fn place(&self, number: usize) -> Point {
        let (row, column) = (number / self.columns, number % self.columns);
        self.origin + Vector::new(column as f64 * self.step, row as f64 * self.step)
    }

    /// The numbers of the places right beside one.
    pub fn beside(&self, number: usize) -> impl Iterator<Item = usize> {
        let (row, column) = (number / self.columns, number % self.columns);
        let beside = [
            (column > 0).then(|| number - 1),
            (column + 1 < self.columns).then_some(number + 1),
            (row > 0).then(|| number - self.columns),
            (row + 1 < self.rows).then_some(number + self.columns),
        ];
        beside.into_iter().flatten()
    }

    /// Takes a leg in: how far each place is from tube so far becomes no more than it is from the
    /// leg. Places farther from it than `reach` may be passed over; those that are NaN stay so.
    pub fn lay(&self, (from, to): (Point, Point), reach: f64, nearest: &mut [f64]) {
        // Long slanted legs would touch a large box: cut them.
        let parts = (from.distance(to) / (4.0 * reach)).ceil().max(1.0);
        for part in 0..whole(parts) {
            let (a, b) =
                (from.toward(to, part as f64 / parts), from.toward(to, (part + 1) as f64 / parts));
            let span = |low: f64, high: f64, start: f64, count: usize| {
                let first = whole(((low - reach - start) / self.step).ceil());
                let last = whole((high + reach - start) / self.step + 1.0).min(count);
                first..last
            };
            let columns = span(a.x.min(b.x), a.x.max(b.x), self.origin.x, self.columns);
            let start = self.origin.x + columns.start as f64 * self.step - a.x;
            let along = b - a;
            let squared = along.dot(along);
            let per = if squared > 0.0 { squared.recip() } else { 0.0 };
            for row in span(a.y.min(b.y), a.y.max(b.y), self.origin.y, self.rows) {
                let north = self.origin.y + row as f64 * self.step - a.y;
                let first = row * self.columns;
                let Some(places) = nearest.get_mut(first + columns.start..first + columns.end)
                else {
                    continue;
                };
                // The innermost loop of all searches: without a branch, so that several places are
                // looked at with one instruction.
                for (column, nearest) in (0_u32..).zip(places) {
                    let east = start + f64::from(column) * self.step;
                    let share = ((east * along.x + north * along.y) * per).clamp(0.0, 1.0);
                    let (east, north) = (east - along.x * share, north - along.y * share);
                    let distance = (east * east + north * north).sqrt();
                    *nearest = if distance < *nearest { distance } else { *nearest };
                }
            }
        }
    }
}

/// A count from a length over a step: none below zero, and no more than a raster can have.
pub fn whole(value: f64) -> usize {
    #[expect(clippy::cast_possible_truncation, clippy::cast_sign_loss, reason = "clamped")]
    let whole = value.clamp(0.0, 1e6) as usize;
    whole
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::geometry::nearest::distance_to_line;

    #[test]
    fn places_within_reach_of_legs_know_how_far_they_are_from_them() {
        let raster = Raster::new(Point::new(-7.0, 3.0), (90.0, 61.0), 2.0);
        let legs = [((-40.0, 20.0), (200.0, 35.0)), ((10.0, -5.0), (12.0, 80.0))]
            .map(|(from, to)| (Point::new(from.0, from.1), Point::new(to.0, to.1)));
        let reach = 9.0;
        let mut nearest = vec![reach; raster.len()];
        for leg in legs {
            raster.lay(leg, reach, &mut nearest);
        }
        for (number, &found) in nearest.iter().enumerate() {
            let place = raster.place(number);
            let to_leg = legs.map(|(from, to)| distance_to_line(place, from, to));
            let least = to_leg[0].min(to_leg[1]).min(reach);
            assert!((found - least).abs() < 1e-9, "{place:?} {found} {least}");
        }
        assert_eq!(raster.len(), 46 * 31);
        assert_eq!(raster.place(raster.len() - 1), Point::new(83.0, 63.0));
    }

    #[test]
    fn corners_have_two_places_beside_them_and_inner_ones_four() {
        let raster = Raster::new(Point::ORIGIN, (4.0, 2.0), 1.0);
        let beside = |number| raster.beside(number).collect::<Vec<_>>();
        assert_eq!(beside(0), [1, 5]);
        assert_eq!(beside(14), [13, 9]);
        assert_eq!(beside(7), [6, 8, 2, 12]);
    }
}
