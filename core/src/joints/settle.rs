//! Contraction joints settle off tube: each run is moved within its slack to where it crosses
//! the fewest tubes and lies along none, when nothing else is lost by it. Where offsets are to
//! keep from doors and drains, a run that ends too near one is moved away from it first of all.
//!
//! Slack: a run may move when it passes no inside corner and no column, is not locked, and every
//! side that meets it stands square to it; its panels must keep the spacing, the aspect (and the
//! goal, if they met it) and the least width, and the sawing must not grow. Runs are tried in the
//! order of their names.

use super::crossings::{TubePiece, pieces, pieces_near};
use super::ground::Ground;
use super::rules::JointRules;
use super::{JointLayout, JointLine, JointRule, SlabPanel, shape};
use crate::geometry::{Point, Vector, nearest, polygon};
use crate::job::Job;
use crate::tube::Tube;

/// How far a run may move to each side, and in which steps, inches.
const REACH_IN: f64 = 12.0;
const STEP_IN: f64 = 1.0;
/// How far a run may move that ends too near a door or a drain, at the most, inches.
const FARTHEST_IN: f64 = 60.0;
/// What an end too near a door or a drain weighs, in tubes crossed.
const TOO_NEAR: f64 = 1000.0;
/// A corner of a panel this near a run lies on it, inches.
const ON_RUN_IN: f64 = 0.03;

/// The panels with runs moved off tube; `None` when no run moves.
#[must_use]
pub fn settled_panels(
    job: &Job,
    ground: &Ground,
    rules: &JointRules,
    draft: &JointLayout,
    tube: &Tube,
) -> Option<Vec<Vec<Point>>> {
    let pieces = pieces(tube);
    let tees: Vec<Point> =
        draft.breaches.iter().filter(|b| b.rule == JointRule::Tee).map(|b| b.at).collect();
    let keeps_off = !ground.kept_off.0.is_empty() && !tees.is_empty();
    if (pieces.is_empty() && !keeps_off) || !job.joints.has_contraction_joints {
        return None;
    }
    let mut panels: Vec<SlabPanel> = draft.panels.clone();
    let mut has_moved = false;
    for line in draft.lines.iter().filter(|line| line.drawn.is_none()) {
        if is_fixed(line, ground) {
            continue;
        }
        let ends: Vec<Point> = [line.from, line.to]
            .into_iter()
            .filter(|end| tees.iter().any(|tee| tee.distance(*end) < 0.1))
            .collect();
        let too_near = |step: Vector| {
            ends.iter().filter(|&&end| ground.too_near_door_or_drain(end + step).is_some()).count()
        };
        let reach = if too_near(Vector::default()) > 0 {
            (ground.kept_off.1 + STEP_IN).clamp(REACH_IN, FARTHEST_IN)
        } else {
            REACH_IN
        };
        let near = pieces_near(&pieces, line.from, line.to, reach + 2.0);
        let Some(along) = (line.to - line.from).unit() else { continue };
        let across = along.left();
        let burden = |shift: f64| {
            let step = across * shift;
            burden(&near, line.from + step, line.to + step) + TOO_NEAR * too_near(step) as f64
        };
        let standing = burden(0.0);
        // Nearest places first: among equals the run stays closest to where it was.
        let steps = (1..).map(f64::from).map(|step| step * STEP_IN);
        let best = steps
            .take_while(|shift| *shift <= reach)
            .flat_map(|shift| [shift, -shift])
            .map(|shift| (burden(shift), shift))
            .filter(|(load, _)| *load < standing - 0.5)
            .filter_map(|(load, shift)| Some((load, moved(&panels, line, across * shift, rules)?)))
            .reduce(|best, other| if other.0 < best.0 - 1e-9 { other } else { best });
        if let Some((_, changed)) = best {
            panels = changed;
            has_moved = true;
        }
    }
    has_moved.then(|| panels.into_iter().map(|panel| panel.outline).collect())
}

/// Whether something holds a run in its place.
fn is_fixed(line: &JointLine, ground: &Ground) -> bool {
    let on_line = |at: Point, reach: f64| nearest::distance_to_line(at, line.from, line.to) < reach;
    ground.corners.iter().any(|&(corner, _)| on_line(corner, 1.0))
        || ground.columns.iter().any(|column| on_line(column.at, column.reach + 1.0))
}

/// How many tubes a line crosses, with each half foot along a tube counted as one more.
fn burden(pieces: &[TubePiece], from: Point, to: Point) -> f64 {
    const ALONG_IN: f64 = 1.5;
    let Some(along) = (to - from).unit() else { return 0.0 };
    let mut sum = 0.0;
    for piece in pieces {
        let step = piece.to - piece.from;
        let is_along = along.cross(step).abs() < 0.1 * step.length();
        let middle = piece.from.middle(piece.to);
        if is_along {
            if nearest::distance_to_line(middle, from, to) < ALONG_IN {
                sum += step.length() / 6.0;
            }
        } else if nearest::crossing((from, to), (piece.from, piece.to)).is_some() {
            sum += 1.0;
        }
    }
    sum
}

/// The panels with one run moved by `step`; `None` when a rule would be lost.
fn moved(
    panels: &[SlabPanel],
    line: &JointLine,
    step: Vector,
    rules: &JointRules,
) -> Option<Vec<SlabPanel>> {
    let on_run = |at: Point| nearest::distance_to_line(at, line.from, line.to) < ON_RUN_IN;
    let along = (line.to - line.from).unit()?;
    let mut changed = Vec::with_capacity(panels.len());
    for panel in panels {
        if !panel.outline.iter().any(|&corner| on_run(corner)) {
            changed.push(panel.clone());
            continue;
        }
        let stays_square = polygon::edges(&panel.outline).all(|(from, to)| {
            let side = to - from;
            on_run(from) == on_run(to) || side.dot(along).abs() < 0.005 * side.length()
        });
        if !stays_square {
            return None;
        }
        let outline: Vec<Point> = panel
            .outline
            .iter()
            .map(|&corner| if on_run(corner) { corner + step } else { corner })
            .collect();
        let (long, short) = shape::least_box(&outline);
        let now = SlabPanel { outline, long, short };
        let limit = if panel.aspect() <= rules.aspect_goal + 1e-6 {
            rules.aspect_goal
        } else {
            rules.aspect_limit.max(panel.aspect())
        };
        let keeps = now.long <= rules.spacing.max(panel.long) + 0.002
            && now.aspect() <= limit + 1e-6
            && now.short >= rules.narrowest.min(panel.short)
            && polygon::signed_area(&now.outline) > 0.0;
        if !keeps {
            return None;
        }
        changed.push(now);
    }
    // Sides that meet the run from both directions trade length; more on one side saws more.
    let sides = |panels: &[SlabPanel]| -> f64 {
        panels.iter().map(|panel| polygon::perimeter(&panel.outline)).sum()
    };
    (sides(&changed) <= sides(panels) + 0.5).then_some(changed)
}
