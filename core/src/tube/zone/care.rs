//! Small floors laid with care: several layouts are made, and the one is kept that leaves the least
//! floor bare, its pockets filled, and takes the fewest bends.
//!
//! On a floor of a few hundred square feet every pocket that a lane misses counts, and lanes fitted
//! another way, or trees bettered from other throws of the dice, serve a few per cent of it more or
//! less. Trees of few cells are bettered in no time, so many can be tried there.

use super::{Found, MOST_LAID, Zone, fans};
use crate::effort::{Budget, Cancelled};
use crate::geometry::Polygon;
use crate::tube::cover::{Cover, Samples};
use crate::tube::route::Layout;
use crate::tube::view::{Fit, View};

/// A floor of more cells than this is not laid again.
pub(super) const MOST_CELLS: usize = 420;
/// Work on trees in laying a floor again, in cells bettered from anew.
const MOST_WORK: f64 = 5_000.0;
/// What trying its fans may take of a budget.
const MOST_TRIED: u64 = 40_000;
/// What making a layout costs beside the work on its trees, the same.
const WORK_BESIDE: f64 = 20.0;
/// So many layouts without a better one among them are enough.
const PATIENCE: usize = 50;
/// Other ways that lanes are fitted: so that what stands in the floor lies between them, and
/// closer.
const FITS: [Fit; 2] = [Fit { pitch: 1.0, post_cost: 1.0 }, Fit { pitch: 0.98, post_cost: 2.0 }];
/// Shares of the floor within half the spacing of tube, and within three quarters of it, that need
/// no better.
const SERVED_WELL: (f64, f64) = (0.97, 0.995);
/// And so many right angles in 100 ft of tube are many.
const MANY_BENDS: f64 = 16.0;
/// What floor costs that lies farther away, each share: a strip that stays cold matters more than one
/// that is a little cooler.
const BARE_COSTS: (f64, f64) = (7.0, 15.0);
/// What too much tube costs.
const TOO_FULL_COST: f64 = 0.5;
/// What a right angle in every 100 ft of tube costs.
const BEND_COST: f64 = 0.04;
/// Samples along a spacing.
const SAMPLES: f64 = 5.0;

/// The best layout among a first one and others of as many circuits.
///
/// # Errors
/// [`Cancelled`] when nobody waits for it any more.
pub fn laid_with_care<'a>(
    zone: &Zone,
    views: &[View],
    first: Found<'a>,
    search: &Budget,
) -> Result<Found<'a>, Cancelled> {
    let most = views.iter().map(|view| view.cells.list.len()).max().unwrap_or(0);
    if first.rank.0 > 0 || most > MOST_CELLS || search.is_spent() {
        return Ok(first);
    }
    let Some(measure) = Measure::new(zone) else { return Ok(first) };
    let mut best = zone.filled(first);
    let (mut cost, mut is_enough) = measure.cost(&best);
    if is_enough {
        return Ok(best);
    }
    // What the search for a layout has left says nothing of how well a small one can be bettered, and
    // care takes nothing of it: a floor is not said to be cut short because it was laid with care.
    let budget = &mut Budget::new(MOST_TRIED, search.cancel().clone());
    let fitted_anew = fitted_anew(zone, views);
    let mut works = Vec::new();
    for view in views.iter().chain(&fitted_anew) {
        let found = fans(view, zone.ports, zone.asked(best.count), zone.rules, budget)?;
        works.extend(found.into_iter().take(MOST_LAID));
    }
    let (mut work_done, mut waited) = (0.0, 0);
    for again in 1..=u64::MAX {
        for work in &works {
            if is_enough || work_done > MOST_WORK || waited > PATIENCE {
                return Ok(best);
            }
            let mut work = work.thrown_again(again);
            let layout = work.settle(search.cancel())?;
            work_done += work.work_done + WORK_BESIDE;
            let found = zone.filled(zone.judged(layout, best.count));
            let (found_cost, serves_well) = measure.cost(&found);
            waited += 1;
            // Floor left out of reach is told of: no share of a per cent is worth that.
            let reaches = found.layout.too_far.is_none() || best.layout.too_far.is_some();
            if found.rank.0 == 0 && found_cost < cost && reaches {
                (cost, is_enough, best, waited) = (found_cost, serves_well, found, 0);
            }
        }
        if works.is_empty() {
            break;
        }
    }
    Ok(best)
}

/// The floor along the axes of each view with its lanes fitted in other ways.
fn fitted_anew(zone: &Zone, views: &[View]) -> Vec<View> {
    let each_way = |view: &View| {
        FITS.map(|fit| View::fitted(zone.area, view.frame, zone.rules, fit)).into_iter().flatten()
    };
    views.iter().flat_map(each_way).collect()
}

/// How much of a floor layouts serve.
pub(super) struct Measure<'z> {
    samples: Samples,
    spacing: f64,
    zone: &'z Zone<'z>,
}

impl<'z> Measure<'z> {
    pub(super) fn new(zone: &'z Zone<'z>) -> Option<Self> {
        let spacing = zone.rules.tube_spacing();
        let heated: &[Polygon] = &zone.area.heated;
        Some(Self { samples: Samples::new(heated, spacing / SAMPLES, spacing)?, spacing, zone })
    }

    fn cover(&self, layout: &Layout) -> Cover {
        let mut samples = self.samples.clone();
        for found in &layout.circuits {
            samples.lay(&found.path);
        }
        samples.cover(self.spacing)
    }

    /// The share of the floor that lies farther than three quarters of the spacing from tube.
    pub(super) fn bare(&self, layout: &Layout) -> f64 {
        1.0 - self.cover(layout).three_quarters
    }

    /// What a layout costs, bends and floor that is bare by measure instead of by the length of tube, and
    /// whether it needs no better.
    pub(super) fn cost(&self, found: &Found) -> (f64, bool) {
        let cover = self.cover(&found.layout);
        let bends = bends_in_100_ft(&found.layout);
        let cost = found.rank.1 - super::BARE_COST * found.bare.max(0.0)
            + BARE_COSTS.0 * (1.0 - cover.half)
            + BARE_COSTS.1 * (1.0 - cover.three_quarters)
            + BEND_COST * bends
            + if self.zone.is_too_full(found) { TOO_FULL_COST } else { 0.0 };
        let serves_well = cover.half >= SERVED_WELL.0 && cover.three_quarters >= SERVED_WELL.1;
        (cost, serves_well && bends < MANY_BENDS && found.is_good())
    }
}

/// Right angles in 100 ft of a layout's tube.
fn bends_in_100_ft(layout: &Layout) -> f64 {
    const HUNDRED_FEET_IN: f64 = 1_200.0;
    let tube: f64 = layout.circuits.iter().map(|circuit| circuit.length).sum();
    HUNDRED_FEET_IN * layout.bends / tube.max(1.0)
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::effort::Cancel;
    use crate::geometry::clip::difference;
    use crate::geometry::offset::inset;
    use crate::geometry::{Point, Vector};
    use crate::tube::clear_area::ClearArea;
    use crate::tube::ports::PortLine;
    use crate::tube::rules::Rules;
    use crate::tube::zone::views;

    #[test]
    fn a_small_floor_with_pipes_is_served_no_worse_and_as_soundly() {
        let corners = [(0.0, 0.0), (190.0, 0.0), (214.0, 170.0), (-20.0, 158.0)];
        let corners = corners.map(|(x, y)| Point::new(x, y)).to_vec();
        let floor = [Polygon::new(corners, Vec::new())];
        let pipes = [(40.0, 52.0), (92.0, 101.0), (97.0, 30.0), (151.0, 77.0), (60.0, 130.0)];
        let post = |(x, y): (f64, f64)| {
            Polygon::rectangle(Point::new(x - 7.0, y - 7.0), Point::new(x + 7.0, y + 7.0))
        };
        let heated = difference(&floor, &pipes.map(post));
        let tube = difference(&inset(&floor, 5.98), &pipes.map(post));
        let area = ClearArea {
            lanes: tube.clone(),
            open: difference(&inset(&floor, -6.0), &pipes.map(post)),
            tube,
            heated,
            served: 0.0,
            floor: floor.to_vec(),
        };
        let rules = Rules::half_inch(12.0);
        let along = Vector::new(1.0, 0.0);
        let ports = PortLine { at: Point::new(90.0, 0.0), along, spacing: 3.0 };
        let ground: f64 = area.heated.iter().map(Polygon::area).sum();
        let zone = Zone { area: &area, ports, rules: &rules, wanted: None, floor: ground };
        let views = views(&area, ports, &rules);
        let mut budget = Budget::new(600_000, Cancel::new());
        let lay = |budget: &mut Budget| {
            let plain = views.iter().find(|view| !view.frame.is_splayed()).unwrap();
            let mut work = fans(plain, ports, zone.asked(1), &rules, budget).unwrap().remove(0);
            zone.judged(work.settle(budget.cancel()).unwrap(), 1)
        };
        let measure = Measure::new(&zone).unwrap();
        let first = lay(&mut budget);
        let before = measure.cost(&first).0;
        let best = laid_with_care(&zone, &views, first, &budget).unwrap();
        assert!(measure.cost(&best).0 < before, "{} {before}", measure.cost(&best).0);
        assert_eq!((best.rank.0, best.layout.circuits.len()), (0, 1));
    }
}
