//! The tree's own rules, held by reading its sources: arrows between rooms, sizes, docs, and the
//! words that DEVELOPERS.md and README.md promise. Standard library only.

#![allow(clippy::disallowed_methods, reason = "these tests read the project's own files")]

mod arrows;
mod papers;
mod sizes;
mod sources;
mod stages;
