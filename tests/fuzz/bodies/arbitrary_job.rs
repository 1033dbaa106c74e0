//! A job from bytes: any bytes give one, most of them a slab that can be laid out, some of them
//! one that cannot.

use slabloom_core::geometry::{Arc, Point};
use slabloom_core::job::Job;
use slabloom_core::job::build_up::{CourseDirection, Coverage, FloorSteel, FoamLayer};
use slabloom_core::job::edges::{EdgeProfile, ThickenedEdge, Threshold};
use slabloom_core::job::heating::{
    AtStrips, EdgeBand, Fluid, HeatLoad, KeepOut, KeepOutReason, Manifold, TubeDepth, TubePattern,
    TubeSize, Zone,
};
use slabloom_core::job::ids::PenetrationId;
use slabloom_core::job::joints::{DrawnJoint, DrawnKind, JointProposal};
use slabloom_core::job::openings::{Corner, Footprint, Opening, Penetration, PenetrationKind};
use slabloom_core::job::subgrade::Shot;
use slabloom_core::job::thickenings::{FallsTo, Pad, Recess, SlopedArea, ThickenedStrip};
use slabloom_core::units::Length;
use std::sync::Arc as Shared;

/// Bytes that are drawn from one after the other; zeros when they are used up.
#[derive(Clone, Debug)]
pub struct Bytes<'bytes> {
    left: &'bytes [u8],
}

impl<'bytes> Bytes<'bytes> {
    /// From the first byte on.
    pub const fn new(bytes: &'bytes [u8]) -> Self {
        Self { left: bytes }
    }

    /// Whether they are used up.
    pub const fn is_empty(&self) -> bool {
        self.left.is_empty()
    }

    /// The next byte.
    pub fn byte(&mut self) -> u8 {
        match self.left.split_first() {
            Some((&first, rest)) => {
                self.left = rest;
                first
            }
            None => 0,
        }
    }

    /// True in `of_256` of 256 cases.
    pub fn chance(&mut self, of_256: u8) -> bool {
        let byte = self.byte();
        byte != 0 && byte <= of_256
    }

    /// A number from `least` to `most` in 65,536 steps.
    pub fn number(&mut self, least: f64, most: f64) -> f64 {
        let step = u16::from_le_bytes([self.byte(), self.byte()]);
        least + (most - least) * f64::from(step) / 65535.0
    }

    /// A count from `least` to `most`.
    pub fn count(&mut self, least: u8, most: u8) -> u8 {
        least + self.byte() % (most - least + 1)
    }

    /// One of these.
    pub fn one_of<T: Copy>(&mut self, choices: &[T]) -> T {
        choices[usize::from(self.byte()) % choices.len()]
    }

    /// A place in or about a plan of 24 by 24 ft.
    pub fn point(&mut self) -> Point {
        Point::new(self.number(-24.0, 312.0), self.number(-24.0, 312.0))
    }

    /// A length in inches.
    pub fn length(&mut self, least: f64, most: f64) -> Length {
        Length::inches(self.number(least, most))
    }

    /// A few places.
    fn points(&mut self, least: u8, most: u8) -> Vec<Point> {
        (0..self.count(least, most)).map(|_| self.point()).collect()
    }

    /// The corners of an upright rectangle.
    fn rectangle(&mut self) -> Vec<Point> {
        let (at, width, height) = (self.point(), self.number(8.0, 120.0), self.number(8.0, 120.0));
        [(0.0, 0.0), (width, 0.0), (width, height), (0.0, height)]
            .map(|(x, y)| Point::new(at.x + x, at.y + y))
            .to_vec()
    }

    /// A rectangle as a rule, any few places else.
    fn area(&mut self) -> Vec<Point> {
        if self.chance(230) { self.rectangle() } else { self.points(0, 5) }
    }
}

/// Corners of an outline: around a middle, of steps, or anywhere. None is wide, so that no job
/// takes long: what goes wrong on a large floor goes wrong on a small one as well.
pub(super) fn outline(bytes: &mut Bytes<'_>) -> Vec<(Point, Option<Point>)> {
    match bytes.byte() % 8 {
        0 | 1 => {
            let corners = bytes.count(3, 12);
            (0..corners)
                .map(|corner| {
                    let turn = f64::from(corner) / f64::from(corners) * std::f64::consts::TAU;
                    let reach = bytes.number(24.0, 144.0);
                    (Point::new(144.0 + reach * turn.cos(), 144.0 + reach * turn.sin()), None)
                })
                .collect()
        }
        2..=5 => {
            // A long wall with steps above it, of whole inches.
            let mut top = Vec::new();
            let (mut x, steps) = (0.0, bytes.count(1, 5));
            for _ in 0..steps {
                let (width, height) =
                    (bytes.number(24.0, 96.0).round(), bytes.number(48.0, 192.0).round());
                top.push((Point::new(x, height), None));
                x += width;
                top.push((Point::new(x, height), None));
            }
            top.reverse();
            let mut corners = vec![(Point::new(0.0, 0.0), None), (Point::new(x, 0.0), None)];
            if bytes.chance(60) {
                corners[0].1 = Some(Point::new(x / 2.0, -bytes.number(1.0, x / 2.0)));
            }
            corners.extend(top);
            corners
        }
        6 => vec![
            (Point::new(0.0, 0.0), None),
            (Point::new(240.0, 0.0), None),
            (Point::new(240.0, 168.0), None),
            (Point::new(0.0, 168.0), None),
        ],
        _ => (0..bytes.count(0, 8))
            .map(|_| (bytes.point(), if bytes.chance(40) { Some(bytes.point()) } else { None }))
            .collect(),
    }
}

/// Corners without the arcs of wide circles: one through a point nearly in line with its ends goes
/// the long way round, which makes a floor of any size.
fn without_wide_arcs(mut corners: Vec<(Point, Option<Point>)>) -> Vec<(Point, Option<Point>)> {
    const WIDE_IN: f64 = 180.0;
    let ends: Vec<Point> =
        corners.iter().map(|(at, _)| *at).cycle().skip(1).take(corners.len()).collect();
    for ((from, through), to) in corners.iter_mut().zip(ends) {
        let circle = |through| Arc { from: *from, through, to }.circle();
        *through = through.filter(|&through| circle(through).is_none_or(|it| it.radius < WIDE_IN));
    }
    corners
}

/// A job.
pub fn job(bytes: &mut Bytes<'_>) -> Job {
    let mut job = Job::from_corners(&without_wide_arcs(outline(bytes)));
    openings(&mut job, bytes);
    edges(&mut job, bytes);
    thickenings(&mut job, bytes);
    build_up(&mut job, bytes);
    heating(&mut job, bytes);
    rest(&mut job, bytes);
    job
}

pub(super) fn footprint(bytes: &mut Bytes<'_>) -> Footprint {
    if bytes.chance(128) {
        Footprint::Round { diameter: bytes.length(0.5, 48.0) }
    } else {
        Footprint::Rectangle {
            length: bytes.length(0.5, 48.0),
            width: bytes.length(0.5, 48.0),
            turn_degrees: bytes.number(-180.0, 180.0),
        }
    }
}

pub(super) fn penetration(id: PenetrationId, bytes: &mut Bytes<'_>) -> Penetration {
    use PenetrationKind::{Column, Drain, Other, Pipe};
    Penetration {
        id,
        name: String::new(),
        at: bytes.point(),
        kind: bytes.one_of(&[Pipe, Drain, Column, Other]),
        shape: footprint(bytes),
        tube_clearance: bytes.length(0.0, 24.0),
    }
}

fn openings(job: &mut Job, bytes: &mut Bytes<'_>) {
    let openings = Shared::make_mut(&mut job.openings);
    for _ in 0..bytes.count(0, 2) {
        let corners = bytes.area().into_iter().map(|at| Corner { at, through: None }).collect();
        let id = job.ids.fresh();
        openings.openings.push(Opening { id, name: String::new(), corners });
    }
    for _ in 0..bytes.count(0, 4) {
        let id = job.ids.fresh();
        openings.penetrations.push(penetration(id, bytes));
    }
}

pub(super) fn profile(bytes: &mut Bytes<'_>) -> EdgeProfile {
    let thickened = ThickenedEdge {
        total_depth: bytes.length(0.0, 48.0),
        flat_width: bytes.length(0.0, 60.0),
        haunch_run: bytes.length(0.0, 60.0),
    };
    match bytes.byte() % 6 {
        0 => EdgeProfile::Plain,
        1 => EdgeProfile::FrostWall,
        2 => EdgeProfile::Threshold(Threshold {
            lowered_by: bytes.length(0.0, 6.0),
            width: bytes.length(0.0, 24.0),
            foam_stops_short: bytes.length(0.0, 48.0),
            thickened: if bytes.chance(128) { Some(thickened) } else { None },
        }),
        _ => EdgeProfile::Thickened(thickened),
    }
}

fn edges(job: &mut Job, bytes: &mut Bytes<'_>) {
    let sides: Vec<_> = job.outline.sides.iter().map(|side| side.id).collect();
    let edges = Shared::make_mut(&mut job.edges);
    edges.usual = profile(bytes);
    for side in sides {
        if bytes.chance(50) {
            edges.by_side.insert(side, profile(bytes));
        }
    }
    edges.edge_foam.thickness = bytes.length(0.0, 6.0);
    edges.frost_depth = bytes.length(0.0, 72.0);
    edges.is_frost_protected = bytes.chance(128);
    edges.storeys = bytes.count(0, 3);
}

fn thickenings(job: &mut Job, bytes: &mut Bytes<'_>) {
    let thickenings = Shared::make_mut(&mut job.thickenings);
    for _ in 0..bytes.count(0, 2) {
        thickenings.strips.push(ThickenedStrip {
            id: job.ids.fresh(),
            name: String::new(),
            line: bytes.points(2, 4),
            flat_width: bytes.length(0.0, 36.0),
            total_depth: bytes.length(0.0, 36.0),
            haunch_run: bytes.length(0.0, 24.0),
        });
    }
    for _ in 0..bytes.count(0, 2) {
        thickenings.pads.push(Pad {
            id: job.ids.fresh(),
            name: String::new(),
            at: bytes.point(),
            shape: footprint(bytes),
            total_depth: bytes.length(0.0, 36.0),
            haunch_run: bytes.length(0.0, 24.0),
        });
    }
    if bytes.chance(60) {
        thickenings.recesses.push(Recess {
            id: job.ids.fresh(),
            name: String::new(),
            corners: bytes.area(),
            lowered_by: bytes.length(0.0, 12.0),
            side_run: bytes.length(0.0, 12.0),
            keeps_thickness: bytes.chance(128),
        });
    }
    if bytes.chance(60) {
        let corners = bytes.area();
        thickenings.slopes.push(SlopedArea {
            id: job.ids.fresh(),
            name: String::new(),
            falls_to: if bytes.chance(128) {
                FallsTo::Drain { at: bytes.point() }
            } else {
                FallsTo::Line { from: bytes.point(), to: bytes.point() }
            },
            corners,
            fall_per_foot: bytes.length(0.0, 1.0),
        });
    }
}

fn build_up(job: &mut Job, bytes: &mut Bytes<'_>) {
    let build_up = Shared::make_mut(&mut job.build_up);
    build_up.floor_thickness = bytes.length(1.0, 12.0);
    build_up.foam_layers = (0..bytes.count(0, 2))
        .map(|_| FoamLayer {
            thickness: bytes.length(0.5, 6.0),
            board_width: bytes.one_of(&[24.0, 48.0]).into_length(),
            board_length: bytes.one_of(&[48.0, 96.0, 108.0]).into_length(),
            direction: if bytes.chance(60) {
                CourseDirection::Degrees(bytes.number(-180.0, 180.0))
            } else {
                CourseDirection::Automatic
            },
            start_corner: if bytes.chance(40) { Some(bytes.point()) } else { None },
            coverage: if bytes.chance(60) {
                Coverage::Perimeter(bytes.length(12.0, 96.0))
            } else if bytes.chance(30) {
                Coverage::Zones(vec![(0..bytes.count(0, 5)).map(|_| bytes.point()).collect()])
            } else {
                Coverage::Full
            },
            goes_under_edges: bytes.chance(80),
            ..FoamLayer::default()
        })
        .collect();
    build_up.foam_cutting.kerf = bytes.length(0.0, 0.5);
    build_up.foam_cutting.least_stagger = bytes.length(0.0, 48.0);
    build_up.stone.thickness = bytes.length(0.0, 12.0);
    build_up.membrane.is_laid = bytes.chance(200);
    build_up.steel.floor = match bytes.byte() % 4 {
        0 => FloorSteel::None,
        1 => FloorSteel::Bars { size: bytes.count(3, 6), spacing: bytes.length(6.0, 36.0) },
        _ => FloorSteel::default(),
    };
}

trait IntoLength {
    fn into_length(self) -> Length;
}

impl IntoLength for f64 {
    fn into_length(self) -> Length {
        Length::inches(self)
    }
}

pub(super) fn zone(id: slabloom_core::job::ids::ZoneId, bytes: &mut Bytes<'_>) -> Zone {
    use TubePattern::{Automatic, Counterflow, Serpentine};
    Zone {
        id,
        name: String::new(),
        corners: if bytes.chance(200) { bytes.area() } else { Vec::new() },
        manifold: None,
        spacing: Length::inches(bytes.one_of(&[6.0, 8.0, 9.0, 12.0, 16.0])),
        edge_band: if bytes.chance(40) {
            Some(EdgeBand { width: bytes.length(0.0, 60.0), spacing: Length::inches(6.0) })
        } else {
            None
        },
        pattern: bytes.one_of(&[Automatic, Counterflow, Serpentine]),
        circuits: if bytes.chance(30) { Some(u32::from(bytes.count(1, 12))) } else { None },
        load_btuh: if bytes.chance(30) { Some(bytes.number(0.0, 60_000.0)) } else { None },
    }
}

fn heating(job: &mut Job, bytes: &mut Bytes<'_>) {
    let heating = Shared::make_mut(&mut job.heating);
    heating.is_heated = bytes.chance(230);
    for _ in 0..bytes.count(0, 2) {
        heating.zones.push(zone(job.ids.fresh(), bytes));
    }
    for _ in 0..bytes.count(0, 1) {
        let id = job.ids.fresh();
        heating.manifolds.push(Manifold { id, at: bytes.point(), ..Manifold::default() });
    }
    if bytes.chance(20) {
        heating.manifolds.clear();
    }
    for _ in 0..bytes.count(0, 2) {
        heating.keep_outs.push(KeepOut {
            id: job.ids.fresh(),
            name: String::new(),
            corners: bytes.area(),
            reason: KeepOutReason::Cabinets,
        });
    }
    use TubeSize::{FiveEighths, Half, One, ThreeEighths, ThreeQuarters};
    heating.tube.size = bytes.one_of(&[Half, ThreeEighths, FiveEighths, ThreeQuarters, One]);
    heating.tube.depth = match bytes.byte() % 4 {
        0 => TubeDepth::Middle,
        1 => TubeDepth::Axis(bytes.length(0.0, 12.0)),
        2 => TubeDepth::Top,
        _ => TubeDepth::Bottom,
    };
    heating.tube.at_strips = bytes.one_of(&[AtStrips::Cross, AtStrips::Avoid]);
    heating.fluid = if bytes.chance(60) {
        Fluid::PropyleneGlycol(bytes.number(0.0, 60.0))
    } else {
        Fluid::Water
    };
    heating.design.outdoor_f = bytes.number(-40.0, 60.0);
    heating.design.drop_f = bytes.number(0.5, 40.0);
    heating.design.supply_f = if bytes.chance(60) { Some(bytes.number(32.0, 250.0)) } else { None };
    heating.design.load = match bytes.byte() % 4 {
        0 => HeatLoad::Total(bytes.number(0.0, 100_000.0)),
        1 => HeatLoad::RoomAid {
            envelope_ua: bytes.number(0.0, 1000.0),
            volume_ft3: bytes.number(0.0, 20_000.0),
            air_changes: bytes.number(0.0, 5.0),
        },
        _ => HeatLoad::ByArea(bytes.number(0.0, 80.0)),
    };
}

pub(super) fn joint(id: slabloom_core::job::ids::JointId, bytes: &mut Bytes<'_>) -> DrawnJoint {
    use DrawnKind::{Construction, Contraction, Isolation};
    let kind = bytes.one_of(&[Contraction, Isolation, Construction]);
    DrawnJoint { id, kind, from: bytes.point(), to: bytes.point() }
}

fn rest(job: &mut Job, bytes: &mut Bytes<'_>) {
    let joints = Shared::make_mut(&mut job.joints);
    joints.spacing_multiple = bytes.number(20.0, 40.0);
    joints.aspect_limit = bytes.number(1.0, 3.0);
    use JointProposal::{Balanced, FewestTees, LeastSawing, NoTees};
    joints.proposal = bytes.one_of(&[Balanced, FewestTees, LeastSawing, NoTees]);
    for _ in 0..bytes.count(0, 2) {
        joints.drawn.push(joint(job.ids.fresh(), bytes));
    }
    let subgrade = Shared::make_mut(&mut job.subgrade);
    for _ in 0..bytes.count(0, 12) {
        subgrade.shots.push(Shot {
            id: job.ids.fresh(),
            name: String::new(),
            at: bytes.point(),
            height: bytes.length(-3.0, 3.0),
            note: String::new(),
        });
    }
    let pour = Shared::make_mut(&mut job.pour);
    pour.truck_yd3 = bytes.number(2.0, 12.0);
    pour.allowance = bytes.number(0.0, 0.3);
    pour.direction_degrees = bytes.number(-360.0, 360.0);
    pour.weather.humidity_percent = bytes.number(0.0, 100.0);
    pour.weather.wind_mph = bytes.number(0.0, 60.0);
}
