//! The pour: order, trucks, direction, crew, mix and weather.

use crate::geometry::Point;
use crate::units::Length;
use serde::{Deserialize, Serialize};

/// The plan for pour day.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
#[serde(default, deny_unknown_fields)]
pub struct PourPlan {
    /// Allowance over the net volume, as a share: 0.05 for five per cent.
    pub allowance: f64,
    /// The order is rounded up to this many cubic yards.
    pub order_step_yd3: f64,
    /// What a truck of the plant carries, cubic yards.
    pub truck_yd3: f64,
    /// A last load below this costs extra, cubic yards.
    pub short_load_yd3: f64,
    /// Direction in which the pour moves, degrees counter-clockwise from east.
    pub direction_degrees: f64,
    /// Width of a screed strip.
    pub screed_strip: Length,
    /// How strips are struck off.
    pub strike_off: StrikeOff,
    /// Placing rate of the crew, cubic yards an hour.
    pub placing_rate: f64,
    /// From plant to site and back, with loading and washing, minutes.
    pub round_trip_minutes: f64,
    /// Minutes from batching to the end of discharge.
    pub discharge_limit_minutes: f64,
    /// First truck on site, minutes after midnight; the plan shows no clock times when absent.
    pub start_minutes: Option<f64>,
    /// The mix.
    pub mix: Mix,
    /// Readings on the day.
    pub weather: Weather,
    /// Delivery tickets, typed in on the day.
    pub tickets: Vec<Ticket>,
    /// The day of the pour, YYYY-MM-DD; empty while it is not settled.
    pub date: String,
    /// Days besides Saturdays and Sundays on which nobody works or delivers, YYYY-MM-DD.
    pub days_off: Vec<String>,
    /// How the order is split into truckloads.
    pub load_split: LoadSplit,
    /// Trucks that the plant gives to this pour; 0 for as many as the crew needs.
    pub trucks_given: u32,
}

/// How an order becomes truckloads.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, Serialize, Deserialize)]
pub enum LoadSplit {
    /// Full trucks, and what is left in the last.
    #[default]
    FullThenRest,
    /// As many trucks, with loads as even as the plant's step allows.
    Even,
}

impl Default for PourPlan {
    fn default() -> Self {
        Self {
            allowance: 0.05,
            order_step_yd3: 0.25,
            truck_yd3: 10.0,
            short_load_yd3: 4.0,
            direction_degrees: 0.0,
            screed_strip: Length::feet(12.0),
            strike_off: StrikeOff::default(),
            placing_rate: 20.0,
            round_trip_minutes: 65.0,
            discharge_limit_minutes: 90.0,
            start_minutes: None,
            mix: Mix::default(),
            weather: Weather::default(),
            tickets: Vec::new(),
            date: String::new(),
            days_off: Vec::new(),
            load_split: LoadSplit::default(),
            trucks_given: 0,
        }
    }
}

/// How concrete is struck off.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, Serialize, Deserialize)]
pub enum StrikeOff {
    /// By hand with a straightedge.
    #[default]
    Straightedge,
    /// A vibrating board.
    VibratingBoard,
    /// A roller tube.
    RollerTube,
    /// A laser-guided machine.
    LaserScreed,
}

/// What is ordered.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
#[serde(default, deny_unknown_fields)]
pub struct Mix {
    /// Strength at 28 days, psi.
    pub strength_psi: f64,
    /// Largest aggregate.
    pub aggregate: Length,
    /// Air, per cent.
    pub air_percent: f64,
    /// Slump.
    pub slump: Length,
    /// Admixtures, in words.
    pub admixtures: String,
}

impl Default for Mix {
    fn default() -> Self {
        Self {
            strength_psi: 4000.0,
            aggregate: Length::inches(0.75),
            air_percent: 0.0,
            slump: Length::inches(4.0),
            admixtures: String::new(),
        }
    }
}

/// Readings typed in on the day. Zero humidity means none were taken.
#[derive(Clone, Copy, Debug, PartialEq, Serialize, Deserialize)]
#[serde(default, deny_unknown_fields)]
pub struct Weather {
    /// Air, °F.
    pub air_f: f64,
    /// Concrete, °F.
    pub concrete_f: f64,
    /// Relative humidity, per cent.
    pub humidity_percent: f64,
    /// Wind, miles an hour.
    pub wind_mph: f64,
}

impl Default for Weather {
    fn default() -> Self {
        Self { air_f: 60.0, concrete_f: 65.0, humidity_percent: 0.0, wind_mph: 5.0 }
    }
}

/// A delivery ticket.
#[derive(Clone, Debug, Default, PartialEq, Serialize, Deserialize)]
#[serde(default, deny_unknown_fields)]
pub struct Ticket {
    /// Its number.
    pub number: String,
    /// Yards on it.
    pub yards: f64,
    /// How far the pour had come when the truck was empty.
    pub reached: Option<Point>,
    /// Batched at, minutes after midnight.
    pub batched_minutes: Option<f64>,
}
