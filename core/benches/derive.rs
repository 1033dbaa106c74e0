//! Benchmarks of the core.

mod concrete;
mod foam;
mod heat;
mod joints;
mod whole;

fn main() {
    divan::main();
}
