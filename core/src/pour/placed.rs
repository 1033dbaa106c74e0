//! How much concrete lies before a line that moves over the slab, and the line for an amount.
//!
//! The solid is a set of convex wedges: plan pieces whose thickness changes evenly. Between one
//! corner's passing and the next the volume before the line is a cubic in how far the line has
//! come, so a bracketed Newton search from exact values and exact sections finds it to rounding.

use crate::concrete::Concrete;
use crate::concrete::convex::{HalfPlane, Plane, area, clipped, cut, volume_under};
use crate::geometry::{Point, Polygon, Vector, polygon};
use crate::pour::SubgradeSurvey;

/// Steps of the search: each at least halves the bracket.
const MOST_STEPS: u32 = 60;

/// A piece of plan with a thickness.
struct Wedge {
    corners: Vec<Point>,
    thickness: Plane,
    /// Where the line first and last touches it.
    from: f64,
    to: f64,
    volume: f64,
}

/// A solid in the order in which a line that moves one way passes it.
pub(super) struct Placed {
    direction: Vector,
    /// Sorted by where they end.
    wedges: Vec<Wedge>,
    /// Volume of all wedges up to and with each.
    up_to: Vec<f64>,
}

impl Placed {
    /// The solid, with the low ground below it when the survey is given.
    pub(super) fn of(
        concrete: &Concrete,
        low_ground: Option<&SubgradeSurvey>,
        direction: Vector,
    ) -> Self {
        let mut wedges: Vec<Wedge> = Vec::with_capacity(concrete.cells.len());
        for cell in &concrete.cells {
            let thick = |index: usize| -> Option<(Point, f64)> {
                let depth = cell.underside.get(index)? - cell.top.get(index)?;
                Some((*cell.corners.get(index)?, depth))
            };
            // The widest triangle of the cell's corners from the first fixes the plane best.
            let best = (1..cell.corners.len().saturating_sub(1))
                .filter_map(|index| Some([thick(0)?, thick(index)?, thick(index + 1)?]))
                .max_by(|a, b| {
                    let size = |places: &[(Point, f64); 3]| area(&places.map(|place| place.0));
                    size(a).total_cmp(&size(b))
                });
            if let Some(places) = best {
                wedges.push(Wedge::new(cell.corners.clone(), Plane::through(places), direction));
            }
        }
        for triangle in low_ground.iter().flat_map(|survey| &survey.triangles) {
            let height = Plane::through(*triangle);
            let below = cut(&triangle.map(|corner| corner.0), |place| -height.at(place)).inside;
            if !below.is_empty() {
                wedges.push(Wedge::new(below, Plane::level(0.0).less(height), direction));
            }
        }
        wedges.sort_by(|a, b| a.to.total_cmp(&b.to));
        let mut sum = 0.0;
        let up_to = wedges
            .iter()
            .map(|wedge| {
                sum += wedge.volume;
                sum
            })
            .collect();
        Self { direction, wedges, up_to }
    }

    /// All of it, cubic inches.
    pub(super) fn total(&self) -> f64 {
        self.up_to.last().copied().unwrap_or(0.0)
    }

    /// Where the line first touches the solid, and where it leaves it.
    pub(super) fn reach(&self) -> (f64, f64) {
        let from = self.wedges.iter().map(|wedge| wedge.from).fold(f64::INFINITY, f64::min);
        let to = self.wedges.last().map_or(0.0, |wedge| wedge.to);
        if from.is_finite() { (from, to) } else { (0.0, 0.0) }
    }

    /// Volume before a line that has come so far along the direction, and the section there.
    fn before_with_section(&self, at: f64) -> (f64, f64) {
        let done = self.wedges.partition_point(|wedge| wedge.to <= at);
        let whole = done.checked_sub(1).and_then(|last| self.up_to.get(last)).copied();
        let line = HalfPlane { base: Point::ORIGIN + self.direction * at, normal: -self.direction };
        let (mut volume, mut section) = (whole.unwrap_or(0.0), 0.0);
        for wedge in self.wedges.iter().skip(done).filter(|wedge| wedge.from < at) {
            volume += volume_under(&clipped(&wedge.corners, [line]), wedge.thickness);
            section += wedge.section(line);
        }
        (volume, section)
    }

    /// Volume before a line that has come so far along the direction.
    pub(super) fn before(&self, at: f64) -> f64 {
        self.before_with_section(at).0
    }

    /// How far a place lies along the direction.
    pub(super) fn along(&self, place: Point) -> f64 {
        self.direction.dot(place.to_vector())
    }

    /// How far the line has come when a volume is placed; `None` when there is not that much.
    pub(super) fn line_at(&self, volume: f64) -> Option<f64> {
        if volume <= 0.0 || volume >= self.total() {
            return None;
        }
        let (mut low, mut high) = self.reach();
        let mut at = f64::midpoint(low, high);
        for _ in 0..MOST_STEPS {
            let (before, section) = self.before_with_section(at);
            let missing = volume - before;
            if missing.abs() <= 1e-12 * self.total() {
                break;
            }
            if missing > 0.0 {
                low = at;
            } else {
                high = at;
            }
            let newton = at + missing / section;
            // A step out of the bracket (a notch, where the section is small) is halved instead.
            at = if newton > low && newton < high { newton } else { f64::midpoint(low, high) };
            if high - low <= 1e-10 {
                break;
            }
        }
        Some(at)
    }
}

impl Wedge {
    fn new(corners: Vec<Point>, thickness: Plane, direction: Vector) -> Self {
        let along = |corner: &Point| direction.dot(corner.to_vector());
        let from = corners.iter().map(along).fold(f64::INFINITY, f64::min);
        let to = corners.iter().map(along).fold(f64::NEG_INFINITY, f64::max);
        let volume = volume_under(&corners, thickness);
        Self { corners, thickness, from, to, volume }
    }

    /// The upright section along a line: the length inside times the mean thickness of its ends.
    fn section(&self, line: HalfPlane) -> f64 {
        let mut ends: Vec<Point> = Vec::with_capacity(2);
        for (from, to) in polygon::edges(&self.corners) {
            let (here, there) = (line.depth_of(from), line.depth_of(to));
            if (here > 0.0) != (there > 0.0) {
                ends.push(from.toward(to, here / (here - there)));
            }
        }
        match ends[..] {
            [one, other] => {
                let thickness = self.thickness.at(one) + self.thickness.at(other);
                one.distance(other) * thickness / 2.0
            }
            _ => 0.0,
        }
    }
}

/// The parts of a line across the direction that lie inside the region.
pub(super) fn across(region: &Polygon, direction: Vector, at: f64) -> Vec<[Point; 2]> {
    let sideways = direction.left();
    let mut met: Vec<f64> = region
        .edges()
        .filter_map(|(from, to)| {
            let (here, there) =
                (direction.dot(from.to_vector()) - at, direction.dot(to.to_vector()) - at);
            ((here > 0.0) != (there > 0.0))
                .then(|| sideways.dot(from.toward(to, here / (here - there)).to_vector()))
        })
        .collect();
    met.sort_by(f64::total_cmp);
    let place = |across: f64| Point::ORIGIN + direction * at + sideways * across;
    met.chunks_exact(2)
        .filter_map(|pair| match pair {
            [one, other] if other > one => Some([place(*one), place(*other)]),
            _ => None,
        })
        .collect()
}
