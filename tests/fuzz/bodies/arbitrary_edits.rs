//! An edit from bytes, mostly about things that the job has.

use super::arbitrary_job::{self, Bytes, footprint, joint, outline, penetration, profile, zone};
use slabloom_core::edit::{Edit, Item, MoveBy, OutlineEdit, Reshape, SideEnd};
use slabloom_core::job::Job;
use slabloom_core::job::heating::Manifold;
use slabloom_core::job::ids::{ItemId, RimId, SideId};
use slabloom_core::job::subgrade::Shot;
use slabloom_core::job::thickenings::Pad;
use slabloom_core::units::Length;

/// An edit.
pub fn edit(bytes: &mut Bytes<'_>, job: &Job) -> Edit {
    match bytes.byte() % 12 {
        0..=4 => Edit::Outline(outline_edit(bytes, job)),
        5 => Edit::SetEdge(RimId::Side(side(bytes, job)), Some(profile(bytes))),
        6 | 7 => Edit::Put(item(bytes, job)),
        8 => Edit::Remove(known(bytes, job)),
        9 => Edit::Move(known(bytes, job), step(bytes)),
        10 => subject(bytes),
        _ => {
            let mut pour = (*job.pour).clone();
            pour.truck_yd3 = bytes.number(1.0, 12.0);
            Edit::SetPour(pour)
        }
    }
}

/// A whole subject of another job.
fn subject(bytes: &mut Bytes<'_>) -> Edit {
    let other = arbitrary_job::job(bytes);
    match bytes.byte() % 5 {
        0 => Edit::SetBuildUp((*other.build_up).clone()),
        1 => Edit::SetHeating((*other.heating).clone()),
        2 => Edit::SetJoints((*other.joints).clone()),
        3 => Edit::SetSubgrade((*other.subgrade).clone()),
        _ => Edit::SetEdges((*other.edges).clone()),
    }
}

/// A side of the job as a rule.
fn side(bytes: &mut Bytes<'_>, job: &Job) -> SideId {
    let sides = &job.outline.sides;
    if sides.is_empty() || bytes.chance(10) {
        SideId(u32::from(bytes.byte()))
    } else {
        sides[usize::from(bytes.byte()) % sides.len()].id
    }
}

fn step(bytes: &mut Bytes<'_>) -> MoveBy {
    // Now and then farther than any plan.
    let reach = if bytes.chance(8) { 1e9 } else { 60.0 };
    MoveBy { x: bytes.number(-reach, reach), y: bytes.number(-reach, reach) }
}

fn outline_edit(bytes: &mut Bytes<'_>, job: &Job) -> OutlineEdit {
    let ends = [SideEnd::Start, SideEnd::End];
    match bytes.byte() % 12 {
        0 => OutlineEdit::Draw(outline(bytes)),
        1 | 2 => OutlineEdit::MoveCorner(side(bytes, job), bytes.point()),
        3 | 4 => OutlineEdit::MoveSide(side(bytes, job), step(bytes)),
        5 => {
            let side = side(bytes, job);
            let start = job.outline.sides.iter().find(|other| other.id == side);
            let near = bytes.point();
            let at = start.map_or(near, |side| side.start.middle(near));
            OutlineEdit::AddCorner(side, at)
        }
        6 => OutlineEdit::RemoveCorner(side(bytes, job)),
        7 => {
            let through = if bytes.chance(128) { Some(bytes.point()) } else { None };
            OutlineEdit::Bend(side(bytes, job), through)
        }
        8 => OutlineEdit::SetLength(
            side(bytes, job),
            Length::inches(bytes.number(-10.0, 900.0)),
            bytes.one_of(&ends),
        ),
        9 => OutlineEdit::AddRectangle(bytes.point(), bytes.point()),
        10 => OutlineEdit::TakeRectangle(bytes.point(), bytes.point()),
        _ => OutlineEdit::Reshape(Reshape {
            about: bytes.point(),
            turn: bytes.number(-4.0, 4.0),
            scale: bytes.one_of(&[1.0, 0.5, 2.0, 0.0, -1.0]),
            is_mirrored: bytes.chance(128),
            then_move: step(bytes),
        }),
    }
}

/// A new thing, or one that takes the place of a known one.
fn item(bytes: &mut Bytes<'_>, job: &Job) -> Item {
    let number = if bytes.chance(80) { u32::from(bytes.byte()) % job.ids.0.max(1) } else { 0 };
    match bytes.byte() % 6 {
        0 => Item::Penetration(penetration(number.into(), bytes)),
        1 => Item::Zone(zone(number.into(), bytes)),
        2 => {
            let id = number.into();
            Item::Manifold(Manifold { id, at: bytes.point(), ..Manifold::default() })
        }
        3 => Item::Joint(joint(number.into(), bytes)),
        4 => Item::Pad(Pad {
            id: number.into(),
            name: String::new(),
            at: bytes.point(),
            shape: footprint(bytes),
            total_depth: bytes.length(0.0, 36.0),
            haunch_run: bytes.length(0.0, 24.0),
        }),
        _ => Item::Shot(Shot {
            id: number.into(),
            name: String::new(),
            at: bytes.point(),
            height: bytes.length(-3.0, 3.0),
            note: String::new(),
        }),
    }
}

/// The id of something, there or not.
fn known(bytes: &mut Bytes<'_>, job: &Job) -> ItemId {
    let number = u32::from(bytes.byte()) % job.ids.0.max(1);
    match bytes.byte() % 12 {
        0 => ItemId::SideId(number.into()),
        1 => ItemId::OpeningId(number.into()),
        2 | 3 => ItemId::PenetrationId(number.into()),
        4 => ItemId::StripId(number.into()),
        5 => ItemId::PadId(number.into()),
        6 => ItemId::RecessId(number.into()),
        7 => ItemId::SlopeId(number.into()),
        8 => ItemId::ZoneId(number.into()),
        9 => ItemId::ManifoldId(number.into()),
        10 => ItemId::JointId(number.into()),
        _ => ItemId::ShotId(number.into()),
    }
}
