//! Random footprints: rectangles, L, T, U, bays, angled walls; 400 to 10,000 square feet.

use slabloom_core::geometry::Point;
use slabloom_core::job::Job;
use slabloom_core::job::openings::{Footprint, Penetration, PenetrationKind};
use slabloom_core::units::Length;
use std::sync::Arc;

/// A linear congruential generator: the same slabs on every machine.
pub struct Dice(u64);

impl Dice {
    pub fn new(seed: u64) -> Self {
        Self(seed.wrapping_mul(0x9E37_79B9_7F4A_7C15) ^ 0xD1B5_4A32_D192_ED03)
    }

    pub fn roll(&mut self) -> f64 {
        self.0 =
            self.0.wrapping_mul(6_364_136_223_846_793_005).wrapping_add(1_442_695_040_888_963_407);
        let mixed = (self.0 >> 33) ^ (self.0 >> 15);
        (mixed & 0xFF_FFFF) as f64 / 16_777_216.0
    }

    pub fn between(&mut self, low: f64, high: f64) -> f64 {
        low + (high - low) * self.roll()
    }

    pub fn below(&mut self, count: usize) -> usize {
        ((self.roll() * count as f64) as usize).min(count - 1)
    }

    /// Whole inches, feet or half feet, as people draw.
    pub fn length(&mut self, low: f64, high: f64) -> f64 {
        let raw = self.between(low, high);
        match self.below(3) {
            0 => raw.round(),
            1 => (raw * 2.0).round() / 2.0,
            _ => (raw * 12.0).round() / 12.0,
        }
    }
}

/// Corners in feet and what kind it is.
pub fn footprint(dice: &mut Dice) -> (&'static str, Vec<(f64, f64)>) {
    let area = 400.0 * (25.0_f64).powf(dice.roll());
    let aspect = dice.between(1.0, 2.2);
    let (w, h) = ((area * aspect).sqrt().round(), (area / aspect).sqrt().round());
    let part = |dice: &mut Dice, whole: f64| dice.length(0.25 * whole, 0.65 * whole);
    match dice.below(8) {
        0 => ("rectangle", vec![(0.0, 0.0), (w, 0.0), (w, h), (0.0, h)]),
        1 => {
            let (a, b) = (part(dice, w), part(dice, h));
            ("L", vec![(0.0, 0.0), (w, 0.0), (w, b), (a, b), (a, h), (0.0, h)])
        }
        2 => {
            let (a, b) = (dice.length(0.2 * w, 0.35 * w), part(dice, h));
            let c = dice.length(0.6 * w, 0.8 * w);
            ("T", vec![(a, 0.0), (c, 0.0), (c, b), (w, b), (w, h), (0.0, h), (0.0, b), (a, b)])
        }
        3 => {
            let (a, c) = (dice.length(0.25 * w, 0.4 * w), dice.length(0.6 * w, 0.75 * w));
            let b = part(dice, h);
            ("U", vec![(0.0, 0.0), (w, 0.0), (w, h), (c, h), (c, b), (a, b), (a, h), (0.0, h)])
        }
        4 => {
            let depth = dice.length(2.0, 4.0);
            let width = dice.length(6.0, 12.0).min(w - 6.0);
            let at = dice.length(3.0, w - width - 3.0);
            (
                "square bay",
                vec![
                    (0.0, 0.0),
                    (at, 0.0),
                    (at, -depth),
                    (at + width, -depth),
                    (at + width, 0.0),
                    (w, 0.0),
                    (w, h),
                    (0.0, h),
                ],
            )
        }
        5 => {
            let depth = dice.length(2.0, 3.5);
            let width = dice.length(8.0, 13.0).max(2.0 * depth + 3.0).min(w - 4.0);
            let at = dice.length(2.0, w - width - 2.0);
            (
                "splayed bay",
                vec![
                    (0.0, 0.0),
                    (at, 0.0),
                    (at + depth, -depth),
                    (at + width - depth, -depth),
                    (at + width, 0.0),
                    (w, 0.0),
                    (w, h),
                    (0.0, h),
                ],
            )
        }
        6 => {
            let clip = dice.length(4.0, (0.45 * h).max(5.0));
            ("clipped corner", vec![(0.0, 0.0), (w, 0.0), (w, h - clip), (w - clip, h), (0.0, h)])
        }
        _ => {
            let rise = dice.length(0.1 * h, 0.4 * h);
            let lean = dice.length(-0.12 * w, 0.12 * w);
            ("angled walls", vec![(0.0, 0.0), (w, 0.0), (w + lean, h - rise), (0.0, h)])
        }
    }
}

/// A job on a random footprint with 0 to 8 columns and a floor of 4 to 8 in.
pub fn random_job(seed: u64) -> (&'static str, Job) {
    let dice = &mut Dice::new(seed);
    let (kind, corners) = footprint(dice);
    let corners: Vec<_> = corners.iter().map(|&(x, y)| (Point::feet(x, y), None)).collect();
    (kind, finished(dice, &corners))
}

/// The job of a footprint, with 0 to 8 columns and a floor of 4 to 8 in.
pub fn finished(dice: &mut Dice, corners: &[(Point, Option<Point>)]) -> Job {
    let mut job = Job::from_corners(corners);
    let thickness = [4.0, 5.0, 6.0, 7.0, 8.0][dice.below(5)];
    Arc::make_mut(&mut job.build_up).floor_thickness = Length::inches(thickness);
    let count = [0, 0, 1, 2, 3, 4, 6, 8][dice.below(8)];
    let ring: Vec<Point> = corners.iter().map(|&(at, _)| at).collect();
    place_columns(dice, &mut job, &ring, count);
    job
}

/// Columns on a grid with a step in feet, inside the slab and 4 ft off its sides.
fn place_columns(dice: &mut Dice, job: &mut Job, ring: &[Point], count: usize) {
    use crate::independent::panels::{distance, sees_all_round};
    let low = |f: fn(&Point) -> f64| ring.iter().map(f).fold(f64::MAX, f64::min);
    let high = |f: fn(&Point) -> f64| ring.iter().map(f).fold(f64::MIN, f64::max);
    let (x0, x1, y0, y1) = (low(|p| p.x), high(|p| p.x), low(|p| p.y), high(|p| p.y));
    // Half of the slabs carry columns in rows, the others where somebody wanted them.
    let in_rows = dice.roll() < 0.5;
    let rows = 1 + dice.below(2);
    let mut places: Vec<Point> = Vec::new();
    for index in 0..count * 6 {
        if places.len() == count {
            break;
        }
        let at = if in_rows {
            let per_row = count.div_ceil(rows);
            let (row, number) = (index / per_row, index % per_row);
            if row >= rows {
                break;
            }
            Point::new(
                x0 + (x1 - x0) * (number + 1) as f64 / (per_row + 1) as f64,
                y0 + (y1 - y0) * (row + 1) as f64 / (rows + 1) as f64,
            )
        } else {
            Point::new(
                (dice.between(x0, x1) / 6.0).round() * 6.0,
                (dice.between(y0, y1) / 6.0).round() * 6.0,
            )
        };
        let n = ring.len();
        let clear = (0..n).all(|i| distance(at, ring[i], ring[(i + 1) % n]) > 48.0)
            && places.iter().all(|other| distance(at, *other, *other) > 72.0);
        if clear && sees_all_round(ring, at) {
            places.push(at);
        }
    }
    for at in places {
        let id = job.ids.fresh();
        let shape = Footprint::Rectangle {
            length: Length::inches(10.0),
            width: Length::inches(10.0),
            turn_degrees: 0.0,
        };
        Arc::make_mut(&mut job.openings).penetrations.push(Penetration {
            id,
            name: String::new(),
            at,
            kind: PenetrationKind::Column,
            shape,
            tube_clearance: Length::inches(6.0),
        });
    }
}

/// A small rectilinear slab without columns: rectangle, L, T, U or square bay up to 900 ft².
pub fn small_rectilinear(seed: u64) -> (&'static str, Job) {
    let dice = &mut Dice::new(seed + 77_000);
    loop {
        let (kind, corners) = footprint(dice);
        let area: f64 = (0..corners.len())
            .map(|i| {
                let (a, b) = (corners[i], corners[(i + 1) % corners.len()]);
                (a.0 * b.1 - b.0 * a.1) / 2.0
            })
            .sum();
        if !matches!(kind, "rectangle" | "L" | "T" | "U" | "square bay") || area > 900.0 {
            continue;
        }
        let corners: Vec<_> = corners.iter().map(|&(x, y)| (Point::feet(x, y), None)).collect();
        let mut job = Job::from_corners(&corners);
        let thickness = [4.0, 5.0, 6.0, 7.0][dice.below(4)];
        Arc::make_mut(&mut job.build_up).floor_thickness = Length::inches(thickness);
        return (kind, job);
    }
}
