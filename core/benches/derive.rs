//! Benchmarks of the core.

mod concrete;
mod heat;
mod joints;

fn main() {
    divan::main();
}
