//! Bars, welded wire and fibre.

use super::source::{HowKnown, Source};

/// A bar by its number.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Bar {
    /// Its number: eighths of an inch across.
    pub size: u8,
    /// Across, in.
    pub diameter_in: f64,
    /// Cross-section, in².
    pub area_in2: f64,
    /// Weight, lb/ft.
    pub lb_per_ft: f64,
}

/// The bars, smallest first.
///
/// # Source
/// [`BARS_SOURCE`].
pub const BARS: [Bar; 9] = [
    bar(3, 0.375, 0.11, 0.376),
    bar(4, 0.500, 0.20, 0.668),
    bar(5, 0.625, 0.31, 1.043),
    bar(6, 0.750, 0.44, 1.502),
    bar(7, 0.875, 0.60, 2.044),
    bar(8, 1.000, 0.79, 2.670),
    bar(9, 1.128, 1.00, 3.400),
    bar(10, 1.270, 1.27, 4.303),
    bar(11, 1.410, 1.56, 5.313),
];
/// # Source
/// For [`BARS`].
pub const BARS_SOURCE: Source = Source::new("ASTM A615/A615M", "", "Table 1", HowKnown::SecondHand);

const fn bar(size: u8, diameter_in: f64, area_in2: f64, lb_per_ft: f64) -> Bar {
    Bar { size, diameter_in, area_in2, lb_per_ft }
}

/// The bar of a number; the nearest there is for a number that is none.
#[must_use]
pub fn bar_of_size(size: u8) -> Bar {
    BARS.into_iter().min_by_key(|bar| bar.size.abs_diff(size)).unwrap_or(bar(4, 0.5, 0.2, 0.668))
}

/// Welded wire of 6 by 6 in mesh: W number, lb per 100 ft².
///
/// # Source
/// [`MESH_SOURCE`].
pub const MESH_6X6_LB_PER_100_FT2: [(f64, f64); 6] =
    [(1.4, 21.0), (2.0, 29.0), (2.1, 30.0), (2.9, 42.0), (4.0, 58.0), (5.5, 80.0)];
/// # Source
/// For [`MESH_6X6_LB_PER_100_FT2`]: common stock styles to ASTM A1064.
pub const MESH_SOURCE: Source = Source::new(
    "Wire Reinforcement Institute table of common stock styles",
    "1970s, trade magazine",
    "6x6",
    HowKnown::SecondHand,
);
/// Weight of an inch² by foot of steel, lb.
const LB_PER_IN2_FT: f64 = 3.4;

/// Weight of 6 by 6 in mesh, lb per 100 ft²: from the table, else from the wire's cross-section
/// (tables run 5 to 10 % above that for the edge wires).
#[must_use]
pub fn mesh_lb_per_100_ft2(wire: f64) -> f64 {
    let listed = MESH_6X6_LB_PER_100_FT2.into_iter().find(|(w, _)| (w - wire).abs() < 0.01);
    listed.map_or(2.0 * (wire.max(0.0) * 0.02) * LB_PER_IN2_FT * 100.0, |(_, pounds)| pounds)
}

/// Spacing of the wires of stock mesh, in.
pub const MESH_SPACING_IN: f64 = 6.0;
/// Least lap of mesh, in: one spacing and two inches; never under 6 in for plain wire.
pub const LEAST_MESH_LAP_IN: f64 = 6.0;
/// # Source
/// For the lap of mesh.
pub const MESH_LAP_SOURCE: Source =
    Source::new("ACI 318", "", "lap of plain welded wire", HowKnown::Memory);

/// Usual laps of bars in bar diameters.
pub const BAR_LAP_DIAMETERS: (f64, f64) = (40.0, 48.0);
/// # Source
/// For [`BAR_LAP_DIAMETERS`]; structural laps are the engineer's by ACI 318.
pub const BAR_LAP_SOURCE: Source = Source::practice("laps of 40 to 48 bar diameters");

/// Least cover of bars cast against earth, in; exposed and formed, No. 5 and smaller, in.
pub const LEAST_COVER_IN: (f64, f64) = (3.0, 1.5);
/// # Source
/// For [`LEAST_COVER_IN`].
pub const COVER_SOURCE: Source =
    Source::new("ACI 318", "2014 and later", "Table 20.5.1.3", HowKnown::Memory);

/// Leg of an L-shaped corner bar, in.
pub const CORNER_BAR_LEG_IN: f64 = 24.0;
/// Length of a diagonal bar at an inside corner, in.
pub const DIAGONAL_BAR_IN: f64 = 48.0;
/// The first diagonal bar's distance from the corner, and the next one's from it, in.
pub const DIAGONAL_BAR_OFF_IN: f64 = 2.0;
/// # Source
/// For bars at corners: typical details (ACI 360R shows the diagonal), no code asks for them.
pub const CORNER_BARS_SOURCE: Source =
    Source::practice("corner bars of 24 in legs, diagonals of 4 ft at inside corners");

/// Least dose of synthetic macro fibre, lb/yd³.
pub const LEAST_MACRO_FIBRE_LB_PER_YD3: f64 = 3.0;
/// # Source
/// For [`LEAST_MACRO_FIBRE_LB_PER_YD3`].
pub const FIBRE_SOURCE: Source =
    Source::new("ACI FAQ 926 (ACI 544)", "", "macro fibre 3.0 lb/yd³", HowKnown::Read);
