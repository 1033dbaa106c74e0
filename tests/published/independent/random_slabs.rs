//! Random slab jobs from a fixed seed: outlines of 4 to 40 corners with inside corners and angled
//! walls, openings, edges that differ by side, strips, pads, recesses and slopes.

use slabloom_core::geometry::{Point, Vector};
use slabloom_core::job::Job;
use slabloom_core::job::edges::{EdgeProfile, ThickenedEdge};
use slabloom_core::job::openings::{Corner, Footprint, Opening};
use slabloom_core::job::thickenings::{FallsTo, Pad, Recess, SlopedArea, ThickenedStrip};
use slabloom_core::plan::Plan;
use slabloom_core::units::Length;
use std::sync::Arc;

/// A small generator of its own (splitmix64), so that a seed names the same job for ever.
pub struct Dice(pub u64);

impl Dice {
    pub fn next(&mut self) -> u64 {
        self.0 = self.0.wrapping_add(0x9e37_79b9_7f4a_7c15);
        let mut z = self.0;
        z = (z ^ (z >> 30)).wrapping_mul(0xbf58_476d_1ce4_e5b9);
        z = (z ^ (z >> 27)).wrapping_mul(0x94d0_49bb_1331_11eb);
        z ^ (z >> 31)
    }

    /// Evenly between two numbers.
    pub fn between(&mut self, low: f64, high: f64) -> f64 {
        low + (high - low) * (self.next() >> 11) as f64 / (1_u64 << 53) as f64
    }

    /// A whole number from 0 up to but not with `count`.
    pub fn below(&mut self, count: u64) -> usize {
        (self.next() % count) as usize
    }

    pub fn chance(&mut self, share: f64) -> bool {
        self.between(0.0, 1.0) < share
    }
}

/// Cases of a campaign: a small number unless `SLABLOOM_CASES` asks for more.
pub fn cases(usual: u64) -> u64 {
    std::env::var("SLABLOOM_CASES").ok().and_then(|text| text.parse().ok()).unwrap_or(usual)
}

/// Corners of an outline, counter-clockwise, in inches.
pub fn outline(dice: &mut Dice) -> Vec<Point> {
    let corners = if dice.chance(0.3) { star(dice) } else { skyline(dice) };
    let turn = if dice.chance(0.5) { 0.0 } else { dice.between(0.0, std::f64::consts::TAU) };
    let (east, north) = (Vector::new(turn.cos(), turn.sin()), Vector::new(-turn.sin(), turn.cos()));
    let shift = Vector::new(dice.between(-2000.0, 2000.0), dice.between(-2000.0, 2000.0));
    corners.into_iter().map(|(x, y)| Point::ORIGIN + east * x + north * y + shift).collect()
}

/// Wings of different depths side by side; some walls lean.
fn skyline(dice: &mut Dice) -> Vec<(f64, f64)> {
    let wings = 1 + dice.below(19);
    let leans = dice.chance(0.4);
    let mut corners = vec![(0.0, 0.0)];
    let mut x = 0.0;
    let mut top = Vec::new();
    let mut last = -1.0_f64;
    for _ in 0..wings {
        let width = dice.between(60.0, 200.0);
        let mut height = dice.between(150.0, 480.0);
        while (height - last).abs() < 50.0 {
            height = dice.between(150.0, 480.0);
        }
        last = height;
        let lean = |dice: &mut Dice| if leans { dice.between(-14.0, 14.0) } else { 0.0 };
        top.push((x + lean(dice), height + lean(dice)));
        top.push((x + width + lean(dice), height + lean(dice)));
        x += width;
    }
    let (first, last) = (top[0], top[top.len() - 1]);
    corners[0] = (first.0 + if leans { dice.between(-30.0, 30.0) } else { 0.0 }, 0.0);
    corners.push((last.0 + if leans { dice.between(-30.0, 30.0) } else { 0.0 }, 0.0));
    corners.extend(top.into_iter().rev());
    corners
}

/// Corners round a middle at different distances.
fn star(dice: &mut Dice) -> Vec<(f64, f64)> {
    let count = 4 + dice.below(9);
    let step = std::f64::consts::TAU / count as f64;
    (0..count)
        .map(|corner| {
            let angle = step * (corner as f64 + dice.between(-0.25, 0.25));
            let radius = dice.between(180.0, 420.0);
            (radius * angle.cos(), radius * angle.sin())
        })
        .collect()
}

fn inches(value: f64) -> Length {
    Length::inches(value)
}

fn thickened(dice: &mut Dice) -> ThickenedEdge {
    ThickenedEdge {
        total_depth: inches(dice.between(7.0, 20.0)),
        flat_width: inches(dice.between(0.0, 14.0)),
        haunch_run: inches(if dice.chance(0.2) { 0.0 } else { dice.between(1.0, 10.0) }),
    }
}

/// A slab with edges alike or (when `mixed`) each its own, no foam, perhaps with openings.
pub fn edged_slab(dice: &mut Dice, mixed: bool) -> Job {
    let corners: Vec<_> = outline(dice).into_iter().map(|corner| (corner, None)).collect();
    let mut job = Job::from_corners(&corners);
    Arc::make_mut(&mut job.build_up).floor_thickness = inches(dice.between(3.5, 6.0));
    let edges = Arc::make_mut(&mut job.edges);
    edges.edge_foam.thickness = Length::ZERO;
    edges.usual = EdgeProfile::Thickened(thickened(dice));
    if mixed {
        for side in &job.outline.sides {
            let edge = match dice.below(4) {
                0 => EdgeProfile::Plain,
                1 => EdgeProfile::FrostWall,
                _ => EdgeProfile::Thickened(thickened(dice)),
            };
            edges.by_side.insert(side.id, edge);
        }
    }
    for _ in 0..dice.below(3) {
        add_opening(dice, &mut job);
    }
    job
}

/// Adds an opening with a plain or thickened rim, well inside and clear of the others.
fn add_opening(dice: &mut Dice, job: &mut Job) {
    let plan = Plan::of(job);
    let Some(at) = place_inside(dice, &plan, 60.0) else { return };
    let (x, y) = (dice.between(10.0, 25.0), dice.between(10.0, 25.0));
    let corners = [(-x, -y), (x, -y), (x, y), (-x, y)]
        .map(|(x, y)| Corner { at: at + Vector::new(x, y), through: None })
        .to_vec();
    let id = job.ids.fresh();
    Arc::make_mut(&mut job.openings).openings.push(Opening { id, name: String::new(), corners });
    if dice.chance(0.5) {
        let rim = EdgeProfile::Thickened(thickened(dice));
        Arc::make_mut(&mut job.edges).by_opening.insert(id, rim);
    }
}

/// A place at least `clear` inches from every side.
fn place_inside(dice: &mut Dice, plan: &Plan, clear: f64) -> Option<Point> {
    let bounds = plan.bounds()?;
    (0..40)
        .map(|_| {
            Point::new(
                dice.between(bounds.min.x, bounds.max.x),
                dice.between(bounds.min.y, bounds.max.y),
            )
        })
        .find(|&place| {
            plan.region.contains(place)
                && slabloom_core::geometry::nearest::distance_to_sides(place, &plan.region) > clear
        })
}

/// Everything at once: strips over edges and each other, pads under strips, recesses, slopes.
pub fn full_slab(dice: &mut Dice) -> Job {
    let mixed = dice.chance(0.5);
    let mut job = edged_slab(dice, mixed);
    let plan = Plan::of(&job);
    let bounds = plan.bounds().expect("a slab");
    let anywhere = |dice: &mut Dice| {
        Point::new(
            dice.between(bounds.min.x, bounds.max.x),
            dice.between(bounds.min.y, bounds.max.y),
        )
    };
    for _ in 0..dice.below(4) {
        let id = job.ids.fresh();
        let (from, to) = (anywhere(dice), anywhere(dice));
        let mut line = vec![from, to];
        if dice.chance(0.4) {
            // A bend of at most a quarter turn, with legs long enough for its mitre.
            let step = to - from;
            let bend = step * dice.between(0.6, 1.0) + step.left() * dice.between(-0.9, 0.9);
            line.push(to + bend);
        }
        Arc::make_mut(&mut job.thickenings).strips.push(ThickenedStrip {
            id,
            name: String::new(),
            line,
            flat_width: inches(dice.between(6.0, 18.0)),
            total_depth: inches(dice.between(7.0, 16.0)),
            haunch_run: inches(if dice.chance(0.2) { 0.0 } else { dice.between(2.0, 9.0) }),
        });
    }
    for _ in 0..dice.below(4) {
        add_pad(dice, &mut job, anywhere);
    }
    for _ in 0..dice.below(3) {
        add_recess(dice, &mut job, anywhere);
    }
    if dice.chance(0.6) {
        add_slope(dice, &mut job, &plan);
    }
    job
}

fn add_pad(dice: &mut Dice, job: &mut Job, anywhere: impl Fn(&mut Dice) -> Point) {
    let id = job.ids.fresh();
    let shape = if dice.chance(0.4) {
        Footprint::Round { diameter: inches(dice.between(18.0, 40.0)) }
    } else {
        Footprint::Rectangle {
            length: inches(dice.between(18.0, 48.0)),
            width: inches(dice.between(18.0, 48.0)),
            turn_degrees: dice.between(0.0, 90.0),
        }
    };
    let strips = &job.thickenings.strips;
    let at = match strips.first() {
        Some(strip) if dice.chance(0.5) => strip.line[0].middle(strip.line[1]),
        _ => anywhere(dice),
    };
    Arc::make_mut(&mut job.thickenings).pads.push(Pad {
        id,
        name: String::new(),
        at,
        shape,
        total_depth: inches(dice.between(8.0, 24.0)),
        haunch_run: inches(if dice.chance(0.5) { 0.0 } else { dice.between(2.0, 12.0) }),
    });
}

fn add_recess(dice: &mut Dice, job: &mut Job, anywhere: impl Fn(&mut Dice) -> Point) {
    let id = job.ids.fresh();
    let at = anywhere(dice);
    let (x, y) = (dice.between(30.0, 80.0), dice.between(30.0, 80.0));
    let l = [(0.0, 0.0), (x, 0.0), (x, y), (0.0, y)];
    Arc::make_mut(&mut job.thickenings).recesses.push(Recess {
        id,
        name: String::new(),
        corners: l.map(|(x, y)| at + Vector::new(x, y)).to_vec(),
        lowered_by: inches(dice.between(0.5, 3.0)),
        side_run: inches(if dice.chance(0.4) { 0.0 } else { dice.between(1.0, 12.0) }),
        keeps_thickness: dice.chance(0.5),
    });
}

fn add_slope(dice: &mut Dice, job: &mut Job, plan: &Plan) {
    let id = job.ids.fresh();
    let bounds = plan.bounds().expect("a slab").grown(1.0);
    let corners = vec![
        bounds.min,
        Point::new(bounds.max.x, bounds.min.y),
        bounds.max,
        Point::new(bounds.min.x, bounds.max.y),
    ];
    let falls_to = if dice.chance(0.5) {
        FallsTo::Drain { at: bounds.center() }
    } else {
        FallsTo::Line { from: bounds.min, to: Point::new(bounds.min.x, bounds.max.y) }
    };
    let run = bounds.width().max(bounds.height()) / 12.0;
    Arc::make_mut(&mut job.thickenings).slopes.push(SlopedArea {
        id,
        name: String::new(),
        corners,
        falls_to,
        fall_per_foot: inches(dice.between(0.5, 3.0) / run),
    });
}
