//! Random heated floors: rectangles, L, T, U, courtyards, slanted and curved walls, with pipes,
//! a spacing and a manifold at a random wall. Same seed, same floors.

use slabloom_core::geometry::{Point, Polygon, Vector};
use slabloom_core::job::Job;
use slabloom_core::job::openings::{Corner, Footprint, Opening, Penetration, PenetrationKind};
use slabloom_core::plan::Plan;
use slabloom_core::units::Length;
use std::sync::Arc;

/// A small generator of numbers (xorshift64*), so that floors do not depend on a crate.
pub struct Dice(u64);

impl Dice {
    pub fn new(seed: u64) -> Self {
        Self(seed.wrapping_mul(0x2545_F491_4F6C_DD1D) | 1)
    }

    pub fn share(&mut self) -> f64 {
        self.0 ^= self.0 >> 12;
        self.0 ^= self.0 << 25;
        self.0 ^= self.0 >> 27;
        (self.0.wrapping_mul(0x2545_F491_4F6C_DD1D) >> 11) as f64 / (1_u64 << 53) as f64
    }

    pub fn between(&mut self, low: f64, high: f64) -> f64 {
        low + (high - low) * self.share()
    }

    pub fn below(&mut self, bound: usize) -> usize {
        (self.share() * bound as f64) as usize
    }
}

pub const KINDS: [&str; 8] = ["rect", "L", "T", "U", "court", "angled", "skewed", "curved"];

pub struct Floor {
    pub kind: usize,
    pub job: Job,
    pub spacing: f64,
}

type Corners = Vec<(Point, Option<Point>)>;

fn plain(list: &[(f64, f64)]) -> Corners {
    list.iter().map(|&(x, y)| (Point::new(x, y), None)).collect()
}

/// The outline of a kind, about `area` square inches, and the hole of a courtyard.
fn outline(kind: usize, area: f64, dice: &mut Dice) -> (Corners, Option<Vec<Point>>) {
    let aspect = dice.between(1.0, 2.0);
    // Notches take about a quarter away.
    let gross = if (1..=4).contains(&kind) { area * 1.3 } else { area };
    let (w, h) = ((gross * aspect).sqrt(), (gross / aspect).sqrt());
    let mut part = |low: f64, high: f64| dice.between(low, high);
    match kind {
        0 => (plain(&[(0.0, 0.0), (w, 0.0), (w, h), (0.0, h)]), None),
        1 => {
            let (a, b) = (w * part(0.4, 0.7), h * part(0.4, 0.7));
            (plain(&[(0.0, 0.0), (w, 0.0), (w, b), (a, b), (a, h), (0.0, h)]), None)
        }
        2 => {
            let (a, b) = (w * part(0.2, 0.35), w * part(0.65, 0.8));
            let c = h * part(0.4, 0.6);
            (plain(&[(a, 0.0), (b, 0.0), (b, c), (w, c), (w, h), (0.0, h), (0.0, c), (a, c)]), None)
        }
        3 => {
            let (a, b) = (w * part(0.3, 0.4), w * part(0.6, 0.7));
            let c = h * part(0.4, 0.6);
            (plain(&[(0.0, 0.0), (w, 0.0), (w, h), (b, h), (b, c), (a, c), (a, h), (0.0, h)]), None)
        }
        4 => {
            let (a, b) = (w * part(0.3, 0.4), w * part(0.6, 0.7));
            let (c, d) = (h * part(0.3, 0.4), h * part(0.6, 0.7));
            let hole = [(a, c), (b, c), (b, d), (a, d)].map(|(x, y)| Point::new(x, y)).to_vec();
            (plain(&[(0.0, 0.0), (w, 0.0), (w, h), (0.0, h)]), Some(hole))
        }
        5 => {
            // Corners cut off at any angle.
            let (a, b) = (w * part(0.1, 0.4), h * part(0.1, 0.5));
            let (c, d) = (w * part(0.1, 0.3), h * part(0.1, 0.4));
            (plain(&[(0.0, 0.0), (w, 0.0), (w, h - b), (w - a, h), (c, h), (0.0, h - d)]), None)
        }
        6 => {
            // No two walls square to each other.
            let mut jog = || part(0.0, 0.2);
            let list = [
                (w * jog(), h * jog()),
                (w * (1.0 - jog()), h * jog()),
                (w * (1.0 - jog()), h * (1.0 - jog())),
                (w * jog(), h * (1.0 - jog())),
            ];
            let scale = 1.2;
            (plain(&list.map(|(x, y)| (x * scale, y * scale))), None)
        }
        _ => {
            // A bowed wall, and a wall drawn in.
            let bow = h * part(0.1, 0.35);
            let inward = h * part(-0.15, 0.15);
            let list = vec![
                (Point::new(0.0, 0.0), Some(Point::new(w / 2.0, inward))),
                (Point::new(w, 0.0), None),
                (Point::new(w, h), Some(Point::new(w / 2.0, h + bow))),
                (Point::new(0.0, h), None),
            ];
            (list, None)
        }
    }
}

/// The floor of a seed.
pub fn floor(seed: u64) -> Floor {
    let mut dice = Dice::new(seed + 17);
    for _ in 0..4 {
        dice.share();
    }
    let kind = dice.below(KINDS.len());
    let area = 144.0 * dice.between(200.0, 3500.0);
    let spacing = [6.0, 9.0, 12.0][dice.below(3)];
    let (mut corners, mut hole) = outline(kind, area, &mut dice);
    // A third of the floors stand turned on the sheet.
    let turn = if dice.below(3) == 0 { dice.between(0.0, 1.5) } else { 0.0 };
    let place = |point: Point| {
        Point::ORIGIN
            + Vector::from_angle(turn) * point.x
            + Vector::from_angle(turn).left() * point.y
    };
    for (at, through) in &mut corners {
        *at = place(*at);
        *through = through.map(place);
    }
    if let Some(hole) = &mut hole {
        for at in hole {
            *at = place(*at);
        }
    }
    let mut job = Job::from_corners(&corners);
    if let Some(hole) = hole {
        let corners = hole.iter().map(|&at| Corner { at, through: None }).collect();
        let opening = Opening { id: job.ids.fresh(), name: String::new(), corners };
        Arc::make_mut(&mut job.openings).openings.push(opening);
    }
    let region = Plan::of(&job).region;
    pipes(&mut job, &region, &mut dice);
    let heating = Arc::make_mut(&mut job.heating);
    heating.zones[0].spacing = Length::inches(spacing);
    let ring = job.outline.ring();
    let clockwise = ring.signed_area() < 0.0;
    let side = ring.segments[dice.below(ring.segments.len())];
    let share = dice.between(0.1, 0.9);
    let (before, after) = (side.point_at(share - 0.001), side.point_at(share + 0.001));
    let along = (after - before).unit().unwrap();
    let inward = if clockwise { -along.left() } else { along.left() };
    heating.manifolds[0].at = side.point_at(share) + inward * [0.0, 4.0, 12.0][dice.below(3)];
    Floor { kind, job, spacing }
}

fn pipes(job: &mut Job, region: &Polygon, dice: &mut Dice) {
    let bounds = region.bounds().unwrap();
    for _ in 0..dice.below(16) {
        let at = Point::new(
            dice.between(bounds.min.x, bounds.max.x),
            dice.between(bounds.min.y, bounds.max.y),
        );
        let diameter = Length::inches([1.5, 2.0, 3.0, 4.0][dice.below(4)]);
        if region.contains(at) {
            let id = job.ids.fresh();
            Arc::make_mut(&mut job.openings).penetrations.push(Penetration {
                id,
                name: String::new(),
                at,
                kind: PenetrationKind::Pipe,
                shape: Footprint::Round { diameter },
                tube_clearance: Length::inches(6.0),
            });
        }
    }
}
