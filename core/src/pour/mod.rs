//! Pour day: the ground as measured, the order, trucks, where each runs out, the clock.
//!
//! The pour moves over the slab as a line square to its direction; a truck runs out where the
//! volume before the line is what the trucks have brought. Screed strips lie along the line.
//! Where an outline has arcs the lines are found for its chords.

mod contours;
mod order;
mod placed;
mod shooting;
mod strike_off;
mod subgrade;
mod timing;
mod triangulation;

use crate::concrete::Concrete;
use crate::geometry::{Point, Polygon, Vector, clip};
use crate::job::Job;
use crate::plan::Plan;

pub use shooting::{height_under_rod, propose_shots};
pub use strike_off::{Tool, tool};

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
    /// Lines of equal height over the slab, lowest first.
    pub contours: Vec<Contour>,
    /// How far the target would have to rise so that what is cut fills what is low, inches;
    /// lower where negative.
    pub balance_raise: f64,
    /// How far the target would have to rise for 95 % of the measured ground to lie at or below
    /// it, inches.
    pub clear_raise: f64,
    /// Highest and lowest place, inches above target.
    pub extremes: Option<[(Point, f64); 2]>,
}

/// A line of equal height on the measured ground.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Contour {
    /// Inches above target.
    pub height: f64,
    /// Its pieces within the slab.
    pub lines: Vec<[Point; 2]>,
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
    /// The same order in loads as even as they can be, cubic yards each.
    pub even_loads_yd3: Vec<f64>,
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
    /// When each truck starts and ends unloading, minutes from the first. A truck comes when the
    /// one before is empty, or when it is back from its last round if the plant gives too few.
    pub truck_minutes: Vec<[f64; 2]>,
    /// Longest that the edge of a screed strip waits for the strip beside it, minutes.
    pub live_edge_minutes: f64,
    /// The strip whose edge waits longest, from 0 in pour order.
    pub live_edge_strip: usize,
    /// How long an edge stays live in this weather, minutes: careful and at the most.
    pub live_edge_limits: (f64, f64),
    /// Longest from batching to the end of discharge, minutes, half a round trip being the way.
    pub longest_age_minutes: f64,
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

/// More strips than this are not drawn: a strip of next to no width was typed in.
const MOST_STRIPS: f64 = 1000.0;

/// The measured ground of a job.
#[must_use]
pub fn survey_subgrade(job: &Job, plan: &Plan) -> SubgradeSurvey {
    subgrade::survey(job, plan)
}

/// The order and the trucks of a job.
#[must_use]
pub fn plan_pour(job: &Job, plan: &Plan, concrete: &Concrete, survey: &SubgradeSurvey) -> Pour {
    let mut pour = Pour::default();
    let adds = job.subgrade.adds_to_order;
    let low_ground = if adds { survey.extra_concrete } else { 0.0 };
    order::order(&mut pour, &job.pour, concrete.volumes.net, low_ground);
    let direction = Vector::from_angle(job.pour.direction_degrees.to_radians());
    let placed = placed::Placed::of(concrete, adds.then_some(survey), direction);
    let mut brought = 0.0;
    for (number, load) in (1..).zip(&pour.loads_yd3) {
        brought += load;
        let Some(at) = placed.line_at(crate::units::Volume::cubic_yards(brought).to_cubic_inches())
        else {
            continue;
        };
        pour.truck_lines.push(TruckLine {
            truck: number,
            line: placed::across(&plan.region, direction, at),
            placed_yd3: brought,
        });
    }
    pour.strips = screed_strips(job, plan, &placed, direction);
    timing::time(&mut pour, &job.pour);
    let brought = |along: f64| order::yards(placed.before(along));
    timing::live_edge(&mut pour, &job.pour, placed.reach(), &brought);
    pour.still_to_order_yd3 = order::still_to_order(job, &pour, &placed);
    pour
}

/// The slab in strips across the direction of the pour, in the order they are placed.
fn screed_strips(
    job: &Job,
    plan: &Plan,
    placed: &placed::Placed,
    direction: Vector,
) -> Vec<Polygon> {
    let width = job.pour.screed_strip.to_inches();
    let Some(bounds) = plan.bounds() else { return Vec::new() };
    let (from, to) = placed.reach();
    if width <= 0.0 || (to - from) / width > MOST_STRIPS {
        return Vec::new();
    }
    let middle = direction.left().dot(bounds.center().to_vector());
    let half = bounds.width() + bounds.height();
    let mut strips = Vec::new();
    let mut at = from;
    while at < to - crate::geometry::tolerance::SAME_POINT_IN {
        let corner = |along: f64, across: f64| {
            Point::ORIGIN + direction * along + direction.left() * (middle + across)
        };
        let strip = Polygon::new(
            vec![
                corner(at, -half),
                corner(at + width, -half),
                corner(at + width, half),
                corner(at, half),
            ],
            Vec::new(),
        );
        strips.extend(clip::intersection(&[strip], std::slice::from_ref(&plan.region)));
        at += width;
    }
    strips
}
