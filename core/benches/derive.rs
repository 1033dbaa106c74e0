//! Benchmarks of the core.
fn main() {}
