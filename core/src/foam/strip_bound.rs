//! A lower bound for boards laid in given courses: a linear program over the strips' heights.
//!
//! Question: when the course lines are given, and with them how high every strip is, can any
//! cutting do with fewer boards? Area alone says no more than that a 30 in rip uses its own 30 in;
//! yet whatever way it is cut, some of the board is left that serves narrower strips only.
//!
//! Method: the program asks for the least number of boards, in fractions, whose cutting patterns
//! give every strip height its length and everything that is not a rectangle its area (of a mitred
//! strip the ends). Its dual
//! prices an inch of each height. A dynamic program over straight cuts from edge to edge gives
//! the pattern worth most at those prices, and prices scaled so that no pattern is worth more than
//! one board bound the count (Farley 1990), whatever the prices were. They start as areas and are
//! moved for some rounds toward what the best pattern lacks; the best bound of all rounds stands.
//!
//! Everything is rounded in favour of fewer boards: heights down to cells of a 48th of a board's
//! width (board and pieces first grown by the kerf), strips into pieces of any length and the
//! kerf between those free.
//!
//! Limits: it holds for pieces cut square to the board and for the course lines given, where area
//! over board area holds for any layout.
#![expect(
    clippy::indexing_slicing,
    reason = "every index is made by this file's own loops over the same vectors"
)]

use super::courses::Strip;
use super::fill::Stock;
use crate::units::exact_math::exp;

/// Cells across a board.
const CELLS: usize = 48;
/// Boards longer than this many cells are bounded by area alone.
const MOST_CELLS: usize = 200;
/// Heights at most; more are lumped with what is no rectangle.
const MOST_HEIGHTS: usize = 12;
/// Rounds of prices.
const ROUNDS: usize = 14;
/// After so many a bound that has not come a quarter of the way is given up.
const FAIR_ROUNDS: usize = 5;

/// The least number of boards, in fractions, for these strips. No more rounds of prices are made
/// once it is over `enough`.
#[must_use]
pub(super) fn strip_bound(strips: &[Strip], stock: &Stock, enough: f64) -> f64 {
    let cell = (stock.width + stock.kerf) / CELLS as f64;
    let long = ((stock.length + stock.kerf) / cell - 1e-6).ceil();
    let whole =
        strips.iter().map(Strip::area).sum::<f64>() / (stock.length * stock.width).max(1e-9);
    if !(1.0..=MOST_CELLS as f64).contains(&long) {
        return whole;
    }
    let needs = Needs::of(strips, (stock.kerf, cell));
    if needs.heights.is_empty() {
        return whole;
    }
    let board =
        Patterns { long: long as usize, cuts: needs.cuts(long as usize), cell, needs: &needs };
    let mut prices: Vec<f64> = needs.heights.iter().map(|height| height.inches).collect();
    // What nobody asks for is worth nothing.
    let mut area_price = if needs.area > 0.0 { 1.0 } else { 0.0 };
    let mut bound = whole;
    for round in 0..ROUNDS {
        let (worth, gains) = board.best(&prices, area_price);
        let value = needs.value(&prices, area_price);
        if worth <= 0.0 || !worth.is_finite() {
            break;
        }
        bound = bound.max(value / worth);
        let is_hopeless = round >= FAIR_ROUNDS && bound - whole < 0.25 * (enough - whole);
        if bound > enough || is_hopeless {
            break;
        }
        // What the best pattern gives too much of gets cheaper, what it lacks dearer.
        let step = 2.0 / (1.0 + round as f64 * 0.5);
        let moved = |price: f64, need: f64, gain: f64| {
            price * exp(step * (price * need / value - price * gain / worth))
        };
        for (index, price) in prices.iter_mut().enumerate() {
            *price = moved(*price, needs.heights[index].length, gains[index]);
        }
        area_price = moved(area_price, needs.area, gains[prices.len()]);
    }
    bound
}

/// What is asked of one strip height.
struct Height {
    /// In inches, the kerf not counted.
    inches: f64,
    /// In cells, rounded down.
    cells: usize,
    /// Length of all strips of this height.
    length: f64,
}

/// What all strips ask for.
struct Needs {
    heights: Vec<Height>,
    /// Area of what is no rectangle.
    area: f64,
}

impl Needs {
    fn of(strips: &[Strip], (kerf, cell): (f64, f64)) -> Self {
        let mut needs = Self { heights: Vec::new(), area: 0.0 };
        for one in strips.iter().flat_map(|strip| &strip.cells) {
            let is_level = one.low.0 == one.low.1 && one.high.0 == one.high.1;
            let (inches, length) = (one.high.0 - one.low.0, one.to - one.from);
            let cells = ((inches + kerf) / cell + 1e-6).floor() as usize;
            let same =
                needs.heights.iter_mut().find(|height| (height.inches - inches).abs() < 0.01);
            match same {
                _ if !is_level || cells == 0 => needs.area += one.area(),
                Some(height) => {
                    height.length += length;
                    height.inches = height.inches.min(inches);
                    height.cells = height.cells.min(cells);
                }
                None => needs.heights.push(Height { inches, cells, length }),
            }
        }
        let area = |height: &Height| height.inches * height.length;
        needs.heights.sort_by(|a, b| area(b).total_cmp(&area(a)));
        let lumped = needs.heights.drain(MOST_HEIGHTS.min(needs.heights.len())..);
        needs.area += lumped.map(|height| area(&height)).sum::<f64>();
        needs
    }

    /// Every sum of heights below `long`, in cells, least first.
    fn cuts(&self, long: usize) -> Vec<usize> {
        let mut is_sum = vec![false; long + 1];
        is_sum[0] = true;
        for at in 1..=long {
            is_sum[at] = self.heights.iter().any(|h| h.cells <= at && is_sum[at - h.cells]);
        }
        (1..long).filter(|at| is_sum[*at]).collect()
    }

    fn value(&self, prices: &[f64], area_price: f64) -> f64 {
        let lengths: f64 =
            self.heights.iter().zip(prices).map(|(height, price)| price * height.length).sum();
        lengths + area_price * self.area
    }
}

/// What a cell-sized rectangle is best used for.
#[derive(Clone, Copy)]
enum Use {
    Area,
    /// Strips of this height along the board.
    Along(usize),
    /// Strips of this height across it.
    Across(usize),
    /// Cut so that the left part is this long.
    CutAlong(usize),
    /// Cut so that the lower part is this wide.
    CutAcross(usize),
}

/// Patterns of straight cuts on one board.
struct Patterns<'a> {
    long: usize,
    /// Places of cuts worth trying: sums of heights. Worth changes linearly as one cut is moved and
    /// the rest stays, so in a best pattern every cut lies where strips on one side of it are just
    /// high enough.
    cuts: Vec<usize>,
    cell: f64,
    needs: &'a Needs,
}

impl Patterns<'_> {
    /// The worth of the best pattern, and how much it gives of each height (inches) and, last, of
    /// area.
    fn best(&self, prices: &[f64], area_price: f64) -> (f64, Vec<f64>) {
        let wide = CELLS + 1;
        let mut worth = vec![0.0; (self.long + 1) * wide];
        let mut uses = vec![Use::Area; worth.len()];
        for a in 1..=self.long {
            for b in 1..=CELLS {
                let (mut most, mut best) = self.uncut((a, b), (prices, area_price));
                for &x in self.cuts.iter().take_while(|x| **x < a) {
                    let sum = worth[x * wide + b] + worth[(a - x) * wide + b];
                    if sum > most {
                        (most, best) = (sum, Use::CutAlong(x));
                    }
                }
                for &y in self.cuts.iter().take_while(|y| **y < b) {
                    let sum = worth[a * wide + y] + worth[a * wide + b - y];
                    if sum > most {
                        (most, best) = (sum, Use::CutAcross(y));
                    }
                }
                (worth[a * wide + b], uses[a * wide + b]) = (most, best);
            }
        }
        let mut gains = vec![0.0; prices.len() + 1];
        let mut left = vec![(self.long, CELLS)];
        while let Some((a, b)) = left.pop() {
            match uses[a * wide + b] {
                Use::Area => gains[prices.len()] += (a * b) as f64 * self.cell * self.cell,
                Use::Along(index) => gains[index] += a as f64 * self.cell,
                Use::Across(index) => gains[index] += b as f64 * self.cell,
                Use::CutAlong(x) => left.extend([(x, b), (a - x, b)]),
                Use::CutAcross(y) => left.extend([(a, y), (a, b - y)]),
            }
        }
        (worth[self.long * wide + CELLS], gains)
    }

    fn uncut(&self, (a, b): (usize, usize), (prices, area_price): (&[f64], f64)) -> (f64, Use) {
        let mut best = (area_price * (a * b) as f64 * self.cell * self.cell, Use::Area);
        for (index, (height, price)) in self.needs.heights.iter().zip(prices).enumerate() {
            let (along, across) = (price * a as f64 * self.cell, price * b as f64 * self.cell);
            if height.cells <= b && along > best.0 {
                best = (along, Use::Along(index));
            }
            if height.cells <= a && across > best.0 {
                best = (across, Use::Across(index));
            }
        }
        best
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::foam::courses::Cell;

    fn strip(height: f64, length: f64) -> Strip {
        let cell = Cell { from: 0.0, to: length, low: (0.0, 0.0), high: (height, height) };
        Strip {
            cells: vec![cell],
            band: (0.0, 48.0),
            course: 0,
            surface: 0,
            is_rectangle: true,
            is_staggered: true,
            is_locked: false,
        }
    }

    fn bound(strips: &[Strip], kerf: f64) -> f64 {
        let stock =
            Stock { length: 96.0, width: 48.0, kerf, stagger: 12.0, least: 6.0, apart: 12.0 };
        strip_bound(strips, &stock, f64::INFINITY)
    }

    #[test]
    fn whole_courses_are_bounded_by_their_area() {
        assert!((bound(&[strip(48.0, 9600.0)], 0.0) - 100.0).abs() < 1e-6);
        assert!((bound(&[strip(24.0, 9600.0)], 0.0) - 50.0).abs() < 1e-6);
    }

    #[test]
    fn rips_that_leave_a_rest_count_it() {
        // Worked by hand: a 30 in rip of 96 in along the board, and of the 18 in left three
        // pieces of 18 in across: 150 in a board, more than three rips of 48 in across.
        assert!((bound(&[strip(30.0, 1500.0)], 0.0) - 10.0).abs() < 1e-3);
        // Strips of 12 in: four along a board with a knife; a 1/8 in saw takes seven across (7 x
        // 12 1/8 < 96 1/8) of 48 in, 336 in a board, which the bound must not go over.
        assert!((bound(&[strip(12.0, 3840.0)], 0.0) - 10.0).abs() < 1e-6);
        let sawn = bound(&[strip(12.0, 3840.0)], 0.125);
        assert!((10.0..=3840.0 / 336.0 + 1e-6).contains(&sawn), "{sawn}");
        // What the rips leave serves strips of 6 in: together they need no more than their area.
        let both = bound(&[strip(30.0, 1440.0), strip(6.0, 480.0)], 0.0);
        assert!((both - 10.0).abs() < 0.05, "{both}");
    }
}
