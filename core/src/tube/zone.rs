//! A zone on its manifold: tries axes, numbers of circuits and fans, and keeps the best.

#![expect(
    clippy::indexing_slicing,
    reason = "tries are only added, so those from `first` on stay in range"
)]

mod care;
mod fan_shapes;
mod led;

use super::clear_area::ClearArea;
use super::demand::by_demand;
use super::fan::{FanShape, Wing};
use super::frame::Frame;
use super::ports::{PortLine, side_directions};
use super::route::{Layout, Work, rank_against, roots_of, try_fan};
use super::rules::Rules;
use super::tree::Look;
use super::view::View;
use crate::effort::{Budget, Cancelled};
use crate::geometry::{Point, Polygon};
use fan_shapes::{neighbours, shapes, through_necks};

/// A layout this even needs no better.
const EVEN_ENOUGH: f64 = 0.08;
/// How full circuits are planned, as a share of the limit.
const FULL: f64 = 0.965;
/// Fans divided for each line of ports at each step of the search.
const MOST_FANS: [usize; 3] = [8, 6, 14];
/// The same on a large floor.
const FEW_FANS: [usize; 3] = [4, 1, 2];
/// How often the best way through a neck is changed a little.
const NECK_ROUNDS: usize = 3;
/// A fan that divides so much worse than one that was laid out is not laid out.
const MUCH_WORSE: f64 = 0.1;
/// Where a fan is this even at a first look, no other line of ports is looked at.
const WORTH_SETTLING: f64 = 0.15;
/// Divisions made with care, and those of them laid out in full.
const MOST_DIVIDED: usize = 6;
const MOST_LAID: usize = 3;
/// Work on trees after which the best layout so far is taken, in cells bettered from anew, and
/// after which the search ends without any.
const MUCH_WORK: f64 = 22_000.0;
const MOST_WORK: f64 = 3.0 * MUCH_WORK;
/// Leaders that are more than this share of all tube are worth another look.
const MUCH_LEADER: f64 = 0.16;
/// Lines of ports beside the manifold from which leaders may be led on.
const MOST_ASIDE: usize = 6;
/// What it costs to look at a floor in one set of axes, and for each place where a cell might be.
const VIEW_MADE: u64 = 500;
const CELL_LOOKED_AT: u64 = 4;
/// What it costs to see that a fan has no room; to divide a floor, and for each of its cells.
const FAN_WITHOUT_ROOM: u64 = 1;
const DIVIDED: u64 = 500;
const CELL_DIVIDED: u64 = 10;
/// Fans by demand divided for each line of ports, and on a large floor.
const MOST_BY_DEMAND: usize = 4;
const FEW_BY_DEMAND: usize = 2;
/// How much more even a fan by demand must be, since its bus takes more tube and floor.
const LONG_BUS_COST: f64 = 0.1;
/// What leaders cost, as the share of all tube that they are.
const LEADER_COST: f64 = 1.0;
/// What circuits cost that are longer in the mean than they are planned, as a share of the limit.
const OVERFULL_COST: f64 = 4.0;
/// What floor without tube costs, and a circuit over the least number and one.
const BARE_COST: f64 = 4.0;
const OVER_COST: f64 = 0.5;
/// A layout that costs more is laid only where no other is found: most of a circuit is missing.
const POOR_COST: f64 = 3.0;
/// What floor costs that leaders cut off, beside that it makes a layout worse by itself: long
/// leaders hide in the length of all tube what is bare.
const CUT_OFF_COST: f64 = 10.0;
/// More tube than this over what the floor asks for is leaders, and what that costs.
const MUCH_FULL: f64 = 0.05;
const FULL_COST: f64 = 4.0;
/// A layout that leaves this share of the floor out of reach is not good.
const MUCH_CUT_OFF: f64 = 0.015;
/// With less tube than this for its floor, or more by this, other axes are tried: long leaders.
const MUCH_BARE: f64 = 0.03;
const TOO_FULL: f64 = 0.07;
/// What cells serve is but estimated: more than all of the floor says nothing.
const ALL_SERVED: f64 = 1.0;
/// Axes tried.
const MOST_FRAMES: usize = 3;

/// The best layout of a zone with the number of circuits it has; `None` when nothing fits.
///
/// # Errors
/// [`Cancelled`] when nobody waits for it any more.
pub fn route_zone(
    area: &ClearArea,
    ports: PortLine,
    rules: &Rules,
    wanted: Option<u32>,
    budget: &mut Budget,
) -> Result<Option<Layout>, Cancelled> {
    // What circuits that lie already serve needs no more tube.
    let floor = area.heated.iter().map(Polygon::area).sum::<f64>() - area.served;
    let least = circuits_for(floor, rules, 0);
    let counts: Vec<usize> = wanted.map_or_else(
        || (least..least + 3).collect(),
        |wanted| vec![usize::try_from(wanted).unwrap_or(1).max(1)],
    );
    let views = views(area, ports, rules);
    for view in &views {
        let (columns, rows) = view.cells.size();
        budget.spend(VIEW_MADE + CELL_LOOKED_AT * (columns * rows) as u64);
    }
    let zone = Zone { area, ports, rules, wanted, floor };
    let mut best: Option<Found> = None;
    let mut work_done = 0.0;
    // The least badness of what was laid out soundly.
    let mut least_bad = f64::INFINITY;
    for view in &views {
        // On a large floor a circuit more or less changes little; and where more of them did not
        // help along the first axes, they do not along others.
        let most = best.as_ref().filter(|best| best.rank.0 == 0).map(|best| best.count);
        let counts = if view.is_large() { &counts[..1] } else { &counts[..] };
        let counts = counts.iter().filter(|&&count| most.is_none_or(|most| count <= most));
        'counts: for &count in counts {
            for mut work in fans(view, ports, count, rules, budget)? {
                let badness = work.badness();
                if badness > least_bad + MUCH_WORSE {
                    continue;
                }
                let layout = work.settle(budget.cancel())?;
                work_done += work.work_done;
                budget.spend(work.steps());
                let found = zone.judged(layout, count);
                let is_over = zone.is_over(count);
                if found.rank.0 == 0 {
                    least_bad = least_bad.min(badness);
                }
                let is_good = found.is_good() && !is_over;
                if best.as_ref().is_none_or(|best| found.rank < best.rank) {
                    best = Some(found);
                }
                let is_enough = best.as_ref().is_some_and(Found::is_fair);
                if is_good
                    || budget.is_spent()
                    || work_done > if is_enough { MUCH_WORK } else { MOST_WORK }
                {
                    break 'counts;
                }
            }
        }
        if best.as_ref().is_some_and(|best| {
            best.is_good() && (-TOO_FULL..MUCH_BARE).contains(&best.bare)
                || best.is_fair() && work_done > MUCH_WORK
                || work_done > MOST_WORK
        }) || budget.is_spent()
        {
            break;
        }
    }
    let Some(best) = best else { return Ok(None) };
    let best = care::laid_with_care(&zone, &views, best, budget)?;
    Ok(Some(best.layout))
}

/// A zone to be laid.
struct Zone<'a> {
    area: &'a ClearArea,
    ports: PortLine,
    rules: &'a Rules,
    wanted: Option<u32>,
    /// Floor that needs tube, square inches.
    floor: f64,
}

impl Zone<'_> {
    /// Whether so many circuits are over the least number and one.
    fn is_over(&self, count: usize) -> bool {
        let bound = (self.floor / self.rules.tube_spacing() / self.rules.limit).ceil();
        self.wanted.is_none() && count as f64 > bound + 1.0
    }

    /// A layout as it ranks.
    fn judged(&self, layout: Layout, count: usize) -> Found {
        let tube: f64 = layout.circuits.iter().map(|circuit| circuit.length).sum();
        let bare = 1.0 - tube * self.rules.tube_spacing() / self.floor.max(1.0);
        let (broken, cost) = rank_against(&layout, self.rules.limit);
        let cost = cost
            + BARE_COST * bare.max(0.0)
            + FULL_COST * (-bare - MUCH_FULL).max(0.0)
            + CUT_OFF_COST * layout.cut_off
            + if self.is_over(count) { OVER_COST } else { 0.0 };
        Found { rank: (broken, cost), count, bare, layout }
    }
}

/// A layout and how it ranks.
struct Found {
    rank: (usize, f64),
    /// How many circuits it was divided among.
    count: usize,
    /// Share of the floor that it has too little tube for.
    bare: f64,
    layout: Layout,
}

impl Found {
    /// Sound, and no worse than layouts that are worth having.
    fn is_fair(&self) -> bool {
        self.rank.0 == 0 && self.rank.1 < POOR_COST
    }

    fn is_good(&self) -> bool {
        let layout = &self.layout;
        self.rank.0 == 0 && layout.imbalance < EVEN_ENOUGH && layout.cut_off < MUCH_CUT_OFF
    }
}

/// The most even divisions among the fans that fit, the best first.
fn fans<'a>(
    view: &'a View,
    ports: PortLine,
    count: usize,
    rules: &'a Rules,
    budget: &mut Budget,
) -> Result<Vec<Work<'a>>, Cancelled> {
    // The tree of every circuit has a cell of its own.
    if view.cells.list.len() < count {
        return Ok(Vec::new());
    }
    let depth = count as f64 * rules.spacing + 24.0;
    let mut tries: Vec<Try> = Vec::new();
    let lines = ports.places(&view.frame, &view.ground(), 2 * count, depth);
    for line in &lines {
        search_fans(view, line, rules, &mut tries, budget)?;
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
    tries.sort_by(by_rank);
    Ok(tries.into_iter().take(MOST_LAID).map(|found| found.work).collect())
}

/// A fan as divided.
struct Try<'a> {
    badness: f64,
    shape: FanShape,
    /// A part of its circuits is led on to where the floor opens; the shape is that of the rest.
    is_led: bool,
    work: Work<'a>,
}

impl Try<'_> {
    /// Lower is better: a short bus before a long one that is not much more even.
    fn rank(&self) -> f64 {
        let is_long = matches!(self.shape.left, Wing::InRows(_));
        let long_bus = if is_long { LONG_BUS_COST } else { 0.0 };
        let over = if self.is_led { (self.work.fullness() - FULL).max(0.0) } else { 0.0 };
        self.badness + LEADER_COST * self.work.leader_share() + long_bus + OVERFULL_COST * over
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
fn tried<'a>(
    view: &'a View,
    line: &[Point],
    shape: FanShape,
    rules: &'a Rules,
    budget: &mut Budget,
) -> Result<Option<Try<'a>>, Cancelled> {
    budget.spend(FAN_WITHOUT_ROOM);
    let Some(roots) = roots_of(view, line, &shape, rules) else { return Ok(None) };
    budget.spend(DIVIDED + CELL_DIVIDED * view.cells.list.len() as u64);
    let Some(work) = try_fan(view, roots, rules, budget.cancel())? else { return Ok(None) };
    Ok(Some(Try { badness: work.badness(), shape, is_led: false, work }))
}

/// Fewest circuits that hold the tube of a floor, at least one.
fn circuits_for(floor: f64, rules: &Rules, leaders: usize) -> usize {
    let tube = floor / rules.tube_spacing() + leaders as f64 * 2.0 * rules.spacing;
    let count = (tube / (FULL * rules.limit)).ceil().clamp(1.0, 10_000.0);
    #[expect(clippy::cast_possible_truncation, clippy::cast_sign_loss, reason = "clamped")]
    let count = count as usize;
    count
}

/// Axes to try; those of the wall alone where runs must lie along one.
fn frames(area: &ClearArea, ports: PortLine, look: Look) -> Vec<Frame> {
    if let Look::Along(step) = look {
        return vec![ports.frame(step.angle())];
    }
    side_directions(&area.floor)
        .into_iter()
        .take(MOST_FRAMES)
        .map(|(angle, _)| ports.frame(angle))
        .collect()
}

/// The floor in each of these axes, in the order in which they are tried: runs lie along the most
/// wall, unless that leaves floor unserved.
fn views(area: &ClearArea, ports: PortLine, rules: &Rules) -> Vec<View> {
    let mut views: Vec<View> = frames(area, ports, rules.look)
        .into_iter()
        .filter_map(|frame| View::new(area, frame, rules))
        .collect();
    let served = |view: &View| view.served.min(ALL_SERVED);
    views.sort_by(|a, b| served(b).total_cmp(&served(a)));
    views
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::geometry::Vector;

    /// A room between two straight walls, whose other two bow out in chords of many directions.
    fn bowed_room(wide: f64, deep: f64, bow: f64) -> Vec<Polygon> {
        let chords = 24;
        let bowed = |step: u32| {
            let along = f64::from(step) / f64::from(chords);
            Point::new(wide * along, 4.0 * bow * along * (1.0 - along))
        };
        let north = (0..=chords).rev().map(bowed).map(|at| Point::new(at.x, deep + at.y));
        let south = (0..=chords).map(bowed).map(|at| Point::new(at.x, -0.4 * at.y));
        vec![Polygon::new(south.chain(north).collect(), Vec::new())]
    }

    #[test]
    fn runs_lie_along_the_straight_walls_of_a_bowed_room() {
        for (wide, deep, bow) in [(600.0, 390.0, 96.0), (420.0, 300.0, 60.0), (640.0, 420.0, 50.0)]
        {
            for spacing in [6.0, 9.0, 12.0] {
                let floor = bowed_room(wide, deep, bow);
                let area = ClearArea::of_empty(floor);
                let rules = Rules::half_inch(spacing);
                let along = Vector::new(1.0, 0.0);
                let at = Point::new(wide / 2.0, -0.4 * bow);
                let ports = PortLine { at, along, spacing: 3.0 };
                let views = views(&area, ports, &rules);
                let first = views.first().unwrap().frame.local_step(along);
                let served: Vec<f64> = views.iter().map(|view| view.served).collect();
                let is_upright = first.x.abs().max(first.y.abs()) > 0.9999;
                assert!(is_upright, "{wide} {spacing}: {first:?} {served:?}");
            }
        }
    }
}
