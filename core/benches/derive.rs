//! Benchmarks of the core.

mod concrete;

fn main() {
    divan::main();
}
