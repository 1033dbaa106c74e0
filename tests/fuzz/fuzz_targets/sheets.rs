//! The fuzz target `sheets`: its body stands in `bodies`.
#![no_main]
#[path = "../bodies/mod.rs"]
#[allow(dead_code)]
mod bodies;

libfuzzer_sys::fuzz_target!(|bytes: &[u8]| {
    bodies::sheets_of_any_job(bytes);
});
