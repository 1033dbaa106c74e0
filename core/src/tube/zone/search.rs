//! Fans that are tried on a floor: plain ones, through necks, led through arms, as wide as an arm;
//! the most even divisions among them are laid.

#![expect(
    clippy::indexing_slicing,
    reason = "tries are only added, so those from `first` on stay in range"
)]

use super::fan_shapes::{neighbours, shapes, through_necks};
use super::{EVEN_ENOUGH, FULL, MOST_LAID, led, wide};
use crate::effort::{Budget, Cancelled};
use crate::geometry::Point;
use crate::tube::demand::by_demand;
use crate::tube::fan::{FanShape, Wing};
use crate::tube::ports::PortLine;
use crate::tube::route::{Work, cut_up, roots_of, try_fan};
use crate::tube::rules::Rules;
use crate::tube::view::View;

/// Fans divided for each line of ports at each step of the search.
const MOST_FANS: [usize; 3] = [8, 6, 14];
/// The same on a large floor.
const FEW_FANS: [usize; 3] = [4, 1, 2];
/// How often the best way through a neck is changed a little.
const NECK_ROUNDS: usize = 3;
/// Where a fan is this even at a first look, no other line of ports is looked at.
const WORTH_SETTLING: f64 = 0.15;
/// Divisions made with care.
const MOST_DIVIDED: usize = 6;
/// Leaders that are more than this share of all tube are worth another look.
const MUCH_LEADER: f64 = 0.16;
/// Lines of ports beside the manifold from which leaders may be led on.
const MOST_ASIDE: usize = 6;
/// What it costs to see that a fan has no room.
const FAN_WITHOUT_ROOM: u64 = 1;
/// Fans by demand divided for each line of ports, and on a large floor.
const MOST_BY_DEMAND: usize = 4;
const FEW_BY_DEMAND: usize = 2;
/// How much more even a fan by demand must be, since its bus takes more tube and floor.
const LONG_BUS_COST: f64 = 0.1;
/// What leaders cost, as the share of all tube that they are.
const LEADER_COST: f64 = 1.0;
/// What it costs that circuits are longer than the limit, as a share of all tube.
const OVERLONG_COST: f64 = 4.0;
/// What circuits cost that are longer in the mean than they are planned, as a share of the limit.
pub(super) const OVERFULL_COST: f64 = 4.0;

/// How many circuits are asked for.
#[derive(Clone, Copy, Debug)]
pub(super) struct Asked {
    /// So many ports.
    pub(super) count: usize,
    /// At least so many of them in use.
    pub(super) fewest: usize,
    /// No longer than this in the mean, as a share of the limit.
    pub(super) fullest: f64,
}

/// The most even divisions among the fans that fit, the best first.
pub(super) fn fans<'a>(
    view: &'a View,
    ports: PortLine,
    asked: Asked,
    rules: &'a Rules,
    budget: &mut Budget,
) -> Result<Vec<Work<'a>>, Cancelled> {
    let Asked { count, fullest, .. } = asked;
    // The tree of every circuit has a cell of its own.
    if view.cells.list.len() < count {
        return Ok(Vec::new());
    }
    let depth = count as f64 * rules.spacing + 24.0;
    let mut tries: Vec<Try> = Vec::new();
    let lines = ports.places(&view.frame, &view.ground(), 2 * count, depth);
    for line in &lines {
        search_fans(view, line, rules, &mut tries, budget)?;
        if !tries.is_empty() && tries.iter().all(|found| found.work.fullness() > fullest) {
            return Ok(Vec::new());
        }
        let is_even = tries.iter().any(|found| found.badness < WORTH_SETTLING);
        if is_even || budget.is_spent() {
            break;
        }
    }
    let ground = view.ground();
    if tries.is_empty() {
        for line in ports.places_aside(&view.frame, &ground, 2 * count) {
            search_fans(view, &line, rules, &mut tries, budget)?;
            if !tries.is_empty() || budget.is_spent() {
                break;
            }
        }
    }
    if tries.is_empty() {
        for line in ports.places_split(&view.frame, &ground, 2 * count, depth) {
            search_fans(view, &line, rules, &mut tries, budget)?;
            if !tries.is_empty() || budget.is_spent() {
                break;
            }
        }
    }
    let is_even = |tries: &[Try<'_>]| tries.iter().any(|found| found.badness < WORTH_SETTLING);
    if let Some(line) = lines.first().filter(|_| !view.is_large() && !is_even(&tries)) {
        search_necks(view, line, rules, &mut tries, budget)?;
    }
    let is_fine =
        |found: &Try| found.badness < WORTH_SETTLING && found.work.leader_share() < MUCH_LEADER;
    if !view.is_large() && !tries.iter().any(is_fine) {
        let aside = ports.places_aside(&view.frame, &ground, 2 * count);
        let aside = aside.enumerate().filter(|(nth, _)| nth % 4 > 1).map(|(_, line)| line);
        for line in lines.iter().cloned().chain(aside.take(MOST_ASIDE)) {
            let before = tries.len();
            led::search_mouths(view, &line, rules, &mut tries, budget)?;
            if tries.len() > before || budget.is_spent() {
                break;
            }
        }
    }
    if !view.is_large() {
        for line in &lines {
            if is_even(&tries) || budget.is_spent() {
                break;
            }
            wide::search_wide(view, line, (rules, asked.fewest), &mut tries, budget)?;
        }
    }
    let by_rank = |a: &Try, b: &Try| a.rank().total_cmp(&b.rank());
    tries.sort_by(by_rank);
    // Shapes that differ in words only give the same fan.
    tries.dedup_by(|a, b| a.badness.to_bits() == b.badness.to_bits());
    tries.truncate(if view.is_large() { MOST_LAID } else { MOST_DIVIDED });
    // What a first look says of evenness changes with a careful one.
    for found in &mut tries {
        found.work.divide_well(budget.cancel())?;
        found.badness = found.work.badness();
    }
    let mut fed = Vec::new();
    for found in &tries {
        fed.extend(without_starved(found, asked, budget)?);
    }
    tries.append(&mut fed);
    tries.sort_by(by_rank);
    Ok(tries.into_iter().take(MOST_DIVIDED).map(|found| found.work).collect())
}

/// The same fan without circuits that are too short to be worth their ports, where the others have
/// room for their floor.
fn without_starved<'a>(
    found: &Try<'a>,
    asked: Asked,
    budget: &mut Budget,
) -> Result<Option<Try<'a>>, Cancelled> {
    let Some(mut work) = found.work.without_starved(asked.fewest, budget.cancel())? else {
        return Ok(None);
    };
    budget.spend(work.looked_at());
    work.divide_well(budget.cancel())?;
    let Try { shape, is_led, .. } = found;
    Ok(Some(Try { badness: work.badness(), shape: shape.clone(), is_led: *is_led, work }))
}

/// A fan as divided.
pub(super) struct Try<'a> {
    pub(super) badness: f64,
    pub(super) shape: FanShape,
    /// A part of its circuits is led on to where the floor opens; the shape is that of the rest.
    pub(super) is_led: bool,
    pub(super) work: Work<'a>,
}

impl Try<'_> {
    /// Lower is better: a short bus before a long one that is not much more even.
    pub(super) fn rank(&self) -> f64 {
        let is_long = matches!(self.shape.left, Wing::InRows(_));
        let long_bus = if is_long { LONG_BUS_COST } else { 0.0 };
        let over = if self.is_led { (self.work.fullness() - FULL).max(0.0) } else { 0.0 };
        self.badness
            + LEADER_COST * self.work.leader_share()
            + long_bus
            + OVERFULL_COST * over
            + OVERLONG_COST * self.work.overlong()
    }
}

/// Tries fans on one line of ports: first how many circuits go to each hand, then for the best of
/// those how they leave the bus, then how far it runs before they do.
fn search_fans<'a>(
    view: &'a View,
    line: &[Point],
    rules: &'a Rules,
    tries: &mut Vec<Try<'a>>,
    budget: &mut Budget,
) -> Result<(), Cancelled> {
    let count = line.len() / 2;
    let first = tries.len();
    let most = if view.is_large() { FEW_FANS } else { MOST_FANS };
    for (step, most) in most.into_iter().enumerate() {
        let before = tries.len();
        let best = tries[first..].iter().min_by(|a, b| a.badness.total_cmp(&b.badness));
        let around = best.map(|best| best.shape.clone());
        for shape in shapes(count, step, around.as_ref()) {
            let known = tries[first..].iter().map(|found| found.badness);
            if known.fold(f64::INFINITY, f64::min) < EVEN_ENOUGH {
                return Ok(());
            }
            if budget.is_spent() {
                return Ok(());
            }
            if tries.len() >= before + most {
                break;
            }
            if tries[first..].iter().any(|found| found.shape == shape) {
                continue;
            }
            let Some(found) = tried(view, line, shape, rules, budget)? else { continue };
            tries.push(found);
        }
    }
    // Where none is even, some arm of the floor has more circuits than work, or fewer.
    if tries[first..].iter().any(|found| found.badness < WORTH_SETTLING) {
        return Ok(());
    }
    let most = if view.is_large() { FEW_BY_DEMAND } else { MOST_BY_DEMAND };
    let mut fitted = 0;
    for shape in by_demand(&view.ground(), &view.cells, line) {
        if budget.is_spent() {
            break;
        }
        let Some(found) = tried(view, line, shape, rules, budget)? else { continue };
        fitted += 1;
        let is_even = found.badness < WORTH_SETTLING;
        tries.push(found);
        if is_even || fitted == most {
            break;
        }
    }
    Ok(())
}

/// Fans whose leaders run along the wall through a neck beside the ports before they spread: first
/// how far and how many, then round the best of them.
fn search_necks<'a>(
    view: &'a View,
    line: &[Point],
    rules: &'a Rules,
    tries: &mut Vec<Try<'a>>,
    budget: &mut Budget,
) -> Result<(), Cancelled> {
    let count = line.len() / 2;
    let first = tries.len();
    for shape in through_necks(count) {
        if budget.is_spent() {
            return Ok(());
        }
        tries.extend(tried(view, line, shape, rules, budget)?);
    }
    for _ in 0..NECK_ROUNDS {
        let best = tries[first..].iter().min_by(|a, b| a.badness.total_cmp(&b.badness));
        let Some(best) = best.filter(|best| best.badness >= EVEN_ENOUGH) else { break };
        if budget.is_spent() {
            break;
        }
        let before = best.badness;
        for shape in neighbours(&best.shape.clone(), count) {
            if tries[first..].iter().all(|found| found.shape != shape) {
                tries.extend(tried(view, line, shape, rules, budget)?);
            }
        }
        if tries[first..].iter().all(|found| found.badness >= before) {
            break;
        }
    }
    Ok(())
}

/// A fan of this shape as divided; `None` when it does not fit.
pub(super) fn tried<'a>(
    view: &'a View,
    line: &[Point],
    shape: FanShape,
    rules: &'a Rules,
    budget: &mut Budget,
) -> Result<Option<Try<'a>>, Cancelled> {
    budget.spend(FAN_WITHOUT_ROOM);
    let Some(roots) = roots_of(view, line, &shape, rules) else { return Ok(None) };
    let work = try_fan(view, roots, rules, budget.cancel())?;
    budget.spend(work.as_ref().map_or_else(|| cut_up(view), Work::looked_at));
    let Some(work) = work else { return Ok(None) };
    Ok(Some(Try { badness: work.badness(), shape, is_led: false, work }))
}
