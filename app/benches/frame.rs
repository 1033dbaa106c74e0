//! Benchmarks of the window.
fn main() {}
