//! Slabloom's program.

pub mod canvas;
pub mod editor;
pub mod export;
pub mod panels;
pub mod widgets;
pub mod worker;
