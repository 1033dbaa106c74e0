//! Every geometric tolerance of the program, named by the decision it serves.

/// How far a chord may stand off the arc it replaces when a ring is flattened, in inches.
pub const ARC_CHORD_IN: f64 = 0.02;

/// Two points closer than this are the same corner, in inches. A sixth of a sixteenth: far below
/// what a tape shows and far above the grid of the boolean engine.
pub const SAME_POINT_IN: f64 = 0.01;

/// A side shorter than this is a slip of the pen, in inches.
pub const SHORTEST_SIDE_IN: f64 = 0.25;

/// Pieces of plan smaller than this are crumbs of rounding and are dropped, in square inches.
pub const CRUMB_IN2: f64 = 0.1;

/// The largest coordinate a plan may have, in inches (about 1.5 miles): beyond it the boolean
/// engine's grid grows coarser than a thousandth of an inch.
pub const LARGEST_COORDINATE_IN: f64 = 100_000.0;

/// An outline smaller than this is a slip of the unit, in square inches (a square foot).
pub const SMALLEST_OUTLINE_IN2: f64 = 144.0;

/// An opening smaller than this is a slip of the pen, in square inches.
pub const SMALLEST_OPENING_IN2: f64 = 1.0;
