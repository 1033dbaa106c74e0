//! Slabloom's program.
