//! The takeoff: every quantity, its unit, and the parts that add up to it.
//!
//! One file a subject of work; prices, panels, sheets and JSON all read the same lines, and rates
//! refer to a line by its key.

mod concrete;
mod foam;
mod forms;
mod joints;
mod order_list;
mod side_by_side;
mod steel;
mod tube;

pub use order_list::{OrderItem, Supplier, order_list};
pub use side_by_side::{QuantityPair, side_by_side};

use crate::concrete::Concrete;
use crate::foam::Foam;
use crate::geometry::Point;
use crate::job::Job;
use crate::joints::{MovingJoints, SettledJoints};
use crate::plan::Plan;
use crate::pour::Pour;
use crate::tube::Tube;
use crate::tube::coils::CoilPlan;

/// Every quantity of a job.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Takeoff {
    /// The quantities, by subject in the order of the work.
    pub lines: Vec<QuantityLine>,
}

impl Takeoff {
    /// The line with this key.
    #[must_use]
    pub fn line(&self, key: &str) -> Option<&QuantityLine> {
        self.lines.iter().find(|line| line.key == key)
    }
}

/// One quantity.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct QuantityLine {
    /// Its key, such as `concrete.order`; rates refer to it.
    pub key: String,
    /// The subject of work it belongs to.
    pub subject: Subject,
    /// What it is called.
    pub item: String,
    /// How much.
    pub quantity: f64,
    /// Of what.
    pub unit: &'static str,
    /// The parts that add up to it.
    pub parts: Vec<QuantityPart>,
    /// It is something to buy.
    pub is_bought: bool,
}

/// A part of a quantity.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct QuantityPart {
    /// What it is.
    pub name: String,
    /// How much.
    pub quantity: f64,
    /// Where on the plan, to highlight.
    pub places: Vec<Vec<Point>>,
}

/// The stage of work that a quantity belongs to.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, PartialOrd, Ord)]
pub enum Subject {
    /// Forms and ground.
    #[default]
    Forms,
    /// Foam boards.
    Foam,
    /// Steel and membrane.
    Steel,
    /// Heating tube.
    Tube,
    /// Concrete and trucks.
    Pour,
    /// Joints.
    Saw,
}

impl Subject {
    /// Every stage in the order of the work.
    pub const ALL: [Self; 6] =
        [Self::Forms, Self::Foam, Self::Steel, Self::Tube, Self::Pour, Self::Saw];

    /// What the stage of work is called.
    #[must_use]
    pub const fn name(self) -> &'static str {
        match self {
            Self::Forms => "Forms and base",
            Self::Foam => "Foam",
            Self::Steel => "Steel",
            Self::Tube => "Tube",
            Self::Pour => "Concrete",
            Self::Saw => "Joints",
        }
    }
}

/// The parts of the results that are counted.
#[derive(Clone, Copy, Debug)]
#[expect(missing_docs, reason = "each field is named for the part it holds")]
pub struct Counted<'a> {
    pub plan: &'a Plan,
    pub concrete: &'a Concrete,
    pub foam: &'a Foam,
    pub moving_joints: &'a MovingJoints,
    pub joints: &'a SettledJoints,
    pub tube: &'a Tube,
    pub coils: &'a CoilPlan,
    pub pour: &'a Pour,
}

/// Every quantity of a job, in the order of the work; those that are nothing are left out.
#[must_use]
pub fn take_off(job: &Job, counted: &Counted<'_>) -> Takeoff {
    let mut lines = forms::lines(counted);
    lines.extend(foam::lines(job, counted));
    lines.extend(steel::lines(counted));
    lines.extend(tube::lines(job, counted));
    lines.extend(concrete::lines(counted));
    lines.extend(joints::lines(job, counted));
    lines.retain(|line| line.quantity != 0.0);
    Takeoff { lines }
}

impl QuantityLine {
    /// A quantity that is counted or measured but not bought.
    fn measured(
        key: &str,
        subject: Subject,
        item: &str,
        quantity: f64,
        unit: &'static str,
    ) -> Self {
        Self {
            key: key.to_owned(),
            subject,
            item: item.to_owned(),
            quantity,
            unit,
            parts: Vec::new(),
            is_bought: false,
        }
    }

    /// A quantity that is bought.
    fn bought(key: &str, subject: Subject, item: &str, quantity: f64, unit: &'static str) -> Self {
        Self { is_bought: true, ..Self::measured(key, subject, item, quantity, unit) }
    }

    fn with_parts(mut self, parts: Vec<QuantityPart>) -> Self {
        self.parts = parts.into_iter().filter(|part| part.quantity != 0.0).collect();
        self
    }
}

impl QuantityPart {
    fn new(name: impl Into<String>, quantity: f64) -> Self {
        Self { name: name.into(), quantity, places: Vec::new() }
    }

    fn at(mut self, places: Vec<Vec<Point>>) -> Self {
        self.places = places;
        self
    }
}

/// Inches to feet, for the lines of this room.
fn feet(inches: f64) -> f64 {
    crate::units::Length::inches(inches).to_feet()
}

/// Square inches to square feet.
fn square_feet(square_inches: f64) -> f64 {
    crate::units::Area::square_inches(square_inches).to_square_feet()
}

/// Cubic inches to cubic yards.
fn cubic_yards(cubic_inches: f64) -> f64 {
    crate::units::Volume::cubic_inches(cubic_inches).to_cubic_yards()
}
