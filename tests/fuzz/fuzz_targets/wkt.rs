//! The fuzz target `wkt`: its body stands in `bodies`.
#![no_main]
#[path = "../bodies/mod.rs"]
#[allow(dead_code)]
mod bodies;

libfuzzer_sys::fuzz_target!(|bytes: &[u8]| bodies::wkt_outline(bytes));
