//! Which coil each circuit is cut from, so that no joint lies in the slab and least is wasted.
//!
//! A circuit comes whole from one coil (no fitting buried where it can be avoided: common
//! practice; EN 1264-4:2021 allows a protected repair fitting only, recorded on the plan). The
//! plan buys the least footage of the coil lengths stocked, then the fewest coils, then leaves
//! the longest offcut; see [`crate::cutting`].

use crate::cutting::{CutPlan, CutProblem, Stock, cut_stock};
use crate::effort::{Budget, Cancelled};

/// Steps of the search; the same jobs give the same coils on any machine.
const STEPS: u64 = 2_000_000;
/// A circuit this share over an even part of a coil is worth shortening.
const NEARLY_AN_EVEN_PART: f64 = 0.08;

/// The coils to buy and what is cut from each. Lengths in inches.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct CoilPlan {
    /// Every coil, by the longest circuit cut from it.
    pub coils: Vec<CoilCut>,
    /// Circuits longer than the longest coil: no coil holds them without a joint.
    pub too_long: Vec<usize>,
    /// Length bought.
    pub bought_in: f64,
    /// No plan buys less than this.
    pub bound_in: f64,
    /// Circuits that would go into fewer or smaller coils if they were a little shorter.
    pub nearly: Vec<NearlyEven>,
}

/// One coil.
#[derive(Clone, Debug, PartialEq)]
pub struct CoilCut {
    /// Its length as bought.
    pub length_in: f64,
    /// Circuits cut from it, longest first: index and the length of tube to cut, tails included.
    pub cuts: Vec<(usize, f64)>,
    /// What is left.
    pub left_in: f64,
}

/// A circuit a little longer than an even part of a coil.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct NearlyEven {
    /// Which circuit.
    pub circuit: usize,
    /// How many would come out of a coil.
    pub parts: u32,
    /// Length of that coil.
    pub coil_in: f64,
    /// How much too long the circuit is for that.
    pub over_in: f64,
}

/// Finds the coils for circuits of these lengths, each cut `tails_in` longer for its risers at
/// both ends, from coils of the lengths in stock.
///
/// # Errors
/// [`Cancelled`] when the flag was raised.
pub fn plan_coils(
    circuits_in: &[f64],
    tails_in: f64,
    coils_in: &[f64],
    cancel: &crate::effort::Cancel,
) -> Result<CoilPlan, Cancelled> {
    let pieces: Vec<f64> = circuits_in.iter().map(|length| length + tails_in.max(0.0)).collect();
    let stocks: Vec<Stock> = coils_in.iter().map(|&length| Stock::by_length(length)).collect();
    let mut budget = Budget::new(STEPS, cancel.clone());
    let problem = CutProblem { stocks: &stocks, pieces: &pieces, kerf: 0.0 };
    let plan = cut_stock(&problem, &mut budget)?;
    let bought_in = plan.bought(&stocks);
    // Costs are lengths in sixty-fourths, so the share of the bound is that of the length.
    let share = if plan.cost > 0 { plan.bound as f64 / plan.cost as f64 } else { 1.0 };
    Ok(CoilPlan {
        coils: coils_of(&plan, &pieces, coils_in),
        too_long: plan.unfit,
        bought_in,
        bound_in: bought_in * share,
        nearly: nearly_even(&pieces, coils_in),
    })
}

fn coils_of(plan: &CutPlan, pieces: &[f64], coils_in: &[f64]) -> Vec<CoilCut> {
    let cuts = plan.cuts.iter().map(|cut| CoilCut {
        length_in: coils_in.get(cut.stock).copied().unwrap_or(0.0),
        cuts: cut.pieces.iter().filter_map(|&i| Some((i, *pieces.get(i)?))).collect(),
        left_in: cut.left,
    });
    cuts.collect()
}

/// Circuits that just miss an even part (a half, a third, …) of the longest coil.
fn nearly_even(pieces: &[f64], coils_in: &[f64]) -> Vec<NearlyEven> {
    let Some(coil_in) = coils_in.iter().copied().reduce(f64::max) else { return Vec::new() };
    let mut nearly = Vec::new();
    for (circuit, &piece) in pieces.iter().enumerate() {
        let found = (2..=5u32)
            .map(|parts| (parts, coil_in / f64::from(parts)))
            .find(|&(_, part)| piece > part && piece <= part * (1.0 + NEARLY_AN_EVEN_PART));
        if let Some((parts, part)) = found {
            nearly.push(NearlyEven { circuit, parts, coil_in, over_in: piece - part });
        }
    }
    nearly
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::effort::Cancel;

    #[test]
    fn every_circuit_is_cut_once_with_its_tails() {
        let plan = plan_coils(&[2400.0, 3000.0, 2900.0], 60.0, &[6000.0, 12000.0], &Cancel::new())
            .unwrap();
        let mut seen: Vec<(usize, f64)> =
            plan.coils.iter().flat_map(|coil| coil.cuts.clone()).collect();
        seen.sort_by_key(|cut| cut.0);
        assert_eq!(seen, [(0, 2460.0), (1, 3060.0), (2, 2960.0)]);
        assert_eq!(plan.bought_in, 12000.0);
        assert_eq!(plan.bound_in, 12000.0);
        for coil in &plan.coils {
            let cut: f64 = coil.cuts.iter().map(|cut| cut.1).sum();
            assert_eq!(coil.left_in, coil.length_in - cut);
        }
        // 3060 is 60 in over half of a 6000 in coil, and of the longest coil it is a quarter.
        assert_eq!(
            plan.nearly[0],
            NearlyEven { circuit: 0, parts: 5, coil_in: 12000.0, over_in: 60.0 }
        );
    }
}
