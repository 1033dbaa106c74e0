//! Round a tree of cells: the tube of a circuit as straight legs.

#![expect(clippy::indexing_slicing, reason = "cell numbers come from the tree that is walked")]

use super::field::Heading;
use super::tree::{Ground, Joins};
use crate::geometry::Point;

/// The legs from the last corner of the root's opening side round the whole tree to its first.
#[must_use]
pub fn walk_round(ground: &Ground, joins: &Joins, radius: f64) -> Vec<Point> {
    let mut legs = Vec::new();
    walk_into(ground, joins, radius, &mut legs);
    legs
}

/// The same, added to `legs`.
pub fn walk_into(ground: &Ground, joins: &Joins, radius: f64, legs: &mut Vec<Point>) {
    let mut side = first_side(ground);
    legs.push(first_corner(ground));
    let most = 8 * ground.cells.list.len() + 8;
    for _ in 0..most {
        if side == last_side(ground) {
            break;
        }
        side = step(ground, joins, radius, side, legs);
    }
}

/// A side of a cell, as the walk comes to it: it goes round counter-clockwise.
pub type Side = (usize, Heading);

/// The side at which a walk begins.
pub fn first_side(ground: &Ground) -> Side {
    (ground.root, ground.opening.left())
}

/// The side at which it has ended.
pub const fn last_side(ground: &Ground) -> Side {
    (ground.root, ground.opening)
}

/// The corner from which it starts.
pub fn first_corner(ground: &Ground) -> Point {
    ground.cells.list[ground.root].first(ground.opening.left())
}

/// The side that a walk comes from.
pub fn side_before(ground: &Ground, joins: &Joins, (cell, heading): Side) -> Side {
    let aside = heading.right();
    if joins[cell] & (1 << aside.0) != 0 {
        (ground.cells.next(cell, aside.0), heading.left())
    } else {
        (cell, aside)
    }
}

/// Goes past one side, its legs added to `legs`; the side it comes to.
pub fn step(
    ground: &Ground,
    joins: &Joins,
    radius: f64,
    (cell, heading): Side,
    legs: &mut Vec<Point>,
) -> Side {
    let cells = ground.cells;
    let here = &cells.list[cell];
    if joins[cell] & (1 << heading.0) != 0 {
        let aside = heading.right();
        let pull = ground.pulls[cell][heading.0];
        let is_valley = pull > 0.0 && ground.is_valley(cell, joins, heading) && legs.len() > 1;
        if is_valley && let Some(last) = legs.last_mut() {
            *last = aside.ahead(*last, pull);
        }
        let beyond = cells.next(cell, heading.0);
        let next = cells.list[beyond].first(aside);
        legs.push(if is_valley { aside.ahead(next, pull) } else { next });
        return (beyond, aside);
    }
    if here.has_stub(heading) && ground.stubs_used(cell, joins[cell]) & (1 << heading.0) != 0 {
        let reach = fitted_cap(
            here.stubs[heading.0],
            here.first(heading).distance(here.last(heading)),
            radius,
        );
        legs.push(heading.ahead(here.first(heading), reach[0]));
        legs.push(heading.ahead(here.last(heading), reach[1]));
    }
    let tip = ground.tip(cell, joins[cell]);
    legs.push(match tip {
        Some(tip) if tip == heading || tip.right() == heading => {
            tip.back().ahead(here.last(heading), ground.pulls[cell][tip.0].max(0.0))
        }
        _ => here.last(heading),
    });
    (cell, heading.left())
}

/// A stub's two reaches so that its end can be bent: slanted along the wall where the gap holds
/// two bends, square where a bulb is needed.
fn fitted_cap([first, last]: [f64; 2], gap: f64, radius: f64) -> [f64; 2] {
    let short = first.min(last);
    if gap < 2.0 * radius {
        return [short; 2];
    }
    // The sharper bend, at the end of the longer lane, takes up r·tan(45° + slant/2) of it.
    let mut long = first.max(last);
    for _ in 0..8 {
        let slope = (long - short) / gap;
        let slant = crate::units::exact_math::atan(slope);
        let used =
            radius * crate::units::exact_math::tan(std::f64::consts::FRAC_PI_4 + slant / 2.0);
        if used <= long + gap {
            break;
        }
        long = short + 0.7 * (long - short);
    }
    [first.min(long), last.min(long)]
}
