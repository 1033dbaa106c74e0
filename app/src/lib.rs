//! Slabloom's program: the verbs, the files, the painters and the window.

pub mod canvas;
pub mod editor;
pub mod export;
pub mod files;
pub mod panels;
pub mod verbs;
pub mod widgets;
pub mod worker;

pub use verbs::{Exit, run};
