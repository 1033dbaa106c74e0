//! What to buy, by kind of supplier and when it is needed.

use super::{QuantityLine, Subject, Takeoff};
use crate::job::pour::PourPlan;
use crate::units::dates;

/// A kind of supplier.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum Supplier {
    /// Sand and gravel pit.
    Pit,
    /// Lumber yard: forms, stakes, foam, membrane.
    LumberYard,
    /// Steel supplier.
    Steel,
    /// Heating supplier.
    Heating,
    /// Ready-mix plant.
    ReadyMix,
}

impl Supplier {
    /// What the supplier is called.
    #[must_use]
    pub const fn name(self) -> &'static str {
        match self {
            Self::Pit => "Pit",
            Self::LumberYard => "Lumber yard",
            Self::Steel => "Steel supplier",
            Self::Heating => "Heating supplier",
            Self::ReadyMix => "Ready-mix plant",
        }
    }

    /// Before which step of the work it must be on site.
    #[must_use]
    pub const fn needed_before(self) -> &'static str {
        match self {
            Self::Pit => "grading",
            Self::LumberYard => "setting forms",
            Self::Steel => "tying steel",
            Self::Heating => "laying tube",
            Self::ReadyMix => "pour day",
        }
    }
}

impl Supplier {
    /// Working days before the pour on which it must be on site, for a slab of a house. Common
    /// practice: graded a week and a half before, formed a week before, tied and laid in the days
    /// before the pour.
    #[must_use]
    pub const fn working_days_before_pour(self) -> u32 {
        match self {
            Self::Pit => 8,
            Self::LumberYard => 6,
            Self::Steel => 3,
            Self::Heating => 2,
            Self::ReadyMix => 0,
        }
    }

    /// The date by which it must be on site, YYYY-MM-DD: Saturdays, Sundays and the days off of
    /// the pour's plan are no working days. `None` while no day is set for the pour.
    #[must_use]
    pub fn needed_on(self, plan: &PourPlan) -> Option<String> {
        let pour = dates::day_number(&plan.date)?;
        let days_off: Vec<i64> =
            plan.days_off.iter().filter_map(|day| dates::day_number(day)).collect();
        let day = dates::working_days_before(pour, self.working_days_before_pour(), &days_off);
        Some(dates::show_day(day))
    }
}

/// Something to buy.
#[derive(Clone, Debug, PartialEq)]
pub struct OrderItem {
    /// The takeoff's key.
    pub key: String,
    /// Where it is bought.
    pub supplier: Supplier,
    /// What it is.
    pub item: String,
    /// How much.
    pub quantity: f64,
    /// Of what.
    pub unit: &'static str,
}

/// Everything to buy, by supplier in the order of the work; what the takeoff needs none of, such as
/// boards for edge strips that are all cut from offcuts, is not ordered.
#[must_use]
pub fn order_list(takeoff: &Takeoff) -> Vec<OrderItem> {
    let mut items: Vec<OrderItem> = takeoff
        .lines
        .iter()
        .filter(|line| line.is_bought && line.quantity > 0.0)
        .map(|line| OrderItem {
            key: line.key.clone(),
            supplier: supplier_of(line),
            item: line.item.clone(),
            quantity: line.quantity,
            unit: line.unit,
        })
        .collect();
    items.sort_by_key(|item| item.supplier);
    items
}

fn supplier_of(line: &QuantityLine) -> Supplier {
    match line.subject {
        Subject::Forms if line.key == "base.stone" => Supplier::Pit,
        Subject::Forms | Subject::Foam | Subject::Saw => Supplier::LumberYard,
        Subject::Steel => Supplier::Steel,
        Subject::Tube => Supplier::Heating,
        Subject::Pour => Supplier::ReadyMix,
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn nothing_is_not_ordered() {
        let line = |key: &str, quantity: f64| {
            QuantityLine::bought(key, Subject::Foam, key, quantity, "boards")
        };
        let lines = vec![line("foam.boards-1", 25.0), line("foam.edge-boards", 0.0)];
        let list = order_list(&Takeoff { lines });
        let keys: Vec<&str> = list.iter().map(|item| item.key.as_str()).collect();
        assert_eq!(keys, ["foam.boards-1"]);
    }
}
