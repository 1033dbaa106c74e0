//! Where a tooth of a tree may end: a bulb there must bow neither over the rim nor onto leaders.

#![expect(clippy::indexing_slicing, reason = "cell numbers come from the cells they index")]

use crate::geometry::Point;
use crate::tube::cells::{Cells, NONE};
use crate::tube::check::SLACK_IN;
use crate::tube::fan::{Root, taken};
use crate::tube::field::{Field, Heading};
use crate::tube::frame::Frame;
use crate::tube::rules::Rules;
use crate::tube::view::View;

/// The floor where bulbs have room.
pub(super) struct TipRoom<'a> {
    frame: &'a Frame,
    tube: &'a Field,
    /// Along lanes.
    beside_leaders: Option<Field>,
    radius: f64,
    /// How near a bulb may come to a run beside it.
    least: f64,
}

impl<'a> TipRoom<'a> {
    /// What leaders leave of a floor.
    pub(super) fn new(view: &'a View, roots: &[Root], rules: &Rules) -> Self {
        let demands = rules.demands();
        // Leaders that splay come to lie closer.
        let least_at_leaders = demands.least_at_leaders / view.frame.closest();
        Self {
            frame: &view.frame,
            tube: view.square_field(),
            beside_leaders: Field::new(&taken(roots, least_at_leaders)),
            radius: rules.bend(),
            least: demands.least_at_bends[0],
        }
    }

    /// The sides of a cell, a bit for each heading, at which a tooth that ends there has no room.
    pub(super) fn bad_sides(&self, cells: &Cells, cell: usize) -> u8 {
        let bad = Heading::ALL.into_iter().filter(|&heading| self.is_bad(cells, cell, heading));
        bad.fold(0, |bits, heading| bits | 1 << heading.0)
    }

    fn is_bad(&self, cells: &Cells, cell: usize, heading: Heading) -> bool {
        let shape = &cells.list[cell];
        let laid = |place: Point| self.frame.laid(place);
        let (right, left) = (laid(shape.first(heading)), laid(shape.last(heading)));
        let gap = right.distance(left);
        let bow = (self.radius - gap / 2.0).max(0.0);
        let (Some(leftward), Some(back)) =
            ((left - right).unit(), (laid(shape.middle()) - right.middle(left)).unit())
        else {
            return false;
        };
        // A bulb bows by so much to both sides, or by twice as much to one.
        let is_free = |way: Heading, bow: f64| {
            let (lane, outward) =
                if way == heading.right() { (right, -leftward) } else { (left, leftward) };
            let place = lane + outward * bow + back * self.radius;
            let leaders = self.beside_leaders.as_ref();
            self.tube.contains(place)
                && !leaders.is_some_and(|leaders| leaders.contains(self.frame.along_lanes(place)))
        };
        // A run beside it may stand closer than others: where lanes splay, or leaders push it aside.
        let is_apart = |way: Heading, bow: f64| {
            let lane = if way == heading.right() { right } else { left };
            let Some(other) = cells.next_to(cell, way) else { return true };
            let run =
                if way == heading.right() { other.last(heading) } else { other.first(heading) };
            lane.distance(laid(run)) - bow > self.least - SLACK_IN
        };
        let ways = [heading.right(), heading.left()];
        match ways.map(|way| is_free(way, bow)) {
            [true, true] => !ways.iter().all(|&way| is_apart(way, bow)),
            [false, false] => true,
            [right, _] => {
                let way = ways[usize::from(!right)];
                !(is_apart(way, 2.0 * bow) && is_free(way, 2.0 * bow))
            }
        }
    }

    /// Takes cells out of the work that a tooth would have to end in and cannot: dead ends between
    /// a wall and leaders, from their ends back to where there is room.
    pub(super) fn without_dead_ends(&self, cells: &mut Cells, roots: &[usize]) {
        let only_way = |cells: &Cells, cell: usize| {
            let beside = cells.beside(cell);
            let mut ways = Heading::ALL.into_iter().filter(|way| beside[way.0] != NONE);
            ways.next().filter(|_| ways.next().is_none())
        };
        let mut open: Vec<usize> = (0..cells.list.len()).collect();
        while let Some(cell) = open.pop() {
            let Some(way) = only_way(cells, cell).filter(|_| !roots.contains(&cell)) else {
                continue;
            };
            if self.is_bad(cells, cell, way.back()) {
                open.push(cells.next(cell, way.0));
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

    #[test]
    fn bulbs_have_no_room_where_lanes_splay_too_close() {
        let corners = [(0.0, 0.0), (420.0, 0.0), (390.0, 330.0), (30.0, 330.0)];
        let floor = corners.map(|(x, y)| Point::new(x, y)).to_vec();
        let area = ClearArea::of_empty(vec![Polygon::new(floor, Vec::new())]);
        let rules = Rules::half_inch(9.0);
        let frame = Frame::new(Point::ORIGIN, 0.0).splayed(&area.lanes, 0.8).remove(0);
        let view = View::new(&area, frame, &rules).unwrap();
        let room = TipRoom::new(&view, &[], &rules);
        let mut seen = [0, 0];
        for (cell, shape) in view.cells.list.iter().enumerate() {
            let north = Heading(1);
            if [north.left(), north.right()].iter().any(|way| view.cells.next(cell, way.0) == NONE)
                || shape.middle().y > 325.0
            {
                continue;
            }
            let ends = [shape.first(north), shape.last(north)].map(|at| view.frame.laid(at));
            let gap = ends[0].distance(ends[1]);
            // A bulb of 5 in takes 10 in of three lanes, and asks for 7.2 in to both sides.
            let spare = 3.0 * gap - 10.02 - 2.0 * 7.2;
            if spare.abs() > 0.15 {
                assert_eq!(room.is_bad(&view.cells, cell, north), spare < 0.0, "{gap}");
                seen[usize::from(spare < 0.0)] += 1;
            }
        }
        assert!(seen[0] > 10 && seen[1] > 10, "{seen:?}");
    }
}
