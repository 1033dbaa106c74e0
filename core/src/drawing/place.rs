//! Room for text: never text over text, never off its room, over a line only where there is no
//! other place, and then on a patch of paper.
//!
//! Method: texts and lines that already stand are kept in a grid of cells. A label tries its own
//! spots in order; the first that is free of text and lines is taken, else the free one that
//! crosses the fewest lines. When none is free it looks round its spot in growing rings and is
//! tied to it by a callout. A label that finds no room at all is given back as not placed: the
//! sheet says in a table what it would have said.

use super::mark::Mark;
use super::style::{Ink, Layer, Pen};
use super::text::Text;
use super::{BezPath, Rect, Spot, Vec2, path};
use std::collections::BTreeMap;

/// Side of a grid cell in points: a little over a text's height.
const CELL: f64 = 24.0;
/// Clear space round a text in points.
const CLEAR: f64 = 1.5;
/// A line longer than this many cells is looked up from a short list instead of the grid.
const MOST_CELLS: usize = 4000;

/// What stands where.
#[derive(Clone, Debug)]
pub struct Placer {
    room: Rect,
    boxes: Vec<[Spot; 4]>,
    boxes_by_cell: BTreeMap<(i64, i64), Vec<usize>>,
    lines: Vec<(Spot, Spot)>,
    lines_by_cell: BTreeMap<(i64, i64), Vec<usize>>,
}

/// A text that looks for room.
#[derive(Clone, Debug)]
pub struct Label {
    /// The text; its own spot is the first that is tried.
    pub text: Text,
    /// Layer of the text and its callout.
    pub layer: Layer,
    /// What it is about, for picking.
    pub tag: u64,
    /// Other spots to try.
    pub others: Vec<Spot>,
    /// What it points to when it has to stand away; no callout is drawn when absent.
    pub about: Option<Spot>,
    /// How far away it may stand, in points; 0 for not at all.
    pub reach: f64,
}

impl Label {
    /// A text with no other spot that may stand away with a callout.
    #[must_use]
    pub fn new(layer: Layer, text: Text) -> Self {
        let about = Some(text.at);
        Self { text, layer, tag: 0, others: Vec::new(), about, reach: 120.0 }
    }
}

impl Placer {
    /// An empty room.
    #[must_use]
    pub fn new(room: Rect) -> Self {
        Self {
            room,
            boxes: Vec::new(),
            boxes_by_cell: BTreeMap::new(),
            lines: Vec::new(),
            lines_by_cell: BTreeMap::new(),
        }
    }

    /// Says that text stands here.
    pub fn take_text(&mut self, text: &Text) {
        self.take_corners(text.corners());
    }

    /// Says that this box is taken.
    pub fn take_rect(&mut self, rect: Rect) {
        self.take_corners(corners_of(rect));
    }

    fn take_corners(&mut self, corners: [Spot; 4]) {
        let place = self.boxes.len();
        self.boxes.push(corners);
        for cell in cells_of(bounds_of(&corners)) {
            self.boxes_by_cell.entry(cell).or_default().push(place);
        }
    }

    /// Says that text had better keep off this line.
    pub fn avoid(&mut self, course: &BezPath) {
        for (points, is_closed) in path::flatten(course, 1.0) {
            for pair in points.windows(2) {
                if let &[from, to] = pair {
                    self.avoid_line(from, to);
                }
            }
            if let (true, Some(&first), Some(&last)) = (is_closed, points.first(), points.last()) {
                self.avoid_line(last, first);
            }
        }
    }

    fn avoid_line(&mut self, from: Spot, to: Spot) {
        let place = self.lines.len();
        self.lines.push((from, to));
        let length = (to - from).hypot();
        #[expect(clippy::cast_possible_truncation, reason = "clamped to a few thousand")]
        #[expect(clippy::cast_sign_loss, reason = "a length is not negative")]
        let steps = ((length / (CELL / 3.0)).ceil().clamp(1.0, MOST_CELLS as f64)) as usize;
        let mut last = None;
        for step in 0..=steps {
            let cell = cell_of(from.lerp(to, step as f64 / steps as f64));
            if last != Some(cell) {
                self.lines_by_cell.entry(cell).or_default().push(place);
                last = Some(cell);
            }
        }
    }

    /// Whether a text could stand here: inside the room and on no other text.
    #[must_use]
    pub fn is_free(&self, text: &Text) -> bool {
        self.is_free_box(&text.corners())
    }

    /// Whether an upright box could stand here.
    #[must_use]
    pub fn is_free_rect(&self, rect: Rect) -> bool {
        self.is_free_box(&corners_of(rect))
    }

    fn is_free_box(&self, corners: &[Spot; 4]) -> bool {
        let bounds = bounds_of(corners);
        let is_inside = bounds.x0 >= self.room.x0
            && bounds.y0 >= self.room.y0
            && bounds.x1 <= self.room.x1
            && bounds.y1 <= self.room.y1;
        is_inside
            && cells_of(bounds.inflate(CLEAR, CLEAR)).all(|cell| {
                self.boxes_by_cell.get(&cell).into_iter().flatten().all(|&place| {
                    self.boxes.get(place).is_none_or(|other| !boxes_overlap(corners, other, CLEAR))
                })
            })
    }

    /// How many known lines cross a text's box.
    #[must_use]
    pub fn crossings(&self, text: &Text) -> usize {
        self.crossings_of_box(&text.corners())
    }

    /// Whether no known line comes nearer to a text than the space that letters need to be read.
    #[must_use]
    pub fn is_off_lines(&self, text: &Text) -> bool {
        let (along, up) = text.axes();
        let [a, b, c, d] = text.corners();
        let (along, up) = (along * CLEAR, up * CLEAR);
        let grown = [a - along - up, b + along - up, c + along + up, d - along + up];
        self.crossings_of_box(&grown) == 0
    }

    /// How many known lines cross an upright box.
    #[must_use]
    pub fn crossings_of_rect(&self, rect: Rect) -> usize {
        self.crossings_of_box(&corners_of(rect))
    }

    fn crossings_of_box(&self, corners: &[Spot; 4]) -> usize {
        let mut crossed: Vec<usize> = cells_of(bounds_of(corners))
            .flat_map(|cell| self.lines_by_cell.get(&cell).into_iter().flatten().copied())
            .collect();
        crossed.sort_unstable();
        crossed.dedup();
        crossed
            .into_iter()
            .filter(|&place| {
                self.lines.get(place).is_some_and(|&(from, to)| line_meets_box(from, to, corners))
            })
            .count()
    }

    /// Places a label and returns its marks; `None` when there is no room for it.
    pub fn place(&mut self, label: &Label) -> Option<Vec<Mark>> {
        let own = std::iter::once(label.text.at).chain(label.others.iter().copied());
        if let Some((at, crossings)) = self.best_of(label, own) {
            return Some(self.settle(label, at, crossings, false));
        }
        let mut distance = label.text.size * 1.5;
        while distance <= label.reach {
            let ring = (0..16).map(|turn| {
                // Level directions first: most labels are wider than high.
                let angle = f64::from(turn) * std::f64::consts::TAU / 16.0;
                label.text.at + path::direction(angle) * distance
            });
            if let Some((at, crossings)) = self.best_of(label, ring) {
                return Some(self.settle(label, at, crossings, true));
            }
            distance += label.text.size;
        }
        None
    }

    fn best_of(&self, label: &Label, spots: impl Iterator<Item = Spot>) -> Option<(Spot, usize)> {
        let mut best: Option<(Spot, usize)> = None;
        for at in spots {
            let text = Text { at, ..label.text.clone() };
            if !self.is_free(&text) {
                continue;
            }
            let crossings = self.crossings(&text);
            if crossings == 0 {
                return Some((at, 0));
            }
            if best.is_none_or(|(_, least)| crossings < least) {
                best = Some((at, crossings));
            }
        }
        best
    }

    fn settle(&mut self, label: &Label, at: Spot, crossings: usize, is_away: bool) -> Vec<Mark> {
        let text = Text { at, ..label.text.clone() };
        let mut marks = Vec::new();
        if let (true, Some(about)) = (is_away, label.about) {
            let bounds = bounds_of(&text.corners());
            let near =
                Spot::new(about.x.clamp(bounds.x0, bounds.x1), about.y.clamp(bounds.y0, bounds.y1));
            let course = path::line(about, near);
            self.avoid(&course);
            marks.push(Mark::stroke(label.layer, course, Pen::FINE).tagged(label.tag));
            marks.push(
                Mark::fill(label.layer, path::circle(about, 1.4), text.ink).tagged(label.tag),
            );
        }
        if crossings > 0 {
            let patch = path::polygon(&text.corners());
            marks.push(Mark::fill(label.layer, patch, Ink::Paper).tagged(label.tag));
        }
        self.take_text(&text);
        marks.push(Mark::text(label.layer, text).tagged(label.tag));
        marks
    }
}

#[expect(clippy::cast_possible_truncation, reason = "a float cast saturates, and any cell will do")]
fn cell_of(spot: Spot) -> (i64, i64) {
    ((spot.x / CELL).floor() as i64, (spot.y / CELL).floor() as i64)
}

fn cells_of(rect: Rect) -> impl Iterator<Item = (i64, i64)> {
    let (low, high) = (cell_of(Spot::new(rect.x0, rect.y0)), cell_of(Spot::new(rect.x1, rect.y1)));
    // A box is on paper, so it has few cells; a wild one is cut short.
    let clip = |from: i64, to: i64| from..=to.min(from.saturating_add(MOST_CELLS as i64));
    clip(low.0, high.0).flat_map(move |x| clip(low.1, high.1).map(move |y| (x, y)))
}

fn bounds_of(corners: &[Spot; 4]) -> Rect {
    let [first, ..] = *corners;
    corners.iter().fold(Rect::from_points(first, first), |rect, &spot| rect.union_pt(spot))
}

fn corners_of(rect: Rect) -> [Spot; 4] {
    [
        Spot::new(rect.x0, rect.y1),
        Spot::new(rect.x1, rect.y1),
        Spot::new(rect.x1, rect.y0),
        Spot::new(rect.x0, rect.y0),
    ]
}

/// The sides of a box that may be turned.
fn sides(corners: &[Spot; 4]) -> [(Spot, Spot); 4] {
    let [a, b, c, d] = *corners;
    [(a, b), (b, c), (c, d), (d, a)]
}

/// Whether two boxes, each turned as it likes, come nearer than `clear` to each other. Exact for
/// boxes that touch: a side of one of them separates two convex shapes that are apart.
#[must_use]
pub fn boxes_overlap(one: &[Spot; 4], other: &[Spot; 4], clear: f64) -> bool {
    if bounds_of(one).inflate(clear, clear).intersect(bounds_of(other)).is_zero_area()
        && !bounds_of(one).inflate(clear, clear).overlaps(bounds_of(other))
    {
        return false;
    }
    let separates = |(from, to): (Spot, Spot)| {
        let side = to - from;
        let length = side.hypot();
        if length <= 0.0 {
            return false;
        }
        let across = Vec2::new(-side.y / length, side.x / length);
        let span = |corners: &[Spot; 4]| {
            corners
                .iter()
                .map(|spot| spot.to_vec2().dot(across))
                .fold((f64::INFINITY, f64::NEG_INFINITY), |(low, high), far| {
                    (low.min(far), high.max(far))
                })
        };
        let ((low, high), (other_low, other_high)) = (span(one), span(other));
        high + clear <= other_low + 1e-9 || other_high + clear <= low + 1e-9
    };
    !sides(one).into_iter().chain(sides(other)).any(separates)
}

/// Whether a straight line meets a turned box.
fn line_meets_box(from: Spot, to: Spot, corners: &[Spot; 4]) -> bool {
    // A line is a box without width.
    let thin = [from, to, to, from];
    let separates = |(a, b): (Spot, Spot)| {
        let side = b - a;
        let across = Vec2::new(-side.y, side.x);
        let span = |corners: &[Spot; 4]| {
            corners
                .iter()
                .map(|spot| spot.to_vec2().dot(across))
                .fold((f64::INFINITY, f64::NEG_INFINITY), |(low, high), far| {
                    (low.min(far), high.max(far))
                })
        };
        let ((low, high), (other_low, other_high)) = (span(&thin), span(corners));
        high <= other_low || other_high <= low
    };
    !sides(corners).into_iter().chain([(from, to)]).any(separates)
}

#[cfg(test)]
mod tests {
    use super::*;

    const NOTES: Layer = Layer("Notes");

    #[test]
    fn a_line_that_touches_letters_is_too_near() {
        let mut placer = Placer::new(Rect::new(0.0, 0.0, 300.0, 300.0));
        let text = Text::new(Spot::new(50.0, 100.0), 10.0, "strip 2").centered();
        let right = text.bounds().x1;
        let upright = |x: f64| path::line(Spot::new(x, 0.0), Spot::new(x, 300.0));
        placer.avoid(&upright(right + 1.0));
        assert_eq!(placer.crossings(&text), 0);
        assert!(!placer.is_off_lines(&text));
        let mut placer = Placer::new(Rect::new(0.0, 0.0, 300.0, 300.0));
        placer.avoid(&upright(right + 2.0));
        assert!(placer.is_off_lines(&text));
    }

    #[test]
    fn labels_of_a_crowd_never_overlap() {
        let mut placer = Placer::new(Rect::new(0.0, 0.0, 400.0, 300.0));
        placer.avoid(&path::line(Spot::new(0.0, 150.0), Spot::new(400.0, 150.0)));
        let mut texts = Vec::new();
        for number in 0..60_u32 {
            let at = Spot::new(
                200.0 + f64::from(number * 37 % 23) * 4.0,
                150.0 + f64::from(number * 53 % 19) * 3.0,
            );
            let text = Text::new(at, 9.0, format!("piece {number}")).centered();
            if let Some(marks) = placer.place(&Label::new(NOTES, text)) {
                for mark in marks {
                    if let super::super::Shape::Text(text) = mark.shape {
                        texts.push(text);
                    }
                }
            }
        }
        assert!(texts.len() > 40);
        for (place, text) in texts.iter().enumerate() {
            for other in &texts[place + 1..] {
                assert!(!boxes_overlap(&text.corners(), &other.corners(), 0.0));
            }
            let bounds = text.bounds();
            assert!(bounds.x0 >= 0.0 && bounds.x1 <= 400.0 && bounds.y1 <= 300.0);
        }
    }

    #[test]
    fn text_prefers_a_spot_without_a_line() {
        let mut placer = Placer::new(Rect::new(0.0, 0.0, 200.0, 200.0));
        placer.avoid(&path::line(Spot::new(0.0, 100.0), Spot::new(200.0, 100.0)));
        let text = Text::new(Spot::new(100.0, 100.0), 10.0, "12'-6\"").centered();
        let mut label = Label::new(NOTES, text);
        label.others.push(Spot::new(100.0, 85.0));
        let marks = placer.place(&label).unwrap();
        assert_eq!(marks.len(), 1);
        assert!((marks[0].bounds().unwrap().center().y - 85.0).abs() < 3.0);
    }

    #[test]
    fn turned_boxes_are_told_apart_exactly() {
        let square = |x: f64, y: f64, turned: f64| {
            Text::new(Spot::new(x, y), 10.0, "mm").centered().turned(turned).corners()
        };
        let quarter = std::f64::consts::FRAC_PI_4;
        assert!(boxes_overlap(&square(0.0, 0.0, 0.0), &square(5.0, 5.0, quarter), 0.0));
        // Upright boxes round these two overlap, the texts themselves do not.
        assert!(!boxes_overlap(&square(0.0, 0.0, quarter), &square(11.0, 9.0, quarter), 0.0));
    }
}
