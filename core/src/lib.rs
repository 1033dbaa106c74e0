//! Slabloom's core: everything that follows from a slab job, and nothing that needs a window.
//!
//! Read it in this order; each room may use those above it (the full table of arrows stands in
//! `DEVELOPERS.md` and is held by the tree test).
//!
//! ```
//! use slabloom_core::{derive::derive, geometry::Point, job::Job};
//!
//! let corners = [(0.0, 0.0), (30.0, 0.0), (30.0, 20.0), (0.0, 20.0)];
//! let job = Job::from_corners(&corners.map(|(x, y)| (Point::feet(x, y), None)));
//! let results = derive(&job);
//! assert_eq!(results.parts.plan.area / 144.0, 600.0);
//! ```
#![cfg_attr(
    not(test),
    deny(
        clippy::unwrap_used,
        clippy::expect_used,
        clippy::panic,
        clippy::indexing_slicing,
        clippy::iter_over_hash_type,
        clippy::unreachable
    )
)]

pub mod effort;
pub mod units;

pub mod geometry;

pub mod cutting;
pub mod drawing;
pub mod facts;
pub mod job;

pub mod plan;

pub mod edit;

pub mod concrete;
pub mod foam;
pub mod heat;
pub mod joints;
pub mod pour;
pub mod tube;

pub mod parts;
pub mod price;
pub mod takeoff;

pub mod findings;

pub mod derive;

pub mod sheets;
