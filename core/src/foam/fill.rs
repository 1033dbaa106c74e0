//! Filling strips with boards: the plan of choices, and what comes out of it.
//!
//! Question: with these choices, how many boards does the surface take? The strips are filled one
//! after the other as a crew would: what is left of one course starts another, an offcut that
//! fits is used before a board is opened, and where a joint falls is free as long as it keeps
//! away from the joints of the courses beside it. The freedom is in a [`Choice`] a strip; the
//! search tries many sets of them.
#![expect(
    clippy::indexing_slicing,
    reason = "every index is made by this file's own loops over the same vectors"
)]

use super::courses::Strip;
use super::end_seams::{EndSeam, end_seams};
use super::front::{Front, kept_off, turned};
use super::offcuts::{
    Motion, Offcut, Shape, best_lay, best_offcut, contact_of, cut_out, ways_to_lay,
};
use super::reach::{self, Way};
use crate::geometry::{Point, Vector};

/// Rounding allowed along a course, inches.
pub(super) const SAME: f64 = 1e-6;

/// What boards are like and how they may be cut.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(super) struct Stock {
    /// Long side of a board.
    pub length: f64,
    /// Short side of a board.
    pub width: f64,
    /// What a cut eats.
    pub kerf: f64,
    /// Least distance between end seams of neighbouring courses.
    pub stagger: f64,
    /// Pieces narrower than this are small.
    pub least: f64,
    /// Least distance between end seams and those of the layer above.
    pub apart: f64,
}

/// What a strip starts with.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub(super) enum Start {
    /// An offcut.
    #[default]
    Offcut,
    /// A whole board.
    Whole,
    /// A new board cut to so many twelfths of its length.
    Twelfths(u8),
    /// What is missing up to the joints of a running bond: they fall on one lattice, so many 24ths
    /// of a board's length from the axes' origin, in every second course half a board on. However
    /// the walls step, such joints stand half a board apart.
    Bond(u8),
}

/// How one strip is filled.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub(super) struct Choice {
    /// Strips are filled in the order of this number.
    pub order: u16,
    /// From the far end back.
    pub is_backward: bool,
    /// What the strip starts with.
    pub start: Start,
    /// Offcuts are used all along, not only at the ends.
    pub is_thrifty: bool,
    /// New boards are cut across rather than ripped along.
    pub is_crosswise: bool,
    /// The longest of equally good offcuts first.
    pub is_longest_first: bool,
}

/// One piece as laid: which part of which strip, and from where.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(super) struct Laid {
    /// Index of the strip.
    pub strip: usize,
    /// Where the piece starts along the course.
    pub from: f64,
    /// Where it ends.
    pub to: f64,
    /// Which board it is cut from.
    pub board: u32,
    /// From course axes to the board's.
    pub motion: Motion,
    /// Cut from what was left of a board that had been cut already.
    pub is_offcut: bool,
    /// Cuts that it took.
    pub cuts: u32,
}

/// What filling came to.
#[derive(Clone, Debug, Default)]
pub(super) struct Filled {
    /// Pieces in the order they were cut.
    pub laid: Vec<Laid>,
    /// Boards opened.
    pub boards: u32,
    /// Straight cuts.
    pub cuts: u32,
    /// Pieces smaller than the least.
    pub small: u32,
    /// Joints nearer to a neighbour's than the stagger.
    pub close: u32,
    /// Joints over a seam of the layer above.
    pub over: u32,
    /// Remainders looked at, for the budget.
    pub work: u64,
    /// What is left.
    pub pool: Vec<Offcut>,
}

impl Filled {
    /// How well what is left is gathered: sum of squared areas in boards. More is better.
    pub fn gathered(&self, stock: &Stock) -> f64 {
        let board = stock.length * stock.width;
        self.pool.iter().map(|offcut| offcut.shape.area / board).map(|share| share * share).sum()
    }
}

/// The strips to fill, with what the fillings share.
#[derive(Clone, Debug)]
pub(super) struct Task {
    /// The strips.
    pub strips: Vec<Strip>,
    /// The same strips seen from their far end.
    pub turned: Vec<Strip>,
    /// Seams that the shape itself makes, by course.
    pub forced: Vec<Vec<EndSeam>>,
    /// Places along each course where another layer has its seams.
    pub avoided: Vec<Vec<f64>>,
    /// Boards.
    pub stock: Stock,
    /// Offcuts at hand before the first board is opened.
    pub pool: Vec<Offcut>,
    /// The number of the first board that is opened.
    pub first_board: u32,
    /// The strip that starts with a whole board, before all others, and whether from its far end.
    pub pinned: Option<(usize, bool)>,
    /// A whole board.
    board: Shape,
}

impl Task {
    /// A task over these strips.
    pub fn new(strips: Vec<Strip>, stock: Stock) -> Self {
        let turned = strips.iter().map(Strip::turned).collect();
        let courses = strips.iter().map(|strip| strip.course + 1).max().unwrap_or(0);
        let outlines = strips
            .iter()
            .filter(|strip| strip.is_staggered)
            .map(|strip| (strip.course, strip.band, strip.outline(strip.start(), strip.end())));
        let forced = end_seams(outlines, courses);
        let board = Shape::rectangle(stock.length, stock.width);
        let avoided = vec![Vec::new(); courses];
        Self {
            strips,
            turned,
            avoided,
            forced,
            stock,
            pool: Vec::new(),
            first_board: 0,
            pinned: None,
            board,
        }
    }

    /// Lets the strip nearest to `corner` (in course axes) start there with a whole board.
    pub fn start_at(&mut self, corner: Point) {
        let mut nearest: Option<(f64, usize, bool)> = None;
        for (index, strip) in self.strips.iter().enumerate() {
            for (at, is_far) in [(strip.start(), false), (strip.end(), true)] {
                let (low, high) = strip.side_at(at);
                for level in [low, high] {
                    let apart = Point::new(at, level).distance(corner);
                    if nearest.is_none_or(|(least, ..)| apart < least - SAME) {
                        nearest = Some((apart, index, is_far));
                    }
                }
            }
        }
        self.pinned = nearest.map(|(_, index, is_far)| (index, is_far));
    }

    /// Fills all strips by the choices; `None` when it takes more than `most` boards.
    pub fn fill(&self, choices: &[Choice], most: u32) -> Option<Filled> {
        let mut work = Work::at_start(self);
        for (index, choice) in self.in_order(choices) {
            work.fill_strip(index, choice);
            if work.filled.boards > most {
                return None;
            }
        }
        Some(work.filled)
    }

    /// The strips in the order in which they are filled, each with its choice.
    pub(super) fn in_order(&self, choices: &[Choice]) -> Vec<(usize, Choice)> {
        let mut order: Vec<usize> = (0..self.strips.len()).collect();
        let pin = |index: usize| self.pinned.filter(|(pinned, _)| *pinned == index);
        order.sort_by_key(|&index| (pin(index).is_none(), choices[index].order, index));
        let choice = |index: usize| {
            pin(index).map_or(choices[index], |(_, is_backward)| Choice {
                is_backward,
                start: Start::Whole,
                is_thrifty: false,
                ..choices[index]
            })
        };
        order.into_iter().map(|index| (index, choice(index))).collect()
    }
}

/// A filling under way.
pub(super) struct Work<'a> {
    /// What is filled.
    pub task: &'a Task,
    /// End seams so far, by course.
    pub seams: Vec<Vec<EndSeam>>,
    /// What came of it so far.
    pub filled: Filled,
}

impl<'a> Work<'a> {
    /// Nothing filled yet.
    pub fn at_start(task: &'a Task) -> Self {
        let filled = Filled { pool: task.pool.clone(), ..Filled::default() };
        Self { task, seams: task.forced.clone(), filled }
    }

    fn front(&self, index: usize, choice: Choice) -> Front<'a> {
        let task = self.task;
        let straight = &task.strips[index];
        let kept_off = if straight.is_staggered {
            kept_off(straight, (&self.seams, &task.avoided[straight.course]), &task.stock)
        } else {
            Vec::new()
        };
        if choice.is_backward {
            Front::new(&task.turned[index], index, choice, turned(kept_off))
        } else {
            Front::new(straight, index, choice, kept_off)
        }
    }

    /// Fills one strip more.
    pub fn fill_strip(&mut self, index: usize, choice: Choice) {
        let mut front = self.front(index, choice);
        let stock = self.task.stock;
        let is_full = stock.width - (front.strip.band.1 - front.strip.band.0) < 0.01
            && front.strip.cells.iter().any(|c| c.high.0 - c.low.0 > stock.width - 0.01);
        let is_thrifty = !front.strip.is_locked && (choice.is_thrifty || !is_full);
        let mut is_first = true;
        // A strip has no more pieces than this; a fault in a shape must not hang the program.
        for _ in 0..20_000 {
            if front.end - front.at <= SAME {
                break;
            }
            if front.end - front.at <= stock.length + 0.001 && self.close(&mut front, is_thrifty) {
                break;
            }
            if !is_first && !is_thrifty && self.lay_whole(&mut front) {
                continue;
            }
            self.count_work(front.strip.is_rectangle);
            let way = if is_first {
                self.first_way(&front, is_thrifty)
            } else if is_thrifty {
                self.pool_way(&front, false).or_else(|| self.new_board_way(&front, None))
            } else {
                self.new_board_way(&front, None)
            };
            let Some((source, way)) = way else { break };
            self.lay(&mut front, source, way);
            is_first = false;
        }
    }

    /// Counts a look through the offcuts: what is slanted can lie in many more ways.
    fn count_work(&mut self, is_upright: bool) {
        self.filled.work += 2 + self.filled.pool.len() as u64 * if is_upright { 1 } else { 6 };
    }

    /// Lays the last piece of the strip, from an offcut when one fits, else from a new board.
    fn close(&mut self, front: &mut Front<'_>, is_thrifty: bool) -> bool {
        let to = front.end;
        let piece = Shape::new(front.strip.hull(front.at, to));
        self.count_work(piece.upright.is_some());
        if let Some((index, motion)) = best_offcut(&self.filled.pool, &piece) {
            self.lay(front, Some(index), Way { motion, to });
            return true;
        }
        if is_thrifty
            && let Some((source, way)) = self.pool_way(front, false)
            && way.to < to - SAME
        {
            self.lay(front, source, way);
            return self.close(front, false);
        }
        let board = &self.task.board;
        let mut best: Option<(f64, Motion)> = None;
        ways_to_lay(board, &piece, |motion| {
            let contact = contact_of(board, &piece, &motion);
            let is_across = motion.turn.x.abs() < 0.5;
            let score = contact + if is_across == front.choice.is_crosswise { 5.0 } else { 0.0 };
            if best.is_none_or(|(most, _)| score > most + 1e-6) {
                best = Some((score, motion));
            }
        });
        let Some((_, motion)) = best else { return false };
        self.lay(front, None, Way { motion, to });
        true
    }

    /// Lays a whole board when it goes in uncut and its joint is legal.
    fn lay_whole(&mut self, front: &mut Front<'_>) -> bool {
        let stock = &self.task.stock;
        let Some(cell) = front.strip.cells.iter().find(|cell| cell.to > front.at + SAME) else {
            return false;
        };
        let is_level = cell.low.0 == cell.low.1 && cell.high.0 == cell.high.1;
        let to = front.at + stock.length;
        let goes_in = is_level
            && (cell.high.0 - cell.low.0 - stock.width).abs() < 1e-9
            && to <= cell.to
            && to <= front.end - stock.least
            && (front.is_legal(to) || matches!(front.choice.start, Start::Bond(_)));
        if !goes_in {
            return false;
        }
        let motion =
            Motion { turn: Vector::new(1.0, 0.0), shift: Vector::new(-front.at, -cell.low.0) };
        self.filled.boards += 1;
        let board = self.newest_board();
        self.note(front, Way { motion, to }, (board, false, 0));
        true
    }

    fn newest_board(&self) -> u32 {
        self.task.first_board + self.filled.boards.saturating_sub(1)
    }

    fn first_way(&self, front: &Front<'_>, is_thrifty: bool) -> Option<(Option<usize>, Way)> {
        let stock = self.task.stock;
        match front.choice.start {
            Start::Offcut => self
                .pool_way(front, !is_thrifty)
                .or_else(|| self.new_board_way(front, self.good_start(front))),
            Start::Whole => self.new_board_way(front, self.good_start(front)),
            Start::Twelfths(twelfths) => {
                let length = stock.length / 12.0 * f64::from(twelfths);
                let joint = front.at + length.max(stock.least);
                let joint = if is_thrifty || front.is_legal_series(joint, stock.length) {
                    Some(joint)
                } else {
                    self.good_start(front)
                };
                self.new_board_way(front, joint)
            }
            Start::Bond(shift) => {
                let joint = front.joint_of_bond(f64::from(shift) / 24.0, &stock);
                let piece = Shape::new(front.strip.hull(front.at, joint));
                best_offcut(&self.filled.pool, &piece)
                    .map(|(index, motion)| (Some(index), Way { motion, to: joint }))
                    .or_else(|| {
                        let lay = best_lay(&self.task.board, &piece)?;
                        Some((None, Way { motion: lay.motion, to: joint }))
                    })
                    .or_else(|| self.new_board_way(front, self.good_start(front)))
            }
        }
    }

    /// The farthest first joint from which whole boards can be laid on.
    fn good_start(&self, front: &Front<'_>) -> Option<f64> {
        let stock = &self.task.stock;
        let mut joint = front.at + stock.length;
        let least = front.at + stock.least.max(stock.stagger.min(stock.length / 4.0));
        while joint > least {
            if front.is_legal_series(joint, stock.length) {
                return Some(joint);
            }
            joint -= 2.0;
        }
        None
    }

    /// The best offcut to go on with, and how far it reaches.
    fn pool_way(&self, front: &Front<'_>, needs_series: bool) -> Option<(Option<usize>, Way)> {
        let stock = &self.task.stock;
        let view = reach::View::new(front.strip, front.at, stock);
        let mut best: Option<(f64, f64, usize, Way)> = None;
        for (index, offcut) in self.filled.pool.iter().enumerate() {
            view.ways(&offcut.shape, |way| {
                let Some(to) = self.joint_for(front, way.to, needs_series) else { return };
                let own = view.area_to(to);
                let waste = reach::waste(&offcut.shape, &view, to, own);
                let length = to - front.at;
                let better = best.is_none_or(|(least, kept, ..)| {
                    waste < least - 0.5
                        || (waste < least + 0.5 && (length > kept) == front.choice.is_longest_first)
                });
                if better {
                    best = Some((waste, length, index, Way { to, ..way }));
                }
            });
        }
        best.map(|(.., index, way)| (Some(index), way))
    }

    /// Where the joint goes when a board reaches to `reach`; `None` when no joint is worth it.
    fn joint_for(&self, front: &Front<'_>, reach: f64, needs_series: bool) -> Option<f64> {
        let stock = &self.task.stock;
        if reach >= front.end - SAME {
            return Some(front.end);
        }
        let most = reach.min(front.end - stock.least);
        let joint = front.legal_below(most);
        let is_worth = joint - front.at >= stock.least - SAME
            && (!needs_series || front.is_legal_series(joint, stock.length));
        is_worth.then_some(joint)
    }

    /// A new board, up to `joint` when given.
    fn new_board_way(&self, front: &Front<'_>, joint: Option<f64>) -> Option<(Option<usize>, Way)> {
        let stock = &self.task.stock;
        let board = &self.task.board;
        let view = reach::View::new(front.strip, front.at, stock);
        let mut best: Option<(f64, Way)> = None;
        view.ways(board, |way| {
            let to = joint.map_or(way.to, |joint| joint.min(way.to)).min(front.end);
            let is_across = way.motion.turn.x.abs() < 0.5;
            let favoured = is_across == front.choice.is_crosswise && !view.is_full();
            let score = to - front.at + if favoured { stock.length } else { 0.0 };
            if best.is_none_or(|(most, _)| score > most + 1e-6) {
                best = Some((score, Way { to, ..way }));
            }
        });
        let (_, way) = best?;
        let to = self.joint_for(front, way.to, false).unwrap_or_else(|| {
            // No legal joint within this board: the farthest that keeps the stagger at least, or
            // the nearest honest one, which is then flagged.
            let most = way.to.min(front.end - stock.least);
            let staggered = front.staggered_below(most);
            if staggered - front.at >= stock.least - SAME {
                return staggered;
            }
            way.to.min((front.end - stock.least).max(front.at + stock.least.min(way.to - front.at)))
        });
        Some((None, Way { to, ..way }))
    }

    fn lay(&mut self, front: &mut Front<'_>, source: Option<usize>, way: Way) {
        let stock = self.task.stock;
        let offcut = match source {
            Some(index) => self.filled.pool.swap_remove(index),
            None => {
                self.filled.boards += 1;
                Offcut { board: self.newest_board(), shape: self.task.board.clone() }
            }
        };
        let outline = front.strip.hull(front.at, way.to);
        let on_board: Vec<_> = outline.iter().map(|point| way.motion.apply(*point)).collect();
        let (left, cuts) = cut_out(&offcut, &on_board, stock.kerf);
        self.filled.cuts += cuts;
        let useful = stock.least.min(4.0);
        self.filled.pool.extend(left.into_iter().filter(|o| o.shape.width >= useful));
        self.note(front, way, (offcut.board, source.is_some(), cuts));
    }

    /// Writes down a piece and its end seam, and goes on from there.
    fn note(
        &mut self,
        front: &mut Front<'_>,
        way: Way,
        (board, is_offcut, cuts): (u32, bool, u32),
    ) {
        let stock = self.task.stock;
        let (mut from, mut to, mut motion) = (front.at, way.to, way.motion);
        if front.choice.is_backward {
            (from, to, motion) = (-to, -from, motion.after_half_turn());
        }
        let straight = &self.task.strips[front.index];
        let is_small = reach::least_side(straight, from, to) < stock.least - SAME;
        self.filled.small += u32::from(is_small);
        self.filled.work += 1;
        self.filled.laid.push(Laid {
            strip: front.index,
            from,
            to,
            board,
            motion,
            is_offcut,
            cuts,
        });
        if way.to < front.end - SAME {
            self.filled.close += u32::from(!front.is_staggered(way.to));
            self.filled.over += u32::from(front.is_over_seam(way.to));
            let at = if front.choice.is_backward { from } else { to };
            let ends = straight.side_at(at);
            self.seams[straight.course].push(EndSeam::new(at, ends, straight.band));
        }
        front.at = way.to;
    }
}
