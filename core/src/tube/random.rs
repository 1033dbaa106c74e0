//! A small generator of numbers for searches: the same seed gives the same numbers everywhere.

use crate::units::exact_math;

/// SplitMix64 (Steele, Lea and Flood 2014), chosen because it is a few lines of exact integer
/// arithmetic and passes the usual statistical batteries.
#[derive(Clone, Debug)]
pub struct Dice(u64);

impl Dice {
    /// A generator that starts from `seed`.
    #[must_use]
    pub const fn new(seed: u64) -> Self {
        Self(seed)
    }

    fn next(&mut self) -> u64 {
        self.0 = self.0.wrapping_add(0x9E37_79B9_7F4A_7C15);
        let mut z = self.0;
        z = (z ^ (z >> 30)).wrapping_mul(0xBF58_476D_1CE4_E5B9);
        z = (z ^ (z >> 27)).wrapping_mul(0x94D0_49BB_1331_11EB);
        z ^ (z >> 31)
    }

    /// A whole number below `bound`; 0 when the bound is 0.
    pub fn below(&mut self, bound: usize) -> usize {
        // Multiply-and-shift keeps the high bits, which are the better ones.
        let wide = u128::from(self.next()) * (bound as u128);
        usize::try_from(wide >> 64).unwrap_or(0)
    }

    /// A number in [0, 1).
    pub fn share(&mut self) -> f64 {
        (self.next() >> 11) as f64 / (1_u64 << 53) as f64
    }

    /// Whether a search takes a change that makes things worse by so many times its heat: always one for
    /// the better, else with the chance exp(-worse) (Metropolis and others 1953; from memory).
    pub fn takes(&mut self, worse: f64) -> bool {
        if worse <= 0.0 {
            return true;
        }
        let share = self.share();
        // exp(-x) is less than 1/(1 + x + x²/2), which most often decides and takes a fraction of the time.
        share * (1.0 + worse * (1.0 + 0.5 * worse)) < 1.0 && share < exact_math::exp(-worse)
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_change_for_the_worse_is_taken_as_often_as_its_exponential_says() {
        let mut dice = Dice::new(3);
        for worse in [-1.0, 0.0, 0.01, 0.3, 1.0, 2.5, 6.0] {
            let mut same = dice.clone();
            let taken: Vec<bool> = (0..20_000).map(|_| dice.takes(worse)).collect();
            let chance = exact_math::exp(-worse).min(1.0);
            let plain = |&taken: &bool| taken == (worse <= 0.0 || same.share() < chance);
            assert!(taken.iter().all(plain), "{worse}");
            let share = taken.iter().filter(|taken| **taken).count() as f64 / taken.len() as f64;
            assert!((share - chance).abs() < 0.015, "{worse}: {share} {chance}");
        }
    }
}
