//! A floor laid again from other throws of the dice.
//!
//! How a division and its trees turn out is chance to a degree: of two layouts of one fan one may be
//! twice as uneven as the other, or leave a strip bare that the other serves. Where a fan came out a
//! little worse than it should, the same fan is laid again, before more circuits or other axes are;
//! and where it leaves floor bare, or takes many bends, the best of a few is kept.

use super::care::{self, Measure};
use super::{ALL_SERVED, Found, MOST_LAID, MUCH_CUT_OFF, Zone, fans};
use crate::effort::{Budget, Cancelled};
use crate::tube::route::Work;
use crate::tube::view::View;

/// How often a layout is made again.
const MOST_AGAIN: u64 = 3;
/// So many more layouts are made where floor is bare or bends are many, and no more than make so many
/// cells together.
const MOST_BETTER: usize = 3;
const CELLS_BETTERED: usize = 6_000;
/// Other axes are tried that serve at least such a share of what those that were laid serve, so many.
const AS_MUCH: f64 = 0.985;
const OTHER_AXES: usize = 1;
/// Circuits more uneven than this are laid again.
const UNEVEN: f64 = 0.1;
/// Where they are more uneven than this, their fan is at fault, not chance.
const FAR_TOO_UNEVEN: f64 = 0.25;

/// The best of the fans divided, with other throws of the dice: to be laid after all those as they
/// are. None on a large floor, on which chance evens out.
pub fn throws<'a>(best: Option<&Work<'a>>) -> Vec<Work<'a>> {
    let Some(best) = best.filter(|best| !best.is_large()) else { return Vec::new() };
    (1..MOST_LAID as u64).map(|again| best.thrown_again(again)).collect()
}

/// The best among a first layout, others of its fan, and those of the fans that were not laid: where
/// the first is a little too uneven, or leaves floor out of reach, or has a circuit over the limit;
/// then where it leaves floor bare or takes many bends.
///
/// # Errors
/// [`Cancelled`] when nobody waits for it any more.
pub fn laid_again<'a>(
    zone: &'a Zone,
    views: &'a [View],
    first: Found<'a>,
    others: Vec<Work<'a>>,
    search: &mut Budget,
) -> Result<Found<'a>, Cancelled> {
    let mut best = first;
    let Some(divided) = best.divided.take().filter(|work| !work.is_large()) else {
        return Ok(best);
    };
    for again in 1..=MOST_AGAIN {
        if !is_chance(&best) {
            break;
        }
        let mut work = divided.thrown_again(MOST_LAID as u64 + again);
        if let Some(found) = laid(zone, &mut work, best.count, search)?
            && found.rank < best.rank
        {
            best = found;
        }
    }
    bettered(zone, views, best, (&divided, others), search)
}

/// The best among a layout and a few more by the floor that each leaves bare and its bends, on a
/// floor too large to be laid with care: some of other fans, then some of its own.
fn bettered<'a>(
    zone: &'a Zone,
    views: &'a [View],
    first: Found<'a>,
    (divided, others): (&Work<'a>, Vec<Work<'a>>),
    search: &mut Budget,
) -> Result<Found<'a>, Cancelled> {
    let cells = divided.size();
    if cells <= care::MOST_CELLS || search.is_spent() {
        return Ok(first);
    }
    let Some(measure) = Measure::new(zone) else { return Ok(first) };
    let mut best = zone.filled(first);
    let (mut cost, mut is_enough) = measure.cost(&best);
    let throws = (1..).map(|again| divided.thrown_again(2 * MOST_LAID as u64 + again));
    let along_others = if is_enough {
        Vec::new()
    } else {
        along_other_axes(zone, views, (divided, best.count), search)?
    };
    let most = along_others.len() + (CELLS_BETTERED / cells).min(MOST_BETTER);
    for mut work in along_others.into_iter().chain(others).chain(throws).take(most) {
        if is_enough {
            break;
        }
        let Some(found) = laid(zone, &mut work, best.count, search)? else { continue };
        let found = zone.filled(found);
        let (found_cost, serves_well) = measure.cost(&found);
        // Floor left out of reach is told of: no share of a per cent is worth that.
        let reaches = found.layout.too_far.is_none() || best.layout.too_far.is_some();
        if found.rank.0 <= best.rank.0 && found_cost < cost && reaches {
            (cost, is_enough, best) = (found_cost, serves_well, found);
        }
    }
    Ok(best)
}

/// The best fan along each other set of axes that serves about as much.
fn along_other_axes<'a>(
    zone: &'a Zone,
    views: &'a [View],
    (divided, count): (&Work<'a>, usize),
    search: &mut Budget,
) -> Result<Vec<Work<'a>>, Cancelled> {
    let own = divided.view();
    let least = AS_MUCH * own.served.min(ALL_SERVED);
    let is_like = |view: &&View| view.frame != own.frame && view.served > least;
    let mut found = Vec::new();
    for view in views.iter().filter(is_like).take(OTHER_AXES) {
        let fans = fans(view, zone.ports, zone.asked(count), zone.rules, search)?;
        found.extend(fans.into_iter().next());
    }
    Ok(found)
}

/// A division laid, where all its circuits have room for their bends.
fn laid<'a>(
    zone: &Zone,
    work: &mut Work,
    count: usize,
    search: &mut Budget,
) -> Result<Option<Found<'a>>, Cancelled> {
    let layout = work.settle(search.cancel())?;
    search.spend(work.steps());
    Ok(layout.stuck().is_empty().then(|| zone.judged(layout, count)))
}

/// Whether a layout may well come out better from other throws of the dice.
fn is_chance(found: &Found) -> bool {
    let layout = &found.layout;
    let is_wanting = found.rank.0 > 0 || layout.imbalance > UNEVEN || layout.cut_off > MUCH_CUT_OFF;
    is_wanting && layout.imbalance < FAR_TOO_UNEVEN
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::effort::Cancel;
    use crate::geometry::{Point, Polygon, Vector};
    use crate::tube::clear_area::ClearArea;
    use crate::tube::ports::PortLine;
    use crate::tube::rules::Rules;
    use crate::tube::zone::views;

    const RULES: Rules = Rules::half_inch(12.0);
    const COUNT: usize = 3;

    fn area() -> ClearArea {
        let floor = vec![Polygon::rectangle(Point::ORIGIN, Point::new(300.0, 240.0))];
        ClearArea::of_empty(floor)
    }

    fn zone(area: &ClearArea) -> Zone<'_> {
        let ports =
            PortLine { at: Point::new(150.0, 0.0), along: Vector::new(1.0, 0.0), spacing: 3.0 };
        let floor = area.heated.iter().map(Polygon::area).sum();
        Zone { area, ports, rules: &RULES, wanted: None, floor }
    }

    /// How uneven what is found is where a first layout of the room came out so uneven.
    fn laid_again_from(imbalance: f64) -> f64 {
        let area = area();
        let zone = zone(&area);
        let views = views(&area, zone.ports, &RULES);
        let mut budget = Budget::new(10_000_000, Cancel::new());
        let asked = zone.asked(COUNT);
        let work = fans(&views[0], zone.ports, asked, &RULES, &mut budget).unwrap().remove(0);
        let layout = work.clone().settle(&Cancel::new()).unwrap();
        let as_laid = zone.judged(layout, COUNT);
        assert!(as_laid.layout.imbalance < UNEVEN, "{}", as_laid.layout.imbalance);
        let mut first = Found { divided: Some(work), ..as_laid };
        (first.layout.imbalance, first.rank.1) = (imbalance, 10.0);
        let found = laid_again(&zone, &views, first, Vec::new(), &mut budget).unwrap();
        assert_eq!(found.layout.circuits.len(), COUNT);
        found.layout.imbalance
    }

    #[test]
    fn circuits_a_little_unlike_are_laid_again_from_other_throws() {
        let imbalance = laid_again_from(0.15);
        assert!(imbalance < UNEVEN, "{imbalance}");
    }

    #[test]
    fn what_is_even_or_far_from_it_stays_as_it_is() {
        for imbalance in [0.05, 0.4] {
            assert_eq!(laid_again_from(imbalance).to_bits(), imbalance.to_bits());
        }
    }

    #[test]
    fn a_floor_with_splayed_lanes_is_tried_along_plain_axes_too() {
        let corners = [(0.0, 0.0), (420.0, -24.0), (400.0, 330.0), (30.0, 310.0)];
        let corners = corners.map(|(x, y)| Point::new(x, y)).to_vec();
        let area = ClearArea::of_empty(vec![Polygon::new(corners, Vec::new())]);
        let zone = zone(&area);
        let views = views(&area, zone.ports, &RULES);
        let mut budget = Budget::new(10_000_000, Cancel::new());
        let works = fans(&views[0], zone.ports, zone.asked(COUNT), &RULES, &mut budget).unwrap();
        let others = along_other_axes(&zone, &views, (&works[0], COUNT), &mut budget).unwrap();
        assert!(views[0].frame.is_splayed() && others.len() == OTHER_AXES);
        for other in others {
            assert!(!other.view().frame.is_splayed());
        }
    }

    #[test]
    fn throws_divide_a_floor_in_other_ways() {
        let area = area();
        let zone = zone(&area);
        let views = views(&area, zone.ports, &RULES);
        let mut budget = Budget::new(10_000_000, Cancel::new());
        let works = fans(&views[0], zone.ports, zone.asked(COUNT), &RULES, &mut budget).unwrap();
        let again = throws(works.first());
        assert_eq!(again.len() + 1, MOST_LAID);
        let bends = |work: &Work| work.clone().settle(&Cancel::new()).unwrap().bends;
        let mut all: Vec<f64> = again.iter().chain(works.first()).map(bends).collect();
        all.sort_by(f64::total_cmp);
        all.dedup();
        assert!(all.len() > 1, "{all:?}");
        assert!(throws(None).is_empty());
    }
}
