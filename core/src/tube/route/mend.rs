//! A layout mended: where the check finds something, where legs are too short for their bends, and
//! where circuits are longer than they may be.

#![expect(
    clippy::indexing_slicing,
    reason = "cell and part numbers come from this file's own loops over the same vectors"
)]

use super::{LET_GO, Layout, MOST_MENDINGS, Work};
use crate::geometry::Point;
use crate::tube::cells::{Cell, NONE};
use crate::tube::check::Breach;
use crate::tube::field::Heading;
use crate::tube::tree::{cut_join, join, may_join};

/// The most cells of a tooth that are given up where its end has no room.
const MOST_DROPPED: usize = 16;

/// A join: from a cell in a heading.
type Join = (usize, Heading);

/// How far from where a course cannot be bent joins are swapped, and from where on a place is
/// another, spacings.
const SWAPPED_WITHIN: f64 = 3.5;
const ELSEWHERE: f64 = 4.0;

impl Work<'_> {
    /// Draws circuits that are too long back from the far ends of their trees, so that at least
    /// the floor within reach of the limit is served.
    pub(super) fn draw_back_to(&mut self, limit: f64) -> Layout {
        let mut dropped = 0;
        let mut too_far = self.too_far;
        let mut layout = Layout::default();
        for _ in 0..MOST_MENDINGS {
            let (circuits, stuck) = self.courses(&mut dropped);
            let lengths: Vec<f64> = circuits.iter().map(|found| found.length).collect();
            layout = self.judged(circuits);
            let is_over = lengths.iter().any(|&length| length > limit);
            layout.breaches.extend(&stuck);
            if !stuck.is_empty() || (!is_over && layout.breaches.is_empty()) {
                break;
            }
            // A tree drawn back may end or turn where it has no room.
            if !is_over {
                let places = self.places(&layout.breaches);
                let bad: usize = places.into_iter().map(|at| self.drop_bad_tip(at)).sum();
                dropped += bad;
                if bad == 0 && !self.mend(&layout.breaches, &mut dropped) {
                    break;
                }
            }
            for (part, length) in lengths.into_iter().enumerate() {
                let mut spare = length - limit;
                // The deepest cell is always a leaf.
                for cell in self.deepest_first(part) {
                    if spare <= 0.0 {
                        break;
                    }
                    spare -= self.cells.list[cell].tube;
                    too_far = too_far.or_else(|| Some(self.cells.list[cell].middle()));
                    self.drop_leaf(cell);
                    dropped += 1;
                }
            }
        }
        layout.lost_cells = dropped;
        layout.cut_off = self.cut_off();
        layout.too_far = too_far.map(|at| self.view.frame.plan(at));
        layout
    }

    /// The cells of a part's tree but its root, those farthest from the root first.
    fn deepest_first(&self, part: usize) -> Vec<usize> {
        let mut order = vec![self.root_cells[part]];
        let mut is_seen = vec![false; self.cells.list.len()];
        is_seen[self.root_cells[part]] = true;
        let mut next = 0;
        while let Some(&cell) = order.get(next) {
            next += 1;
            for heading in Heading::ALL {
                let other = self.cells.next(cell, heading.0);
                if self.joins[cell] & (1 << heading.0) != 0 && !is_seen[other] {
                    is_seen[other] = true;
                    order.push(other);
                }
            }
        }
        order.remove(0);
        order.reverse();
        order
    }

    /// Lets a bulb near a place go back to where it was before it was drawn back, for good.
    fn let_go(&mut self, part: usize, at: Point) -> bool {
        let reach = 3.0 * self.rules.spacing;
        for (cell, pulls) in self.pulls.iter_mut().enumerate() {
            let is_near = || self.cells.list[cell].middle().distance(at) < reach;
            if self.owners[cell] == part && pulls.iter().any(|&pull| pull > 0.0) && is_near() {
                *pulls = pulls.map(|pull| if pull > 0.0 { LET_GO } else { pull });
                return true;
            }
        }
        false
    }

    /// Takes away what makes a bend impossible at a place: the nearest stub, else the nearest
    /// leaf of the tree.
    pub(super) fn ease(&mut self, part: usize, at: Point, dropped: &mut usize) -> bool {
        if self.let_go(part, at) {
            return true;
        }
        let reach = 2.5 * self.rules.spacing;
        let mut nearest_stub: Option<(f64, usize, u8)> = None;
        let mut nearest_leaf: Option<(f64, usize)> = None;
        let ground = self.ground(part);
        for (cell, shape) in self.cells.list.iter().enumerate() {
            if self.owners[cell] != part {
                continue;
            }
            let used = ground.stubs_used(cell, self.joins[cell]);
            for heading in Heading::ALL.into_iter().filter(|heading| used & (1 << heading.0) != 0) {
                let distance = stub_middle(shape, heading).distance(at);
                if nearest_stub.is_none_or(|(least, ..)| distance < least) {
                    nearest_stub = Some((distance, cell, 1 << heading.0));
                }
            }
            let is_leaf = self.joins[cell].count_ones() == 1 && cell != ground.root;
            let distance = shape.middle().distance(at);
            if is_leaf && nearest_leaf.is_none_or(|(least, _)| distance < least) {
                nearest_leaf = Some((distance, cell));
            }
        }
        if let Some((_, cell, bit)) = nearest_stub.filter(|(distance, ..)| *distance < reach) {
            self.no_stub[cell] |= bit;
            return true;
        }
        let is_leaf_at =
            nearest_leaf.is_some_and(|(distance, _)| distance < 2.0 * self.rules.spacing);
        if !is_leaf_at && (self.swap_near(part, at) || self.fill_valley(part, at)) {
            return true;
        }
        let Some((_, cell)) = nearest_leaf.filter(|(distance, _)| *distance < 2.0 * reach) else {
            return false;
        };
        self.drop_leaf(cell);
        *dropped += 1;
        true
    }

    /// Swaps one join of a tree near a place for another, so that its course can be bent there;
    /// `false` where none helps.
    fn swap_near(&mut self, part: usize, at: Point) -> bool {
        for cut in self.sides_near(part, at) {
            if !self.is_joined(cut) {
                continue;
            }
            let far = self.beside(cut);
            cut_join(&mut self.joins, cut.0, far, cut.1);
            let hangs = self.hanging_on(self.root_cells[part]);
            for made in self.sides_near(part, at) {
                let to = self.beside(made);
                let is_way_back = hangs.contains(&made.0) != hangs.contains(&to) && made != cut;
                if !is_way_back || !may_join(&self.ground(part), made.0, made.1) {
                    continue;
                }
                join(&mut self.joins, made.0, to, made.1);
                if self.bends_at(part, at) {
                    return true;
                }
                cut_join(&mut self.joins, made.0, to, made.1);
            }
            join(&mut self.joins, cut.0, far, cut.1);
        }
        false
    }

    /// Where cells of one part touch near a place, the nearest first: from a cell to the east or the
    /// north.
    fn sides_near(&self, part: usize, at: Point) -> Vec<Join> {
        let mut near: Vec<(f64, Join)> = Vec::new();
        for (cell, shape) in self.cells.list.iter().enumerate() {
            for heading in [Heading(0), Heading(1)] {
                let other = self.cells.next(cell, heading.0);
                if self.owners[cell] != part || other == NONE || self.owners[other] != part {
                    continue;
                }
                let distance = shape.middle().middle(self.cells.list[other].middle()).distance(at);
                near.push((distance, (cell, heading)));
            }
        }
        near.retain(|(distance, _)| *distance < SWAPPED_WITHIN * self.rules.spacing);
        near.sort_by(|a, b| a.0.total_cmp(&b.0));
        near.into_iter().map(|(_, side)| side).collect()
    }

    fn is_joined(&self, (cell, heading): Join) -> bool {
        self.joins[cell] & (1 << heading.0) != 0
    }

    fn beside(&self, (cell, heading): Join) -> usize {
        self.cells.next(cell, heading.0)
    }

    /// The cells that hang together with one.
    fn hanging_on(&self, cell: usize) -> std::collections::BTreeSet<usize> {
        let mut found = std::collections::BTreeSet::from([cell]);
        let mut open = vec![cell];
        while let Some(cell) = open.pop() {
            for heading in Heading::ALL.into_iter().filter(|&way| self.is_joined((cell, way))) {
                let next = self.beside((cell, heading));
                if found.insert(next) {
                    open.push(next);
                }
            }
        }
        found
    }

    /// Whether the course of a part can be bent, or cannot elsewhere only.
    fn bends_at(&self, part: usize, at: Point) -> bool {
        self.bent(self.legs(part))
            .err()
            .is_none_or(|place| place.distance(at) > ELSEWHERE * self.rules.spacing)
    }

    /// Moves the end of the valley at a place to its mouth, where it is one cell deep: of four cells
    /// that hang together on three sides the two at the mouth are joined, and the two at the end are
    /// parted.
    fn fill_valley(&mut self, part: usize, at: Point) -> bool {
        let mut nearest: Option<(f64, usize, Heading)> = None;
        for (cell, shape) in self.cells.list.iter().enumerate() {
            let distance = shape.middle().distance(at);
            if self.owners[cell] != part || distance > 3.0 * self.rules.spacing {
                continue;
            }
            for mouth in Heading::ALL {
                let Some(place) = self.shallow_valley(cell, mouth) else { continue };
                let distance = place.distance(at);
                if nearest.is_none_or(|(least, ..)| distance < least) {
                    nearest = Some((distance, cell, mouth));
                }
            }
        }
        let near = nearest.filter(|(distance, ..)| *distance < 1.5 * self.rules.spacing);
        let Some((_, cell, mouth)) = near else { return false };
        let beside = mouth.left();
        let ahead = self.cells.next(cell, mouth.0);
        let across = self.cells.next(cell, beside.0);
        let far = self.cells.next(ahead, beside.0);
        cut_join(&mut self.joins, cell, across, beside);
        join(&mut self.joins, ahead, far, beside);
        true
    }

    /// The middle of a valley between a cell, its left neighbour as seen toward the valley's mouth,
    /// and the next two there; `None` where there is no such valley.
    fn shallow_valley(&self, cell: usize, mouth: Heading) -> Option<Point> {
        let cells = &self.cells;
        let beside = mouth.left();
        let is_joined = |cell: usize, way: Heading| self.joins[cell] & (1 << way.0) != 0;
        let across = cells.next(cell, beside.0);
        let ahead = cells.next(cell, mouth.0);
        if !is_joined(cell, beside) || !is_joined(cell, mouth) || !is_joined(across, mouth) {
            return None;
        }
        let far = cells.next(across, mouth.0);
        let ground = self.ground(self.owners[cell]);
        let is_open = cells.next(ahead, beside.0) == far
            && !is_joined(ahead, beside)
            && may_join(&ground, ahead, beside);
        is_open.then(|| cells.list[cell].middle().middle(cells.list[far].middle()))
    }

    fn drop_leaf(&mut self, cell: usize) {
        for heading in Heading::ALL {
            if self.joins[cell] & (1 << heading.0) != 0 {
                let other = self.cells.next(cell, heading.0);
                self.joins[other] &= !(1 << heading.back().0);
            }
        }
        self.joins[cell] = 0;
        self.owners[cell] = NONE;
    }

    /// Eases every place where the check found something; `false` when it could nowhere.
    pub(super) fn mend(&mut self, found: &[Breach], dropped: &mut usize) -> bool {
        let mut any = false;
        for at in self.places(found) {
            if self.rules.is_tight() && self.draw_back(at) {
                any = true;
                continue;
            }
            let nearest = (0..self.cells.list.len())
                .filter(|&cell| self.owners[cell] != NONE)
                .min_by(|&a, &b| {
                    let distance = |cell: usize| self.cells.list[cell].middle().distance(at);
                    distance(a).total_cmp(&distance(b))
                });
            if let Some(cell) = nearest {
                any |= self.ease(self.owners[cell], at, dropped);
            }
        }
        any
    }

    /// Where the check found something, places apart only.
    fn places(&self, found: &[Breach]) -> Vec<Point> {
        let mut places: Vec<Point> = Vec::new();
        for breach in found {
            let at = self.view.frame.local(breach.at());
            if places.iter().all(|place| place.distance(at) > 2.0 * self.rules.spacing) {
                places.push(at);
            }
        }
        places
    }

    /// Betters the trees about every place where the check found something, without the teeth
    /// there whose bulbs would bow over the rim.
    pub(super) fn better_about(&mut self, found: &[Breach], dropped: &mut usize) {
        for at in self.places(found) {
            *dropped += self.drop_bad_tip(at);
            let reach = 4.0 * self.rules.spacing;
            for (cell, pulls) in self.cells.list.iter().zip(&mut self.pulls) {
                if cell.middle().distance(at) < reach {
                    *pulls = [0.0; 4];
                }
            }
            self.better_near(at);
        }
    }

    /// Draws the tooth nearest to a place back from its end until its bulb has room on both sides;
    /// how many cells that takes. Between a wall and the leaders of a circuit there may be floor
    /// for a tooth of one cell, but none for its end.
    fn drop_bad_tip(&mut self, at: Point) -> usize {
        let reach = 3.0 * self.rules.spacing;
        let nearest = (0..self.cells.list.len())
            .filter(|&cell| self.has_bad_tip(cell))
            .map(|cell| (self.cells.list[cell].middle().distance(at), cell))
            .filter(|(distance, _)| *distance < reach)
            .min_by(|a, b| a.0.total_cmp(&b.0));
        let Some((_, mut leaf)) = nearest else { return 0 };
        let mut dropped = 0;
        while dropped < MOST_DROPPED && self.has_bad_tip(leaf) {
            let onward = Heading::ALL.into_iter().find(|way| self.joins[leaf] & (1 << way.0) != 0);
            let next = onward.map(|way| self.cells.next(leaf, way.0));
            self.drop_leaf(leaf);
            dropped += 1;
            let Some(next) = next else { break };
            leaf = next;
        }
        dropped
    }

    /// Whether a cell is a leaf at whose tip a bulb would bow over the rim.
    fn has_bad_tip(&self, cell: usize) -> bool {
        let owner = self.owners[cell];
        owner != NONE
            && self
                .ground(owner)
                .tip(cell, self.joins[cell])
                .is_some_and(|tip| self.bad_tips[cell] & (1 << tip.0) != 0)
    }

    /// Draws the bulb nearest to a place back from its neighbours; `false` when all near it are.
    fn draw_back(&mut self, at: Point) -> bool {
        let mut nearest: Option<(f64, usize, Heading)> = None;
        for (cell, shape) in self.cells.list.iter().enumerate() {
            if self.owners[cell] == NONE || shape.middle().distance(at) > 4.0 * self.rules.spacing {
                continue;
            }
            let ground = self.ground(self.owners[cell]);
            for heading in Heading::ALL {
                if self.pulls[cell][heading.0] != 0.0 {
                    continue;
                }
                let place = if ground.tip(cell, self.joins[cell]) == Some(heading) {
                    shape.first(heading).middle(shape.last(heading))
                } else if ground.is_valley(cell, &self.joins, heading) {
                    let beyond = &self.cells.list[self.cells.next(cell, heading.0)];
                    shape.first(heading).middle(beyond.first(heading.right()))
                } else {
                    continue;
                };
                let distance = place.distance(at);
                if nearest.is_none_or(|(least, ..)| distance < least) {
                    nearest = Some((distance, cell, heading));
                }
            }
        }
        let Some((_, cell, heading)) =
            nearest.filter(|(distance, ..)| *distance < 2.0 * self.rules.spacing)
        else {
            return false;
        };
        self.pulls[cell][heading.0] = 1.2 * self.rules.radius;
        true
    }
}

fn stub_middle(cell: &Cell, heading: Heading) -> Point {
    let [first, last] = cell.stubs[heading.0];
    heading.ahead(cell.first(heading).middle(cell.last(heading)), (first + last) / 2.0)
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::effort::Cancel;
    use crate::geometry::Polygon;
    use crate::tube::clear_area::ClearArea;
    use crate::tube::fan::{FanShape, Wing};
    use crate::tube::forest::Within;
    use crate::tube::frame::Frame;
    use crate::tube::route::{roots_of, try_fan};
    use crate::tube::rules::Rules;
    use crate::tube::view::View;

    const RULES: Rules = Rules::half_inch(6.0);

    fn view() -> View {
        let floor = vec![Polygon::rectangle(Point::ORIGIN, Point::new(150.0, 120.0))];
        let area = ClearArea::of_empty(floor);
        View::new(&area, Frame::new(Point::ORIGIN, 0.0), &RULES).unwrap()
    }

    fn one_circuit(view: &View) -> Work<'_> {
        let ports = [Point::new(73.5, 0.0), Point::new(76.5, 0.0)];
        let shape = FanShape { to_left: 1, left: Wing::Ahead(0), right: Wing::Ahead(0) };
        let roots = roots_of(view, &ports, &shape, &RULES).unwrap();
        let mut work = try_fan(view, roots, &RULES, &Cancel::new()).unwrap().unwrap();
        work.grow_tree(0);
        work
    }

    /// Cells with tube, all of which hang together with the root of theirs and in no ring.
    fn hanging_together(work: &Work) -> usize {
        let owned = work.owners.iter().filter(|&&owner| owner != NONE).count();
        assert_eq!(work.deepest_first(0).len() + 1, owned, "a part without a root");
        let joins: u32 = work.joins.iter().map(|joins| joins.count_ones()).sum();
        assert_eq!(joins as usize, 2 * (owned - 1), "a ring");
        owned
    }

    fn a_leaf(work: &Work) -> usize {
        *work.deepest_first(0).first().unwrap()
    }

    #[test]
    fn a_tooth_without_room_for_its_end_is_drawn_back_to_where_there_is() {
        let view = view();
        let mut work = one_circuit(&view);
        work.bad_tips.fill(0);
        let leaf = a_leaf(&work);
        let onward = Heading::ALL.into_iter().find(|way| work.joins[leaf] & (1 << way.0) != 0);
        let next = work.cells.next(leaf, onward.unwrap().0);
        // No room at the end, nor one cell back.
        (work.bad_tips[leaf], work.bad_tips[next]) = (0b1111, 0b1111);
        let before = hanging_together(&work);
        let at = work.cells.list[leaf].middle();
        let dropped = work.drop_bad_tip(at);
        assert_eq!(hanging_together(&work), before - dropped);
        assert_eq!(work.owners[leaf], NONE);
        assert!((0..work.owners.len()).all(|cell| !work.has_bad_tip(cell)));
        assert_eq!(work.drop_bad_tip(at), 0, "what has room stays");
    }

    #[test]
    fn trees_are_bettered_anew_about_a_place_and_bulbs_there_may_come_back() {
        let view = view();
        let mut work = one_circuit(&view);
        work.bad_tips.fill(0);
        let leaf = a_leaf(&work);
        work.bad_tips[leaf] = 0b1111;
        work.pulls.fill([6.0; 4]);
        let before = hanging_together(&work);
        let at = work.cells.list[leaf].middle();
        let mut dropped = 0;
        work.better_about(&[Breach::Bend(at), Breach::Outside(at)], &mut dropped);
        assert_eq!(dropped, 1, "two breaches at one place are one");
        assert_eq!(hanging_together(&work), before - 1);
        for (cell, pulls) in work.cells.list.iter().zip(&work.pulls) {
            let is_near = cell.middle().distance(at) < 4.0 * RULES.spacing;
            assert_eq!(pulls.iter().all(|&pull| pull == 0.0), is_near);
        }
    }

    #[test]
    fn a_valley_one_cell_deep_is_filled_and_the_tree_stays_whole() {
        let view = view();
        let mut filled = 0;
        for seed in 0..12 {
            let mut work = one_circuit(&view).thrown_again(seed);
            work.better_alone(0);
            let before = hanging_together(&work);
            for cell in 0..work.cells.list.len() {
                for mouth in Heading::ALL {
                    let Some(at) = work.shallow_valley(cell, mouth) else { continue };
                    let joins = work.joins.clone();
                    assert!(work.fill_valley(0, at));
                    assert_ne!(work.joins, joins);
                    assert_eq!(hanging_together(&work), before);
                    filled += 1;
                }
            }
        }
        assert!(filled > 8, "{filled}");
    }

    #[test]
    fn a_join_is_swapped_only_for_one_that_lets_the_course_be_bent() {
        let view = view();
        let (mut stuck, mut swapped) = (0, 0);
        for seed in 0..40 {
            let mut work = one_circuit(&view).thrown_again(seed);
            // Joins swapped at random leave legs too short for their bends.
            work.better_trees((&[0.0], Within::Part(0)), (600, 40.0));
            let before = hanging_together(&work);
            let bent = work.bent(work.legs(0));
            let Err(at) = bent else { continue };
            stuck += 1;
            let joins = work.joins.clone();
            if work.swap_near(0, at) {
                swapped += 1;
                assert!(work.bends_at(0, at));
            } else {
                assert_eq!(work.joins, joins, "what does not help is undone");
            }
            assert_eq!(hanging_together(&work), before);
        }
        assert!(stuck > 20 && swapped > 10, "{swapped} of {stuck}");
    }
}
