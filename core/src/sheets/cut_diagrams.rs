//! Cut diagrams: each board that is cut, drawn to scale with its pieces, its cuts in their order
//! and the marks for what is slanted or curved.
//!
//! A helper marks the whole board from its lower left corner and then cuts, the heaviest lines
//! first. Upright pieces carry their size; the ends of slanted cuts, the corners of notches and
//! the ends of curves carry letters, and the letters' places stand below the board. A curve is
//! given by few ordinates: every foot (300 mm) along it, or at its quarter points when it is short.

use super::foam::inside_point;
use super::foam_rows::{CutBoards, OnBoard, is_shaped, shown};
use super::pieces::{Cards, Diagram, Piece, lines};
use super::plan_marks::FOAM;
use crate::drawing::place::{Label, boxes_overlap};
use crate::drawing::text::{CAP_HEIGHT, Face, LINE_PITCH, NOTE_SIZE, Text};
use crate::drawing::{Ink, Mark, Pen, Placer, Rect, Spot, path};
use crate::foam::cut_order::{BoardCut, curves, cut_order, notches};
use crate::geometry::polygon::ring_contains;
use crate::geometry::{Bounds, Point};
use crate::job::Job;
use crate::units::Rounding;
use std::f64::consts::FRAC_PI_2;

/// Width of a diagram in points: three stand abreast on the smallest paper.
const WIDTH: f64 = 221.0;
/// Greatest height of a drawn board in points.
const HIGHEST: f64 = 120.0;
/// Space left and right of a board in points.
const SIDE: f64 = 2.0;
/// Space between a text and the lines round it in points.
const CLEAR: f64 = 1.1;
/// Points closer than this are one mark, inches.
const SAME: f64 = 0.02;
/// When there are more boards than this, those that are only cut across are left to the cut list.
const MOST_DRAWN: usize = 48;
/// A curve at least this long has an ordinate every foot, inches; a shorter one three.
const LONG_CURVE: f64 = 42.0;

/// Pens of the cuts by rank: first, second, later.
const RANKS: [Pen; 3] = [Pen::HEAVY, Pen::MEDIUM, Pen::FINE];

/// What stands on a sheet for the diagrams of so many boards: how to read them, the diagrams.
pub(super) fn pieces(diagrams: Vec<Diagram>, boards: usize) -> Vec<Piece> {
    let left_out = if diagrams.len() < boards {
        " A board that is not drawn is only cut across: the cut list says where."
    } else {
        ""
    };
    let Some(cards) = Piece::cards(Cards { width: WIDTH, cards: diagrams }) else {
        return Vec::new();
    };
    let legend = ["cut first, from edge to edge", "cut next", "cut last"];
    vec![
        Piece::Note(format!(
            "Cut diagrams: gray is left over. Lettered marks are measured along the board from \
             its left end, then up from its lower edge: mark them on the whole board before it \
             is cut. A curve may also be scribed to the edge on site.{left_out}"
        )),
        Piece::Legend(
            RANKS.into_iter().zip(legend).map(|(pen, say)| (pen, say.to_owned())).collect(),
        ),
        cards,
    ]
}

/// A diagram for each board of this length and width; `name` is what a board is called.
pub(super) fn cut_diagrams(
    job: &Job,
    name: &str,
    boards: &CutBoards<'_>,
    (size, kerf): ((f64, f64), f64),
) -> Vec<Diagram> {
    let is_wanted = |pieces: &[OnBoard<'_>]| {
        boards.len() <= MOST_DRAWN || !pieces.iter().all(|piece| is_cut_across(piece, size))
    };
    boards
        .iter()
        .filter(|(_, pieces)| is_wanted(pieces))
        .map(|(board, pieces)| {
            let outlines: Vec<&[Point]> = pieces.iter().map(|piece| piece.outline).collect();
            let cuts = cut_order(size, &outlines, kerf);
            BoardView::new(job, size).draw(&format!("{name} {}", board + 1), pieces, &cuts)
        })
        .collect()
}

fn is_cut_across(piece: &OnBoard<'_>, (_, width): (f64, f64)) -> bool {
    let height = Bounds::of(piece.outline.iter().copied()).map_or(0.0, |bounds| bounds.height());
    piece.holes.is_empty() && !is_shaped(piece.outline) && (height - width).abs() < SAME
}

/// A place on the board that has a letter.
struct Lettered {
    at: Point,
    letter: String,
}

struct BoardView<'a> {
    job: &'a Job,
    size: (f64, f64),
    /// Points of paper to an inch of board.
    scale: f64,
    /// The board on paper.
    board: Rect,
    marks: Vec<Mark>,
    /// Boxes of the texts that stand.
    texts: Vec<[Spot; 4]>,
    /// For what stands away from its place.
    placer: Placer,
    letters: Vec<Lettered>,
}

impl<'a> BoardView<'a> {
    fn new(job: &'a Job, (length, width): (f64, f64)) -> Self {
        let scale = ((WIDTH - 2.0 * SIDE) / length).min(HIGHEST / width);
        let top = NOTE_SIZE * LINE_PITCH + 2.0;
        let board = Rect::new(SIDE, top, SIDE + length * scale, top + width * scale);
        let room = Rect::new(0.0, top, WIDTH, board.y1 + 3.0 * NOTE_SIZE * LINE_PITCH);
        Self {
            job,
            size: (length, width),
            scale,
            board,
            marks: Vec::new(),
            texts: Vec::new(),
            placer: Placer::new(room),
            letters: Vec::new(),
        }
    }

    /// Paper has y down, the board up.
    fn to_paper(&self, at: Point) -> Spot {
        Spot::new(self.board.x0 + at.x * self.scale, self.board.y1 - at.y * self.scale)
    }

    fn ring(&self, outline: &[Point]) -> Vec<Spot> {
        outline.iter().map(|at| self.to_paper(*at)).collect()
    }

    fn draw(mut self, title: &str, pieces: &[OnBoard<'_>], cuts: &[BoardCut]) -> Diagram {
        let heading = Text::new(Spot::new(SIDE, NOTE_SIZE * CAP_HEIGHT), NOTE_SIZE, title).bold();
        self.marks.push(Mark::text(FOAM, heading));
        self.marks.push(Mark::fill(FOAM, path::rectangle(self.board), Ink::LightGray));
        for piece in pieces {
            let rim = path::polygon(&self.ring(piece.outline));
            self.placer.avoid(&rim);
            self.marks.push(Mark::fill(FOAM, rim.clone(), Ink::Paper));
            self.marks.push(Mark::stroke(FOAM, rim, Pen::FINE));
            for hole in piece.holes {
                let rim = path::polygon(&self.ring(hole));
                if let Some(Rect { x0, y0, x1, y1 }) = path::bounds(&rim) {
                    // No name stands on a pipe.
                    self.placer.take_rect(Rect { x0, y0, x1, y1 });
                    self.texts.push([(x0, y1), (x1, y1), (x1, y0), (x0, y0)].map(Spot::from));
                }
                self.marks.push(Mark::fill(FOAM, rim.clone(), Ink::LightGray));
                self.marks.push(Mark::stroke(FOAM, rim, Pen::FINE));
            }
        }
        for cut in cuts {
            let rank = (cut.rank.max(1) as usize - 1).min(RANKS.len() - 1);
            let pen = RANKS.get(rank).copied().unwrap_or(Pen::FINE);
            let course = path::line(self.to_paper(cut.from), self.to_paper(cut.to));
            self.marks.push(Mark::stroke(FOAM, course, pen));
        }
        self.marks.push(Mark::stroke(FOAM, path::rectangle(self.board), Pen::MEDIUM));
        let mut crowded = Vec::new();
        for piece in pieces {
            if !self.names_inside(piece) {
                crowded.push(piece);
            }
        }
        let said = self.letter_marks(pieces, cuts);
        for piece in crowded {
            self.callout(&piece.name, self.to_paper(inside_point(piece.outline)), NOTE_SIZE * 20.0);
        }
        self.finish(title, pieces.len(), &said)
    }

    /// The name of a piece inside it, with its size where there is room.
    fn names_inside(&mut self, piece: &OnBoard<'_>) -> bool {
        let ring = self.ring(piece.outline);
        let middle = self.to_paper(inside_point(piece.outline));
        let (name, size) = (piece.name.as_str(), piece.size.as_str());
        let pitch = NOTE_SIZE * LINE_PITCH / 2.0;
        let line = format!("{name}: {size}");
        // Above each other, in one line, in one line upright, the name alone, that upright.
        let ways: [Vec<(&str, f64, f64)>; 5] = [
            vec![(name, -pitch, 0.0), (size, pitch, 0.0)],
            vec![(&line, 0.0, 0.0)],
            vec![(&line, 0.0, FRAC_PI_2)],
            vec![(name, 0.0, 0.0)],
            vec![(name, 0.0, FRAC_PI_2)],
        ];
        for way in ways {
            let texts: Vec<Text> = way
                .into_iter()
                .map(|(say, down, angle)| {
                    let at = Spot::new(middle.x, middle.y + down);
                    let text = Text::new(at, NOTE_SIZE, say).centered().turned(angle);
                    if say == name { text.bold() } else { text }
                })
                .collect();
            if texts.iter().all(|text| self.is_room_for(text, &ring)) {
                for text in texts {
                    self.put(text);
                }
                return true;
            }
        }
        false
    }

    /// Whether a text's letters (figures have no descenders) stand inside a ring and on no other.
    fn is_room_for(&self, text: &Text, ring: &[Spot]) -> bool {
        let (along, up) = text.axes();
        let [start, end, ..] = text.corners();
        let foot = up * (text.size * crate::drawing::text::DESCENT - CLEAR);
        let head = up * (text.size * (crate::drawing::text::DESCENT + CAP_HEIGHT) + CLEAR);
        let (left, right) = (start - along * CLEAR, end + along * CLEAR);
        let rim: Vec<Point> = ring.iter().map(|at| Point::new(at.x, at.y)).collect();
        let is_inside = [
            left + foot,
            right + foot,
            right + head,
            left + head,
            (left + head).midpoint(right + head),
        ]
        .iter()
        .all(|at| ring_contains(&rim, Point::new(at.x, at.y)));
        is_inside && self.texts.iter().all(|other| !boxes_overlap(&text.corners(), other, 0.0))
    }

    fn put(&mut self, text: Text) {
        self.texts.push(text.corners());
        self.placer.take_text(&text);
        self.marks.push(Mark::text(FOAM, text));
    }

    /// A word near a place, with a line to it when it has to stand away.
    fn callout(&mut self, say: &str, at: Spot, reach: f64) -> bool {
        let text = Text::new(at, NOTE_SIZE, say).centered().bold();
        let mut label = Label::new(FOAM, text);
        label.reach = reach;
        let Some(marks) = self.placer.place(&label) else { return false };
        for mark in marks {
            if let crate::drawing::Shape::Text(text) = &mark.shape {
                self.texts.push(text.corners());
            }
            self.marks.push(mark);
        }
        true
    }

    /// Letters at the ends of slanted cuts, at notches and curves; gives what is said below, with
    /// the places of holes.
    fn letter_marks(&mut self, pieces: &[OnBoard<'_>], cuts: &[BoardCut]) -> String {
        let mut said: Vec<String> = Vec::new();
        for cut in cuts.iter().filter(|cut| cut.is_slanted()) {
            self.letter(cut.from);
            self.letter(cut.to);
        }
        for piece in pieces {
            for corner in notches(piece.outline) {
                self.letter(corner);
            }
            for curve in curves(piece.outline) {
                let (Some(&first), Some(&last)) = (curve.first(), curve.last()) else { continue };
                let (from, to) = (self.letter(first), self.letter(last));
                let ordinates = ordinates(self.job, &curve);
                let places: Vec<String> = ordinates.iter().map(|at| self.place(*at)).collect();
                for at in ordinates {
                    self.dot(at);
                }
                said.push(format!("Curve {from} to {to} through {}.", places.join("; ")));
            }
            for bounds in piece.holes.iter().filter_map(|hole| Bounds::of(hole.iter().copied())) {
                let say = |inches: f64| shown(self.job, inches.max(0.0));
                said.push(format!(
                    "Hole in {}: along {} to {}, up {} to {}.",
                    piece.name,
                    say(bounds.min.x),
                    say(bounds.max.x),
                    say(bounds.min.y),
                    say(bounds.max.y)
                ));
            }
        }
        let places: Vec<String> = self
            .letters
            .iter()
            .map(|mark| format!("{} {}", mark.letter, self.place(mark.at)))
            .collect();
        if !places.is_empty() {
            said.insert(0, format!("{}.", places.join("; ")));
        }
        said.join(" ")
    }

    /// A place on the board as a helper measures it.
    fn place(&self, at: Point) -> String {
        format!("{}, {}", shown(self.job, at.x.max(0.0)), shown(self.job, at.y.max(0.0)))
    }

    fn dot(&mut self, at: Point) {
        self.marks.push(Mark::fill(FOAM, path::circle(self.to_paper(at), 1.6), Ink::Black));
    }

    /// The letter of a place; a corner of the board needs none and says so in words.
    fn letter(&mut self, at: Point) -> String {
        if let Some(mark) = self.letters.iter().find(|mark| mark.at.distance(at) < SAME) {
            return mark.letter.clone();
        }
        let letter = letter_of(self.letters.len());
        self.dot(at);
        // Just inside the board from its place, away from the rim.
        let spot = self.to_paper(at);
        let step = |low: f64, high: f64, value: f64| {
            if value - low < NOTE_SIZE {
                NOTE_SIZE * 0.8
            } else if high - value < NOTE_SIZE {
                -NOTE_SIZE * 0.8
            } else {
                0.0
            }
        };
        let near = Spot::new(
            spot.x + step(self.board.x0, self.board.x1, spot.x),
            spot.y + step(self.board.y0, self.board.y1, spot.y),
        );
        self.callout(&letter, near, NOTE_SIZE * 5.0);
        self.letters.push(Lettered { at, letter: letter.clone() });
        letter
    }

    fn finish(mut self, title: &str, count: usize, said: &str) -> Diagram {
        let foot = self.texts.iter().flatten().map(|corner| corner.y).fold(self.board.y1, f64::max);
        let mut height = foot + 3.0;
        if !said.is_empty() {
            let at = Spot::new(SIDE, foot + 4.0);
            let (marks, bottom) = lines(said, Face::Regular, NOTE_SIZE, at, WIDTH - 2.0 * SIDE);
            self.marks.extend(marks);
            height = bottom;
        }
        let (length, width) = self.size;
        Diagram {
            alt: format!(
                "{title}, {} by {}: {count} pieces",
                shown(self.job, length),
                shown(self.job, width)
            ),
            height,
            marks: self.marks,
        }
    }
}

/// `a` to `z`, then `a2` and so on.
fn letter_of(place: usize) -> String {
    let letter = char::from(b'a' + u8::try_from(place % 26).unwrap_or(0));
    match place / 26 {
        0 => letter.to_string(),
        round => format!("{letter}{}", round + 1),
    }
}

/// Where a curve is marked between its ends: at even feet along the board (or across it where the
/// curve runs so), at three even places when it is short.
fn ordinates(job: &Job, curve: &[Point]) -> Vec<Point> {
    let (Some(first), Some(last)) = (curve.first(), curve.last()) else { return Vec::new() };
    let is_along = (last.x - first.x).abs() >= (last.y - first.y).abs();
    let along = |at: &Point| if is_along { at.x } else { at.y };
    let (low, high) = (along(first).min(along(last)), along(first).max(along(last)));
    let foot = match job.facts.display.rounding {
        Rounding::Millimeter => 300.0 / 25.4,
        _ => 12.0,
    };
    let mut stations = Vec::new();
    if high - low < LONG_CURVE {
        stations.extend([0.25, 0.5, 0.75].map(|share| low + (high - low) * share));
    } else {
        let mut at = foot * ((low + foot / 4.0) / foot).ceil();
        while at < high - foot / 4.0 && stations.len() < 100 {
            stations.push(at);
            at += foot;
        }
    }
    let at_station = |station: f64| {
        curve.windows(2).find_map(|pair| {
            let &[from, to] = pair else { return None };
            let (a, b) = (along(&from), along(&to));
            let is_here = (a - station) * (b - station) <= 0.0 && (b - a).abs() > 1e-9;
            is_here.then(|| from.toward(to, (station - a) / (b - a)))
        })
    };
    stations.into_iter().filter_map(at_station).collect()
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_curve_is_given_by_few_ordinates() {
        // A circle of 5 ft about the lower right corner of the board, from its left end up.
        let curve: Vec<Point> = (0..=30)
            .map(|step| {
                let angle = std::f64::consts::PI - f64::from(step) * 0.027;
                let (sin, cos) = crate::units::exact_math::sin_cos(angle);
                Point::new(96.0 + 60.0 * cos, 60.0 * sin)
            })
            .collect();
        let job = Job::default();
        let found = ordinates(&job, &curve);
        assert_eq!(found.len(), 3, "it runs up 43 in: {found:?}");
        for at in found {
            assert!((at.y % 12.0).abs() < 1e-6);
            let radius = at.distance(Point::new(96.0, 0.0));
            assert!((radius - 60.0).abs() < 0.02, "{radius}");
        }
        let short = ordinates(&job, &curve[..11]);
        assert_eq!(short.len(), 3);
        assert!((short[1].y - 0.5 * (curve[0].y + curve[10].y)).abs() < 1e-9);
    }

    #[test]
    fn letters_go_on_after_the_last() {
        assert_eq!([letter_of(0), letter_of(25), letter_of(27)], ["a", "z", "b2"]);
    }
}
