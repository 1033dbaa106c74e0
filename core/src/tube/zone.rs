//! A zone on its manifold: tries axes, numbers of circuits and fans, and keeps the best.

#![expect(clippy::indexing_slicing, reason = "at least one number of circuits is tried")]

mod again;
mod care;
mod fan_shapes;
mod led;
mod search;
mod wide;
mod wider;

use super::clear_area::ClearArea;
use super::fill::filled;
use super::frame::Frame;
use super::ports::{PortLine, side_directions};
use super::route::{Layout, Work, rank_against};
use super::rules::Rules;
use super::splay::askew;
use super::tree::Look;
use super::view::View;
use crate::effort::{Budget, Cancelled};
use crate::geometry::{Point, Polygon};
use search::{Asked, fans};

/// A layout this even needs no better.
const EVEN_ENOUGH: f64 = 0.08;
/// Circuits more uneven than this are worth more work, and a longer search.
pub const UNEVEN: f64 = 0.15;
/// How full circuits are planned, as a share of the limit.
const FULL: f64 = 0.965;
/// Divisions of a fan laid out in full, beside those that some circuit had no room for its bends in.
const MOST_LAID: usize = 3;
/// A fan that divides so much worse than one that was laid out is not laid out.
const MUCH_WORSE: f64 = 0.1;
/// Work on trees after which the best layout so far is taken, in cells bettered from anew, and
/// after which the search ends without any.
const MUCH_WORK: f64 = 22_000.0;
const MOST_WORK: f64 = 3.0 * MUCH_WORK;
/// What it costs to look at a floor in one set of axes, and for each place where a cell might be.
const VIEW_MADE: u64 = 500;
const CELL_LOOKED_AT: u64 = 4;
/// What floor without tube costs, and a circuit over the least number and one.
const BARE_COST: f64 = 4.0;
const OVER_COST: f64 = 2.0;
/// A layout that costs more is laid only where no other is found: most of a circuit is missing.
const POOR_COST: f64 = 3.0;
/// What floor costs that leaders cut off, beside that it makes a layout worse by itself: long
/// leaders hide in the length of all tube what is bare.
const CUT_OFF_COST: f64 = 10.0;
/// More tube than this over what the floor asks for is leaders, and what that costs.
const MUCH_FULL: f64 = 0.05;
const FULL_COST: f64 = 4.0;
/// More than this is too much on any floor but a small one, square inches: filling pockets adds a
/// little to it.
const MOST_FULL: f64 = 0.073;
const SMALL: f64 = 400.0 * 144.0;
/// A layout that leaves this share of the floor out of reach is not good.
const MUCH_CUT_OFF: f64 = 0.015;
/// With less tube than this for its floor, or more by this, other axes are tried: long leaders.
const MUCH_BARE: f64 = 0.03;
const TOO_FULL: f64 = 0.07;
/// What cells serve is but estimated: more than all of the floor says nothing.
const ALL_SERVED: f64 = 1.0;
/// Splayed lanes must leave walls less askew than this, as a share of how they stand in the best
/// of plain axes, and so many lanes fewer that end along them.
const LESS_ASKEW: f64 = 0.85;
const LANES_SAVED: f64 = 1.0;
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
    let mut best: Option<Found<'_>> = None;
    let mut work_done = 0.0;
    // Divided as well as the one that was good, and not laid.
    let mut others: Vec<Work<'_>> = Vec::new();
    // The least badness of what was laid out soundly.
    let mut least_bad = f64::INFINITY;
    for view in &views {
        // On a large floor a circuit more or less changes little; and where more of them did not
        // help along the first axes, they do not along others.
        let most = best.as_ref().filter(|best| best.rank.0 == 0).map(|best| best.count);
        let counts = if view.is_large() { &counts[..1] } else { &counts[..] };
        let is_worth = |count: &usize| most.is_none_or(|most| *count <= most);
        let counts: Vec<usize> = counts.iter().copied().filter(is_worth).collect();
        'counts: for &count in &counts {
            // Circuits longer than the limit in the mean are drawn back where no more may be laid.
            let fullest = if Some(&count) == counts.last() { f64::INFINITY } else { 1.0 };
            let asked = Asked { fullest, ..zone.asked(count) };
            let mut laid = 0;
            let divided = fans(view, ports, asked, rules, budget)?;
            let again = again::throws(divided.first());
            // Where only a circuit too many makes a good fan, that may do with one less.
            let with_less = match divided.first().filter(|_| zone.is_over(count)) {
                Some(best) => best.with_one_less(budget.cancel())?,
                None => None,
            };
            budget.spend(with_less.as_ref().map_or(0, Work::looked_at));
            let mut queue = with_less.into_iter().chain(divided).chain(again);
            while let Some(mut work) = queue.next() {
                if laid == MOST_LAID {
                    break;
                }
                let badness = work.badness();
                if badness > least_bad + MUCH_WORSE {
                    continue;
                }
                let divided = work.clone();
                let mut layout = work.settle(budget.cancel())?;
                let is_stuck = !layout.stuck().is_empty();
                laid += usize::from(!is_stuck);
                work_done += work.work_done;
                budget.spend(work.steps());
                if is_stuck {
                    let (other, more) = laid_anew(&work, &layout, wanted.is_none(), budget)?;
                    work_done += more;
                    layout = other.unwrap_or(layout);
                }
                let is_over = zone.is_over(layout.circuits.len());
                let mut found = zone.judged(layout, count);
                found.divided = Some(divided).filter(|_| !is_stuck);
                if found.rank.0 == 0 {
                    least_bad = least_bad.min(badness);
                }
                let is_good = found.is_good() && !is_over;
                if best.as_ref().is_none_or(|best| found.rank < best.rank) {
                    best = Some(found);
                }
                let is_enough = best.as_ref().is_some_and(Found::is_enough);
                if is_good
                    || budget.is_spent()
                    || work_done > if is_enough { MUCH_WORK } else { MOST_WORK }
                {
                    others = if is_good { queue.collect() } else { Vec::new() };
                    break 'counts;
                }
            }
        }
        if best.as_ref().is_some_and(|best| {
            best.is_good()
                && (-TOO_FULL..MUCH_BARE).contains(&best.bare)
                && !zone.is_over(best.layout.circuits.len())
                || best.is_enough() && work_done > MUCH_WORK
                || work_done > MOST_WORK
        }) || budget.is_spent()
        {
            break;
        }
    }
    let Some(best) = best else { return Ok(None) };
    let best = again::laid_again(&zone, &views, best, others, budget)?;
    let wider = wider::views(&zone, &views, &best);
    let best = wider::laid_wider(&zone, wider.as_ref(), best, budget.cancel())?;
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
    /// So many ports, all of them in use only where the user asked for so many.
    fn asked(&self, count: usize) -> Asked {
        let fewest = if self.wanted.is_some() { count } else { 1 };
        Asked { count, fewest, fullest: f64::INFINITY }
    }

    /// Whether so many circuits are over the least number and one.
    fn is_over(&self, count: usize) -> bool {
        let bound = (self.floor / self.rules.tube_spacing() / self.rules.limit).ceil();
        self.wanted.is_none() && count as f64 > bound + 1.0
    }

    /// Whether a layout takes too much tube for its floor: on a small one leaders alone may.
    fn is_too_full(&self, found: &Found) -> bool {
        self.floor > SMALL && found.bare < -MOST_FULL
    }

    /// A layout as it ranks.
    fn judged<'a>(&self, layout: Layout, count: usize) -> Found<'a> {
        let tube: f64 = layout.circuits.iter().map(|circuit| circuit.length).sum();
        let bare = 1.0 - tube * self.rules.tube_spacing() / self.floor.max(1.0);
        let (broken, cost) = rank_against(&layout, self.rules.limit);
        let cost = cost
            + BARE_COST * bare.max(0.0)
            + FULL_COST * (-bare - MUCH_FULL).max(0.0)
            + CUT_OFF_COST * layout.cut_off
            + if self.is_over(layout.circuits.len()) { OVER_COST } else { 0.0 };
        Found { rank: (broken, cost), count, bare, layout, divided: None }
    }

    /// A layout with its pockets of bare floor filled, as it ranks then.
    fn filled<'a>(&self, found: Found<'a>) -> Found<'a> {
        let layout = filled(found.layout, self.area, self.rules);
        Found { divided: found.divided, ..self.judged(layout, found.count) }
    }
}

/// A fan laid anew of which some circuits had no room for their bends: without the cells in their
/// way, or without those circuits where it may have fewer. Nothing where neither helps; and the work
/// it took, in cells bettered from anew.
fn laid_anew(
    work: &Work,
    layout: &Layout,
    may_have_fewer: bool,
    budget: &mut Budget,
) -> Result<(Option<Layout>, f64), Cancelled> {
    let places: Vec<Point> = layout.breaches.iter().map(|breach| breach.at()).collect();
    let other = work.with_room_at(&places, budget.cancel())?;
    let (found, first) = laid_unstuck(other, budget)?;
    if found.is_some() || !may_have_fewer {
        return Ok((found, first));
    }
    let other = work.without(&layout.stuck(), budget.cancel())?;
    let (found, second) = laid_unstuck(other, budget)?;
    Ok((found, first + second))
}

/// A fan laid, where all its circuits have room for their bends; and the work it took.
fn laid_unstuck(
    work: Option<Work>,
    budget: &mut Budget,
) -> Result<(Option<Layout>, f64), Cancelled> {
    let Some(mut work) = work else { return Ok((None, 0.0)) };
    budget.spend(work.looked_at());
    work.divide_well(budget.cancel())?;
    let layout = work.settle(budget.cancel())?;
    budget.spend(work.steps());
    Ok((Some(layout).filter(|layout| layout.stuck().is_empty()), work.work_done))
}

/// A layout and how it ranks.
struct Found<'a> {
    rank: (usize, f64),
    /// How many circuits it was divided among.
    count: usize,
    /// Share of the floor that it has too little tube for.
    bare: f64,
    layout: Layout,
    /// The division it was laid from, where that left room for all bends.
    divided: Option<Work<'a>>,
}

impl Found<'_> {
    /// Sound, and no worse than layouts that are worth having.
    fn is_fair(&self) -> bool {
        self.rank.0 == 0 && self.rank.1 < POOR_COST
    }

    /// Fair, and even enough that much more work is not worth it.
    fn is_enough(&self) -> bool {
        self.is_fair() && self.layout.imbalance < UNEVEN
    }

    fn is_good(&self) -> bool {
        let layout = &self.layout;
        self.rank.0 == 0 && layout.imbalance < EVEN_ENOUGH && layout.cut_off < MUCH_CUT_OFF
    }
}

/// Fewest circuits that hold the tube of a floor, at least one.
fn circuits_for(floor: f64, rules: &Rules, leaders: usize) -> usize {
    let tube = floor / rules.tube_spacing() + leaders as f64 * 2.0 * rules.spacing;
    let count = (tube / (FULL * rules.limit)).ceil().clamp(1.0, 10_000.0);
    #[expect(clippy::cast_possible_truncation, clippy::cast_sign_loss, reason = "clamped")]
    let count = count as usize;
    count
}

/// Axes from which lanes splay to follow walls that are askew in all of these; `None` where that
/// leaves them hardly less so.
fn splayed(area: &ClearArea, frames: &[Frame], rules: &Rules) -> Option<Frame> {
    let least = rules.most_splayed();
    let askew = |frame: &Frame| askew(&frame.local_regions(&area.lanes));
    let plain = frames.iter().map(askew).fold(f64::INFINITY, f64::min);
    let splayed = frames.iter().flat_map(|frame| frame.splayed(&area.lanes, least));
    let with_left = splayed.map(|frame| (askew(&frame), frame));
    let (left, frame) = with_left.min_by(|a, b| a.0.total_cmp(&b.0))?;
    let is_worth_it = left < LESS_ASKEW * plain && plain - left > LANES_SAVED * rules.spacing;
    is_worth_it.then_some(frame)
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
    let mut frames = frames(area, ports, rules.look);
    // Two tubes to a lane and runs along one wall need lanes that run side by side.
    if rules.pair.is_none() && !matches!(rules.look, Look::Along(_)) {
        frames.splice(0..0, splayed(area, &frames, rules));
    }
    let mut views: Vec<View> =
        frames.into_iter().filter_map(|frame| View::new(area, frame, rules)).collect();
    let served = |view: &View| view.served.min(ALL_SERVED);
    views.sort_by(|a, b| served(b).total_cmp(&served(a)));
    views
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::effort::Cancel;
    use crate::geometry::{Point, Vector};

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

    /// A room of four corners, with the manifold in its south wall.
    fn room(corners: [(f64, f64); 4]) -> (ClearArea, PortLine) {
        let corners = corners.map(|(x, y)| Point::new(x, y));
        let along = (corners[1] - corners[0]).unit().unwrap();
        let ports = PortLine { at: corners[0].middle(corners[1]), along, spacing: 3.0 };
        let floor = vec![Polygon::new(corners.to_vec(), Vec::new())];
        (ClearArea::of_empty(floor), ports)
    }

    #[test]
    fn lanes_splay_along_walls_that_are_askew_and_nowhere_else() {
        let is_splayed = |corners, spacing: f64| {
            let (area, ports) = room(corners);
            let views = views(&area, ports, &Rules::half_inch(spacing));
            views.iter().map(|view| view.frame.is_splayed()).collect::<Vec<_>>()
        };
        for spacing in [6.0, 9.0, 12.0] {
            let askew = [(0.0, 0.0), (420.0, -24.0), (400.0, 330.0), (30.0, 310.0)];
            let splayed = is_splayed(askew, spacing);
            assert!(splayed[0] && splayed[1..].iter().all(|is_splayed| !is_splayed), "{splayed:?}");
            let square = [(0.0, 0.0), (420.0, 0.0), (420.0, 310.0), (0.0, 310.0)];
            assert!(is_splayed(square, spacing).iter().all(|is_splayed| !is_splayed));
            // Turned on the sheet it is as square.
            let turned = square.map(|(x, y): (f64, f64)| (0.8 * x - 0.6 * y, 0.6 * x + 0.8 * y));
            assert!(is_splayed(turned, spacing).iter().all(|is_splayed| !is_splayed));
        }
    }

    #[test]
    fn splayed_lanes_leave_less_floor_bare() {
        let (area, ports) = room([(0.0, 0.0), (420.0, -24.0), (400.0, 330.0), (30.0, 310.0)]);
        let floor = area.heated.iter().map(Polygon::area).sum();
        for spacing in [6.0, 12.0] {
            let rules = Rules::half_inch(spacing);
            let zone = Zone { area: &area, ports, rules: &rules, wanted: None, floor };
            let count = circuits_for(floor, &rules, 0);
            let views = views(&area, ports, &rules);
            let laid = views.iter().take(2).map(|view| {
                let mut budget = Budget::new(100_000_000, Cancel::new());
                let works = fans(view, ports, zone.asked(count), &rules, &mut budget).unwrap();
                let mut work = works.into_iter().next().unwrap();
                let found = zone.judged(work.settle(&Cancel::new()).unwrap(), count);
                assert_eq!(found.rank.0, 0, "{:?}", found.layout.breaches);
                found
            });
            let laid: Vec<Found> = laid.collect();
            let cost = |found: &Found| care::Measure::new(&zone).unwrap().cost(found).0;
            assert!(cost(&laid[0]) < cost(&laid[1]), "{spacing}");
        }
    }
}
