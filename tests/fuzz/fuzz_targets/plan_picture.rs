//! The fuzz target `plan_picture`: its body stands in `program_bodies`.
#![no_main]
#[path = "../program_bodies.rs"]
#[allow(dead_code)]
mod program_bodies;

libfuzzer_sys::fuzz_target!(|bytes: &[u8]| {
    // A reader of pages that panics is caught by the program and ends in a sentence: the fuzzer
    // must not take that for a crash, and would before the program sees it.
    std::panic::set_hook(Box::new(|_| {}));
    program_bodies::plan_picture(bytes);
});
