//! Two takeoffs side by side: every quantity that either has, and by how much they differ.
//!
//! Method: lines are matched by key, which the same work has in every job. Lines of the first
//! stand in its order; a line that only the second has stands after the last line before it that
//! both have, within its subject.

use super::{QuantityLine, Subject, Takeoff};

/// A quantity in two takeoffs.
#[derive(Clone, Debug, PartialEq)]
pub struct QuantityPair {
    /// Its key.
    pub key: String,
    /// The subject of work it belongs to.
    pub subject: Subject,
    /// What it is called.
    pub item: String,
    /// Of what.
    pub unit: &'static str,
    /// How much in the first; nothing when it has no such line.
    pub first: f64,
    /// How much in the second.
    pub second: f64,
}

impl QuantityPair {
    /// How much more the second has; less than nothing when it has less.
    #[must_use]
    pub fn difference(&self) -> f64 {
        self.second - self.first
    }

    fn of(line: &QuantityLine, first: f64, second: f64) -> Self {
        Self {
            key: line.key.clone(),
            subject: line.subject,
            item: line.item.clone(),
            unit: line.unit,
            first,
            second,
        }
    }
}

/// Every quantity of both, in the order of the work.
#[must_use]
pub fn side_by_side(first: &Takeoff, second: &Takeoff) -> Vec<QuantityPair> {
    let quantity = |takeoff: &Takeoff, key: &str| takeoff.line(key).map_or(0.0, |l| l.quantity);
    let mut pairs: Vec<QuantityPair> = first
        .lines
        .iter()
        .map(|line| QuantityPair::of(line, line.quantity, quantity(second, &line.key)))
        .collect();
    let mut after: Option<String> = None;
    for line in &second.lines {
        if first.line(&line.key).is_none() {
            let known = |pair: &QuantityPair| after.as_ref().is_some_and(|key| *key == pair.key);
            let place = pairs.iter().position(known).map_or(0, |place| place + 1);
            // Never into another subject's lines.
            let starts = pairs.iter().position(|pair| pair.subject >= line.subject);
            let place = place.max(starts.unwrap_or(pairs.len()));
            pairs.insert(place.min(pairs.len()), QuantityPair::of(line, 0.0, line.quantity));
        }
        after = Some(line.key.clone());
    }
    pairs
}

#[cfg(test)]
mod tests {
    use super::*;

    fn takeoff(lines: &[(&str, Subject, f64)]) -> Takeoff {
        let line = |&(key, subject, quantity): &(&str, Subject, f64)| {
            QuantityLine::bought(key, subject, key, quantity, "ft")
        };
        Takeoff { lines: lines.iter().map(line).collect() }
    }

    #[test]
    fn lines_of_both_stand_once_with_their_difference() {
        let first = takeoff(&[("a", Subject::Forms, 2.0), ("c", Subject::Tube, 5.0)]);
        let second = takeoff(&[
            ("a", Subject::Forms, 3.0),
            ("b", Subject::Foam, 7.0),
            ("b2", Subject::Foam, 1.0),
            ("d", Subject::Saw, 4.0),
        ]);
        let pairs = side_by_side(&first, &second);
        let told: Vec<_> =
            pairs.iter().map(|p| (p.key.as_str(), p.first, p.second, p.difference())).collect();
        assert_eq!(
            told,
            [
                ("a", 2.0, 3.0, 1.0),
                ("b", 0.0, 7.0, 7.0),
                ("b2", 0.0, 1.0, 1.0),
                ("c", 5.0, 0.0, -5.0),
                ("d", 0.0, 4.0, 4.0)
            ]
        );
        assert!(side_by_side(&first, &first).iter().all(|pair| pair.difference() == 0.0));
        // The other way round the differences turn their sign and no line is lost.
        let back = side_by_side(&second, &first);
        assert_eq!(back.len(), pairs.len());
        assert!(back.is_sorted_by_key(|pair| pair.subject));
        for pair in &back {
            let other = pairs.iter().find(|p| p.key == pair.key).unwrap();
            assert_eq!(pair.difference(), -other.difference());
        }
    }
}
