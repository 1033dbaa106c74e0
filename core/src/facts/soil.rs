//! Prepared ground: tolerances, compaction, what a footing may rest on.

use super::source::{HowKnown, Source};

/// How far fine grade under a slab may be off either way, in.
pub const FINE_GRADE_TOLERANCE_IN: f64 = 0.75;
/// # Source
/// For [`FINE_GRADE_TOLERANCE_IN`].
pub const FINE_GRADE_SOURCE: Source = Source::new("ACI 117", "2010", "4.4.5", HowKnown::SecondHand);

/// What house builders ask of the excavator, in either way.
pub const USUAL_GRADE_TOLERANCE_IN: f64 = 1.0;
/// # Source
/// For [`USUAL_GRADE_TOLERANCE_IN`].
pub const USUAL_GRADE_SOURCE: Source = Source::practice("an inch either way for house slabs");

/// Share of its loose volume that stone loses when compacted, from and to.
pub const COMPACTION_LOSS: (f64, f64) = (0.10, 0.15);
/// # Source
/// For [`COMPACTION_LOSS`].
pub const COMPACTION_SOURCE: Source =
    Source::practice("compacted stone loses 10 to 15 % of its loose volume");

/// Deepest fill under a slab without approval, in: clean sand or gravel, earth.
pub const DEEPEST_FILL_IN: (f64, f64) = (24.0, 8.0);
/// Least base course where the slab lies below grade, in.
pub const LEAST_BASE_COURSE_IN: f64 = 4.0;
/// # Source
/// For fill and base course.
pub const FILL_SOURCE: Source = Source::new(
    "International Residential Code",
    "2009",
    "R506.2.1, R506.2.2",
    HowKnown::SecondHand,
);
