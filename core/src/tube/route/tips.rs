//! Where a tooth of a tree may end: a bulb there must bow neither over the rim nor onto leaders.

#![expect(clippy::indexing_slicing, reason = "cell numbers come from the cells they index")]

use crate::tube::cells::{Cells, NONE};
use crate::tube::fan::{Root, taken};
use crate::tube::field::{Field, Heading};
use crate::tube::rules::Rules;
use crate::tube::view::View;

/// The floor where bulbs have room.
pub(super) struct TipRoom<'a> {
    tube: &'a Field,
    beside_leaders: Option<Field>,
    radius: f64,
    /// A bulb that bows to one side only comes too near to a run beside it.
    comes_too_near: bool,
}

impl<'a> TipRoom<'a> {
    /// What leaders leave of a floor.
    pub(super) fn new(view: &'a View, roots: &[Root], rules: &Rules) -> Self {
        let radius = rules.bend();
        Self {
            tube: &view.tube_field,
            beside_leaders: Field::new(&taken(roots, rules.demands().least_at_leaders)),
            radius,
            comes_too_near: rules.bow_to_one_side() > 0.25 * rules.spacing,
        }
    }

    /// The sides of a cell, a bit for each heading, at which a tooth that ends there has no room.
    pub(super) fn bad_sides(&self, cells: &Cells, cell: usize) -> u8 {
        let bad = Heading::ALL.into_iter().filter(|&heading| self.is_bad(cells, cell, heading));
        bad.fold(0, |bits, heading| bits | 1 << heading.0)
    }

    fn is_bad(&self, cells: &Cells, cell: usize, heading: Heading) -> bool {
        let shape = &cells.list[cell];
        let (right, left) = (shape.first(heading), shape.last(heading));
        let bow = (self.radius - right.distance(left) / 2.0).max(0.0);
        // A bulb bows by so much to both sides, or by twice as much to one.
        let is_free = |way: Heading, bow: f64| {
            let lane = if way == heading.right() { right } else { left };
            let place = heading.back().ahead(way.ahead(lane, bow), self.radius);
            let leaders = self.beside_leaders.as_ref();
            self.tube.contains(place) && !leaders.is_some_and(|leaders| leaders.contains(place))
        };
        let is_good_alone = |way: Heading| {
            !self.comes_too_near || !cells.has_beside(cell, way) && is_free(way, 2.0 * bow)
        };
        match [heading.right(), heading.left()].map(|way| (is_free(way, bow), way)) {
            [(true, _), (true, _)] => false,
            [(true, way), _] | [_, (true, way)] => !is_good_alone(way),
            _ => true,
        }
    }

    /// Takes cells out of the work that a tooth would have to end in and cannot: dead ends between
    /// a wall and leaders, from their ends back to where there is room.
    pub(super) fn without_dead_ends(&self, cells: &mut Cells, roots: &[usize]) {
        let only_way = |cells: &Cells, cell: usize| {
            let beside = cells.list[cell].beside;
            let mut ways = Heading::ALL.into_iter().filter(|way| beside[way.0] != NONE);
            ways.next().filter(|_| ways.next().is_none())
        };
        let mut open: Vec<usize> = (0..cells.list.len()).collect();
        while let Some(cell) = open.pop() {
            let Some(way) = only_way(cells, cell).filter(|_| !roots.contains(&cell)) else {
                continue;
            };
            if self.is_bad(cells, cell, way.back()) {
                open.push(cells.list[cell].beside[way.0]);
                cells.set_aside(cell);
            }
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::geometry::clip::union_all;
    use crate::geometry::{Point, Polygon};
    use crate::tube::clear_area::ClearArea;
    use crate::tube::frame::Frame;

    const RULES: Rules = Rules::half_inch(6.0);

    /// A room with an alcove so wide, 120 in long, to the east.
    fn room(alcove: f64) -> View {
        let rectangle = |west, south, east, north| {
            Polygon::rectangle(Point::new(west, south), Point::new(east, north))
        };
        let floor = union_all(&[
            rectangle(0.0, 0.0, 150.0, 114.0),
            rectangle(149.0, 36.0, 270.0, 36.0 + alcove),
        ]);
        View::new(&ClearArea::of_empty(floor), Frame::new(Point::ORIGIN, 0.0), &RULES).unwrap()
    }

    /// The middles of the cells that are taken out of the work.
    fn set_aside(view: &View, roots: &[usize]) -> Vec<Point> {
        let mut cells = view.cells.clone();
        TipRoom::new(view, &[], &RULES).without_dead_ends(&mut cells, roots);
        let pairs = view.cells.list.iter().zip(&cells.list);
        pairs.filter(|(a, b)| a.tube != b.tube).map(|(cell, _)| cell.middle()).collect()
    }

    #[test]
    fn a_dead_end_too_narrow_for_a_bulb_is_taken_out_of_the_work() {
        let view = room(18.0);
        let dead = set_aside(&view, &[]);
        assert!(dead.len() >= 8, "{dead:?}");
        assert!(dead.iter().all(|at| at.x > 145.0), "{dead:?}");
        let beyond = |at: &Point| at.x > 165.0;
        let all = view.cells.list.iter().filter(|cell| beyond(&cell.middle())).count();
        assert_eq!(dead.iter().filter(|at| beyond(at)).count(), all);
    }

    #[test]
    fn floor_from_which_tube_comes_back_stays() {
        assert_eq!(set_aside(&room(42.0), &[]), []);
        // Nor is anything taken that a circuit begins in.
        let view = room(18.0);
        let easternmost = |a: &usize, b: &usize| {
            let x = |cell: usize| view.cells.list[cell].middle().x;
            x(*a).total_cmp(&x(*b))
        };
        let last = (0..view.cells.list.len()).max_by(easternmost).unwrap();
        assert_eq!(set_aside(&view, &[last]), []);
    }
}
