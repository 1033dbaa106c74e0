//! What was really built: footage marks read off the tube, and pressure tests.

use super::ids::ZoneId;
use serde::{Deserialize, Serialize};

/// Records from the site.
#[derive(Clone, Debug, Default, PartialEq, Serialize, Deserialize)]
#[serde(default, deny_unknown_fields)]
pub struct AsLaid {
    /// Footage marks by circuit.
    pub circuits: Vec<LaidCircuit>,
    /// Pressure tests.
    pub tests: Vec<PressureTest>,
}

/// Footage marks of one circuit.
#[derive(Clone, Copy, Debug, Default, PartialEq, Serialize, Deserialize)]
#[serde(default, deny_unknown_fields)]
pub struct LaidCircuit {
    /// The zone it belongs to.
    pub zone: ZoneId,
    /// Which circuit of that zone, counted from 0.
    pub number: u32,
    /// Mark at the supply end, feet.
    pub start_mark_ft: f64,
    /// Mark at the return end, feet.
    pub end_mark_ft: f64,
}

/// One pressure test.
#[derive(Clone, Debug, Default, PartialEq, Serialize, Deserialize)]
#[serde(default, deny_unknown_fields)]
pub struct PressureTest {
    /// When, in words or YYYY-MM-DD.
    pub when: String,
    /// Pressure at the start, psi.
    pub start_psi: f64,
    /// Pressure at the end, psi.
    pub end_psi: f64,
    /// How long, hours.
    pub hours: f64,
    /// Air temperature, °F.
    pub air_f: f64,
    /// Who read the gauge.
    pub by: String,
}
