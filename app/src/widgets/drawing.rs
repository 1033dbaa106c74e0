//! A drawing of the core on the screen: the same marks that a sheet prints, in the theme's inks.

use crate::editor::theme::{Palette, bold_font};
use egui::epaint::Vertex;
use egui::{Align2, Color32, FontId, Mesh, Painter, Pos2, Shape as Seen, Stroke, Ui, Vec2};
use lyon::path::Path;
use lyon::tessellation::{
    BuffersBuilder, FillOptions, FillRule, FillTessellator, FillVertex, VertexBuffers,
};
use slabloom_core::drawing::{BezPath, Face, Ink, Mark, Pen, Rect, Shape, Spot, Text, path};

/// Curves are drawn with pieces this near to them, screen points.
const NEAR: f64 = 0.2;

/// Paper of a size in screen points, wide as the panel; `draw` says what stands on it. `name`
/// tells what it shows to those who hear it.
pub fn drawing(
    ui: &mut Ui,
    palette: &Palette,
    (name, height): (&str, f32),
    draw: impl FnOnce(Rect) -> Vec<Mark>,
) {
    let size = Vec2::new(ui.available_width(), height);
    let (rect, response) = ui.allocate_exact_size(size, egui::Sense::hover());
    response.widget_info(|| egui::WidgetInfo::labeled(egui::Role::Image, true, name));
    let painter = ui.painter_at(rect);
    painter.rect_filled(rect, 3.0, palette.paper);
    let room = Rect::new(0.0, 0.0, f64::from(size.x), f64::from(size.y));
    for mark in draw(room) {
        paint(&painter, palette, rect.min, &mark);
    }
}

fn paint(painter: &Painter, palette: &Palette, origin: Pos2, mark: &Mark) {
    match &mark.shape {
        Shape::Stroke { path, pen } => stroke(painter, palette, origin, path, pen),
        Shape::Fill { path, ink } => {
            if let Some(mesh) = filled(path, origin, color(*ink, palette)) {
                painter.add(Seen::mesh(mesh));
            }
        }
        Shape::Hatch { .. } => {
            if let Some((lines, pen)) = mark.hatch_lines() {
                stroke(painter, palette, origin, &lines, &pen);
            }
        }
        Shape::Text(text) => words(painter, palette, origin, text),
    }
}

fn at(origin: Pos2, spot: Spot) -> Pos2 {
    origin + Vec2::new(spot.x as f32, spot.y as f32)
}

/// An ink in the colours of the theme: the paper of the drawing is the paper of the plan.
fn color(ink: Ink, palette: &Palette) -> Color32 {
    let mix = |part: f32| palette.paper.lerp_to_gamma(palette.ink, part);
    match ink {
        Ink::Black => palette.ink,
        Ink::DarkGray => mix(0.75),
        Ink::MidGray => mix(0.45),
        Ink::LightGray => mix(0.2),
        Ink::PaleGray => mix(0.09),
        Ink::Paper => palette.paper,
        Ink::Blue => palette.low_ground,
        Ink::Red => palette.high_ground,
        Ink::Green => palette.good,
        Ink::Orange => palette.warn,
    }
}

fn stroke(painter: &Painter, palette: &Palette, origin: Pos2, course: &BezPath, pen: &Pen) {
    let stroke = Stroke::new(pen.width.max(0.5) as f32, color(pen.ink, palette));
    let pattern: Vec<f32> = pen.dash.pattern(pen.width).iter().map(|l| *l as f32).collect();
    for (spots, is_closed) in path::flatten(course, NEAR) {
        let mut points: Vec<Pos2> = spots.iter().map(|spot| at(origin, *spot)).collect();
        if is_closed {
            points.extend(points.first().copied());
        }
        if pattern.is_empty() {
            painter.add(Seen::line(points, stroke));
        } else {
            let (dashes, gaps): (Vec<f32>, Vec<f32>) =
                pattern.chunks_exact(2).filter_map(|p| Some((*p.first()?, *p.last()?))).unzip();
            let mut shapes = Vec::new();
            Seen::dashed_line_many_with_offset(&points, stroke, &dashes, &gaps, 0.0, &mut shapes);
            painter.extend(shapes);
        }
    }
}

/// An area as triangles, even-odd.
fn filled(course: &BezPath, origin: Pos2, color: Color32) -> Option<Mesh> {
    let mut builder = Path::builder();
    for (spots, _) in path::flatten(course, NEAR) {
        let mut points = spots.iter().map(|spot| at(origin, *spot));
        let first = points.next()?;
        builder.begin(lyon::math::point(first.x, first.y));
        for point in points {
            builder.line_to(lyon::math::point(point.x, point.y));
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

/// Level words; a drawing for the screen has no others.
fn words(painter: &Painter, palette: &Palette, origin: Pos2, text: &Text) {
    let font = match text.face {
        Face::Bold => bold_font(text.size as f32),
        Face::Regular => FontId::proportional(text.size as f32),
    };
    let middle = at(origin, text.bounds().center());
    painter.text(middle, Align2::CENTER_CENTER, &text.content, font, color(text.ink, palette));
}
