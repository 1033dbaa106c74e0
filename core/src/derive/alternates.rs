//! The same job with other choices, each derived and priced, to stand side by side in the bid.

use super::{Deriver, Results};
use crate::effort::{Cancel, Cancelled};
use crate::job::Job;
use crate::job::build_up::FloorSteel;
use crate::job::prices::{Alternate, Rate};
use crate::price::Price;
use crate::units::Cents;
use std::sync::Arc;

/// One alternate with what follows from it.
#[derive(Clone, Debug)]
pub struct DerivedAlternate {
    /// What it is called.
    pub name: String,
    /// The job as it would be.
    pub job: Job,
    /// What follows.
    pub results: Results,
}

/// The job with an alternate's choices in place of its own; nothing else differs.
#[must_use]
pub fn with_choices(job: &Job, alternate: &Alternate) -> Job {
    let mut job = job.clone();
    let changes_build_up = alternate.floor_thickness.is_some()
        || alternate.foam_thickness.is_some()
        || alternate.fibre_instead_of_steel.is_some();
    if changes_build_up {
        let build_up = Arc::make_mut(&mut job.build_up);
        if let Some(thickness) = alternate.floor_thickness {
            build_up.floor_thickness = thickness;
        }
        if let (Some(thickness), Some(layer)) =
            (alternate.foam_thickness, build_up.foam_layers.first_mut())
        {
            layer.thickness = thickness;
        }
        if let Some(dosage) = alternate.fibre_instead_of_steel {
            build_up.steel.floor = FloorSteel::None;
            build_up.steel.fibre_lb_per_yd3 = dosage;
        }
    }
    if let Some(spacing) = alternate.tube_spacing {
        for zone in &mut Arc::make_mut(&mut job.heating).zones {
            zone.spacing = spacing;
        }
    }
    if !alternate.rates.is_empty() {
        let prices = Arc::make_mut(&mut job.prices);
        for rate in &alternate.rates {
            put_rate(&mut prices.rates, rate);
        }
    }
    job
}

/// Puts a rate in the place of the one for the same quantity, or after the others.
fn put_rate(rates: &mut Vec<Rate>, rate: &Rate) {
    match rates.iter_mut().find(|known| known.item == rate.item) {
        Some(known) => known.rate = rate.rate,
        None => rates.push(rate.clone()),
    }
}

/// Derives every alternate of the job's rate book. What an alternate leaves alone is taken over
/// from the job's own results, so that only what it changes is worked out.
///
/// # Errors
/// [`Cancelled`] when the flag was raised before the end.
pub fn derive_alternates(
    job: &Job,
    results: &Results,
    cancel: &Cancel,
) -> Result<Vec<DerivedAlternate>, Cancelled> {
    job.prices
        .alternates
        .iter()
        .map(|alternate| {
            let other = with_choices(job, alternate);
            let mut deriver = Deriver::after(job, results);
            let results = deriver.derive(&other, cancel, &mut |_| {})?;
            Ok(DerivedAlternate { name: alternate.name.clone(), job: other, results })
        })
        .collect()
}

/// An alternate's price beside the job's own.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct PricedAlternate {
    /// What it is called.
    pub name: String,
    /// Its own price.
    pub price: Price,
    /// Its total less the job's own: negative is cheaper.
    pub difference: Cents,
    /// Lines whose amount is not the job's own.
    pub changed: Vec<ChangedLine>,
    /// What it buys otherwise than the job and has no rate of its own for: its total does not
    /// know what that costs.
    pub unpriced: Vec<String>,
    /// Heat that goes down and out at the edges, Btu/h, to weigh against the price.
    pub down_btuh: f64,
}

/// A line that an alternate changes.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct ChangedLine {
    /// What it is in the alternate, or in the job where the alternate has none.
    pub item: String,
    /// Amount in the job as it is.
    pub own: Cents,
    /// Amount in the alternate.
    pub alternate: Cents,
}

/// Every alternate of the rate book, derived and priced beside the job.
///
/// # Errors
/// [`Cancelled`] when the flag was raised before the end.
pub fn priced_alternates(
    job: &Job,
    results: &Results,
    cancel: &Cancel,
) -> Result<Vec<PricedAlternate>, Cancelled> {
    let derived = derive_alternates(job, results, cancel)?;
    let chosen = job.prices.alternates.iter();
    Ok(derived.iter().zip(chosen).map(|(other, own)| beside(results, other, own)).collect())
}

fn beside(own: &Results, other: &DerivedAlternate, alternate: &Alternate) -> PricedAlternate {
    let (before, after) = (&own.parts.price, &other.results.parts.price);
    PricedAlternate {
        name: other.name.clone(),
        difference: after.total - before.total,
        changed: changed_lines(before, after),
        unpriced: unpriced(own, other, alternate),
        down_btuh: other.results.parts.heat.down_btuh,
        price: (**after).clone(),
    }
}

/// Lines of either price whose amounts differ, in the order of the job's own.
fn changed_lines(before: &Price, after: &Price) -> Vec<ChangedLine> {
    let mut changed = Vec::new();
    for line in before.lines.iter().filter(|line| line.subject.is_some()) {
        let now = after.lines.iter().find(|now| now.key == line.key);
        let amount = now.map_or(Cents(0), |now| now.amount);
        if amount != line.amount {
            let item = now.unwrap_or(line).item.clone();
            changed.push(ChangedLine { item, own: line.amount, alternate: amount });
        }
    }
    for line in after.lines.iter().filter(|line| line.subject.is_some()) {
        if line.amount != Cents(0) && !before.lines.iter().any(|own| own.key == line.key) {
            let item = line.item.clone();
            changed.push(ChangedLine { item, own: Cents(0), alternate: line.amount });
        }
    }
    changed
}

/// Things bought that became something else without a rate of their own in the alternate, and new
/// things that nothing prices. Only kinds of goods that the bid prices at all are looked at.
fn unpriced(own: &Results, other: &DerivedAlternate, alternate: &Alternate) -> Vec<String> {
    let has_own_rate = |key: &str| alternate.rates.iter().any(|rate| rate.item == key);
    let has_rate = |key: &str| other.job.prices.rates.iter().any(|rate| rate.item == key);
    let bought = other.results.parts.takeoff.lines.iter().filter(|line| line.is_bought);
    bought
        .filter(|line| match own.parts.takeoff.line(&line.key) {
            // The same key, other goods: the job's rate was written for what it had before.
            Some(before) => {
                before.item != line.item && has_rate(&line.key) && !has_own_rate(&line.key)
            }
            None => !has_rate(&line.key) && !is_stock_length(&line.key),
        })
        .map(|line| line.item.clone())
        .collect()
}

/// Boards, bars and coils by stock length: one length in place of another is no new kind of goods.
fn is_stock_length(key: &str) -> bool {
    ["forms.board-", "tube.coil-"].iter().any(|start| key.starts_with(start))
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::derive::derive;
    use crate::geometry::Point;
    use crate::job::prices::Rate;
    use crate::units::Length;

    #[test]
    fn an_alternate_differs_by_what_it_changes_and_nothing_else() {
        let job = Job::default();
        let alternate =
            Alternate { tube_spacing: Some(Length::inches(9.0)), ..Alternate::default() };
        let other = with_choices(&job, &alternate);
        assert!(Arc::ptr_eq(&job.build_up, &other.build_up));
        assert!(Arc::ptr_eq(&job.outline, &other.outline));
        assert!(Arc::ptr_eq(&job.prices, &other.prices));
        let none = with_choices(&job, &Alternate::default());
        assert_eq!(none, job);
    }

    fn priced_job() -> Job {
        let feet = [(0.0, 0.0), (24.0, 0.0), (24.0, 18.0), (0.0, 18.0)];
        let mut job = Job::from_corners(&feet.map(|(x, y)| (Point::feet(x, y), None)));
        let rate = |item: &str, cents| Rate { item: item.to_owned(), rate: Cents(cents) };
        let prices = Arc::make_mut(&mut job.prices);
        prices.rates = vec![rate("concrete.order", 17_800), rate("foam.boards-1", 3_900)];
        prices.alternates = vec![Alternate {
            name: "Thicker foam".into(),
            foam_thickness: Some(Length::inches(4.0)),
            ..Alternate::default()
        }];
        job
    }

    #[test]
    fn thicker_boards_without_a_rate_of_their_own_are_named() {
        let mut job = priced_job();
        let price = |job: &Job| {
            let priced = priced_alternates(job, &derive(job), &Cancel::new()).unwrap();
            priced.into_iter().next().unwrap()
        };
        let before = price(&job);
        assert!(before.unpriced.iter().any(|item| item.contains("x 4 in")), "{before:?}");
        let rate = Rate { item: "foam.boards-1".into(), rate: Cents(7_600) };
        Arc::make_mut(&mut job.prices).alternates[0].rates = vec![rate];
        let after = price(&job);
        assert_eq!(after.unpriced, Vec::<String>::new());
        assert!(after.difference > before.difference);
        assert_eq!(after.changed.len(), 1, "{:?}", after.changed);
        let changed: Cents = after.changed.iter().map(|line| line.alternate - line.own).sum();
        assert_eq!(after.difference, changed, "without overhead the lines say all of it");
    }
}
