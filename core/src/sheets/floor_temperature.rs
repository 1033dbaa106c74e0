//! The floor's temperature as plan marks: lines of the mean over two tube spacings, hatching where
//! the floor is too warm or cool to the feet, for sheets, the picture and whoever draws the plan.
//!
//! Black and white first: nothing is told by colour. The lines are of the mean over two spacings,
//! since the ripple from tube to tube would make a tangle of them; the hatching and the two
//! extremes are of the surface itself.

use super::plan_marks::HEAT;
use crate::drawing::{BezPath, Hatch, Mark, Pen, Rect, path};
use crate::geometry::Point;
use crate::heat::FloorMap;
use crate::heat::contour::{ContourLine, contour_lines, mean_surface, picture_levels};
use crate::heat::section::SectionField;

/// Floor cooler than this is cool to feet in shoes, °F.
///
/// # Source
/// ASHRAE 55: 66 to 84 °F for feet with shoes (from memory).
pub const COOL_F: f64 = 66.0;

/// Lines shorter than this are left out, spacings.
const SHORTEST_LINE: f64 = 3.0;

/// What a plan of floor temperatures shows.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct TemperaturePlan {
    /// Lines of one temperature, °F, in plan inches.
    pub lines: Vec<ContourLine>,
    /// °F from line to line where most of the floor lies; five times as much below.
    pub step_f: f64,
    /// Floor over the warmest allowed, by rectangles.
    pub too_warm: BezPath,
    /// Floor cooler than [`COOL_F`].
    pub cool: BezPath,
}

impl TemperaturePlan {
    /// Of a map with tube about `spacing_in` apart.
    #[must_use]
    pub fn of(map: &FloorMap, spacing_in: f64, limit_f: f64, is_metric: bool) -> Self {
        let mean = mean_surface(map, 2.0 * spacing_in);
        let shown = if is_metric { (1.8, 32.0) } else { (1.0, 0.0) };
        let (levels, step_f) = picture_levels(&mean, shown);
        // A ring no longer than this is a ripple round one bend, not a place.
        let mut lines = contour_lines(&mean, &levels);
        lines.retain(|line| line.length() > SHORTEST_LINE * spacing_in);
        Self { lines, step_f, too_warm: too_warm(map, limit_f), cool: cool(&mean) }
    }

    /// Its marks in plan inches, hatching first.
    #[must_use]
    pub fn marks(&self) -> Vec<Mark> {
        let mut marks = vec![
            Mark::hatch(HEAT, self.cool.clone(), Hatch::GROUND),
            Mark::hatch(HEAT, self.too_warm.clone(), Hatch { spacing: 3.0, ..Hatch::FOAM }),
        ];
        marks.extend(self.lines.iter().map(|line| {
            let spots: Vec<_> = line.points.iter().map(|&(x, y)| (x, y).into()).collect();
            let is_fifth = (line.level / self.step_f.max(1e-6) / 5.0).fract().abs() < 1e-6;
            let pen = if is_fifth { Pen::MEDIUM } else { Pen::FINE };
            Mark::stroke(HEAT, path::polyline(&spots), pen)
        }));
        marks
    }
}

/// Cells over a limit, run by run.
fn too_warm(map: &FloorMap, limit_f: f64) -> BezPath {
    let mut all = BezPath::new();
    for (row, cells) in map.surface_f.chunks_exact(map.columns.max(1)).enumerate() {
        let y = map.origin.y + map.cell * row as f64;
        runs(cells.iter().map(|t| f64::from(*t) > limit_f), |from, to| {
            let x = |column: usize| map.origin.x + map.cell * column as f64;
            add(&mut all, Rect::new(x(from), y, x(to), y + map.cell));
        });
    }
    all
}

/// Places of a lattice cooler than feet like.
fn cool(mean: &SectionField) -> BezPath {
    let step = |lines: &[f64]| match lines {
        [a, b, ..] => b - a,
        _ => 0.0,
    };
    let (dx, dy) = (step(&mean.x), step(&mean.z));
    let mut all = BezPath::new();
    let rows = mean.values.chunks_exact(mean.x.len().max(1)).zip(&mean.z);
    for (cells, &y) in rows {
        runs(cells.iter().map(|t| *t < COOL_F), |from, to| {
            let (first, last) = (mean.x.get(from), mean.x.get(to.saturating_sub(1)));
            if let (Some(first), Some(last)) = (first, last) {
                let (x0, x1) = (first - 0.5 * dx, last + 0.5 * dx);
                add(&mut all, Rect::new(x0, y - 0.5 * dy, x1, y + 0.5 * dy));
            }
        });
    }
    all
}

fn add(all: &mut BezPath, rect: Rect) {
    all.extend(path::rectangle(rect).iter());
}

/// Calls with the first and one past the last place of every run of `true`.
fn runs(cells: impl Iterator<Item = bool>, mut call: impl FnMut(usize, usize)) {
    let mut from = None;
    let mut count = 0;
    for (place, is_in) in cells.enumerate() {
        match (is_in, from) {
            (true, None) => from = Some(place),
            (false, Some(start)) => {
                call(start, place);
                from = None;
            }
            _ => {}
        }
        count = place + 1;
    }
    if let Some(start) = from {
        call(start, count);
    }
}

/// Places along a line for its label: the middle, then others.
#[must_use]
pub fn label_places(line: &ContourLine) -> Vec<Point> {
    let total = line.length();
    let mut places = Vec::new();
    for share in [0.5, 0.3, 0.7, 0.15, 0.85, 0.4, 0.6] {
        let mut left = total * share;
        for pair in line.points.windows(2) {
            let &[a, b] = pair else { continue };
            let length = crate::units::exact_math::hypot(b.0 - a.0, b.1 - a.1);
            if left <= length && length > 0.0 {
                let part = left / length;
                places.push(Point::new(a.0 + (b.0 - a.0) * part, a.1 + (b.1 - a.1) * part));
                break;
            }
            left -= length;
        }
    }
    places
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn runs_of_cells_become_rectangles() {
        let mut found = Vec::new();
        runs([true, true, false, true].into_iter(), |from, to| found.push((from, to)));
        assert_eq!(found, [(0, 2), (3, 4)]);
    }

    #[test]
    fn a_floor_with_a_warm_corner_and_a_cold_rim_shows_both() {
        let (columns, rows) = (60, 40);
        let at = |k: usize| if k % columns < 6 { 60.0 } else { 70.0 + 0.3 * (k % columns) as f32 };
        let map = FloorMap {
            cell: 2.0,
            columns,
            rows,
            surface_f: (0..columns * rows).map(at).collect(),
            ..FloorMap::default()
        };
        let plan = TemperaturePlan::of(&map, 12.0, 84.0, false);
        assert!(plan.lines.len() >= 3 && plan.step_f > 0.0, "{plan:?}");
        let warm = crate::drawing::path::bounds(&plan.too_warm).unwrap();
        assert!(warm.x0 > 90.0 && warm.x1 == 120.0);
        let cool = crate::drawing::path::bounds(&plan.cool).unwrap();
        assert!(cool.x1 < 20.0);
        assert_eq!(plan.marks().len(), 2 + plan.lines.len());
        // In a metric job the steps are whole parts of a degree Celsius.
        let metric = TemperaturePlan::of(&map, 12.0, 84.0, true);
        let celsius = metric.step_f / 1.8;
        assert!(metric.lines.iter().all(|line| {
            let steps = (line.level - 32.0) / 1.8 / celsius;
            (steps - steps.round()).abs() < 1e-6
        }));
    }
}
