//! PEX tube of SDR 9: sizes, lengths of circuit, bends, pressures, fastening.
//!
//! Two walls are in use and must not be mixed: published inside diameters go with the least
//! wall, published volumes with the mean wall (least plus half the tolerance). Head is worked
//! out with the mean wall when a design must be safe, with the least wall to agree with tables.

use super::source::{HowKnown, Source};

/// One nominal size of tube.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct TubeDimensions {
    /// Nominal size, in.
    pub nominal_in: f64,
    /// Nominal size as it is written.
    pub name: &'static str,
    /// Outside diameter, in.
    pub outside_in: f64,
    /// Least wall, in.
    pub least_wall_in: f64,
    /// Mean wall, in: what the published volume implies.
    pub mean_wall_in: f64,
    /// Published volume, US gallons per 100 ft.
    pub gallons_per_100_ft: f64,
    /// Weight empty, lb per 100 ft.
    pub pounds_per_100_ft: f64,
    /// Longest circuit in the absence of the maker's figure, ft, leaders included.
    pub longest_circuit_ft: f64,
    /// Longest circuit this program starts a job with, ft, leaders included.
    pub usual_circuit_ft: f64,
}

impl TubeDimensions {
    /// Inside diameter at the least wall, in.
    #[must_use]
    pub fn inside_at_least_wall_in(&self) -> f64 {
        self.outside_in - 2.0 * self.least_wall_in
    }

    /// Inside diameter at the mean wall, in.
    #[must_use]
    pub fn inside_at_mean_wall_in(&self) -> f64 {
        self.outside_in - 2.0 * self.mean_wall_in
    }
}

/// The sizes, smallest first.
///
/// # Source
/// [`DIMENSIONS_SOURCE`]; lengths: [`LONGEST_CIRCUIT_SOURCE`].
pub const SIZES: [TubeDimensions; 5] = [
    size(0.375, "3/8", [0.500, 0.070, 0.075], [0.50, 4.50], [250.0, 200.0]),
    size(0.5, "1/2", [0.625, 0.070, 0.075], [0.92, 5.80], [300.0, 300.0]),
    size(0.625, "5/8", [0.750, 0.083, 0.088], [1.34, 8.38], [400.0, 400.0]),
    size(0.75, "3/4", [0.875, 0.097, 0.102], [1.83, 11.00], [500.0, 500.0]),
    size(1.0, "1", [1.125, 0.125, 0.1315], [3.03, 17.06], [750.0, 750.0]),
];

const fn size(
    nominal_in: f64,
    name: &'static str,
    [outside_in, least_wall_in, mean_wall_in]: [f64; 3],
    [gallons_per_100_ft, pounds_per_100_ft]: [f64; 2],
    [longest_circuit_ft, usual_circuit_ft]: [f64; 2],
) -> TubeDimensions {
    TubeDimensions {
        nominal_in,
        name,
        outside_in,
        least_wall_in,
        mean_wall_in,
        gallons_per_100_ft,
        pounds_per_100_ft,
        longest_circuit_ft,
        usual_circuit_ft,
    }
}

/// Diameters, walls, volumes and weights of [`SIZES`].
pub const DIMENSIONS_SOURCE: Source = Source::new(
    "ASTM F876",
    "",
    "dimension sheet in a county permit file; mean wall computed from the published volume",
    HowKnown::SecondHand,
);

/// Longest circuits of [`SIZES`].
pub const LONGEST_CIRCUIT_SOURCE: Source = Source::new(
    "CSA B214",
    "2012",
    "clause 14.3.2, Table 1, which puts the maker's length first",
    HowKnown::SecondHand,
);

/// Least bend radius in outside diameters, bent cold and with the coil.
pub const LEAST_BEND_DIAMETERS: f64 = 8.0;
/// Where [`LEAST_BEND_DIAMETERS`] comes from; many tubes allow six, some five (common practice).
pub const LEAST_BEND_SOURCE: Source =
    Source::new("ASTM F877 and the plastics pipe handbooks", "", "", HowKnown::Memory);

/// Conductivity of the tube wall, W/(m·K): the reference tube of EN 1264, a little on the safe
/// side of the 0.38 that American handbooks give (from memory).
pub const WALL_CONDUCTIVITY: f64 = 0.35;
/// Where [`WALL_CONDUCTIVITY`] comes from.
pub const WALL_CONDUCTIVITY_SOURCE: Source =
    Source::new("EN 1264-2", "2008", "Annex A, through a transcription", HowKnown::SecondHand);

/// Warmest water that tube with an oxygen barrier is made for, °F.
pub const WARMEST_WATER_F: f64 = 200.0;
/// Where [`WARMEST_WATER_F`] comes from.
pub const WARMEST_WATER_SOURCE: Source = Source::new("ASTM F3253", "", "scope", HowKnown::Read);

/// Largest outside diameter as a share of slab thickness.
pub const OUTSIDE_OVER_SLAB_LIMIT: f64 = 1.0 / 3.0;
/// Least concrete over the tube in a structural slab, in.
pub const LEAST_COVER_IN: f64 = 2.0;
/// Least sleeve on each side of an expansion joint, in.
pub const SLEEVE_EACH_SIDE_IN: f64 = 12.0;
/// Least spacing in outside diameters, but for leaders within [`LEADER_RANGE_FT`].
pub const LEAST_SPACING_DIAMETERS: f64 = 3.0;
/// Distance from the manifold within which leaders may lie closer, ft.
pub const LEADER_RANGE_FT: f64 = 10.0;
/// Where the rules on tube in structural slabs come from.
pub const EMBEDDED_SOURCE: Source =
    Source::new("California Mechanical Code", "", "1217.5", HowKnown::Read);

/// Least test pressure of tube to be embedded, psi, with water.
pub const EMBEDDED_TEST_PSI: f64 = 100.0;
/// How long it is held, minutes.
pub const EMBEDDED_TEST_MINUTES: f64 = 30.0;
/// Where the embedded test comes from; local code and the tube's maker go first.
pub const EMBEDDED_TEST_SOURCE: Source =
    Source::new("International Residential Code", "2018", "M2103.4", HowKnown::Read);
/// Test pressure of hydronic pipe in general, times the greatest design pressure.
pub const SYSTEM_TEST_FACTOR: f64 = 1.5;
/// How long the system test is held, minutes.
pub const SYSTEM_TEST_MINUTES: f64 = 15.0;
/// Where the system test comes from; it too is not under 100 psi.
pub const SYSTEM_TEST_SOURCE: Source =
    Source::new("International Residential Code", "2018", "M2101.10", HowKnown::Read);
/// Least rating of embedded plastic tube: psi at °F.
pub const EMBEDDED_RATING_PSI_AT_F: (f64, f64) = (80.0, 180.0);
/// Where [`EMBEDDED_RATING_PSI_AT_F`] comes from.
pub const EMBEDDED_RATING_SOURCE: Source =
    Source::new("International Residential Code", "2018", "M2103.1", HowKnown::Read);
/// Leak test before the screed, bar: least and most with water, least and most with air.
pub const LEAK_TEST_BAR: [f64; 4] = [4.0, 6.0, 2.0, 3.0];
/// Where [`LEAK_TEST_BAR`] comes from.
pub const LEAK_TEST_SOURCE: Source = Source::new("EN 1264-4", "2021", "4.2.3", HowKnown::Read);

/// Ties at most this far apart on straight tube, in.
pub const TIE_SPACING_STRAIGHT_IN: f64 = 36.0;
/// Ties at most this far apart on bends, in.
pub const TIE_SPACING_BEND_IN: f64 = 12.0;
/// Where the tie spacings come from.
pub const TIE_SPACING_SOURCE: Source =
    Source::new("Hydronic heating textbook", "2022", "chapter 12", HowKnown::Read);

/// Fastest water for a quiet circuit, ft/s.
pub const QUIET_VELOCITY_FT_S: f64 = 4.0;
/// Where [`QUIET_VELOCITY_FT_S`] comes from.
pub const QUIET_VELOCITY_SOURCE: Source =
    Source::new("hydronic design handbooks", "", "pipe noise in occupied rooms", HowKnown::Memory);

/// The size nearest to a nominal one.
#[must_use]
pub fn nearest(nominal_in: f64) -> &'static TubeDimensions {
    let mut best = &SIZES[0];
    for row in &SIZES {
        if (row.nominal_in - nominal_in).abs() < (best.nominal_in - nominal_in).abs() {
            best = row;
        }
    }
    best
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn mean_wall_gives_back_the_published_volume() {
        for row in &SIZES {
            let inside = row.inside_at_mean_wall_in();
            let gallons = std::f64::consts::PI / 4.0 * inside * inside * 1200.0 / 231.0;
            assert!((gallons - row.gallons_per_100_ft).abs() < 0.01, "{}: {gallons}", row.name);
        }
        assert_eq!(nearest(0.5).name, "1/2");
    }
}
