//! Floor heating: EN 1264 factor tables, surface limits, surface coefficients, ground and edge
//! loss of slabs.
//!
//! The EN 1264-2 tables were read through a university's open transcription, not in the
//! standard, and checked for smoothness: a typing error there would pass into here.

use super::source::{HowKnown, Source};

/// Tables A.1 to A.7 and the formulas around them.
pub const EN_1264_2_SOURCE: Source = Source::new(
    "EN 1264-2",
    "2008",
    "Annex A, through an open transcription of a university",
    HowKnown::SecondHand,
);

/// Upward surface resistance inside the method, m²·K/W (coefficient 10.8 W/(m²·K)).
pub const SURFACE_RESISTANCE_UP: f64 = 0.0926;
/// Downward surface resistance to a room below, m²·K/W.
pub const SURFACE_RESISTANCE_DOWN: f64 = 0.17;
/// Surface coefficient upward that the section solver uses, W/(m²·K): convection and radiation
/// together, 1.902 Btu/(h·ft²·°F).
pub const SURFACE_COEFFICIENT_UP: f64 = 10.8;

/// Basic characteristic curve: flux is this times the surface excess to the power
/// [`BASIC_EXPONENT`], W/m² with kelvins.
pub const BASIC_FACTOR: f64 = 8.92;
/// See [`BASIC_FACTOR`].
pub const BASIC_EXPONENT: f64 = 1.1;

/// System factor B of type A for a wall of 2 mm at 0.35 W/(m·K), W/(m²·K).
pub const SYSTEM_FACTOR: f64 = 6.7;
/// The reference wall of [`SYSTEM_FACTOR`], m.
pub const REFERENCE_WALL: f64 = 0.002;
/// Conductivity of the reference wall, W/(m·K).
pub const REFERENCE_WALL_CONDUCTIVITY: f64 = 0.35;
/// Reference cover over the tube, m.
pub const REFERENCE_COVER: f64 = 0.045;
/// Covering resistances that the columns of tables A.1 to A.3 stand for, m²·K/W.
pub const COVERING_COLUMNS: [f64; 4] = [0.0, 0.05, 0.10, 0.15];
/// Table A.1: spacing factor by covering resistance.
pub const SPACING_FACTOR: [f64; 4] = [1.23, 1.188, 1.156, 1.134];
/// Spacings that the rows of tables A.2 to A.4 stand for, m.
pub const SPACING_ROWS: [f64; 8] = [0.05, 0.075, 0.10, 0.15, 0.20, 0.225, 0.30, 0.375];
/// Table A.2: cover factor by spacing and covering.
pub const COVER_FACTOR: [[f64; 4]; 8] = [
    [1.069, 1.056, 1.043, 1.037],
    [1.066, 1.053, 1.041, 1.035],
    [1.063, 1.050, 1.039, 1.0335],
    [1.057, 1.046, 1.035, 1.0305],
    [1.051, 1.041, 1.0315, 1.0275],
    [1.048, 1.038, 1.0295, 1.026],
    [1.0395, 1.031, 1.024, 1.021],
    [1.030, 1.0221, 1.0181, 1.015],
];
/// Table A.3: diameter factor by spacing and covering.
pub const DIAMETER_FACTOR: [[f64; 4]; 8] = [
    [1.013, 1.013, 1.012, 1.011],
    [1.021, 1.019, 1.016, 1.014],
    [1.029, 1.025, 1.022, 1.018],
    [1.040, 1.034, 1.029, 1.024],
    [1.046, 1.040, 1.035, 1.030],
    [1.049, 1.043, 1.038, 1.033],
    [1.053, 1.049, 1.044, 1.039],
    [1.056, 1.051, 1.046, 1.042],
];

/// Cover over conductivity, m²·K/W, that the columns of tables A.4 and A.6 stand for.
pub const COVER_RESISTANCE_COLUMNS: [f64; 9] =
    [0.01, 0.0208, 0.0292, 0.0375, 0.0458, 0.0542, 0.0625, 0.0708, 0.0792];
/// Table A.4: limit factor B_G, W/(m²·K), by spacing ([`SPACING_ROWS`]) and cover resistance.
pub const LIMIT_FACTOR: [[f64; 9]; 8] = [
    [85.0, 91.5, 96.8, 100.0, 100.0, 100.0, 100.0, 100.0, 100.0],
    [75.3, 83.5, 89.9, 96.3, 99.5, 100.0, 100.0, 100.0, 100.0],
    [66.0, 75.4, 82.9, 89.3, 95.5, 98.8, 100.0, 100.0, 100.0],
    [51.0, 61.1, 69.2, 76.3, 82.7, 87.5, 91.8, 95.1, 97.8],
    [38.5, 48.2, 56.2, 63.1, 69.1, 74.5, 81.3, 86.4, 90.0],
    [33.0, 42.5, 49.5, 56.5, 62.0, 67.5, 75.3, 81.6, 86.1],
    [20.5, 26.8, 31.6, 36.4, 41.5, 47.5, 57.5, 65.3, 72.4],
    [11.5, 13.7, 15.5, 18.2, 21.5, 27.5, 40.0, 49.1, 58.3],
];
/// Spacings that the rows of table A.6 stand for, m.
pub const LIMIT_EXPONENT_ROWS: [f64; 10] =
    [0.05, 0.075, 0.10, 0.15, 0.20, 0.225, 0.2625, 0.30, 0.3375, 0.375];
/// Table A.6: limit exponent n_G by spacing and cover resistance.
pub const LIMIT_EXPONENT: [[f64; 9]; 10] = [
    [0.008, 0.005, 0.002, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0],
    [0.024, 0.021, 0.018, 0.011, 0.002, 0.0, 0.0, 0.0, 0.0],
    [0.046, 0.043, 0.041, 0.033, 0.014, 0.005, 0.0, 0.0, 0.0],
    [0.088, 0.085, 0.082, 0.076, 0.055, 0.038, 0.024, 0.014, 0.006],
    [0.131, 0.130, 0.129, 0.123, 0.105, 0.083, 0.057, 0.040, 0.028],
    [0.155, 0.154, 0.153, 0.146, 0.130, 0.110, 0.077, 0.056, 0.041],
    [0.197, 0.196, 0.196, 0.190, 0.173, 0.150, 0.110, 0.083, 0.062],
    [0.254, 0.253, 0.253, 0.245, 0.228, 0.195, 0.145, 0.114, 0.086],
    [0.322, 0.321, 0.321, 0.310, 0.293, 0.260, 0.187, 0.148, 0.115],
    [0.422, 0.421, 0.421, 0.405, 0.385, 0.325, 0.230, 0.183, 0.142],
];
/// Above this cover over conductivity, m²·K/W, the limit goes by cover over spacing instead.
pub const THIN_COVER_LIMIT: f64 = 0.0792;
/// Tables A.5 and A.7: cover over spacing, B_G, n_G.
pub const LIMIT_BY_COVER_OVER_SPACING: [[f64; 3]; 13] = [
    [0.173, 27.5, 0.32],
    [0.20, 40.0, 0.23],
    [0.25, 57.5, 0.145],
    [0.30, 69.5, 0.097],
    [0.35, 78.2, 0.067],
    [0.40, 84.4, 0.048],
    [0.45, 88.3, 0.033],
    [0.50, 91.6, 0.023],
    [0.55, 94.0, 0.015],
    [0.60, 96.3, 0.009],
    [0.65, 98.6, 0.005],
    [0.70, 99.8, 0.002],
    [0.75, 100.0, 0.0],
];

/// Warmest floor where people stay, °C.
pub const WARMEST_OCCUPIED_C: f64 = 29.0;
/// Warmest floor in a strip of up to 1 m along outside walls, °C.
pub const WARMEST_EDGE_STRIP_C: f64 = 35.0;
/// Warmest floor in bathrooms, °C (room 24 °C and 9 K).
pub const WARMEST_BATH_C: f64 = 33.0;
/// Where the surface limits come from.
pub const SURFACE_LIMIT_SOURCE: Source =
    Source::new("EN 1264-2", "2008", "surface limits of the zones", HowKnown::Memory);
/// Warmest surface under a wood covering, °F.
pub const WARMEST_WOOD_F: f64 = 85.0;
/// Where [`WARMEST_WOOD_F`] comes from; the covering's maker goes first.
pub const WARMEST_WOOD_SOURCE: Source = Source::new(
    "ASHRAE Handbook, HVAC Systems and Equipment",
    "",
    "panel heating and cooling",
    HowKnown::Memory,
);
/// Least resistance under embedded tube, h·ft²·°F/Btu, with insulation on the slab edges too.
pub const LEAST_R_UNDER_TUBE: f64 = 5.0;
/// Where [`LEAST_R_UNDER_TUBE`] comes from.
pub const LEAST_R_SOURCE: Source =
    Source::new("California Mechanical Code", "", "1217.5", HowKnown::Read);
/// Downward loss as a share of the upward output above which it is worth a word.
pub const DOWNWARD_SHARE_NOTED: f64 = 0.20;
/// Where [`DOWNWARD_SHARE_NOTED`] comes from.
pub const DOWNWARD_SHARE_SOURCE: Source = Source::new(
    "ASHRAE Handbook, HVAC Systems and Equipment",
    "",
    "back and edge loss of 10 to 30 per cent for bare slabs",
    HowKnown::Memory,
);

/// Conductivity of soils, W/(m·K): clay or silt, sand or gravel, rock.
pub const SOIL_CONDUCTIVITY: [(&str, f64); 3] =
    [("clay or silt", 1.5), ("sand or gravel", 2.0), ("rock", 3.5)];
/// Inside surface resistance of a floor in ISO 13370, m²·K/W.
pub const GROUND_SURFACE_INSIDE: f64 = 0.17;
/// Outside surface resistance in ISO 13370, m²·K/W.
pub const GROUND_SURFACE_OUTSIDE: f64 = 0.04;
/// Where the ground-loss constants come from.
pub const ISO_13370_SOURCE: Source =
    Source::new("ISO 13370", "", "slab-on-ground floors", HowKnown::Memory);

/// How a slab is insulated, for its edge-loss factor.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum SlabInsulation {
    /// None.
    None,
    /// Vertical at the edge: depth in ft and R.
    Vertical(f64, f64),
    /// Under all of it and at its edge: R.
    Full(f64),
}

/// One row of edge-loss factors.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct EdgeLossFactor {
    /// The slab is heated.
    pub is_heated: bool,
    /// Its insulation.
    pub insulation: SlabInsulation,
    /// Btu/(h·°F) per foot of exposed perimeter.
    pub factor: f64,
    /// Where the row comes from.
    pub source: Source,
}

const WASHINGTON: Source = Source::new(
    "Washington State Energy Code",
    "",
    "Table A106.1 (6 in slab at grade, soil 0.75 Btu/(h·ft·°F))",
    HowKnown::Read,
);
const NINETY_ONE: Source = Source::new("ASHRAE 90.1", "", "Table A6.3", HowKnown::Memory);

const fn row(
    is_heated: bool,
    insulation: SlabInsulation,
    factor: f64,
    source: Source,
) -> EdgeLossFactor {
    EdgeLossFactor { is_heated, insulation, factor, source }
}

/// Edge-loss factors. Where both documents have a row, the one that was read stands: heated and
/// uninsulated is 0.84 here and 1.35 in the other, and both are in use.
pub const EDGE_LOSS: [EdgeLossFactor; 24] = [
    row(false, SlabInsulation::None, 0.73, WASHINGTON),
    row(false, SlabInsulation::Vertical(2.0, 5.0), 0.58, WASHINGTON),
    row(false, SlabInsulation::Vertical(2.0, 10.0), 0.54, WASHINGTON),
    row(false, SlabInsulation::Vertical(2.0, 15.0), 0.52, WASHINGTON),
    row(false, SlabInsulation::Vertical(4.0, 5.0), 0.54, WASHINGTON),
    row(false, SlabInsulation::Vertical(4.0, 10.0), 0.48, WASHINGTON),
    row(false, SlabInsulation::Vertical(4.0, 15.0), 0.45, WASHINGTON),
    row(false, SlabInsulation::Full(5.0), 0.46, NINETY_ONE),
    row(false, SlabInsulation::Full(10.0), 0.36, WASHINGTON),
    row(false, SlabInsulation::Full(15.0), 0.31, WASHINGTON),
    row(false, SlabInsulation::Full(20.0), 0.26, WASHINGTON),
    row(false, SlabInsulation::Full(30.0), 0.21, WASHINGTON),
    row(true, SlabInsulation::None, 0.84, WASHINGTON),
    row(true, SlabInsulation::Vertical(2.0, 5.0), 0.99, NINETY_ONE),
    row(true, SlabInsulation::Vertical(2.0, 10.0), 0.90, NINETY_ONE),
    row(true, SlabInsulation::Vertical(2.0, 15.0), 0.86, NINETY_ONE),
    row(true, SlabInsulation::Vertical(3.0, 10.0), 0.78, WASHINGTON),
    row(true, SlabInsulation::Vertical(4.0, 10.0), 0.78, NINETY_ONE),
    row(true, SlabInsulation::Vertical(4.0, 15.0), 0.72, NINETY_ONE),
    row(true, SlabInsulation::Full(5.0), 0.74, WASHINGTON),
    row(true, SlabInsulation::Full(10.0), 0.55, WASHINGTON),
    row(true, SlabInsulation::Full(15.0), 0.44, WASHINGTON),
    row(true, SlabInsulation::Full(20.0), 0.39, WASHINGTON),
    row(true, SlabInsulation::Full(30.0), 0.32, WASHINGTON),
];

/// Heated and uninsulated in the other document; see [`EDGE_LOSS`].
pub const HEATED_UNINSULATED_OTHER: EdgeLossFactor =
    row(true, SlabInsulation::None, 1.35, NINETY_ONE);

/// The edge-loss factor of a slab insulated under all of it and at its edge, between the rows
/// by straight lines in 1/factor, which is nearly straight in R; with no R it is the bare slab.
#[must_use]
pub fn edge_loss_full(is_heated: bool, r_value: f64) -> f64 {
    let mut last = (0.0, 0.0);
    for row in EDGE_LOSS.iter().filter(|row| row.is_heated == is_heated) {
        let here = match row.insulation {
            SlabInsulation::None => (0.0, 1.0 / row.factor),
            SlabInsulation::Full(r) => (r, 1.0 / row.factor),
            SlabInsulation::Vertical(..) => continue,
        };
        if r_value <= here.0 {
            let span = here.0 - last.0;
            let share = if span > 0.0 { (r_value.max(0.0) - last.0) / span } else { 1.0 };
            return 1.0 / (last.1 + (here.1 - last.1) * share);
        }
        last = here;
    }
    // Past the last row the loss is held: the edge itself then rules.
    1.0 / last.1
}

/// Value of a table at `x` by straight lines between its columns, held at its ends.
#[must_use]
pub fn interpolate<const N: usize>(columns: &[f64; N], values: &[f64; N], x: f64) -> f64 {
    let mut last: Option<(f64, f64)> = None;
    for (&column, &value) in columns.iter().zip(values) {
        if x <= column {
            return last.map_or(value, |(c, v)| v + (value - v) * (x - c) / (column - c));
        }
        last = Some((column, value));
    }
    last.map_or(0.0, |(_, value)| value)
}

/// Value of a table of `rows` by `columns` at `(y, x)`, bilinear, held at its ends.
#[must_use]
pub fn interpolate_in_table<const R: usize, const C: usize>(
    rows: &[f64; R],
    columns: &[f64; C],
    table: &[[f64; C]; R],
    (y, x): (f64, f64),
) -> f64 {
    let at_x = table.map(|row| interpolate(columns, &row, x));
    interpolate(rows, &at_x, y)
}
