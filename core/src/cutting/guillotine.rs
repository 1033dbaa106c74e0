//! Rectangles from sheets with straight cuts from edge to edge, any number of stages.
//!
//! Questions: which pieces make the most of one sheet, and how few sheets do all pieces take?
//!
//! Method: for every pair of a length and a width that sums of piece sizes can reach (Christofides
//! and Whitlock's normal patterns, 1977) the most valuable fillings are built up from one piece,
//! or from two smaller fillings side by side or one above the other (Gilmore and Gomory's recursion
//! of 1965). Pieces are limited in number, so a place keeps not one filling but the best few with
//! unlike piece counts. Without limits one is enough and the answer is exact; with limits it is the
//! best of those kept, as a rule the best there is, but not proven. Sheets are filled one after the
//! other; over several rounds pieces that were left for wasteful sheets gain value, so that they
//! go earlier (sequential value correction).
//!
//! A saw cut is taken into account by adding the kerf to every piece and to the sheet: `n` strips
//! of width `w` come out of `W` if and only if `n (w + k) <= W + k`.
#![expect(
    clippy::indexing_slicing,
    reason = "every index is made by this file's own loops over the same vectors"
)]

use crate::effort::{Budget, Cancelled};

/// Parts of the caller's unit that sizes are rounded to: pieces up, sheets down.
const TICKS: f64 = 64.0;
/// Fillings kept for each size when pieces are limited.
const KEPT: usize = 24;
/// Rounds in which values are corrected.
const ROUNDS: u32 = 40;

/// A kind of piece.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct SheetPiece {
    /// Along the sheet's length.
    pub length: f64,
    /// Across it.
    pub width: f64,
    /// How many there are at most; all of them must be cut by [`cut_sheets`].
    pub count: u32,
    /// What one is worth; its area where only area counts.
    pub value: f64,
}

/// What is to be cut, and from what.
#[derive(Clone, Copy, Debug)]
pub struct SheetProblem<'a> {
    /// Length and width of a sheet.
    pub sheet: (f64, f64),
    /// Kinds of pieces.
    pub pieces: &'a [SheetPiece],
    /// What a cut eats.
    pub kerf: f64,
    /// Pieces may be turned by a quarter.
    pub may_turn: bool,
}

/// A piece on a sheet.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct OnSheet {
    /// Index of its kind.
    pub piece: usize,
    /// Its corner along the sheet.
    pub along: f64,
    /// Its corner across the sheet.
    pub across: f64,
    /// Whether it is turned by a quarter.
    pub is_turned: bool,
}

/// A sheet as cut.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct CutSheet {
    /// Its pieces.
    pub pieces: Vec<OnSheet>,
    /// Their value.
    pub value: f64,
}

/// Sheets for all pieces.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct SheetPlan {
    /// The sheets.
    pub sheets: Vec<CutSheet>,
    /// Kinds that fit no sheet.
    pub unfit: Vec<usize>,
    /// No plan takes fewer sheets: area, and pieces of which no two share a sheet.
    pub bound: u32,
}

/// The most valuable sheet found.
///
/// # Errors
/// [`Cancelled`] when the budget's flag was raised.
pub fn best_sheet(problem: &SheetProblem<'_>, budget: &mut Budget) -> Result<CutSheet, Cancelled> {
    let table = Table::new(problem);
    let counts: Vec<u32> = problem.pieces.iter().map(|piece| piece.count).collect();
    let values: Vec<f64> = problem.pieces.iter().map(|piece| piece.value).collect();
    Ok(table.fill(&counts, &values, budget)?.unwrap_or_default())
}

/// As few sheets as found for all pieces.
///
/// # Errors
/// [`Cancelled`] when the budget's flag was raised.
pub fn cut_sheets(problem: &SheetProblem<'_>, budget: &mut Budget) -> Result<SheetPlan, Cancelled> {
    let table = Table::new(problem);
    let unfit: Vec<usize> = (0..problem.pieces.len()).filter(|&kind| !table.fits(kind)).collect();
    let counts: Vec<u32> = (0..problem.pieces.len())
        .map(|kind| if table.fits(kind) { problem.pieces[kind].count } else { 0 })
        .collect();
    let bound = table.bound(&counts);
    let mut values: Vec<f64> = table.sizes.iter().map(|size| area(*size)).collect();
    let mut best: Option<Vec<CutSheet>> = None;
    for _ in 0..ROUNDS {
        let Some(sheets) = table.sheets(&counts, &mut values, budget)? else { break };
        if best.as_ref().is_none_or(|kept| sheets.len() < kept.len()) {
            best = Some(sheets);
        }
        if best.as_ref().is_some_and(|kept| kept.len() <= bound as usize) {
            break;
        }
    }
    Ok(SheetPlan { sheets: best.unwrap_or_default(), unfit, bound })
}

fn area((length, width): (i64, i64)) -> f64 {
    length as f64 * width as f64
}

/// How a filling is made.
#[derive(Clone, Copy, Debug)]
enum Made {
    Piece { kind: usize, is_turned: bool },
    Beside { left: usize, right: usize, at: i64 },
    Above { low: usize, high: usize, at: i64 },
}

/// A filling of some size.
#[derive(Clone, Debug)]
struct Filling {
    value: f64,
    counts: Vec<u32>,
    made: Made,
}

/// Sizes in ticks, and what sums of them can reach.
struct Table {
    sheet: (i64, i64),
    sizes: Vec<(i64, i64)>,
    may_turn: bool,
    lengths: Vec<i64>,
    widths: Vec<i64>,
}

impl Table {
    fn new(problem: &SheetProblem<'_>) -> Self {
        let up =
            |value: f64| ((value + problem.kerf) * TICKS - 1e-6).ceil().clamp(0.0, 1e12) as i64;
        let down =
            |value: f64| ((value + problem.kerf) * TICKS + 1e-6).floor().clamp(0.0, 1e12) as i64;
        let sheet = (down(problem.sheet.0), down(problem.sheet.1));
        let sizes: Vec<(i64, i64)> =
            problem.pieces.iter().map(|piece| (up(piece.length), up(piece.width))).collect();
        let may_turn = problem.may_turn;
        let steps =
            |of: fn(&(i64, i64)) -> i64, other: fn(&(i64, i64)) -> i64| -> Vec<(i64, u32)> {
                let own = sizes.iter().zip(problem.pieces).map(|(s, p)| (of(s), p.count));
                let turned = sizes.iter().zip(problem.pieces).map(|(s, p)| (other(s), p.count));
                own.chain(turned.filter(|_| may_turn)).collect()
            };
        let lengths = reachable(&steps(|s| s.0, |s| s.1), sheet.0);
        let widths = reachable(&steps(|s| s.1, |s| s.0), sheet.1);
        Self { sheet, sizes, may_turn, lengths, widths }
    }

    fn lays(&self, kind: usize) -> impl Iterator<Item = (bool, (i64, i64))> {
        let (length, width) = self.sizes[kind];
        let turned = self.may_turn && length != width;
        let usable = length > 0 && width > 0;
        [(false, (length, width)), (true, (width, length))]
            .into_iter()
            .filter(move |(is_turned, _)| usable && (turned || !is_turned))
    }

    fn fits(&self, kind: usize) -> bool {
        self.lays(kind).any(|(_, (l, w))| l <= self.sheet.0 && w <= self.sheet.1)
    }

    fn bound(&self, counts: &[u32]) -> u32 {
        let used: f64 =
            self.sizes.iter().zip(counts).map(|(size, n)| area(*size) * f64::from(*n)).sum();
        let by_area = (used / area(self.sheet).max(1.0) - 1e-9).ceil().clamp(0.0, 1e9) as u32;
        // Two pieces over half the sheet both ways lie neither beside nor above each other.
        let is_alone = |kind: usize| {
            let (l, w) = self.sizes[kind];
            let (short, long) = (l.min(w), l.max(w));
            if self.may_turn {
                2 * short > self.sheet.0.max(self.sheet.1)
                    || (2 * short > self.sheet.0.min(self.sheet.1)
                        && 2 * long > self.sheet.0.max(self.sheet.1))
            } else {
                2 * l > self.sheet.0 && 2 * w > self.sheet.1
            }
        };
        let alone: u32 = (0..counts.len()).filter(|&kind| is_alone(kind)).map(|k| counts[k]).sum();
        by_area.max(alone)
    }

    /// All sheets of one round; values of pieces in wasteful sheets are raised.
    fn sheets(
        &self,
        counts: &[u32],
        values: &mut [f64],
        budget: &mut Budget,
    ) -> Result<Option<Vec<CutSheet>>, Cancelled> {
        let mut left = counts.to_vec();
        let mut sheets = Vec::new();
        while left.iter().any(|count| *count > 0) {
            let Some(sheet) = self.fill(&left, values, budget)? else { return Ok(None) };
            if sheet.pieces.is_empty() {
                return Ok(None);
            }
            let used: f64 = sheet.pieces.iter().map(|piece| area(self.sizes[piece.piece])).sum();
            let fullness = (used / area(self.sheet).max(1.0)).max(0.01);
            for piece in &sheet.pieces {
                left[piece.piece] = left[piece.piece].saturating_sub(1);
                let own = area(self.sizes[piece.piece]);
                let old = values[piece.piece];
                values[piece.piece] = 0.7 * old + 0.3 * own / (fullness * fullness);
            }
            sheets.push(sheet);
        }
        Ok(Some(sheets))
    }

    /// The best filling of a sheet with at most so many of each kind.
    fn fill(
        &self,
        counts: &[u32],
        values: &[f64],
        budget: &mut Budget,
    ) -> Result<Option<CutSheet>, Cancelled> {
        let room = area(self.sheet);
        let is_unlimited = self
            .sizes
            .iter()
            .zip(counts)
            .all(|(size, count)| *count == 0 || f64::from(*count) * area(*size) > room);
        let kept = if is_unlimited { 1 } else { KEPT };
        let mut all: Vec<Filling> = Vec::new();
        let mut cells: Vec<Vec<usize>> = Vec::with_capacity(self.lengths.len() * self.widths.len());
        for (row, &length) in self.lengths.iter().enumerate() {
            for (column, &width) in self.widths.iter().enumerate() {
                if !budget.step()? {
                    return Ok(None);
                }
                let mut found = self.singles((length, width), counts, values);
                self.inherit((row, column), &cells, &all, &mut found);
                self.join((row, column), &cells, &all, (counts, &mut found));
                cells.push(keep_best(found, kept, &mut all));
            }
        }
        let best = cells.last().and_then(|cell| cell.first()).copied();
        let mut sheet = CutSheet::default();
        if let Some(best) = best {
            sheet.value = all[best].value;
            write_out(&all, best, (0, 0), &mut sheet.pieces);
        }
        Ok(Some(sheet))
    }

    fn singles(&self, room: (i64, i64), counts: &[u32], values: &[f64]) -> Vec<Candidate> {
        let mut found = Vec::new();
        for kind in (0..self.sizes.len()).filter(|&kind| counts[kind] > 0) {
            let lay = self.lays(kind).find(|(_, (l, w))| *l <= room.0 && *w <= room.1);
            if let Some((is_turned, _)) = lay {
                let mut own = vec![0; self.sizes.len()];
                own[kind] = 1;
                let made = Made::Piece { kind, is_turned };
                found.push(Candidate::New(Filling { value: values[kind], counts: own, made }));
            }
        }
        found
    }

    /// What fits a smaller place fits here.
    fn inherit(
        &self,
        (row, column): (usize, usize),
        cells: &[Vec<usize>],
        all: &[Filling],
        found: &mut Vec<Candidate>,
    ) {
        let across = self.widths.len();
        let smaller = [
            (row > 0).then(|| (row - 1) * across + column),
            (column > 0).then(|| row * across + column - 1),
        ];
        for index in smaller.into_iter().flatten().flat_map(|cell| &cells[cell]) {
            found.push(Candidate::Old { index: *index, value: all[*index].value });
        }
    }

    /// Two smaller fillings side by side or one above the other.
    fn join(
        &self,
        (row, column): (usize, usize),
        cells: &[Vec<usize>],
        all: &[Filling],
        (counts, found): (&[u32], &mut Vec<Candidate>),
    ) {
        let across = self.widths.len();
        let (length, width) = (self.lengths[row], self.widths[column]);
        let mut pair = |a: usize, b: usize, made: fn(usize, usize, i64) -> Made, at: i64| {
            for &one in &cells[a] {
                for &other in &cells[b] {
                    let both: Vec<u32> = all[one]
                        .counts
                        .iter()
                        .zip(&all[other].counts)
                        .map(|(x, y)| x + y)
                        .collect();
                    if both.iter().zip(counts).all(|(n, most)| n <= most) {
                        let value = all[one].value + all[other].value;
                        let made = made(one, other, at);
                        found.push(Candidate::New(Filling { value, counts: both, made }));
                    }
                }
            }
        };
        for (first, &at) in self.lengths[..row].iter().enumerate() {
            if 2 * at <= length
                && let Some(second) = last_not_over(&self.lengths, length - at)
            {
                let made = |left, right, at| Made::Beside { left, right, at };
                pair(first * across + column, second * across + column, made, at);
            }
        }
        for (first, &at) in self.widths[..column].iter().enumerate() {
            if 2 * at <= width
                && let Some(second) = last_not_over(&self.widths, width - at)
            {
                let made = |low, high, at| Made::Above { low, high, at };
                pair(row * across + first, row * across + second, made, at);
            }
        }
    }
}

/// A filling on offer for a place.
enum Candidate {
    New(Filling),
    Old { index: usize, value: f64 },
}

/// Keeps the most valuable fillings with unlike counts.
fn keep_best(found: Vec<Candidate>, most: usize, all: &mut Vec<Filling>) -> Vec<usize> {
    let value = |candidate: &Candidate| match candidate {
        Candidate::New(filling) => filling.value,
        Candidate::Old { value, .. } => *value,
    };
    let mut ranked = found;
    // The sort is stable: among equals the one found first stays first.
    ranked.sort_by(|a, b| value(b).total_cmp(&value(a)));
    let mut kept: Vec<usize> = Vec::new();
    for candidate in ranked {
        if kept.len() >= most {
            break;
        }
        let counts = match &candidate {
            Candidate::New(filling) => &filling.counts,
            Candidate::Old { index, .. } => &all[*index].counts,
        };
        if kept.iter().any(|index| all[*index].counts == *counts) {
            continue;
        }
        match candidate {
            Candidate::New(filling) => {
                kept.push(all.len());
                all.push(filling);
            }
            Candidate::Old { index, .. } => kept.push(index),
        }
    }
    kept
}

/// Sums of the steps up to `most`, each step at most as often as there are pieces; `most` itself
/// is always among them.
fn reachable(steps: &[(i64, u32)], most: i64) -> Vec<i64> {
    let mut sums = vec![0_i64];
    for &(step, count) in steps.iter().filter(|(step, _)| *step > 0) {
        let mut grown = sums.clone();
        for &sum in &sums {
            let mut at = sum;
            for _ in 0..count {
                at += step;
                if at > most {
                    break;
                }
                grown.push(at);
            }
        }
        grown.sort_unstable();
        grown.dedup();
        sums = grown;
    }
    sums.retain(|sum| *sum > 0);
    if sums.last() != Some(&most) {
        sums.push(most);
    }
    sums
}

fn last_not_over(sorted: &[i64], most: i64) -> Option<usize> {
    sorted.partition_point(|value| *value <= most).checked_sub(1)
}

fn write_out(all: &[Filling], index: usize, at: (i64, i64), pieces: &mut Vec<OnSheet>) {
    match all[index].made {
        Made::Piece { kind, is_turned } => pieces.push(OnSheet {
            piece: kind,
            along: at.0 as f64 / TICKS,
            across: at.1 as f64 / TICKS,
            is_turned,
        }),
        Made::Beside { left, right, at: step } => {
            write_out(all, left, at, pieces);
            write_out(all, right, (at.0 + step, at.1), pieces);
        }
        Made::Above { low, high, at: step } => {
            write_out(all, low, at, pieces);
            write_out(all, high, (at.0, at.1 + step), pieces);
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::effort::Cancel;

    #[test]
    fn kerf_takes_one_strip_of_four() {
        let strip = SheetPiece { length: 96.0, width: 12.0, count: 4, value: 1.0 };
        let count = |kerf: f64| {
            let problem =
                SheetProblem { sheet: (96.0, 48.0), pieces: &[strip], kerf, may_turn: false };
            best_sheet(&problem, &mut Budget::new(100_000, Cancel::new())).unwrap().pieces.len()
        };
        assert_eq!((count(0.0), count(0.125)), (4, 3));
    }
}
