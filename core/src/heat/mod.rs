//! Heat: what the floor gives, at what supply temperature, and what goes down.
//!
//! Three answers stand side by side, and none is tuned to another: the standard's
//! ([`standard`], EN 1264), plain conduction in the cross-section ([`section`]), and the plate
//! over the real circuits ([`floor_map`]), which takes its constants from the section.
//!
//! Where the standard and conduction part, by how much and why. For thin screeds with the tube on
//! the foam (cover 45 mm, spacings 100 to 300 mm) EN 1264 gives 8 to 15 per cent more than
//! conduction with the tube's wall tangent to the foam; lifting the tube 10 to 20 mm off the foam
//! brings back 5 to 7 of them, so most of the gap is that the standard's factors were fitted to
//! screeds as built, in which concrete flows under the tube. For a cover of 85 mm the two are
//! within 3 per cent. For slabs with concrete under the tube the standard is low, by 1 per cent
//! with the tube at the bottom of 4 in, 6.5 at its middle, 10.5 at the middle of 6 in at 12 in
//! spacing, since it knows nothing of the concrete below that helps to spread the heat; only for
//! tube near the top at 6 in is it high, by 1.5. Tests hold these figures. The program designs by
//! conduction and shows the standard's supply beside it.
//!
//! Loss to the ground has its own two methods and their exact check in [`ground`]. [`settle`]
//! joins them for a job. Inside the room all is SI; the results are in the units of the trade.

pub mod compare;
pub mod contour;
pub mod floor_map;
pub mod ground;
pub mod ground_block;
pub mod job_floor;
pub mod load;
pub mod massive_slab;
pub mod picture;
pub mod rim;
pub mod section;
mod settle;
pub mod solver;
pub mod standard;
pub mod study;
pub mod warm_up;

use crate::effort::{Cancel, Cancelled};
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
    /// That of it which leaves at the rim, to outside air and through the ground before it, Btu/h.
    pub edge_btuh: f64,
    /// Heat that the water gives, Btu/h: the floor map keeps it equal to heat up and down.
    pub water_btuh: f64,
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
#[derive(Clone, Debug, Default)]
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

impl PartialEq for FloorMap {
    /// The same bits: cells outside the slab hold no number and yet are equal.
    fn eq(&self, other: &Self) -> bool {
        let same = |a: &[f32], b: &[f32]| {
            a.len() == b.len() && a.iter().zip(b).all(|(a, b)| a.to_bits() == b.to_bits())
        };
        (self.origin, self.cell, self.columns, self.rows)
            == (other.origin, other.cell, other.columns, other.rows)
            && (self.hottest, self.coldest, self.imbalance)
                == (other.hottest, other.coldest, other.imbalance)
            && same(&self.surface_f, &other.surface_f)
    }
}

/// Heat of a job: loads, supply, flows, heads and the floor map; see [`settle`].
///
/// Without circuits only the load is known; without heating, nothing.
///
/// # Errors
/// [`Cancelled`] when the flag was raised; asked between rounds of the floor map.
pub fn work_out_heat(
    job: &Job,
    plan: &Plan,
    tube: &Tube,
    cancel: &Cancel,
) -> Result<Heat, Cancelled> {
    settle::settle(job, plan, tube, cancel)
}
