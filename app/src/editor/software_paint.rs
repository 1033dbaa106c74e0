//! Paints the toolkit's triangles in software, so that a true picture of the window can be had
//! without a display or a graphics card.
//!
//! Method: textures are kept as the toolkit sends them; each triangle is walked row by row over
//! the pixels whose centre it covers (a pixel on an edge belongs to one of the two triangles that
//! share it), colour and texture place are interpolated, and the result is laid over what is
//! there with premultiplied alpha in gamma space, as the toolkit's own painters do.

use egui::epaint::{ClippedPrimitive, ImageData, Primitive, Vertex};
use egui::{Color32, ColorImage, Mesh, Rect, TextureId, TexturesDelta};
use std::collections::BTreeMap;

/// A picture that is painted on, and the textures that are painted with.
#[derive(Debug)]
pub struct SoftwarePainter {
    width: usize,
    height: usize,
    pixels: Vec<Color32>,
    textures: BTreeMap<TextureId, ColorImage>,
}

impl SoftwarePainter {
    /// A picture of this many pixels.
    #[must_use]
    pub fn new(width: usize, height: usize) -> Self {
        Self {
            width,
            height,
            pixels: vec![Color32::BLACK; width * height],
            textures: BTreeMap::new(),
        }
    }

    /// Takes new and changed textures.
    pub fn update_textures(&mut self, delta: &TexturesDelta) {
        for (id, changes) in &delta.set {
            for change in changes {
                let ImageData::Color(image) = &change.image;
                match change.pos {
                    None => drop(self.textures.insert(*id, (**image).clone())),
                    Some([left, top]) => {
                        if let Some(texture) = self.textures.get_mut(id) {
                            copy_into(texture, image, left, top);
                        }
                    }
                }
            }
        }
    }

    /// Paints triangles; `scale` is pixels for one point.
    pub fn paint(&mut self, primitives: &[ClippedPrimitive], scale: f32) {
        for primitive in primitives {
            if let Primitive::Mesh(mesh) = &primitive.primitive {
                self.mesh(mesh, primitive.clip_rect, scale);
            }
        }
    }

    /// The picture as rows of red, green, blue and alpha.
    #[must_use]
    pub fn rgba(&self) -> Vec<u8> {
        self.pixels.iter().flat_map(|pixel| [pixel.r(), pixel.g(), pixel.b(), 255]).collect()
    }

    fn mesh(&mut self, mesh: &Mesh, clip: Rect, scale: f32) {
        let Some(texture) = self.textures.get(&mesh.texture_id) else { return };
        let bound = |value: f32, most: usize| (value * scale).round().clamp(0.0, most as f32);
        let clip = Clip {
            left: bound(clip.left(), self.width),
            right: bound(clip.right(), self.width),
            top: bound(clip.top(), self.height),
            bottom: bound(clip.bottom(), self.height),
        };
        let mut canvas = Surface { pixels: &mut self.pixels, width: self.width, clip, texture };
        for corners in mesh.indices.chunks_exact(3) {
            let [Some(a), Some(b), Some(c)] =
                [0, 1, 2].map(|corner| mesh.vertices.get(corners[corner] as usize))
            else {
                continue;
            };
            canvas.triangle(
                [a, b, c].map(|vertex| Vertex {
                    pos: (vertex.pos.to_vec2() * scale).to_pos2(),
                    ..*vertex
                }),
            );
        }
    }
}

fn copy_into(texture: &mut ColorImage, image: &ColorImage, left: usize, top: usize) {
    let [width, height] = image.size;
    for row in 0..height {
        let from = row * width;
        let to = (top + row) * texture.size[0] + left;
        let source = image.pixels.get(from..from + width);
        let target = texture.pixels.get_mut(to..to + width);
        if let (Some(source), Some(target)) = (source, target) {
            target.copy_from_slice(source);
        }
    }
}

#[derive(Clone, Copy)]
struct Clip {
    left: f32,
    right: f32,
    top: f32,
    bottom: f32,
}

struct Surface<'a> {
    pixels: &'a mut [Color32],
    width: usize,
    clip: Clip,
    texture: &'a ColorImage,
}

/// Twice the area of a triangle, positive when its corners run clockwise on the screen.
fn twice_area(a: egui::Pos2, b: egui::Pos2, c: egui::Pos2) -> f64 {
    f64::from(b.x - a.x) * f64::from(c.y - a.y) - f64::from(b.y - a.y) * f64::from(c.x - a.x)
}

impl Surface<'_> {
    fn triangle(&mut self, [a, b, c]: [Vertex; 3]) {
        let area = twice_area(a.pos, b.pos, c.pos);
        if area == 0.0 || !area.is_finite() {
            return;
        }
        let (b, c) = if area < 0.0 { (c, b) } else { (b, c) };
        let area = area.abs();
        let least = |values: [f32; 3]| values.into_iter().fold(f32::INFINITY, f32::min);
        let most = |values: [f32; 3]| values.into_iter().fold(f32::NEG_INFINITY, f32::max);
        let xs = [a.pos.x, b.pos.x, c.pos.x];
        let ys = [a.pos.y, b.pos.y, c.pos.y];
        let left = least(xs).max(self.clip.left).floor();
        let right = most(xs).min(self.clip.right).ceil();
        let top = least(ys).max(self.clip.top).floor();
        let bottom = most(ys).min(self.clip.bottom).ceil();
        if left >= right || top >= bottom {
            return;
        }
        let (left, right) =
            (left.max(self.clip.left) as usize, right.min(self.clip.right) as usize);
        let (top, bottom) =
            (top.max(self.clip.top) as usize, bottom.min(self.clip.bottom) as usize);
        let edges = [Edge::new(b.pos, c.pos), Edge::new(c.pos, a.pos), Edge::new(a.pos, b.pos)];
        let shade = Shade::new([a, b, c], self.texture);
        for y in top..bottom {
            let row = y * self.width;
            for x in left..right {
                let at = (x as f64 + 0.5, y as f64 + 0.5);
                let weights = edges.map(|edge| edge.value(at));
                let is_inside =
                    weights.iter().zip(&edges).all(|(weight, edge)| edge.covers(*weight));
                if !is_inside {
                    continue;
                }
                let source = shade.color(weights.map(|weight| (weight / area) as f32));
                if let Some(pixel) = self.pixels.get_mut(row + x) {
                    *pixel = over(source, *pixel);
                }
            }
        }
    }
}

/// A side of a triangle as a function that is positive inside.
#[derive(Clone, Copy)]
struct Edge {
    from: (f64, f64),
    step: (f64, f64),
    owns_border: bool,
}

impl Edge {
    fn new(from: egui::Pos2, to: egui::Pos2) -> Self {
        let from = (f64::from(from.x), f64::from(from.y));
        let step = (f64::from(to.x) - from.0, f64::from(to.y) - from.1);
        // Top and left sides own the pixels on them, so that a shared side is painted once.
        let owns_border = step.1 < 0.0 || (step.1 == 0.0 && step.0 > 0.0);
        Self { from, step, owns_border }
    }

    fn value(&self, at: (f64, f64)) -> f64 {
        self.step.0 * (at.1 - self.from.1) - self.step.1 * (at.0 - self.from.0)
    }

    fn covers(&self, value: f64) -> bool {
        value > 0.0 || (value == 0.0 && self.owns_border)
    }
}

/// Colour over a triangle.
struct Shade<'a> {
    corners: [Vertex; 3],
    texture: &'a ColorImage,
    /// All corners have one colour and one place in the texture.
    flat: Option<Color32>,
}

impl<'a> Shade<'a> {
    fn new(corners: [Vertex; 3], texture: &'a ColorImage) -> Self {
        let [a, b, c] = corners;
        let is_flat = a.color == b.color && b.color == c.color && a.uv == b.uv && b.uv == c.uv;
        let flat = is_flat.then(|| multiply(a.color, sample(texture, a.uv)));
        Self { corners, texture, flat }
    }

    fn color(&self, weights: [f32; 3]) -> Color32 {
        if let Some(flat) = self.flat {
            return flat;
        }
        let mix = |channel: fn(&Vertex) -> f32| {
            self.corners
                .iter()
                .zip(weights)
                .map(|(corner, weight)| channel(corner) * weight)
                .sum::<f32>()
        };
        let byte = |value: f32| (value + 0.5).clamp(0.0, 255.0) as u8;
        let color = Color32::from_rgba_premultiplied(
            byte(mix(|corner| f32::from(corner.color.r()))),
            byte(mix(|corner| f32::from(corner.color.g()))),
            byte(mix(|corner| f32::from(corner.color.b()))),
            byte(mix(|corner| f32::from(corner.color.a()))),
        );
        let place = egui::pos2(mix(|corner| corner.uv.x), mix(|corner| corner.uv.y));
        multiply(color, sample(self.texture, place))
    }
}

/// The texture at a place from 0 to 1, between its four nearest pixels.
fn sample(texture: &ColorImage, place: egui::Pos2) -> [f32; 4] {
    let [width, height] = texture.size;
    let x = (place.x * width as f32 - 0.5).clamp(0.0, width.saturating_sub(1) as f32);
    let y = (place.y * height as f32 - 0.5).clamp(0.0, height.saturating_sub(1) as f32);
    let (left, top) = (x.floor() as usize, y.floor() as usize);
    let (across, down) = (x - x.floor(), y - y.floor());
    let pixel = |dx: usize, dy: usize| {
        let (x, y) =
            ((left + dx).min(width.saturating_sub(1)), (top + dy).min(height.saturating_sub(1)));
        texture.pixels.get(y * width + x).copied().unwrap_or_default().to_array()
    };
    let corners = [
        (pixel(0, 0), (1.0 - across) * (1.0 - down)),
        (pixel(1, 0), across * (1.0 - down)),
        (pixel(0, 1), (1.0 - across) * down),
        (pixel(1, 1), across * down),
    ];
    let mut mixed = [0.0; 4];
    for (color, weight) in corners {
        for (sum, channel) in mixed.iter_mut().zip(color) {
            *sum += f32::from(channel) * weight / 255.0;
        }
    }
    mixed
}

fn multiply(color: Color32, factor: [f32; 4]) -> Color32 {
    let [r, g, b, a] = color.to_array();
    let part = |channel: u8, factor: f32| (f32::from(channel) * factor + 0.5) as u8;
    Color32::from_rgba_premultiplied(
        part(r, factor[0]),
        part(g, factor[1]),
        part(b, factor[2]),
        part(a, factor[3]),
    )
}

/// One premultiplied colour over another.
fn over(source: Color32, ground: Color32) -> Color32 {
    if source.a() == 255 {
        return source;
    }
    let left = 255 - u32::from(source.a());
    let part = |source: u8, ground: u8| {
        (u32::from(source) + (u32::from(ground) * left + 127) / 255).min(255) as u8
    };
    Color32::from_rgba_premultiplied(
        part(source.r(), ground.r()),
        part(source.g(), ground.g()),
        part(source.b(), ground.b()),
        part(source.a(), ground.a()),
    )
}

#[cfg(test)]
mod tests {
    use super::*;
    use egui::{Pos2, pos2};

    fn painted(mesh: Mesh) -> SoftwarePainter {
        let mut painter = SoftwarePainter::new(20, 20);
        let white = ColorImage::filled([1, 1], Color32::WHITE);
        painter.textures.insert(TextureId::default(), white);
        let clip_rect = Rect::from_min_max(Pos2::ZERO, pos2(20.0, 20.0));
        painter.paint(&[ClippedPrimitive { clip_rect, primitive: Primitive::Mesh(mesh) }], 1.0);
        painter
    }

    #[test]
    fn a_half_clear_square_of_two_triangles_is_painted_once_everywhere() {
        let mut mesh = Mesh::default();
        let color = Color32::from_rgba_premultiplied(100, 0, 0, 128);
        for (x, y) in [(2.0, 2.0), (12.0, 2.0), (12.0, 12.0), (2.0, 12.0)] {
            mesh.vertices.push(Vertex::untextured(pos2(x, y), color));
        }
        mesh.indices = vec![0, 1, 2, 0, 2, 3];
        let painter = painted(mesh);
        let red = painter.pixels.iter().filter(|pixel| pixel.r() == 100).count();
        assert_eq!(red, 100);
        assert_eq!(painter.pixels.iter().filter(|pixel| pixel.r() != 0).count(), 100);
    }

    #[test]
    fn colours_run_evenly_between_corners() {
        let mut mesh = Mesh::default();
        for (x, y, grey) in [(0.0, 0.0, 0), (20.0, 0.0, 200), (0.0, 20.0, 0)] {
            mesh.vertices.push(Vertex::untextured(pos2(x, y), Color32::from_gray(grey)));
        }
        mesh.indices = vec![0, 1, 2];
        let painter = painted(mesh);
        assert!((i32::from(painter.pixels[10].r()) - 105).abs() <= 1);
    }
}
