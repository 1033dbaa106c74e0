//! The `slabloom` program.
fn main() {}
