//! The program and the window, from outside.
