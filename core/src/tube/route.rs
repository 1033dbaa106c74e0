//! A zone whose floor is divided among its roots laid out: trees, courses bent and mended, lengths
//! evened out; the best that passes the check is kept.

#![expect(
    clippy::indexing_slicing,
    reason = "cell and part numbers come from this file's own loops over the same vectors"
)]

mod finish;
mod mend;
mod narrow;
mod parts;
mod rank;
mod roots;
mod tips;

pub use parts::{begun, cells_left, cut_up, try_fan};
pub use rank::{imbalance, rank_against, turning};
pub use roots::{fan_rules, have_ways_out, roots_of};

use self::narrow::narrow_rows;
use self::rank::rank;
use self::tips::TipRoom;
use super::bends::{bend_bowed_course_within, bend_course_within};
use super::cells::{Cells, NONE};
use super::check::{Breach, Course, breaches};
use super::divide::{Owners, Pushing};
use super::draw_out::Legs;
use super::fan::Root;
use super::field::Field;
use super::pair::side_by_side;
use super::random::Dice;
use super::rules::Rules;
use super::tree::{Ground, Joins, grow};
use super::view::View;
use super::walk::walk_round;
use crate::effort::{Cancel, Cancelled};
use crate::geometry::{Point, Segment};
use std::rc::Rc;

/// A circuit as found.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Found {
    /// Its course on the plan, port to port.
    pub path: Vec<Segment>,
    /// Length, inches.
    pub length: f64,
    /// Leader at its beginning and its end, inches.
    pub leaders: (f64, f64),
    /// What its course was bent from, on the plan; nothing where that is not known.
    pub legs: Legs,
}

impl Found {
    /// As the check reads it.
    pub fn course(&self) -> Course<'_> {
        let (leader_in, leader_out) = self.leaders;
        Course { path: &self.path, leader_in, leader_out }
    }
}

/// Circuits of one zone and how good they are.
#[derive(Clone, Debug, Default)]
pub struct Layout {
    /// The circuits in the order of their ports.
    pub circuits: Vec<Found>,
    /// Longest less shortest over the mean.
    pub imbalance: f64,
    /// Right-angle bends, as the sum of all turning over a right angle.
    pub bends: f64,
    /// Cells that have no tube.
    pub lost_cells: usize,
    /// Share of the floor cut off from every circuit, beyond what leaders usually take.
    pub cut_off: f64,
    /// A place that no circuit within the limit reaches.
    pub too_far: Option<Point>,
    /// How much wider its lanes stand than was asked, as a share of that.
    pub wider_by: f64,
    /// Where a bulb would come too near to the far side of a narrow row, on the plan.
    pub narrow: Option<Rc<Field>>,
    /// What the check found wrong.
    pub breaches: Vec<Breach>,
}

impl Layout {
    /// The circuits that have no room for their bends.
    #[must_use]
    pub fn stuck(&self) -> Vec<usize> {
        let all = self.circuits.iter().enumerate();
        all.filter(|(_, found)| found.path.is_empty()).map(|(part, _)| part).collect()
    }
}

/// How often a layout is mended where the check finds something.
const MOST_MENDINGS: usize = 15;
/// The mendings at which the trees about what is still wrong are bettered anew; as often at most,
/// and sooner where nothing else mends it.
const STUBBORN: [usize; 2] = [9, 12];

/// How often targets are corrected by the lengths that came out.
const MOST_ROUNDS: usize = 4;

/// How often what stands in the way of a course's bends is taken away.
const MOST_EASED: usize = 60;

/// How often another tree is grown where a course cannot be bent.
const MOST_REGROWN: usize = 3;

/// Circuits so even need no other round, if none is too long.
const EVEN: f64 = 0.05;

/// In how many rounds a course may prove impossible to bend.
const MOST_STUCK: usize = 2;

/// A bulb that cannot be drawn back.
const LET_GO: f64 = -1.0;

/// Steps of annealing for each cell to touch a division up.
const TOUCH_UP_STEPS: usize = 60;
/// Heat at which a division or trees are touched up, against 1 for new ones.
const TOUCH_UP_HEAT: f64 = 0.12;
/// The same where floor is shifted between circuits before their trees are grown anew, and how
/// uneven they must have come out for that.
const SHIFTED_HEAT: f64 = 0.4;
const UNEVEN: f64 = 0.1;

/// A zone being worked on.
#[derive(Clone)]
pub struct Work<'a> {
    view: &'a View,
    rules: &'a Rules,
    roots: Vec<Root>,
    root_cells: Vec<usize>,
    cells: Cells,
    owners: Owners,
    joins: Joins,
    no_stub: Vec<u8>,
    pulls: Vec<[f64; 4]>,
    bad_tips: Vec<u8>,
    /// Where a bulb would come too near to the far side of a narrow row, on the plan.
    narrow: Option<Rc<Field>>,
    leaders: Vec<f64>,
    dice: Dice,
    /// When its parts push others aside: as in its most even division.
    pushing: Pushing,
    /// A place that no circuit within the limit reaches.
    too_far: Option<Point>,
    /// How much its trees were bettered so far: cells, as if from anew.
    pub work_done: f64,
    /// How often its floor was divided at a first look.
    divisions: u64,
    /// Tries to better its trees, all of them, some of them or one.
    tries: u64,
}

impl<'a> Work<'a> {
    fn new(
        view: &'a View,
        rules: &'a Rules,
        roots: Vec<Root>,
        cells: Cells,
        root_cells: Vec<usize>,
    ) -> Self {
        let count = cells.list.len();
        let length = |legs: &[Point]| view.frame.length(legs);
        let leaders = roots.iter().map(|root| length(&root.into) + length(&root.out_of)).collect();
        Self {
            view,
            rules,
            roots,
            root_cells,
            owners: vec![NONE; count],
            joins: vec![0; count],
            no_stub: vec![0; count],
            pulls: vec![[0.0; 4]; count],
            bad_tips: vec![0; count],
            narrow: None,
            cells,
            leaders,
            dice: Dice::new(0x51AB_100F ^ count as u64),
            pushing: Pushing::Late,
            too_far: None,
            work_done: 0.0,
            divisions: 0,
            tries: 0,
        }
    }

    /// Whether its floor is large: see [`View::is_large`].
    #[must_use]
    pub fn is_large(&self) -> bool {
        self.view.is_large()
    }

    /// The floor in the axes along which it lies.
    #[must_use]
    pub const fn view(&self) -> &View {
        self.view
    }

    /// Cells of its floor.
    #[must_use]
    pub fn size(&self) -> usize {
        self.cells.list.len()
    }

    /// The same work with other throws of the dice, the more often the higher `again` is.
    #[must_use]
    pub fn thrown_again(&self, again: u64) -> Self {
        Self { dice: Dice::new(self.cells.list.len() as u64 ^ again << 32), ..self.clone() }
    }

    /// A division for good, trees, courses, lengths; targets corrected and divided again until
    /// lengths are even.
    ///
    /// # Errors
    /// [`Cancelled`] when nobody waits for it any more.
    pub fn settle(&mut self, cancel: &Cancel) -> Result<Layout, Cancelled> {
        self.narrow = narrow_rows(&self.cells, &self.view.frame, self.rules).map(Rc::new);
        self.divide_for_good(cancel)?;
        let mut targets = self.targets(None);
        let mut best: Option<Layout> = None;
        // The trees of that layout.
        let mut best_trees = (self.owners.clone(), self.joins.clone());
        let mut stuck = 0;
        let divided = self.owners.clone();
        // Whether trees are to be grown.
        let mut is_anew = true;
        // What lies too far away keeps lengths uneven whatever is tried.
        let rounds = if self.too_far.is_some() || self.view.is_large() { 1 } else { MOST_ROUNDS };
        for round in 0..rounds {
            if cancel.is_raised() {
                return Err(Cancelled);
            }
            let is_first = round == 0;
            if is_anew || !self.betters_trees() {
                (0..self.roots.len()).for_each(|part| self.grow_tree(part));
            }
            if self.betters_trees() {
                self.better(&targets, if is_anew { 1.0 } else { TOUCH_UP_HEAT });
            }
            let kept = (self.owners.clone(), self.joins.clone());
            let layout = self.lay(cancel)?;
            let is_better = best.as_ref().is_none_or(|best| rank(&layout) < rank(best));
            let lengths: Vec<f64> = layout.circuits.iter().map(|circuit| circuit.length).collect();
            let imbalance = layout.imbalance;
            stuck += usize::from(lengths.contains(&0.0));
            if is_better {
                best = Some(layout);
                best_trees = (self.owners.clone(), self.joins.clone());
            }
            // Even circuits may have one among them that is too long.
            let limit = self.rules.limit;
            let mean = lengths.iter().sum::<f64>() / lengths.len().max(1) as f64;
            let may_fit = mean <= limit && lengths.iter().any(|&length| length > limit);
            if imbalance < EVEN && !may_fit || round + 1 == rounds || stuck >= MOST_STUCK {
                break;
            }
            (self.owners, self.joins) = kept;
            targets = self.targets(Some((&lengths, &targets)));
            // Trees that are grown hold on to their floor: much is shifted before they are.
            is_anew = is_first && imbalance > UNEVEN && self.betters_trees();
            let steps = (TOUCH_UP_STEPS * self.owners.len()).clamp(4_000, 400_000);
            if is_anew {
                self.owners.clone_from(&divided);
                self.anneal(targets.clone(), (steps, SHIFTED_HEAT), cancel)?;
            } else if !self.betters_trees() {
                self.anneal(targets.clone(), (steps, TOUCH_UP_HEAT), cancel)?;
            }
        }
        let best = best.unwrap_or_default();
        let limit = self.rules.limit;
        if rank(&best).0 == 0 && rank_against(&best, limit).0 > 0 {
            (self.owners, self.joins) = best_trees;
            let drawn_back = self.draw_back_to(limit);
            if rank_against(&drawn_back, limit) < rank_against(&best, limit) {
                return Ok(drawn_back);
            }
        }
        Ok(best)
    }

    /// Tells at which sides of cells a bulb has no room, before floor is divided and trees grow.
    fn mark_bad_tips(&mut self) {
        let room = TipRoom::new(self.view, &self.roots, self.rules);
        self.bad_tips =
            (0..self.cells.list.len()).map(|cell| room.bad_sides(&self.cells, cell)).collect();
    }

    fn ground(&self, part: usize) -> Ground<'_> {
        Ground {
            cells: &self.cells,
            owners: &self.owners,
            part,
            root: self.root_cells[part],
            opening: self.roots[part].opening,
            shortest_leg: 2.0 * self.rules.bend(),
            no_stub: &self.no_stub,
            is_tight: self.rules.is_tight(),
            is_crowded: self.rules.is_crowded(),
            spacing: self.rules.spacing,
            radius: self.rules.bend() * self.view.frame.turn(),
            pulls: &self.pulls,
            bad_tips: &self.bad_tips,
            leaders: [&self.roots[part].into, &self.roots[part].out_of].map(|leader| {
                [3, 2].map(|back| {
                    leader.get(leader.len().wrapping_sub(back)).copied().unwrap_or_default()
                })
            }),
        }
    }

    fn lay(&mut self, cancel: &Cancel) -> Result<Layout, Cancelled> {
        self.no_stub.fill(0);
        self.pulls.fill([0.0; 4]);
        let mut dropped = 0;
        let mut layout = Layout::default();
        let mut mended: Vec<Breach> = Vec::new();
        // Once only: a layout so mended again and again is poor, and takes the time of better ones.
        let mut may_lay_anew = self.betters_trees();
        let mut left_anew = if self.betters_trees() { STUBBORN.len() } else { 0 };
        for mending in 0..MOST_MENDINGS {
            if cancel.is_raised() {
                return Err(Cancelled);
            }
            let (circuits, stuck) = self.courses(&mut dropped);
            layout = self.judged(circuits);
            if !stuck.is_empty() {
                // What was mended last, or is to be, may leave no room for the bends of a course.
                mended.append(&mut layout.breaches);
                layout.breaches = stuck;
                if !may_lay_anew {
                    break;
                }
                mended.extend(&layout.breaches);
                may_lay_anew = false;
                self.better_about(&mended, &mut dropped);
                continue;
            }
            if layout.breaches.is_empty() {
                break;
            }
            mended.clone_from(&layout.breaches);
            // What drawing bulbs back does not mend, other trees there may.
            let is_stubborn = left_anew > 0 && STUBBORN.contains(&mending);
            if is_stubborn || !self.mend(&layout.breaches, &mut dropped) {
                if left_anew == 0 {
                    break;
                }
                left_anew -= 1;
                self.better_about(&layout.breaches, &mut dropped);
            }
        }
        if layout.breaches.is_empty() {
            layout = self.drawn_out(layout);
        }
        layout.lost_cells = dropped;
        layout.cut_off = self.cut_off();
        layout.too_far = self.too_far.map(|at| self.view.frame.plan(at));
        Ok(layout)
    }

    /// The course of a part, eased until it can be bent; where it cannot, when easing ends.
    fn course(&mut self, part: usize, dropped: &mut usize) -> Result<Vec<Segment>, Point> {
        for _ in 0..MOST_EASED {
            match self.bent(self.legs(part)) {
                Err(at) if self.ease(part, at, dropped) => {}
                bent => return bent,
            }
        }
        Err(self.cells.list[self.root_cells[part]].middle())
    }

    /// The course of corners along lanes, bent, in the axes themselves.
    fn bent(&self, legs: Vec<Point>) -> Result<Vec<Segment>, Point> {
        let (frame, field) = (&self.view.frame, self.view.square_field());
        let square = frame.square();
        let is_narrow = |point: Point| {
            self.narrow.as_ref().is_some_and(|rows| rows.contains(square.plan(point)))
        };
        let is_open = |point: Point| field.contains(point) && !is_narrow(point);
        let (laid, radius) = (frame.squared(legs), self.rules.bend());
        let bent = if frame.is_bowed() {
            bend_bowed_course_within(&laid, radius, &is_open)
        } else {
            bend_course_within(&laid, radius, &is_open)
        };
        bent.map_err(|at| frame.along_lanes(at))
    }

    fn grow_tree(&mut self, part: usize) {
        let mut joins = std::mem::take(&mut self.joins);
        grow(&self.ground(part), self.rules.look.in_frame(&self.view.frame), &mut joins);
        self.joins = joins;
    }

    /// The courses of all parts, and the places at which some cannot be bent: those are empty.
    fn courses(&mut self, dropped: &mut usize) -> (Vec<Found>, Vec<Breach>) {
        let mut circuits = Vec::with_capacity(self.roots.len());
        let mut stuck = Vec::new();
        for part in 0..self.roots.len() {
            let mut path = self.course(part, dropped);
            for _ in 0..if self.rules.is_tight() { MOST_REGROWN } else { 0 } {
                if path.is_ok() {
                    break;
                }
                // Another tree may have none of the legs that are too short.
                self.grow_tree(part);
                self.better_alone(part);
                path = self.course(part, dropped);
            }
            let path = path.unwrap_or_else(|at| {
                stuck.push(Breach::Bend(self.view.frame.plan(at)));
                Vec::new()
            });
            let length = path.iter().map(|segment| segment.length()).sum();
            let root = &self.roots[part];
            let frame = &self.view.frame;
            let leaders = (frame.length(&root.into), frame.length(&root.out_of));
            let legs = self.legs_as_bent(part);
            circuits.push(Found { path, length, leaders, legs });
        }
        (circuits, stuck)
    }

    fn legs(&self, part: usize) -> Vec<Point> {
        let root = &self.roots[part];
        if let Some(half) = self.rules.pair {
            let round = walk_round(&self.ground(part), &self.joins, f64::INFINITY);
            let room = 3.4 * self.rules.bend() + half;
            return side_by_side(&round, root, half, room);
        }
        let mut legs = root.into.clone();
        legs.extend(walk_round(&self.ground(part), &self.joins, self.rules.bend()));
        legs.extend(root.out_of.iter().rev());
        legs
    }

    fn judged(&self, circuits: Vec<Found>) -> Layout {
        let courses: Vec<Course> = circuits.iter().map(Found::course).collect();
        let square = self.view.frame.square();
        let mut found = breaches(&courses, self.view.square_field(), self.rules.demands());
        for breach in &mut found {
            let plan = square.plan(breach.at());
            *breach = match *breach {
                Breach::Crossing(_) => Breach::Crossing(plan),
                Breach::TooClose(_, distance) => Breach::TooClose(plan, distance),
                Breach::Outside(_) => Breach::Outside(plan),
                Breach::Bend(_) => Breach::Bend(plan),
            };
        }
        let lengths: Vec<f64> = circuits.iter().map(|circuit| circuit.length).collect();
        let bends = circuits.iter().map(|circuit| turning(&circuit.path)).sum();
        let circuits = circuits
            .into_iter()
            .map(|mut found| {
                found.path = square.plan_course(&found.path);
                for corner in &mut found.legs.corners {
                    *corner = square.plan(*corner);
                }
                found
            })
            .collect();
        Layout {
            circuits,
            imbalance: imbalance(&lengths),
            bends,
            breaches: found,
            narrow: self.narrow.clone(),
            ..Layout::default()
        }
    }
}
