//! A layout finished: all its trees bettered together, its returns drawn out.

#![expect(
    clippy::indexing_slicing,
    reason = "part numbers come from this file's own loops over the same vectors"
)]

use super::{Found, Layout, Work};
use crate::geometry::Point;
use crate::geometry::nearest::distance_to_line;
use crate::tube::bends::without_straights;
use crate::tube::cells::NONE;
use crate::tube::draw_out::{Legs, Room, draw_out};
use crate::tube::forest::{Goal, Within, better};
use crate::tube::lean::{Beside, lean};
use crate::tube::tree::{Ground, Look};
use crate::tube::walk::walk_round;

/// Tries for each cell to better new trees: fewer where each has to walk along the tube to see
/// which of its returns are bulbs.
const TRIES: f64 = 900.0;
const TRIES_TIGHT: f64 = 200.0;
/// The share of them to touch trees up, and on a large floor.
const TO_TOUCH_UP: f64 = 0.4;
const ON_LARGE_FLOORS: f64 = 0.05;
/// Tries for each cell to better one tree alone.
const TRIES_ALONE: usize = 60;
/// Tries to better trees about a place, and how far about it, spacings.
const TRIES_NEAR: usize = 12_000;
const NEAR_SPACINGS: f64 = 12.0;
/// How often returns are drawn out again without those near places where that broke something.
const MOST_DRAWINGS: usize = 4;

impl Work<'_> {
    /// Whether trees are bettered together: not where they wind inward.
    pub(super) fn betters_trees(&self) -> bool {
        self.rules.look == Look::FewBends
    }

    /// Betters all trees together, toward tube of these lengths.
    pub(super) fn better(&mut self, targets: &[f64], heat: f64) {
        let tries = if self.rules.is_tight() { TRIES_TIGHT } else { TRIES };
        let share = match (self.view.is_large(), heat < 1.0) {
            (true, _) => ON_LARGE_FLOORS,
            (_, true) => TO_TOUCH_UP,
            _ => 1.0,
        };
        let share = share * self.owners.len() as f64;
        self.work_done += share;
        #[expect(clippy::cast_possible_truncation, clippy::cast_sign_loss, reason = "clamped")]
        let tries = (share * tries).clamp(0.0, 1e12) as usize;
        self.better_trees((targets, Within::All), (tries, heat));
    }

    /// Betters the tree of one part within its floor.
    pub(super) fn better_alone(&mut self, part: usize) {
        let cells = self.owners.iter().filter(|&&owner| owner == part).count();
        let targets = vec![0.0; self.roots.len()];
        self.better_trees((&targets, Within::Part(part)), (TRIES_ALONE * cells, 1.0));
    }

    /// Betters the trees about a place, whose lengths should stay about as they are.
    pub(super) fn better_near(&mut self, at: Point) {
        let mut lengths = vec![0.0; self.roots.len()];
        for (cell, &owner) in self.cells.list.iter().zip(&self.owners) {
            if owner != NONE {
                lengths[owner] += cell.tube;
            }
        }
        let near = Within::Near(at, NEAR_SPACINGS * self.rules.spacing);
        self.better_trees((&lengths, near), (TRIES_NEAR, 1.0));
    }

    pub(super) fn better_trees(
        &mut self,
        (targets, within): (&[f64], Within),
        (tries, heat): (usize, f64),
    ) {
        let (mut owners, mut joins) =
            (std::mem::take(&mut self.owners), std::mem::take(&mut self.joins));
        let mut dice = self.dice.clone();
        self.tries += tries as u64;
        let grounds: Vec<Ground> = (0..self.roots.len()).map(|part| self.ground(part)).collect();
        let usual = 4.0 * self.rules.spacing * self.rules.tubes();
        let goal = Goal { targets, usual, within };
        better(&grounds, goal, (&mut owners, &mut joins), (tries, heat), &mut dice);
        (self.owners, self.joins, self.dice) = (owners, joins, dice);
    }

    /// The layout with its returns drawn out where that breaks nothing.
    pub(super) fn drawn_out(&self, layout: Layout) -> Layout {
        if self.rules.pair.is_some() {
            return layout;
        }
        let plain: Vec<Legs> = (0..self.roots.len()).map(|part| self.plain_legs(part)).collect();
        let spacing = self.rules.spacing;
        let least = (self.rules.least() + 0.05) / self.view.frame.closest();
        let room = Room {
            field: &self.view.tube_field,
            least,
            widest: 1.3 * spacing,
            most: 2.0 * spacing,
        };
        let beside = Beside {
            field: &self.view.tube_field,
            least,
            spacing,
            edge: self.rules.edge,
            radius: self.rules.bend(),
        };
        let mut held: Vec<Point> = Vec::new();
        for _ in 0..MOST_DRAWINGS {
            let mut courses = plain.clone();
            let is_held = |from: Point, to: Point| {
                held.iter().any(|&place| distance_to_line(place, from, to) < 2.5 * spacing)
            };
            draw_out(&mut courses, room, &|at| is_held(at, at));
            lean(&mut courses, beside, &is_held);
            let bad = match self.all_bent(&courses, &plain, &layout) {
                Ok(circuits) => {
                    let drawn = self.judged(circuits);
                    if drawn.breaches.is_empty() {
                        return drawn;
                    }
                    let breaches = drawn.breaches.iter();
                    breaches.map(|breach| self.view.frame.local(breach.at())).collect()
                }
                Err(bad) => bad,
            };
            held.extend(bad);
        }
        layout
    }

    /// What the course of a circuit is bent from.
    pub(super) fn legs_as_bent(&self, part: usize) -> Legs {
        let root = &self.roots[part];
        let (into, out_of) = (root.into.len(), root.out_of.len());
        // Two tubes to a lane may leave by either leader.
        let most = into.max(out_of);
        let leaders = if self.rules.pair.is_some() { (most, most) } else { (into, out_of) };
        self.laid_legs(&Legs { corners: without_straights(&self.legs(part)), leaders })
    }

    /// Corners along lanes as they come to lie.
    fn laid_legs(&self, legs: &Legs) -> Legs {
        let frame = &self.view.frame;
        let laid = |corners: &[Point]| frame.squared(corners.to_vec());
        let (into, out_of) = legs.leaders;
        let count = |corners: Option<&[Point]>| corners.map_or(0, |corners| laid(corners).len());
        let all = legs.corners.len();
        let first = count(legs.corners.get(..into.min(all)));
        let last = count(legs.corners.get(all.saturating_sub(out_of)..));
        Legs { corners: laid(&legs.corners), leaders: (first, last) }
    }

    /// The corners of a circuit without those at which its round goes straight on.
    fn plain_legs(&self, part: usize) -> Legs {
        let root = &self.roots[part];
        let round = walk_round(&self.ground(part), &self.joins, self.rules.bend());
        let mut corners = root.into.clone();
        corners.extend(without_straights(&round));
        corners.extend(root.out_of.iter().rev());
        Legs { corners, leaders: (root.into.len(), root.out_of.len()) }
    }

    /// Courses drawn out, bent; one that would pass the limit so stays plain. The places where
    /// legs are too short for that.
    fn all_bent(
        &self,
        drawn: &[Legs],
        plain: &[Legs],
        layout: &Layout,
    ) -> Result<Vec<Found>, Vec<Point>> {
        let bend = |legs: &Legs, leaders: (f64, f64)| {
            let path = self.bent(legs.corners.clone())?;
            let length = path.iter().map(|segment| segment.length()).sum();
            Ok(Found { path, length, leaders, legs: self.laid_legs(legs) })
        };
        let (mut circuits, mut bad) = (Vec::with_capacity(drawn.len()), Vec::new());
        for ((drawn, plain), old) in drawn.iter().zip(plain).zip(&layout.circuits) {
            let found = bend(drawn, old.leaders).and_then(|found| {
                let is_longer = found.length > self.rules.limit && old.length <= self.rules.limit;
                if is_longer { bend(plain, old.leaders) } else { Ok(found) }
            });
            match found {
                Ok(found) => circuits.push(found),
                Err(at) => bad.push(at),
            }
        }
        if bad.is_empty() { Ok(circuits) } else { Err(bad) }
    }
}
