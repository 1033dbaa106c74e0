//! A polygon with holes cut into trapezoids that tile it.
//!
//! A line sweeps from south to north. Between one corner's height and the next the sides it meets
//! stand in a fixed order and pair up, inside between odd and even; a trapezoid goes on as long
//! as its two sides do. For walls that run with the axes the trapezoids are rectangles, so later
//! cuts along the walls make few crumbs.
#![expect(
    clippy::indexing_slicing,
    reason = "every index is made by this file's own loops over the same vectors"
)]

use super::convex::CRUMB_IN2;
use crate::geometry::{Point, Polygon, polygon};

/// A side that rises from south to north.
#[derive(Clone, Copy)]
struct Riser {
    low: Point,
    high: Point,
}

impl Riser {
    fn x_at(self, y: f64) -> f64 {
        if y <= self.low.y {
            return self.low.x;
        }
        if y >= self.high.y {
            return self.high.x;
        }
        let share = (y - self.low.y) / (self.high.y - self.low.y);
        self.low.x + (self.high.x - self.low.x) * share
    }
}

/// A trapezoid that is still growing from its western side: its eastern side and where it began.
#[derive(Clone, Copy, PartialEq)]
struct Open {
    east: usize,
    from_y: f64,
}

/// Trapezoids (or triangles) that tile the polygon, counter-clockwise.
pub(crate) fn trapezoids(region: &Polygon) -> Vec<Vec<Point>> {
    let mut risers: Vec<Riser> = region
        .edges()
        .filter(|(from, to)| from.y != to.y)
        .map(|(from, to)| {
            if from.y < to.y {
                Riser { low: from, high: to }
            } else {
                Riser { low: to, high: from }
            }
        })
        .collect();
    risers.sort_by(|a, b| a.low.y.total_cmp(&b.low.y).then(a.low.x.total_cmp(&b.low.x)));
    let mut heights: Vec<f64> = region.rings().flatten().map(|corner| corner.y).collect();
    heights.sort_by(f64::total_cmp);
    heights.dedup();
    let mut waiting = 0;
    let mut active: Vec<usize> = Vec::new();
    // What grows from each riser, and which of them grow at all: looked up, never searched.
    let mut growing: Vec<Option<Open>> = vec![None; risers.len()];
    let mut wests: Vec<usize> = Vec::new();
    let mut partner: Vec<Option<usize>> = vec![None; risers.len()];
    let mut done = Vec::new();
    for (&y, &next_y) in heights.iter().zip(heights.iter().skip(1)) {
        active.retain(|&riser| risers[riser].high.y > y);
        while waiting < risers.len() && risers[waiting].low.y <= y {
            active.push(waiting);
            waiting += 1;
        }
        let middle = f64::midpoint(y, next_y);
        active.sort_by(|&a, &b| risers[a].x_at(middle).total_cmp(&risers[b].x_at(middle)));
        for pair in active.chunks_exact(2) {
            partner[pair[0]] = Some(pair[1]);
        }
        for &west in &wests {
            if let Some(open) = growing[west]
                && partner[west] != Some(open.east)
            {
                close(risers[west], risers[open.east], (open.from_y, y), &mut done);
                growing[west] = None;
            }
        }
        wests.clear();
        for pair in active.chunks_exact(2) {
            let (west, east) = (pair[0], pair[1]);
            growing[west].get_or_insert(Open { east, from_y: y });
            wests.push(west);
            partner[west] = None;
        }
    }
    if let Some(&top) = heights.last() {
        for &west in &wests {
            if let Some(open) = growing[west] {
                close(risers[west], risers[open.east], (open.from_y, top), &mut done);
            }
        }
    }
    done
}

fn close(west: Riser, east: Riser, (from_y, to_y): (f64, f64), done: &mut Vec<Vec<Point>>) {
    let at = |riser: Riser, y: f64| Point::new(riser.x_at(y), y);
    let mut corners = vec![at(west, from_y), at(east, from_y), at(east, to_y), at(west, to_y)];
    corners.dedup();
    if corners.first() == corners.last() {
        corners.pop();
    }
    if corners.len() > 2 && polygon::signed_area(&corners) > CRUMB_IN2 {
        done.push(corners);
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn trapezoids_add_up_to_a_crooked_slab_with_a_hole() {
        let slab = Polygon::new(
            vec![
                Point::new(0.0, 0.0),
                Point::new(480.0, 10.0),
                Point::new(500.0, 216.0),
                Point::new(288.0, 200.0),
                Point::new(300.0, 360.0),
                Point::new(-20.0, 300.0),
            ],
            vec![vec![Point::new(24.0, 24.0), Point::new(60.0, 30.0), Point::new(50.0, 70.0)]],
        );
        let tiles = trapezoids(&slab);
        let sum: f64 = tiles.iter().map(|tile| polygon::signed_area(tile)).sum();
        assert!((sum - slab.area()).abs() < 1e-9 * slab.area());
    }

    #[test]
    fn an_upright_l_is_two_rectangles() {
        let l = Polygon::new(
            vec![
                Point::new(0.0, 0.0),
                Point::new(40.0, 0.0),
                Point::new(40.0, 18.0),
                Point::new(24.0, 18.0),
                Point::new(24.0, 30.0),
                Point::new(0.0, 30.0),
            ],
            Vec::new(),
        );
        assert_eq!(trapezoids(&l).len(), 2);
    }
}
