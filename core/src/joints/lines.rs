//! From panels to joints: the sides that panels share, merged into straight runs and named.
//!
//! A joint is wherever two panels meet. Sides along the slab's rim are none, and what lies along
//! a joint that moves or inside a column's isolation is not sawn. Runs are as long as the saw can
//! go straight. Lines across the first axis take letters (without I and O), those across the
//! second numbers, each from the corner where the running dimensions start.

#![expect(clippy::indexing_slicing, reason = "every index is made by this file's own loops")]

use super::ground::{Frame, Ground};
use crate::geometry::{Point, Vector, nearest};

/// A straight run of sawing.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Run {
    /// One end.
    pub from: Point,
    /// Other end.
    pub to: Point,
}

/// Directions closer than this are one, radians.
const SAME_ANGLE: f64 = 2e-6;
/// Lines closer than this are one, inches.
const SAME_OFFSET_IN: f64 = 0.04;
/// Runs shorter than this are crumbs of rounding, inches.
const SHORTEST_RUN_IN: f64 = 0.25;

struct Stretch {
    angle: f64,
    from: Point,
    to: Point,
    is_rim: bool,
}

/// The runs to saw between panels, and those along joints that move left out.
#[must_use]
pub fn runs_between(panels: &[Vec<Point>], ground: &Ground) -> Vec<Run> {
    let mut stretches: Vec<Stretch> = Vec::new();
    let mut add = |from: Point, to: Point, is_rim: bool| {
        if from.distance(to) < 1e-6 {
            return;
        }
        let half_turn = std::f64::consts::PI;
        let mut angle = (to - from).angle().rem_euclid(half_turn);
        if half_turn - angle < SAME_ANGLE {
            angle -= half_turn;
        }
        stretches.push(Stretch { angle, from, to, is_rim });
    };
    for (from, to) in panels.iter().flat_map(|panel| crate::geometry::polygon::edges(panel)) {
        add(from, to, false);
    }
    for (from, to) in ground.region.edges() {
        add(from, to, true);
    }
    for &(from, to) in &ground.moving {
        add(from, to, true);
    }
    stretches.sort_by(|a, b| a.angle.total_cmp(&b.angle));
    let mut runs = Vec::new();
    for group in stretches.chunk_by(|a, b| b.angle - a.angle < SAME_ANGLE) {
        runs.extend(runs_of_direction(group));
    }
    runs.into_iter().flat_map(|run| off_columns(run, ground)).collect()
}

/// Runs among stretches of one direction.
fn runs_of_direction(group: &[Stretch]) -> Vec<Run> {
    let longest = group
        .iter()
        .max_by(|a, b| a.from.distance(a.to).total_cmp(&b.from.distance(b.to)))
        .and_then(|stretch| (stretch.to - stretch.from).unit());
    let Some(along) = longest else { return Vec::new() };
    // One way round, so that neighbours of a line sort alike.
    let along =
        if along.x < -1e-9 || (along.x.abs() <= 1e-9 && along.y < 0.0) { -along } else { along };
    let base = group[0].from;
    let mut placed: Vec<(f64, f64, f64, &Stretch)> = group
        .iter()
        .map(|stretch| {
            let (from, to) = (stretch.from - base, stretch.to - base);
            let (a, b) = (along.dot(from), along.dot(to));
            (along.cross((from + to) / 2.0), a.min(b), a.max(b), stretch)
        })
        .collect();
    placed.sort_by(|a, b| a.0.total_cmp(&b.0).then(a.1.total_cmp(&b.1)));
    let mut runs = Vec::new();
    for line in placed.chunk_by(|a, b| b.0 - a.0 < SAME_OFFSET_IN) {
        let of_kind = |is_rim: bool| {
            let mut parts: Vec<(f64, f64)> = line
                .iter()
                .filter(|part| part.3.is_rim == is_rim)
                .map(|&(_, low, high, _)| (low, high))
                .collect();
            parts.sort_by(|a, b| a.0.total_cmp(&b.0));
            parts
        };
        let rim = of_kind(true);
        let joints = of_kind(false);
        if joints.is_empty() {
            continue;
        }
        let offset = line.iter().find(|part| !part.3.is_rim).map_or(line[0].0, |part| part.0);
        for (low, high) in without(merged(&joints), &rim) {
            let at = |share: f64| base + along * share + along.left() * offset;
            if high - low > SHORTEST_RUN_IN {
                runs.push(Run { from: at(low), to: at(high) });
            }
        }
    }
    runs
}

fn merged(parts: &[(f64, f64)]) -> Vec<(f64, f64)> {
    let mut merged: Vec<(f64, f64)> = Vec::new();
    for &(low, high) in parts {
        match merged.last_mut() {
            Some(last) if low <= last.1 + 0.05 => last.1 = last.1.max(high),
            _ => merged.push((low, high)),
        }
    }
    merged
}

fn without(parts: Vec<(f64, f64)>, taken: &[(f64, f64)]) -> Vec<(f64, f64)> {
    taken.iter().fold(parts, |parts, &(from, to)| {
        parts
            .into_iter()
            .flat_map(|(low, high)| [(low, high.min(from)), (low.max(to), high)])
            .filter(|&(low, high)| high > low)
            .collect()
    })
}

/// A run without what lies inside isolations of columns.
fn off_columns(run: Run, ground: &Ground) -> Vec<Run> {
    ground.columns.iter().fold(vec![run], |runs, column| {
        runs.into_iter()
            .flat_map(|run| match column.covers(run.from, run.to) {
                None => vec![run],
                Some((enters, leaves)) => [
                    Run { from: run.from, to: run.from.toward(run.to, enters) },
                    Run { from: run.from.toward(run.to, leaves), to: run.to },
                ]
                .into_iter()
                .filter(|run| run.from.distance(run.to) > SHORTEST_RUN_IN)
                .collect(),
            })
            .collect()
    })
}

/// Places where a run ends at the side of another: tees.
#[must_use]
pub fn tees(runs: &[Run], ground: &Ground) -> Vec<Point> {
    const NEAR_IN: f64 = 0.1;
    let free_ends: Vec<(Point, Point)> = ground
        .region
        .edges()
        .chain(ground.moving.iter().copied())
        .chain(
            ground.columns.iter().flat_map(|column| crate::geometry::polygon::edges(&column.ring)),
        )
        .collect();
    let is_free = |at: Point| {
        !free_ends.iter().any(|&(from, to)| nearest::distance_to_line(at, from, to) < NEAR_IN)
    };
    let mut found: Vec<Point> = Vec::new();
    for (index, run) in runs.iter().enumerate() {
        for at in [run.from, run.to] {
            let passes = runs.iter().enumerate().any(|(other, passing)| {
                other != index
                    && nearest::distance_to_line(at, passing.from, passing.to) < NEAR_IN
                    && passing.from.distance(at) > NEAR_IN
                    && passing.to.distance(at) > NEAR_IN
            });
            if passes && is_free(at) {
                found.push(at);
            }
        }
    }
    found
}

/// Runs in the order of their names, each with its name.
#[must_use]
pub fn named(runs: Vec<Run>, frame: Frame) -> Vec<(String, Run)> {
    let mut upright: Vec<(f64, f64, Run)> = Vec::new();
    let mut level: Vec<(f64, f64, Run)> = Vec::new();
    let mut slanted: Vec<Run> = Vec::new();
    for run in runs {
        let (from, to) = (frame.enter(run.from), frame.enter(run.to));
        let step: Vector = to - from;
        let run = if step.x + step.y < 0.0 { Run { from: run.to, to: run.from } } else { run };
        if step.x.abs() < 0.01 * step.y.abs() {
            upright.push(((from.x + to.x) / 2.0, from.y.min(to.y), run));
        } else if step.y.abs() < 0.01 * step.x.abs() {
            level.push(((from.y + to.y) / 2.0, from.x.min(to.x), run));
        } else {
            slanted.push(run);
        }
    }
    let mut all = name_lines(upright, letters);
    all.extend(name_lines(level, |index| format!("{}", index + 1)));
    all.extend(
        slanted.into_iter().enumerate().map(|(index, run)| (format!("S{}", index + 1), run)),
    );
    all
}

fn name_lines(
    mut placed: Vec<(f64, f64, Run)>,
    name: impl Fn(usize) -> String,
) -> Vec<(String, Run)> {
    const SAME_LINE_IN: f64 = 0.1;
    placed.sort_by(|a, b| a.0.total_cmp(&b.0));
    let mut named = Vec::with_capacity(placed.len());
    for (index, line) in placed.chunk_by_mut(|a, b| b.0 - a.0 < SAME_LINE_IN).enumerate() {
        line.sort_by(|a, b| a.1.total_cmp(&b.1));
        let is_one = line.len() == 1;
        for (part, &mut (_, _, run)) in line.iter_mut().enumerate() {
            let name = if is_one { name(index) } else { format!("{}-{}", name(index), part + 1) };
            named.push((name, run));
        }
    }
    named
}

/// A, B, … Z without I and O, then AA, AB and so on.
fn letters(index: usize) -> String {
    const ALPHABET: &[u8; 24] = b"ABCDEFGHJKLMNPQRSTUVWXYZ";
    let mut name = Vec::new();
    let mut rest = index;
    loop {
        name.push(char::from(ALPHABET[rest % ALPHABET.len()]));
        if rest < ALPHABET.len() {
            break;
        }
        rest = rest / ALPHABET.len() - 1;
    }
    name.iter().rev().collect()
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn letters_skip_i_and_o() {
        assert_eq!((letters(7), letters(8), letters(13)), ("H".into(), "J".into(), "P".into()));
        assert_eq!((letters(23), letters(24), letters(48)), ("Z".into(), "AA".into(), "BA".into()));
    }
}
