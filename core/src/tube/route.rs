//! One zone from its manifold: which axes, how many circuits, which fan; the best that passes
//! the check is kept.

#![expect(
    clippy::indexing_slicing,
    reason = "cell and part numbers come from this file's own loops over the same vectors"
)]

use super::bends::bend_course;
use super::cells::{Cell, Cells, NONE};
use super::check::{Breach, Course, Demands, breaches};
use super::divide::{Owners, Shares, anneal, first_division};
use super::fan::{FanRules, FanShape, Root, spread, taken};
use super::field::{Field, Heading};
use super::pair::side_by_side;
use super::random::Dice;
use super::tree::{Ground, Joins, Look, grow};
use super::view::{View, cell_rules};
use super::walk::walk_round;
use crate::effort::{Cancel, Cancelled};
use crate::geometry::clip::difference;
use crate::geometry::{Point, Segment};

/// What one zone asks of its circuits.
#[derive(Clone, Copy, Debug)]
pub struct Rules {
    /// Spacing, inches.
    pub spacing: f64,
    /// Bend radius, inches.
    pub radius: f64,
    /// Longest circuit, inches.
    pub limit: f64,
    /// Distance of the outermost tube from the slab edge, inches.
    pub edge: f64,
    /// Distance from port to port, inches.
    pub port_spacing: f64,
    /// How the tube should wind.
    pub look: Look,
    /// Two tubes run side by side in each lane, this far from its middle: spacings so close that
    /// a return between neighbours would be a bulb in every lane are laid so, supply beside
    /// return. `spacing` is then that of the lanes.
    pub pair: Option<f64>,
}

impl Rules {
    /// The least distance between two runs.
    #[must_use]
    pub fn least(&self) -> f64 {
        if self.pair.is_some() { 0.9 * self.spacing } else { 0.8 * self.spacing }
    }

    /// How far the middle of a lane keeps from leaders.
    fn beside_leaders(&self) -> f64 {
        self.pair.map_or(self.least() + 0.05, |half| half + 0.82 * self.tube_spacing())
    }

    /// Tubes in a lane.
    pub fn tubes(&self) -> f64 {
        if self.pair.is_some() { 2.0 } else { 1.0 }
    }

    /// Distance from tube to tube as asked for.
    #[must_use]
    pub fn tube_spacing(&self) -> f64 {
        self.spacing / self.tubes()
    }

    /// Bends are made a hair wider than the least radius, so that rounding never makes one too
    /// tight.
    #[must_use]
    pub fn bend(&self) -> f64 {
        self.radius + 0.01
    }

    /// The closest pitch of lanes: no less than two bends need where the spacing nearly gives it.
    pub fn least_pitch(&self) -> f64 {
        if self.pair.is_some() {
            return 0.925 * self.spacing;
        }
        (0.86 * self.spacing).max((2.0 * self.radius + 0.1).min(0.957 * self.spacing))
    }

    fn demands(&self) -> Demands {
        if self.pair.is_some() {
            // A bulb stands half a lane and its own half width off the next run.
            let spacing = self.tube_spacing();
            return Demands {
                least: 0.8 * spacing,
                least_at_leaders: (0.65 * self.port_spacing).min(0.8 * spacing),
                least_at_bends: [
                    (1.3 * spacing - self.radius).clamp(1.0, 0.8 * spacing),
                    (1.95 * spacing - 2.0 * self.radius).clamp(1.0, 0.8 * spacing),
                ],
                radius: self.radius,
            };
        }
        let (pitch, least) = (self.least_pitch(), self.least());
        let bulb = |lanes: f64, radii: f64| {
            if 2.0 * self.radius > self.spacing {
                (lanes * pitch - radii * self.radius - 0.2).clamp(1.0, least)
            } else {
                least
            }
        };
        Demands {
            least,
            least_at_bends: [bulb(1.5, 1.0), bulb(2.0, 2.0)],
            least_at_leaders: (0.65 * self.port_spacing).min(self.least()),
            radius: self.radius,
        }
    }
}

/// A circuit as found.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Found {
    /// Its course on the plan, port to port.
    pub path: Vec<Segment>,
    /// Length, inches.
    pub length: f64,
    /// Leader at its beginning and its end, inches.
    pub leaders: (f64, f64),
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
    /// What the check found wrong.
    pub breaches: Vec<Breach>,
}

/// The roots of a fan, `None` when it does not fit or a root has no way out.
#[must_use]
pub fn roots_of(view: &View, ports: &[Point], shape: FanShape, rules: &Rules) -> Option<Vec<Root>> {
    let fan_rules = FanRules { radius: rules.bend(), lane: rules.port_spacing, pair: rules.pair };
    let roots = spread(&view.ground(), &view.cells, ports, shape, fan_rules)?;
    let places: Vec<_> = roots.iter().map(|root| root.at).collect();
    let has_way_out = |root: &Root| {
        let Some(cell) = view.cells.at(root.at.0, root.at.1) else { return false };
        let cell = &view.cells.list[cell];
        Heading::ALL.into_iter().any(|heading| {
            let beside = cell.beside[heading.0];
            heading != root.opening
                && beside != NONE
                && !places.contains(&view.cells.list[beside].at)
        })
    };
    roots.iter().all(has_way_out).then_some(roots)
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
    let left = difference(&view.regions, &taken(&roots, rules.beside_leaders()));
    let Some(field) = Field::new(&left) else { return Ok(None) };
    let lanes = (view.cells.xs.clone(), view.cells.ys.clone());
    let cells = Cells::new(&field, lanes, cell_rules(rules), |_| true);
    let root_cells: Option<Vec<usize>> =
        roots.iter().map(|root| cells.at(root.at.0, root.at.1)).collect();
    let Some(root_cells) = root_cells else { return Ok(None) };
    let mut work = Work::new(view, rules, roots, cells, root_cells);
    Ok(work.divide(cancel)?.then_some(work))
}

/// Steps of annealing for each cell: to judge a fan, to divide for good, to touch up.
const QUICK_STEPS: usize = 30;
const FULL_STEPS: usize = 300;
const TOUCH_UP_STEPS: usize = 60;

/// A zone being worked on.
pub struct Work<'a> {
    view: &'a View,
    rules: &'a Rules,
    roots: Vec<Root>,
    root_cells: Vec<usize>,
    cells: Cells,
    owners: Owners,
    joins: Joins,
    no_stub: Vec<u8>,
    leaders: Vec<f64>,
    dice: Dice,
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
            cells,
            owners: vec![NONE; count],
            joins: vec![0; count],
            no_stub: vec![0; count],
            leaders,
            dice: Dice::new(0x51AB_100F ^ count as u64),
        }
    }

    fn targets(&self, lengths: Option<(&[f64], &[f64])>) -> Vec<f64> {
        if let Some((lengths, old)) = lengths {
            let mean = lengths.iter().sum::<f64>() / lengths.len().max(1) as f64;
            return old
                .iter()
                .zip(lengths)
                .map(|(old, length)| old + 0.8 * (mean - length))
                .collect();
        }
        let tube: f64 = self.cells.list.iter().map(|cell| cell.tube).sum();
        let share = (tube + self.leaders.iter().sum::<f64>()) / self.roots.len().max(1) as f64;
        self.leaders.iter().map(|leader| (share - leader).max(0.0)).collect()
    }

    fn shares(&self, targets: Vec<f64>) -> Shares<'_> {
        Shares {
            cells: &self.cells,
            roots: &self.root_cells,
            targets,
            usual: 4.0 * self.rules.spacing * self.rules.tubes(),
        }
    }

    fn divide(&mut self, cancel: &Cancel) -> Result<bool, Cancelled> {
        let shares = self.shares(self.targets(None));
        let Some(mut owners) = first_division(&shares) else { return Ok(false) };
        let steps = (QUICK_STEPS * self.cells.list.len()).clamp(3_000, 60_000);
        let mut dice = self.dice.clone();
        anneal(&shares, &mut owners, (steps, 1.0), &mut dice, cancel)?;
        self.owners = owners;
        self.dice = dice;
        Ok(true)
    }

    /// Divides with care, from the start that `divide` made.
    ///
    /// # Errors
    /// [`Cancelled`] when nobody waits for it any more.
    pub fn divide_well(&mut self, cancel: &Cancel) -> Result<(), Cancelled> {
        let shares = self.shares(self.targets(None));
        let (mut owners, mut dice) = (self.owners.clone(), self.dice.clone());
        let steps = (FULL_STEPS * self.cells.list.len()).clamp(20_000, 300_000);
        anneal(&shares, &mut owners, (steps, 1.0), &mut dice, cancel)?;
        self.owners = owners;
        self.dice = dice;
        Ok(())
    }

    /// How uneven the parts are as divided: longest less shortest over the mean.
    #[must_use]
    pub fn unevenness(&self) -> f64 {
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
        let mut targets = self.targets(None);
        let mut best: Option<Layout> = None;
        for round in 0..4 {
            if cancel.is_raised() {
                return Err(Cancelled);
            }
            let layout = self.lay(cancel)?;
            let is_better = best.as_ref().is_none_or(|best| rank(&layout) < rank(best));
            let lengths: Vec<f64> = layout.circuits.iter().map(|circuit| circuit.length).collect();
            let imbalance = layout.imbalance;
            if is_better {
                best = Some(layout);
            }
            if imbalance < 0.05 || round == 3 {
                break;
            }
            targets = self.targets(Some((&lengths, &targets)));
            let shares = self.shares(targets.clone());
            let (mut owners, mut dice) = (self.owners.clone(), self.dice.clone());
            let steps = (TOUCH_UP_STEPS * self.cells.list.len()).clamp(4_000, 100_000);
            anneal(&shares, &mut owners, (steps, 0.1), &mut dice, cancel)?;
            self.owners = owners;
            self.dice = dice;
        }
        Ok(best.unwrap_or_default())
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
            is_tight: self.rules.pair.is_none()
                && 2.0 * self.rules.radius > self.rules.least_pitch() + 0.2,
            spacing: self.rules.spacing,
        }
    }

    fn lay(&mut self, cancel: &Cancel) -> Result<Layout, Cancelled> {
        self.no_stub.fill(0);
        for part in 0..self.roots.len() {
            let (mut joins, mut dice) = (std::mem::take(&mut self.joins), self.dice.clone());
            grow(&self.ground(part), self.rules.look, &mut joins, &mut dice);
            self.joins = joins;
            self.dice = dice;
        }
        let mut dropped = 0;
        let mut layout = Layout::default();
        for _ in 0..6 {
            if cancel.is_raised() {
                return Err(Cancelled);
            }
            let (circuits, gave_up) = self.courses(&mut dropped);
            layout = self.judged(circuits);
            if gave_up {
                layout.breaches.push(Breach::Bend(self.view.frame.plan(Point::ORIGIN)));
                break;
            }
            if layout.breaches.is_empty() || !self.mend(&layout.breaches, &mut dropped) {
                break;
            }
        }
        layout.lost_cells = dropped;
        Ok(layout)
    }

    fn courses(&mut self, dropped: &mut usize) -> (Vec<Found>, bool) {
        let mut circuits = Vec::with_capacity(self.roots.len());
        let mut gave_up = false;
        for part in 0..self.roots.len() {
            let mut path = Vec::new();
            for _ in 0..60 {
                match bend_course(&self.legs(part), self.rules.bend()) {
                    Ok(found) => {
                        path = found;
                        break;
                    }
                    Err(at) => {
                        if !self.ease(part, at, dropped) {
                            break;
                        }
                    }
                }
            }
            gave_up |= path.is_empty();
            let length = path.iter().map(|segment| segment.length()).sum();
            let root = &self.roots[part];
            let legs = |legs: &[Point]| -> f64 {
                legs.windows(2).map(|leg| leg[0].distance(leg[1])).sum()
            };
            circuits.push(Found { path, length, leaders: (legs(&root.into), legs(&root.out_of)) });
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

    /// Takes away what makes a bend impossible at a place: the nearest stub, else the nearest
    /// leaf of the tree.
    fn ease(&mut self, part: usize, at: Point, dropped: &mut usize) -> bool {
        let reach = 2.5 * self.rules.spacing;
        let mut nearest_stub: Option<(f64, usize, u8)> = None;
        let mut nearest_leaf: Option<(f64, usize)> = None;
        let ground = self.ground(part);
        for (cell, shape) in self.cells.list.iter().enumerate() {
            if self.owners[cell] != part {
                continue;
            }
            let used = ground.stubs_used(cell, self.joins[cell]);
            for heading in Heading::ALL.into_iter().filter(|heading| used & (1 << heading.0) != 0) {
                let distance = stub_middle(shape, heading).distance(at);
                if nearest_stub.is_none_or(|(least, ..)| distance < least) {
                    nearest_stub = Some((distance, cell, 1 << heading.0));
                }
            }
            let is_leaf = self.joins[cell].count_ones() == 1 && cell != ground.root;
            let distance = shape.middle().distance(at);
            if is_leaf && nearest_leaf.is_none_or(|(least, _)| distance < least) {
                nearest_leaf = Some((distance, cell));
            }
        }
        if let Some((_, cell, bit)) = nearest_stub.filter(|(distance, ..)| *distance < reach) {
            self.no_stub[cell] |= bit;
            return true;
        }
        let Some((_, cell)) = nearest_leaf.filter(|(distance, _)| *distance < 2.0 * reach) else {
            return false;
        };
        self.drop_leaf(cell);
        *dropped += 1;
        true
    }

    fn drop_leaf(&mut self, cell: usize) {
        for heading in Heading::ALL {
            if self.joins[cell] & (1 << heading.0) != 0 {
                let other = self.cells.list[cell].beside[heading.0];
                self.joins[other] &= !(1 << heading.back().0);
            }
        }
        self.joins[cell] = 0;
        self.owners[cell] = NONE;
    }

    /// Eases every place where the check found something; `false` when it could nowhere.
    fn mend(&mut self, found: &[Breach], dropped: &mut usize) -> bool {
        let mut places: Vec<Point> = Vec::new();
        for breach in found {
            let at = self.view.frame.local(breach.at());
            if places.iter().all(|place| place.distance(at) > 2.0 * self.rules.spacing) {
                places.push(at);
            }
        }
        let mut any = false;
        for at in places {
            let nearest = (0..self.cells.list.len())
                .filter(|&cell| self.owners[cell] != NONE)
                .min_by(|&a, &b| {
                    let distance = |cell: usize| self.cells.list[cell].middle().distance(at);
                    distance(a).total_cmp(&distance(b))
                });
            if let Some(cell) = nearest {
                any |= self.ease(self.owners[cell], at, dropped);
            }
        }
        any
    }

    fn judged(&self, circuits: Vec<Found>) -> Layout {
        let courses: Vec<Course> = circuits
            .iter()
            .map(|found| Course {
                path: &found.path,
                leader_in: found.leaders.0,
                leader_out: found.leaders.1,
            })
            .collect();
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
                found
            })
            .collect();
        Layout { circuits, imbalance: imbalance(&lengths), bends, lost_cells: 0, breaches: found }
    }
}

fn stub_middle(cell: &Cell, heading: Heading) -> Point {
    let [first, last] = cell.stubs[heading.0];
    heading.ahead(cell.first(heading).middle(cell.last(heading)), (first + last) / 2.0)
}

/// Total turning of a path over a right angle.
fn turning(path: &[Segment]) -> f64 {
    path.iter()
        .filter_map(|segment| match segment {
            Segment::Arc(arc) => arc.circle(),
            Segment::Line(..) => None,
        })
        .map(|circle| circle.sweep.abs() / std::f64::consts::FRAC_PI_2)
        .sum()
}

/// Longest less shortest over the mean.
#[must_use]
pub fn imbalance(lengths: &[f64]) -> f64 {
    let mean = lengths.iter().sum::<f64>() / lengths.len().max(1) as f64;
    let (least, most) =
        lengths.iter().fold((f64::INFINITY, 0.0_f64), |(l, m), &x| (l.min(x), m.max(x)));
    if mean > 0.0 { (most - least) / mean } else { 0.0 }
}

/// Lower is better: sound before even before few bends.
fn rank(layout: &Layout) -> (usize, f64) {
    let cost = 10.0 * (layout.imbalance - 0.06).max(0.0) + 0.03 * layout.lost_cells as f64;
    (layout.breaches.len(), cost + 1e-4 * layout.bends)
}

/// The rank of a layout among tries, the limit included.
#[must_use]
pub fn rank_against(layout: &Layout, limit: f64) -> (usize, f64) {
    let over = layout.circuits.iter().filter(|circuit| circuit.length > limit).count();
    let (breaches, cost) = rank(layout);
    (breaches + over, cost)
}
