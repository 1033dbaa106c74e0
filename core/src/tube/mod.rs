//! Heating tube: circuits, what they need of pump and coil, and what was really laid.

pub mod coils;
