//! Filling of straight-sided areas with smooth rims.
//!
//! Each pixel row is crossed by [`SUBROWS`] lines; between two crossings the share of every
//! pixel that is covered is exact, so upright and slanted rims are smooth alike.

use image::RgbImage;
use kurbo::Point;

/// Lines across a pixel row.
const SUBROWS: u32 = 5;

/// Which side of crossing rims is inside.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Rule {
    /// Odd crossings.
    EvenOdd,
    /// A winding that is not zero.
    NonZero,
}

/// A white sheet of pixels.
pub struct Raster {
    width: u32,
    height: u32,
    image: RgbImage,
    coverage: Vec<f32>,
}

struct Edge {
    top: f64,
    bottom: f64,
    x_at_top: f64,
    slope: f64,
    winding: i32,
}

impl Raster {
    /// A white sheet.
    pub fn new(width: u32, height: u32) -> Self {
        let image = RgbImage::from_pixel(width, height, image::Rgb([255, 255, 255]));
        Self { width, height, image, coverage: vec![0.0; width as usize + 1] }
    }

    /// The finished picture.
    pub fn into_image(self) -> RgbImage {
        self.image
    }

    /// Fills the area within closed rims given as lines, in pixels.
    pub fn fill(&mut self, lines: &[(Point, Point)], rule: Rule, color: [u8; 3]) {
        let mut edges: Vec<Edge> = lines.iter().filter_map(edge).collect();
        edges.sort_by(|a, b| a.top.total_cmp(&b.top));
        let bottom = edges.iter().map(|edge| edge.bottom).fold(0.0, f64::max);
        let Some(top) = edges.first().map(|edge| edge.top) else { return };
        let first = top.floor().clamp(0.0, f64::from(self.height)) as u32;
        let last = bottom.ceil().clamp(0.0, f64::from(self.height)) as u32;
        let mut active: Vec<usize> = Vec::new();
        let mut waiting = 0;
        let mut crossings: Vec<(f64, i32)> = Vec::new();
        for row in first..last {
            while edges.get(waiting).is_some_and(|edge| edge.top < f64::from(row) + 1.0) {
                active.push(waiting);
                waiting += 1;
            }
            active.retain(|&place| edges[place].bottom > f64::from(row));
            let mut touched = None;
            for sub in 0..SUBROWS {
                let y = f64::from(row) + (f64::from(sub) + 0.5) / f64::from(SUBROWS);
                crossings.clear();
                crossings.extend(active.iter().filter_map(|&place| {
                    let edge = &edges[place];
                    let is_met = edge.top <= y && y < edge.bottom;
                    is_met.then_some((edge.x_at_top + (y - edge.top) * edge.slope, edge.winding))
                }));
                crossings.sort_by(|a, b| a.0.total_cmp(&b.0));
                self.cover(&crossings, rule, &mut touched);
            }
            if let Some((from, to)) = touched {
                self.blend(row, from, to, color);
            }
        }
    }

    /// Adds one line's share of coverage.
    fn cover(
        &mut self,
        crossings: &[(f64, i32)],
        rule: Rule,
        touched: &mut Option<(usize, usize)>,
    ) {
        let mut winding = 0;
        for pair in crossings.windows(2) {
            winding += match rule {
                Rule::EvenOdd => 1,
                Rule::NonZero => pair[0].1,
            };
            let is_inside = match rule {
                Rule::EvenOdd => winding % 2 != 0,
                Rule::NonZero => winding != 0,
            };
            let (from, to) = (pair[0].0.max(0.0), pair[1].0.min(f64::from(self.width)));
            if !is_inside || to <= from {
                continue;
            }
            let (first, last) = (from.floor() as usize, (to.ceil() as usize).max(1) - 1);
            for pixel in first..=last {
                let share = (to.min(pixel as f64 + 1.0) - from.max(pixel as f64)).max(0.0);
                self.coverage[pixel] += (share / f64::from(SUBROWS)) as f32;
            }
            *touched = Some(match *touched {
                Some((low, high)) => (low.min(first), high.max(last)),
                None => (first, last),
            });
        }
    }

    /// Paints what was covered of a row and clears the coverage.
    fn blend(&mut self, row: u32, from: usize, to: usize, color: [u8; 3]) {
        for pixel in from..=to {
            let share = self.coverage[pixel].min(1.0);
            self.coverage[pixel] = 0.0;
            if share <= 0.0 {
                continue;
            }
            let old = self.image.get_pixel_mut(pixel as u32, row);
            for (channel, ink) in old.0.iter_mut().zip(color) {
                let mixed = f32::from(*channel) * (1.0 - share) + f32::from(ink) * share;
                *channel = mixed.round() as u8;
            }
        }
    }
}

fn edge(&(from, to): &(Point, Point)) -> Option<Edge> {
    if from.y == to.y || !(from.is_finite() && to.is_finite()) {
        return None;
    }
    let (upper, lower, winding) = if from.y < to.y { (from, to, 1) } else { (to, from, -1) };
    let slope = (lower.x - upper.x) / (lower.y - upper.y);
    Some(Edge { top: upper.y, bottom: lower.y, x_at_top: upper.x, slope, winding })
}

#[cfg(test)]
mod tests {
    use super::*;

    fn square(low: f64, high: f64) -> Vec<(Point, Point)> {
        let corners = [(low, low), (high, low), (high, high), (low, high)].map(Point::from);
        (0..4).map(|place| (corners[place], corners[(place + 1) % 4])).collect()
    }

    #[test]
    fn coverage_is_the_area() {
        let mut raster = Raster::new(20, 20);
        raster.fill(&square(4.5, 10.1), Rule::NonZero, [0, 0, 0]);
        let image = raster.into_image();
        let ink: f64 = image.pixels().map(|pixel| (255.0 - f64::from(pixel.0[0])) / 255.0).sum();
        assert!((ink - 5.6 * 5.6).abs() < 0.6, "{ink}");
    }

    #[test]
    fn the_rules_differ_where_rims_overlap() {
        let both: Vec<_> = square(2.0, 12.0).into_iter().chain(square(5.0, 9.0)).collect();
        for (rule, middle) in [(Rule::EvenOdd, 255), (Rule::NonZero, 0)] {
            let mut raster = Raster::new(16, 16);
            raster.fill(&both, rule, [0, 0, 0]);
            assert_eq!(raster.into_image().get_pixel(7, 7).0[0], middle);
        }
    }
}
