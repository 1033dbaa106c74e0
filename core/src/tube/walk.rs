//! Round a tree of cells: the tube of a circuit as straight legs.

#![expect(clippy::indexing_slicing, reason = "cell numbers come from the tree that is walked")]

use super::tree::{Ground, Joins};
use crate::geometry::Point;

/// The legs from the last corner of the root's opening side round the whole tree to its first.
#[must_use]
pub fn walk_round(ground: &Ground, joins: &Joins, radius: f64) -> Vec<Point> {
    let cells = ground.cells;
    let (mut cell, mut heading) = (ground.root, ground.opening.left());
    let mut legs = vec![cells.list[cell].first(heading)];
    let most = 8 * ground.cells.list.len() + 8;
    for _ in 0..most {
        if cell == ground.root && heading == ground.opening {
            break;
        }
        let here = &cells.list[cell];
        if joins[cell] & (1 << heading.0) != 0 {
            cell = here.beside[heading.0];
            heading = heading.right();
            legs.push(cells.list[cell].first(heading));
            continue;
        }
        if ground.stubs_used(cell, joins[cell]) & (1 << heading.0) != 0 {
            let reach = fitted_cap(
                here.stubs[heading.0],
                here.first(heading).distance(here.last(heading)),
                radius,
            );
            legs.push(heading.ahead(here.first(heading), reach[0]));
            legs.push(heading.ahead(here.last(heading), reach[1]));
        }
        legs.push(here.last(heading));
        heading = heading.left();
    }
    legs
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
