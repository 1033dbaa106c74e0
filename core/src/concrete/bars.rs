//! Bars: which runs, how long with laps, how many stock bars, how heavy.
//!
//! Edge bars lie in every thickened side, their line in from the outer face by foam, cover and
//! half a bar; runs meet on the mitre, with an L-shaped corner bar for each at an outside corner
//! and run past each other by a lap at an inside corner. A run longer than a stock bar is lapped.
//! Straight pieces are cut from stock together; lengths of arcs are the arcs' own.

use super::spans::Spans;
use super::{BarPlace, BarRun, BarTakeoff};
use crate::cutting::stock_lengths::{CutProblem, Stock, cut_stock};
use crate::effort::{Budget, Cancel};
use crate::facts::steel::{CORNER_BAR_LEG_IN, DIAGONAL_BAR_IN, DIAGONAL_BAR_OFF_IN, bar_of_size};
use crate::geometry::{Point, Polygon, Segment, Vector, clip, nearest, tolerance};
use crate::job::Job;
use crate::job::build_up::Steel;
use crate::job::openings::Footprint;
use crate::plan::{Plan, RimId, RimSide};
use std::collections::BTreeMap;

/// Steps spent on looking for the fewest stock bars.
const CUTTING_STEPS: u64 = 200;
/// Most lines of bar one way: guards against a spacing of next to nothing.
const MOST_LINES: f64 = 4000.0;
/// A run shorter than this is not worth a bar, inches.
const SHORTEST_RUN_IN: f64 = 6.0;

/// A straight bar.
fn straight(place: BarPlace, size: u8, from: Point, to: Point) -> BarRun {
    BarRun { place, size, line: vec![from, to], length: from.distance(to), count: 1 }
}

/// Every run of a job but the floor's.
pub(super) fn runs(job: &Job, plan: &Plan) -> Vec<BarRun> {
    let steel = &job.build_up.steel;
    let mut runs = edge_runs(job, plan);
    runs.extend(strip_runs(job, plan, steel));
    runs.extend(pad_runs(job, plan, steel));
    runs.extend(diagonal_runs(plan, steel));
    runs
}

/// Bars both ways in the floor less cover.
pub(super) fn floor_runs(
    size: u8,
    spacing: f64,
    floor: &[Polygon],
    along: Vector,
) -> (Vec<BarRun>, u32) {
    let mut runs = Vec::new();
    let mut lines_across = Vec::new();
    if spacing <= 0.0 {
        return (runs, 0);
    }
    for direction in [along, along.left()] {
        let Some(spans) = Spans::of(floor, direction) else { continue };
        let height = spans.bounds.height();
        let spaces = (height / spacing - 1e-6).ceil().clamp(1.0, MOST_LINES);
        let mut length = 0.0;
        #[expect(clippy::cast_possible_truncation, reason = "clamped")]
        #[expect(clippy::cast_sign_loss, reason = "clamped")]
        for line in 0..=spaces as u32 {
            // The outer lines lie a hair inside, where the floor surely is.
            let y = (height * f64::from(line) / spaces).clamp(1e-3, (height - 1e-3).max(1e-3))
                + spans.bounds.min.y;
            for (west, east) in spans.of_line(y) {
                let ends = [Point::new(west, y), Point::new(east, y)].map(|end| spans.plan(end));
                if east - west >= SHORTEST_RUN_IN {
                    runs.push(straight(BarPlace::Floor, size, ends[0], ends[1]));
                    length += east - west;
                }
            }
        }
        lines_across.push(length / (height / spaces).max(1.0));
    }
    // Bars of one way cross those of the other once for each of their spacings; every other
    // crossing is tied (common practice).
    let crossings = lines_across.first().copied().unwrap_or(0.0);
    #[expect(clippy::cast_possible_truncation, reason = "clamped")]
    #[expect(clippy::cast_sign_loss, reason = "clamped")]
    let ties = (crossings / 2.0).ceil().clamp(0.0, 1e9) as u32;
    (runs, ties)
}

/// Runs in thickened sides.
fn edge_runs(job: &Job, plan: &Plan) -> Vec<BarRun> {
    let steel = &job.build_up.steel;
    if steel.edge_bars == 0 {
        return Vec::new();
    }
    let bar = bar_of_size(steel.edge_bar_size);
    let lap = lap_of(steel, steel.edge_bar_size);
    let cover = steel.cover.to_inches() + bar.diameter_in / 2.0;
    let off = |id: RimId| match id {
        RimId::Side(side) => cover + job.edges.edge_foam.inside_along(&job.edges.of_side(side)),
        RimId::Opening(_) => cover,
    };
    let floor = job.build_up.floor_thickness.to_inches();
    let is_thickened = |side: &RimSide| {
        super::underside::edge_profile(&job.edges, side.id)
            .is_some_and(|profile| profile.depth > floor)
    };
    let mut runs = Vec::new();
    for ring in rings(plan) {
        let count = ring.len();
        for (index, side) in ring.iter().enumerate() {
            let neighbour = |step: usize| ring.get((index + step) % count).copied();
            let (Some(before), Some(after)) = (neighbour(count - 1), neighbour(1)) else {
                continue;
            };
            if !is_thickened(side) {
                continue;
            }
            let Some((line, mut length)) = moved_side(before, side, after, off) else { continue };
            if plan.corners.iter().any(|c| c.at == side.segment.start() && c.is_inside())
                && is_thickened(before)
            {
                length += lap;
            }
            if let Some(corner) = plan.corners.iter().find(|c| c.at == side.segment.end())
                && is_thickened(after)
            {
                if corner.is_inside() {
                    length += lap;
                } else if corner.angle < 175.0_f64.to_radians() {
                    runs.push(corner_bar(side, after, off(side.id), steel));
                }
            }
            let (place, size) = (BarPlace::Edge, bar.size);
            runs.push(BarRun { place, size, line, length, count: steel.edge_bars });
        }
    }
    runs.retain(|run| run.length >= SHORTEST_RUN_IN);
    runs
}

/// The rim ring by ring.
fn rings(plan: &Plan) -> Vec<Vec<&RimSide>> {
    let mut rings: Vec<Vec<&RimSide>> = Vec::new();
    for (index, side) in plan.rim.iter().enumerate() {
        let continues = index != 0
            && (index < plan.outline.segments.len()
                || rings.last().and_then(|ring| ring.first()).is_some_and(|one| one.id == side.id));
        match rings.last_mut() {
            Some(ring) if continues => ring.push(side),
            _ => rings.push(vec![side]),
        }
    }
    rings
}

/// A side moved in, between its neighbours moved in; its line and true length.
fn moved_side(
    before: &RimSide,
    side: &RimSide,
    after: &RimSide,
    off: impl Fn(RimId) -> f64,
) -> Option<(Vec<Point>, f64)> {
    let inward = off(side.id);
    let (from, to) = match side.segment {
        Segment::Line(from, to) => (from, to),
        Segment::Arc(arc) => {
            let circle = arc.circle()?;
            let radius = circle.radius - inward * circle.sweep.signum();
            let line: Vec<Point> = side
                .segment
                .flatten(tolerance::ARC_CHORD_IN)
                .into_iter()
                .map(|at| circle.center + (at - circle.center) * (radius / circle.radius))
                .collect();
            return (radius > 0.0).then(|| (line, radius * circle.sweep.abs()));
        }
    };
    let moved = |from: Point, to: Point, by: f64| {
        let step = (to - from).unit()?.left() * by;
        Some((from + step, to + step))
    };
    let own = moved(from, to, inward)?;
    let meet = |other: &RimSide, end: Point| match other.segment {
        Segment::Line(from, to) => {
            let line = moved(from, to, off(other.id))?;
            // Nearly straight on there is no corner to meet at.
            let met = nearest::meeting_of_lines(own, line)?;
            (met.distance(end) < 10.0 * inward.max(1.0)).then_some(met)
        }
        Segment::Arc(_) => None,
    };
    let start = meet(before, own.0).unwrap_or(own.0);
    let end = meet(after, own.1).unwrap_or(own.1);
    let along = (to - from).unit()?;
    let length = along.dot(end - start);
    (length > 0.0).then(|| (vec![start, end], length))
}

/// An L-shaped bar round an outside corner.
fn corner_bar(side: &RimSide, after: &RimSide, off: f64, steel: &Steel) -> BarRun {
    let leg = CORNER_BAR_LEG_IN.max(lap_of(steel, steel.edge_bar_size));
    let corner = side.segment.end();
    let back = crate::plan::direction_at_end(side.segment).unwrap_or_default();
    let on = crate::plan::direction_at_start(after.segment).unwrap_or_default();
    let bend = corner + (on - back).unit().unwrap_or_default() * (off * std::f64::consts::SQRT_2);
    BarRun {
        place: BarPlace::OutsideCorner,
        size: bar_of_size(steel.edge_bar_size).size,
        line: vec![bend - back * leg, bend, bend + on * leg],
        length: 2.0 * leg,
        count: steel.edge_bars,
    }
}

/// Runs along thickened strips, as far as they lie in the slab less cover.
fn strip_runs(job: &Job, plan: &Plan, steel: &Steel) -> Vec<BarRun> {
    if steel.strip_bars == 0 || job.thickenings.strips.is_empty() {
        return Vec::new();
    }
    let size = bar_of_size(steel.edge_bar_size).size;
    let covered = covered_floor(plan, steel.cover.to_inches());
    job.thickenings
        .strips
        .iter()
        .flat_map(|strip| clip::line_inside(&strip.line, &covered))
        .map(|line| {
            let length = line.iter().zip(line.iter().skip(1)).map(|(a, b)| a.distance(*b)).sum();
            BarRun { place: BarPlace::Strip, size, line, length, count: steel.strip_bars }
        })
        .filter(|run| run.length >= SHORTEST_RUN_IN)
        .collect()
}

/// The slab less cover at every side.
pub(super) fn covered_floor(plan: &Plan, cover: f64) -> Vec<Polygon> {
    crate::geometry::offset::inset(std::slice::from_ref(&plan.region), cover.max(0.0))
}

/// Bars both ways in pads within the slab.
fn pad_runs(job: &Job, plan: &Plan, steel: &Steel) -> Vec<BarRun> {
    let size = bar_of_size(steel.edge_bar_size).size;
    let cover = steel.cover.to_inches().max(0.0);
    let mut runs = Vec::new();
    for pad in job.thickenings.pads.iter().filter(|pad| plan.region.contains(pad.at)) {
        let (length, width, turn) = match pad.shape {
            Footprint::Round { diameter } => (diameter, diameter, 0.0),
            Footprint::Rectangle { length, width, turn_degrees } => (length, width, turn_degrees),
        };
        let is_round = matches!(pad.shape, Footprint::Round { .. });
        let along = Vector::from_angle(turn.to_radians());
        let (half_long, half_wide) =
            (length.to_inches() / 2.0 - cover, width.to_inches() / 2.0 - cover);
        for (step, half, spread) in
            [(along, half_long, half_wide), (along.left(), half_wide, half_long)]
        {
            for bar in 0..steel.pad_bars {
                let share = if steel.pad_bars > 1 {
                    2.0 * f64::from(bar) / f64::from(steel.pad_bars - 1) - 1.0
                } else {
                    0.0
                };
                // In a round pad the bars spread over the middle half and are chords.
                let across = if is_round { spread * share / 2.0 } else { spread * share };
                let reach =
                    if is_round { (half * half - across * across).max(0.0).sqrt() } else { half };
                let middle = pad.at + step.left() * across;
                if 2.0 * reach >= SHORTEST_RUN_IN {
                    let (from, to) = (middle - step * reach, middle + step * reach);
                    runs.push(straight(BarPlace::Pad, size, from, to));
                }
            }
        }
    }
    runs
}

/// Diagonal bars across inside corners.
fn diagonal_runs(plan: &Plan, steel: &Steel) -> Vec<BarRun> {
    let size = bar_of_size(steel.edge_bar_size).size;
    let mut runs = Vec::new();
    for corner in plan.inside_corners() {
        let Some(inward) = inward_of(plan, corner.at) else { continue };
        for bar in 1..=steel.inside_corner_bars {
            let middle = corner.at + inward * (DIAGONAL_BAR_OFF_IN * f64::from(bar));
            let half = inward.left() * (DIAGONAL_BAR_IN / 2.0);
            runs.push(straight(BarPlace::InsideCorner, size, middle - half, middle + half));
        }
    }
    runs
}

/// The unit step from a corner into the slab, halving its angle.
fn inward_of(plan: &Plan, at: Point) -> Option<Vector> {
    let before = plan.rim.iter().find(|side| side.segment.end() == at)?;
    let after = plan.rim.iter().find(|side| side.segment.start() == at)?;
    let arriving = crate::plan::direction_at_end(before.segment)?;
    let leaving = crate::plan::direction_at_start(after.segment)?;
    (arriving.left() + leaving.left()).unit()
}

/// Lap of a bar, inches.
pub(super) fn lap_of(steel: &Steel, size: u8) -> f64 {
    steel.lap_diameters.max(0.0) * bar_of_size(size).diameter_in
}

/// What to buy for runs, by size.
pub(super) fn take_off(runs: &[BarRun], steel: &Steel) -> Vec<BarTakeoff> {
    let mut by_size: BTreeMap<u8, Vec<(f64, u32)>> = BTreeMap::new();
    for run in runs {
        by_size.entry(run.size).or_default().push((run.length, run.count));
    }
    by_size.into_iter().map(|(size, lengths)| of_size(size, &lengths, steel)).collect()
}

fn of_size(size: u8, lengths: &[(f64, u32)], steel: &Steel) -> BarTakeoff {
    let stock = steel.stock_bar.to_inches();
    let lap = lap_of(steel, size).min(stock / 2.0);
    let (mut whole, mut pieces, mut total) = (0_u32, Vec::new(), 0.0);
    for &(length, count) in lengths {
        let mut left = length;
        let mut bars = 0;
        while stock > 0.0 && left > stock + 1e-6 && bars < 10_000 {
            bars += 1;
            left -= stock - lap;
        }
        whole += bars * count;
        total += f64::from(count) * (f64::from(bars) * stock + left);
        pieces.extend(std::iter::repeat_n(left, count as usize));
    }
    let stocks = [Stock { length: stock, cost: 1 }];
    let problem = CutProblem { stocks: &stocks, pieces: &pieces, kerf: 0.0 };
    let mut budget = Budget::new(CUTTING_STEPS, Cancel::new());
    // No one can raise this flag, so there is always a plan.
    let plan = cut_stock(&problem, &mut budget).unwrap_or_default();
    let stock_bars = whole + u32::try_from(plan.cuts.len()).unwrap_or(u32::MAX);
    BarTakeoff {
        size,
        length: total,
        stock_bars,
        weight_lb: total / 12.0 * bar_of_size(size).lb_per_ft,
    }
}
