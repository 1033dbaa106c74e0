//! Random house footprints: inside corners, angled walls, bays, pipes.

use slabloom_core::geometry::Point;
use slabloom_core::job::Job;
use slabloom_core::job::build_up::{CourseDirection, Coverage};
use slabloom_core::job::edges::{EdgeFoamPlace, EdgeProfile, ThickenedEdge, Threshold};
use slabloom_core::job::openings::{Corner, Footprint, Opening, Penetration, PenetrationKind};
use slabloom_core::job::thickenings::{Pad, ThickenedStrip};
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

/// The same house with everything that a foam layout may meet: mixed edges and doors, boards of
/// other sizes, kerf, stagger, one or two layers, foam under edges, openings, strips and pads.
pub fn mixed(seed: u64) -> Job {
    let mut job = house(seed);
    let mut dice = Dice::new(seed ^ 0x00F0_A3B0_A2D5);
    let pick = |dice: &mut Dice, from: &[f64]| from[(dice.next() as usize) % from.len()];
    let sides: Vec<_> = job.outline.sides.iter().map(|side| (side.id, side.start)).collect();
    let edges = Arc::make_mut(&mut job.edges);
    for (side, _) in &sides {
        let profile = match dice.next() % 6 {
            0 => EdgeProfile::Plain,
            1 => EdgeProfile::FrostWall,
            2 => EdgeProfile::Threshold(Threshold {
                thickened: dice.chance(0.5).then(ThickenedEdge::default),
                ..Threshold::default()
            }),
            3 => EdgeProfile::Thickened(ThickenedEdge {
                total_depth: Length::inches(pick(&mut dice, &[10.0, 16.0, 24.0])),
                flat_width: Length::inches(pick(&mut dice, &[8.0, 14.0, 16.0])),
                haunch_run: Length::inches(pick(&mut dice, &[0.0, 6.0, 12.0])),
            }),
            _ => continue,
        };
        edges.by_side.insert(*side, profile);
    }
    edges.edge_foam.thickness = Length::inches(pick(&mut dice, &[0.0, 1.5, 2.0, 2.0, 3.0]));
    if dice.chance(0.4) {
        edges.edge_foam.place = EdgeFoamPlace::OutsideForm;
    }
    edges.edge_foam.height = Length::inches(pick(&mut dice, &[0.0, 0.0, 16.0, 24.0]));
    let build_up = Arc::make_mut(&mut job.build_up);
    let cutting = &mut build_up.foam_cutting;
    cutting.kerf = Length::inches(pick(&mut dice, &[0.0, 0.0625, 0.125, 0.1875, 0.25]));
    cutting.least_stagger = Length::inches(pick(&mut dice, &[6.0, 12.0, 12.0, 24.0]));
    let (short, long) =
        [(48.0, 96.0), (48.0, 96.0), (24.0, 96.0), (48.0, 48.0), (23.622, 49.213), (16.0, 96.0)]
            [(dice.next() % 6) as usize];
    let layer = &mut build_up.foam_layers[0];
    (layer.board_width, layer.board_length) = (Length::inches(short), Length::inches(long));
    layer.goes_under_edges = dice.chance(0.4);
    if dice.chance(0.15) {
        layer.direction = CourseDirection::Degrees(pick(&mut dice, &[0.0, 30.0, 90.0]));
    }
    if dice.chance(0.1) {
        layer.coverage = Coverage::Perimeter(Length::inches(pick(&mut dice, &[24.0, 48.0, 61.5])));
    }
    if dice.chance(0.5) {
        let mut second = build_up.foam_layers[0].clone();
        second.goes_under_edges = dice.chance(0.2);
        build_up.foam_layers.push(second);
    }
    add_inside(&mut job, &mut dice);
    job
}

/// An opening, a strip and a pad, each now and then, near the middle of the slab.
fn add_inside(job: &mut Job, dice: &mut Dice) {
    let (wide, deep) = job
        .outline
        .sides
        .iter()
        .fold((0.0_f64, 0.0_f64), |(w, d), side| (w.max(side.start.x), d.max(side.start.y)));
    let at = |x: f64, y: f64| Point::new(x * wide, y * deep);
    if dice.chance(0.25) {
        let low = at(dice.between(0.4, 0.5), dice.between(0.4, 0.5));
        let (w, h) = (dice.between(10.0, 60.0), dice.between(10.0, 60.0));
        let corners = [(0.0, 0.0), (w, 0.0), (w, h), (0.0, h)];
        let corners =
            corners.map(|(x, y)| Corner { at: Point::new(low.x + x, low.y + y), through: None });
        let id = job.ids.fresh();
        Arc::make_mut(&mut job.openings).openings.push(Opening {
            id,
            name: String::new(),
            corners: corners.to_vec(),
        });
    }
    if dice.chance(0.25) {
        let x = dice.between(0.42, 0.58);
        let id = job.ids.fresh();
        Arc::make_mut(&mut job.thickenings).strips.push(ThickenedStrip {
            id,
            name: String::new(),
            line: vec![at(x, 0.4), at(x, 0.6)],
            total_depth: Length::inches(12.0),
            flat_width: Length::inches(12.0),
            haunch_run: Length::inches(6.0),
        });
    }
    if dice.chance(0.25) {
        let id = job.ids.fresh();
        Arc::make_mut(&mut job.thickenings).pads.push(Pad {
            id,
            name: String::new(),
            at: at(dice.between(0.35, 0.65), dice.between(0.35, 0.65)),
            shape: Footprint::Rectangle {
                length: Length::inches(30.0),
                width: Length::inches(30.0),
                turn_degrees: 0.0,
            },
            total_depth: Length::inches(14.0),
            haunch_run: Length::inches(4.0),
        });
    }
}
