//! The plan's marks, in plan inches and tagged with what they show: shared by the sheets, the
//! picture and whoever else draws the plan. Pens and sizes are in points on paper.

use super::tags::{self, Shown};
use crate::concrete::{Concrete, SolidCell, SolidPart};
use crate::drawing::{BezPath, Dash, Hatch, Ink, Layer, Mark, Pen, Spot, path};
use crate::geometry::polygon::{edges, ring_contains};
use crate::geometry::{Bounds, Point, Segment};
use crate::job::Job;
use crate::job::ids::{ItemId, RimId};
use crate::joints::{JointKind, JointLine};
use crate::parts::Parts;
use crate::plan::Plan;
use crate::tube::{Circuit, RoutedManifold};

/// Slab edge and openings.
pub const SLAB: Layer = Layer("Slab");
/// Thickened edges, strips, pads.
pub const THICKENINGS: Layer = Layer("Thickenings");
/// Pipes, drains, columns.
pub const PENETRATIONS: Layer = Layer("Penetrations");
/// Foam boards.
pub const FOAM: Layer = Layer("Foam boards");
/// Steel.
pub const STEEL: Layer = Layer("Steel");
/// Heating tube and manifolds.
pub const TUBE: Layer = Layer("Heating tube");
/// Floor temperatures and lines of one temperature.
pub const HEAT: Layer = Layer("Floor temperature");
/// Joints.
pub const JOINTS: Layer = Layer("Joints");
/// Truck lines and screed strips.
pub const TRUCKS: Layer = Layer("Truck lines");
/// Subgrade shots.
pub const SUBGRADE: Layer = Layer("Subgrade");
/// Dimensions.
pub const DIMENSIONS: Layer = Layer("Dimensions");
/// Words, tables, frames.
pub const NOTES: Layer = Layer("Notes");

/// A place of the plan as a spot of a drawing.
#[must_use]
pub const fn spot(point: Point) -> Spot {
    Spot::new(point.x, point.y)
}

/// A closed ring of plan points.
#[must_use]
pub fn ring(points: &[Point]) -> BezPath {
    path::polygon(&points.iter().map(|&point| spot(point)).collect::<Vec<_>>())
}

/// An open line of plan points.
#[must_use]
pub fn line(points: &[Point]) -> BezPath {
    path::polyline(&points.iter().map(|&point| spot(point)).collect::<Vec<_>>())
}

/// A course of lines and arcs; arcs stay curves.
#[must_use]
pub fn course(segments: &[Segment]) -> BezPath {
    let mut path = BezPath::new();
    let mut at: Option<Point> = None;
    for segment in segments {
        if at.is_none_or(|at| !at.is_near(segment.start())) {
            path.move_to(spot(segment.start()));
        }
        match segment {
            Segment::Line(_, to) => path.line_to(spot(*to)),
            Segment::Arc(arc) => match arc.circle() {
                Some(circle) => path::arc_to(
                    &mut path,
                    spot(circle.center),
                    circle.radius,
                    circle.start_angle,
                    circle.sweep,
                ),
                None => path.line_to(spot(arc.to)),
            },
        }
        at = Some(segment.end());
    }
    path
}

/// The slab's rim: outline sides, and openings with a cross.
#[must_use]
pub fn slab(plan: &Plan, pen: Pen) -> Vec<Mark> {
    let mut marks: Vec<Mark> = plan
        .rim
        .iter()
        .map(|side| {
            let item = match side.id {
                RimId::Side(id) => ItemId::from(id),
                RimId::Opening(id) => ItemId::from(id),
            };
            Mark::stroke(SLAB, course(&[side.segment]), pen).tagged(Shown::Item(item).tag())
        })
        .collect();
    for (id, ring) in &plan.openings {
        let tag = Shown::Item((*id).into()).tag();
        // A cross from corner to corner says "void" on building plans.
        let half = ring.len() / 2;
        if let (4, Some(a), Some(b), Some(c), Some(d)) =
            (ring.len(), ring.first(), ring.get(1), ring.get(half), ring.get(half + 1))
        {
            for (from, to) in [(a, c), (b, d)] {
                let cross = line(&[*from, *to]);
                marks.push(Mark::stroke(SLAB, cross, Pen::FINE).tagged(tag));
            }
        }
    }
    marks
}

/// Pipes, drains and columns.
#[must_use]
pub fn penetrations(plan: &Plan, pen: Pen) -> Vec<Mark> {
    let mut marks = Vec::new();
    for item in &plan.penetrations {
        let tag = Shown::Item(item.id.into()).tag();
        marks.push(Mark::fill(PENETRATIONS, ring(&item.outline), Ink::Paper).tagged(tag));
        marks.push(Mark::stroke(PENETRATIONS, ring(&item.outline), pen).tagged(tag));
        let reach = (item.widest * 0.9).max(3.0);
        let cross = [
            line(&[
                Point::new(item.at.x - reach, item.at.y),
                Point::new(item.at.x + reach, item.at.y),
            ]),
            line(&[
                Point::new(item.at.x, item.at.y - reach),
                Point::new(item.at.x, item.at.y + reach),
            ]),
        ];
        marks.extend(
            cross.map(|cross| {
                Mark::stroke(PENETRATIONS, cross, Pen::FINE.inked(pen.ink)).tagged(tag)
            }),
        );
    }
    marks
}

/// Lines where the underside changes from one part to another, dashed: hidden below.
#[must_use]
pub fn thickenings(concrete: &Concrete, pen: Pen) -> Vec<Mark> {
    let columns = Columns::of(&concrete.cells);
    let mut marks = Vec::new();
    for cell in concrete.cells.iter().filter(|cell| cell.part != SolidPart::Floor) {
        for (from, to) in edges(&cell.corners) {
            let Some(along) = (to - from).unit() else { continue };
            // Corners run counter-clockwise, so right of a side is outside. The cell that asks does
            // not hold the place, being convex.
            let outside = from.middle(to) - along.left() * 0.05;
            if columns.part_at(outside).is_some_and(|part| part < cell.part) {
                let hidden = pen.dashed(Dash::Dashed);
                marks.push(Mark::stroke(THICKENINGS, line(&[from, to]), hidden));
            }
        }
    }
    marks
}

/// The cells of the solid by columns of the plan, so that the one at a place is found among few.
struct Columns<'a> {
    west: f64,
    width: f64,
    cells: Vec<Vec<(&'a SolidCell, Bounds)>>,
}

impl<'a> Columns<'a> {
    /// As many columns as there are cells, within reason.
    fn of(cells: &'a [SolidCell]) -> Self {
        const MOST: usize = 256;
        let bounded = |cell: &'a SolidCell| Some((cell, Bounds::of(cell.corners.iter().copied())?));
        let all: Vec<(&SolidCell, Bounds)> = cells.iter().filter_map(bounded).collect();
        let west = all.iter().map(|(_, at)| at.min.x).fold(f64::INFINITY, f64::min);
        let east = all.iter().map(|(_, at)| at.max.x).fold(f64::NEG_INFINITY, f64::max);
        let count = all.len().clamp(1, MOST);
        let mut columns =
            Self { west, width: (east - west) / count as f64, cells: vec![Vec::new(); count] };
        for (cell, at) in all {
            let reached = columns.number(at.min.x)..=columns.number(at.max.x);
            for column in columns.cells.get_mut(reached).unwrap_or_default() {
                column.push((cell, at));
            }
        }
        columns
    }

    /// The column at a place from west to east, the nearest where there is none.
    #[expect(clippy::cast_possible_truncation, clippy::cast_sign_loss, reason = "clamped")]
    fn number(&self, x: f64) -> usize {
        let last = self.cells.len().saturating_sub(1) as f64;
        if self.width > 0.0 { ((x - self.west) / self.width).clamp(0.0, last) as usize } else { 0 }
    }

    /// The part of the first cell that holds a place.
    fn part_at(&self, at: Point) -> Option<SolidPart> {
        let column = self.cells.get(self.number(at.x))?;
        let holds = |(cell, bounds): &&(&SolidCell, Bounds)| {
            bounds.contains(at) && ring_contains(&cell.corners, at)
        };
        column.iter().find(holds).map(|(cell, _)| cell.part)
    }
}

/// The pen of a kind of joint.
#[must_use]
pub const fn joint_pen(kind: JointKind) -> Pen {
    match kind {
        JointKind::Contraction => Pen::MEDIUM.dashed(Dash::LongDashDot),
        JointKind::Isolation => Pen::WIDE.dashed(Dash::LongDashDoubleDot),
        JointKind::Construction => Pen::HEAVY.dashed(Dash::Dashed),
    }
}

/// Joints with their own pens.
#[must_use]
pub fn joints(lines: &[JointLine]) -> Vec<Mark> {
    lines
        .iter()
        .enumerate()
        .map(|(place, joint)| {
            let tag = match joint.drawn {
                Some(id) => Shown::Item(id.into()).tag(),
                None => tags::place(place, Shown::FoundJoint),
            };
            let between = line(&[joint.from, joint.to]);
            Mark::stroke(JOINTS, between, joint_pen(joint.kind)).tagged(tag)
        })
        .collect()
}

/// The first half of a circuit by length (supply), and the rest (return).
#[must_use]
pub fn halves(circuit: &Circuit) -> (Vec<Segment>, Vec<Segment>) {
    let half = circuit.path.iter().map(|segment| segment.length()).sum::<f64>() / 2.0;
    let (mut supply, mut back, mut run) = (Vec::new(), Vec::new(), 0.0);
    for &segment in &circuit.path {
        if run < half {
            supply.push(segment);
        } else {
            back.push(segment);
        }
        run += segment.length();
    }
    (supply, back)
}

/// Circuits: the supply half continuous, the return half dashed; red and blue as help.
#[must_use]
pub fn circuits(circuits: &[Circuit]) -> Vec<Mark> {
    circuits
        .iter()
        .enumerate()
        .flat_map(|(place, circuit)| {
            let tag = tags::place(place, Shown::Circuit);
            let (supply, back) = halves(circuit);
            [
                Mark::stroke(TUBE, course(&supply), Pen::MEDIUM.inked(Ink::Red)).tagged(tag),
                Mark::stroke(
                    TUBE,
                    course(&back),
                    Pen::MEDIUM.inked(Ink::Blue).dashed(Dash::Dashed),
                )
                .tagged(tag),
            ]
        })
        .collect()
}

/// Circuits as another trade sees them: thin and gray.
#[must_use]
pub fn circuits_beneath(circuits: &[Circuit]) -> Vec<Mark> {
    circuits
        .iter()
        .enumerate()
        .map(|(place, circuit)| {
            Mark::stroke(TUBE, course(&circuit.path), Pen::FINE.inked(Ink::MidGray))
                .tagged(tags::place(place, Shown::Circuit))
        })
        .collect()
}

/// Places without tube and manifolds.
#[must_use]
pub fn heating(job: &Job) -> Vec<Mark> {
    let mut marks = Vec::new();
    for zone in job.heating.zones.iter().filter(|zone| zone.corners.len() > 2) {
        let pen = Pen::THIN.dashed(Dash::LongDashDot).inked(Ink::DarkGray);
        let tag = Shown::Item(zone.id.into()).tag();
        marks.push(Mark::stroke(TUBE, ring(&zone.corners), pen).tagged(tag));
    }
    for item in &job.heating.keep_outs {
        let tag = Shown::Item(item.id.into()).tag();
        marks.push(Mark::fill(TUBE, ring(&item.corners), Ink::PaleGray).tagged(tag));
        let pen = Pen::THIN.inked(Ink::DarkGray);
        marks.push(Mark::stroke(TUBE, ring(&item.corners), pen).tagged(tag));
    }
    marks.extend(manifolds(job));
    marks
}

/// Hatching where leaders crowd: supply leaders are insulated there.
#[must_use]
pub fn crowded_leaders(manifolds: &[RoutedManifold]) -> Vec<Mark> {
    let hatch = Hatch { pen: Pen::HAIR.inked(Ink::DarkGray), ..Hatch::CUT };
    let places =
        manifolds.iter().filter_map(|manifold| Some((manifold.id, manifold.crowd.as_ref()?)));
    places
        .flat_map(|(id, crowd)| {
            let tag = Shown::Item(id.into()).tag();
            crowd
                .areas
                .iter()
                .map(move |area| Mark::hatch(TUBE, ring(&area.outer), hatch).tagged(tag))
        })
        .collect()
}

/// Manifolds as small black boxes.
#[must_use]
pub fn manifolds(job: &Job) -> Vec<Mark> {
    job.heating
        .manifolds
        .iter()
        .map(|item| {
            let at = item.at;
            let box_ = ring(&[
                Point::new(at.x - 6.0, at.y - 2.5),
                Point::new(at.x + 6.0, at.y - 2.5),
                Point::new(at.x + 6.0, at.y + 2.5),
                Point::new(at.x - 6.0, at.y + 2.5),
            ]);
            Mark::fill(TUBE, box_, Ink::Black).tagged(Shown::Item(item.id.into()).tag())
        })
        .collect()
}

/// Seams of one foam layer.
#[must_use]
pub fn boards(parts: &Parts, layer: usize, pen: Pen) -> Vec<Mark> {
    let Some(layout) = parts.foam.layers.get(layer) else { return Vec::new() };
    let number = u16::try_from(layer).unwrap_or(u16::MAX);
    layout
        .pieces
        .iter()
        .enumerate()
        .map(|(place, piece)| {
            let mut rim = ring(&piece.outline);
            for hole in &piece.holes {
                rim.extend(ring(hole).elements().to_vec());
            }
            let place = u32::try_from(place).unwrap_or(u32::MAX);
            Mark::stroke(FOAM, rim, pen).tagged(Shown::BoardPiece(number, place).tag())
        })
        .collect()
}

/// Where trucks run out.
#[must_use]
pub fn truck_lines(parts: &Parts) -> Vec<Mark> {
    parts
        .pour
        .truck_lines
        .iter()
        .enumerate()
        .flat_map(|(place, truck)| {
            truck.line.iter().map(move |ends| {
                Mark::stroke(TRUCKS, line(ends), Pen::WIDE.dashed(Dash::Dashed))
                    .tagged(tags::place(place, Shown::TruckLine))
            })
        })
        .collect()
}
