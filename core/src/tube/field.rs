//! Where the axis of a tube may lie, and how far one can go in it before meeting its rim.
//!
//! The rim is kept in bands of y, so that a short question looks at a few sides only.

#![expect(
    clippy::indexing_slicing,
    reason = "band numbers are clamped to the bands made in `new`, side numbers are its own"
)]

use crate::geometry::nearest::{crossing, distance_to_line};
use crate::geometry::{Bounds, Point, Polygon};

/// Height of a band, inches.
const BAND_IN: f64 = 18.0;

/// Size of a tile, inches.
const TILE_IN: f64 = 12.0;

/// What lies nearer to a line than this lies on it, inches.
const HAIR_IN: f64 = 1e-6;

/// What a tile of the plan holds.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
enum Tile {
    Inside,
    Outside,
    Rim,
    /// The rim, which goes through the middle of the tile: that tells nothing.
    RimThroughMiddle,
}

/// The region for tube axes, ready to be asked.
#[derive(Clone, Debug)]
pub struct Field {
    sides: Vec<(Point, Point)>,
    bands: Vec<Vec<u32>>,
    bounds: Bounds,
    /// Most questions fall into tiles that the rim does not touch.
    tiles: Vec<Tile>,
    columns: usize,
    /// The sides that touch each tile, and whether its middle lies inside.
    touching: Vec<(Vec<u32>, bool)>,
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
        let mut field = Self {
            sides,
            bands: Vec::new(),
            bounds,
            tiles: Vec::new(),
            columns: 0,
            touching: Vec::new(),
        };
        field.bands = vec![Vec::new(); field.band(bounds.max.y) + 1];
        for number in 0..field.sides.len() {
            let (from, to) = field.sides[number];
            for band in field.band(from.y.min(to.y))..=field.band(from.y.max(to.y)) {
                field.bands[band].push(u32::try_from(number).unwrap_or(u32::MAX));
            }
        }
        field.lay_tiles();
        Some(field)
    }

    fn lay_tiles(&mut self) {
        let (columns, rows) = (tile(self.bounds.width()) + 1, tile(self.bounds.height()) + 1);
        let mut tiles = vec![Tile::Outside; columns * rows];
        let mut touching: Vec<(Vec<u32>, bool)> = vec![(Vec::new(), false); columns * rows];
        for (number, &(from, to)) in self.sides.iter().enumerate() {
            let number = u32::try_from(number).unwrap_or(u32::MAX);
            let parts = (from.distance(to) / TILE_IN).ceil().clamp(1.0, 1e5);
            for part in 0..tile(parts * TILE_IN) {
                let a = from.toward(to, part as f64 / parts);
                let b = from.toward(to, (part + 1) as f64 / parts);
                let (west, east, south, north) = self.tile_range(a, b);
                for row in south..=north.min(rows - 1) {
                    for column in west..=east.min(columns - 1) {
                        let place = row * columns + column;
                        tiles[place] = Tile::Rim;
                        if touching[place].0.last() != Some(&number) {
                            touching[place].0.push(number);
                        }
                    }
                }
            }
        }
        for row in 0..rows {
            let mut known = None;
            for column in 0..columns {
                let place = row * columns + column;
                let middle = self.middle_of(column, row);
                if tiles[place] == Tile::Rim {
                    known = None;
                    touching[place].1 = self.contains_by_sides(middle);
                    let is_on = |&side: &u32| {
                        let (from, to) = self.sides[side as usize];
                        distance_to_line(middle, from, to) < HAIR_IN
                    };
                    if touching[place].0.iter().any(is_on) {
                        tiles[place] = Tile::RimThroughMiddle;
                    }
                    continue;
                }
                let inside = *known.get_or_insert_with(|| self.contains_by_sides(middle));
                tiles[place] = if inside { Tile::Inside } else { Tile::Outside };
            }
        }
        self.tiles = tiles;
        self.touching = touching;
        self.columns = columns;
    }

    fn middle_of(&self, column: usize, row: usize) -> Point {
        Point::new(
            self.bounds.min.x + (column as f64 + 0.5) * TILE_IN,
            self.bounds.min.y + (row as f64 + 0.5) * TILE_IN,
        )
    }

    /// Columns and rows of tiles that the box of a line touches: west, east, south, north.
    fn tile_range(&self, a: Point, b: Point) -> (usize, usize, usize, usize) {
        (
            tile(a.x.min(b.x) - self.bounds.min.x - HAIR_IN),
            tile(a.x.max(b.x) - self.bounds.min.x + HAIR_IN),
            tile(a.y.min(b.y) - self.bounds.min.y - HAIR_IN),
            tile(a.y.max(b.y) - self.bounds.min.y + HAIR_IN),
        )
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
        let place = tile(point.y - min.y) * self.columns + tile(point.x - min.x);
        match self.tiles.get(place) {
            Some(Tile::Inside) => true,
            Some(Tile::Outside) => false,
            Some(Tile::Rim) => self.contains_in_tile(point, place),
            Some(Tile::RimThroughMiddle) | None => self.contains_by_sides(point),
        }
    }

    /// Inside when the way from the tile's middle crosses as many sides as its middle says.
    fn contains_in_tile(&self, point: Point, place: usize) -> bool {
        let middle = self.middle_of(place % self.columns, place / self.columns);
        let (sides, mut inside) = (&self.touching[place].0, self.touching[place].1);
        for &side in sides {
            let (a, b) = self.sides[side as usize];
            let way = point - middle;
            let along = b - a;
            // Half-open on both, so that a corner on the way counts once.
            let splits_side = (way.cross(a - middle) > 0.0) != (way.cross(b - middle) > 0.0);
            let splits_way = (along.cross(middle - a) > 0.0) != (along.cross(point - a) > 0.0);
            if splits_side && splits_way {
                inside = !inside;
            }
        }
        inside
    }

    fn contains_by_sides(&self, point: Point) -> bool {
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
        let (min, max) = (self.bounds.min, self.bounds.max);
        let is_in_box = |p: Point| p.x >= min.x && p.x <= max.x && p.y >= min.y && p.y <= max.y;
        if !is_in_box(from) || !is_in_box(to) {
            return false;
        }
        let (tile_west, tile_east, tile_south, tile_north) = self.tile_range(from, to);
        let is_far_from_rim = (tile_south..=tile_north).all(|row| {
            (tile_west..=tile_east)
                .all(|column| self.tiles.get(row * self.columns + column) == Some(&Tile::Inside))
        });
        if is_far_from_rim {
            return true;
        }
        if !self.contains(from) {
            return false;
        }
        let (west, east) = (from.x.min(to.x), from.x.max(to.x));
        let (south, north) = (from.y.min(to.y), from.y.max(to.y));
        let is_cut = |side: (Point, Point)| {
            side.0.x.max(side.1.x) >= west
                && side.0.x.min(side.1.x) <= east
                && side.0.y.max(side.1.y) >= south
                && side.0.y.min(side.1.y) <= north
                && crossing((from, to), side).is_some()
        };
        !(tile_south..=tile_north).any(|row| {
            (tile_west..=tile_east).any(|column| {
                self.touching.get(row * self.columns + column).is_some_and(|(sides, _)| {
                    sides.iter().any(|&side| is_cut(self.sides[side as usize]))
                })
            })
        })
    }

    /// How far one can go from a point inside along `heading`, no farther than `most`.
    #[must_use]
    pub fn reach(&self, from: Point, heading: Heading, most: f64) -> f64 {
        if !self.contains(from) {
            return 0.0;
        }
        let end = heading.ahead(from, most);
        let (west, east, south, north) = self.tile_range(from, end);
        let rows = self.tiles.len() / self.columns.max(1);
        let (is_level, is_rising) = (heading.0.is_multiple_of(2), heading.0 < 2);
        let (columns, rows) = (west..=east.min(self.columns - 1), south..=north.min(rows - 1));
        let (ways, lanes) = if is_level { (columns, rows) } else { (rows, columns) };
        let (start, origin) =
            if is_level { (from.x, self.bounds.min.x) } else { (from.y, self.bounds.min.y) };
        let mut least = most;
        // Tile by tile, until one ends beyond the nearest side met.
        for step in 0..ways.clone().count() {
            let way = if is_rising { ways.start() + step } else { ways.end() - step };
            for lane in lanes.clone() {
                let (column, row) = if is_level { (way, lane) } else { (lane, way) };
                for &side in &self.touching[row * self.columns + column].0 {
                    let met = crossing((from, end), self.sides[side as usize]);
                    least = met.map_or(least, |(share, _)| least.min(share * most));
                }
            }
            let far = origin + TILE_IN * if is_rising { (way + 1) as f64 } else { way as f64 };
            if (far - start).abs() >= least {
                break;
            }
        }
        least
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

fn tile(distance: f64) -> usize {
    #[expect(clippy::cast_possible_truncation, clippy::cast_sign_loss, reason = "clamped")]
    let tile = (distance / TILE_IN).clamp(0.0, 1e6) as usize;
    tile
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

    #[test]
    fn walls_through_the_middles_of_tiles_are_no_riddle() {
        // Corners on every multiple of half a tile, so that some stand on the middles of tiles.
        for alcove in [6.0, 12.0, 18.0, 24.0, 30.0] {
            let corners = [
                (6.0, 6.0),
                (144.0, 6.0),
                (144.0, 42.0),
                (264.0, 42.0),
                (264.0, 42.0 + alcove),
                (144.0, 42.0 + alcove),
                (144.0, 108.0),
                (6.0, 108.0),
            ];
            let region = Polygon::new(corners.map(|(x, y)| Point::new(x, y)).to_vec(), Vec::new());
            let field = Field::new(std::slice::from_ref(&region)).unwrap();
            for (column, row) in (0..90).flat_map(|column| (0..40).map(move |row| (column, row))) {
                let place = Point::new(1.7 + 3.0 * f64::from(column), 1.3 + 3.0 * f64::from(row));
                assert_eq!(field.contains(place), region.contains(place), "{alcove} {place:?}");
            }
        }
    }

    #[test]
    fn the_way_ahead_ends_at_the_nearest_side() {
        // A ring with many short sides, so that a way passes many tiles.
        let ring = |radius: f64, count: u32| -> Vec<Point> {
            (0..count)
                .map(|corner| {
                    let turn = f64::from(corner) / f64::from(count) * std::f64::consts::TAU;
                    Point::ORIGIN + crate::geometry::Vector::from_angle(turn) * radius
                })
                .collect()
        };
        let field = Field::new(&[Polygon::new(ring(150.0, 90), vec![ring(60.0, 40)])]).unwrap();
        let mut met = 0;
        for step in 0..400 {
            let turn = f64::from(step) * 0.7;
            let from = Point::ORIGIN + crate::geometry::Vector::from_angle(turn) * 105.0;
            for heading in Heading::ALL {
                let most = 40.0 + f64::from(step);
                let end = heading.ahead(from, most);
                let plain = field
                    .sides()
                    .iter()
                    .filter_map(|&side| crossing((from, end), side))
                    .map(|(share, _)| share * most)
                    .fold(most, f64::min);
                assert!((field.reach(from, heading, most) - plain).abs() < 1e-9);
                met += usize::from(plain < most);
            }
        }
        assert!(met > 1000, "{met}");
    }
}
