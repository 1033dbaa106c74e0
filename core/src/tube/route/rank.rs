//! How a layout ranks: soundness first, then evenness, floor served and bends.

use super::Layout;
use crate::geometry::Segment;

/// Total turning of a path over a right angle.
#[must_use]
pub fn turning(path: &[Segment]) -> f64 {
    path.iter()
        .filter_map(|segment| match segment {
            Segment::Arc(arc) => arc.circle(),
            Segment::Line(..) => None,
        })
        .map(|circle| circle.sweep.abs() / std::f64::consts::FRAC_PI_2)
        .sum()
}

/// Longest less shortest over the mean.
#[must_use]
pub fn imbalance(lengths: &[f64]) -> f64 {
    let mean = lengths.iter().sum::<f64>() / lengths.len().max(1) as f64;
    let (least, most) =
        lengths.iter().fold((f64::INFINITY, 0.0_f64), |(l, m), &x| (l.min(x), m.max(x)));
    if mean > 0.0 { (most - least) / mean } else { 0.0 }
}

/// How unlike lengths are, as [`imbalance`] says it of many that lie evenly between the shortest and
/// the longest; one short circuit among many counts for less, and each further one for more.
#[must_use]
pub fn unlike(lengths: &[f64]) -> f64 {
    /// The longest less the shortest of lengths that lie evenly, over their standard deviation.
    const RANGE: f64 = 3.5;
    0.5 * (imbalance(lengths) + RANGE * deviation(lengths))
}

/// The standard deviation over the mean.
fn deviation(lengths: &[f64]) -> f64 {
    let count = lengths.len().max(1) as f64;
    let mean = lengths.iter().sum::<f64>() / count;
    let squares: f64 = lengths.iter().map(|length| (length - mean) * (length - mean)).sum();
    if mean > 0.0 { (squares / count).sqrt() / mean } else { 0.0 }
}

/// Lower is better: sound before even before few bends.
pub fn rank(layout: &Layout) -> (usize, f64) {
    let lengths: Vec<f64> = layout.circuits.iter().map(|circuit| circuit.length).collect();
    let cost = 10.0 * (unlike(&lengths) - 0.06).max(0.0)
        + 0.03 * layout.lost_cells as f64
        + 10.0 * layout.cut_off;
    (layout.breaches.len(), cost + 1e-4 * layout.bends)
}

/// The rank of a layout among tries, the limit included.
#[must_use]
pub fn rank_against(layout: &Layout, limit: f64) -> (usize, f64) {
    let over = layout.circuits.iter().filter(|circuit| circuit.length > limit).count();
    let (breaches, cost) = rank(layout);
    (breaches + over, cost)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn each_short_circuit_makes_lengths_more_unlike() {
        let with_short = |short: usize| -> Vec<f64> {
            (0..20).map(|number| if number < short { 30.0 } else { 300.0 }).collect()
        };
        let said: Vec<f64> = (0..5).map(|short| unlike(&with_short(short))).collect();
        assert!(said[0].abs() < 1e-12 && said.is_sorted(), "{said:?}");
        let apart = imbalance(&with_short(1));
        assert!(said[1] < 0.9 * apart, "one among twenty: {said:?} {apart}");
        // Lengths that lie evenly between the shortest and the longest.
        let even: Vec<f64> = (0..21).map(|step| 280.0 + f64::from(step)).collect();
        assert!((unlike(&even) / imbalance(&even) - 1.0).abs() < 0.05);
    }
}
