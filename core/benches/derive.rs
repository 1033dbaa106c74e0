//! Benchmarks of the core.

mod concrete;
mod heat;

fn main() {
    divan::main();
}
