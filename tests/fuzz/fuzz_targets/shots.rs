//! The fuzz target `shots`: its body stands in `bodies`.
#![no_main]
#[path = "../bodies/mod.rs"]
#[allow(dead_code)]
mod bodies;

libfuzzer_sys::fuzz_target!(|bytes: &[u8]| bodies::survey_shots(bytes));
