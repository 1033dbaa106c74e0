//! The rate book. The program ships no market prices: rates are zero until people write them.

use crate::units::{Cents, Length};
use serde::{Deserialize, Serialize};

/// Rates and how they become a bid.
#[derive(Clone, Debug, Default, PartialEq, Serialize, Deserialize)]
#[serde(default, deny_unknown_fields)]
pub struct Prices {
    /// A rate for each quantity that is priced.
    pub rates: Vec<Rate>,
    /// Lines that are no quantity of the takeoff: mobilising, permits, pump.
    pub extras: Vec<Extra>,
    /// Overhead as a share of cost.
    pub overhead: f64,
    /// Margin as a share of cost with overhead.
    pub margin: f64,
    /// Tax as a share of the whole.
    pub tax: f64,
    /// What the bid leaves out, in words.
    pub exclusions: Vec<String>,
    /// Other ways to build it, priced beside this one.
    pub alternates: Vec<Alternate>,
    /// Bids as they were given out, oldest first.
    pub versions: Vec<BidVersion>,
}

/// A bid as it was given out: it stays as it was when the job changes.
#[derive(Clone, Debug, Default, PartialEq, Serialize, Deserialize)]
#[serde(default, deny_unknown_fields)]
pub struct BidVersion {
    /// When, YYYY-MM-DD.
    pub date: String,
    /// What was new.
    pub note: String,
    /// What the customer was asked.
    pub total: Cents,
}

/// A rate for one quantity of the takeoff.
#[derive(Clone, Debug, Default, PartialEq, Serialize, Deserialize)]
#[serde(default, deny_unknown_fields)]
pub struct Rate {
    /// The quantity's key in the takeoff, such as `concrete.order`.
    pub item: String,
    /// Price of one unit of it.
    pub rate: Cents,
}

/// A line with its own quantity.
#[derive(Clone, Debug, Default, PartialEq, Serialize, Deserialize)]
#[serde(default, deny_unknown_fields)]
pub struct Extra {
    /// What it is.
    pub name: String,
    /// How many.
    pub quantity: f64,
    /// Of what: hour, lump, trip.
    pub unit: String,
    /// Price of one.
    pub rate: Cents,
}

/// Another way to build the same slab.
#[derive(Clone, Debug, Default, PartialEq, Serialize, Deserialize)]
#[serde(default, deny_unknown_fields)]
pub struct Alternate {
    /// What it is called.
    pub name: String,
    /// Floor thickness instead.
    pub floor_thickness: Option<Length>,
    /// Thickness of the first foam layer instead.
    pub foam_thickness: Option<Length>,
    /// Tube spacing in every zone instead.
    pub tube_spacing: Option<Length>,
    /// Fibre instead of steel in the floor, pounds per cubic yard.
    pub fibre_instead_of_steel: Option<f64>,
    /// Rates that hold in this alternate in place of the job's own, or besides them: thicker
    /// boards cost more.
    pub rates: Vec<Rate>,
}
