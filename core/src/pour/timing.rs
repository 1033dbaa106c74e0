//! The clock of pour day: trucks by the crew's rate, how long a live edge waits, evaporation.

use super::Pour;
use crate::facts::weather::{LIVE_EDGE_MINUTES_AT_70_F, Readings, evaporation, setting_factor};
use crate::job::pour::{LoadSplit, PourPlan};

/// Fills in intervals, trucks and times. A truck is unloaded as fast as the crew places it.
pub(super) fn time(pour: &mut Pour, plan: &PourPlan) {
    pour.evaporation = evaporation_of(plan);
    if plan.placing_rate <= 0.0 || pour.loads_yd3.is_empty() {
        return;
    }
    let minutes = |yards: f64| 60.0 * yards / plan.placing_rate;
    pour.placing_minutes = minutes(pour.order_yd3);
    let load = match plan.load_split {
        LoadSplit::FullThenRest => plan.truck_yd3.max(0.0),
        LoadSplit::Even => pour.loads_yd3.iter().copied().fold(0.0, f64::max),
    };
    pour.truck_interval_minutes = minutes(load);
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
    pour.truck_minutes = truck_minutes(&pour.loads_yd3, plan);
    let way = plan.round_trip_minutes.max(0.0) / 2.0;
    // A truck that comes on time waits for none; only its own unloading adds to its age.
    pour.longest_age_minutes =
        pour.truck_minutes.iter().map(|[from, to]| way + to - from).fold(0.0, f64::max);
}

/// When each truck starts and ends unloading. With fewer trucks than the crew needs each comes
/// again a round trip after it came: the crew waits.
fn truck_minutes(loads: &[f64], plan: &PourPlan) -> Vec<[f64; 2]> {
    let given = usize::try_from(plan.trucks_given).unwrap_or(usize::MAX);
    let mut times: Vec<[f64; 2]> = Vec::with_capacity(loads.len());
    for (place, load) in loads.iter().enumerate() {
        let free = times.last().map_or(0.0, |last| last[1]);
        let back = match place.checked_sub(given) {
            Some(earlier) if given > 0 => {
                times.get(earlier).map_or(0.0, |round| round[0] + plan.round_trip_minutes.max(0.0))
            }
            _ => 0.0,
        };
        let from = free.max(back);
        times.push([from, from + 60.0 * load / plan.placing_rate]);
    }
    times
}

/// Minutes from the first truck when so many yards are placed.
fn minutes_at(pour: &Pour, yards: f64) -> f64 {
    let mut brought = 0.0;
    for ([from, to], load) in pour.truck_minutes.iter().zip(&pour.loads_yd3) {
        if yards <= brought + load {
            return from + (to - from) * ((yards - brought) / load.max(1e-12)).clamp(0.0, 1.0);
        }
        brought += load;
    }
    pour.truck_minutes.last().map_or(0.0, |last| last[1])
}

/// Fills in how long the edge of a screed strip waits until the strip beside it is placed against
/// all of it. Every strip is placed from the same end, so each place of an edge waits as long as
/// its own strip takes, with what the crew waits for trucks.
pub(super) fn live_edge(
    pour: &mut Pour,
    plan: &PourPlan,
    (from, to): (f64, f64),
    brought: &dyn Fn(f64) -> f64,
) {
    let factor = setting_factor(plan.weather.concrete_f);
    let (careful, most) = LIVE_EDGE_MINUTES_AT_70_F;
    pour.live_edge_limits = (careful * factor, most * factor);
    let width = plan.screed_strip.to_inches();
    if width <= 0.0 || plan.placing_rate <= 0.0 || (to - from) / width > super::MOST_STRIPS {
        return;
    }
    let (mut at, mut before, mut strip) = (from, 0.0, 0);
    // The last strip's far edge is the form: nothing is placed against it.
    while at + width < to - crate::geometry::tolerance::SAME_POINT_IN {
        at += width;
        let now = minutes_at(pour, brought(at));
        if now - before > pour.live_edge_minutes {
            (pour.live_edge_minutes, pour.live_edge_strip) = (now - before, strip);
        }
        (before, strip) = (now, strip + 1);
    }
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
