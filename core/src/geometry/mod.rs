//! Plan shapes: points, rings of lines and arcs, polygons, and what can be asked of them.
//!
//! Plan axes: x to the east (right), y to the north (up), in inches. Outer rings run
//! counter-clockwise (area positive), rings of holes clockwise. This room knows no slab.
//!
//! Two levels of shape: a [`Ring`] keeps its arcs and is exact; a [`Polygon`] has straight sides
//! only (arcs flattened to [`tolerance::ARC_CHORD_IN`]) and is what layouts work on.

pub mod arc;
pub mod clip;
pub mod meeting;
pub mod nearest;
pub mod offset;
pub mod point;
pub mod polygon;
pub mod repair;
pub mod ring;
mod shape_fault;
pub mod tolerance;
pub mod triangulate;
pub mod validity;

pub use arc::Arc;
pub use point::{Bounds, Point, Vector};
pub use polygon::Polygon;
pub use ring::{Ring, Segment};
