//! Prices: takeoff times rates in whole cents, then overhead, margin and tax.
//!
//! Each line is rounded once to the nearest cent, halves away from zero; sums are of rounded
//! lines, so that the sheet adds up on a pocket calculator.

use crate::job::Prices;
use crate::job::prices::BidVersion;
use crate::takeoff::{Subject, Takeoff};
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
    /// The lines summed by stage of the work, in the order of the work; extras last.
    pub stages: Vec<StagePrice>,
}

/// What a stage of the work costs, before overhead, margin and tax.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct StagePrice {
    /// What the stage is called.
    pub stage: &'static str,
    /// Sum of its lines.
    pub amount: Cents,
}

/// The stage of lines that are no quantity of the takeoff.
pub const EXTRAS: &str = "Extras";

/// One priced line.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct PriceLine {
    /// The takeoff's key, or empty for an extra.
    pub key: String,
    /// The stage of the work; `None` for an extra.
    pub subject: Option<Subject>,
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
            subject: Some(line.subject),
            item: line.item.clone(),
            quantity: line.quantity,
            unit: line.unit.to_owned(),
            rate: rate.rate,
            amount: rate.rate.times(line.quantity),
        });
    }
    lines.extend(prices.extras.iter().map(|extra| PriceLine {
        key: String::new(),
        subject: None,
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
    let stages = stages(&lines);
    Price { lines, cost, overhead, margin, tax, total, unused_rates, stages }
}

/// Lines summed by stage; stages without lines are left out.
fn stages(lines: &[PriceLine]) -> Vec<StagePrice> {
    let of = |subject: Option<Subject>| lines.iter().filter(move |line| line.subject == subject);
    Subject::ALL
        .into_iter()
        .map(Some)
        .chain([None])
        .filter(|&subject| of(subject).next().is_some())
        .map(|subject| StagePrice {
            stage: subject.map_or(EXTRAS, Subject::name),
            amount: of(subject).map(|line| line.amount).sum(),
        })
        .collect()
}

/// The rate book with this price kept as a bid that was given out.
#[must_use]
pub fn with_version(prices: &Prices, price: &Price, date: &str, note: &str) -> Prices {
    let mut prices = prices.clone();
    let (date, note) = (date.to_owned(), note.to_owned());
    prices.versions.push(BidVersion { date, note, total: price.total });
    prices
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
        assert_eq!(price.stages.iter().map(|stage| stage.amount).sum::<Cents>(), price.cost);
        assert_eq!(price.stages.len(), 2);
        let kept = with_version(&prices, &price, "2026-05-04", "first");
        assert_eq!(kept.versions[0].total, price.total);
    }
}
