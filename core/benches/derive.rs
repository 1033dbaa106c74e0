//! Benchmarks of the core.

mod concrete;
mod foam;
mod heat;
mod joints;

fn main() {
    divan::main();
}
