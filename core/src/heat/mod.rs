//! Heat: what the floor gives, at what supply temperature, and what goes down.

pub mod floor_map;
pub mod ground;
pub mod load;
pub mod section;
pub mod solver;
pub mod standard;
pub mod warm_up;

use crate::geometry::Point;
use crate::job::Job;
use crate::plan::Plan;
use crate::tube::Tube;

/// Heat of a job.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Heat {
    /// Heat that the rooms ask for, Btu/h.
    pub load_btuh: f64,
    /// Supply temperature, °F.
    pub supply_f: f64,
    /// Mixed return temperature, °F.
    pub return_f: f64,
    /// Heat given upward, Btu/h.
    pub up_btuh: f64,
    /// Heat lost downward and at edges, Btu/h.
    pub down_btuh: f64,
    /// Mean floor surface, °F.
    pub surface_mean_f: f64,
    /// Warmest floor surface, °F.
    pub surface_max_f: f64,
    /// Coolest floor surface over the heated area, °F.
    pub surface_min_f: f64,
    /// Each circuit's water, in the order of the tube's circuits.
    pub circuits: Vec<CircuitHeat>,
    /// What the pump must do: flow of all circuits in gpm and head of the worst in ft.
    pub pump_gpm: f64,
    /// Head of the worst circuit with manifold allowance, ft.
    pub pump_head_ft: f64,
    /// Fluid in all circuits, US gallons.
    pub fluid_gallons: f64,
    /// Surface temperatures over the plan; absent until worked out.
    pub floor_map: Option<FloorMap>,
}

/// One circuit's water.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct CircuitHeat {
    /// Flow, gpm.
    pub flow_gpm: f64,
    /// Head, ft of water.
    pub head_ft: f64,
    /// Velocity, ft/s.
    pub velocity_fps: f64,
    /// Reynolds number.
    pub reynolds: f64,
    /// Heat it gives, Btu/h, up and down.
    pub output_btuh: f64,
    /// Temperature at its return port, °F.
    pub return_f: f64,
}

/// Floor surface temperatures on a grid.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct FloorMap {
    /// South-west corner of the first cell.
    pub origin: Point,
    /// Side of a cell, inches.
    pub cell: f64,
    /// Cells from west to east.
    pub columns: usize,
    /// Cells from south to north.
    pub rows: usize,
    /// Surface temperature by row from the south, °F; not-a-number outside the slab.
    pub surface_f: Vec<f32>,
    /// The hottest place.
    pub hottest: Point,
    /// The coldest heated place.
    pub coldest: Point,
    /// Heat given to the water less heat that left, as a share: the solver's honesty.
    pub imbalance: f64,
}

/// Heat of a job.
#[must_use]
pub fn work_out_heat(_job: &Job, _plan: &Plan, _tube: &Tube) -> Heat {
    Heat::default()
}
