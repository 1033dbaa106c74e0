//! Concrete on the ground: least sizes, forms, ordering, mix and placing.
//!
//! The model codes are adopted with changes; the local code and the engineer of record decide.

use super::source::{HowKnown, Source};

/// Least thickness of a dwelling's slab on ground, in.
pub const LEAST_FLOOR_IN: f64 = 3.5;
/// # Source
/// For [`LEAST_FLOOR_IN`].
pub const LEAST_FLOOR_SOURCE: Source =
    Source::new("International Residential Code", "2009 and later", "R506.1", HowKnown::SecondHand);

/// Least footing below undisturbed ground, in, wherever frost does not ask for more.
pub const LEAST_FOOTING_DEPTH_IN: f64 = 12.0;
/// # Source
/// For [`LEAST_FOOTING_DEPTH_IN`] and frost depth.
pub const FOOTING_DEPTH_SOURCE: Source = Source::new(
    "International Residential Code",
    "",
    "R403.1.4, frost R403.1.4.1 and R403.3",
    HowKnown::SecondHand,
);

/// Least width of a footing (of a turned-down edge's flat bottom) by storeys carried, in: frame
/// house on ground of 1,500 psf.
pub const LEAST_FLAT_WIDTH_IN: [(u8, f64); 3] = [(1, 12.0), (2, 15.0), (3, 23.0)];
/// # Source
/// For [`LEAST_FLAT_WIDTH_IN`]. Later editions have finer tables by load and snow.
pub const FLAT_WIDTH_SOURCE: Source = Source::new(
    "International Residential Code",
    "older editions, as adopted by a state",
    "Table R403.1, 1,500 psf",
    HowKnown::SecondHand,
);

/// Largest aggregate as a share of the slab's depth.
pub const AGGREGATE_OF_DEPTH: f64 = 1.0 / 3.0;
/// Largest aggregate as a share of the clear space between bars.
pub const AGGREGATE_OF_BAR_SPACE: f64 = 0.75;
/// # Source
/// For the two shares of aggregate.
pub const AGGREGATE_SOURCE: Source = Source::new(
    "ACI 318",
    "2014 and later",
    "26.4.2.1: a third of a slab's depth, three quarters of the clear space between bars",
    HowKnown::Memory,
);

/// Hardened concrete is this much less than fresh.
pub const FRESH_TO_HARD_LOSS: f64 = 0.02;
/// # Source
/// For [`FRESH_TO_HARD_LOSS`] and the usual allowance of 4 to 10 per cent.
pub const ALLOWANCE_SOURCE: Source = Source::new(
    "NRMCA Concrete in Practice CIP 8",
    "",
    "order 4 to 10 % over plan dimensions",
    HowKnown::SecondHand,
);

/// Dressed lumber: nominal height and true height in inches.
pub const DRESSED_HEIGHTS_IN: [(u8, f64); 5] =
    [(4, 3.5), (6, 5.5), (8, 7.25), (10, 9.25), (12, 11.25)];
/// # Source
/// For [`DRESSED_HEIGHTS_IN`].
pub const DRESSED_SOURCE: Source =
    Source::new("PS 20, American Softwood Lumber Standard", "", "dry sizes", HowKnown::Memory);

/// A vapor retarder thinner than this, in mils, is under the newer code.
pub const LEAST_MEMBRANE_MILS: f64 = 10.0;
/// What older editions ask for, mils.
pub const LEAST_MEMBRANE_MILS_BEFORE_2021: f64 = 6.0;
/// Least lap of vapor retarder, in.
pub const LEAST_MEMBRANE_LAP_IN: f64 = 6.0;
/// # Source
/// For the vapor retarder.
pub const MEMBRANE_SOURCE: Source = Source::new(
    "International Residential Code",
    "2021 (6 mils in 2009 to 2018)",
    "R506.2.3, lap 6 in",
    HowKnown::SecondHand,
);

/// Slump that a way of striking off works with, in, by `StrikeOff` in the order straightedge,
/// vibrating board, roller tube, laser-guided machine.
pub const STRIKE_OFF_SLUMP_IN: [(f64, f64); 4] = [(4.0, 5.0), (3.0, 4.0), (3.0, 5.0), (4.0, 5.5)];
/// # Source
/// For [`STRIKE_OFF_SLUMP_IN`].
pub const STRIKE_OFF_SOURCE: Source = Source::practice("slump by the tool that strikes off");

/// Minutes from batching to the end of discharge.
pub const DISCHARGE_LIMIT_MINUTES: f64 = 90.0;
/// # Source
/// For [`DISCHARGE_LIMIT_MINUTES`]; later editions leave it to purchaser and producer.
pub const DISCHARGE_SOURCE: Source =
    Source::new("ASTM C94/C94M", "to about 2012", "discharge within 1 1/2 h", HowKnown::Memory);
/// Least time that unloading is paid for, minutes for each cubic yard.
pub const UNLOADING_MINUTES_PER_YD3: f64 = 1.0;
/// The live edge stiffens about this many minutes after it was placed, at 70 °F.
pub const LIVE_EDGE_MINUTES: f64 = 45.0;
/// # Source
/// For [`LIVE_EDGE_MINUTES`].
pub const LIVE_EDGE_SOURCE: Source =
    Source::practice("the next truck within 30 to 45 min at 70 °F, sooner in heat");

/// Thickness tolerance of a slab on ground, in: average of samples, any sample.
pub const THICKNESS_TOLERANCE_IN: (f64, f64) = (-0.375, -0.75);
/// # Source
/// For [`THICKNESS_TOLERANCE_IN`].
pub const THICKNESS_SOURCE: Source = Source::new("ACI 117", "2010", "4.5.4", HowKnown::SecondHand);
