//! Where course lines run, and what can be held against a choice of them.
//!
//! Question: which lines are worth trying, and which of two choices that take equally many boards
//! is better to lay? A floor that falls into parts which touch nowhere (parted by a thickened
//! strip) may have lines of its own in each part, so that no part ends in a narrow row.

use super::courses::{Division, Strip, strips_of};
use super::fill::Stock;
use crate::geometry::{Point, Polygon};

/// Course lines tried in one direction at most.
const MOST_OFFSETS: usize = 20;
/// Steps in walls up to this are cut out of a wider piece, inches.
const STEP_KEPT: f64 = 3.0;

/// A place across the courses where a course line runs: one for all parts of the surface, or one
/// for each.
#[derive(Clone, Debug, PartialEq)]
pub(super) struct Lines {
    offset: f64,
    by_part: Vec<f64>,
}

impl Lines {
    /// The same lines in all parts.
    pub const fn one(offset: f64) -> Self {
        Self { offset, by_part: Vec::new() }
    }

    /// The strips of an area in course axes.
    pub fn strips(&self, area: &[Polygon], width: f64) -> Vec<Strip> {
        let division = |offset: f64| Division { offset, width, step_kept: STEP_KEPT };
        if self.by_part.len() != area.len() {
            return strips_of(area, division(self.offset));
        }
        let mut strips: Vec<Strip> = Vec::new();
        for (part, offset) in area.iter().zip(&self.by_part) {
            // A number left out keeps courses of two parts from being neighbours.
            let first = strips.last().map_or(0, |strip| strip.course + 2);
            let own = strips_of(std::slice::from_ref(part), division(*offset));
            strips.extend(own.into_iter().map(|mut strip| {
                strip.course += first;
                strip
            }));
        }
        strips
    }
}

/// Lines of its own for each part of an area in course axes: those that leave the fewest narrow
/// rows, then the least waste in rips; none for an area of one part.
pub(super) fn lines_by_part(area: &[Polygon], stock: &Stock) -> Option<Lines> {
    let best = |part: &Polygon| {
        let one = std::slice::from_ref(part);
        let worth = |offset: f64| {
            let strips = Lines::one(offset).strips(one, stock.width);
            let waste: f64 = strips.iter().map(|strip| ripped_off(strip, stock)).sum();
            (narrow_rows(&strips, stock), waste.round())
        };
        let offsets = offsets(one, stock).into_iter().map(|offset| (worth(offset), offset));
        let least = |a: &((usize, f64), f64), b: &((usize, f64), f64)| {
            a.0.0.cmp(&b.0.0).then(a.0.1.total_cmp(&b.0.1))
        };
        offsets.min_by(least).map(|(_, offset)| offset)
    };
    let by_part: Vec<f64> = area.iter().filter_map(best).collect();
    let first = *by_part.first()?;
    (area.len() > 1 && by_part.len() == area.len()).then_some(Lines { offset: first, by_part })
}

/// How high a strip is where it is highest.
fn height(strip: &Strip) -> f64 {
    strip.cells.iter().flat_map(|c| [c.high.0 - c.low.0, c.high.1 - c.low.1]).fold(0.0, f64::max)
}

/// Area of boards that ripping them for this strip leaves over.
fn ripped_off(strip: &Strip, stock: &Stock) -> f64 {
    let height = height(strip).max(1.0);
    let rips = ((stock.width + stock.kerf + 1e-6) / (height + stock.kerf)).floor().max(1.0);
    (stock.width / rips - height).max(0.0) * (strip.end() - strip.start())
}

/// Rows narrower than the least piece.
pub(super) fn narrow_rows(strips: &[Strip], stock: &Stock) -> usize {
    strips.iter().filter(|strip| height(strip) < stock.least - 1e-6).count()
}

/// Course lines worth trying: along walls, and such that the first and last course rip well.
pub(super) fn offsets(area: &[Polygon], stock: &Stock) -> Vec<f64> {
    let width = stock.width;
    let level = |from: &Point, to: &Point| (from.y - to.y).abs() < 1e-3;
    let mut lines: Vec<(f64, f64)> = Vec::new();
    for (from, to) in area.iter().flat_map(Polygon::edges).filter(|(a, b)| level(a, b)) {
        let offset = from.y.rem_euclid(width);
        match lines.iter_mut().find(|(at, _)| (*at - offset).abs() < 0.25) {
            Some((_, length)) => *length += from.distance(to),
            None => lines.push((offset, from.distance(to))),
        }
    }
    lines.sort_by(|a, b| b.1.total_cmp(&a.1).then(a.0.total_cmp(&b.0)));
    let lowest = area.iter().flat_map(|p| &p.outer).map(|p| p.y).fold(f64::INFINITY, f64::min);
    // Rips that differ by a saw cut differ in what a board gives.
    let apart = if stock.kerf > 0.0 { (stock.kerf / 2.0).min(0.25) } else { 0.25 };
    let mut offsets: Vec<f64> = Vec::new();
    let mut push = |offset: f64| {
        let offset = offset.rem_euclid(width);
        if offset.is_finite() && offsets.iter().all(|kept| (kept - offset).abs() > apart) {
            offsets.push(offset);
        }
    };
    if lowest.is_finite() {
        push(lowest);
    }
    for (line, _) in lines.iter().take(MOST_OFFSETS / 2) {
        push(*line);
    }
    for base in lines.iter().take(2).map(|(line, _)| *line).chain([lowest]) {
        for rips in [2.0, 3.0, 4.0] {
            let rip = (width - (rips - 1.0) * stock.kerf) / rips;
            push(base + rip);
            push(base - rip);
        }
    }
    offsets.truncate(MOST_OFFSETS);
    offsets
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn parts_with_lines_of_their_own_end_in_no_narrow_row() {
        // Two floors of 17 ft, 2 ft 8 in apart: on lines of one grid the lower ends in 4 and 8 in,
        // or the upper one does; with lines of their own both close with 12 in, four a board.
        let stock =
            Stock { length: 96.0, width: 48.0, kerf: 0.0, stagger: 12.0, least: 6.0, apart: 12.0 };
        let part =
            |low: f64| Polygon::rectangle(Point::new(0.0, low), Point::new(680.0, low + 204.0));
        let area = [part(0.0), part(236.0)];
        let lines = lines_by_part(&area, &stock).unwrap();
        let strips = lines.strips(&area, stock.width);
        let mut heights: Vec<f64> = strips.iter().map(height).collect();
        heights.sort_by(f64::total_cmp);
        assert_eq!(heights, [12.0, 12.0, 48.0, 48.0, 48.0, 48.0, 48.0, 48.0, 48.0, 48.0]);
        assert_eq!(narrow_rows(&strips, &stock), 0);
        // No course of one part is a neighbour of one of the other.
        assert!(strips.iter().all(|strip| strip.course != 5));
        assert!(lines_by_part(&area[..1], &stock).is_none());
        let four = Lines::one(4.0).strips(&area, stock.width);
        assert_eq!(narrow_rows(&four, &stock), 2, "4 in at the foot and at the head");
    }
}
