//! The order: net, allowance, rounding up, truckloads, and what is left to order on the day.

use super::Pour;
use super::placed::Placed;
use crate::job::Job;
use crate::job::pour::{LoadSplit, PourPlan};
use crate::units::Volume;

/// More loads than this are not listed: a truck of next to nothing was typed in.
const MOST_LOADS: f64 = 2000.0;
/// A hair that is forgiven before a quantity is rounded up, in steps.
const HAIR: f64 = 1e-9;
/// From this share of the slab on, what was placed says more about waste than the plan does.
const TELLING_SHARE: f64 = 0.1;

/// Cubic yards of a number of cubic inches.
pub(super) fn yards(cubic_inches: f64) -> f64 {
    Volume::cubic_inches(cubic_inches).to_cubic_yards()
}

/// Rounded up to whole steps; as it is when the step is none.
pub(super) fn rounded_up(quantity: f64, step: f64) -> f64 {
    if step <= 0.0 || !quantity.is_finite() {
        return quantity.max(0.0);
    }
    (quantity / step - HAIR).ceil().max(0.0) * step
}

/// Full trucks and the remainder, cubic yards each.
pub(super) fn loads(order: f64, truck: f64) -> Vec<f64> {
    if order <= 0.0 {
        return Vec::new();
    }
    if truck <= 0.0 || order / truck > MOST_LOADS {
        return vec![order];
    }
    #[expect(clippy::cast_possible_truncation, reason = "at most MOST_LOADS")]
    #[expect(clippy::cast_sign_loss, reason = "a quotient of two positive numbers")]
    let full = (order / truck + HAIR).floor() as usize;
    let rest = order - full as f64 * truck;
    let mut loads = vec![truck; full];
    if rest > HAIR * truck {
        loads.push(rest);
    }
    loads
}

/// As many trucks as full loads would take, with loads that differ by a step at the most, larger
/// ones first; a rest below the step goes with the first.
pub(super) fn even_loads(order: f64, truck: f64, step: f64) -> Vec<f64> {
    let count = loads(order, truck).len();
    if count < 2 || step <= 0.0 {
        return if count < 2 { loads(order, truck) } else { vec![order / count as f64; count] };
    }
    let steps = (order / step + HAIR).floor();
    let each = (steps / count as f64).floor();
    let more = steps - each * count as f64;
    let mut even: Vec<f64> = (0..count)
        .map(|place| if (place as f64) < more { (each + 1.0) * step } else { each * step })
        .collect();
    let rest = order - steps * step;
    if let Some(first) = even.first_mut().filter(|_| rest > HAIR * step) {
        *first += rest;
    }
    // A truck that the even loads would overfill: the step is too coarse, so full loads stay.
    if even.iter().any(|&load| load > truck * (1.0 + HAIR)) { loads(order, truck) } else { even }
}

/// Fills in net, allowance, order and loads.
pub(super) fn order(pour: &mut Pour, plan: &PourPlan, net: f64, low_ground: f64) {
    pour.net_yd3 = yards(net);
    pour.allowance_yd3 = pour.net_yd3 * plan.allowance.max(0.0) + yards(low_ground);
    pour.order_yd3 = rounded_up(pour.net_yd3 + pour.allowance_yd3, plan.order_step_yd3);
    pour.even_loads_yd3 = even_loads(pour.order_yd3, plan.truck_yd3, plan.order_step_yd3);
    pour.loads_yd3 = match plan.load_split {
        LoadSplit::FullThenRest => loads(pour.order_yd3, plan.truck_yd3),
        LoadSplit::Even => pour.even_loads_yd3.clone(),
    };
}

/// What is still to be ordered after the tickets typed in: with a place reached, by what the slab
/// took up to there; without one, the order less the tickets.
pub(super) fn still_to_order(job: &Job, pour: &Pour, placed: &Placed) -> Option<f64> {
    let tickets = &job.pour.tickets;
    if tickets.is_empty() {
        return None;
    }
    let delivered: f64 = tickets.iter().map(|ticket| ticket.yards.max(0.0)).sum();
    let mut by_then = 0.0;
    let mut reached: Option<(f64, f64)> = None;
    for ticket in tickets {
        by_then += ticket.yards.max(0.0);
        if let Some(place) = ticket.reached.filter(|place| place.is_finite()) {
            reached = Some((by_then, placed.before(placed.along(place))));
        }
    }
    let needed = match reached {
        None => pour.order_yd3 - delivered,
        Some((used, done)) => {
            let total = placed.total();
            // A slab never takes less than its own volume; early on the plan's allowance holds.
            let factor = if done > TELLING_SHARE * total {
                (used / yards(done)).max(1.0)
            } else {
                1.0 + job.pour.allowance.max(0.0)
            };
            let on_the_way = delivered - used;
            yards(total - done) * factor - on_the_way
        }
    };
    Some(rounded_up(needed.max(0.0), job.pour.order_step_yd3))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn loads_are_full_trucks_and_a_rest() {
        assert_eq!(loads(38.0, 10.0), vec![10.0, 10.0, 10.0, 8.0]);
        assert_eq!(loads(26.0, 9.5), vec![9.5, 9.5, 7.0]);
        assert_eq!(loads(30.0, 10.0), vec![10.0; 3]);
        assert_eq!(loads(0.0, 10.0), Vec::<f64>::new());
        assert_eq!(loads(5.0, 0.0), vec![5.0]);
    }

    #[test]
    fn even_loads_add_up_and_differ_by_a_step() {
        assert_eq!(even_loads(19.25, 9.0, 0.25), vec![6.5, 6.5, 6.25]);
        assert_eq!(even_loads(20.0, 10.0, 0.25), vec![10.0, 10.0]);
        assert_eq!(even_loads(7.0, 10.0, 0.25), vec![7.0]);
        assert_eq!(even_loads(20.1, 10.0, 0.0), vec![6.7, 6.7, 6.7]);
        for order in [10.25, 11.0, 38.0, 41.5, 99.75] {
            let loads = even_loads(order, 10.0, 0.25);
            assert!((loads.iter().sum::<f64>() - order).abs() < 1e-9);
            let most = loads.iter().copied().fold(0.0, f64::max);
            let least = loads.iter().copied().fold(f64::MAX, f64::min);
            assert!(most <= 10.0 && most - least <= 0.25 + 1e-9, "{loads:?}");
        }
    }

    #[test]
    fn orders_are_rounded_up_and_exact_steps_stay() {
        assert_eq!(rounded_up(10.01, 0.25), 10.25);
        assert_eq!(rounded_up(10.25, 0.25), 10.25);
        assert_eq!(rounded_up(10.1, 0.0), 10.1);
    }
}
