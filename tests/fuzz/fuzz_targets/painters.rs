//! The fuzz target `painters`: its body stands in `program_bodies`.
#![no_main]
#[path = "../program_bodies.rs"]
#[allow(dead_code)]
mod program_bodies;

libfuzzer_sys::fuzz_target!(|bytes: &[u8]| {
    program_bodies::painters(bytes);
});
