//! Offcuts: convex remainders of boards, and how a piece is cut out of one with straight cuts.
//!
//! Question: does this piece come out of that remainder, where, and what is left then? A piece is
//! laid with one of its sides along a side of the remainder and pushed to one end; then every side
//! of the piece that is not yet a side of the remainder is one straight cut from edge to edge, so
//! a board always comes apart with a straightedge alone, and every remainder is convex again.
//! A cut eats the saw's kerf on the far side of the piece. Pieces are turned, never turned over:
//! the two faces of a board may differ.
#![expect(
    clippy::indexing_slicing,
    reason = "every index is made by this file's own loops over the same vectors"
)]

use crate::geometry::polygon::signed_area;
use crate::geometry::{Point, Polygon, Vector};

/// Pieces with no more corners than this are turned without asking for memory.
const FEW_CORNERS: usize = 12;
/// How far a piece may stand over the edge of a remainder by rounding, inches.
pub(super) const SLACK: f64 = 1e-6;

/// A turn and a shift: from course axes to board axes.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(super) struct Motion {
    /// Where the first axis goes.
    pub turn: Vector,
    /// Where the origin goes.
    pub shift: Vector,
}

impl Motion {
    /// A motion that only turns, `turn` being where the first axis goes.
    pub const fn turning(turn: Vector) -> Self {
        Self { turn, shift: Vector::new(0.0, 0.0) }
    }

    /// Where a place goes.
    pub fn apply(&self, point: Point) -> Point {
        Point::new(
            self.turn.x * point.x - self.turn.y * point.y + self.shift.x,
            self.turn.y * point.x + self.turn.x * point.y + self.shift.y,
        )
    }

    /// The same motion after a half turn of what is moved about its origin.
    pub fn after_half_turn(&self) -> Self {
        Self { turn: -self.turn, ..*self }
    }
}

/// A convex outline, counter-clockwise, with what is asked of it again and again.
#[derive(Clone, Debug, PartialEq)]
pub(super) struct Shape {
    /// Its corners.
    pub ring: Vec<Point>,
    /// The unit step along each side.
    steps: Vec<Vector>,
    /// Its area.
    pub area: f64,
    /// Its least width across any of its sides.
    pub width: f64,
    /// The greatest distance between two of its corners.
    span: f64,
    /// Length and height when it is an upright rectangle.
    pub upright: Option<(f64, f64)>,
}

impl Shape {
    /// A shape with these corners; sides of no length are dropped.
    pub fn new(mut ring: Vec<Point>) -> Self {
        let mut before = ring.last().copied();
        ring.retain(|point| {
            let is_new = before.is_none_or(|last| (*point - last).length() > 1e-7);
            before = Some(*point);
            is_new
        });
        let steps: Vec<Vector> =
            sides(&ring).map(|(from, to)| (to - from).unit().unwrap_or_default()).collect();
        let upright = upright_size(&ring);
        let (width, span) = upright.map_or_else(
            || measure(&ring, &steps),
            |(a, b)| (a.min(b), Vector::new(a, b).length()),
        );
        Self { area: signed_area(&ring), ring, steps, width, span, upright }
    }

    /// An upright rectangle from the origin.
    pub fn rectangle(length: f64, height: f64) -> Self {
        Self::new(vec![
            Point::ORIGIN,
            Point::new(length, 0.0),
            Point::new(length, height),
            Point::new(0.0, height),
        ])
    }

    /// Whether `piece` may fit inside: what can be said without trying.
    pub fn may_hold(&self, piece: &Self) -> bool {
        let sizes = match (self.upright, piece.upright) {
            (Some((a, b)), Some((c, d))) => {
                c.max(d) <= a.max(b) + SLACK && c.min(d) <= a.min(b) + SLACK
            }
            _ => true,
        };
        sizes
            && piece.area <= self.area + 0.01
            && piece.width <= self.width + SLACK
            && piece.span <= self.span + SLACK
    }

    fn with_steps(&self) -> impl Iterator<Item = (Point, Vector)> {
        self.ring.iter().copied().zip(self.steps.iter().copied())
    }
}

fn measure(ring: &[Point], steps: &[Vector]) -> (f64, f64) {
    let across = |(from, step): (&Point, &Vector)| {
        ring.iter().map(|p| step.cross(*p - *from)).fold(0.0, f64::max)
    };
    let width = ring.iter().zip(steps).map(across).fold(f64::INFINITY, f64::min);
    let span = ring
        .iter()
        .flat_map(|a| ring.iter().map(|b| (*a - *b).dot(*a - *b)))
        .fold(0.0, f64::max)
        .sqrt();
    (width, span)
}

/// A remainder of a board: a convex outline in the board's own axes.
#[derive(Clone, Debug, PartialEq)]
pub(super) struct Offcut {
    /// Which board.
    pub board: u32,
    /// Its outline.
    pub shape: Shape,
}

fn upright_size(ring: &[Point]) -> Option<(f64, f64)> {
    let [a, b, c, d] = ring else { return None };
    let is_upright = |p: &Point, q: &Point, r: &Point, s: &Point| {
        p.y == q.y && q.x == r.x && r.y == s.y && s.x == p.x
    };
    if is_upright(a, b, c, d) || is_upright(b, c, d, a) {
        Some(((c.x - a.x).abs(), (c.y - a.y).abs()))
    } else {
        None
    }
}

fn sides(ring: &[Point]) -> impl Iterator<Item = (Point, Point)> + Clone {
    crate::geometry::polygon::edges(ring)
}

/// The convex hull, counter-clockwise, without corners that are not corners.
pub(super) fn hull(points: &[Point]) -> Vec<Point> {
    let mut sorted = points.to_vec();
    sorted.sort_by(|a, b| a.x.total_cmp(&b.x).then(a.y.total_cmp(&b.y)));
    let mut ring: Vec<Point> = Vec::with_capacity(sorted.len() + 1);
    for pass in 0..2 {
        let base = ring.len();
        for index in 0..sorted.len() {
            let point = if pass == 0 { sorted[index] } else { sorted[sorted.len() - 1 - index] };
            while ring.len() >= base + 2 {
                let (a, b) = (ring[ring.len() - 2], ring[ring.len() - 1]);
                let turn = (b - a).cross(point - b);
                if turn > 1e-9 * (b - a).length().max(1.0) {
                    break;
                }
                ring.pop();
            }
            ring.push(point);
        }
        ring.pop();
    }
    ring
}

/// The part of a convex ring on the left of the line through `from` along `along` (a unit step),
/// moved to the right by `give`.
pub(super) fn left_of(ring: &[Point], from: Point, along: Vector, give: f64) -> Vec<Point> {
    let height = |p: Point| along.cross(p - from) + give;
    let mut kept: Vec<Point> = Vec::with_capacity(ring.len() + 1);
    for (a, b) in sides(ring) {
        let (ha, hb) = (height(a), height(b));
        if ha >= 0.0 {
            kept.push(a);
        }
        if (ha > 0.0 && hb < 0.0) || (ha < 0.0 && hb > 0.0) {
            let mut at = a.toward(b, ha / (ha - hb));
            // Upright sides stay exactly upright, so that rectangles are known as such.
            if along.x == 0.0 {
                at.x = from.x + give / along.y;
            } else if along.y == 0.0 {
                at.y = from.y - give / along.x;
            }
            if a.x == b.x {
                at.x = a.x;
            }
            if a.y == b.y {
                at.y = a.y;
            }
            kept.push(at);
        }
    }
    kept
}

/// A way to lay a piece on a remainder.
#[derive(Clone, Copy, Debug)]
pub(super) struct Lay {
    /// From the piece's axes to the board's.
    pub motion: Motion,
    /// Length of the piece's sides that lie on sides of the remainder, inches.
    pub contact: f64,
}

/// Every way in which `piece` lies inside `room` with a side along one of its sides and pushed to
/// an end of it. `each` is called with each.
pub(super) fn ways_to_lay(room: &Shape, piece: &Shape, mut each: impl FnMut(Motion)) {
    if !room.may_hold(piece) {
        return;
    }
    // Half a turn maps an upright rectangle onto itself: half of its sides are enough.
    let rims = if room.upright.is_some() { 2 } else { room.ring.len() };
    let own_sides = if piece.upright.is_some() && room.upright.is_some() { 2 } else { usize::MAX };
    let rims = if own_sides == 2 { 1 } else { rims };
    let mut few = [Point::ORIGIN; FEW_CORNERS];
    let mut many =
        vec![Point::ORIGIN; if piece.ring.len() > FEW_CORNERS { piece.ring.len() } else { 0 }];
    let turned = few.get_mut(..piece.ring.len()).unwrap_or(&mut many);
    for (rim, (from, along)) in room.with_steps().take(rims).enumerate() {
        for (start, own) in piece.with_steps().take(own_sides) {
            let mut turn = Vector::new(own.dot(along), own.cross(along));
            for part in [&mut turn.x, &mut turn.y] {
                // A quarter turn is exact, or upright pieces would come out a hair askew.
                if part.abs() < 1e-12 {
                    *part = 0.0;
                } else if (part.abs() - 1.0).abs() < 1e-12 {
                    *part = part.signum();
                }
            }
            let mut motion = Motion::turning(turn);
            motion.shift = from - motion.apply(start);
            for (place, point) in turned.iter_mut().zip(&piece.ring) {
                *place = motion.apply(*point);
            }
            if let Some((low, high)) = slide_range(room, turned, (rim, along)) {
                each(Motion { shift: motion.shift + along * low, ..motion });
                if high - low > 1e-3 {
                    each(Motion { shift: motion.shift + along * high, ..motion });
                }
            }
        }
    }
}

/// How far the moved piece, a side of which lies on the room's side of this number, can slide
/// along it and stay inside the room.
fn slide_range(room: &Shape, moved: &[Point], (rim, along): (usize, Vector)) -> Option<(f64, f64)> {
    let (mut low, mut high) = (f64::NEG_INFINITY, f64::INFINITY);
    for (number, (from, side)) in room.with_steps().enumerate() {
        if number == rim {
            // Both are convex: the piece lies all on the inner side of the line that they share.
            continue;
        }
        let mut depth = f64::INFINITY;
        for point in moved {
            let here = side.cross(*point - from);
            depth = if here < depth { here } else { depth };
        }
        let gain = side.cross(along);
        if gain > 1e-9 {
            low = low.max(-depth / gain);
        } else if gain < -1e-9 {
            high = high.min(depth / -gain);
        } else if depth < -SLACK {
            return None;
        }
        if low - high > SLACK {
            return None;
        }
    }
    if low <= high {
        Some((low, high))
    } else if low - high < SLACK {
        let middle = f64::midpoint(low, high);
        Some((middle, middle))
    } else {
        None
    }
}

/// Length of the moved piece's sides that lie on sides of the room.
pub(super) fn contact_of(room: &Shape, piece: &Shape, motion: &Motion) -> f64 {
    let Some(last) = piece.ring.last() else { return 0.0 };
    let mut start = motion.apply(*last);
    let mut contact = 0.0;
    for point in &piece.ring {
        let end = motion.apply(*point);
        let is_on = |(from, side): (Point, Vector)| {
            side.cross(start - from).abs() < 1e-4 && side.cross(end - from).abs() < 1e-4
        };
        if room.with_steps().any(is_on) {
            contact += start.distance(end);
        }
        start = end;
    }
    contact
}

/// The way to lay the piece that touches the most of the rim, if it fits at all.
pub(super) fn best_lay(room: &Shape, piece: &Shape) -> Option<Lay> {
    let mut best: Option<Lay> = None;
    ways_to_lay(room, piece, |motion| {
        let contact = contact_of(room, piece, &motion);
        if best.is_none_or(|kept| contact > kept.contact + 1e-6) {
            best = Some(Lay { motion, contact });
        }
    });
    best
}

/// The remainder that is left smallest when the piece is cut from it, the way that touches most of
/// the rim first, and where in it the piece lies.
pub(super) fn best_offcut(pool: &[Offcut], piece: &Shape) -> Option<(usize, Motion)> {
    let mut best: Option<(f64, f64, usize, Motion)> = None;
    for (index, offcut) in pool.iter().enumerate() {
        let waste = offcut.shape.area - piece.area;
        if best.is_some_and(|(least, ..)| waste > least + 0.01) {
            continue;
        }
        let Some(lay) = best_lay(&offcut.shape, piece) else { continue };
        let is_better =
            best.is_none_or(|(least, contact, ..)| waste < least - 0.01 || lay.contact > contact);
        if is_better {
            best = Some((waste, lay.contact, index, lay.motion));
        }
    }
    best.map(|(_, _, index, motion)| (index, motion))
}

/// What is left when `piece` (already in board axes, convex) is cut out, and how many cuts it
/// took. Each time the cut that takes off the largest remainder goes first.
pub(super) fn cut_out(offcut: &Offcut, piece: &[Point], kerf: f64) -> (Vec<Offcut>, u32) {
    if let (Some(room), Some(own)) = (upright_box(&offcut.shape.ring), upright_box(piece)) {
        return cut_box_out(offcut.board, room, own, kerf);
    }
    let mut rest = offcut.shape.ring.clone();
    let (mut left, mut cuts) = (Vec::new(), 0);
    loop {
        let mut widest: Option<(f64, Point, Vector)> = None;
        for (start, end) in sides(piece) {
            let Some(along) = (end - start).unit() else { continue };
            let beyond = rest.iter().map(|p| -along.cross(*p - start)).fold(0.0, f64::max);
            if beyond <= 1e-4 {
                continue;
            }
            let area = signed_area(&left_of(&rest, start, -along, 0.0)).abs();
            if widest.is_none_or(|(most, ..)| area > most + 1e-9) {
                widest = Some((area, start, along));
            }
        }
        let Some((_, start, along)) = widest else { break };
        let taken = left_of(&rest, start, -along, -kerf);
        rest = left_of(&rest, start, along, 0.0);
        cuts += 1;
        if taken.len() > 2 {
            let shape = Shape::new(super::courses::straightened(&taken));
            if shape.area > 1.0 && shape.ring.len() > 2 {
                left.push(Offcut { board: offcut.board, shape });
            }
        }
        if cuts > 64 {
            break;
        }
    }
    (left, cuts)
}

/// Low and high corner of an upright rectangle.
type Corners = (Point, Point);

fn upright_box(ring: &[Point]) -> Option<Corners> {
    upright_size(ring)?;
    let [a, _, c, _] = ring else { return None };
    Some((Point::new(a.x.min(c.x), a.y.min(c.y)), Point::new(a.x.max(c.x), a.y.max(c.y))))
}

/// [`cut_out`] for an upright rectangle in one, without the general cutting.
fn cut_box_out(board: u32, mut rest: Corners, own: Corners, kerf: f64) -> (Vec<Offcut>, u32) {
    let (mut left, mut cuts) = (Vec::new(), 0);
    loop {
        let (long, wide) = (rest.1.x - rest.0.x, rest.1.y - rest.0.y);
        // What lies beyond the piece below, on the right, above and on the left.
        let beyond = [
            (own.0.y - rest.0.y, long),
            (rest.1.x - own.1.x, wide),
            (rest.1.y - own.1.y, long),
            (own.0.x - rest.0.x, wide),
        ];
        let mut widest: Option<(usize, f64)> = None;
        for (side, (depth, length)) in beyond.into_iter().enumerate() {
            if depth > 1e-4 && widest.is_none_or(|(_, most)| depth * length > most + 1e-9) {
                widest = Some((side, depth * length));
            }
        }
        let Some((side, _)) = widest else { break };
        let mut taken = rest;
        match side {
            0 => (taken.1.y, rest.0.y) = (own.0.y - kerf, own.0.y),
            1 => (taken.0.x, rest.1.x) = (own.1.x + kerf, own.1.x),
            2 => (taken.0.y, rest.1.y) = (own.1.y + kerf, own.1.y),
            _ => (taken.1.x, rest.0.x) = (own.0.x - kerf, own.0.x),
        }
        cuts += 1;
        let (long, wide) = (taken.1.x - taken.0.x, taken.1.y - taken.0.y);
        if long > 0.0 && wide > 0.0 && long * wide > 1.0 {
            let ring = Polygon::rectangle(taken.0, taken.1).outer;
            left.push(Offcut { board, shape: Shape::new(ring) });
        }
    }
    (left, cuts)
}

#[cfg(test)]
mod tests {
    use super::*;

    fn cut(offcut: &Offcut, piece: &Shape, kerf: f64) -> Option<(Vec<Offcut>, u32)> {
        let lay = best_lay(&offcut.shape, piece)?;
        let placed: Vec<Point> = piece.ring.iter().map(|p| lay.motion.apply(*p)).collect();
        Some(cut_out(offcut, &placed, kerf))
    }

    fn board(length: f64, width: f64) -> Offcut {
        Offcut { board: 0, shape: Shape::rectangle(length, width) }
    }

    #[test]
    fn two_right_triangles_come_out_of_one_rectangle() {
        let triangle =
            Shape::new(vec![Point::ORIGIN, Point::new(60.0, 0.0), Point::new(0.0, 48.0)]);
        let (left, cuts) = cut(&board(60.0, 48.0), &triangle, 0.0).unwrap();
        assert_eq!((left.len(), cuts), (1, 1));
        assert!((left[0].shape.area - 60.0 * 24.0).abs() < 1e-6);
        assert!(best_lay(&left[0].shape, &triangle).is_some());
    }

    #[test]
    fn kerf_takes_one_strip_of_four() {
        let strips = |kerf: f64| {
            let mut pool = vec![board(96.0, 48.0)];
            let piece = Shape::rectangle(96.0, 12.0);
            let mut count = 0;
            while let Some(index) = pool.iter().position(|o| best_lay(&o.shape, &piece).is_some()) {
                let offcut = pool.swap_remove(index);
                pool.extend(cut(&offcut, &piece, kerf).unwrap().0);
                count += 1;
            }
            count
        };
        assert_eq!((strips(0.0), strips(0.125)), (4, 3));
    }

    #[test]
    fn rectangles_stay_upright_and_fit_when_turned() {
        let (left, cuts) = cut(&board(96.0, 48.0), &Shape::rectangle(30.0, 90.0), 0.0).unwrap();
        assert_eq!(cuts, 2);
        assert!(left.iter().all(|offcut| offcut.shape.upright.is_some()));
        let area: f64 = left.iter().map(|offcut| offcut.shape.area).sum();
        assert!((area - (96.0 * 48.0 - 2700.0)).abs() < 1e-6);
        assert!(best_lay(&board(96.0, 48.0).shape, &Shape::rectangle(97.0, 10.0)).is_none());
    }
}
