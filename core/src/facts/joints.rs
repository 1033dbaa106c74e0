//! Joints of slabs on ground: spacing, shape, depth, time of sawing, isolation, dowels.
//!
//! Every rule that the layout, the sheet or a finding uses stands here with its document. Local
//! code and the engineer of record come first where they say otherwise.

use super::source::{HowKnown, Source};

/// Least and largest usual spacing as multiples of the slab's thickness.
pub const SPACING_MULTIPLES: (f64, f64) = (24.0, 36.0);
/// Where [`SPACING_MULTIPLES`] comes from.
pub const SPACING_MULTIPLES_SOURCE: Source = Source::new(
    "ACI 302.1R",
    "1996",
    "joint spacing of unreinforced slabs, through a trade question and answer",
    HowKnown::SecondHand,
);

/// No panel of an unreinforced slab is longer than this whatever its thickness, in.
pub const LARGEST_SPACING_IN: f64 = 18.0 * 12.0;
/// Where [`LARGEST_SPACING_IN`] comes from; later guidance is commonly read as 15 ft (from memory).
pub const LARGEST_SPACING_SOURCE: Source = Source::new(
    "ACI 302.1R",
    "1996",
    "18 ft cap, through a trade question and answer",
    HowKnown::SecondHand,
);

/// One row of the spacing table: slab thickness, in, and spacing, ft, for aggregate under
/// 3/4 in, for aggregate of 3/4 in and over, and for slump under 4 in.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct SpacingRow {
    /// Slab thickness, in.
    pub thickness_in: f64,
    /// Largest spacing with aggregate under 3/4 in, ft.
    pub small_aggregate_ft: f64,
    /// Largest spacing with aggregate of 3/4 in and over, ft.
    pub large_aggregate_ft: f64,
    /// Largest spacing with slump under 4 in, ft.
    pub low_slump_ft: f64,
}

/// The spacing table.
///
/// # Source
/// [`SPACING_TABLE_SOURCE`]
pub const SPACING_TABLE: [SpacingRow; 7] = [
    row(4.0, 8.0, 10.0, 12.0),
    row(5.0, 10.0, 13.0, 15.0),
    row(6.0, 12.0, 15.0, 18.0),
    row(7.0, 14.0, 18.0, 21.0),
    row(8.0, 16.0, 20.0, 24.0),
    row(9.0, 18.0, 23.0, 27.0),
    row(10.0, 20.0, 25.0, 30.0),
];

const fn row(thickness_in: f64, small: f64, large: f64, low_slump: f64) -> SpacingRow {
    SpacingRow {
        thickness_in,
        small_aggregate_ft: small,
        large_aggregate_ft: large,
        low_slump_ft: low_slump,
    }
}

/// Where [`SPACING_TABLE`] comes from: rows of 4 to 6 in read in a handbook that quotes it, the
/// others from memory and in keeping with the multiples 24, 30 and 36.
pub const SPACING_TABLE_SOURCE: Source = Source::new(
    "PCA, Concrete Floors on Ground",
    "",
    "joint spacing table; 7 in and over from memory",
    HowKnown::SecondHand,
);

/// Aim for panels no longer to shorter than this.
pub const ASPECT_GOAL: f64 = 1.25;
/// Where [`ASPECT_GOAL`] comes from.
pub const ASPECT_GOAL_SOURCE: Source = Source::new(
    "TM 5-809-12 (UFC 3-320-06A)",
    "",
    "chapter 5: length no more than 1.25 times width",
    HowKnown::Read,
);

/// Panels longer to shorter than this are flagged.
pub const ASPECT_LIMIT: f64 = 1.5;
/// Where [`ASPECT_LIMIT`] comes from.
pub const ASPECT_LIMIT_SOURCE: Source = Source::new(
    "ACI 332 and the ACPA notes on joint layout",
    "",
    "panel shape no more than 1.5 to 1",
    HowKnown::SecondHand,
);

/// Angles between a joint and an edge or another joint are no sharper than this, degrees.
pub const SHARPEST_DEGREES: f64 = 60.0;
/// Panels are no narrower than this, in.
pub const NARROWEST_IN: f64 = 24.0;
/// Where [`SHARPEST_DEGREES`] and [`NARROWEST_IN`] come from.
pub const SHAPE_SOURCE: Source = Source::new(
    "ACPA, joint layout",
    "",
    "avoid angles under 60 degrees and slabs under 2 ft; turn the last 2 ft square to the edge",
    HowKnown::Read,
);

/// Length of the turned end by which a joint meets a slanted edge squarely, in.
pub const SQUARE_END_IN: f64 = 24.0;

/// Where the rule comes from that each inside corner lies on a joint.
pub const INSIDE_CORNER_SOURCE: Source = Source::practice(
    "cracks start at inside corners: a joint from each to another joint or an edge, or diagonal bars",
);

/// Where the rule comes from that a joint should not end at the side of a panel.
pub const TEE_SOURCE: Source = Source::new(
    "TM 5-809-12 (UFC 3-320-06A)",
    "",
    "chapter 5: joints straight and continuous, not staggered",
    HowKnown::Read,
);

/// Where the rule comes from that joints meet a column's isolation.
pub const COLUMN_SOURCE: Source = Source::new(
    "NRMCA CIP 6",
    "",
    "joints meet the corners of the turned square round a column",
    HowKnown::Read,
);

/// Depth of a conventional cut as a share of the slab's thickness.
pub const CONVENTIONAL_DEPTH_SHARE: f64 = 0.25;
/// Where [`CONVENTIONAL_DEPTH_SHARE`] comes from.
pub const CONVENTIONAL_DEPTH_SOURCE: Source =
    Source::new("ACI 302.1R, 224.3R, 360R", "", "a quarter of the thickness", HowKnown::Read);

/// Depth of an early-entry cut as a share of the slab's thickness.
pub const EARLY_DEPTH_SHARE: f64 = 0.2;
/// Least depth of an early-entry cut, in.
pub const EARLY_LEAST_DEPTH_IN: f64 = 1.0;
/// Where [`EARLY_DEPTH_SHARE`] and [`EARLY_LEAST_DEPTH_IN`] come from.
pub const EARLY_DEPTH_SOURCE: Source =
    Source::new("ACI 332", "", "a fifth of the thickness, at least 1 in", HowKnown::SecondHand);

/// When a cut may be made after finishing, hours: in hot weather and in cold.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct SawWindow {
    /// Earliest start in hot weather, h.
    pub opens_hot: f64,
    /// Earliest start in cold weather, h.
    pub opens_cold: f64,
    /// Latest start in hot weather, h.
    pub closes_hot: f64,
    /// Latest start in cold weather, h.
    pub closes_cold: f64,
}

/// Conventional saw: 4 to 12 h after finishing, 4 h when hot.
pub const CONVENTIONAL_WINDOW: SawWindow =
    SawWindow { opens_hot: 4.0, opens_cold: 12.0, closes_hot: 12.0, closes_cold: 24.0 };
/// Where [`CONVENTIONAL_WINDOW`] comes from. The latest hours are set here: 12 h of the same
/// text when hot, a day when cold, with the trial cut deciding on the slab.
pub const CONVENTIONAL_WINDOW_SOURCE: Source = Source::new(
    "ACI 302.1R",
    "2015",
    "4 to 12 h after finishing, 4 h when hot and up to days when cold, through ACI FAQ 915",
    HowKnown::Read,
);

/// Early-entry saw: about 1 h after finishing when hot, 4 h when cold.
pub const EARLY_WINDOW: SawWindow =
    SawWindow { opens_hot: 1.0, opens_cold: 4.0, closes_hot: 4.0, closes_cold: 6.0 };
/// Where [`EARLY_WINDOW`] comes from. The latest hours follow the 2 to 6 h of ACI 325.12R.
pub const EARLY_WINDOW_SOURCE: Source = Source::new(
    "ACI 224.4R",
    "2013",
    "about 1 h in hot and 4 h in cold weather after finishing, through ACI FAQ 915",
    HowKnown::Read,
);

/// Air that counts as hot and as cold for the windows, °F; between them hours are interpolated.
pub const HOT_AND_COLD_F: (f64, f64) = (90.0, 40.0);
/// Where [`HOT_AND_COLD_F`] comes from.
pub const HOT_AND_COLD_SOURCE: Source =
    Source::practice("hours between hot (90 °F) and cold (40 °F) read off a straight line");

/// From the end of placing to the end of finishing, h: what the saw window is counted from.
pub const FINISHING_HOURS: f64 = 3.0;
/// Where [`FINISHING_HOURS`] comes from.
pub const FINISHING_SOURCE: Source =
    Source::practice("finishing ends some 3 h after the last truck; set the true hour on the day");

/// Where the trial cut comes from that decides when sawing starts.
pub const TRIAL_CUT_SOURCE: Source = Source::new(
    "trade question and answer on timing of sawing",
    "",
    "make a trial cut and start when edges hardly ravel; never wait for morning by rule",
    HowKnown::Read,
);

/// Clearance between blade and tube below which sawing is flagged, in, and stopped, in.
pub const BLADE_CLEARANCE_IN: (f64, f64) = (0.5, 0.0);
/// Where [`BLADE_CLEARANCE_IN`] comes from.
pub const BLADE_CLEARANCE_SOURCE: Source = Source::practice(
    "depth to the top of the tube less the cut, less what the slab may be thin: warn under 1/2 in",
);

/// Width of isolation filler, in: least and usual.
pub const FILLER_IN: (f64, f64) = (0.25, 0.5);
/// Where [`FILLER_IN`] comes from.
pub const FILLER_SOURCE: Source =
    Source::practice("full-depth filler at walls, columns, steps and anything fixed");

/// Dowels of a construction joint for one slab thickness.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct DowelRow {
    /// Slab thickness from which the row holds, in.
    pub thickness_in: f64,
    /// Diameter, in.
    pub diameter_in: f64,
    /// Length, in.
    pub length_in: f64,
    /// Spacing, in.
    pub spacing_in: f64,
}

/// Dowels by slab thickness.
///
/// # Source
/// [`DOWEL_SOURCE`]
pub const DOWELS: [DowelRow; 6] = [
    dowel(5.0, 0.625, 12.0),
    dowel(6.0, 0.75, 14.0),
    dowel(7.0, 0.875, 14.0),
    dowel(8.0, 1.0, 14.0),
    dowel(9.0, 1.125, 16.0),
    dowel(10.0, 1.25, 16.0),
];

const fn dowel(thickness_in: f64, diameter_in: f64, length_in: f64) -> DowelRow {
    DowelRow { thickness_in, diameter_in, length_in, spacing_in: 12.0 }
}

/// Where [`DOWELS`] comes from.
pub const DOWEL_SOURCE: Source = Source::new(
    "PCA and ACI 302.1R",
    "1996",
    "dowel table, through a trade question and answer",
    HowKnown::SecondHand,
);

/// How far the first dowel stands from the end of the joint, in (common practice).
pub const FIRST_DOWEL_IN: f64 = 6.0;

/// The dowels for a slab of this thickness, in; `None` below the table (thinner slabs take a
/// thickened joint or plate dowels by the engineer).
#[must_use]
pub fn dowels_for(thickness_in: f64) -> Option<DowelRow> {
    DOWELS.iter().rev().find(|row| thickness_in >= row.thickness_in - 1e-9).copied()
}

/// How many dowels stand along a joint of this length, in, at this spacing, in.
#[must_use]
pub fn dowel_count(length_in: f64, spacing_in: f64) -> u32 {
    let run = length_in - 2.0 * FIRST_DOWEL_IN;
    if spacing_in <= 0.0 || !(0.0..1e9).contains(&run) {
        return 0;
    }
    // Within range by the check above, so the cast keeps the whole number.
    (run / spacing_in + 1e-9).floor() as u32 + 1
}

/// Depth of a saw cut for this thickness, in.
#[must_use]
pub fn saw_depth(thickness_in: f64, is_early_entry: bool) -> f64 {
    if is_early_entry {
        (EARLY_DEPTH_SHARE * thickness_in).max(EARLY_LEAST_DEPTH_IN)
    } else {
        CONVENTIONAL_DEPTH_SHARE * thickness_in
    }
}

/// First and last hour after finishing at which a cut may start, by air temperature, °F.
#[must_use]
pub fn saw_window(is_early_entry: bool, air_f: f64) -> (f64, f64) {
    let window = if is_early_entry { EARLY_WINDOW } else { CONVENTIONAL_WINDOW };
    let (hot, cold) = HOT_AND_COLD_F;
    let coldness = ((hot - air_f) / (hot - cold)).clamp(0.0, 1.0);
    let between = |at_hot: f64, at_cold: f64| at_hot + (at_cold - at_hot) * coldness;
    (between(window.opens_hot, window.opens_cold), between(window.closes_hot, window.closes_cold))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_forty_foot_joint_takes_forty_dowels() {
        assert_eq!(dowel_count(480.0, 12.0), 40);
        assert_eq!(dowels_for(6.0).map(|row| row.diameter_in), Some(0.75));
        assert_eq!(dowels_for(4.0), None);
    }

    #[test]
    fn cuts_are_a_quarter_deep_or_an_inch_when_early() {
        assert_eq!(saw_depth(5.0, false), 1.25);
        assert_eq!(saw_depth(4.0, true), 1.0);
        assert_eq!(saw_depth(8.0, true), 1.6);
    }

    #[test]
    fn windows_follow_the_weather() {
        assert_eq!(saw_window(false, 95.0), (4.0, 12.0));
        assert_eq!(saw_window(true, 30.0), (4.0, 6.0));
        let mild = saw_window(false, 65.0).0;
        assert!(mild > 4.0 && mild < 12.0);
    }
}
