//! One page's marks as a content stream.

use super::structure::Structure;
use super::{Refs, Shared};
use pdf_writer::types::LineJoinStyle;
use pdf_writer::{Content, Name, Str};
use slabloom_core::drawing::page::{Block, Role};
use slabloom_core::drawing::{BezPath, Ink, Layer, Mark, Page, PathEl, Pen, Shape, Spot, Text};

struct Painter<'a> {
    content: Content,
    shared: &'a Shared,
    height: f64,
    pen: Option<Pen>,
    ink: Option<Ink>,
    layer: Option<Layer>,
}

/// The content stream of a page, with its blocks entered into the structure.
pub fn stream(
    page: &Page,
    place: usize,
    shared: &Shared,
    structure: &mut Structure,
    refs: &mut Refs,
) -> Vec<u8> {
    let mut painter = Painter {
        content: Content::new(),
        shared,
        height: page.size.height,
        pen: None,
        ink: None,
        layer: None,
    };
    painter.content.set_line_join(LineJoinStyle::RoundJoin);
    structure.start_page(place, &format!("{} {}", page.number, page.title), refs);
    for block in &page.blocks {
        painter.block(block, structure, refs);
    }
    painter.content.finish().to_vec()
}

/// Thousandths of a point are finer than any printer.
fn number(value: f64) -> f32 {
    ((value * 1000.0).round() / 1000.0) as f32
}

impl Painter<'_> {
    fn block(&mut self, block: &Block, structure: &mut Structure, refs: &mut Refs) {
        if block.role == Role::Artifact {
            self.content.begin_marked_content(Name(b"Artifact"));
        } else if let Some((tag, id)) = structure.enter(&block.role, refs) {
            self.content
                .begin_marked_content_with_properties(Name(tag))
                .properties()
                .pair(Name(b"MCID"), id);
        }
        for mark in &block.marks {
            self.set_layer(Some(mark.layer));
            self.mark(mark);
        }
        self.set_layer(None);
        self.content.end_marked_content();
    }

    fn set_layer(&mut self, layer: Option<Layer>) {
        if self.layer == layer {
            return;
        }
        if self.layer.is_some() {
            self.content.end_marked_content();
        }
        if let Some((_, name)) = layer.and_then(|layer| self.shared.layers.get(&layer)) {
            self.content
                .begin_marked_content_with_properties(Name(b"OC"))
                .properties_named(Name(name.as_bytes()));
            self.layer = layer;
        } else {
            self.layer = None;
        }
    }

    fn mark(&mut self, mark: &Mark) {
        match &mark.shape {
            Shape::Stroke { path, pen } => self.stroke(path, *pen),
            Shape::Fill { path, ink } => {
                self.set_ink(*ink);
                if self.path(path) {
                    self.content.fill_even_odd();
                }
            }
            Shape::Hatch { .. } => {
                if let Some((lines, pen)) = mark.hatch_lines() {
                    self.stroke(&lines, pen);
                }
            }
            Shape::Text(text) => self.text(text),
        }
    }

    fn stroke(&mut self, path: &BezPath, pen: Pen) {
        if self.pen != Some(pen) {
            if self.pen.is_none_or(|old| old.width != pen.width) {
                self.content.set_line_width(number(pen.width));
            }
            if self.pen.is_none_or(|old| old.ink != pen.ink) {
                let [r, g, b] = shares(pen.ink);
                self.content.set_stroke_rgb(r, g, b);
            }
            let is_same_dash =
                self.pen.is_some_and(|old| old.dash == pen.dash && old.width == pen.width);
            if !is_same_dash {
                let pattern = pen.dash.pattern(pen.width);
                self.content.set_dash_pattern(pattern.into_iter().map(number), 0.0);
            }
            self.pen = Some(pen);
        }
        if self.path(path) {
            self.content.stroke();
        }
    }

    fn set_ink(&mut self, ink: Ink) {
        if self.ink != Some(ink) {
            let [r, g, b] = shares(ink);
            self.content.set_fill_rgb(r, g, b);
            self.ink = Some(ink);
        }
    }

    /// Writes a path; whether there was anything of it.
    fn path(&mut self, path: &BezPath) -> bool {
        let height = self.height;
        let spot = |at: Spot| (number(at.x), number(height - at.y));
        let mut at = Spot::ZERO;
        for element in path.elements() {
            match *element {
                PathEl::MoveTo(to) => {
                    let (x, y) = spot(to);
                    self.content.move_to(x, y);
                    at = to;
                }
                PathEl::LineTo(to) => {
                    let (x, y) = spot(to);
                    self.content.line_to(x, y);
                    at = to;
                }
                PathEl::QuadTo(c, to) => {
                    let (a, b) = (at.lerp(c, 2.0 / 3.0), to.lerp(c, 2.0 / 3.0));
                    let ((x1, y1), (x2, y2), (x3, y3)) = (spot(a), spot(b), spot(to));
                    self.content.cubic_to(x1, y1, x2, y2, x3, y3);
                    at = to;
                }
                PathEl::CurveTo(a, b, to) => {
                    let ((x1, y1), (x2, y2), (x3, y3)) = (spot(a), spot(b), spot(to));
                    self.content.cubic_to(x1, y1, x2, y2, x3, y3);
                    at = to;
                }
                PathEl::ClosePath => {
                    self.content.close_path();
                }
            }
        }
        !path.elements().is_empty()
    }

    fn text(&mut self, text: &Text) {
        let Some((font, bytes)) = self.shared.fonts.encode(text.face, &text.content) else {
            return;
        };
        if bytes.is_empty() {
            return;
        }
        self.set_ink(text.ink);
        let origin = text.origin();
        let (along, up) = text.axes();
        self.content
            .begin_text()
            .set_font(Name(font), number(text.size))
            .set_text_matrix([
                along.x as f32,
                -along.y as f32,
                up.x as f32,
                -up.y as f32,
                number(origin.x),
                number(self.height - origin.y),
            ])
            .show(Str(&bytes))
            .end_text();
    }
}

fn shares(ink: Ink) -> [f32; 3] {
    ink.rgb().map(|channel| ((f32::from(channel) / 255.0) * 1000.0).round() / 1000.0)
}
