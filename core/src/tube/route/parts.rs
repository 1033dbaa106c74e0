//! The floor of a zone shared out among its roots, and how even that is.

#![expect(
    clippy::indexing_slicing,
    reason = "cell and part numbers come from this file's own loops over the same vectors"
)]

use super::Work;
use super::rank::unlike;
use super::tips::TipRoom;
use crate::effort::{Cancel, Cancelled};
use crate::geometry::clip::difference;
use crate::geometry::{Bounds, Point};
use crate::tube::cells::{Cells, NONE};
use crate::tube::divide::{
    Owners, Pushing, Shares, Ways, anneal, first_division, push_apart, steps_from, ways,
};
use crate::tube::fan::{Root, strips_beside, taken};
use crate::tube::field::Field;
use crate::tube::rules::Rules;
use crate::tube::view::{View, cell_rules};

/// A circuit shorter than this share of the mean is starved.
const STARVED: f64 = 0.6;
/// How long circuits may be in the mean where one is left out, as a share of the limit.
const FULLEST: f64 = 0.985;
/// What is left of the tube of cells once corners are rounded: 0.43 of the radius less at each.
const ROUNDED: f64 = 0.98;
/// How far from where a course has no room for its bends a cell is in their way, spacings.
const ROOM_WITHIN: f64 = 3.0;
/// Share of the floor that leaders usually take.
const USUAL_LEADERS: f64 = 0.08;
/// First divisions tried, by how much of the floor on its way is counted as a part's own.
const WAY_COSTS: [f64; 4] = [1.0, 2.0, 0.5, 0.0];
/// A division this even at a first look needs no other start.
const EVEN_AT_FIRST: f64 = 0.3;
/// Steps of annealing for each cell: to judge a fan, and to choose among the best of them.
const QUICK_STEPS: usize = 30;
const CAREFUL_STEPS: usize = 250;
/// The same to divide for good: more where returns are bulbs, since every end of a run that is saved
/// there saves nearly twice the bends, and where trees wind inward and are not bettered afterwards.
const FULL_STEPS: usize = 400;
const MORE_STEPS: usize = 2000;
/// The most steps to choose, or on a large floor, and to divide any other for good.
const MOST_STEPS: usize = 500_000;
const MOST_FULL_STEPS: usize = 10_000_000;

/// A zone divided for given roots; `None` when a root is hemmed in.
///
/// # Errors
/// [`Cancelled`] when nobody waits for it any more.
pub fn try_fan<'a>(
    view: &'a View,
    roots: Vec<Root>,
    rules: &'a Rules,
    cancel: &Cancel,
) -> Result<Option<Work<'a>>, Cancelled> {
    let Some(mut work) = begun(view, roots, rules) else { return Ok(None) };
    Ok(work.divide(cancel)?.then_some(work))
}

/// A zone with the floor that is left by the leaders of given roots, not divided yet; `None` when
/// no floor is left for a root.
#[must_use]
pub fn begun<'a>(view: &'a View, roots: Vec<Root>, rules: &'a Rules) -> Option<Work<'a>> {
    let taken = taken(&roots, rules.beside_leaders());
    let field = Field::new(&difference(&view.regions, &taken))?;
    let leaders = roots.iter().flat_map(|root| [&root.into, &root.out_of]);
    let mut cells = cells_left(view, &field, leaders, rules);
    let root_cells: Option<Vec<usize>> =
        roots.iter().map(|root| cells.at(root.at.0, root.at.1)).collect();
    let root_cells = root_cells?;
    let mut roots = roots;
    if rules.pair.is_none() {
        for (root, &cell) in roots.iter_mut().zip(&root_cells) {
            root.meet(&cells.list[cell]);
        }
    }
    if rules.is_tight() {
        TipRoom::new(view, &roots, rules).without_dead_ends(&mut cells, &root_cells);
    }
    let too_far = set_aside(&mut cells, &root_cells, rules);
    let mut work = Work::new(view, rules, roots, cells, root_cells);
    work.too_far = too_far;
    Some(work)
}

/// The cells of a view that leaders leave in a field: away from them they are as they were.
pub fn cells_left<'l>(
    view: &View,
    field: &Field,
    leaders: impl IntoIterator<Item = &'l Vec<Point>>,
    rules: &Rules,
) -> Cells {
    let strips: Vec<Bounds> = leaders
        .into_iter()
        .flat_map(|leader| strips_beside(leader, rules.beside_leaders()))
        .filter_map(|strip| strip.bounds())
        .collect();
    // Joins reach as far as the next lane.
    let are_as_before = |lanes: Bounds| {
        let near = lanes.grown(1.5 * rules.spacing);
        strips.iter().all(|strip| !near.touches(*strip))
    };
    let rules = cell_rules(rules, &view.frame);
    view.frame.weighed(view.cells.left_in(field, rules, &are_as_before))
}

/// Takes cells that no circuit within the limit could reach and come back from out of the work;
/// the place of one of them.
fn set_aside(cells: &mut Cells, roots: &[usize], rules: &Rules) -> Option<Point> {
    let steps = steps_from(cells, roots);
    let way = 4.0 * rules.spacing * rules.tubes();
    let is_beyond = |cell: usize| steps[cell] != NONE && steps[cell] as f64 * way > rules.limit;
    let beyond: Vec<usize> = (0..steps.len()).filter(|&cell| is_beyond(cell)).collect();
    for &cell in &beyond {
        cells.set_aside(cell);
    }
    beyond.first().map(|&cell| cells.list[cell].middle())
}

/// What it takes of a budget to cut the floor beside leaders up into cells.
#[must_use]
pub fn cut_up(view: &View) -> u64 {
    /// On any floor beside a step for each of its cells.
    const ALWAYS: u64 = 500;
    ALWAYS + view.cells.list.len() as u64
}

impl<'a> Work<'a> {
    pub(super) fn targets(&self, lengths: Option<(&[f64], &[f64])>) -> Vec<f64> {
        if let Some((lengths, old)) = lengths {
            // A course that could not be bent says nothing about its length.
            let laid = lengths.iter().filter(|&&length| length > 0.0);
            let mean = laid.clone().sum::<f64>() / laid.count().max(1) as f64;
            let corrected = |(old, &length): (&f64, &f64)| {
                if length > 0.0 { old + 0.8 * (mean - length) } else { *old }
            };
            return old.iter().zip(lengths).map(corrected).collect();
        }
        let share = self.share();
        self.leaders.iter().map(|leader| (share - leader).max(0.0)).collect()
    }

    /// The length of a circuit in the mean where all floor is served, leaders included.
    fn share(&self) -> f64 {
        let tube: f64 = self.cells.list.iter().map(|cell| cell.tube).sum();
        (tube + self.leaders.iter().sum::<f64>()) / self.roots.len().max(1) as f64
    }

    /// How long a circuit will be in the mean where all floor is served, as a share of the limit.
    #[must_use]
    pub fn expected_fullness(&self) -> f64 {
        self.share() / self.rules.limit
    }

    fn shares(&self, targets: Vec<f64>) -> Shares<'_> {
        let usual = 4.0 * self.rules.spacing * self.rules.tubes();
        Shares {
            cells: &self.cells,
            roots: &self.root_cells,
            bad_tips: &self.bad_tips,
            targets,
            usual,
        }
    }

    /// The ways from its roots, those first that leave the fewest shut in.
    fn ways(&self) -> Vec<Ways> {
        let shares = self.shares(self.targets(None));
        let costs = WAY_COSTS.into_iter().take(if self.view.is_large() { 1 } else { 4 });
        let mut found: Vec<Ways> = costs.filter_map(|cost| ways(&shares, cost)).collect();
        found.sort_by_key(|ways| ways.shut_in);
        found
    }

    /// How many circuits would be shut in at least; `None` where one is hemmed in.
    #[must_use]
    pub fn shut_in(&self) -> Option<usize> {
        self.ways().first().map(|ways| ways.shut_in)
    }

    /// Divides the floor; `false` where a root is hemmed in.
    ///
    /// # Errors
    /// [`Cancelled`] when nobody waits for it any more.
    pub fn divide(&mut self, cancel: &Cancel) -> Result<bool, Cancelled> {
        let targets = self.targets(None);
        let mut best: Option<(f64, Owners, Pushing)> = None;
        let all = self.ways();
        let least = all.first().map(|ways| ways.shut_in);
        let likely = all.iter().filter(|ways| Some(ways.shut_in) == least);
        // Which of these serves a floor with narrow places cannot be told before.
        let pushings = [Pushing::Late, Pushing::Throughout].into_iter().cycle();
        for (ways, pushing) in likely.zip(pushings) {
            self.divisions += 1;
            self.pushing = pushing;
            self.owners = first_division(&self.shares(targets.clone()), ways);
            let steps = (QUICK_STEPS * self.owners.len()).clamp(3_000, 150_000);
            self.anneal(targets.clone(), (steps, 1.0), cancel)?;
            let unevenness = self.unevenness();
            if best.as_ref().is_none_or(|(least, ..)| unevenness < *least) {
                best = Some((unevenness, self.owners.clone(), pushing));
            }
            if unevenness < EVEN_AT_FIRST {
                break;
            }
        }
        let Some((_, owners, pushing)) = best else { return Ok(false) };
        (self.owners, self.pushing) = (owners, pushing);
        Ok(true)
    }

    /// What a first look at it took of a budget.
    #[must_use]
    pub fn looked_at(&self) -> u64 {
        /// For each cell and division.
        const DIVIDED: u64 = 3;
        cut_up(self.view) + DIVIDED * self.divisions * self.view.cells.list.len() as u64
    }

    /// What its layout took of a budget: tries at trees take longer where bends are looked at.
    #[must_use]
    pub fn steps(&self) -> u64 {
        /// So many tries without a look at bends take as long as one with it.
        const PLAIN_TRIES: u64 = 5;
        if self.rules.is_tight() { self.tries } else { self.tries / PLAIN_TRIES }
    }

    /// Divides with care, from the start that `divide` made, to choose among fans.
    ///
    /// # Errors
    /// [`Cancelled`] when nobody waits for it any more.
    pub fn divide_well(&mut self, cancel: &Cancel) -> Result<(), Cancelled> {
        self.mark_bad_tips();
        self.divide_anew(CAREFUL_STEPS, MOST_STEPS, cancel)
    }

    /// Divides for good, before trees are grown: a long search finds the long strips that take few
    /// bends.
    ///
    /// # Errors
    /// [`Cancelled`] when nobody waits for it any more.
    pub(super) fn divide_for_good(&mut self, cancel: &Cancel) -> Result<(), Cancelled> {
        let takes_more = self.rules.is_tight() || !self.betters_trees();
        let steps = if takes_more { MORE_STEPS } else { FULL_STEPS };
        let most = if self.view.is_large() { MOST_STEPS } else { MOST_FULL_STEPS };
        self.divide_anew(steps, most, cancel)?;
        let targets = self.targets(None);
        let mut owners = std::mem::take(&mut self.owners);
        push_apart(&self.shares(targets), &mut owners, cancel)?;
        self.owners = owners;
        Ok(())
    }

    fn divide_anew(
        &mut self,
        steps_for_cell: usize,
        most: usize,
        cancel: &Cancel,
    ) -> Result<(), Cancelled> {
        let steps = (steps_for_cell * self.owners.len()).clamp(5_000, most);
        self.anneal(self.targets(None), (steps, 1.0), cancel)
    }

    pub(super) fn anneal(
        &mut self,
        targets: Vec<f64>,
        (steps, heat): (usize, f64),
        cancel: &Cancel,
    ) -> Result<(), Cancelled> {
        let (mut owners, mut dice) = (std::mem::take(&mut self.owners), self.dice.clone());
        let effort = (steps, heat, self.pushing);
        anneal(&self.shares(targets), &mut owners, effort, &mut dice, cancel)?;
        (self.owners, self.dice) = (owners, dice);
        Ok(())
    }

    /// Share of the floor that no part reaches: beyond what leaders usually take, or because they
    /// shut it in.
    #[must_use]
    pub fn cut_off(&self) -> f64 {
        let all: f64 = self.view.cells.list.iter().map(|cell| cell.tube).sum();
        let (mut served, mut shut_in) = (0.0, 0.0);
        for (owner, cell) in self.owners.iter().zip(&self.cells.list) {
            *if *owner == NONE { &mut shut_in } else { &mut served } += cell.tube;
        }
        let shut_in = (shut_in - self.view.apart) / all.max(1.0);
        (1.0 - served / all.max(1.0) - USUAL_LEADERS).max(shut_in).max(0.0)
    }

    /// What is wrong with the parts as divided: uneven, or floor cut off.
    #[must_use]
    pub fn badness(&self) -> f64 {
        self.unevenness() + 3.0 * self.cut_off()
    }

    /// Share of all tube that circuits are longer by than the limit: so much floor of theirs stays
    /// without tube.
    #[must_use]
    pub fn overlong(&self) -> f64 {
        let lengths = self.lengths();
        let over = lengths.iter().map(|length| (length - self.rules.limit).max(0.0));
        over.sum::<f64>() / lengths.iter().sum::<f64>().max(1.0)
    }

    /// Share of all tube that is leaders.
    #[must_use]
    pub fn leader_share(&self) -> f64 {
        let served = self.owners.iter().zip(&self.cells.list).filter(|(owner, _)| **owner != NONE);
        let tube: f64 = served.map(|(_, cell)| cell.tube).sum();
        let leaders: f64 = self.leaders.iter().sum();
        leaders / (leaders + tube).max(1.0)
    }

    /// How long a circuit is in the mean, as a share of the limit.
    #[must_use]
    pub fn fullness(&self) -> f64 {
        let served = self.owners.iter().zip(&self.cells.list).filter(|(owner, _)| **owner != NONE);
        let tube: f64 = served.map(|(_, cell)| cell.tube).sum();
        let mean = (tube + self.leaders.iter().sum::<f64>()) / self.roots.len().max(1) as f64;
        ROUNDED * mean / self.rules.limit
    }

    /// Circuits too short to be worth their ports that the others can do without: the same floor
    /// divided again among those, at least so many.
    ///
    /// # Errors
    /// [`Cancelled`] when nobody waits for it any more.
    pub fn without_starved(
        &self,
        fewest: usize,
        cancel: &Cancel,
    ) -> Result<Option<Self>, Cancelled> {
        let starved = self.starved(fewest);
        if starved.is_empty() { Ok(None) } else { self.without(&starved, cancel) }
    }

    /// The same without the circuit whose leaders are longest; `None` where the others would be too
    /// long.
    ///
    /// # Errors
    /// [`Cancelled`] when nobody waits for it any more.
    pub fn with_one_less(&self, cancel: &Cancel) -> Result<Option<Self>, Cancelled> {
        let all = self.leaders.iter().enumerate();
        let farthest = all.max_by(|a, b| a.1.total_cmp(b.1)).map(|(part, _)| part);
        let Some(mut other) = self.without(farthest.as_slice(), cancel)? else { return Ok(None) };
        if other.fullness() > 1.0 {
            return Ok(None);
        }
        other.divide_well(cancel)?;
        Ok(Some(other))
    }

    /// The same floor divided among the other circuits; `None` where there are none.
    ///
    /// # Errors
    /// [`Cancelled`] when nobody waits for it any more.
    pub fn without(&self, left_out: &[usize], cancel: &Cancel) -> Result<Option<Self>, Cancelled> {
        let kept = self.roots.iter().enumerate().filter(|(part, _)| !left_out.contains(part));
        let roots: Vec<Root> = kept.map(|(_, root)| root.clone()).collect();
        if roots.is_empty() { Ok(None) } else { try_fan(self.view, roots, self.rules, cancel) }
    }

    /// The same fan divided again without the cells nearest to places where its courses have no room
    /// for their bends, roots excepted.
    ///
    /// # Errors
    /// [`Cancelled`] when nobody waits for it any more.
    pub fn with_room_at(
        &self,
        places: &[Point],
        cancel: &Cancel,
    ) -> Result<Option<Self>, Cancelled> {
        let mut other = self.clone();
        for place in places.iter().map(|&place| self.view.frame.local(place)) {
            let near = other.cells.list.iter().enumerate().filter(|(cell, shape)| {
                !self.root_cells.contains(cell)
                    && shape.tube > 0.0
                    && shape.middle().distance(place) < ROOM_WITHIN * self.rules.spacing
            });
            let nearest = near.map(|(cell, shape)| (shape.middle().distance(place), cell));
            let Some((_, cell)) = nearest.min_by(|a, b| a.0.total_cmp(&b.0)) else {
                return Ok(None);
            };
            other.cells.set_aside(cell);
        }
        Ok(other.divide(cancel)?.then_some(other))
    }

    /// Those circuits, the shortest first.
    fn starved(&self, fewest: usize) -> Vec<usize> {
        let lengths = self.lengths();
        let mut order: Vec<usize> = (0..lengths.len()).collect();
        order.sort_by(|&a, &b| lengths[a].total_cmp(&lengths[b]));
        let (mut all, mut left) = (lengths.iter().sum::<f64>(), lengths.len());
        let mut starved = Vec::new();
        for part in order {
            let rest = all - self.leaders[part];
            let is_needed = left <= fewest.max(1)
                || lengths[part] * left as f64 > STARVED * all
                || rest > (left - 1) as f64 * FULLEST * self.rules.limit;
            if is_needed {
                break;
            }
            starved.push(part);
            (all, left) = (rest, left - 1);
        }
        starved
    }

    /// How uneven the parts are as divided.
    #[must_use]
    pub fn unevenness(&self) -> f64 {
        unlike(&self.lengths())
    }

    /// The same where starved circuits are left out, as if the others had their floor.
    #[must_use]
    pub fn unevenness_of_fed(&self, fewest: usize) -> f64 {
        let starved = self.starved(fewest);
        let lengths = self.lengths().into_iter().enumerate();
        let fed: Vec<f64> =
            lengths.filter(|(part, _)| !starved.contains(part)).map(|(_, length)| length).collect();
        unlike(&fed)
    }

    /// Tube of each circuit as divided, leaders included, inches.
    #[must_use]
    pub fn lengths(&self) -> Vec<f64> {
        let mut lengths = self.leaders.clone();
        for (cell, &owner) in self.owners.iter().enumerate() {
            if owner != NONE {
                lengths[owner] += self.cells.list[cell].tube;
            }
        }
        lengths
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::geometry::Polygon;
    use crate::tube::clear_area::ClearArea;
    use crate::tube::fan::{FanShape, Wing};
    use crate::tube::frame::Frame;
    use crate::tube::route::roots_of;

    const RULES: Rules = Rules::half_inch(12.0);

    fn view(rules: &Rules) -> View {
        let area = ClearArea::of_arm_and_hall();
        View::new(&area, Frame::new(Point::ORIGIN, 0.0), rules).unwrap()
    }

    /// A hall with room for all circuits.
    fn hall(rules: &Rules) -> View {
        let floor = vec![Polygon::rectangle(Point::new(-300.0, 0.0), Point::new(300.0, 360.0))];
        View::new(&ClearArea::of_empty(floor), Frame::new(Point::ORIGIN, 0.0), rules).unwrap()
    }

    /// Six circuits, of which a bus across the arm shuts one in at the closed end.
    fn half_shut_in<'a>(view: &'a View, rules: &'a Rules) -> Work<'a> {
        let ports: Vec<Point> =
            (0..12).map(|port| Point::new(-16.5 + 3.0 * f64::from(port), 0.0)).collect();
        let shape = FanShape { to_left: 3, left: Wing::Ahead(0), right: Wing::Ahead(2) };
        let roots = roots_of(view, &ports, &shape, rules).unwrap();
        try_fan(view, roots, rules, &Cancel::new()).unwrap().unwrap()
    }

    #[test]
    fn starved_circuits_are_left_out_where_the_others_have_room() {
        let rules = Rules { limit: 9000.0, ..RULES };
        let view = view(&rules);
        let work = half_shut_in(&view, &rules);
        let lengths = work.lengths();
        let mean = lengths.iter().sum::<f64>() / 6.0;
        let starved = lengths.iter().filter(|&&length| length < STARVED * mean).count();
        assert_eq!(starved, 1, "{lengths:?}");
        let fed = work.without_starved(1, &Cancel::new()).unwrap().unwrap();
        assert_eq!(fed.lengths().len(), 5);
        assert!(fed.unevenness() < 0.6 * work.unevenness(), "{:?}", fed.lengths());
        assert!(work.unevenness_of_fed(1) < work.unevenness());
        // Where the user asked for six there are six; and none is left out where the others are full.
        assert!(work.without_starved(6, &Cancel::new()).unwrap().is_none());
        let full = Rules { limit: 1.05 * mean, ..RULES };
        let work = half_shut_in(&view, &full);
        assert!(work.without_starved(1, &Cancel::new()).unwrap().is_none());
    }

    #[test]
    fn cells_promise_as_much_tube_as_is_bent() {
        for spacing in [6.0, 9.0, 12.0] {
            let rules = Rules::half_inch(spacing);
            let view = hall(&rules);
            let mut work = half_shut_in(&view, &rules);
            work.divide_well(&Cancel::new()).unwrap();
            let layout = work.settle(&Cancel::new()).unwrap();
            assert!(layout.stuck().is_empty() && layout.breaches.is_empty());
            let bent: f64 = layout.circuits.iter().map(|found| found.length).sum();
            let promised = 6.0 * work.fullness() * rules.limit;
            assert!((bent / promised - 1.0).abs() < 0.02, "{spacing}: {bent} {promised}");
        }
    }

    #[test]
    fn a_circuit_left_out_leaves_its_floor_to_the_others() {
        let view = hall(&RULES);
        let work = half_shut_in(&view, &RULES);
        let other = work.without(&[2], &Cancel::new()).unwrap().unwrap();
        assert_eq!(other.lengths().len(), 5);
        let tube = |work: &Work| work.lengths().iter().sum::<f64>();
        // Its leaders give way to floor.
        assert!((tube(&other) / tube(&work) - 1.0).abs() < 0.02);
        assert!(other.unevenness() < 0.1, "{:?}", other.lengths());
        assert!(work.without(&[0, 1, 2, 3, 4, 5], &Cancel::new()).unwrap().is_none());
    }

    #[test]
    fn one_circuit_less_is_the_one_with_the_longest_leaders_if_the_others_hold_its_floor() {
        let view = hall(&RULES);
        let work = half_shut_in(&view, &RULES);
        let longest = work.leaders.iter().copied().fold(0.0, f64::max);
        let other = work.with_one_less(&Cancel::new()).unwrap().unwrap();
        assert_eq!(other.leaders.len() + 1, work.leaders.len());
        let left: f64 = work.leaders.iter().sum::<f64>() - other.leaders.iter().sum::<f64>();
        assert!((left - longest).abs() < 1e-9, "{left} {longest}");
        let mean = work.lengths().iter().sum::<f64>() / 6.0;
        let short = Rules { limit: 1.1 * mean, ..RULES };
        let full = half_shut_in(&view, &short);
        assert!(full.with_one_less(&Cancel::new()).unwrap().is_none());
    }

    #[test]
    fn the_cell_in_the_way_of_bends_is_taken_out_of_the_work_and_no_root_is() {
        let view = hall(&RULES);
        let work = half_shut_in(&view, &RULES);
        let middle = |cell: usize| work.cells.list[cell].middle();
        let root = work.root_cells[1];
        assert!(!work.owners.contains(&NONE));
        for (place, far) in [(Point::new(200.0, 300.0), 20.0), (middle(root), 36.0)] {
            let other = work.with_room_at(&[place], &Cancel::new()).unwrap().unwrap();
            let all = 0..other.owners.len();
            let out: Vec<usize> = all.filter(|&cell| other.owners[cell] == NONE).collect();
            assert_eq!(out.len(), 1, "{out:?}");
            assert!(middle(out[0]).distance(place) < far && out[0] != root);
        }
        let outside = Point::new(200.0, 500.0);
        assert!(work.with_room_at(&[outside], &Cancel::new()).unwrap().is_none());
    }

    #[test]
    fn circuits_shut_in_are_counted_before_the_floor_is_divided() {
        let view = view(&RULES);
        let work = half_shut_in(&view, &RULES);
        assert!(work.shut_in().unwrap() >= 1, "{:?}", work.lengths());
        assert_eq!(half_shut_in(&hall(&RULES), &RULES).shut_in(), Some(0));
    }
}
