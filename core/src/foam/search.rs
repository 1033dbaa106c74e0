//! The search for few boards: direction of the courses, where the first course line runs, and how
//! each strip is filled.
//!
//! Question: which layout takes the fewest boards, then the fewest cuts, then the fewest small
//! pieces? Every promising pair of direction and course line is filled in a few plain ways; the
//! best pairs are then improved by changing one or a few choices at a time and keeping what is no
//! worse. Between layouts of equally many boards the one whose remainders are better gathered
//! leads, since that is the way to save the next board. A joint too near to its neighbour's counts
//! like two boards. The generator is seeded by a constant, steps are counted: same job, same
//! boards.
//!
//! Limits: this is a search, not a proof; the bound beside the count says how good it is.
#![expect(
    clippy::indexing_slicing,
    reason = "every index is made by this file's own loops over the same vectors"
)]

use super::bound::area_bound;
use super::course_lines::{Lines, narrow_rows};
use super::courses::Strip;
use super::end_seams::close_pairs;
use super::fill::{Choice, Filled, Start, Stock, Task};
use super::frame::Frame;
use super::strip_bound::strip_bound;
use super::trail::Trail;
use crate::effort::{Budget, Cancelled};
use crate::geometry::Polygon;
use crate::job::build_up::LockedPiece;
use std::cmp::Ordering;

/// More pairs of direction and course line than this are not bounded one by one.
const MOST_PROVEN: usize = 48;
/// Running bonds tried as a plain way, each shifted on.
const BONDS: u8 = 4;
/// How many pairs of direction and course line are improved.
const IMPROVED: usize = 4;
/// Changes tried between two looks at what can be proven.
const TRIES_BETWEEN: usize = 60;
/// How many pairs of direction and course line with fewer flaws are held against the best.
const RIVALS: usize = 3;
/// Changes tried, and steps spent, on each of them.
const RIVAL_TRIES: usize = 120;
const RIVAL_STEPS: u64 = 12_000;

/// A layout: how the surface was turned and divided, and how it was filled.
#[derive(Clone, Debug)]
pub(super) struct Layout {
    /// Course axes.
    pub frame: Frame,
    /// The strips.
    pub task: Task,
    /// The choices made.
    pub choices: Vec<Choice>,
    /// What came of them.
    pub filled: Filled,
}

/// What one layout is measured by, less is better; compared part by part.
pub(super) type Score = (u32, f64, u32, u32);

/// How a filling is measured; the last argument is a count of boards that no filling can beat.
pub(super) type Goal = fn(&Filled, &Stock, u32) -> Score;

impl Layout {
    /// What is wrong with the course lines whatever fills them: end seams that the shape of the
    /// floor makes too near to each other, and rows narrower than the least piece.
    fn flaws(&self) -> usize {
        close_pairs(&self.task.forced, self.task.stock.stagger)
            + narrow_rows(&self.task.strips, &self.task.stock)
    }

    fn score(&self, bound: u32) -> Score {
        few_boards(&self.filled, &self.task.stock, bound)
    }
}

/// Few boards, and as long as one may still be saved, remainders that are well gathered.
pub(super) fn few_boards(filled: &Filled, stock: &Stock, bound: u32) -> Score {
    let boards = filled.boards + 2 * filled.close;
    // A seam over one of the layer above weighs little: the courses are shifted all the same.
    let loose = 0.05 * f64::from(filled.over) - filled.gathered(stock);
    (boards, if boards <= bound { 0.0 } else { loose }, filled.cuts, filled.small)
}

fn is_less(a: Score, b: Score) -> bool {
    a.partial_cmp(&b) == Some(Ordering::Less)
}

/// What is asked of the search.
pub(super) struct Wanted<'a> {
    /// The area to cover, in plan.
    pub area: &'a [Polygon],
    /// Boards.
    pub stock: Stock,
    /// Course axes to try.
    pub frames: Vec<(Frame, Vec<Lines>)>,
    /// Seams of the layer above, as lines in plan.
    pub above: &'a [(crate::geometry::Point, crate::geometry::Point)],
    /// A corner that a whole board starts from.
    pub start_corner: Option<crate::geometry::Point>,
    /// Pieces that a person locked.
    pub locked: &'a [LockedPiece],
    /// No layout takes fewer boards.
    pub bound: u32,
}

impl Wanted<'_> {
    /// A count that no layout on the course lines tried can beat, `others` being strips of other
    /// faces that are cut from the same boards: the least that [`strip_bound`] proves on any of
    /// the lines, between `area_bound` and the count that was had. `first` names the course line
    /// of the layout found, which most often says at once that no more is proven.
    pub fn proven(
        &self,
        (area_bound, had): (u32, u32),
        first: (&Frame, f64),
        others: &[Strip],
    ) -> u32 {
        let pairs: usize = self.frames.iter().map(|(_, lines)| lines.len()).sum();
        if pairs == 0 || pairs > MOST_PROVEN {
            return area_bound;
        }
        let mut least = had;
        let mut lower = |turned: &[Polygon], lines: &Lines| {
            if least <= area_bound {
                return;
            }
            let mut strips = lines.strips(turned, self.stock.width);
            strips.extend(others.iter().cloned());
            // A hair of rounding above a whole number of boards asks for no board more.
            let enough = f64::from(least - 1) + 1e-6;
            let bound = strip_bound(&strips, &self.stock, enough) - 1e-6;
            least = least.min((bound.ceil().max(0.0) as u32).max(area_bound));
        };
        let (frame, offset) = first;
        lower(&frame.into_course(self.area), &Lines::one(offset));
        for (frame, choices) in &self.frames {
            let turned = frame.into_course(self.area);
            for lines in choices {
                lower(&turned, lines);
            }
        }
        least
    }
}

/// What is known of how few boards can be had, so that nobody searches for fewer.
struct Proof<'a> {
    wanted: &'a Wanted<'a>,
    /// No layout takes fewer boards.
    bound: u32,
    /// Boards that were held against the linear program last.
    asked: u32,
}

impl Proof<'_> {
    /// Whether no layout on the lines tried takes fewer boards than this one. A count is held
    /// against the linear program once.
    fn is_least(&mut self, layout: &Layout) -> bool {
        let boards = layout.score(0).0;
        if boards > self.bound && boards != self.asked && layout.filled.close == 0 {
            self.asked = boards;
            let line = layout.task.strips.first().map_or(0.0, |strip| strip.band.0);
            self.bound = self.wanted.proven((self.bound, boards), (&layout.frame, line), &[]);
        }
        boards <= self.bound
    }
}

/// A small generator with a fixed seed (xorshift, Marsaglia 2003).
pub(super) struct Dice(u64);

impl Dice {
    pub(super) const fn new(seed: u64) -> Self {
        Self(seed)
    }

    pub(super) fn below(&mut self, limit: usize) -> usize {
        self.0 ^= self.0 << 13;
        self.0 ^= self.0 >> 7;
        self.0 ^= self.0 << 17;
        let limit = limit.max(1) as u64;
        usize::try_from((self.0 >> 11) % limit).unwrap_or(0)
    }
}

/// The best layout found within the budget, and after it those on lines with ever fewer flaws that
/// take no more boards; empty when there is nothing to cover.
///
/// # Errors
/// [`Cancelled`] when the budget's flag was raised.
pub(super) fn search(wanted: &Wanted<'_>, budget: &mut Budget) -> Result<Vec<Layout>, Cancelled> {
    let (mut layouts, rivals) = plain_layouts(wanted, budget)?;
    let mut proof = Proof { wanted, bound: wanted.bound, asked: 0 };
    let mut dice = Dice::new(0x9E37_79B9_7F4A_7C15);
    while layouts.len() > 1 {
        if proof.is_least(&layouts[0]) {
            layouts.truncate(1);
            break;
        }
        let tries = 3 * layouts[0].task.strips.len().min(20);
        for layout in &mut layouts {
            improve(layout, tries, (few_boards, proof.bound), (&mut dice, budget))?;
        }
        sort(&mut layouts);
        layouts.truncate(layouts.len().div_ceil(2));
    }
    let Some(mut best) = layouts.pop() else { return Ok(Vec::new()) };
    let mut goes_on = true;
    while goes_on {
        let tries = if proof.is_least(&best) { usize::MAX } else { TRIES_BETWEEN };
        goes_on = improve(&mut best, tries, (few_boards, proof.bound), (&mut dice, budget))?;
    }
    let mut found = vec![best];
    for mut rival in rivals {
        // What the lines themselves cause, no filling mends: other lines that do without it are
        // worth a try when they come to no more boards.
        let Some(last) = found.last().filter(|last| rival.flaws() < last.flaws()) else { continue };
        let boards = last.score(0).0;
        let mut own = Budget::new(RIVAL_STEPS, budget.cancel().clone());
        improve(&mut rival, RIVAL_TRIES, (few_boards, boards), (&mut dice, &mut own))?;
        if rival.score(0).0 <= boards {
            found.push(rival);
        }
    }
    Ok(found)
}

/// The strips, parted at both ends of every locked piece that one board can give.
fn locked(strips: Vec<Strip>, frame: &Frame, wanted: &Wanted<'_>) -> Vec<Strip> {
    let mut parted = strips;
    for piece in wanted.locked {
        let (from, to) = (frame.course_from_plan(piece.from), frame.course_from_plan(piece.to));
        let span = (from.x.min(to.x), from.x.max(to.x));
        let is_here = (from.y - to.y).abs() < 0.1 && span.1 - span.0 < wanted.stock.length + 0.01;
        parted = parted
            .into_iter()
            .flat_map(|strip| {
                let is_on_line = (strip.band.0 - from.y).abs() < 0.1;
                if is_here && is_on_line { strip.with_locked(span) } else { vec![strip] }
            })
            .collect();
    }
    parted
}

fn sort(layouts: &mut [Layout]) {
    layouts.sort_by(|a, b| a.score(0).partial_cmp(&b.score(0)).unwrap_or(Ordering::Equal));
}

/// Every pair of direction and course line filled in one plain way, the best of them in the
/// others too, best first; and those whose lines have the fewest flaws.
fn plain_layouts(
    wanted: &Wanted<'_>,
    budget: &mut Budget,
) -> Result<(Vec<Layout>, Vec<Layout>), Cancelled> {
    let mut layouts: Vec<Layout> = Vec::new();
    let mut fewest = u32::MAX;
    let mut work = 0;
    for (frame, choices) in &wanted.frames {
        let turned: Vec<Polygon> = frame.into_course(wanted.area);
        for lines in choices {
            let strips = locked(lines.strips(&turned, wanted.stock.width), frame, wanted);
            let mut task = Task::new(strips, wanted.stock);
            task.avoid(frame, wanted.above);
            if let Some(corner) = wanted.start_corner {
                task.start_at(frame.course_from_plan(corner));
            }
            if !layouts.is_empty() && !spend(budget, work)? {
                break;
            }
            let choices = plain_choices(&task, 0);
            let most = fewest.saturating_add(fewest / 16 + 2);
            let Some(filled) = task.fill(&choices, most) else { continue };
            work = filled.work;
            fewest = fewest.min(filled.boards + 2 * filled.close);
            layouts.push(Layout { frame: *frame, task, choices, filled });
        }
    }
    sort(&mut layouts);
    let mut by_flaws: Vec<(usize, usize)> = layouts
        .iter()
        .map(Layout::flaws)
        .enumerate()
        .map(|(place, flaws)| (flaws, place))
        .collect();
    by_flaws.sort_unstable();
    let flawless: Vec<Layout> = by_flaws
        .into_iter()
        .take(RIVALS)
        .filter_map(|(_, place)| layouts.get(place).cloned())
        .collect();
    layouts.truncate(2 * IMPROVED);
    for layout in &mut layouts {
        for way in 1..4 + BONDS {
            if way >= 4 && layout.filled.close == 0 {
                // Only a wide stagger needs a bond.
                break;
            }
            if !spend(budget, layout.filled.work)? {
                break;
            }
            let choices = plain_choices(&layout.task, way);
            let most = layout.filled.boards + 2 * layout.filled.close;
            let Some(filled) = layout.task.fill(&choices, most) else { continue };
            if is_less(few_boards(&filled, &wanted.stock, 0), layout.score(0)) {
                (layout.choices, layout.filled) = (choices, filled);
            }
        }
    }
    sort(&mut layouts);
    layouts.truncate(IMPROVED);
    Ok((layouts, flawless))
}

/// Choices as a crew would make them without thinking ahead: whole courses first, rips after;
/// `way` says whether every second course runs back and whether offcuts are used all along, and
/// from four on how far a running bond is shifted.
fn plain_choices(task: &Task, way: u8) -> Vec<Choice> {
    task.strips
        .iter()
        .enumerate()
        .map(|(index, strip)| {
            let tall = strip.cells.iter().map(|c| c.high.0 - c.low.0).fold(0.0, f64::max);
            let is_full = tall > task.stock.width - 0.01;
            let index = u16::try_from(index).unwrap_or(u16::MAX);
            Choice {
                order: if is_full { index / 2 } else { 40_000 + index / 2 },
                is_backward: way & 1 == 1 && way < 4 && strip.course % 2 == 1,
                is_thrifty: way & 2 == 2 && way < 4,
                start: match way.checked_sub(4) {
                    Some(bond) => Start::Bond(bond * (24 / BONDS)),
                    None => Start::default(),
                },
                ..Choice::default()
            }
        })
        .collect()
}

/// Spends so many steps; `Ok(false)` when the budget is used up.
///
/// # Errors
/// [`Cancelled`] when the budget's flag was raised.
pub(super) fn spend(budget: &mut Budget, steps: u64) -> Result<bool, Cancelled> {
    for _ in 0..steps {
        if !budget.step()? {
            return Ok(false);
        }
    }
    Ok(true)
}

/// Changes choices and keeps what is no worse, for so many tries; `Ok(false)` when it ended before,
/// since the budget is spent or the bound reached.
fn improve(
    layout: &mut Layout,
    tries: usize,
    (goal, bound): (Goal, u32),
    (dice, budget): (&mut Dice, &mut Budget),
) -> Result<bool, Cancelled> {
    let count = layout.choices.len();
    let mut best = goal(&layout.filled, &layout.task.stock, bound);
    let mut idle = 0;
    let mut work = layout.filled.work;
    let mut trail = Trail::default();
    for _ in 0..tries {
        if count == 0 || (best.0 <= bound && idle > 20) || !spend(budget, work)? {
            return Ok(false);
        }
        let mut choices = layout.choices.clone();
        for _ in 0..=dice.below(3) {
            change(&mut choices, dice);
        }
        let most = layout.filled.boards + 2 * layout.filled.close;
        let Some((filled, own)) = layout.task.fill_along(&choices, most, &trail) else {
            continue;
        };
        work = filled.work;
        let found = goal(&filled, &layout.task.stock, bound);
        if is_less(best, found) {
            idle += 1;
            continue;
        }
        idle = if is_less(found, best) { 0 } else { idle + 1 };
        best = found;
        layout.choices = choices;
        layout.filled = filled;
        trail = own;
    }
    Ok(true)
}

/// A start with so many twelfths of a board; none of them stands for a whole one.
fn twelfths(part: usize) -> Start {
    match u8::try_from(part) {
        Ok(part) if part > 0 => Start::Twelfths(part),
        _ => Start::Whole,
    }
}

fn change(choices: &mut [Choice], dice: &mut Dice) {
    let index = dice.below(choices.len());
    let other = dice.below(choices.len());
    match dice.below(8) {
        0 | 1 => choices[index].is_backward = !choices[index].is_backward,
        2 => {
            let order = choices[index].order;
            choices[index].order = choices[other].order;
            choices[other].order = order;
        }
        3 => choices[index].start = Start::Offcut,
        4 => choices[index].start = twelfths(dice.below(12)),
        5 => choices[index].is_thrifty = !choices[index].is_thrifty,
        6 => choices[index].is_crosswise = !choices[index].is_crosswise,
        _ => choices[index].is_longest_first = !choices[index].is_longest_first,
    }
}

/// Fills strips that need no stagger (edge boards, slopes) from the task's offcuts and new
/// boards, and improves on it towards each of `goals` in turn.
///
/// # Errors
/// [`Cancelled`] when the budget's flag was raised.
pub(super) fn fill_freely(
    task: Task,
    frame: Frame,
    goals: &[Goal],
    budget: &mut Budget,
) -> Result<Option<Layout>, Cancelled> {
    let needed: f64 = task.strips.iter().map(super::courses::Strip::area).sum();
    let at_hand: f64 = task.pool.iter().map(|offcut| offcut.shape.area).sum();
    let bound = area_bound(needed - at_hand, task.stock.length * task.stock.width);
    let mut best: Option<(Vec<Choice>, Filled)> = None;
    for is_crosswise in [false, true] {
        let choice = Choice { is_thrifty: true, is_crosswise, ..Choice::default() };
        let choices = vec![choice; task.strips.len()];
        let most = best.as_ref().map_or(u32::MAX, |(_, filled)| filled.boards);
        let Some(filled) = task.fill(&choices, most) else { continue };
        // Short pieces across the board mean more seams: they must save a board.
        if best.as_ref().is_none_or(|(_, kept)| filled.boards < kept.boards) {
            best = Some((choices, filled));
        }
    }
    let Some((choices, filled)) = best else { return Ok(None) };
    let mut layout = Layout { frame, task, choices, filled };
    let mut dice = Dice::new(0x2545_F491_4F6C_DD1D);
    for goal in goals {
        improve(&mut layout, 200, (*goal, bound), (&mut dice, budget))?;
    }
    Ok(Some(layout))
}
