//! Marks: what is drawn, in plan inches or in paper points alike.

use super::style::{Hatch, Ink, Layer, Pen};
use super::text::Text;
use super::{Affine, BezPath, Rect, hatch, path};

/// One thing that is drawn.
#[derive(Clone, Debug, PartialEq)]
pub struct Mark {
    /// The layer it lies on.
    pub layer: Layer,
    /// What it shows, for picking; 0 for nothing. Only who made it knows the meaning.
    pub tag: u64,
    /// Its shape.
    pub shape: Shape,
}

/// The shapes there are.
#[derive(Clone, Debug, PartialEq)]
pub enum Shape {
    /// A line or curve.
    Stroke {
        /// Its course.
        path: BezPath,
        /// What it is drawn with.
        pen: Pen,
    },
    /// An area, filled by the even-odd rule.
    Fill {
        /// Its rim.
        path: BezPath,
        /// Its colour.
        ink: Ink,
    },
    /// An area filled with parallel lines, by the even-odd rule.
    Hatch {
        /// Its rim.
        path: BezPath,
        /// The lines, in paper units.
        hatch: Hatch,
    },
    /// Words.
    Text(Text),
}

impl Mark {
    /// A line or curve.
    #[must_use]
    pub const fn stroke(layer: Layer, path: BezPath, pen: Pen) -> Self {
        Self { layer, tag: 0, shape: Shape::Stroke { path, pen } }
    }

    /// A filled area.
    #[must_use]
    pub const fn fill(layer: Layer, path: BezPath, ink: Ink) -> Self {
        Self { layer, tag: 0, shape: Shape::Fill { path, ink } }
    }

    /// A hatched area.
    #[must_use]
    pub const fn hatch(layer: Layer, path: BezPath, hatch: Hatch) -> Self {
        Self { layer, tag: 0, shape: Shape::Hatch { path, hatch } }
    }

    /// Words.
    #[must_use]
    pub const fn text(layer: Layer, text: Text) -> Self {
        Self { layer, tag: 0, shape: Shape::Text(text) }
    }

    /// The same mark, saying what it shows.
    #[must_use]
    pub fn tagged(self, tag: u64) -> Self {
        Self { tag, ..self }
    }

    /// The same mark in other axes. Pens, text sizes and hatches keep their size on paper, and
    /// text its angle as seen, so `map` may flip but not turn.
    #[must_use]
    pub fn mapped(&self, map: Affine) -> Self {
        let shape = match &self.shape {
            Shape::Stroke { path, pen } => Shape::Stroke { path: map * path, pen: *pen },
            Shape::Fill { path, ink } => Shape::Fill { path: map * path, ink: *ink },
            Shape::Hatch { path, hatch } => Shape::Hatch { path: map * path, hatch: *hatch },
            Shape::Text(text) => Shape::Text(Text { at: map * text.at, ..text.clone() }),
        };
        Self { layer: self.layer, tag: self.tag, shape }
    }

    /// The box round it on paper; `None` when there is nothing of it.
    #[must_use]
    pub fn bounds(&self) -> Option<Rect> {
        match &self.shape {
            Shape::Stroke { path, .. } | Shape::Fill { path, .. } | Shape::Hatch { path, .. } => {
                path::bounds(path)
            }
            Shape::Text(text) => Some(text.bounds()),
        }
    }

    /// A hatched area as the lines a painter draws, with their pen; `None` for other shapes.
    #[must_use]
    pub fn hatch_lines(&self) -> Option<(BezPath, Pen)> {
        match &self.shape {
            Shape::Hatch { path, hatch } => Some((hatch::lines(path, hatch), hatch.pen)),
            _ => None,
        }
    }
}
