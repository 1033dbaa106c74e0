//! What to buy, by kind of supplier and when it is needed.

use super::{QuantityLine, Subject, Takeoff};

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

/// Something to buy.
#[derive(Clone, Debug, PartialEq)]
pub struct OrderItem {
    /// Where it is bought.
    pub supplier: Supplier,
    /// What it is.
    pub item: String,
    /// How much.
    pub quantity: f64,
    /// Of what.
    pub unit: &'static str,
}

/// Everything to buy, by supplier in the order of the work.
#[must_use]
pub fn order_list(takeoff: &Takeoff) -> Vec<OrderItem> {
    let mut items: Vec<OrderItem> = takeoff
        .lines
        .iter()
        .filter(|line| line.is_bought)
        .map(|line| OrderItem {
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
