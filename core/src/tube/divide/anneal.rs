//! A division annealed: a cell at a border changes sides, and what the part that gains it can spare
//! is handed on from part to part.
//!
//! The energy weighs unequal length, ends of runs (see [`super::runs`]), borders a little, since
//! what is long and thin is far from its root, and, later, corners of borders: tube that follows a
//! border bends with it. A single cell that changes sides does not feed a part beyond the
//! next one, nor does it straighten a border: where parts run side by side through a narrow place,
//! a step in one border can move only if the steps in all others move with it. So cells are handed
//! on: each part that has gained one gives one nearby to the next, and as many of the row are kept
//! as leave the least energy (an ejection chain, as in Glover, 1996, and in the exchanges of
//! Kernighan and Lin, 1970; both from memory). A cell that its part hangs together by takes what hangs
//! on it along (see [`branches`]), or is given up and its part goes round (see [`detours`]).

#![expect(
    clippy::indexing_slicing,
    reason = "cell and part numbers come from this file's own loops over the same vectors"
)]

mod branches;
mod detours;
mod rings;

use self::branches::{MOST_LINKS, MUCH_LACKED};
use self::detours::Push;
pub use self::detours::push_apart;
use self::rings::Rings;
use super::runs::{Laid, Runs};
use super::{Owners, Shares, owner};
use crate::effort::{Cancel, Cancelled};
use crate::tube::cells::NONE;
use crate::tube::random::Dice;
use crate::tube::raster::whole;

/// Heat that is left at the end.
const COLD: f64 = 0.02;
/// What an end of a run costs, borders for each side of a cell, corners of borders, and the square of
/// a part's surplus in usual cells.
const END_COST: f64 = 0.8;
const BORDER_COST: f64 = 0.1;
const CORNER_COST: f64 = 0.4;
const SURPLUS_COST: f64 = 0.25;
/// Share of the steps in which runs side by side are turned, if that is for the better.
const TURNED: f64 = 0.1;
/// Shares of a new division's steps after which corners begin to count, and count in full.
const CORNERS_BEGIN: f64 = 0.35;
const CORNERS_IN_FULL: f64 = 0.75;
/// Share of the steps at cells that hold their part together in which these change sides with what
/// hangs on them, and share of those in which a part that lacks much may take what others need.
const BRANCHES: f64 = 0.1;
const CHAINS: f64 = 0.05;
/// A part that lacks so many usual cells beside such a cell may take a run of them, of so many at most,
/// and what falls apart goes round.
const LACKED: f64 = 4.0;
const MOST_PUSHED: usize = 16;
/// Of so few parts none is hemmed in by others.
const FEW_PARTS: usize = 3;
/// The most cells handed on in a row, how far from the last one the next may lie, and how much worse
/// the division may become on the way.
const MOST_HANDED_ON: usize = 24;
const NEARBY: usize = 2;
const MUCH_WORSE: f64 = 3.0;

/// When parts that lack floor push necks aside.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Pushing {
    /// Often, once the division has found its form.
    Late,
    /// Now and then, all the time: the form becomes another one, more even or less.
    Throughout,
}

impl Pushing {
    /// The share of the annealing after which they do, and how often.
    const fn pushed(self) -> (f64, f64) {
        match self {
            Self::Late => (0.6, 0.3),
            Self::Throughout => (0.0, 0.05),
        }
    }
}

/// Anneals a division for `steps` steps, starting at heat `start` (1 for a new division, less to
/// touch up an old one), with necks pushed aside as `pushing` says.
///
/// # Errors
/// [`Cancelled`] when nobody waits for it any more.
pub fn anneal(
    shares: &Shares,
    owners: &mut Owners,
    (steps, start, pushing): (usize, f64, Pushing),
    dice: &mut Dice,
    cancel: &Cancel,
) -> Result<(), Cancelled> {
    let mut table = Table::new(shares, owners);
    if shares.roots.len() < 2 || table.movable.is_empty() {
        return Ok(());
    }
    let may_hem_in = shares.roots.len() > FEW_PARTS;
    let (pushed_from, pushed) = pushing.pushed();
    for step in 0..steps {
        if step % 1024 == 0 {
            if cancel.is_raised() {
                return Err(Cancelled);
            }
            if may_hem_in {
                table.look_at_lack();
            }
        }
        let cell = table.movable[dice.below(table.movable.len())];
        let side = dice.below(4);
        let to = owner(owners, shares.cells.next(cell, side));
        if to == NONE || to == owners[cell] {
            continue;
        }
        let done = step as f64 / steps as f64;
        let left = 1.0 - done;
        let heat = start * left * left.sqrt() + COLD;
        let is_better = |change: f64, dice: &mut Dice| dice.takes(change / heat);
        if !table.rings.stays_whole(owners, cell) {
            let lacked = -table.over[to];
            let may_push = may_hem_in && done >= pushed_from && lacked > LACKED;
            if may_push && dice.share() < pushed {
                // Along the border or away from it.
                let heading = (side + 1 + dice.below(3)) % 4;
                let most = 1 + dice.below(whole(lacked).min(MOST_PUSHED));
                let push = Push { cell, to, heading, most, spares: false };
                table.push_aside(owners, push, |change| is_better(change, dice));
                continue;
            }
            if may_hem_in && dice.share() < BRANCHES {
                let is_chain = lacked > MUCH_LACKED && dice.share() < CHAINS;
                let links = if is_chain { MOST_LINKS } else { 1 };
                table.hand_branches_on(owners, (cell, to), links, |change| is_better(change, dice));
            }
            continue;
        }
        let ramp = (done - CORNERS_BEGIN) / (CORNERS_IN_FULL - CORNERS_BEGIN);
        table.corner_cost =
            if start < 1.0 { CORNER_COST } else { CORNER_COST * ramp.clamp(0.0, 1.0) };
        if dice.share() < TURNED {
            let any = table.movable[dice.below(table.movable.len())];
            table.turn(owners, any, |change| is_better(change, dice));
        }
        let (change, kept) = table.hand_on(owners, cell, to);
        let kept = if is_better(change, dice) { kept } else { 0 };
        table.take_back(owners, kept);
    }
    Ok(())
}

/// What annealing keeps up to date.
struct Table<'a> {
    shares: &'a Shares<'a>,
    sizes: Vec<f64>,
    /// How much longer each part is than it should be, and the tube of each cell, in usual cells.
    over: Vec<f64>,
    tube: Vec<f64>,
    runs: Runs<'a>,
    is_root: Vec<bool>,
    movable: Vec<usize>,
    rings: Rings,
    corner_cost: f64,
    /// Cells handed on in this step, as they lay before.
    handed: Vec<Laid>,
    /// Cells whose runs were turned in this step.
    turned: Vec<usize>,
    /// How much worse the division may become while cells are handed on.
    much_worse: f64,
    /// How often branches were looked for, and at which of those looks each cell was seen last.
    looks: usize,
    seen: Vec<usize>,
}

impl<'a> Table<'a> {
    fn new(shares: &'a Shares<'a>, owners: &Owners) -> Self {
        let cells = shares.cells;
        let mut sizes = vec![0.0; shares.roots.len()];
        for (cell, &owner) in owners.iter().enumerate() {
            if owner != NONE {
                sizes[owner] += cells.list[cell].tube;
            }
        }
        let mut is_root = vec![false; cells.list.len()];
        for &root in shares.roots {
            is_root[root] = true;
        }
        let movable =
            (0..cells.list.len()).filter(|&cell| owners[cell] != NONE && !is_root[cell]).collect();
        let handed = Vec::with_capacity(MOST_HANDED_ON);
        let runs = Runs::longest((cells, shares.bad_tips), owners);
        let turned = Vec::new();
        let mut table = Self {
            shares,
            over: vec![0.0; sizes.len()],
            sizes,
            tube: cells.list.iter().map(|cell| cell.tube / shares.usual).collect(),
            runs,
            turned,
            is_root,
            movable,
            rings: Rings::new(cells),
            corner_cost: 0.0,
            handed,
            much_worse: MUCH_WORSE,
            looks: 0,
            seen: vec![0; cells.list.len()],
        };
        for part in 0..table.sizes.len() {
            table.weigh(part);
        }
        table
    }

    /// Takes in that the tube of a part has changed.
    fn weigh(&mut self, part: usize) {
        self.over[part] = (self.sizes[part] - self.shares.targets[part]) / self.shares.usual;
    }

    /// A row of cells handed on may be as long as it takes to reach a part that lacks much: what the
    /// last of the row is worth there pays for corners and ends on the way.
    fn look_at_lack(&mut self) {
        let lacked = self.over.iter().map(|over| -over).fold(0.0, f64::max);
        let worth = if lacked > MUCH_LACKED { 2.0 * SURPLUS_COST * lacked } else { 0.0 };
        self.much_worse = MUCH_WORSE + worth;
    }

    /// By how much the energy of unequal length changes where so much tube goes from one part to
    /// another, in usual cells.
    fn surplus_of(&self, tube: f64, (from, to): (usize, usize)) -> f64 {
        SURPLUS_COST * (2.0 * tube * (self.over[to] - self.over[from]) + 2.0 * tube * tube)
    }

    /// Hands a cell to another part, and on from there. What the first few of them that leave the
    /// least energy change it by, and how many those are.
    fn hand_on(&mut self, owners: &mut Owners, cell: usize, to: usize) -> (f64, usize) {
        self.handed.clear();
        let (mut change, mut best) = (0.0, (f64::INFINITY, 0));
        let mut next = Some(self.handing(owners, cell, to));
        while let Some((more, now)) = next {
            change += more;
            self.handed.push(self.runs.laid(owners, now.cell));
            self.give(owners, now);
            if change < best.0 {
                best = (change, self.handed.len());
            }
            if self.handed.len() >= MOST_HANDED_ON || change > self.much_worse {
                break;
            }
            next = self.next(owners, now);
        }
        best
    }

    /// What a part that has gained a cell gives up for the least energy: a cell near that one.
    fn next(&self, owners: &Owners, gained: Laid) -> Option<(f64, Laid)> {
        let from = gained.part;
        let mut best: Option<(f64, Laid)> = None;
        let cells = self.shares.cells;
        for &cell in cells.rows_about(gained.cell, NEARBY).flatten() {
            if owner(owners, cell) != from {
                continue;
            }
            let parts = cells.beside(cell).map(|other| owner(owners, other));
            let is_handed = || self.handed.iter().any(|handed| handed.cell == cell);
            // Most cells lie within their part.
            if parts.iter().all(|&part| part == from) || self.is_root[cell] || is_handed() {
                continue;
            }
            for (side, &to) in parts.iter().enumerate() {
                if to == NONE || to == from || parts[..side].contains(&to) {
                    continue;
                }
                let found = self.handing(owners, cell, to);
                let is_better = best.is_none_or(|(least, _)| found.0 < least);
                if is_better && self.rings.stays_whole(owners, cell) {
                    best = Some(found);
                }
            }
        }
        best
    }

    /// Takes back all that was handed on but the first few.
    fn take_back(&mut self, owners: &mut Owners, kept: usize) {
        while self.handed.len() > kept {
            let Some(back) = self.handed.pop() else { break };
            self.give(owners, back);
        }
    }

    fn give(&mut self, owners: &mut Owners, Laid { cell, part: to, way }: Laid) {
        self.runs.lay(cell, way);
        let tube = self.shares.cells.list[cell].tube;
        self.sizes[owners[cell]] -= tube;
        self.sizes[to] += tube;
        self.weigh(owners[cell]);
        self.weigh(to);
        owners[cell] = to;
    }

    /// Turns the runs side by side at a cell, and back again where the change of energy is not wanted.
    fn turn(&mut self, owners: &Owners, cell: usize, is_wanted: impl FnOnce(f64) -> bool) {
        let more = self.runs.turn_across(owners, cell, &mut self.turned);
        if !is_wanted(END_COST * more) {
            self.runs.turn_back(&self.turned);
        }
    }

    /// A cell given to a part, and by how much that changes the energy.
    fn handing(&self, owners: &Owners, cell: usize, new: usize) -> (f64, Laid) {
        let old = owners[cell];
        let (ends, laid) = self.runs.fewest_ends(owners, cell, new);
        let surplus = self.surplus_of(self.tube[cell], (old, new));
        let mut border = 0_i8;
        for next in self.shares.cells.beside(cell) {
            let owner = owner(owners, next);
            border += i8::from(owner == old) - i8::from(owner == new);
        }
        let border = f64::from(border);
        let corners =
            if self.corner_cost > 0.0 { self.rings.more_corners(owners, cell, new) } else { 0.0 };
        let change = surplus + END_COST * ends + BORDER_COST * border + self.corner_cost * corners;
        (change, laid)
    }

    /// The cells of one part that are reached from one of them and were not in this look, but for one
    /// that is not gone through.
    fn reach(&mut self, owners: &Owners, (from, but): (usize, usize)) -> Vec<usize> {
        let (cells, own) = (self.shares.cells, owners[from]);
        self.seen[from] = self.looks;
        let mut reached = vec![from];
        let mut done = 0;
        while let Some(&at) = reached.get(done) {
            done += 1;
            for next in cells.beside(at) {
                if owner(owners, next) == own && self.seen[next] != self.looks && next != but {
                    self.seen[next] = self.looks;
                    reached.push(next);
                }
            }
        }
        reached
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::tube::cells::Cells;

    impl Table<'_> {
        /// Every part hangs together with its root, and its size is that of its cells.
        pub fn assert_whole(&mut self, owners: &Owners) {
            for part in 0..self.sizes.len() {
                let own: Vec<usize> =
                    (0..owners.len()).filter(|&cell| owners[cell] == part).collect();
                self.looks += 1;
                let reached = self.reach(owners, (self.shares.roots[part], NONE)).len();
                assert_eq!(reached, own.len(), "part {part}: {owners:?}");
                let tube: f64 = own.iter().map(|&cell| self.shares.cells.list[cell].tube).sum();
                assert!((tube - self.sizes[part]).abs() < 1e-6, "part {part}: {tube}");
            }
        }
    }

    /// Five parts side by side, the middle three of them one cell wide, whose borders all step aside:
    /// the first of them in the row `step`, each further one a row earlier.
    fn side_by_side(cells: &Cells, step: usize) -> Owners {
        let part = |(column, row): (usize, usize)| {
            let aside = |border: usize| usize::from(row + border >= step + 3);
            (3..7).filter(|&border| column >= border + aside(border)).count()
        };
        cells.list.iter().map(|cell| part(cell.at)).collect()
    }

    /// A room of sixty cells to be shared out; bulbs have room everywhere.
    fn shares<'a>(
        (cells, roots): (&'a Cells, &'a [usize]),
        targets: Vec<f64>,
        usual: f64,
    ) -> Shares<'a> {
        Shares { cells, roots, bad_tips: &[0; 60], targets, usual }
    }

    fn tube_of(cells: &Cells, owners: &Owners) -> Vec<f64> {
        let mut sizes = vec![0.0; 5];
        for (cell, &owner) in cells.list.iter().zip(owners) {
            sizes[owner] += cell.tube;
        }
        sizes
    }

    #[test]
    fn parts_one_cell_wide_hand_floor_on_and_a_step_in_their_borders_goes() {
        let cells = Cells::of_room(20, 12);
        assert_eq!(cells.list.len(), 60);
        let straight = side_by_side(&cells, 9);
        let roots = [0, 3, 4, 5, 9].map(|column| cells.at(column, 0).unwrap());
        let targets = tube_of(&cells, &straight);
        // In units of a third of a cell, so that sizes weigh more than borders cut short.
        let usual = cells.list[0].tube / 3.0;
        let shares = shares((&cells, &roots), targets.clone(), usual);
        let mut owners = side_by_side(&cells, 4);
        let most_off = |owners: &Owners| {
            let off = tube_of(&cells, owners).into_iter().zip(&targets);
            off.map(|(tube, target)| (tube - target).abs()).fold(0.0, f64::max)
        };
        assert!(most_off(&owners) > cells.list[0].tube);
        // As cold as can be: nothing is taken that makes the division worse.
        let effort = (20_000, 0.0, Pushing::Late);
        anneal(&shares, &mut owners, effort, &mut Dice::new(5), &Cancel::new()).unwrap();
        assert!(most_off(&owners) < usual, "{owners:?}");
        let first = |owners: &Owners| owners.iter().map(|&owner| owner == 0).collect::<Vec<_>>();
        assert_eq!(first(&owners), first(&straight), "{owners:?}");
    }

    #[test]
    fn parts_stay_whole_and_sizes_are_kept_up_while_cells_are_handed_on() {
        let cells = Cells::of_room(20, 12);
        let roots = [0, 3, 4, 5, 9].map(|column| cells.at(column, 0).unwrap());
        let all: f64 = cells.list.iter().map(|cell| cell.tube).sum();
        let usual = cells.list[0].tube;
        let targets = vec![all / 5.0; 5];
        let shares = shares((&cells, &roots), targets.clone(), usual);
        for seed in 0..20 {
            let mut owners = side_by_side(&cells, 4);
            let effort = (4_000, 1.0, Pushing::Late);
            anneal(&shares, &mut owners, effort, &mut Dice::new(seed), &Cancel::new()).unwrap();
            Table::new(&shares, &owners).assert_whole(&owners);
            let off = tube_of(&cells, &owners).into_iter().zip(&targets);
            let most = off.map(|(tube, target)| (tube - target).abs()).fold(0.0, f64::max);
            assert!(most < 3.5 * usual, "seed {seed}: {most}");
        }
    }
}
