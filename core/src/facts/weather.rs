//! Weather on pour day: evaporation, heat and cold, waiting times.

use super::source::{HowKnown, Source};
use crate::units::exact_math;

/// Readings at the slab. Wind is the average, not the gust, 20 in above the surface.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Readings {
    /// Air, °F.
    pub air_f: f64,
    /// Surface of the concrete, °F.
    pub concrete_f: f64,
    /// Relative humidity, per cent.
    pub humidity_percent: f64,
    /// Wind, miles an hour.
    pub wind_mph: f64,
}

/// Water that evaporates from a wet surface, lb/(ft²·h); none where it would condense. A guide:
/// real rates scatter by 40 % either way. Valid from about 60 to 100 °F.
///
/// # Source
/// [`EVAPORATION_SOURCE`].
#[must_use]
pub fn evaporation(readings: Readings) -> f64 {
    let power = |fahrenheit: f64| exact_math::pow(fahrenheit.max(0.0), 2.5);
    let share = readings.humidity_percent.clamp(0.0, 100.0) / 100.0;
    let drive = power(readings.concrete_f) - share * power(readings.air_f);
    (drive * (1.0 + 0.4 * readings.wind_mph.max(0.0)) * 1e-6).max(0.0)
}
/// # Source
/// For [`evaporation`].
pub const EVAPORATION_SOURCE: Source = Source::new(
    "Uno, Plastic shrinkage cracking and evaporation formulas, ACI Materials Journal 95-M34",
    "1998",
    "°F form",
    HowKnown::SecondHand,
);

/// At this rate plain mixes need protection, lb/(ft²·h).
pub const EVAPORATION_LIMIT: f64 = 0.20;
/// At this rate mixes that bleed little need it, lb/(ft²·h).
pub const EVAPORATION_LIMIT_LOW_BLEED: f64 = 0.10;
/// # Source
/// For the two limits.
pub const EVAPORATION_LIMIT_SOURCE: Source =
    Source::new("ACI 305R", "", "as an ACI answer on evaporation gives it", HowKnown::SecondHand);

/// Air below this is cold weather, °F.
pub const COLD_AIR_F: f64 = 40.0;
/// Concrete of a section under 12 in is placed and held at this at least, °F.
pub const LEAST_CONCRETE_F: f64 = 55.0;
/// # Source
/// For the two limits of cold.
pub const COLD_SOURCE: Source = Source::new("ACI 306R", "2010", "Table 5.1", HowKnown::SecondHand);
/// Concrete at discharge is no hotter than this, °F.
pub const HOTTEST_CONCRETE_F: f64 = 95.0;
/// # Source
/// For [`HOTTEST_CONCRETE_F`].
pub const HOT_SOURCE: Source =
    Source::new("ACI 301 and ACI 305.1", "2020, 2014", "", HowKnown::SecondHand);

/// Hours to set at 70 °F, from and to; a third longer for each 10 °F colder.
pub const SET_HOURS_AT_70_F: (f64, f64) = (4.0, 6.0);
/// # Source
/// For [`SET_HOURS_AT_70_F`].
pub const SET_SOURCE: Source =
    Source::practice("4 to 6 h at 70 °F, about a third longer for each 10 °F colder");

/// Minutes that the edge of placed concrete takes fresh concrete at 70 °F, from and to; longer in
/// the cold as setting is.
pub const LIVE_EDGE_MINUTES_AT_70_F: (f64, f64) = (30.0, 45.0);
/// # Source
/// For [`LIVE_EDGE_MINUTES_AT_70_F`].
pub const LIVE_EDGE_SOURCE: Source =
    Source::practice("30 to 45 min at 70 °F, shorter in heat; 30 min is the handbooks' stop");

/// How much longer setting takes than at 70 °F.
#[must_use]
pub fn setting_factor(concrete_f: f64) -> f64 {
    exact_math::pow(4.0 / 3.0, ((70.0 - concrete_f) / 10.0).clamp(-3.0, 5.0))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn no_wind_and_damp_air_lose_next_to_nothing() {
        let rate = |humidity_percent: f64, wind_mph: f64| {
            evaporation(Readings { air_f: 70.0, concrete_f: 70.0, humidity_percent, wind_mph })
        };
        assert!((rate(70.0, 0.0) - 0.0123).abs() < 0.0001);
        assert_eq!(rate(100.0, 20.0), 0.0);
        assert!((setting_factor(50.0) - 16.0 / 9.0).abs() < 1e-12);
    }
}
