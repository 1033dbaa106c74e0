//! The only door by which a job changes.
//!
//! An [`Edit`] names one change in the user's words; [`Edit::apply`] gives the changed job and
//! leaves the old one alone. Subjects that an edit does not touch keep their allocation, so what
//! follows from them need not be derived again. [`History`] keeps jobs, not inverses: the bytes
//! after an undo are the bytes before, by construction.
//!
//! Things with an id are put (added, or replaced when the id is known) and removed. A new thing
//! carries id 0 and gets its own when the edit is applied.

mod history;
mod outline;

pub use history::{Gesture, History};
pub use outline::{OutlineEdit, Reshape, SideEnd};

use crate::geometry::Point;
use crate::job::as_laid::AsLaid;
use crate::job::build_up::BuildUp;
use crate::job::edges::EdgeProfile;
use crate::job::edges::{EdgeFoam, Edges};
use crate::job::facts::JobFacts;
use crate::job::heating::{Heating, KeepOut, Manifold, PinnedCircuit, Zone};
use crate::job::ids::{ItemId, RimId, ShotId};
use crate::job::joints::{DrawnJoint, JointChoices};
use crate::job::openings::{Opening, Penetration};
use crate::job::pour::PourPlan;
use crate::job::prices::Prices;
use crate::job::sheet_set::SheetSet;
use crate::job::subgrade::{Shot, Subgrade};
use crate::job::thickenings::{Pad, Recess, SlopedArea, ThickenedStrip};
use crate::job::underlay::Underlay;
use crate::job::{IdSource, Job, check};
use serde::{Deserialize, Serialize};
use std::sync::Arc;

/// One change to a job.
#[derive(Clone, Debug, PartialEq)]
pub enum Edit {
    /// The outline.
    Outline(OutlineEdit),
    /// The edge of one side or opening; `None` for the usual one.
    SetEdge(RimId, Option<EdgeProfile>),
    /// The usual edge.
    SetUsualEdge(EdgeProfile),
    /// Foam at the edges.
    SetEdgeFoam(EdgeFoam),
    /// All edge choices at once.
    SetEdges(Edges),
    /// Adds or replaces something that has an id.
    Put(Item),
    /// Removes something by its id.
    Remove(ItemId),
    /// Moves something that stands at a place, or all corners of something, by a step.
    Move(ItemId, MoveBy),
    /// Fixes the course of a circuit, or sets it free.
    Pin(PinnedCircuit, Pinning),
    /// The floor and what lies under it.
    SetBuildUp(BuildUp),
    /// Heating choices that are no list: tube, fluid, design.
    SetHeating(Heating),
    /// Joint choices.
    SetJoints(JointChoices),
    /// Subgrade target and tolerance, or all shots at once; shots with id 0 get their own.
    SetSubgrade(Subgrade),
    /// The pour plan.
    SetPour(PourPlan),
    /// The rate book.
    SetPrices(Prices),
    /// Paper and title block.
    SetSheets(SheetSet),
    /// Records from the site.
    SetAsLaid(AsLaid),
    /// The picture of a plan that is traced.
    SetUnderlay(Underlay),
    /// Name, place, units.
    SetFacts(JobFacts),
}

/// Something that has an id in a job.
#[derive(Clone, Debug, PartialEq)]
#[expect(missing_docs, reason = "each variant is named for what it holds")]
pub enum Item {
    Opening(Opening),
    Penetration(Penetration),
    Strip(ThickenedStrip),
    Pad(Pad),
    Recess(Recess),
    Slope(SlopedArea),
    Zone(Zone),
    Manifold(Manifold),
    KeepOut(KeepOut),
    Joint(DrawnJoint),
    Shot(Shot),
}

/// A step in the plan, inches.
#[derive(Clone, Copy, Debug, Default, PartialEq, Serialize, Deserialize)]
pub struct MoveBy {
    /// East.
    pub x: f64,
    /// North.
    pub y: f64,
}

/// Whether a circuit is held where it is.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Pinning {
    /// Later changes leave it.
    Hold,
    /// It may be routed anew.
    Release,
}

/// Why an edit could not be made.
#[derive(Clone, Debug, PartialEq, thiserror::Error)]
pub enum EditError {
    /// A number is not finite or too large.
    #[error("That is beyond the largest plan the program can hold; check the units")]
    OutOfReach,
    /// The thing is not in the job.
    #[error("That is not in the job any more")]
    Missing,
    /// A slab needs three corners.
    #[error("A slab needs at least three corners; this one would be left with fewer")]
    TooFewCorners,
    /// The outline would cross or touch itself.
    #[error("The outline would cross itself; move the corner back")]
    Crossing(Point),
    /// The outline cannot take this length.
    #[error("The side cannot be made that long by moving its neighbours; move a corner instead")]
    CannotStretch,
    /// A number that no slab can have; its words say what is wrong and what would be right.
    #[error("{0}")]
    OutOfRange(String),
    /// The rectangle leaves no single slab.
    #[error(
        "That would leave the slab in pieces or take it away; draw the rectangle across one side"
    )]
    NotOneSlab,
}

impl Edit {
    /// The job after this change.
    ///
    /// # Errors
    /// [`EditError`] when the change cannot be made; the job stays as it was.
    pub fn apply(&self, job: &Job) -> Result<Job, EditError> {
        let changed = self.changed(job)?;
        match check::unusable_number(&changed) {
            // What was wrong before is not this change's doing, and must not hold up its mending.
            Some(fault) if check::unusable_number(job).as_ref() != Some(&fault) => {
                // A file wants bare inches; whoever types may write any unit.
                let remedy = fault.remedy.trim_end_matches(", in inches");
                Err(EditError::OutOfRange(format!("{}. {remedy}", fault.message)))
            }
            _ => Ok(changed),
        }
    }

    /// The job after this change, whatever its numbers are.
    fn changed(&self, job: &Job) -> Result<Job, EditError> {
        let mut job = job.clone();
        match self {
            Self::Outline(edit) => outline::apply(edit, &mut job)?,
            Self::SetEdge(rim, profile) => set_edge(Arc::make_mut(&mut job.edges), *rim, *profile),
            Self::SetUsualEdge(profile) => Arc::make_mut(&mut job.edges).usual = *profile,
            Self::SetEdgeFoam(foam) => Arc::make_mut(&mut job.edges).edge_foam = *foam,
            Self::SetEdges(edges) => job.edges = Arc::new(edges.clone()),
            Self::Put(item) => put(item.clone(), &mut job)?,
            Self::Remove(id) => remove(*id, &mut job)?,
            Self::Move(id, by) => move_item(*id, *by, &mut job)?,
            Self::Pin(circuit, pinning) => pin(circuit, *pinning, &mut job),
            Self::SetBuildUp(build_up) => job.build_up = Arc::new(build_up.clone()),
            Self::SetHeating(heating) => job.heating = Arc::new(heating.clone()),
            Self::SetJoints(joints) => job.joints = Arc::new(joints.clone()),
            Self::SetSubgrade(subgrade) => {
                let mut subgrade = subgrade.clone();
                for shot in subgrade.shots.iter_mut().filter(|shot| shot.id == ShotId::default()) {
                    shot.id = job.ids.fresh();
                }
                job.subgrade = Arc::new(subgrade);
            }
            Self::SetPour(pour) => job.pour = Arc::new(pour.clone()),
            Self::SetPrices(prices) => job.prices = Arc::new(prices.clone()),
            Self::SetSheets(sheets) => job.sheet_set = Arc::new(sheets.clone()),
            Self::SetAsLaid(as_laid) => job.as_laid = Arc::new(as_laid.clone()),
            Self::SetUnderlay(underlay) => job.underlay = Arc::new(underlay.clone()),
            Self::SetFacts(facts) => job.facts = Arc::new(facts.clone()),
        }
        Ok(job)
    }

    /// What the undo list calls it.
    #[must_use]
    pub fn name(&self) -> &'static str {
        match self {
            Self::Outline(edit) => edit.name(),
            Self::SetEdge(..) | Self::SetUsualEdge(_) | Self::SetEdges(_) => "Change edge",
            Self::SetEdgeFoam(_) => "Change edge foam",
            Self::Put(item) => item.name(),
            Self::Remove(_) => "Remove",
            Self::Move(..) => "Move",
            Self::Pin(_, Pinning::Hold) => "Pin circuit",
            Self::Pin(_, Pinning::Release) => "Release circuit",
            Self::SetBuildUp(_) => "Change build-up",
            Self::SetHeating(_) => "Change heating",
            Self::SetJoints(_) => "Change joint rules",
            Self::SetSubgrade(_) => "Change subgrade",
            Self::SetPour(_) => "Change pour",
            Self::SetPrices(_) => "Change rates",
            Self::SetSheets(_) => "Change sheets",
            Self::SetAsLaid(_) => "Change site record",
            Self::SetUnderlay(_) => "Change plan picture",
            Self::SetFacts(_) => "Change job facts",
        }
    }
}

impl Item {
    const fn name(&self) -> &'static str {
        match self {
            Self::Opening(_) => "Opening",
            Self::Penetration(_) => "Penetration",
            Self::Strip(_) => "Thickened strip",
            Self::Pad(_) => "Pad",
            Self::Recess(_) => "Recess",
            Self::Slope(_) => "Sloped area",
            Self::Zone(_) => "Zone",
            Self::Manifold(_) => "Manifold",
            Self::KeepOut(_) => "Keep-out",
            Self::Joint(_) => "Joint",
            Self::Shot(_) => "Shot",
        }
    }
}

fn set_edge(edges: &mut Edges, rim: RimId, profile: Option<EdgeProfile>) {
    match (rim, profile) {
        (RimId::Side(id), Some(profile)) => drop(edges.by_side.insert(id, profile)),
        (RimId::Side(id), None) => drop(edges.by_side.remove(&id)),
        (RimId::Opening(id), Some(profile)) => drop(edges.by_opening.insert(id, profile)),
        (RimId::Opening(id), None) => drop(edges.by_opening.remove(&id)),
    }
}

/// Something in a list of the job that is known by its id.
trait HasId {
    /// Its id.
    type Id: Copy + PartialEq + From<u32> + Default;
    /// The id.
    fn id(&self) -> Self::Id;
    /// Gives it its id.
    fn set_id(&mut self, id: Self::Id);
    /// Every place it stands at, to check and to move.
    fn places_mut(&mut self) -> Vec<&mut Point>;
}

macro_rules! has_id {
    ($($thing:ty, $id:ty, $self:ident => $places:expr;)+) => {
        $(impl HasId for $thing {
            type Id = $id;
            fn id(&self) -> $id {
                self.id
            }
            fn set_id(&mut self, id: $id) {
                self.id = id;
            }
            fn places_mut(&mut $self) -> Vec<&mut Point> {
                $places
            }
        })+
    };
}

use crate::job::ids::{
    JointId, KeepOutId, ManifoldId, OpeningId, PadId, PenetrationId, RecessId, SlopeId, StripId,
    ZoneId,
};

has_id!(
    Opening, OpeningId, self => self
        .corners
        .iter_mut()
        .flat_map(|corner| std::iter::once(&mut corner.at).chain(corner.through.as_mut()))
        .collect();
    Penetration, PenetrationId, self => vec![&mut self.at];
    ThickenedStrip, StripId, self => self.line.iter_mut().collect();
    Pad, PadId, self => vec![&mut self.at];
    Recess, RecessId, self => self.corners.iter_mut().collect();
    SlopedArea, SlopeId, self => {
        let low: Vec<&mut Point> = match &mut self.falls_to {
            crate::job::thickenings::FallsTo::Line { from, to } => vec![from, to],
            crate::job::thickenings::FallsTo::Drain { at } => vec![at],
        };
        self.corners.iter_mut().chain(low).collect()
    };
    Zone, ZoneId, self => self.corners.iter_mut().collect();
    Manifold, ManifoldId, self => vec![&mut self.at];
    KeepOut, KeepOutId, self => self.corners.iter_mut().collect();
    DrawnJoint, JointId, self => vec![&mut self.from, &mut self.to];
    Shot, ShotId, self => vec![&mut self.at];
);

fn put(item: Item, job: &mut Job) -> Result<(), EditError> {
    let ids = &mut job.ids;
    match item {
        Item::Opening(new) => put_in(&mut Arc::make_mut(&mut job.openings).openings, new, ids),
        Item::Penetration(new) => {
            put_in(&mut Arc::make_mut(&mut job.openings).penetrations, new, ids)
        }
        Item::Strip(new) => put_in(&mut Arc::make_mut(&mut job.thickenings).strips, new, ids),
        Item::Pad(new) => put_in(&mut Arc::make_mut(&mut job.thickenings).pads, new, ids),
        Item::Recess(new) => put_in(&mut Arc::make_mut(&mut job.thickenings).recesses, new, ids),
        Item::Slope(new) => put_in(&mut Arc::make_mut(&mut job.thickenings).slopes, new, ids),
        Item::Zone(new) => put_in(&mut Arc::make_mut(&mut job.heating).zones, new, ids),
        Item::Manifold(new) => put_in(&mut Arc::make_mut(&mut job.heating).manifolds, new, ids),
        Item::KeepOut(new) => put_in(&mut Arc::make_mut(&mut job.heating).keep_outs, new, ids),
        Item::Joint(new) => put_in(&mut Arc::make_mut(&mut job.joints).drawn, new, ids),
        Item::Shot(new) => put_in(&mut Arc::make_mut(&mut job.subgrade).shots, new, ids),
    }
}

fn put_in<T: HasId>(list: &mut Vec<T>, mut new: T, ids: &mut IdSource) -> Result<(), EditError> {
    check_places(&mut new)?;
    let id = new.id();
    if let Some(old) = list.iter_mut().find(|old| old.id() == id) {
        *old = new;
    } else {
        if id == T::Id::default() {
            new.set_id(ids.fresh());
        }
        list.push(new);
    }
    Ok(())
}

fn check_places<T: HasId>(thing: &mut T) -> Result<(), EditError> {
    if thing.places_mut().iter().all(|place| outline::is_in_reach(**place)) {
        Ok(())
    } else {
        Err(EditError::OutOfReach)
    }
}

fn remove(id: ItemId, job: &mut Job) -> Result<(), EditError> {
    match id {
        ItemId::SideId(id) => return outline::apply(&OutlineEdit::RemoveCorner(id), job),
        ItemId::OpeningId(id) => {
            remove_from(&mut Arc::make_mut(&mut job.openings).openings, id)?;
            Arc::make_mut(&mut job.edges).by_opening.remove(&id);
        }
        ItemId::PenetrationId(id) => {
            remove_from(&mut Arc::make_mut(&mut job.openings).penetrations, id)?
        }
        ItemId::StripId(id) => remove_from(&mut Arc::make_mut(&mut job.thickenings).strips, id)?,
        ItemId::PadId(id) => remove_from(&mut Arc::make_mut(&mut job.thickenings).pads, id)?,
        ItemId::RecessId(id) => remove_from(&mut Arc::make_mut(&mut job.thickenings).recesses, id)?,
        ItemId::SlopeId(id) => remove_from(&mut Arc::make_mut(&mut job.thickenings).slopes, id)?,
        ItemId::ZoneId(id) => remove_from(&mut Arc::make_mut(&mut job.heating).zones, id)?,
        ItemId::ManifoldId(id) => remove_from(&mut Arc::make_mut(&mut job.heating).manifolds, id)?,
        ItemId::KeepOutId(id) => remove_from(&mut Arc::make_mut(&mut job.heating).keep_outs, id)?,
        ItemId::JointId(id) => remove_from(&mut Arc::make_mut(&mut job.joints).drawn, id)?,
        ItemId::ShotId(id) => remove_from(&mut Arc::make_mut(&mut job.subgrade).shots, id)?,
    }
    Ok(())
}

fn remove_from<T: HasId>(list: &mut Vec<T>, id: T::Id) -> Result<(), EditError> {
    let before = list.len();
    list.retain(|thing| thing.id() != id);
    if list.len() < before { Ok(()) } else { Err(EditError::Missing) }
}

fn move_item(id: ItemId, by: MoveBy, job: &mut Job) -> Result<(), EditError> {
    match id {
        ItemId::SideId(id) => outline::apply(&OutlineEdit::MoveSide(id, by), job),
        ItemId::OpeningId(id) => move_in(&mut Arc::make_mut(&mut job.openings).openings, id, by),
        ItemId::PenetrationId(id) => {
            move_in(&mut Arc::make_mut(&mut job.openings).penetrations, id, by)
        }
        ItemId::StripId(id) => move_in(&mut Arc::make_mut(&mut job.thickenings).strips, id, by),
        ItemId::PadId(id) => move_in(&mut Arc::make_mut(&mut job.thickenings).pads, id, by),
        ItemId::RecessId(id) => move_in(&mut Arc::make_mut(&mut job.thickenings).recesses, id, by),
        ItemId::SlopeId(id) => move_in(&mut Arc::make_mut(&mut job.thickenings).slopes, id, by),
        ItemId::ZoneId(id) => move_in(&mut Arc::make_mut(&mut job.heating).zones, id, by),
        ItemId::ManifoldId(id) => move_in(&mut Arc::make_mut(&mut job.heating).manifolds, id, by),
        ItemId::KeepOutId(id) => move_in(&mut Arc::make_mut(&mut job.heating).keep_outs, id, by),
        ItemId::JointId(id) => move_in(&mut Arc::make_mut(&mut job.joints).drawn, id, by),
        ItemId::ShotId(id) => move_in(&mut Arc::make_mut(&mut job.subgrade).shots, id, by),
    }
}

fn move_in<T: HasId>(list: &mut [T], id: T::Id, by: MoveBy) -> Result<(), EditError> {
    let thing = list.iter_mut().find(|thing| thing.id() == id);
    let thing = thing.ok_or(EditError::Missing)?;
    for place in thing.places_mut() {
        *place = Point::new(place.x + by.x, place.y + by.y);
    }
    check_places(thing)
}

fn pin(circuit: &PinnedCircuit, pinning: Pinning, job: &mut Job) {
    let pinned = &mut Arc::make_mut(&mut job.heating).pinned;
    pinned.retain(|old| (old.zone, old.number) != (circuit.zone, circuit.number));
    if pinning == Pinning::Hold {
        pinned.push(circuit.clone());
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::job::openings::{Footprint, PenetrationKind};
    use crate::units::Length;

    fn square() -> Job {
        Job::from_corners(&[
            (Point::feet(0.0, 0.0), None),
            (Point::feet(30.0, 0.0), None),
            (Point::feet(30.0, 20.0), None),
            (Point::feet(0.0, 20.0), None),
        ])
    }

    fn pipe(at: Point) -> Edit {
        Edit::Put(Item::Penetration(Penetration {
            id: PenetrationId::default(),
            name: "Stack".to_owned(),
            at,
            kind: PenetrationKind::Pipe,
            shape: Footprint::Round { diameter: Length::inches(4.0) },
            tube_clearance: Length::inches(6.0),
        }))
    }

    #[test]
    fn a_new_thing_gets_an_id_and_other_subjects_keep_their_allocation() {
        let before = square();
        let after = pipe(Point::feet(5.0, 5.0)).apply(&before).unwrap();
        let id = after.openings.penetrations[0].id;
        assert_ne!(id, PenetrationId::default());
        assert!(Arc::ptr_eq(&before.outline, &after.outline));
        assert!(Arc::ptr_eq(&before.heating, &after.heating));
        assert!(before.openings.penetrations.is_empty());
        let moved = Edit::Move(id.into(), MoveBy { x: 12.0, y: 0.0 }).apply(&after).unwrap();
        assert_eq!(moved.openings.penetrations[0].at, Point::feet(6.0, 5.0));
        let gone = Edit::Remove(id.into()).apply(&moved).unwrap();
        assert!(gone.openings.penetrations.is_empty());
        assert_eq!(Edit::Remove(id.into()).apply(&gone), Err(EditError::Missing));
    }

    #[test]
    fn a_number_that_no_slab_has_is_refused_with_what_would_do() {
        let job = square();
        let mut build_up = (*job.build_up).clone();
        build_up.floor_thickness = Length::feet(900.0);
        let refused = Edit::SetBuildUp(build_up).apply(&job).unwrap_err().to_string();
        assert!(refused.contains("900'-0\" is out of range"), "{refused}");
        assert!(refused.contains("Write a length from"), "{refused}");
    }

    #[test]
    fn numbers_that_are_no_place_are_refused() {
        assert_eq!(pipe(Point::new(f64::NAN, 0.0)).apply(&square()), Err(EditError::OutOfReach));
        assert_eq!(pipe(Point::new(1e300, 0.0)).apply(&square()), Err(EditError::OutOfReach));
    }
}
