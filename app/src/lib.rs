//! Slabloom's program.

pub mod export;
pub mod canvas;
pub mod editor;
pub mod panels;
pub mod widgets;
pub mod worker;
