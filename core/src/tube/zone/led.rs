//! Fans of which a part is led on to where the floor opens: how many, which way, and how they
//! spread there.

use super::EVEN_ENOUGH;
use super::fan_shapes::neighbours;
use super::search::Try;
use crate::effort::{Budget, Cancelled};
use crate::geometry::Point;
use crate::tube::fan::{FanShape, Root, Wing};
use crate::tube::mouth::{Arm, Lead, LedShape, Staying};
use crate::tube::route::{have_ways_out, try_fan};
use crate::tube::rules::Rules;
use crate::tube::view::View;

/// Fans that are divided at the far end of each bundle at a first look.
const FIRST_BEYOND: usize = 2;
/// Bundles that are looked at with other fans.
const MOST_KEPT: usize = 3;
/// How often the best of those are changed a little.
const ROUNDS: usize = 3;
/// Floors cut up into cells and divisions of one, for all bundles from a line of ports at a first
/// look, and for the best of them.
const MOST_LOOKS: u64 = 240;
const MOST_CHANGES: u64 = 240;

/// What a look costs on any floor beside a step for each of its cells, and what it costs to make the
/// ground of the ways to the mouths.
const LOOK: u64 = 200;
const GROUND_MADE: u64 = 500;
/// A floor of fewer cells than this has no arm that a circuit could be led through.
const FEW_CELLS: usize = 60;

/// A fan that is led on in part.
struct Led<'a> {
    lead: Lead,
    shape: LedShape,
    found: Try<'a>,
}

impl Led<'_> {
    fn is_even(&self) -> bool {
        self.found.badness < EVEN_ENOUGH
    }
}

/// Tries bundles to every mouth near the ports: first how many circuits and which way, then round
/// the best of them as many as their tube asks for, and how they spread at either end.
pub(super) fn search_mouths<'a>(
    view: &'a View,
    line: &[Point],
    rules: &'a Rules,
    tries: &mut Vec<Try<'a>>,
    budget: &mut Budget,
) -> Result<(), Cancelled> {
    if line.len() < 4 || view.cells.list.len() < FEW_CELLS {
        return Ok(());
    }
    let arm = &Arm { view, ports: line.to_vec(), rules };
    let mut looks = Looks { left: MOST_LOOKS, budget };
    let mut kept = first_looks(arm, &mut looks)?;
    looks.left = MOST_CHANGES;
    for _ in 0..ROUNDS {
        let before = kept.first().map(|led| led.found.rank());
        let around: Vec<(Lead, LedShape)> =
            kept.iter().map(|led| (led.lead.clone(), led.shape.clone())).collect();
        let others: Vec<(usize, bool)> = kept.iter().filter_map(|led| recount(arm, led)).collect();
        for bundles in others {
            look_at_bundles(arm, bundles, &mut kept, &mut looks)?;
        }
        for (lead, shape) in around {
            changes(arm, (&lead, &shape), &mut kept, &mut looks)?;
        }
        let is_no_better = kept.first().map(|led| led.found.rank()) >= before;
        if is_no_better || looks.are_over() || kept.first().is_some_and(Led::is_even) {
            break;
        }
    }
    tries.extend(kept.into_iter().map(|led| led.found));
    Ok(())
}

/// What may still be looked at.
struct Looks<'b> {
    left: u64,
    budget: &'b mut Budget,
}

impl Looks<'_> {
    /// A floor was cut up, or divided.
    fn take(&mut self, view: &View) {
        self.left = self.left.saturating_sub(1);
        self.budget.spend(LOOK + view.cells.list.len() as u64);
    }

    /// The floor beside a bundle, cut up once for all fans there.
    fn staying(&mut self, arm: &Arm, lead: &Lead) -> Option<Staying> {
        self.take(arm.view);
        arm.staying(lead)
    }

    fn are_over(&self) -> bool {
        self.left == 0 || self.budget.is_spent()
    }
}

/// The best of all bundles, each with the likeliest fans.
fn first_looks<'a>(arm: &Arm<'a>, looks: &mut Looks) -> Result<Vec<Led<'a>>, Cancelled> {
    let count = arm.ports.len() / 2;
    let mut kept: Vec<Led<'a>> = Vec::new();
    for led in led_on(count) {
        for is_left in [true, false] {
            if led == count && !is_left {
                continue;
            }
            look_at_bundles(arm, (led, is_left), &mut kept, looks)?;
            if looks.are_over() {
                return Ok(kept);
            }
        }
    }
    Ok(kept)
}

/// Looks at the bundles of so many circuits to one hand, each with the likeliest fans.
fn look_at_bundles<'a>(
    arm: &Arm<'a>,
    (led, is_left): (usize, bool),
    kept: &mut Vec<Led<'a>>,
    looks: &mut Looks,
) -> Result<(), Cancelled> {
    looks.budget.spend(GROUND_MADE);
    for lead in arm.leads(led, is_left, looks.budget) {
        let Some(staying) = looks.staying(arm, &lead) else { continue };
        for home in home_fans(arm.ports.len() / 2 - led) {
            if looks.are_over() {
                return Ok(());
            }
            keep(kept, first_look(arm, (&lead, &staying), home, looks)?);
        }
    }
    Ok(())
}

/// Keeps the best, the best first.
fn keep<'a>(kept: &mut Vec<Led<'a>>, found: Option<Led<'a>>) {
    let is_new = |found: &Led| {
        let badness = found.found.badness.to_bits();
        kept.iter().all(|led| led.found.badness.to_bits() != badness)
    };
    kept.extend(found.filter(is_new));
    kept.sort_by(|a, b| a.found.rank().total_cmp(&b.found.rank()));
    kept.truncate(MOST_KEPT);
}

/// How many of so many circuits are led on: about half of them first, then more and fewer.
fn led_on(count: usize) -> Vec<usize> {
    let mut counts: Vec<usize> =
        [4, 6, 8, 5, 3, 7, 2].iter().map(|eighths| (count * eighths).div_ceil(8)).collect();
    counts.extend([count.saturating_sub(1), count.saturating_sub(2)]);
    let mut seen = std::collections::BTreeSet::new();
    counts.retain(|&led| led > 0 && seen.insert(led));
    counts
}

/// Fans of the circuits that stay: all to one hand or the other, or half to each.
fn home_fans(count: usize) -> Vec<FanShape> {
    let mut hands = vec![0, count / 2, count];
    hands.dedup();
    let plain = |to_left| FanShape { to_left, left: Wing::Ahead(0), right: Wing::Ahead(0) };
    hands.into_iter().map(plain).collect()
}

fn first_look<'a>(
    arm: &Arm<'a>,
    (lead, staying): (&Lead, &Staying),
    home: FanShape,
    looks: &mut Looks,
) -> Result<Option<Led<'a>>, Cancelled> {
    let Some(roots) = arm.home(staying, &home) else { return Ok(None) };
    looks.take(arm.view);
    let Some(beyond) = arm.beyond(lead, &roots) else { return Ok(None) };
    let mut best: Option<Led<'a>> = None;
    let mut fitted = 0;
    for shape in beyond.shapes() {
        let shape = LedShape { home: home.clone(), beyond: shape };
        let Some(all) = arm.roots(lead, &roots, (&beyond, &shape.beyond)) else { continue };
        let Some(found) = divided(arm, all, &shape, looks)? else { continue };
        fitted += 1;
        if best.as_ref().is_none_or(|best| found.rank() < best.found.rank()) {
            best = Some(Led { lead: lead.clone(), shape, found });
        }
        if fitted == FIRST_BEYOND {
            break;
        }
    }
    Ok(best)
}

/// How many circuits a fan should lead on, and whether to the left, by the tube that those led on and
/// those that stay have now; nothing where that is how many it does.
fn recount(arm: &Arm, led: &Led) -> Option<(usize, bool)> {
    let lengths = led.found.work.lengths();
    let count = arm.ports.len() / 2;
    if lengths.len() != count || led.lead.count() == count {
        return None;
    }
    let tube = |lengths: &[f64]| lengths.iter().sum::<f64>();
    let share = tube(lengths.get(led.lead.circuits())?) / tube(&lengths).max(1.0);
    let wanted = (1..count).min_by(|a, b| {
        let off = |led: &usize| (*led as f64 - share * count as f64).abs();
        off(a).total_cmp(&off(b))
    })?;
    let is_left = led.lead.circuits().start == 0;
    (wanted != led.lead.count()).then_some((wanted, is_left))
}

/// Looks at a bundle with one end spread a little otherwise: first the far end, then the ports.
fn changes<'a>(
    arm: &Arm<'a>,
    (lead, shape): (&Lead, &LedShape),
    kept: &mut Vec<Led<'a>>,
    looks: &mut Looks,
) -> Result<(), Cancelled> {
    let Some(staying) = looks.staying(arm, lead) else { return Ok(()) };
    let all_beyond = neighbours(&shape.beyond, lead.count());
    let mut ends = vec![(shape.home.clone(), all_beyond)];
    let at_home = arm.ports.len() / 2 - lead.count();
    if at_home > 0 {
        let homes = neighbours(&shape.home, at_home);
        ends.extend(homes.into_iter().map(|home| (home, vec![shape.beyond.clone()])));
    }
    for (home, all_beyond) in ends {
        if looks.are_over() {
            break;
        }
        let Some(roots) = arm.home(&staying, &home) else { continue };
        looks.take(arm.view);
        let Some(floor) = arm.beyond(lead, &roots) else { continue };
        for beyond in all_beyond {
            let other = LedShape { home: home.clone(), beyond };
            if looks.are_over() || kept.iter().any(|led| led.shape == other) {
                continue;
            }
            let Some(all) = arm.roots(lead, &roots, (&floor, &other.beyond)) else { continue };
            let found = divided(arm, all, &other, looks)?;
            keep(kept, found.map(|found| Led { lead: lead.clone(), shape: other, found }));
        }
    }
    Ok(())
}

/// The floor divided among roots; `None` where one of them is hemmed in.
fn divided<'a>(
    arm: &Arm<'a>,
    roots: Vec<Root>,
    shape: &LedShape,
    looks: &mut Looks,
) -> Result<Option<Try<'a>>, Cancelled> {
    if !have_ways_out(arm.view, &roots) {
        return Ok(None);
    }
    looks.take(arm.view);
    let cancel = looks.budget.cancel();
    let Some(work) = try_fan(arm.view, roots, arm.rules, cancel)? else { return Ok(None) };
    Ok(Some(Try { badness: work.badness(), shape: shape.home.clone(), is_led: true, work }))
}
