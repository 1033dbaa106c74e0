//! Where the lanes of one direction lie: a grid that is fitted to the walls.
//!
//! Lanes come in pairs (a ribbon of two tubes), so a wall on the low side wants the first lane of
//! a pair on it and a wall on the high side the second. Positions are chosen on a fine raster by
//! dynamic programming over the gaps between lanes; the cost of a gap is floor area: what lies
//! farther than half the spacing from a tube when it is too wide, tube wasted when too narrow.
//! A plain grid would leave dead strips of up to two spacings along walls.

#![expect(
    clippy::indexing_slicing,
    reason = "every index is made by this file's own loops over the same vectors"
)]

/// Raster steps in one spacing.
const STEPS_A_SPACING: f64 = 48.0;
/// What too much tube costs against too little.
const CLOSE_COST: f64 = 0.2;
/// What a strip beyond the last lane costs against a gap as wide: stubs serve much of it, unless
/// their returns are bulbs.
const STRIP_COST: f64 = 0.6;
const BULB_STRIP_COST: f64 = 1.5;
/// Worth of a lane that lies right on a wall, as a strip of this many spacings along the wall:
/// lanes off it leave half a lane bare on average, and stubs that serve it cost four bends each;
/// where returns are bulbs few stubs fit.
const WALL_WORTH: f64 = 1.0;
const BULB_WALL_WORTH: f64 = 1.5;

/// A lane that meets something standing in the floor by so much is pushed aside, in spacings.
const POST_SLACK: f64 = 0.2;

/// A stretch of wall across the direction of the lanes' positions.
#[derive(Clone, Copy, Debug)]
pub struct Wall {
    /// Its coordinate.
    pub at: f64,
    /// Its length.
    pub length: f64,
    /// The floor lies on the side of larger coordinates.
    pub is_low: bool,
}

/// Something that stands in the floor, small enough to lie between two lanes.
#[derive(Clone, Copy, Debug)]
pub struct Post {
    /// Where it begins and ends, with what tube keeps off it.
    pub span: (f64, f64),
}

/// How far lanes stand apart.
#[derive(Clone, Copy, Debug)]
pub struct Pitch {
    /// As asked.
    pub spacing: f64,
    /// The closest allowed.
    pub least: f64,
    /// The widest allowed.
    pub most: f64,
    /// Returns between neighbours are bulbs.
    pub is_tight: bool,
    /// What a lane costs that meets something standing in the floor, in square spacings.
    pub post_cost: f64,
}

/// Lane positions between `low` and `high`, an even number of them, rising; empty when not one
/// pair fits. `section` tells how much floor a lane at a position would cross.
#[must_use]
pub fn fit_lanes(
    (low, high): (f64, f64),
    (walls, posts): (&[Wall], &[Post]),
    pitch: Pitch,
    section: impl Fn(f64) -> f64,
) -> Vec<f64> {
    let step = pitch.spacing / STEPS_A_SPACING;
    let count = steps((high - low) / step) + 1;
    let (narrow, wide) = (steps((pitch.least / step).ceil()), steps(pitch.most / step));
    if count <= narrow || narrow == 0 || wide < narrow {
        return Vec::new();
    }
    // A cross-section serves for a quarter of a spacing: only its size matters here.
    let hold = steps(STEPS_A_SPACING / 4.0).max(1);
    let coarse: Vec<f64> = (0..=count / hold)
        .map(|k| section((low + (k * hold + hold / 2) as f64 * step).min(high - step) + 1e-6))
        .collect();
    let sections: Vec<f64> = (0..count).map(|k| coarse[k / hold]).collect();
    let mut strip = vec![0.0; count + 1];
    for k in 0..count {
        strip[k + 1] = strip[k] + sections[k] * step;
    }
    let strip_cost = if pitch.is_tight { BULB_STRIP_COST } else { STRIP_COST };
    let mut worth = wall_worth(low, step, count, walls, pitch);
    let in_the_way = post_cost(low, step, count, posts, pitch);
    for (cost, k) in in_the_way.into_iter().zip(0..) {
        worth[0][k] -= cost;
        worth[1][k] -= cost;
    }
    // best[parity][k]: least cost with a lane at k, the first (0) or second (1) of its pair.
    let mut best = [vec![f64::INFINITY; count], vec![f64::INFINITY; count]];
    let mut before = [vec![usize::MAX; count], vec![usize::MAX; count]];
    for k in 0..count {
        best[0][k] = strip_cost * strip[k] - worth[0][k];
        for gap in narrow..=wide.min(k) {
            let width = gap as f64 * step;
            let floor = sections[k - gap / 2];
            let cost = floor
                * if width > pitch.spacing {
                    width - pitch.spacing
                } else {
                    CLOSE_COST * (pitch.spacing - width)
                };
            for parity in 0..2 {
                let total = best[1 - parity][k - gap] + cost - worth[parity][k];
                if total < best[parity][k] {
                    best[parity][k] = total;
                    before[parity][k] = k - gap;
                }
            }
        }
    }
    let last = (0..count).min_by(|&a, &b| {
        let end = |k: usize| best[1][k] + strip_cost * (strip[count] - strip[k]);
        end(a).total_cmp(&end(b))
    });
    let Some(mut k) = last.filter(|&k| best[1][k].is_finite()) else {
        return Vec::new();
    };
    let (mut lanes, mut parity) = (Vec::new(), 1);
    while k != usize::MAX {
        lanes.push(snapped(low + k as f64 * step, parity, walls, step));
        (k, parity) = (before[parity][k], 1 - parity);
    }
    lanes.reverse();
    lanes
}

fn steps(value: f64) -> usize {
    #[expect(clippy::cast_possible_truncation, reason = "clamped")]
    #[expect(clippy::cast_sign_loss, reason = "clamped to zero and above")]
    let whole = value.clamp(0.0, 4e6) as usize;
    whole
}

fn wall_worth(low: f64, step: f64, count: usize, walls: &[Wall], pitch: Pitch) -> [Vec<f64>; 2] {
    let share = if pitch.is_tight { BULB_WALL_WORTH } else { WALL_WORTH };
    let mut worth = [vec![0.0; count], vec![0.0; count]];
    for wall in walls {
        let k = steps((wall.at - low) / step + 0.5);
        if k < count && wall.at >= low - step {
            worth[usize::from(!wall.is_low)][k] += share * pitch.spacing * wall.length;
        }
    }
    worth
}

/// What it costs that a lane at each place meets posts.
fn post_cost(low: f64, step: f64, count: usize, posts: &[Post], pitch: Pitch) -> Vec<f64> {
    let mut cost = vec![0.0; count];
    let most = pitch.post_cost * pitch.spacing * pitch.spacing;
    let slack = POST_SLACK * pitch.spacing;
    for post in posts {
        for (k, cost) in cost.iter_mut().enumerate() {
            let at = low + k as f64 * step;
            let deep = (at - post.span.0).min(post.span.1 - at);
            if deep > 0.0 {
                *cost += most * (deep / slack).min(1.0);
            }
        }
    }
    cost
}

/// A lane within a raster step of a wall of its own kind lies exactly on it.
fn snapped(at: f64, parity: usize, walls: &[Wall], step: f64) -> f64 {
    walls
        .iter()
        .filter(|wall| usize::from(!wall.is_low) == parity && (wall.at - at).abs() <= 0.51 * step)
        .max_by(|a, b| a.length.total_cmp(&b.length))
        .map_or(at, |wall| wall.at)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn lanes_fit_between_two_walls() {
        let walls = [
            Wall { at: 6.0, length: 300.0, is_low: true },
            Wall { at: 174.0, length: 300.0, is_low: false },
        ];
        let pitch =
            Pitch { spacing: 12.0, least: 10.2, most: 12.5, is_tight: false, post_cost: 0.0 };
        let lanes = fit_lanes((6.0, 174.0), (&walls, &[]), pitch, |_| 300.0);
        assert_eq!(lanes.len() % 2, 0);
        assert_eq!((lanes[0], lanes[lanes.len() - 1]), (6.0, 174.0));
        for pair in lanes.windows(2) {
            let gap = pair[1] - pair[0];
            assert!((10.0..=12.6).contains(&gap), "{gap}");
        }
    }

    #[test]
    fn lanes_pass_on_both_sides_of_what_stands_in_the_floor() {
        let pitch =
            Pitch { spacing: 12.0, least: 10.2, most: 12.5, is_tight: false, post_cost: 0.0 };
        let post = Post { span: (85.0, 95.0) };
        let lanes = |post_cost: f64| {
            let pitch = Pitch { post_cost, ..pitch };
            fit_lanes((6.0, 174.0), (&[], &[post]), pitch, |_| 200.0)
        };
        let meets = |lanes: &[f64]| lanes.iter().any(|at| (85.1..94.9).contains(at));
        assert!(meets(&lanes(0.0)), "{:?}", lanes(0.0));
        assert!(!meets(&lanes(4.0)), "{:?}", lanes(4.0));
    }
}
