//! Pour day: the ground as measured, the order, trucks, where each runs out, the clock.

use crate::concrete::Concrete;
use crate::geometry::{Point, Polygon};
use crate::job::Job;
use crate::plan::Plan;

/// The ground as measured.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct SubgradeSurvey {
    /// Triangles between shots within the slab, each corner with inches above target.
    pub triangles: Vec<[(Point, f64); 3]>,
    /// Shots.
    pub shots: usize,
    /// Shots outside the tolerance, with inches above target.
    pub out_of_tolerance: Vec<(Point, f64)>,
    /// Ground to cut, cubic inches.
    pub cut: f64,
    /// Ground to fill, cubic inches.
    pub fill: f64,
    /// Concrete that the low ground would swallow if left, cubic inches.
    pub extra_concrete: f64,
    /// Share of the slab within tolerance.
    pub share_in_tolerance: f64,
    /// Parts of the slab where no shot was taken near.
    pub unmeasured: Vec<Polygon>,
    /// Highest and lowest place, inches above target.
    pub extremes: Option<[(Point, f64); 2]>,
}

/// The order and the trucks.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Pour {
    /// Net concrete, cubic yards.
    pub net_yd3: f64,
    /// Allowance with measured subgrade, cubic yards.
    pub allowance_yd3: f64,
    /// What is ordered, rounded up to the step.
    pub order_yd3: f64,
    /// Loads, cubic yards each.
    pub loads_yd3: Vec<f64>,
    /// Where each truck runs out.
    pub truck_lines: Vec<TruckLine>,
    /// Screed strips in pour order.
    pub strips: Vec<Polygon>,
    /// Minutes between trucks at the crew's rate.
    pub truck_interval_minutes: f64,
    /// Trucks that must be on the road.
    pub trucks_needed: u32,
    /// Minutes to place all of it.
    pub placing_minutes: f64,
    /// Evaporation, lb/(ft²·h); absent without readings.
    pub evaporation: Option<f64>,
    /// Still to order after the tickets typed in, cubic yards; absent without tickets.
    pub still_to_order_yd3: Option<f64>,
}

/// Where a truck runs out.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct TruckLine {
    /// Which truck, from 1.
    pub truck: u32,
    /// The line across the slab, as pieces inside it.
    pub line: Vec<[Point; 2]>,
    /// Placed up to here, cubic yards.
    pub placed_yd3: f64,
}

/// The measured ground of a job.
#[must_use]
pub fn survey_subgrade(_job: &Job, _plan: &Plan) -> SubgradeSurvey {
    SubgradeSurvey::default()
}

/// The order and the trucks of a job.
#[must_use]
pub fn plan_pour(_job: &Job, _plan: &Plan, _concrete: &Concrete, _survey: &SubgradeSurvey) -> Pour {
    Pour::default()
}
