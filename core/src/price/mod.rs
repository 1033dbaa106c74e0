//! Prices: takeoff times rates in whole cents, then overhead, margin and tax.
//!
//! Each line is rounded once to the nearest cent, halves away from zero; sums are of rounded
//! lines, so that the sheet adds up on a pocket calculator.

use crate::job::Prices;
use crate::takeoff::Takeoff;
use crate::units::Cents;

/// The price of a job.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Price {
    /// Lines with a rate.
    pub lines: Vec<PriceLine>,
    /// Sum of the lines.
    pub cost: Cents,
    /// Overhead on the cost.
    pub overhead: Cents,
    /// Margin on cost and overhead.
    pub margin: Cents,
    /// Tax on all of it.
    pub tax: Cents,
    /// What the customer pays.
    pub total: Cents,
    /// Keys of rates that no quantity of this job answers to.
    pub unused_rates: Vec<String>,
}

/// One priced line.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct PriceLine {
    /// The takeoff's key, or empty for an extra.
    pub key: String,
    /// What it is.
    pub item: String,
    /// How much.
    pub quantity: f64,
    /// Of what.
    pub unit: String,
    /// Price of one.
    pub rate: Cents,
    /// Quantity times rate, rounded once.
    pub amount: Cents,
}

/// Prices a takeoff.
#[must_use]
pub fn price(prices: &Prices, takeoff: &Takeoff) -> Price {
    let mut lines = Vec::new();
    let mut unused_rates = Vec::new();
    for rate in &prices.rates {
        let Some(line) = takeoff.line(&rate.item) else {
            unused_rates.push(rate.item.clone());
            continue;
        };
        lines.push(PriceLine {
            key: line.key.clone(),
            item: line.item.clone(),
            quantity: line.quantity,
            unit: line.unit.to_owned(),
            rate: rate.rate,
            amount: rate.rate.times(line.quantity),
        });
    }
    lines.extend(prices.extras.iter().map(|extra| PriceLine {
        key: String::new(),
        item: extra.name.clone(),
        quantity: extra.quantity,
        unit: extra.unit.clone(),
        rate: extra.rate,
        amount: extra.rate.times(extra.quantity),
    }));
    let cost: Cents = lines.iter().map(|line| line.amount).sum();
    let overhead = cost.times(prices.overhead);
    let margin = (cost + overhead).times(prices.margin);
    let tax = (cost + overhead + margin).times(prices.tax);
    let total = cost + overhead + margin + tax;
    Price { lines, cost, overhead, margin, tax, total, unused_rates }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::job::prices::{Extra, Rate};
    use crate::takeoff::QuantityLine;

    #[test]
    fn the_total_is_the_sum_of_its_rounded_lines() {
        let takeoff = Takeoff {
            lines: vec![QuantityLine {
                key: "concrete.order".into(),
                quantity: 20.25,
                unit: "yd3",
                ..QuantityLine::default()
            }],
        };
        let prices = Prices {
            rates: vec![
                Rate { item: "concrete.order".into(), rate: Cents(16_333) },
                Rate { item: "roof.shingles".into(), rate: Cents(100) },
            ],
            extras: vec![Extra {
                name: "Pump".into(),
                quantity: 1.0,
                unit: "trip".into(),
                rate: Cents(85_000),
            }],
            overhead: 0.1,
            margin: 0.15,
            tax: 0.0625,
            ..Prices::default()
        };
        let price = price(&prices, &takeoff);
        // 20.25 x 163.33 = 3307.4325, rounded to 3307.43.
        assert_eq!(price.lines[0].amount, Cents(330_743));
        assert_eq!(price.cost, Cents(415_743));
        assert_eq!(price.overhead, Cents(41_574));
        assert_eq!(price.margin, Cents(68_598));
        assert_eq!(price.total, price.cost + price.overhead + price.margin + price.tax);
        assert_eq!(price.unused_rates, ["roof.shingles"]);
    }
}
