//! A floor that circuits cannot fill within their limit, laid with its lanes a little wider apart.
//!
//! Where leaders are long and no more circuits are to be had, tube is short: circuits are drawn back
//! to their limit, and what they no longer reach stays bare. An installer spreads what he has. He does
//! so, too, before he lays a circuit over the least number and one, and where leaders and lanes that
//! fit their walls closely take much more tube than the floor asks for.

use super::care::Measure;
use super::{Found, MOST_LAID, Zone, fans};
use crate::effort::{Budget, Cancel, Cancelled};
use crate::tube::view::{Fit, View};

/// So much tube is aimed at, against what the floor asks for, where there is too much.
const AIMED_AT: f64 = 1.07;
/// Tube is short where a circuit is so full, as a share of the limit, and so much of the floor is
/// bare.
const FULL: f64 = 0.985;
const BARE: f64 = 0.01;
/// Lanes stand apart so much more than bare floor alone asks for: leaders do not grow shorter.
const MORE: [f64; 2] = [0.01, 0.035];
/// The widest that lanes are laid, against the spacing asked for: tube is still 0.88 of what the
/// floor asks for.
const WIDEST: f64 = 1.125;
/// What trying fans on lanes so laid may take of a budget of its own.
const MOST_TRIED: u64 = 1_500_000;

/// What is tried with lanes wider apart.
pub struct Wider {
    /// So many circuits.
    count: usize,
    /// The floor in each of its axes with lanes so wide apart that the tube there is serves all of it,
    /// each with how much wider that is.
    views: Vec<(f64, View)>,
}

/// What to try with lanes wider apart; nothing where tube is neither short nor too much, and circuits
/// are not too many.
pub fn views(zone: &Zone, views: &[View], best: &Found) -> Option<Wider> {
    let lengths = || best.layout.circuits.iter().map(|circuit| circuit.length);
    let laid = best.layout.circuits.len();
    let is_over = zone.is_over(laid);
    let is_too_full = zone.is_too_full(best);
    let is_short = || lengths().fold(0.0, f64::max) > FULL * zone.rules.limit;
    if !is_over && !is_too_full && !is_short() {
        return None;
    }
    let bare = Measure::new(zone).map_or(0.0, |measure| measure.bare(&best.layout));
    if !is_over && !is_too_full && bare < BARE {
        return None;
    }
    let count = if is_over { laid - 1 } else { laid };
    // So much of the tube that would serve all floor can be had, or should be laid.
    let most = count as f64 * FULL * zone.rules.limit;
    let had = if is_over { (most / lengths().sum::<f64>()).min(1.0) } else { 1.0 };
    let wanted = if is_too_full { AIMED_AT / (1.0 - best.bare) } else { 1.0 };
    let fitted = |view: &View, more: f64| {
        let pitch = 1.0 / ((1.0 - bare) * had.min(wanted) - more).max(1.0 / WIDEST);
        let fit = Fit { pitch, post_cost: 0.0 };
        Some((pitch - 1.0, View::fitted(zone.area, view.frame, zone.rules, fit)?))
    };
    // On a large floor tube is short but here and there, and laying it takes long.
    let small = views.iter().filter(|view| !view.is_large());
    let views = small.flat_map(|view| MORE.map(|more| fitted(view, more))).flatten().collect();
    Some(Wider { count, views })
}

/// The best among a layout and others with lanes wider apart.
///
/// # Errors
/// [`Cancelled`] when nobody waits for it any more.
pub fn laid_wider<'a>(
    zone: &Zone<'a>,
    wider: Option<&'a Wider>,
    first: Found<'a>,
    cancel: &Cancel,
) -> Result<Found<'a>, Cancelled> {
    let Some(&Wider { count, ref views }) = wider else { return Ok(first) };
    let Some(measure) = Measure::new(zone) else { return Ok(first) };
    // What the search has left says nothing of this: a floor that took long is the one that needs it.
    let budget = &mut Budget::new(MOST_TRIED, cancel.clone());
    let (mut cost, _) = measure.cost(&first);
    let mut best = first;
    for (by, view) in views {
        let divided = fans(view, zone.ports, zone.asked(count), zone.rules, budget)?;
        for mut work in divided.into_iter().take(MOST_LAID) {
            let layout = work.settle(cancel)?;
            budget.spend(work.steps());
            if !layout.stuck().is_empty() {
                continue;
            }
            let mut found = zone.judged(layout, count);
            found.layout.wider_by = *by;
            let (found_cost, _) = measure.cost(&found);
            if found.rank.0 <= best.rank.0 && found_cost < cost {
                (cost, best) = (found_cost, found);
                if best.is_good() && !zone.is_too_full(&best) && measure.bare(&best.layout) < BARE {
                    return Ok(best);
                }
            }
        }
    }
    Ok(best)
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::geometry::{Point, Polygon, Vector};
    use crate::tube::clear_area::ClearArea;
    use crate::tube::ports::PortLine;
    use crate::tube::rules::Rules;

    const RULES: Rules = Rules::half_inch(12.0);

    /// A room so deep laid with two circuits, and then wider where tube is short: the share of it that
    /// is bare both times, and by how much its lanes are wider.
    fn laid_with_two_circuits(deep: f64) -> ([f64; 2], f64) {
        let floor = vec![Polygon::rectangle(Point::ORIGIN, Point::new(300.0, deep))];
        let area = ClearArea::of_empty(floor);
        let ports =
            PortLine { at: Point::new(150.0, 0.0), along: Vector::new(1.0, 0.0), spacing: 3.0 };
        let floor = area.heated.iter().map(Polygon::area).sum();
        let zone = Zone { area: &area, ports, rules: &RULES, wanted: Some(2), floor };
        let plain = super::super::views(&area, ports, &RULES);
        let mut budget = Budget::new(10_000_000, Cancel::new());
        let mut work =
            fans(&plain[0], ports, zone.asked(2), &RULES, &mut budget).unwrap().remove(0);
        let first = zone.judged(work.settle(&Cancel::new()).unwrap(), 2);
        let measure = Measure::new(&zone).unwrap();
        let before = measure.bare(&first.layout);
        let wider = views(&zone, &plain, &first);
        let found = laid_wider(&zone, wider.as_ref(), first, &Cancel::new()).unwrap();
        assert_eq!((found.rank.0, found.layout.circuits.len()), (0, 2));
        assert!(found.layout.circuits.iter().all(|circuit| circuit.length <= RULES.limit));
        ([before, measure.bare(&found.layout)], found.layout.wider_by)
    }

    #[test]
    fn tube_that_is_short_is_spread_over_the_floor() {
        let ([before, after], by) = laid_with_two_circuits(306.0);
        assert!(before > 0.02 && after < 0.4 * before, "{before} {after}");
        assert!(by > 0.0 && by <= 0.125, "{by}");
    }

    #[test]
    fn lanes_stand_as_asked_where_tube_is_enough() {
        let ([before, after], by) = laid_with_two_circuits(270.0);
        assert_eq!((before, by), (after, 0.0));
    }

    #[test]
    fn lanes_stand_wider_before_a_circuit_too_many_is_laid() {
        let floor = vec![Polygon::rectangle(Point::ORIGIN, Point::new(300.0, 140.0))];
        let area = ClearArea::of_empty(floor);
        let ports =
            PortLine { at: Point::new(150.0, 0.0), along: Vector::new(1.0, 0.0), spacing: 3.0 };
        let floor = area.heated.iter().map(Polygon::area).sum();
        let zone = Zone { area: &area, ports, rules: &RULES, wanted: None, floor };
        let plain = super::super::views(&area, ports, &RULES);
        let mut budget = Budget::new(10_000_000, Cancel::new());
        let mut work =
            fans(&plain[0], ports, zone.asked(3), &RULES, &mut budget).unwrap().remove(0);
        let first = zone.judged(work.settle(&Cancel::new()).unwrap(), 3);
        assert!(first.layout.circuits.len() == 3 && zone.is_over(3) && !zone.is_over(2));
        let wider = views(&zone, &plain, &first);
        let found = laid_wider(&zone, wider.as_ref(), first, &Cancel::new()).unwrap();
        assert_eq!((found.rank.0, found.layout.circuits.len()), (0, 2));
        assert!(found.layout.wider_by < WIDEST - 1.0, "{}", found.layout.wider_by);
    }
}
