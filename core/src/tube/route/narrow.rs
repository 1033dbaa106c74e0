//! Rows so narrow that a bulb which bows into them comes too near to the run on their far side.
//!
//! Leaders, pipes and lanes that splay leave some cells hardly as wide as runs must stand apart. A bulb
//! between two rows bows a little into both; where one of them is narrow it can bow into the other
//! alone, if it knows.

use crate::geometry::clip::union_all;
use crate::geometry::{Point, Polygon};
use crate::tube::cells::{Cell, Cells};
use crate::tube::check::SLACK_IN;
use crate::tube::field::Field;
use crate::tube::frame::Frame;
use crate::tube::rules::Rules;

/// A row runs on so far beyond a cell of it, spacings: over the gap to the next one.
const RUNS_ON: f64 = 0.6;

/// The floor in narrow rows that is too near to the far side of them for a bulb, on the plan;
/// nothing where there is none, or where bulbs crowd their neighbours anyway.
pub(super) fn narrow_rows(cells: &Cells, frame: &Frame, rules: &Rules) -> Option<Field> {
    if !rules.is_tight() || rules.is_crowded() {
        return None;
    }
    let least = rules.demands().least_at_bends[0] - SLACK_IN;
    // A bulb of lanes as close as they are fitted bows by so much to both sides.
    let bow = rules.bend() - rules.least_pitch() / 2.0;
    let widths = Widths { least, enough: least + bow, runs_on: RUNS_ON * rules.spacing };
    let strips: Vec<Polygon> = cells
        .list
        .iter()
        .filter(|cell| cell.tube > 0.0)
        .flat_map(|cell| strips_in(cell, frame, widths))
        .collect();
    Field::new(&union_all(&strips))
}

/// Widths of rows, and how far they run on beyond a cell, inches.
#[derive(Clone, Copy)]
struct Widths {
    /// How near a bulb may come.
    least: f64,
    /// From here on rows are wide enough for any.
    enough: f64,
    runs_on: f64,
}

/// The strips along the middle of a cell where it is narrow: from west to east, and from south to north.
fn strips_in(cell: &Cell, frame: &Frame, widths: Widths) -> impl Iterator<Item = Polygon> {
    let on_plan = |at: Point| frame.square().plan(frame.laid(at));
    let [south_west, south_east, north_east, north_west] = cell.corners.map(on_plan);
    let along_and_across = [
        [south_west, south_east, north_east, north_west],
        [south_east, north_east, north_west, south_west],
    ];
    along_and_across.into_iter().filter_map(move |sides| strip(sides, widths))
}

/// The strip between the sides from the first corner to the second, and from the fourth to the third.
fn strip(
    [from_right, to_right, to_left, from_left]: [Point; 4],
    widths: Widths,
) -> Option<Polygon> {
    let (begin, end) = (from_right.distance(from_left), to_right.distance(to_left));
    if begin.min(end) >= widths.enough || begin.min(end) <= 0.0 {
        return None;
    }
    let ahead = (to_right - from_right).unit()? * widths.runs_on;
    // How far from each side a bulb may come, as a share of the width there.
    let share = |width: f64| (1.0 - widths.least / width).clamp(0.0, 0.5);
    let (first, last) = (share(begin), share(end));
    Some(Polygon::new(
        vec![
            from_right.toward(from_left, first) - ahead,
            to_right.toward(to_left, last) + ahead,
            to_left.toward(to_right, last) + ahead,
            from_left.toward(from_right, first) - ahead,
        ],
        Vec::new(),
    ))
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::geometry::Segment;
    use crate::tube::bends::bend_course_within;

    const RULES: Rules = Rules::half_inch(9.0);

    /// Two rows of four cells each, the south one so deep, with 9 in between them and in each.
    fn rows(deep: f64) -> Cells {
        let cell = |at: (usize, usize), south: f64, north: f64| {
            let west = 18.0 * at.0 as f64;
            let corners = [(west, south), (west + 9.0, south), (west + 9.0, north), (west, north)];
            let corners = corners.map(|(x, y)| Point::new(x, y));
            Cell { at, corners, stubs: [[0.0; 2]; 4], tube: 36.0 }
        };
        let list = (0..4)
            .flat_map(|column| {
                [cell((column, 0), 0.0, deep), cell((column, 1), deep + 9.0, deep + 18.0)]
            })
            .collect();
        let mut cells = Cells::default();
        cells.list = list;
        cells
    }

    /// How near the bulb at the east end of the way between such rows comes to the south run.
    fn nearest(deep: f64) -> f64 {
        let frame = Frame::new(Point::ORIGIN, 0.0);
        let narrow = narrow_rows(&rows(deep), &frame, &RULES);
        let is_open = |at: Point| !narrow.as_ref().is_some_and(|rows| rows.contains(at));
        let (low, high) = (deep, deep + 9.0);
        let legs = [(0.0, low), (63.0, low), (63.0, high), (0.0, high)];
        let legs = legs.map(|(x, y)| Point::new(x, y));
        let path = bend_course_within(&legs, RULES.bend(), &is_open).unwrap();
        let places = path.iter().flat_map(|segment: &Segment| segment.flatten(0.002));
        places.map(|at| at.y).fold(f64::INFINITY, f64::min)
    }

    #[test]
    fn a_bulb_beside_a_narrow_row_bows_to_the_other_side() {
        let least = RULES.demands().least_at_bends[0];
        for deep in [7.25, 7.5, 7.7] {
            assert!(nearest(deep) > least - SLACK_IN - 0.005, "{deep}: {}", nearest(deep));
        }
        // Where there is room it bows to both by half of what it must.
        assert!((nearest(9.0) - (9.0 - RULES.bow_to_one_side() / 2.0)).abs() < 0.005);
    }

    #[test]
    fn rows_as_wide_as_asked_are_not_narrow() {
        let frame = Frame::new(Point::ORIGIN, 0.0);
        assert!(narrow_rows(&rows(9.0), &frame, &RULES).is_none());
        assert!(narrow_rows(&rows(7.25), &frame, &RULES).is_some());
        // Returns of 12 in need no bulbs; those of 6 in crowd whatever lies beside them.
        for spacing in [6.0, 12.0] {
            assert!(narrow_rows(&rows(7.25), &frame, &Rules::half_inch(spacing)).is_none());
        }
    }
}
