//! A small generator of numbers for searches: the same seed gives the same numbers everywhere.

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
}
