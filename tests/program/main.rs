//! The program and the window, from outside.

mod editor;
mod pictures;
