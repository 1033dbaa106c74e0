//! One zone from its manifold: which axes, how many circuits, which fan; the best that passes
//! the check is kept.

#![expect(
    clippy::indexing_slicing,
    reason = "cell and part numbers come from this file's own loops over the same vectors"
)]

mod finish;
mod mend;
mod rank;
mod roots;

pub use rank::{imbalance, rank_against, turning};
pub use roots::{fan_rules, have_ways_out, roots_of};

use self::rank::rank;
use super::bends::bend_course_within;
use super::cells::{Cells, NONE};
use super::check::{Breach, Course, breaches};
use super::divide::{Owners, Shares, anneal, first_division, steps_from};
use super::draw_out::Legs;
use super::fan::{Root, strips_beside, taken};
use super::field::{Field, Heading};
use super::pair::side_by_side;
use super::random::Dice;
use super::rules::Rules;
use super::tree::{Ground, Joins, grow};
use super::view::{View, cell_rules};
use super::walk::walk_round;
use crate::effort::{Cancel, Cancelled};
use crate::geometry::clip::difference;
use crate::geometry::{Bounds, Point, Segment};

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
    /// What the check found wrong.
    pub breaches: Vec<Breach>,
}

/// A zone divided for given roots; `None` when a root is hemmed in.
///
/// # Errors
/// [`Cancelled`] when nobody waits for it any more.
pub fn try_fan<'a>(
    view: &'a View,
    roots: Vec<Root>,
    rules: &'a Rules,
    cancel: &Cancel,
) -> Result<Option<Work<'a>>, Cancelled> {
    let taken = taken(&roots, rules.beside_leaders());
    let Some(field) = Field::new(&difference(&view.regions, &taken)) else { return Ok(None) };
    let leaders = roots.iter().flat_map(|root| [&root.into, &root.out_of]);
    let mut cells = cells_left(view, &field, leaders, rules);
    let root_cells: Option<Vec<usize>> =
        roots.iter().map(|root| cells.at(root.at.0, root.at.1)).collect();
    let Some(root_cells) = root_cells else { return Ok(None) };
    let mut roots = roots;
    if rules.pair.is_none() {
        for (root, &cell) in roots.iter_mut().zip(&root_cells) {
            root.meet(&cells.list[cell]);
        }
    }
    let too_far = set_aside(&mut cells, &root_cells, rules);
    let mut work = Work::new(view, rules, roots, cells, root_cells);
    work.too_far = too_far;
    Ok(work.divide(cancel)?.then_some(work))
}

/// The cells of a view that leaders leave in a field: away from them they are as they were.
pub fn cells_left<'l>(
    view: &View,
    field: &Field,
    leaders: impl IntoIterator<Item = &'l Vec<Point>>,
    rules: &Rules,
) -> Cells {
    let strips: Vec<Bounds> = leaders
        .into_iter()
        .flat_map(|leader| strips_beside(leader, rules.beside_leaders()))
        .filter_map(|strip| strip.bounds())
        .collect();
    // Joins reach as far as the next lane.
    let are_as_before = |lanes: Bounds| {
        let near = lanes.grown(1.5 * rules.spacing);
        strips.iter().all(|strip| !near.touches(*strip))
    };
    view.cells.left_in(field, cell_rules(rules), &are_as_before)
}

/// Takes cells that no circuit within the limit could reach and come back from out of the work;
/// the place of one of them.
fn set_aside(cells: &mut Cells, roots: &[usize], rules: &Rules) -> Option<Point> {
    let steps = steps_from(cells, roots);
    let way = 4.0 * rules.spacing * rules.tubes();
    let is_beyond = |cell: usize| steps[cell] != NONE && steps[cell] as f64 * way > rules.limit;
    let beyond: Vec<usize> = (0..steps.len()).filter(|&cell| is_beyond(cell)).collect();
    for &cell in &beyond {
        for heading in Heading::ALL {
            let other = std::mem::replace(&mut cells.list[cell].beside[heading.0], NONE);
            if other != NONE {
                cells.list[other].beside[heading.back().0] = NONE;
            }
        }
        cells.list[cell].tube = 0.0;
    }
    beyond.first().map(|&cell| cells.list[cell].middle())
}

/// How often a layout is mended where the check finds something.
const MOST_MENDINGS: usize = 15;
/// The mendings at which the trees about what is still wrong are bettered anew.
const STUBBORN: [usize; 2] = [9, 12];

/// How often targets are corrected by the lengths that came out.
const MOST_ROUNDS: usize = 4;

/// How often another tree is grown where a course cannot be bent.
const MOST_REGROWN: usize = 3;

/// In how many rounds a course may prove impossible to bend.
const MOST_STUCK: usize = 2;

/// A bulb that cannot be drawn back.
const LET_GO: f64 = -1.0;

/// Share of the floor that leaders usually take.
const USUAL_LEADERS: f64 = 0.08;
/// First divisions tried, by how much of the floor on its way is counted as a part's own.
const WAY_COSTS: [f64; 4] = [1.0, 2.0, 0.5, 0.0];
/// A division this even at a first look needs no other start.
const EVEN_AT_FIRST: f64 = 0.3;

/// Steps of annealing for each cell: to judge a fan, to divide for good, to touch up.
const QUICK_STEPS: usize = 30;
const FULL_STEPS: usize = 700;
const TOUCH_UP_STEPS: usize = 60;
/// Heat at which a division or trees are touched up, against 1 for new ones.
const TOUCH_UP_HEAT: f64 = 0.12;

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
    leaders: Vec<f64>,
    dice: Dice,
    /// A place that no circuit within the limit reaches.
    too_far: Option<Point>,
    /// How much its trees were bettered so far: cells, as if from anew.
    pub work_done: f64,
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
        let length =
            |legs: &[Point]| -> f64 { legs.windows(2).map(|leg| leg[0].distance(leg[1])).sum() };
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
            cells,
            leaders,
            dice: Dice::new(0x51AB_100F ^ count as u64),
            too_far: None,
            work_done: 0.0,
            tries: 0,
        }
    }

    /// The same work with other throws of the dice, the more often the higher `again` is.
    #[must_use]
    pub fn thrown_again(&self, again: u64) -> Self {
        Self { dice: Dice::new(self.cells.list.len() as u64 ^ again << 32), ..self.clone() }
    }

    fn targets(&self, lengths: Option<(&[f64], &[f64])>) -> Vec<f64> {
        if let Some((lengths, old)) = lengths {
            // A course that could not be bent says nothing about its length.
            let laid = lengths.iter().filter(|&&length| length > 0.0);
            let mean = laid.clone().sum::<f64>() / laid.count().max(1) as f64;
            let corrected = |(old, &length): (&f64, &f64)| {
                if length > 0.0 { old + 0.8 * (mean - length) } else { *old }
            };
            return old.iter().zip(lengths).map(corrected).collect();
        }
        let tube: f64 = self.cells.list.iter().map(|cell| cell.tube).sum();
        let share = (tube + self.leaders.iter().sum::<f64>()) / self.roots.len().max(1) as f64;
        self.leaders.iter().map(|leader| (share - leader).max(0.0)).collect()
    }

    fn shares(&self, targets: Vec<f64>) -> Shares<'_> {
        let usual = 4.0 * self.rules.spacing * self.rules.tubes();
        Shares { cells: &self.cells, roots: &self.root_cells, targets, usual }
    }

    fn divide(&mut self, cancel: &Cancel) -> Result<bool, Cancelled> {
        let targets = self.targets(None);
        let mut best: Option<(f64, Owners)> = None;
        for way_cost in WAY_COSTS.into_iter().take(if self.view.is_large() { 1 } else { 4 }) {
            let shares = self.shares(targets.clone());
            let Some(owners) = first_division(&shares, way_cost) else { break };
            self.owners = owners;
            let steps = (QUICK_STEPS * self.owners.len()).clamp(3_000, 150_000);
            self.anneal(targets.clone(), (steps, 1.0), cancel)?;
            let unevenness = self.unevenness();
            if best.as_ref().is_none_or(|(least, _)| unevenness < *least) {
                best = Some((unevenness, self.owners.clone()));
            }
            if unevenness < EVEN_AT_FIRST {
                break;
            }
        }
        let Some((_, owners)) = best else { return Ok(false) };
        self.owners = owners;
        Ok(true)
    }

    /// What its layout took of a budget: tries at trees take longer where bends are looked at.
    #[must_use]
    pub fn steps(&self) -> u64 {
        /// So many tries without a look at bends take as long as one with it.
        const PLAIN_TRIES: u64 = 5;
        if self.rules.is_tight() { self.tries } else { self.tries / PLAIN_TRIES }
    }

    /// Divides with care, from the start that `divide` made.
    ///
    /// # Errors
    /// [`Cancelled`] when nobody waits for it any more.
    pub fn divide_well(&mut self, cancel: &Cancel) -> Result<(), Cancelled> {
        let steps = (FULL_STEPS * self.owners.len()).clamp(20_000, 2_000_000);
        self.anneal(self.targets(None), (steps, 1.0), cancel)
    }

    fn anneal(
        &mut self,
        targets: Vec<f64>,
        effort: (usize, f64),
        cancel: &Cancel,
    ) -> Result<(), Cancelled> {
        let (mut owners, mut dice) = (std::mem::take(&mut self.owners), self.dice.clone());
        anneal(&self.shares(targets), &mut owners, effort, &mut dice, cancel)?;
        (self.owners, self.dice) = (owners, dice);
        Ok(())
    }

    /// Share of the floor that no part reaches: beyond what leaders usually take, or because they
    /// shut it in.
    fn cut_off(&self) -> f64 {
        let all: f64 = self.view.cells.list.iter().map(|cell| cell.tube).sum();
        let (mut served, mut shut_in) = (0.0, 0.0);
        for (owner, cell) in self.owners.iter().zip(&self.cells.list) {
            *if *owner == NONE { &mut shut_in } else { &mut served } += cell.tube;
        }
        let shut_in = (shut_in - self.view.apart) / all.max(1.0);
        (1.0 - served / all.max(1.0) - USUAL_LEADERS).max(shut_in).max(0.0)
    }

    /// What is wrong with the parts as divided: uneven, or floor cut off.
    #[must_use]
    pub fn badness(&self) -> f64 {
        self.unevenness() + 3.0 * self.cut_off()
    }

    /// Share of all tube that is leaders.
    #[must_use]
    pub fn leader_share(&self) -> f64 {
        let served = self.owners.iter().zip(&self.cells.list).filter(|(owner, _)| **owner != NONE);
        let tube: f64 = served.map(|(_, cell)| cell.tube).sum();
        let leaders: f64 = self.leaders.iter().sum();
        leaders / (leaders + tube).max(1.0)
    }

    /// How long a circuit is in the mean, as a share of the limit.
    #[must_use]
    pub fn fullness(&self) -> f64 {
        let served = self.owners.iter().zip(&self.cells.list).filter(|(owner, _)| **owner != NONE);
        let tube: f64 = served.map(|(_, cell)| cell.tube).sum();
        let mean = (tube + self.leaders.iter().sum::<f64>()) / self.roots.len().max(1) as f64;
        mean / self.rules.limit
    }

    /// How uneven the parts are as divided: longest less shortest over the mean.
    fn unevenness(&self) -> f64 {
        let mut lengths = self.leaders.clone();
        for (cell, &owner) in self.owners.iter().enumerate() {
            if owner != NONE {
                lengths[owner] += self.cells.list[cell].tube;
            }
        }
        imbalance(&lengths)
    }

    /// Trees, courses, lengths; targets corrected and divided again until lengths are even.
    ///
    /// # Errors
    /// [`Cancelled`] when nobody waits for it any more.
    pub fn settle(&mut self, cancel: &Cancel) -> Result<Layout, Cancelled> {
        let near_leaders = taken(&self.roots, self.rules.demands().least_at_leaders);
        self.bad_tips = mend::bad_tips(&self.cells, self.view, self.rules, &near_leaders);
        let mut targets = self.targets(None);
        let mut best: Option<Layout> = None;
        let mut stuck = 0;
        // What lies too far away keeps lengths uneven whatever is tried.
        let rounds = if self.too_far.is_some() || self.view.is_large() { 1 } else { MOST_ROUNDS };
        for round in 0..rounds {
            if cancel.is_raised() {
                return Err(Cancelled);
            }
            let is_first = round == 0;
            if is_first || !self.betters_trees() {
                (0..self.roots.len()).for_each(|part| self.grow_tree(part));
            }
            if self.betters_trees() {
                self.better(&targets, if is_first { 1.0 } else { TOUCH_UP_HEAT });
            }
            let kept = (self.owners.clone(), self.joins.clone());
            let layout = self.lay(cancel)?;
            let is_better = best.as_ref().is_none_or(|best| rank(&layout) < rank(best));
            let lengths: Vec<f64> = layout.circuits.iter().map(|circuit| circuit.length).collect();
            let imbalance = layout.imbalance;
            stuck += usize::from(lengths.contains(&0.0));
            if is_better {
                best = Some(layout);
            }
            if imbalance < 0.05 || round + 1 == rounds || stuck >= MOST_STUCK {
                break;
            }
            (self.owners, self.joins) = kept;
            targets = self.targets(Some((&lengths, &targets)));
            if !self.betters_trees() {
                let steps = (TOUCH_UP_STEPS * self.owners.len()).clamp(4_000, 400_000);
                self.anneal(targets.clone(), (steps, TOUCH_UP_HEAT), cancel)?;
            }
        }
        let best = best.unwrap_or_default();
        let limit = self.rules.limit;
        if rank(&best).0 == 0 && rank_against(&best, limit).0 > 0 {
            let drawn_back = self.draw_back_to(limit);
            if rank_against(&drawn_back, limit) < rank_against(&best, limit) {
                return Ok(drawn_back);
            }
        }
        Ok(best)
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
            radius: self.rules.bend(),
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
        for mending in 0..MOST_MENDINGS {
            if cancel.is_raised() {
                return Err(Cancelled);
            }
            let (circuits, gave_up) = self.courses(&mut dropped);
            layout = self.judged(circuits);
            if gave_up {
                // What was mended last, or is to be, may leave no room for the bends of a course.
                mended.append(&mut layout.breaches);
                layout.breaches.push(Breach::Bend(self.view.frame.plan(Point::ORIGIN)));
                if !may_lay_anew || mended.is_empty() {
                    break;
                }
                may_lay_anew = false;
                self.better_about(&mended, &mut dropped);
                continue;
            }
            if layout.breaches.is_empty() {
                break;
            }
            mended.clone_from(&layout.breaches);
            // What drawing bulbs back does not mend, other trees there may.
            let is_stubborn = self.betters_trees() && STUBBORN.contains(&mending);
            if is_stubborn {
                self.better_about(&layout.breaches, &mut dropped);
            } else if !self.mend(&layout.breaches, &mut dropped) {
                break;
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

    /// The course of a part, eased until it can be bent; empty when it cannot.
    fn course(&mut self, part: usize, dropped: &mut usize) -> Vec<Segment> {
        for _ in 0..60 {
            let is_open = |point: Point| self.view.tube_field.contains(point);
            match bend_course_within(&self.legs(part), self.rules.bend(), &is_open) {
                Ok(found) => return found,
                Err(at) => {
                    if !self.ease(part, at, dropped) {
                        break;
                    }
                }
            }
        }
        Vec::new()
    }

    fn grow_tree(&mut self, part: usize) {
        let mut joins = std::mem::take(&mut self.joins);
        grow(&self.ground(part), self.rules.look.in_frame(&self.view.frame), &mut joins);
        self.joins = joins;
    }

    fn courses(&mut self, dropped: &mut usize) -> (Vec<Found>, bool) {
        let mut circuits = Vec::with_capacity(self.roots.len());
        let mut gave_up = false;
        for part in 0..self.roots.len() {
            let mut path = self.course(part, dropped);
            for _ in 0..if self.rules.is_tight() { MOST_REGROWN } else { 0 } {
                if !path.is_empty() {
                    break;
                }
                // Another tree may have none of the legs that are too short.
                self.grow_tree(part);
                self.better_alone(part);
                path = self.course(part, dropped);
            }
            gave_up |= path.is_empty();
            let length = path.iter().map(|segment| segment.length()).sum();
            let root = &self.roots[part];
            let legs = |legs: &[Point]| -> f64 {
                legs.windows(2).map(|leg| leg[0].distance(leg[1])).sum()
            };
            let leaders = (legs(&root.into), legs(&root.out_of));
            let legs = self.legs_as_bent(part);
            circuits.push(Found { path, length, leaders, legs });
        }
        (circuits, gave_up)
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
        let mut found = breaches(&courses, &self.view.tube_field, self.rules.demands());
        for breach in &mut found {
            let plan = self.view.frame.plan(breach.at());
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
                found.path = self.view.frame.plan_course(&found.path);
                for corner in &mut found.legs.corners {
                    *corner = self.view.frame.plan(*corner);
                }
                found
            })
            .collect();
        Layout {
            circuits,
            imbalance: imbalance(&lengths),
            bends,
            breaches: found,
            ..Layout::default()
        }
    }
}
