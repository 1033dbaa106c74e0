//! A cut on paper: hatched areas, dimensions below and beside, names above on upright lines.

use super::cut::Cut;
use crate::drawing::dimension::Dimension;
use crate::drawing::text::{LINE_PITCH, NOTE_SIZE, Text};
use crate::drawing::{
    Affine, BezPath, Dash, Hatch, Ink, Mark, Pen, Placer, Rect, Scale, Spot, path,
};
use crate::job::Job;
use crate::sheets::plan_marks::{DIMENSIONS, FOAM, NOTES, SLAB, STEEL, TUBE};
use crate::units::{Length, show_inches};

/// Height of a row of names in points.
const ROW: f64 = NOTE_SIZE * LINE_PITCH;
/// Room below for a chain of sizes, in points.
const BELOW: f64 = 34.0;
/// Room on the left for the depth, in points.
const LEFT: f64 = 46.0;
/// Room on the right for the floor's thickness and the end of the last names, in points.
const RIGHT: f64 = 84.0;

/// The room on paper beyond the cut itself, in points: across and down.
pub(super) fn room_for_words(cut: &Cut) -> (f64, f64) {
    (LEFT + RIGHT, ROW * (cut.callouts.len() as f64 + 1.0) + BELOW)
}

/// The marks of a cut in a room at a scale.
pub(super) fn draw(job: &Job, cut: &Cut, room: Rect, scale: Scale) -> Vec<Mark> {
    let k = scale.points_per_inch();
    let top = room.y0 + ROW * (cut.callouts.len() as f64 + 0.8);
    let left = room.x0 + LEFT;
    let view = Affine::new([k, 0.0, 0.0, k, left - cut.extent.x0 * k, top - cut.extent.y0 * k]);
    let mut drawing = Drawing { view, placer: Placer::new(room), marks: Vec::new() };
    drawing.layers(cut);
    drawing.names(cut, room);
    drawing.bars_and_tubes(cut);
    drawing.break_lines(cut);
    drawing.sizes(job, cut);
    drawing.marks
}

struct Drawing {
    view: Affine,
    placer: Placer,
    marks: Vec<Mark>,
}

impl Drawing {
    fn area(&mut self, rim: &[Spot], (layer, hatch): (crate::drawing::Layer, Hatch), pen: Pen) {
        let shape = self.view * path::polygon(rim);
        self.marks.push(Mark::hatch(layer, shape.clone(), hatch));
        self.stroke(layer, shape, pen);
    }

    fn stroke(&mut self, layer: crate::drawing::Layer, course: BezPath, pen: Pen) {
        self.placer.avoid(&course);
        self.marks.push(Mark::stroke(layer, course, pen));
    }

    fn line(&mut self, layer: crate::drawing::Layer, (from, to): (Spot, Spot), pen: Pen) {
        self.stroke(layer, path::line(self.view * from, self.view * to), pen);
    }

    /// Ground, stone, foam, concrete, steel and tube, from the bottom up.
    fn layers(&mut self, cut: &Cut) {
        for rim in &cut.stone {
            self.area(rim, (SLAB, Hatch::GROUND), Pen::HAIR);
        }
        for rim in &cut.foam {
            self.area(rim, (FOAM, Hatch::FOAM), Pen::THIN);
        }
        let concrete = self.view * path::polygon(&cut.concrete);
        self.marks.push(Mark::fill(SLAB, concrete.clone(), Ink::PaleGray));
        self.marks.push(Mark::hatch(SLAB, concrete.clone(), Hatch::CUT));
        self.stroke(SLAB, concrete, Pen::HEAVY);
        if let Some(wall) = cut.wall {
            let shape = self.view * path::rectangle(wall);
            self.marks.push(Mark::hatch(SLAB, shape.clone(), Hatch::CUT));
            self.stroke(SLAB, shape, Pen::WIDE);
        }
        for &ends in &cut.membrane {
            self.line(SLAB, ends, Pen::WIDE.dashed(Dash::LongDashDot));
        }
        if let Some(ends) = cut.ground {
            self.line(SLAB, ends, Pen::MEDIUM);
        }
        for &ends in &cut.floor_steel {
            self.line(STEEL, ends, Pen::MEDIUM.dashed(Dash::Dashed));
        }
    }

    /// What runs into the paper, over the lines of the names.
    fn bars_and_tubes(&mut self, cut: &Cut) {
        for &spot in &cut.bars.0 {
            let dot = self.view * path::circle(spot, cut.bars.1.max(0.2));
            self.marks.push(Mark::fill(STEEL, dot, Ink::Black));
        }
        for &spot in &cut.tubes.0 {
            let ring = self.view * path::circle(spot, cut.tubes.1);
            self.marks.push(Mark::fill(TUBE, ring.clone(), Ink::Paper));
            self.marks.push(Mark::stroke(TUBE, ring, Pen::MEDIUM));
        }
    }

    /// A strip of paper with a jagged rim on both sides, where the drawing is shorter than life.
    fn break_lines(&mut self, cut: &Cut) {
        const HALF_GAP: f64 = 3.0;
        const OVER: f64 = 2.0;
        const JOG: f64 = 3.0;
        let Some(at) = cut.break_at else { return };
        let depth = cut.concrete.iter().map(|spot| spot.y).fold(0.0, f64::max);
        let (top, bottom) = (self.view * Spot::new(at, 0.0), self.view * Spot::new(at, depth));
        let rim = |side: f64| {
            let x = top.x + HALF_GAP * side;
            let middle = (top.y + bottom.y) / 2.0;
            vec![
                Spot::new(x, top.y - OVER),
                Spot::new(x, middle - JOG * 1.5),
                Spot::new(x - JOG, middle - JOG * 0.5),
                Spot::new(x + JOG, middle + JOG * 0.5),
                Spot::new(x, middle + JOG * 1.5),
                Spot::new(x, bottom.y + OVER),
            ]
        };
        let mut strip = rim(-1.0);
        strip.extend(rim(1.0).into_iter().rev());
        self.marks.push(Mark::fill(SLAB, path::polygon(&strip), Ink::Paper));
        for side in [-1.0, 1.0] {
            self.stroke(SLAB, path::polyline(&rim(side)), Pen::THIN);
        }
    }

    /// Names in rows above, each at the head of an upright line that ends in what it names. The
    /// leftmost has the top row, so that no line goes through a name.
    fn names(&mut self, cut: &Cut, room: Rect) {
        let mut callouts: Vec<(Spot, &str)> =
            cut.callouts.iter().map(|(at, words)| (self.view * *at, words.as_str())).collect();
        callouts.sort_by(|one, other| one.0.x.total_cmp(&other.0.x));
        let mut last = f64::NEG_INFINITY;
        for (row, (at, words)) in callouts.into_iter().enumerate() {
            // Lines that would run into one another are parted.
            let x = at.x.max(last + 5.0);
            last = x;
            let y = room.y0 + ROW * (row as f64 + 0.8);
            let width = room.x1 - x - 4.0;
            let words = crate::drawing::text::fitted(
                words,
                crate::drawing::Face::Regular,
                NOTE_SIZE,
                width,
            );
            let text = Text::new(Spot::new(x + 3.0, y), NOTE_SIZE, words);
            self.placer.take_text(&text);
            let head = Spot::new(x, y - NOTE_SIZE * 0.7);
            let course = path::polyline(&[head, Spot::new(x, at.y.max(head.y)), at]);
            self.stroke(NOTES, course, Pen::FINE);
            self.marks.push(Mark::fill(NOTES, path::circle(at, 1.6), Ink::Black));
            self.marks.push(Mark::text(NOTES, text));
        }
    }

    fn sizes(&mut self, job: &Job, cut: &Cut) {
        for size in &cut.sizes {
            let dimension = Dimension {
                from: self.view * size.from,
                to: self.view * size.to,
                out: size.out,
                offset: 16.0,
                label: show_inches(Length::inches(size.inches), job.facts.display.rounding),
                size: NOTE_SIZE,
                layer: DIMENSIONS,
                tag: 0,
            };
            if let Some(marks) = dimension.draw(&mut self.placer) {
                self.marks.extend(marks);
            }
        }
    }
}
