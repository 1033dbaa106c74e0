//! Rigid foam under slabs: the boards of ASTM C578, load on them, and code rows for heated slabs.

use super::source::{HowKnown, Source};

/// Where the board rows come from.
pub const BOARDS_SOURCE: Source = Source::new(
    "ASTM C578",
    "2010",
    "Table 1, R at 75 °F mean, compression at yield or 10 %",
    HowKnown::SecondHand,
);

/// How a board is made.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Process {
    /// Expanded polystyrene.
    Expanded,
    /// Extruded polystyrene.
    Extruded,
}

/// A board of ASTM C578.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct FoamBoard {
    /// Its type in the standard, a Roman numeral.
    pub designation: &'static str,
    /// How it is made.
    pub process: Process,
    /// Compressive resistance at yield or 10 % deformation, psi, least.
    pub compressive_psi: f64,
    /// Density, pounds per cubic foot, least; later editions revised some.
    pub density_pcf: f64,
    /// R per inch at 75 °F mean, h·ft²·°F/Btu, least.
    pub r_per_inch: f64,
}

const fn board_row(
    designation: &'static str,
    process: Process,
    compressive_psi: f64,
    density_pcf: f64,
    r_per_inch: f64,
) -> FoamBoard {
    FoamBoard { designation, process, compressive_psi, density_pcf, r_per_inch }
}

/// The boards, weakest of each process first. Strength does not follow the Roman numeral. The row
/// of type XII is from memory.
pub const BOARDS: [FoamBoard; 13] = [
    board_row("XI", Process::Expanded, 5.0, 0.70, 3.1),
    board_row("I", Process::Expanded, 10.0, 0.90, 3.6),
    board_row("VIII", Process::Expanded, 13.0, 1.15, 3.8),
    board_row("II", Process::Expanded, 15.0, 1.35, 4.0),
    board_row("IX", Process::Expanded, 25.0, 1.80, 4.2),
    board_row("XIV", Process::Expanded, 40.0, 2.40, 4.2),
    board_row("XV", Process::Expanded, 60.0, 2.85, 4.3),
    board_row("XII", Process::Extruded, 15.0, 1.20, 4.6),
    board_row("X", Process::Extruded, 15.0, 1.30, 5.0),
    board_row("IV", Process::Extruded, 25.0, 1.55, 5.0),
    board_row("VI", Process::Extruded, 40.0, 1.80, 5.0),
    board_row("VII", Process::Extruded, 60.0, 2.20, 5.0),
    board_row("V", Process::Extruded, 100.0, 3.00, 5.0),
];

/// Share of the compressive resistance that a load that stays may use.
pub const SUSTAINED_SHARE: f64 = 1.0 / 3.0;
/// Share of the compressive resistance that a load that comes and goes may use.
pub const LIVE_SHARE: f64 = 1.0 / 5.0;
/// Where the two shares come from.
pub const SHARES_SOURCE: Source =
    Source::practice("foam under slabs: a third of the resistance sustained, a fifth live");

/// How much of a board's strength a load uses: sustained over a third of the compressive
/// resistance, plus live over a fifth of it. Over 1 the foam creeps. All in psi.
#[must_use]
pub fn share_of_strength(resistance: f64, sustained_psi: f64, live_psi: f64) -> f64 {
    sustained_psi / (resistance * SUSTAINED_SHARE) + live_psi / (resistance * LIVE_SHARE)
}

/// Foam that an energy code asks for at a heated slab.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct HeatedSlabRow {
    /// Code and edition, as a person picks it.
    pub code: &'static str,
    /// Climate zones it is for, in words.
    pub zones: &'static str,
    /// R at the edge, with the addition for a heated slab.
    pub edge_r: f64,
    /// How far down, or down and in, the edge foam reaches, inches.
    pub edge_depth: f64,
    /// R under the whole slab; zero when none is asked.
    pub under_r: f64,
    /// Where it comes from.
    pub source: Source,
}

const IECC_2015: Source = Source::new(
    "IECC residential",
    "2015",
    "Table R402.1.2 with the addition of R-5 at a heated slab's edge",
    HowKnown::SecondHand,
);
const IECC_2018: Source = Source::new(
    "IECC residential",
    "2018",
    "Table R402.1.2, footnote d: R-5 under a heated slab",
    HowKnown::Memory,
);
const IECC_2021: Source = Source::new(
    "IECC residential",
    "2021",
    "Table R402.1.3, footnote d: R-5 under a heated slab",
    HowKnown::Memory,
);
const WASHINGTON: Source =
    Source::new("WAC 51-11C", "2024", "Table C402.1.3, heated slab", HowKnown::Read);
const NEW_YORK: Source =
    Source::new("New York ECCC", "2025", "Table R402.1.3, heated slab", HowKnown::SecondHand);

const fn row(
    (code, zones): (&'static str, &'static str),
    edge_r: f64,
    edge_depth: f64,
    under_r: f64,
    source: Source,
) -> HeatedSlabRow {
    HeatedSlabRow { code, zones, edge_r, edge_depth, under_r, source }
}

/// Rows for heated slabs. States amend them: the local code decides, and a sheet names the
/// edition that a figure came from.
pub const HEATED_SLAB_ROWS: [HeatedSlabRow; 8] = [
    row(("IECC 2015", "4 and 5"), 15.0, 24.0, 0.0, IECC_2015),
    row(("IECC 2015", "6 to 8"), 15.0, 48.0, 0.0, IECC_2015),
    row(("IECC 2018", "4 and 5"), 10.0, 24.0, 5.0, IECC_2018),
    row(("IECC 2018", "6 to 8"), 10.0, 48.0, 5.0, IECC_2018),
    row(("IECC 2021", "3"), 10.0, 24.0, 5.0, IECC_2021),
    row(("IECC 2021", "4 to 8"), 10.0, 48.0, 5.0, IECC_2021),
    row(("Washington 2024 (commercial)", "all"), 10.0, 0.0, 10.0, WASHINGTON),
    row(("New York 2025", "all"), 10.0, 48.0, 10.0, NEW_YORK),
];

/// What a slab lacks against a row: R at the edge and R under the slab, zero where it has enough.
#[must_use]
pub fn shortfall(row: &HeatedSlabRow, edge_r: f64, under_r: f64) -> (f64, f64) {
    ((row.edge_r - edge_r).max(0.0), (row.under_r - under_r).max(0.0))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn loads_use_the_shares_worked_by_hand() {
        // A 4 in slab (0.347 psi) with 50 psf of live load (0.347 psi), worked in the reference.
        let psi = 50.0 / 144.0;
        assert!((share_of_strength(25.0, psi, psi) - 0.111).abs() < 0.001);
        assert!((share_of_strength(15.0, psi, psi) - 0.185).abs() < 0.001);
        // 1200 lb/ft of wall on a 16 in wide edge 12 in deep: 7.29 psi, sustained.
        let edge = 1200.0 / (16.0 * 12.0) + 150.0 / 144.0;
        assert!((share_of_strength(25.0, edge, 0.0) - 0.875).abs() < 0.001);
        assert!((share_of_strength(15.0, edge, 0.0) - 1.458).abs() < 0.001);
    }

    #[test]
    fn a_row_names_what_is_lacking() {
        assert_eq!(shortfall(&HEATED_SLAB_ROWS[3], 10.0, 2.0), (0.0, 3.0));
    }
}
