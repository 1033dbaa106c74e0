//! The float functions the core may use: pure Rust, so every machine gives the same bits.
//!
//! `sqrt`, `+`, `-`, `*`, `/`, `mul_add`-free arithmetic and `floor`-like functions are exact by
//! IEEE 754 and need no place here; the functions below are not, and the platform's own may
//! differ in the last bit.

pub use libm::{
    acos, acosh, asin, atan, atan2, cbrt, cos, cosh, exp, log as ln, log10, pow, sin, sinh, tan,
    tanh,
};

/// Length of the leg pair `(x, y)`: square root of the sum of squares, which IEEE 754 fixes.
#[must_use]
pub fn hypot(x: f64, y: f64) -> f64 {
    (x * x + y * y).sqrt()
}

/// Sine and cosine of an angle in radians.
#[must_use]
pub fn sin_cos(angle: f64) -> (f64, f64) {
    (sin(angle), cos(angle))
}
