//! The clock of pour day: trucks by the crew's rate, how long a live edge waits, evaporation.

use super::placed::Placed;
use super::{Pour, order};
use crate::facts::weather::{Readings, evaporation};
use crate::job::pour::PourPlan;

/// Fills in intervals, trucks and times. A truck is unloaded as fast as the crew places it.
pub(super) fn time(pour: &mut Pour, plan: &PourPlan, placed: &Placed) {
    pour.evaporation = evaporation_of(plan);
    if plan.placing_rate <= 0.0 || pour.loads_yd3.is_empty() {
        return;
    }
    let minutes = |yards: f64| 60.0 * yards / plan.placing_rate;
    pour.placing_minutes = minutes(pour.order_yd3);
    pour.truck_interval_minutes = minutes(plan.truck_yd3.max(0.0));
    let mut start = 0.0;
    pour.truck_minutes = pour
        .loads_yd3
        .iter()
        .map(|&load| {
            let from = start;
            start += minutes(load);
            [from, start]
        })
        .collect();
    let loads = pour.loads_yd3.len() as f64;
    let rounds = if pour.truck_interval_minutes > 0.0 {
        (plan.round_trip_minutes.max(0.0) / pour.truck_interval_minutes - 1e-9).ceil().max(1.0)
    } else {
        loads
    };
    #[expect(clippy::cast_possible_truncation, reason = "no more than the loads listed")]
    #[expect(clippy::cast_sign_loss, reason = "at least one")]
    let trucks = rounds.min(loads) as u32;
    pour.trucks_needed = trucks;
    pour.live_edge_minutes = longest_strip_minutes(plan, placed);
}

/// How long the edge of a screed strip waits until the next strip is placed against all of it:
/// the strip that takes longest.
fn longest_strip_minutes(plan: &PourPlan, placed: &Placed) -> f64 {
    let width = plan.screed_strip.to_inches();
    let (from, to) = placed.reach();
    if width <= 0.0 || (to - from) / width > super::MOST_STRIPS {
        return 0.0;
    }
    let (mut at, mut before, mut longest) = (from, 0.0, 0.0_f64);
    while at < to {
        at += width;
        let now = placed.before(at.min(to));
        longest = longest.max(now - before);
        before = now;
    }
    60.0 * order::yards(longest) / plan.placing_rate
}

/// Evaporation for the readings; `None` when no humidity was read.
fn evaporation_of(plan: &PourPlan) -> Option<f64> {
    let weather = plan.weather;
    (weather.humidity_percent > 0.0).then(|| {
        evaporation(Readings {
            air_f: weather.air_f,
            concrete_f: weather.concrete_f,
            humidity_percent: weather.humidity_percent,
            wind_mph: weather.wind_mph,
        })
    })
}
