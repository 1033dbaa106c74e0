//! Where the axis of a tube may lie, and how far one can go in it before meeting its rim.
//!
//! The rim is kept in bands of y, so that a short question looks at a few sides only.

#![expect(
    clippy::indexing_slicing,
    reason = "band numbers are clamped to the bands made in `new`, side numbers are its own"
)]

use crate::geometry::nearest::crossing;
use crate::geometry::{Bounds, Point, Polygon};

/// Height of a band, inches.
const BAND_IN: f64 = 18.0;

/// The region for tube axes, ready to be asked.
#[derive(Clone, Debug)]
pub struct Field {
    sides: Vec<(Point, Point)>,
    bands: Vec<Vec<u32>>,
    bounds: Bounds,
}

/// One of the four directions of the lanes, counter-clockwise from east.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Heading(pub usize);

impl Heading {
    /// The four of them: east, north, west, south.
    pub const ALL: [Self; 4] = [Self(0), Self(1), Self(2), Self(3)];

    /// The step of length 1.
    #[must_use]
    pub const fn step(self) -> (f64, f64) {
        match self.0 {
            0 => (1.0, 0.0),
            1 => (0.0, 1.0),
            2 => (-1.0, 0.0),
            _ => (0.0, -1.0),
        }
    }

    /// The next one, a quarter turn left.
    #[must_use]
    pub const fn left(self) -> Self {
        Self((self.0 + 1) % 4)
    }

    /// A quarter turn right.
    #[must_use]
    pub const fn right(self) -> Self {
        Self((self.0 + 3) % 4)
    }

    /// The other way.
    #[must_use]
    pub const fn back(self) -> Self {
        Self((self.0 + 2) % 4)
    }

    /// `from` moved `distance` along.
    #[must_use]
    pub fn ahead(self, from: Point, distance: f64) -> Point {
        let (x, y) = self.step();
        Point::new(from.x + x * distance, from.y + y * distance)
    }
}

impl Field {
    /// The field over these regions; `None` when they are empty.
    #[must_use]
    pub fn new(regions: &[Polygon]) -> Option<Self> {
        let sides: Vec<(Point, Point)> =
            regions.iter().flat_map(Polygon::edges).filter(|(from, to)| from != to).collect();
        let bounds = Bounds::of(sides.iter().map(|side| side.0))?;
        let mut field = Self { sides, bands: Vec::new(), bounds };
        field.bands = vec![Vec::new(); field.band(bounds.max.y) + 1];
        for number in 0..field.sides.len() {
            let (from, to) = field.sides[number];
            for band in field.band(from.y.min(to.y))..=field.band(from.y.max(to.y)) {
                field.bands[band].push(u32::try_from(number).unwrap_or(u32::MAX));
            }
        }
        Some(field)
    }

    /// The box round it.
    #[must_use]
    pub const fn bounds(&self) -> Bounds {
        self.bounds
    }

    /// Its sides.
    #[must_use]
    pub fn sides(&self) -> &[(Point, Point)] {
        &self.sides
    }

    fn band(&self, y: f64) -> usize {
        let share = ((y - self.bounds.min.y) / BAND_IN).floor();
        #[expect(clippy::cast_possible_truncation, reason = "clamped to the number of bands")]
        #[expect(clippy::cast_sign_loss, reason = "clamped to zero and above")]
        let band = share.clamp(0.0, 1e6) as usize;
        if self.bands.is_empty() { band } else { band.min(self.bands.len() - 1) }
    }

    fn near(&self, low: f64, high: f64) -> impl Iterator<Item = (Point, Point)> + '_ {
        (self.band(low)..=self.band(high))
            .flat_map(|band| self.bands[band].iter().map(|&side| self.sides[side as usize]))
    }

    /// Whether a point lies inside.
    #[must_use]
    pub fn contains(&self, point: Point) -> bool {
        let (min, max) = (self.bounds.min, self.bounds.max);
        if point.x < min.x || point.x > max.x || point.y < min.y || point.y > max.y {
            return false;
        }
        let mut inside = false;
        for (from, to) in self.near(point.y, point.y) {
            if (from.y > point.y) != (to.y > point.y) {
                let x = from.x + (point.y - from.y) / (to.y - from.y) * (to.x - from.x);
                if x > point.x {
                    inside = !inside;
                }
            }
        }
        inside
    }

    /// Whether all of a straight line lies inside.
    #[must_use]
    pub fn is_clear(&self, from: Point, to: Point) -> bool {
        if !self.contains(from) || !self.contains(to) {
            return false;
        }
        let (west, east) = (from.x.min(to.x), from.x.max(to.x));
        let (south, north) = (from.y.min(to.y), from.y.max(to.y));
        !self.near(south, north).any(|side| {
            side.0.x.max(side.1.x) >= west
                && side.0.x.min(side.1.x) <= east
                && side.0.y.max(side.1.y) >= south
                && side.0.y.min(side.1.y) <= north
                && crossing((from, to), side).is_some()
        })
    }

    /// How far one can go from a point inside along `heading`, no farther than `most`.
    #[must_use]
    pub fn reach(&self, from: Point, heading: Heading, most: f64) -> f64 {
        if !self.contains(from) {
            return 0.0;
        }
        let end = heading.ahead(from, most);
        self.near(from.y.min(end.y), from.y.max(end.y))
            .filter_map(|side| crossing((from, end), side))
            .map(|(share, _)| share * most)
            .fold(most, f64::min)
    }

    /// Total length of the field along the upright line at `x`.
    #[must_use]
    pub fn section(&self, x: f64) -> f64 {
        let mut cuts: Vec<f64> = self
            .sides
            .iter()
            .filter(|(from, to)| (from.x > x) != (to.x > x))
            .map(|(from, to)| from.y + (x - from.x) / (to.x - from.x) * (to.y - from.y))
            .collect();
        cuts.sort_by(f64::total_cmp);
        cuts.chunks_exact(2).map(|pair| pair[1] - pair[0]).sum()
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_frame_of_floor_is_asked() {
        let outer = Polygon::rectangle(Point::new(0.0, 0.0), Point::new(100.0, 60.0));
        let hole = Polygon::rectangle(Point::new(40.0, 20.0), Point::new(60.0, 40.0)).outer;
        let field = Field::new(&[Polygon::new(outer.outer, vec![hole])]).unwrap();
        assert!(field.contains(Point::new(10.0, 30.0)));
        assert!(!field.contains(Point::new(50.0, 30.0)));
        assert!(!field.is_clear(Point::new(10.0, 30.0), Point::new(90.0, 30.0)));
        assert!(field.is_clear(Point::new(10.0, 10.0), Point::new(90.0, 10.0)));
        assert!((field.reach(Point::new(10.0, 30.0), Heading(0), 500.0) - 30.0).abs() < 1e-9);
        assert!((field.reach(Point::new(10.0, 30.0), Heading(1), 20.0) - 20.0).abs() < 1e-9);
        assert!((field.section(50.0) - 40.0).abs() < 1e-9);
    }
}
