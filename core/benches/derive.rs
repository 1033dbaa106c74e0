//! Benchmarks of the core.

mod concrete;
mod foam;
mod heat;
mod joints;
mod pour;
mod tube;
mod whole;

fn main() {
    divan::main();
}
