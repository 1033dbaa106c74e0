//! The program and the window, from outside.

mod bad_input;
mod command;
mod determinism;
mod editor;
mod fuzz_twins;
mod old_files;
mod packaging;
mod paper;
mod pictures;
mod plan_pdf;
mod storage_faults;
mod supply;
mod verbs;
