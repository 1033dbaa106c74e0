//! Paper: marks, pages, text, dimensions, tables. It knows no slab.
//!
//! Question: what is drawn where on a sheet, so that every painter (PDF, SVG, picture, screen)
//! shows the same thing and picking walks the same list.
//!
//! Vocabulary: a *mark* is one stroke, filled or hatched area, or text, with a layer and an
//! opaque tag; a *page* is a paper size with blocks of marks in points of 1/72 in, y down from
//! the upper left corner; a *view* maps plan inches (y up) to paper at a listed scale; a
//! *placer* knows where text already stands and finds room for more.
//! Pen widths, text sizes and hatch spacing are in points on paper in both spaces, so a mark
//! keeps its look when it is mapped. Angles are counter-clockwise as the reader sees them.
//!
//! Sources: line widths and types ISO 128-2 (the series read in a secondary source, the line
//! type lengths from memory), sheet sizes ISO 216 and ASME Y14.1 (secondary), lettering
//! practice 3/32 in at the least and 1/8 in for what gets built (common practice).
//! Limits: text runs left to right, without kerning or ligatures.

pub mod clip;
pub mod dimension;
pub mod hatch;
pub mod mark;
pub mod page;
pub mod path;
pub mod place;
pub mod style;
pub mod symbol;
pub mod table;
pub mod text;
pub mod tile;
pub mod view;

pub use kurbo::{Affine, BezPath, PathEl, Point as Spot, Rect, Vec2};
pub use mark::{Mark, Shape};
pub use page::{Block, Page, PaperSize, Role};
pub use place::Placer;
pub use style::{Dash, Hatch, Ink, Layer, Pen};
pub use table::{Align, Column, Table};
pub use text::{Across, Face, Text, Upright};
pub use view::{Scale, View};
