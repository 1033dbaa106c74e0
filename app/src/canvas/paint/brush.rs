//! What painting is done with: pens, fills, hatches and labels in screen points.

use crate::canvas::view::Sight;
use crate::editor::theme::Palette;
use egui::epaint::Vertex;
use egui::{Align2, Color32, Mesh, Pos2, Shape, Stroke, Vec2};
use lyon::path::Path;
use lyon::tessellation::{
    BuffersBuilder, FillOptions, FillRule, FillTessellator, FillVertex, VertexBuffers,
};
use slabloom_core::geometry::Point;
use slabloom_core::job::ids::SideId;

/// A pattern of a line.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Dash {
    /// Unbroken.
    Solid,
    /// Hidden below.
    Dashed,
    /// Long dash, dot: sawn.
    LongDashDot,
    /// Dash, two dots: separated.
    DoubleDot,
    /// Dots.
    Dotted,
}

impl Dash {
    /// Dashes and gaps in screen points.
    const fn lengths(self) -> (&'static [f32], &'static [f32]) {
        match self {
            Self::Solid => (&[], &[]),
            Self::Dashed => (&[7.0], &[4.0]),
            Self::LongDashDot => (&[15.0, 2.0], &[4.0, 4.0]),
            Self::DoubleDot => (&[11.0, 2.0, 2.0], &[3.5, 3.5, 3.5]),
            Self::Dotted => (&[2.0], &[3.0]),
        }
    }
}

/// A width, a colour and a pattern.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Pen {
    /// Width in screen points.
    pub width: f32,
    /// Colour.
    pub color: Color32,
    /// Pattern.
    pub dash: Dash,
}

impl Pen {
    /// An unbroken line.
    #[must_use]
    pub const fn solid(width: f32, color: Color32) -> Self {
        Self { width, color, dash: Dash::Solid }
    }

    /// The same in another pattern.
    #[must_use]
    pub const fn dashed(self, dash: Dash) -> Self {
        Self { dash, ..self }
    }
}

/// Text on the plan.
#[derive(Clone, Debug, PartialEq)]
pub struct Label {
    /// Where.
    pub at: Pos2,
    /// Which point of the text stands there.
    pub anchor: Align2,
    /// The text.
    pub text: String,
    /// Size in screen points.
    pub size: f32,
    /// Colour.
    pub color: Color32,
    /// In the bold face.
    pub is_bold: bool,
    /// Turn in radians, clockwise on the screen; only for text anchored at its middle.
    pub angle: f32,
    /// What is behind it, so that lines do not run through figures.
    pub ground: Option<Color32>,
    /// The side whose length it is; a click lets it be typed over.
    pub side: Option<SideId>,
}

/// Where shapes and labels are collected.
#[derive(Debug, Default)]
pub struct Plate {
    /// Shapes, first painted first.
    pub shapes: Vec<Shape>,
    /// Labels, painted over all shapes.
    pub labels: Vec<Label>,
}

/// Paints on a plate.
#[derive(Debug)]
pub struct Brush<'a> {
    /// Plan to screen.
    pub sight: Sight,
    /// Colours.
    pub palette: &'static Palette,
    /// Larger than one for larger text.
    pub text_scale: f32,
    plate: &'a mut Plate,
}

impl<'a> Brush<'a> {
    /// A brush over a plate.
    pub const fn new(
        sight: Sight,
        palette: &'static Palette,
        text_scale: f32,
        plate: &'a mut Plate,
    ) -> Self {
        Self { sight, palette, text_scale, plate }
    }

    /// Plan to screen.
    #[must_use]
    pub fn at(&self, point: Point) -> Pos2 {
        self.sight.screen_from_plan(point)
    }

    /// Plan points to screen points.
    #[must_use]
    pub fn all(&self, points: &[Point]) -> Vec<Pos2> {
        points.iter().map(|point| self.at(*point)).collect()
    }

    /// A length of the plan in screen points.
    #[must_use]
    pub fn length(&self, inches: f64) -> f32 {
        (inches * self.sight.view.zoom) as f32
    }

    /// Any shape.
    pub fn shape(&mut self, shape: Shape) {
        self.plate.shapes.push(shape);
    }

    /// A line through plan points.
    pub fn line(&mut self, points: &[Point], pen: Pen) {
        let points = self.all(points);
        self.screen_line(points, pen);
    }

    /// A closed line through plan points.
    pub fn ring(&mut self, points: &[Point], pen: Pen) {
        let mut points = self.all(points);
        points.extend(points.first().copied());
        if pen.dash == Dash::Solid {
            points.pop();
            self.shape(Shape::closed_line(points, Stroke::new(pen.width, pen.color)));
        } else {
            self.screen_line(points, pen);
        }
    }

    /// A line through screen points.
    pub fn screen_line(&mut self, points: Vec<Pos2>, pen: Pen) {
        let stroke = Stroke::new(pen.width, pen.color);
        if pen.dash == Dash::Solid {
            self.shape(Shape::line(points, stroke));
            return;
        }
        let (dashes, gaps) = pen.dash.lengths();
        Shape::dashed_line_many_with_offset(
            &points,
            stroke,
            dashes,
            gaps,
            0.0,
            &mut self.plate.shapes,
        );
    }

    /// Fills rings, even-odd, so that a ring within a ring is a hole.
    pub fn fill<'r>(&mut self, rings: impl IntoIterator<Item = &'r Vec<Point>>, color: Color32) {
        let rings: Vec<Vec<Pos2>> = rings.into_iter().map(|ring| self.all(ring)).collect();
        if let Some(mesh) = filled(&rings, color) {
            self.shape(Shape::mesh(mesh));
        }
    }

    /// Hatches a ring with parallel lines, `spacing` screen points apart.
    pub fn hatch(&mut self, ring: &[Point], angle: f32, spacing: f32, pen: Pen) {
        let ring = self.all(ring);
        for (from, to) in hatch_lines(&ring, angle, spacing) {
            self.screen_line(vec![from, to], pen);
        }
    }

    /// An arrow head at a place, pointing along a screen step.
    pub fn arrow_head(&mut self, at: Pos2, along: Vec2, size: f32, color: Color32) {
        let along = along.normalized();
        let across = Vec2::new(-along.y, along.x);
        let points = vec![
            at + along * size,
            at - along * size * 0.7 + across * size * 0.7,
            at - along * size * 0.7 - across * size * 0.7,
        ];
        self.shape(Shape::convex_polygon(points, color, Stroke::NONE));
    }

    /// A label; size before scaling.
    pub fn label(&mut self, label: Label) {
        let size = label.size * self.text_scale;
        self.plate.labels.push(Label { size, ..label });
    }

    /// About how large a line of text is, screen points: fonts are not at hand here.
    #[must_use]
    pub fn text_size(&self, text: &str, size: f32) -> egui::Vec2 {
        const WIDTH_BY_SIZE: f32 = 0.51;
        const HEIGHT_BY_SIZE: f32 = 1.4;
        let size = size * self.text_scale;
        let letters = text.chars().count() as f32;
        egui::Vec2::new(letters * size * WIDTH_BY_SIZE, size * HEIGHT_BY_SIZE)
    }

    /// A plain label in ink.
    #[must_use]
    pub fn text(&self, at: Pos2, text: impl Into<String>, size: f32) -> Label {
        Label {
            at,
            anchor: Align2::CENTER_CENTER,
            text: text.into(),
            size,
            color: self.palette.ink,
            is_bold: false,
            angle: 0.0,
            ground: None,
            side: None,
        }
    }
}

/// A filled mesh of rings in screen points.
fn filled(rings: &[Vec<Pos2>], color: Color32) -> Option<Mesh> {
    let mut builder = Path::builder();
    for ring in rings.iter().filter(|ring| ring.len() > 2) {
        let mut points = ring.iter().map(|at| lyon::math::point(at.x, at.y));
        builder.begin(points.next()?);
        for point in points {
            builder.line_to(point);
        }
        builder.close();
    }
    let mut buffers: VertexBuffers<Vertex, u32> = VertexBuffers::new();
    let mut to_vertex = BuffersBuilder::new(&mut buffers, |vertex: FillVertex<'_>| {
        let at = vertex.position();
        Vertex::untextured(Pos2::new(at.x, at.y), color)
    });
    let options = FillOptions::default().with_fill_rule(FillRule::EvenOdd).with_tolerance(0.1);
    FillTessellator::new().tessellate_path(&builder.build(), &options, &mut to_vertex).ok()?;
    Some(Mesh { indices: buffers.indices, vertices: buffers.vertices, ..Mesh::default() })
}

/// Parallel lines inside a ring: the ring is turned so that they lie level, then cut by them.
fn hatch_lines(ring: &[Pos2], angle: f32, spacing: f32) -> Vec<(Pos2, Pos2)> {
    let (sin, cos) = angle.sin_cos();
    let turned: Vec<Pos2> =
        ring.iter().map(|at| Pos2::new(at.x * cos + at.y * sin, at.y * cos - at.x * sin)).collect();
    let back = |x: f32, y: f32| Pos2::new(x * cos - y * sin, y * cos + x * sin);
    let (low, high) = turned.iter().fold((f32::INFINITY, f32::NEG_INFINITY), |(low, high), at| {
        (low.min(at.y), high.max(at.y))
    });
    if !(low.is_finite() && high - low < MOST_HATCH) {
        return Vec::new();
    }
    let mut lines = Vec::new();
    // Hatches lie on one grid for the whole plan, so that neighbours line up.
    let mut y = (low / spacing).ceil() * spacing;
    while y < high {
        let mut crossings: Vec<f32> = turned
            .iter()
            .zip(turned.iter().cycle().skip(1))
            .filter(|(a, b)| (a.y <= y) != (b.y <= y))
            .map(|(a, b)| a.x + (b.x - a.x) * (y - a.y) / (b.y - a.y))
            .collect();
        crossings.sort_by(f32::total_cmp);
        for pair in crossings.chunks_exact(2) {
            if let [from, to] = pair {
                lines.push((back(*from, y), back(*to, y)));
            }
        }
        y += spacing;
    }
    lines
}

/// A piece taller than this on the screen is not hatched: only a sliver of it can be seen.
const MOST_HATCH: f32 = 6000.0;

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn hatching_covers_a_square_with_a_notch() {
        let ring = [(0.0, 0.0), (100.0, 0.0), (100.0, 100.0), (50.0, 50.0), (0.0, 100.0)]
            .map(|(x, y)| Pos2::new(x, y));
        let lines = hatch_lines(&ring, 0.0, 10.0);
        let total: f32 = lines.iter().map(|(from, to)| from.distance(*to)).sum();
        // Area 7500 over a spacing of 10.
        assert!((total - 750.0).abs() < 60.0, "{total}");
    }

    #[test]
    fn a_ring_with_a_hole_is_filled_to_its_area() {
        let square = |low: f32, high: f32| {
            vec![
                Pos2::new(low, low),
                Pos2::new(high, low),
                Pos2::new(high, high),
                Pos2::new(low, high),
            ]
        };
        let mesh = filled(&[square(0.0, 100.0), square(40.0, 60.0)], Color32::RED).unwrap();
        let area: f32 = mesh
            .indices
            .chunks_exact(3)
            .map(|corner| {
                let [a, b, c] = [0, 1, 2].map(|i| mesh.vertices[corner[i] as usize].pos);
                ((b - a).x * (c - a).y - (b - a).y * (c - a).x).abs() / 2.0
            })
            .sum();
        assert!((area - 9600.0).abs() < 1.0, "{area}");
    }
}
