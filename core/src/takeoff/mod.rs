//! The takeoff: every quantity, its unit, and the parts that add up to it.

use crate::geometry::Point;

/// Every quantity of a job.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Takeoff {
    /// The quantities, by subject in the order of the work.
    pub lines: Vec<QuantityLine>,
}

/// One quantity.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct QuantityLine {
    /// Its key, such as `concrete.order`; rates refer to it.
    pub key: String,
    /// The subject it belongs to: forms, base, foam, steel, tube, pour, saw.
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
