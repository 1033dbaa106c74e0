//! Rings of a job that cannot be built, named by the field and the thing they belong to.

use super::{FaultLevel, JobFault, LARGEST_SLAB_FT2, MOST_CORNERS};
use crate::geometry::tolerance::SMALLEST_OPENING_IN2;
use crate::geometry::validity::{self, RingRole, ShapeFault};
use crate::geometry::{Point, Ring};
use crate::job::Job;
use crate::job::ids::ItemId;
use crate::units::show_number;

pub(super) fn check(job: &Job, found: &mut Vec<JobFault>) {
    let corners = corner_count(job);
    if corners > MOST_CORNERS {
        found.push(fault(
            "outline".to_owned(),
            format!("The job has {} corners", show_number(corners as f64, 0)),
            format!("The program lays out up to {MOST_CORNERS}"),
        ));
        return;
    }
    slab(job, found);
    for (number, strip) in job.thickenings.strips.iter().enumerate() {
        let line = &strip.line;
        let is_line = line.len() > 1
            && line.iter().zip(line.iter().skip(1)).all(|(from, to)| !from.is_near(*to));
        if !is_line {
            found.push(JobFault {
                item: Some(strip.id.into()),
                at: line.first().copied(),
                ..fault(
                    format!("thickenings.strips[{number}].line"),
                    "A strip runs through at least two different points".to_owned(),
                    "Draw its line again, or delete it".to_owned(),
                )
            });
        }
    }
    for (number, recess) in job.thickenings.recesses.iter().enumerate() {
        let field = format!("thickenings.recesses[{number}].corners");
        area(field, Some(recess.id.into()), &recess.corners, found);
    }
    for (number, slope) in job.thickenings.slopes.iter().enumerate() {
        let field = format!("thickenings.slopes[{number}].corners");
        area(field, Some(slope.id.into()), &slope.corners, found);
    }
    for (number, keep_out) in job.heating.keep_outs.iter().enumerate() {
        let field = format!("heating.keep_outs[{number}].corners");
        area(field, Some(keep_out.id.into()), &keep_out.corners, found);
    }
    for (number, layer) in job.build_up.foam_layers.iter().enumerate() {
        for zone in layer.coverage.zones() {
            area(format!("build_up.foam_layers[{number}].coverage"), None, zone, found);
        }
    }
    for (number, zone) in job.heating.zones.iter().enumerate() {
        // A zone without corners is all of the floor that no other takes.
        if !zone.corners.is_empty() {
            let field = format!("heating.zones[{number}].corners");
            area(field, Some(zone.id.into()), &zone.corners, found);
        }
    }
}

fn fault(field: String, message: String, remedy: String) -> JobFault {
    JobFault { level: FaultLevel::Unbuildable, field, at: None, item: None, message, remedy }
}

fn corner_count(job: &Job) -> usize {
    let openings = job.openings.openings.iter().map(|opening| opening.corners.len());
    let strips = job.thickenings.strips.iter().map(|strip| strip.line.len());
    let recesses = job.thickenings.recesses.iter().map(|recess| recess.corners.len());
    let slopes = job.thickenings.slopes.iter().map(|slope| slope.corners.len());
    let keep_outs = job.heating.keep_outs.iter().map(|keep_out| keep_out.corners.len());
    let zones = job.heating.zones.iter().map(|zone| zone.corners.len());
    let foam = job.build_up.foam_layers.iter().flat_map(|layer| layer.coverage.zones());
    job.outline.sides.len()
        + openings
            .chain(strips)
            .chain(recesses)
            .chain(slopes)
            .chain(keep_outs)
            .chain(zones)
            .chain(foam.map(Vec::len))
            .sum::<usize>()
}

/// The outline with its openings. A job without any side is a new one and has no fault.
fn slab(job: &Job, found: &mut Vec<JobFault>) {
    if job.outline.sides.is_empty() && job.openings.openings.is_empty() {
        return;
    }
    let outline = job.outline.ring();
    let openings: Vec<Ring> = job.openings.openings.iter().map(|opening| opening.ring()).collect();
    for shape in validity::faults(&outline, &openings) {
        let (field, item) = named(job, &shape);
        found.push(JobFault {
            at: shape.place(),
            item,
            ..fault(field, shape.to_string(), shape.remedy().to_owned())
        });
    }
    let feet = outline.signed_area().abs() / 144.0;
    if feet > LARGEST_SLAB_FT2 {
        found.push(fault(
            "outline".to_owned(),
            format!("The slab covers {} ft²", show_number(feet, 0)),
            format!(
                "The program lays out up to {} ft²; check the unit",
                show_number(LARGEST_SLAB_FT2, 0)
            ),
        ));
    }
}

/// The field and the thing that a fault of the slab's shape is about.
fn named(job: &Job, shape: &ShapeFault) -> (String, Option<ItemId>) {
    if let Some(side) = shape.sides().first() {
        return match side.ring {
            RingRole::Outline => (
                format!("outline.sides[{}]", side.side),
                job.outline.sides.get(side.side).map(|side| side.id.into()),
            ),
            RingRole::Opening(opening) => (
                format!("openings.openings[{opening}].corners[{}]", side.side),
                job.openings.openings.get(opening).map(|opening| opening.id.into()),
            ),
        };
    }
    match shape.rings().first() {
        Some(RingRole::Opening(opening)) => (
            format!("openings.openings[{opening}]"),
            job.openings.openings.get(*opening).map(|opening| opening.id.into()),
        ),
        Some(RingRole::Outline) | None => ("outline".to_owned(), None),
    }
}

/// A ring of straight sides that stands for itself.
fn area(field: String, item: Option<ItemId>, corners: &[Point], found: &mut Vec<JobFault>) {
    let corners: Vec<_> = corners.iter().map(|&at| (at, None)).collect();
    let shapes = validity::faults(&Ring::from_corners(&corners), &[]);
    // A cabinet may be smaller than a slab.
    let is_small_enough = |shape: &ShapeFault| matches!(shape, ShapeFault::TooSmall { area, .. } if *area >= SMALLEST_OPENING_IN2);
    if let Some(shape) = shapes.iter().find(|shape| !is_small_enough(shape)) {
        found.push(JobFault {
            at: shape.place(),
            item,
            ..fault(
                field,
                shape.to_string().replace("the outline", "it"),
                shape.remedy().to_owned(),
            )
        });
    }
}
