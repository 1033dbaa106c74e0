//! Fans as wide as an arm of the floor: most circuits along the wall, each on in a column of its
//! own, so that all of them go on side by side at their spacing; where the arm has too few columns
//! for that, some pass straight ahead between them and leave where the floor opens.
//!
//! Question: how many go which way, and how far ahead? Method: fans of all mixtures are guessed at
//! by how many circuits they shut in, the likeliest are divided, and then the best is changed a
//! little again and again, taking circuits from groups that got too little floor.

#![expect(
    clippy::indexing_slicing,
    reason = "hands, groups and rows are numbered by this file's own loops over the same lists"
)]

use super::search::{OVERFULL_COST, Try, tried};
use super::{EVEN_ENOUGH, FULL};
use crate::effort::{Budget, Cancelled};
use crate::geometry::Point;
use crate::tube::fan::{FanShape, Wing};
use crate::tube::route::{Work, begun, cut_up, roots_of};
use crate::tube::rules::Rules;
use crate::tube::view::View;

/// How many circuits go straight ahead.
const AHEAD: [usize; 10] = [0, 1, 2, 3, 4, 6, 8, 10, 13, 16];
/// Rows that those pass before they leave, beside those that bring them to where the floor opens.
const BEFORE: [usize; 5] = [0, 6, 14, 24, 36];
/// The floor opens where a row has so many times the cells of the one before.
const OPENS: f64 = 1.3;
/// Rows that leaders along the wall take of the way there, more and fewer.
const TAKEN_BEFORE: [usize; 2] = [10, 6];
/// Fans guessed at for each number of those ahead, the likeliest of all that are divided, and how
/// often one of those is changed.
const MOST_GUESSED: usize = 6;
const MOST_DIVIDED: usize = 24;
const MOST_CHANGES: usize = 120;
/// A circuit moved from group to group so often before those ahead go farther or less far.
const MOVED_FIRST: usize = 5;
/// How much farther ahead those go, rows.
const FARTHER: [usize; 2] = [2, 6];
/// What a change that was looked at counts against the fan that it is made of.
const CHANGED_COST: f64 = 0.03;
/// What floor costs that is cut off, each share.
const CUT_OFF_COST: f64 = 3.0;

/// How circuits leave their ports, the left hand first.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
struct Wide {
    /// So many along the wall.
    along: [usize; 2],
    /// So many straight ahead.
    ahead: [usize; 2],
    /// Rows that those pass.
    before: [usize; 2],
}

impl Wide {
    fn shape(&self) -> FanShape {
        let wing = |hand: usize| Wing::Wide { along: self.along[hand], before: self.before[hand] };
        FanShape { to_left: self.along[0] + self.ahead[0], left: wing(0), right: wing(1) }
    }

    /// How many are in each group, in the order of the ports: along the wall to the left, ahead to
    /// the left and to the right, along the wall to the right.
    const fn groups(&self) -> [usize; 4] {
        [self.along[0], self.ahead[0], self.ahead[1], self.along[1]]
    }

    /// Fans a little different, the likeliest first: those that take from groups whose circuits are
    /// short and give to groups whose circuits are long.
    fn changes(&self, lengths: &[f64]) -> Vec<Self> {
        let mut moved = self.moved(lengths);
        let others = moved.split_off(moved.len().min(MOVED_FIRST));
        moved.into_iter().chain(self.farther()).chain(others).collect()
    }

    /// With a circuit of one group in another.
    fn moved(&self, lengths: &[f64]) -> Vec<Self> {
        let mean = |lengths: &[f64]| lengths.iter().sum::<f64>() / lengths.len().max(1) as f64;
        let groups = self.groups();
        let mut rest = lengths;
        let means = groups.map(|count| {
            let (own, others) = rest.split_at(count.min(rest.len()));
            rest = others;
            mean(if own.is_empty() { lengths } else { own })
        });
        let mut moved = Vec::new();
        for from in (0..4).filter(|&from| groups[from] > 0) {
            for to in (0..4).filter(|&to| to != from) {
                let mut all = groups;
                all[from] -= 1;
                all[to] += 1;
                let [left, ahead_left, ahead_right, right] = all;
                let wide = Self {
                    along: [left, right],
                    ahead: [ahead_left, ahead_right],
                    before: self.before,
                };
                moved.push((means[from] - means[to], wide));
            }
        }
        moved.sort_by(|a, b| a.0.total_cmp(&b.0));
        moved.into_iter().map(|(_, wide)| wide).collect()
    }

    /// With those ahead on one hand leaving farther on, or sooner.
    fn farther(&self) -> Vec<Self> {
        let mut found = Vec::new();
        for hand in (0..2).filter(|&hand| self.ahead[hand] > 0) {
            for by in FARTHER {
                for before in [self.before[hand] + by, self.before[hand].saturating_sub(by)] {
                    let mut other = *self;
                    other.before[hand] = before;
                    found.push(other);
                }
            }
        }
        found
    }
}

/// Tries fans as wide as the floor before a line of ports; at least so many of them are in use.
pub(super) fn search_wide<'a>(
    view: &'a View,
    line: &[Point],
    (rules, fewest): (&'a Rules, usize),
    tries: &mut Vec<Try<'a>>,
    budget: &mut Budget,
) -> Result<(), Cancelled> {
    let mut search = Search { view, line, rules, fewest, known: Vec::new(), looked_at: Vec::new() };
    for wide in search.likeliest(budget) {
        if search.look(wide, tries, budget)? {
            return Ok(());
        }
    }
    for _ in 0..MOST_CHANGES {
        let Some(wide) = search.next_change() else { break };
        if search.look(wide, tries, budget)? {
            break;
        }
    }
    Ok(())
}

/// A fan that was divided.
struct Known {
    cost: f64,
    /// Changes of it not looked at yet, the likeliest last.
    changes: Vec<Wide>,
    /// How many were.
    changed: usize,
}

struct Search<'a, 'l> {
    view: &'a View,
    line: &'l [Point],
    rules: &'a Rules,
    fewest: usize,
    known: Vec<Known>,
    looked_at: Vec<Wide>,
}

impl<'a> Search<'a, '_> {
    fn fits(&self, wide: &Wide) -> bool {
        roots_of(self.view, self.line, &wide.shape(), self.rules).is_some()
    }

    /// The fans that are likely to be the most even, the best first.
    fn likeliest(&self, budget: &mut Budget) -> Vec<Wide> {
        let count = self.line.len() / 2;
        let befores = befores(self.view);
        let mut guesses: Vec<(f64, Wide)> = Vec::new();
        for ahead in AHEAD.into_iter().filter(|&ahead| ahead < count) {
            let fitting = self.fitting(ahead, count - ahead, &befores);
            let step = fitting.len().div_ceil(MOST_GUESSED).max(1);
            for wide in fitting.into_iter().step_by(step) {
                guesses.extend(self.guess(&wide, budget).map(|cost| (cost, wide)));
            }
        }
        guesses.sort_by(|a, b| a.0.total_cmp(&b.0));
        guesses.into_iter().take(MOST_DIVIDED).map(|(_, wide)| wide).collect()
    }

    /// Fans with so many ahead and along the wall that have room.
    fn fitting(&self, ahead: usize, along: usize, befores: &[usize]) -> Vec<Wide> {
        let mut fitting: Vec<Wide> = Vec::new();
        for left in 0..=along {
            for to_left in [ahead / 2, 0, ahead] {
                for &before in befores {
                    let wide = Wide {
                        along: [left, along - left],
                        ahead: [to_left, ahead - to_left],
                        before: if ahead > 0 { [before; 2] } else { [0; 2] },
                    };
                    if !fitting.contains(&wide) && self.fits(&wide) {
                        fitting.push(wide);
                    }
                }
            }
        }
        fitting
    }

    /// What a fan is likely to cost: by the circuits that it shuts in, and by its leaders.
    fn guess(&self, wide: &Wide, budget: &mut Budget) -> Option<f64> {
        if budget.is_spent() {
            return None;
        }
        budget.spend(cut_up(self.view));
        let roots = roots_of(self.view, self.line, &wide.shape(), self.rules)?;
        let count = roots.len().max(1) as f64;
        let work = begun(self.view, roots, self.rules)?;
        let overfull = (work.expected_fullness() - FULL).max(0.0);
        Some(work.shut_in()? as f64 / count + OVERFULL_COST * overfull)
    }

    /// Divides a fan; whether no more need be looked at.
    fn look(
        &mut self,
        wide: Wide,
        tries: &mut Vec<Try<'a>>,
        budget: &mut Budget,
    ) -> Result<bool, Cancelled> {
        self.looked_at.push(wide);
        let shape = wide.shape();
        let Some(found) = tried(self.view, self.line, shape, self.rules, budget)? else {
            return Ok(budget.is_spent());
        };
        let mut changes = wide.changes(&found.work.lengths());
        changes.reverse();
        self.known.push(Known { cost: cost(&found.work, self.fewest), changes, changed: 0 });
        let is_even = found.badness < EVEN_ENOUGH;
        tries.push(found);
        Ok(is_even || budget.is_spent())
    }

    /// The likeliest change of the best fan that has any left: one that was changed often to no
    /// avail comes after others.
    fn next_change(&mut self) -> Option<Wide> {
        loop {
            let cost = |&number: &usize| {
                let known = &self.known[number];
                known.cost + CHANGED_COST * known.changed as f64
            };
            let best = (0..self.known.len())
                .filter(|&number| !self.known[number].changes.is_empty())
                .min_by(|a, b| cost(a).total_cmp(&cost(b)))?;
            let wide = self.known[best].changes.pop()?;
            if !self.looked_at.contains(&wide) && self.fits(&wide) {
                self.known[best].changed += 1;
                return Some(wide);
            }
        }
    }
}

/// What a fan costs: uneven parts, floor cut off, and circuits too long in the mean.
fn cost(work: &Work, fewest: usize) -> f64 {
    let overfull = (work.fullness() - FULL).max(0.0);
    work.unevenness_of_fed(fewest) + CUT_OFF_COST * work.cut_off() + OVERFULL_COST * overfull
}

/// Rows that a bus may pass: to where the floor opens, and some others.
fn befores(view: &View) -> Vec<usize> {
    let (columns, rows) = view.cells.size();
    let cells_in =
        |row: usize| (0..columns).filter_map(|column| view.cells.at(column, row)).count();
    let cells: Vec<usize> = (0..rows).map(cells_in).collect();
    let mut befores = std::collections::BTreeSet::from(BEFORE);
    let mut row = 1;
    while let [before, _, after] = cells.get(row - 1..row + 2).unwrap_or(&[]) {
        let opens = *before > 0 && *after as f64 > OPENS * *before as f64;
        if opens {
            befores.extend(TAKEN_BEFORE.map(|taken| (row + 1).saturating_sub(taken)));
        }
        row += if opens { 3 } else { 1 };
    }
    befores.into_iter().collect()
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::effort::Cancel;
    use crate::geometry::Polygon;
    use crate::geometry::clip::union_all;
    use crate::tube::clear_area::ClearArea;
    use crate::tube::fan::FanShape;
    use crate::tube::frame::Frame;

    const RULES: Rules = Rules::half_inch(12.0);

    /// A U, whose western arm, 200 in wide and 320 in long, has the ports in its end.
    fn arm() -> View {
        let rectangle = |west, south, east, north| {
            Polygon::rectangle(Point::new(west, south), Point::new(east, north))
        };
        let floor = union_all(&[
            rectangle(-100.0, 0.0, 100.0, 330.0),
            rectangle(-100.0, 320.0, 520.0, 640.0),
            rectangle(300.0, 60.0, 520.0, 330.0),
        ]);
        View::new(&ClearArea::of_empty(floor), Frame::new(Point::ORIGIN, 0.0), &RULES).unwrap()
    }

    fn ports(count: u32) -> Vec<Point> {
        let first = 1.5 - 3.0 * f64::from(count);
        (0..2 * count).map(|port| Point::new(first + 3.0 * f64::from(port), 0.0)).collect()
    }

    #[test]
    fn an_arm_is_filled_by_circuits_side_by_side() {
        let (view, line) = (arm(), ports(8));
        let mut budget = Budget::new(u64::MAX, Cancel::new());
        let plain = (0..=8).filter_map(|to_left| {
            let shape = FanShape { to_left, left: Wing::Ahead(0), right: Wing::Ahead(0) };
            tried(&view, &line, shape, &RULES, &mut budget).unwrap()
        });
        let least = |least: f64, found: Try| least.min(found.work.unevenness());
        let plain = plain.fold(f64::INFINITY, least);
        let mut wide = Vec::new();
        search_wide(&view, &line, (&RULES, 8), &mut wide, &mut budget).unwrap();
        let wide = wide.into_iter().fold(f64::INFINITY, least);
        assert!(plain > 0.4 && wide < 0.15, "plain {plain}, wide {wide}");
    }

    #[test]
    fn circuits_ahead_may_leave_where_the_floor_opens() {
        let before = befores(&arm());
        // Rows are 24 in apart: the arm, 320 in long, opens in row 14.
        assert!(TAKEN_BEFORE.iter().all(|taken| before.contains(&(14 - taken))), "{before:?}");
    }

    #[test]
    fn what_is_short_gives_to_what_is_long() {
        let wide = Wide { along: [3, 4], ahead: [0, 2], before: [0, 6] };
        let lengths = [100.0, 110.0, 90.0, 200.0, 200.0, 300.0, 310.0, 290.0, 300.0];
        let changes = wide.changes(&lengths);
        assert_eq!(changes[0], Wide { along: [2, 5], ..wide });
        let count = |wide: &Wide| wide.groups().iter().sum::<usize>();
        assert!(changes.iter().all(|change| count(change) == 9 && *change != wide));
        assert!(changes.iter().any(|change| change.before == [0, 8]));
    }
}
