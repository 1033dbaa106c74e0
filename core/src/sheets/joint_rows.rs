//! Running figures of the joint sheet: each line's distance from both edges across it.
//!
//! A row below counts from the west edge of the slab's box, above from the east, left from the
//! south, right from the north. Lines that share a place share a figure. Rows above and below
//! read level when their figures leave room for it.

use super::joints::{all_lines, is_column_isolation};
use super::plan_area::{PlanArea, PlanFrame, built_size, length};
use super::plan_marks::DIMENSIONS;
use super::tags::{self, Shown};
use crate::derive::Results;
use crate::drawing::dimension::{Figures, RowSide, RunningRow, Station};
use crate::drawing::text::{Face, width};
use crate::drawing::{Pen, Rect};
use crate::geometry::Point;
use crate::job::Job;
use crate::joints::JointLine;

/// Lines within this distance of each other have the same figure, inches.
const SAME_PLACE_IN: f64 = 1.0 / 64.0;
/// How far a joint may stand askew to the slab's frame and still be a running figure, inches.
const ASKEW_IN: f64 = 1.0 / 32.0;
/// The row stands this far off the slab, in points.
const STANDOFF: f64 = 6.0;

/// One place with its lines.
struct Place {
    /// Inches along the frame's axis across the lines.
    at: f64,
    /// The lines' names.
    names: Vec<String>,
    /// Least and greatest end along the lines, inches in the frame.
    reach: (f64, f64),
    tag: u64,
}

impl Place {
    /// `B  19'-0"`: lines that share a place have names such as 2-1 and 2-2, of which the part
    /// before the dash is said; other names are said two at the most.
    fn label(&self, figure: &str) -> String {
        let stem = |name: &str| name.split('-').next().unwrap_or_default().to_owned();
        let names = match self.names.as_slice() {
            [] => return figure.to_owned(),
            [one] => one.clone(),
            [first, rest @ ..] if rest.iter().all(|name| stem(name) == stem(first)) => stem(first),
            [one, other] => format!("{one}, {other}"),
            [first, .., last] => format!("{first}…{last}"),
        };
        format!("{names}  {figure}")
    }
}

/// Places of upright lines and of level lines in the slab's frame, each in rising order.
fn places(frame: &PlanFrame, results: &Results) -> [Vec<Place>; 2] {
    let (mut upright, mut level): (Vec<Place>, Vec<Place>) = (Vec::new(), Vec::new());
    for (number, line) in all_lines(results).into_iter().enumerate() {
        if is_column_isolation(line) {
            continue;
        }
        let Some((is_upright, at, low, high)) = course(frame, line) else { continue };
        let list = if is_upright { &mut upright } else { &mut level };
        match list.iter_mut().find(|known| (known.at - at).abs() <= SAME_PLACE_IN) {
            Some(known) => {
                known.reach = (known.reach.0.min(low), known.reach.1.max(high));
                known.names.push(line.name.clone());
            }
            None => list.push(Place {
                at,
                names: vec![line.name.clone()],
                reach: (low, high),
                tag: tags::place(number, Shown::FoundJoint),
            }),
        }
    }
    for list in [&mut upright, &mut level] {
        list.sort_by(|a, b| a.at.total_cmp(&b.at));
        for place in list {
            place.names.retain(|name| !name.is_empty());
        }
    }
    [upright, level]
}

/// Whether a line runs upright in the slab's frame, where, and between which ends.
fn course(frame: &PlanFrame, line: &JointLine) -> Option<(bool, f64, f64, f64)> {
    let (from, to) = (frame.turned(line.from), frame.turned(line.to));
    if (from.x - to.x).abs() <= ASKEW_IN {
        Some((true, f64::midpoint(from.x, to.x), from.y.min(to.y), from.y.max(to.y)))
    } else if (from.y - to.y).abs() <= ASKEW_IN {
        Some((false, f64::midpoint(from.y, to.y), from.x.min(to.x), from.x.max(to.x)))
    } else {
        None
    }
}

/// Room for the rows: left and right, above and below, in points.
pub fn bands(job: &Job, results: &Results) -> (f64, f64) {
    let frame = PlanFrame::of(&results.parts.plan);
    let size = built_size(job);
    let [upright, level] = places(&frame, results);
    let widest = |list: &[Place]| {
        list.iter().map(|place| figure_width(job, &frame, place)).fold(0.0, f64::max)
    };
    let figures = figures(job, &frame, &upright);
    let depth = |longest, figures| RunningRow::depth(longest, size, figures) + STANDOFF + 2.0;
    // Left and right figures are level: their length is the depth of the row.
    (depth(widest(&level), Figures::Upright), depth(widest(&upright), figures))
}

/// The longer of a place's two labels, in points.
fn figure_width(job: &Job, frame: &PlanFrame, place: &Place) -> f64 {
    let bounds = frame.bounds;
    let far =
        [place.at - bounds.x0, bounds.x1 - place.at, place.at - bounds.y0, bounds.y1 - place.at];
    far.iter()
        .filter(|far| **far >= 0.0)
        .map(|far| width(&place.label(&length(job, *far)), Face::Regular, built_size(job)))
        .fold(0.0, f64::max)
}

fn figures(job: &Job, frame: &PlanFrame, upright: &[Place]) -> Figures {
    let paper = super::frame::paper(job);
    // Figures may take this much of the plan's room and still stand near their lines.
    let room = (paper.width - super::frame::column_width(job) - 106.0) * 0.62;
    RunningRow::figures_for(upright.iter().map(|place| figure_width(job, frame, place)), room)
}

/// Draws the four rows.
pub fn draw(area: &mut PlanArea<'_>, results: &Results) {
    let frame = area.frame;
    let [upright, level] = places(&frame, results);
    let slab = area.slab_box();
    let shown = slab.intersect(area.window);
    let rows = [
        (RowSide::Below, &upright, shown.y1 + STANDOFF),
        (RowSide::Above, &upright, shown.y0 - STANDOFF),
        (RowSide::Left, &level, shown.x0 - STANDOFF),
        (RowSide::Right, &level, shown.x1 + STANDOFF),
    ];
    for (side, places, row) in rows {
        if places.is_empty() {
            continue;
        }
        let stations = stations(area, results, side, places, slab);
        let span = match side {
            RowSide::Left | RowSide::Right => (area.room.y0, area.room.y1),
            RowSide::Above | RowSide::Below => (area.room.x0, area.room.x1),
        };
        let row = RunningRow {
            side,
            row,
            span,
            size: built_size(area.job),
            layer: DIMENSIONS,
            pen: Pen::FINE,
            figures: figures(area.job, &frame, &upright),
        };
        area.running(&row, stations);
    }
}

/// The stations of one row, with the edge it counts from.
fn stations(
    area: &PlanArea<'_>,
    results: &Results,
    side: RowSide,
    places: &[Place],
    slab: Rect,
) -> Vec<Station> {
    let bounds = area.frame.bounds;
    let k = area.view.scale.points_per_inch();
    let mut stations: Vec<Station> = places
        .iter()
        .map(|place| {
            let (low, high) = place.reach;
            let (far, at, end, edge) = match side {
                RowSide::Below => (
                    place.at - bounds.x0,
                    slab.x0 + (place.at - bounds.x0) * k,
                    slab.y1 - (low - bounds.y0) * k,
                    slab.y1,
                ),
                RowSide::Above => (
                    bounds.x1 - place.at,
                    slab.x0 + (place.at - bounds.x0) * k,
                    slab.y1 - (high - bounds.y0) * k,
                    slab.y0,
                ),
                RowSide::Left => (
                    place.at - bounds.y0,
                    slab.y1 - (place.at - bounds.y0) * k,
                    slab.x0 + (low - bounds.x0) * k,
                    slab.x0,
                ),
                RowSide::Right => (
                    bounds.y1 - place.at,
                    slab.y1 - (place.at - bounds.y0) * k,
                    slab.x0 + (high - bounds.x0) * k,
                    slab.x1,
                ),
            };
            // Over concrete no extension line is drawn: it would be taken for a cut.
            let from = if is_over_slab(area, results, side, at, (end, edge)) { edge } else { end };
            Station { at, from, label: place.label(&length(area.job, far)), tag: place.tag }
        })
        .collect();
    let (at, from) = match side {
        RowSide::Below => (slab.x0, slab.y1),
        RowSide::Above => (slab.x1, slab.y0),
        RowSide::Left => (slab.y1, slab.x0),
        RowSide::Right => (slab.y0, slab.x1),
    };
    stations.push(Station { at, from, label: "0".to_owned(), tag: 0 });
    stations
}

/// Whether the way from a line's end to the edge of the slab's box runs over concrete.
fn is_over_slab(
    area: &PlanArea<'_>,
    results: &Results,
    side: RowSide,
    at: f64,
    (end, edge): (f64, f64),
) -> bool {
    let k = area.view.scale.points_per_inch();
    if (end - edge).abs() < 2.0 || k <= 0.0 {
        return false;
    }
    let slab = area.slab_box();
    [0.1, 0.3, 0.5, 0.7, 0.9].iter().any(|share| {
        let across = end + (edge - end) * share;
        let (x, y) = match side {
            RowSide::Below | RowSide::Above => (at, across),
            RowSide::Left | RowSide::Right => (across, at),
        };
        let turned =
            (area.frame.bounds.x0 + (x - slab.x0) / k, area.frame.bounds.y0 + (slab.y1 - y) / k);
        let turn = area.frame.turn;
        let plan = Point::new(
            turn.x * turned.0 + turn.y * turned.1,
            -turn.y * turned.0 + turn.x * turned.1,
        );
        results.parts.plan.region.contains(plan)
    })
}
