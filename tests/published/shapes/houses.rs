//! Random house footprints: inside corners, angled walls, bays, pipes.

use slabloom_core::geometry::Point;
use slabloom_core::job::Job;
use slabloom_core::job::openings::{Footprint, Penetration, PenetrationKind};
use slabloom_core::units::Length;
use std::sync::Arc;

/// A small generator with a seed (xorshift), so that a failing case can be named by its number.
pub struct Dice(u64);

impl Dice {
    pub fn new(seed: u64) -> Self {
        let mut dice = Self(seed.wrapping_mul(0x9E37_79B9_7F4A_7C15) | 1);
        for _ in 0..8 {
            dice.next();
        }
        dice
    }

    pub fn next(&mut self) -> u64 {
        self.0 ^= self.0 << 13;
        self.0 ^= self.0 >> 7;
        self.0 ^= self.0 << 17;
        self.0
    }

    pub fn share(&mut self) -> f64 {
        (self.next() >> 11) as f64 / (1_u64 << 53) as f64
    }

    pub fn between(&mut self, low: f64, high: f64) -> f64 {
        low + (high - low) * self.share()
    }

    pub fn chance(&mut self, share: f64) -> bool {
        self.share() < share
    }
}

/// Corners of a house of 900 to 3500 square feet, counter-clockwise, inches.
pub fn corners(dice: &mut Dice) -> Vec<Point> {
    let area = dice.between(950.0, 3500.0);
    let aspect = dice.between(0.5, 0.95);
    let step = [1.0, 1.0, 6.0, 12.0][(dice.next() % 4) as usize];
    let round = |inches: f64| (inches / step).round() * step;
    let (width, depth) =
        (round((area / aspect).sqrt() * 12.0), round((area * aspect).sqrt() * 12.0));
    let ends = [(0.0, 0.0), (width, 0.0), (width, depth), (0.0, depth)];
    let ways = [(1.0, 0.0), (0.0, 1.0), (-1.0, 0.0), (0.0, -1.0)];
    let mut ring = Vec::new();
    for corner in 0..4 {
        let (x, y) = ends[corner];
        // Along the side that arrives, and along the side that leaves.
        let (arriving, leaving) = (ways[(corner + 3) % 4], ways[corner]);
        let (back, on) = if corner % 2 == 0 { (depth, width) } else { (width, depth) };
        let (a, b) = (round(dice.between(0.1, 0.35) * back), round(dice.between(0.1, 0.35) * on));
        let from = Point::new(x - arriving.0 * a, y - arriving.1 * a);
        let to = Point::new(x + leaving.0 * b, y + leaving.1 * b);
        let kind = dice.share();
        if kind < 0.35 {
            ring.push(Point::new(x, y));
        } else if kind < 0.75 {
            let inner = Point::new(from.x + leaving.0 * b, from.y + leaving.1 * b);
            ring.extend([from, inner, to]);
        } else {
            let cut = a.min(b).min(96.0);
            let skew = if dice.chance(0.5) { cut } else { round(cut * dice.between(0.5, 0.9)) };
            ring.push(Point::new(x - arriving.0 * cut, y - arriving.1 * cut));
            ring.push(Point::new(x + leaving.0 * skew, y + leaving.1 * skew));
        }
        if dice.chance(0.2) {
            // A bay in the middle third of the side that leaves, square or splayed.
            let middle = Point::new(x + leaving.0 * on * 0.5, y + leaving.1 * on * 0.5);
            let (half, out) = (round(dice.between(36.0, 66.0)), round(dice.between(18.0, 48.0)));
            let splay = if dice.chance(0.5) { 0.0 } else { round(out * dice.between(0.4, 0.9)) };
            let outward = (leaving.1, -leaving.0);
            let at = |along: f64, off: f64| {
                Point::new(
                    middle.x + leaving.0 * along + outward.0 * off,
                    middle.y + leaving.1 * along + outward.1 * off,
                )
            };
            ring.extend([
                at(-half, 0.0),
                at(-half + splay, out),
                at(half - splay, out),
                at(half, 0.0),
            ]);
        }
    }
    if dice.chance(0.15) {
        // One corner dragged off square: two walls at an angle.
        let index = (dice.next() as usize) % ring.len();
        ring[index].x += round(dice.between(-40.0, 40.0));
    }
    ring
}

/// A house job with up to twelve pipes.
pub fn house(seed: u64) -> Job {
    let mut dice = Dice::new(seed);
    let ring = corners(&mut dice);
    let corners: Vec<(Point, Option<Point>)> = ring.iter().map(|corner| (*corner, None)).collect();
    let mut job = Job::from_corners(&corners);
    let (wide, deep) = ring.iter().fold((0.0_f64, 0.0_f64), |(w, d), p| (w.max(p.x), d.max(p.y)));
    for _ in 0..dice.next() % 13 {
        let at = Point::new(dice.between(0.0, wide), dice.between(0.0, deep));
        let id = job.ids.fresh();
        Arc::make_mut(&mut job.openings).penetrations.push(Penetration {
            id,
            name: String::new(),
            at,
            kind: PenetrationKind::Pipe,
            shape: Footprint::Round { diameter: Length::inches(4.5) },
            tube_clearance: Penetration::usual_clearance(),
        });
    }
    job
}
