//! Ids are given out once and never beyond the job's source of them; what refers to something
//! refers to a thing that is there.

use super::{FaultLevel, JobFault};
use crate::job::Job;
use crate::job::ids::{ItemId, ManifoldId, OpeningId, PenetrationId, SideId, ZoneId};
use std::collections::BTreeSet;

pub(super) fn check(job: &Job, found: &mut Vec<JobFault>) {
    unique_ids(job, found);
    let sides: BTreeSet<SideId> = job.outline.sides.iter().map(|side| side.id).collect();
    let openings: BTreeSet<OpeningId> =
        job.openings.openings.iter().map(|opening| opening.id).collect();
    let columns: BTreeSet<PenetrationId> =
        job.openings.penetrations.iter().map(|penetration| penetration.id).collect();
    let manifolds: BTreeSet<ManifoldId> =
        job.heating.manifolds.iter().map(|manifold| manifold.id).collect();
    let zones: BTreeSet<ZoneId> = job.heating.zones.iter().map(|zone| zone.id).collect();
    let mut loose = |field: String, what: &str, number: u32, is_there: bool| {
        if !is_there {
            found.push(JobFault {
                level: FaultLevel::Loose,
                field,
                at: None,
                item: None,
                message: format!("There is no {what} {number}"),
                remedy: "It is passed over; take the line out".to_owned(),
            });
        }
    };
    for side in job.edges.by_side.keys() {
        loose(format!("edges.by_side[{}]", side.0), "side", side.0, sides.contains(side));
    }
    for side in &job.joints.isolated_sides {
        loose("joints.isolated_sides".to_owned(), "side", side.0, sides.contains(side));
    }
    for opening in job.edges.by_opening.keys() {
        let field = format!("edges.by_opening[{}]", opening.0);
        loose(field, "opening", opening.0, openings.contains(opening));
    }
    for column in &job.joints.tied_columns {
        let field = "joints.tied_columns".to_owned();
        loose(field, "penetration", column.0, columns.contains(column));
    }
    for (number, zone) in job.heating.zones.iter().enumerate() {
        if let Some(manifold) = zone.manifold {
            let field = format!("heating.zones[{number}].manifold");
            loose(field, "manifold", manifold.0, manifolds.contains(&manifold));
        }
    }
    for (number, circuit) in job.heating.pinned.iter().enumerate() {
        let field = format!("heating.pinned[{number}].zone");
        loose(field, "zone", circuit.zone.0, zones.contains(&circuit.zone));
    }
    for (number, circuit) in job.as_laid.circuits.iter().enumerate() {
        let field = format!("as_laid.circuits[{number}].zone");
        loose(field, "zone", circuit.zone.0, zones.contains(&circuit.zone));
    }
}

/// Every id with its field.
fn ids(job: &Job) -> Vec<(String, ItemId)> {
    let mut ids: Vec<(String, ItemId)> = Vec::new();
    let mut add = |list: &str, number: usize, id: ItemId| {
        ids.push((format!("{list}[{number}].id"), id));
    };
    let openings = &job.openings;
    let thickenings = &job.thickenings;
    let heating = &job.heating;
    for (number, side) in job.outline.sides.iter().enumerate() {
        add("outline.sides", number, side.id.into());
    }
    for (number, opening) in openings.openings.iter().enumerate() {
        add("openings.openings", number, opening.id.into());
    }
    for (number, penetration) in openings.penetrations.iter().enumerate() {
        add("openings.penetrations", number, penetration.id.into());
    }
    for (number, strip) in thickenings.strips.iter().enumerate() {
        add("thickenings.strips", number, strip.id.into());
    }
    for (number, pad) in thickenings.pads.iter().enumerate() {
        add("thickenings.pads", number, pad.id.into());
    }
    for (number, recess) in thickenings.recesses.iter().enumerate() {
        add("thickenings.recesses", number, recess.id.into());
    }
    for (number, slope) in thickenings.slopes.iter().enumerate() {
        add("thickenings.slopes", number, slope.id.into());
    }
    for (number, zone) in heating.zones.iter().enumerate() {
        add("heating.zones", number, zone.id.into());
    }
    for (number, manifold) in heating.manifolds.iter().enumerate() {
        add("heating.manifolds", number, manifold.id.into());
    }
    for (number, keep_out) in heating.keep_outs.iter().enumerate() {
        add("heating.keep_outs", number, keep_out.id.into());
    }
    for (number, joint) in job.joints.drawn.iter().enumerate() {
        add("joints.drawn", number, joint.id.into());
    }
    for (number, shot) in job.subgrade.shots.iter().enumerate() {
        add("subgrade.shots", number, shot.id.into());
    }
    ids
}

fn unique_ids(job: &Job, found: &mut Vec<JobFault>) {
    let mut seen: BTreeSet<ItemId> = BTreeSet::new();
    for (field, id) in ids(job) {
        let fault = if !seen.insert(id) {
            Some(("is taken twice", "Give one of the two things an id of its own"))
        } else if id.number() >= job.ids.0 {
            Some(("was never given out", "Set `ids` at the top above the largest id"))
        } else {
            None
        };
        if let Some((what, remedy)) = fault {
            found.push(JobFault {
                level: FaultLevel::Unusable,
                field,
                at: None,
                item: Some(id),
                message: format!("Id {} {what}", id.number()),
                remedy: remedy.to_owned(),
            });
        }
    }
}
