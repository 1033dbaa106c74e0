//! A page as a picture, drawn by our own rasteriser: no display, no graphics card.

mod raster;

use image::RgbImage;
use kurbo::{Affine, BezPath, Cap, Join, PathEl, Point, Stroke, StrokeOpts};
use raster::{Raster, Rule};
use slabloom_core::drawing::{Face, Mark, Page, Pen, Shape, Text};
use std::collections::BTreeMap;
use std::io::Cursor;

/// No picture is wider or higher than this, in pixels.
const MOST_PIXELS: f64 = 20_000.0;

/// The page at a resolution in dots an inch, on white.
#[must_use]
pub fn picture(page: &Page, dots_per_inch: f64) -> RgbImage {
    let longest = page.size.width.max(page.size.height).max(1.0);
    let scale = (dots_per_inch / 72.0).clamp(0.01, MOST_PIXELS / longest);
    let size = |points: f64| (points * scale).round().clamp(1.0, MOST_PIXELS) as u32;
    let mut painter = Painter {
        raster: Raster::new(size(page.size.width), size(page.size.height)),
        scale,
        glyphs: BTreeMap::new(),
    };
    for mark in page.marks() {
        painter.mark(mark);
    }
    painter.raster.into_image()
}

/// The page as a PNG file.
///
/// # Errors
/// When the encoder fails, which means that memory ran out.
pub fn png(page: &Page, dots_per_inch: f64) -> Result<Vec<u8>, image::ImageError> {
    let mut bytes = Vec::new();
    picture(page, dots_per_inch).write_to(&mut Cursor::new(&mut bytes), image::ImageFormat::Png)?;
    Ok(bytes)
}

struct Painter {
    raster: Raster,
    scale: f64,
    glyphs: BTreeMap<(Face, char), (BezPath, f64)>,
}

impl Painter {
    fn mark(&mut self, mark: &Mark) {
        let to_pixels = Affine::scale(self.scale);
        match &mark.shape {
            Shape::Stroke { path, pen } => self.stroke(path, *pen),
            Shape::Fill { path, ink } => {
                self.raster.fill(&flat(&(to_pixels * path)), Rule::EvenOdd, ink.rgb());
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
        let pattern: Vec<f64> =
            pen.dash.pattern(pen.width).iter().map(|length| length * self.scale).collect();
        let style = Stroke::new(pen.width * self.scale)
            .with_caps(Cap::Butt)
            .with_join(Join::Round)
            .with_dashes(0.0, pattern);
        let course = Affine::scale(self.scale) * path;
        let outline = kurbo::stroke(course, &style, &StrokeOpts::default(), 0.1);
        self.raster.fill(&flat(&outline), Rule::NonZero, pen.ink.rgb());
    }

    fn text(&mut self, text: &Text) {
        let (along, up) = text.axes();
        let mut at = text.origin();
        let k = text.size * self.scale;
        for character in text.content.chars() {
            let key = (text.face, character);
            let (outline, advance) =
                self.glyphs.entry(key).or_insert_with(|| outline_of(text.face, character));
            // Glyphs are drawn in shares of the text size, y up.
            let (x, y) = (at.x * self.scale, at.y * self.scale);
            let to_page = Affine::new([along.x * k, along.y * k, up.x * k, up.y * k, x, y]);
            self.raster.fill(&flat(&(to_page * &*outline)), Rule::NonZero, text.ink.rgb());
            at += along * (*advance * text.size);
        }
    }
}

/// A character's outline and advance in shares of the text size.
fn outline_of(face: Face, character: char) -> (BezPath, f64) {
    let Ok(font) = ttf_parser::Face::parse(face.bytes(), 0) else {
        return (BezPath::new(), 0.6);
    };
    let per_em = f64::from(font.units_per_em());
    let glyph = font.glyph_index(character).unwrap_or(ttf_parser::GlyphId(0));
    let mut outline = Outline(BezPath::new());
    font.outline_glyph(glyph, &mut outline);
    let advance = font.glyph_hor_advance(glyph).map_or(0.0, f64::from) / per_em;
    (Affine::scale(1.0 / per_em) * outline.0, advance)
}

struct Outline(BezPath);

fn spot(x: f32, y: f32) -> Point {
    Point::new(f64::from(x), f64::from(y))
}

impl ttf_parser::OutlineBuilder for Outline {
    fn move_to(&mut self, x: f32, y: f32) {
        self.0.move_to(spot(x, y));
    }
    fn line_to(&mut self, x: f32, y: f32) {
        self.0.line_to(spot(x, y));
    }
    fn quad_to(&mut self, x1: f32, y1: f32, x: f32, y: f32) {
        self.0.quad_to(spot(x1, y1), spot(x, y));
    }
    fn curve_to(&mut self, x1: f32, y1: f32, x2: f32, y2: f32, x: f32, y: f32) {
        self.0.curve_to(spot(x1, y1), spot(x2, y2), spot(x, y));
    }
    fn close(&mut self) {
        self.0.close_path();
    }
}

/// A path in pixels as straight lines, every sub-path closed.
fn flat(path: &BezPath) -> Vec<(Point, Point)> {
    let mut lines = Vec::new();
    let (mut start, mut at) = (Point::ZERO, Point::ZERO);
    kurbo::flatten(path, 0.08, |element| match element {
        PathEl::MoveTo(to) => {
            lines.push((at, start));
            (start, at) = (to, to);
        }
        PathEl::LineTo(to) => {
            lines.push((at, to));
            at = to;
        }
        PathEl::ClosePath => {
            lines.push((at, start));
            at = start;
        }
        PathEl::QuadTo(..) | PathEl::CurveTo(..) => {}
    });
    lines.push((at, start));
    lines
}

#[cfg(test)]
mod tests {
    use super::super::sample;
    use super::*;

    #[test]
    fn a_known_length_measures_true() {
        let image = picture(&sample::page(), 144.0);
        assert_eq!(image.dimensions(), (1584, 1224));
        // The square of 360 points is 720 pixels from the middle of one line to the other.
        let row = 500;
        let dark: Vec<u32> =
            (0..image.width()).filter(|&x| image.get_pixel(x, row).0[0] < 100).collect();
        let (first, last) = (dark[0], *dark.iter().find(|&&x| x > 780 && x < 800).unwrap());
        assert!((f64::from(last - first) - 720.0).abs() <= 1.0, "{first} {last}");
    }

    #[test]
    fn text_is_drawn_where_the_page_says() {
        let page = sample::page();
        let image = picture(&page, 72.0);
        let text = page.texts().find(|text| text.content == "upright").unwrap();
        let bounds = text.bounds();
        let ink = |x0: f64, y0: f64, x1: f64, y1: f64| {
            let mut sum = 0.0;
            for y in y0 as u32..y1 as u32 {
                for x in x0 as u32..x1 as u32 {
                    sum += 255.0 - f64::from(image.get_pixel(x, y).0[0]);
                }
            }
            sum / 255.0
        };
        assert!(ink(bounds.x0, bounds.y0, bounds.x1, bounds.y1) > 60.0);
        assert!(ink(bounds.x1 + 2.0, bounds.y0, bounds.x1 + 8.0, bounds.y1) < 1.0);
    }

    #[test]
    fn a_picture_is_a_png_and_the_same_twice() {
        let page = sample::page();
        let bytes = png(&page, 50.0).unwrap();
        assert_eq!(&bytes[..8], b"\x89PNG\r\n\x1a\n");
        assert_eq!(bytes, png(&page, 50.0).unwrap());
    }
}
