//! The first tool: choose by click, move by drag, choose several in a box.

use super::{Ask, Ghost, Input, Pointer, Scene};
use crate::canvas::hit::{self, Pick};
use slabloom_core::edit::{Edit, Item, MoveBy, OutlineEdit};
use slabloom_core::geometry::{Bounds, Point, Vector};
use slabloom_core::job::Job;
use slabloom_core::job::heating::Heating;
use slabloom_core::job::ids::{ItemId, JointId, SideId, ZoneId};
use slabloom_core::job::joints::{DrawnJoint, DrawnKind};

/// The state: what is being dragged, if anything.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct SelectTool {
    drag: Option<Drag>,
}

#[derive(Clone, Debug, PartialEq)]
enum Drag {
    /// A thing, from where it was grabbed.
    Thing { pick: Pick, grabbed: Point, grip: Grip },
    /// A box round what will be chosen.
    Marquee { from: Point },
}

/// What the drag needs to remember of the job at its start.
#[derive(Clone, Debug, PartialEq)]
enum Grip {
    /// The thing's own place, so that it snaps and not the pointer.
    Place(Point),
    /// The outward unit step of a side, which it moves along.
    Side(Vector),
    /// A joint that the layout found, to be locked where it is dropped.
    Joint(DrawnJoint),
    /// The corners of all zones that meet at one place: which zone, which corner.
    ZoneCorners(Vec<(usize, usize)>),
    /// Nothing more.
    Free,
}

impl SelectTool {
    pub(super) fn handle(&mut self, input: &Input, scene: &Scene<'_>) -> Vec<Ask> {
        match input {
            Input::Click(pointer) => return click(*pointer, scene),
            Input::DoubleClick(pointer) => return double_click(*pointer, scene),
            Input::DragStart(pointer) => return self.start(*pointer, scene),
            Input::Drag(pointer) => {
                return self
                    .edit(*pointer, scene)
                    .map_or_else(Vec::new, |edit| vec![Ask::Part(edit)]);
            }
            Input::Drop(pointer) => return self.drop(*pointer, scene),
            Input::Cancel => {
                return match self.drag.take() {
                    Some(Drag::Thing { .. }) => vec![Ask::CancelGesture],
                    Some(Drag::Marquee { .. }) => Vec::new(),
                    None => vec![Ask::Select(Vec::new())],
                };
            }
            Input::Nudge(step) => return nudge(*step, scene),
            Input::Move(_) | Input::Typed(_) | Input::Confirm | Input::Back | Input::Arc => {}
        }
        Vec::new()
    }

    fn start(&mut self, pointer: Pointer, scene: &Scene<'_>) -> Vec<Ask> {
        let Some(pick) = hit::pick(pointer.raw, pointer.reach, scene) else {
            self.drag = Some(Drag::Marquee { from: pointer.raw });
            return Vec::new();
        };
        let grip = grip_of(pick, scene);
        self.drag = Some(Drag::Thing { pick, grabbed: pointer.raw, grip });
        if scene.selection.contains(&pick) { Vec::new() } else { vec![Ask::Select(vec![pick])] }
    }

    fn edit(&self, pointer: Pointer, scene: &Scene<'_>) -> Option<Edit> {
        let Some(Drag::Thing { pick, grabbed, grip }) = &self.drag else {
            return None;
        };
        let by = match grip {
            Grip::Place(place) => pointer.at - *place,
            Grip::Side(outward) => *outward * (pointer.at - *grabbed).dot(*outward),
            Grip::Joint(_) | Grip::ZoneCorners(_) | Grip::Free => pointer.at - *grabbed,
        };
        let step = MoveBy { x: by.x, y: by.y };
        Some(match (pick, grip) {
            (Pick::Corner(id), _) => Edit::Outline(OutlineEdit::MoveCorner(*id, pointer.at)),
            (Pick::Item(ItemId::SideId(id)), _) => Edit::Outline(OutlineEdit::MoveSide(*id, step)),
            (Pick::Item(id), _) => Edit::Move(*id, step),
            (_, Grip::ZoneCorners(corners)) => with_zone_corners(scene.job, corners, pointer.at),
            (Pick::ItemCorner(id, corner), _) => with_corner(scene.job, *id, *corner, pointer.at)?,
            (Pick::FoundJoint(_), Grip::Joint(joint)) => {
                let across = (joint.to - joint.from).unit()?.left();
                let shift = across * by.dot(across);
                Edit::Put(Item::Joint(DrawnJoint {
                    from: joint.from + shift,
                    to: joint.to + shift,
                    ..joint.clone()
                }))
            }
            _ => return None,
        })
    }

    fn drop(&mut self, pointer: Pointer, scene: &Scene<'_>) -> Vec<Ask> {
        let edit = self.edit(pointer, scene);
        match self.drag.take() {
            Some(Drag::Thing { pick, .. }) => {
                let mut asks: Vec<Ask> = edit.map(Ask::Part).into_iter().collect();
                asks.push(Ask::EndGesture);
                if matches!(pick, Pick::FoundJoint(_)) {
                    asks.push(Ask::SelectNewest);
                    asks.push(Ask::Say("The joint is locked where you put it".to_owned()));
                }
                asks
            }
            Some(Drag::Marquee { from }) => {
                let Some(bounds) = Bounds::of([from, pointer.raw]) else {
                    return Vec::new();
                };
                vec![Ask::Select(inside(bounds, scene))]
            }
            None => Vec::new(),
        }
    }

    /// Things that snap to other things as they are dragged measure from their own place.
    pub(super) fn anchor(&self) -> Option<Point> {
        match &self.drag {
            Some(Drag::Thing { grip: Grip::Place(place), .. }) => Some(*place),
            Some(Drag::Thing { grabbed, .. }) => Some(*grabbed),
            Some(Drag::Marquee { from }) => Some(*from),
            None => None,
        }
    }

    /// Corners of the outline that go along with the drag; they are nothing to snap to.
    #[must_use]
    pub fn moved_corners(&self, scene: &Scene<'_>) -> Vec<SideId> {
        let Some(Drag::Thing { pick, .. }) = &self.drag else { return Vec::new() };
        match pick {
            Pick::Corner(id) => vec![*id],
            Pick::Item(ItemId::SideId(id)) => {
                let sides = &scene.job.outline.sides;
                let index = sides.iter().position(|side| side.id == *id);
                let next = index.and_then(|index| sides.get((index + 1) % sides.len()));
                std::iter::once(*id).chain(next.map(|side| side.id)).collect()
            }
            _ => Vec::new(),
        }
    }

    pub(super) const fn hint(&self) -> &'static str {
        match self.drag {
            None => "Click to choose, drag to move — click a dimension to type over it",
            Some(Drag::Thing { .. }) => {
                "Let go where it belongs — Alt holds snapping off — Esc puts it back"
            }
            Some(Drag::Marquee { .. }) => "Everything wholly inside the box is chosen",
        }
    }

    pub(super) fn ghosts(&self, pointer: Option<Point>) -> Vec<Ghost> {
        match (&self.drag, pointer) {
            (Some(Drag::Marquee { from }), Some(pointer)) => vec![Ghost::Marquee(*from, pointer)],
            _ => Vec::new(),
        }
    }
}

fn click(pointer: Pointer, scene: &Scene<'_>) -> Vec<Ask> {
    let picked = hit::pick(pointer.raw, pointer.reach, scene);
    let selection = match (picked, pointer.is_adding) {
        (Some(pick), true) if scene.selection.contains(&pick) => {
            scene.selection.iter().copied().filter(|chosen| *chosen != pick).collect()
        }
        (Some(pick), true) => scene.selection.iter().copied().chain([pick]).collect(),
        (Some(pick), false) => vec![pick],
        (None, true) => scene.selection.to_vec(),
        (None, false) => Vec::new(),
    };
    vec![Ask::Select(selection)]
}

fn double_click(pointer: Pointer, scene: &Scene<'_>) -> Vec<Ask> {
    match hit::pick(pointer.raw, pointer.reach, scene) {
        Some(Pick::Item(ItemId::SideId(id))) => {
            vec![Ask::Edit(Edit::Outline(OutlineEdit::AddCorner(id, pointer.at)))]
        }
        Some(Pick::FoundJoint(index)) => lock_joint(index, scene),
        _ => Vec::new(),
    }
}

/// Moves what is chosen by a step, each thing as a change of its own.
fn nudge(step: Vector, scene: &Scene<'_>) -> Vec<Ask> {
    let by = MoveBy { x: step.x, y: step.y };
    let edits = scene.selection.iter().filter_map(|pick| match *pick {
        Pick::Corner(id) => {
            let side = scene.job.outline.sides.iter().find(|side| side.id == id)?;
            Some(Edit::Outline(OutlineEdit::MoveCorner(id, side.start + step)))
        }
        Pick::Item(ItemId::SideId(id)) => Some(Edit::Outline(OutlineEdit::MoveSide(id, by))),
        Pick::Item(id) | Pick::ItemCorner(id, _) => Some(Edit::Move(id, by)),
        Pick::Circuit(_) | Pick::FoundJoint(_) | Pick::SlabPanel(_) | Pick::BoardPiece(..) => None,
    });
    edits.map(Ask::Edit).collect()
}

/// Locks a joint that the layout found where it is.
#[must_use]
pub fn lock_joint(index: usize, scene: &Scene<'_>) -> Vec<Ask> {
    found_joint(index, scene).map_or_else(Vec::new, |joint| {
        vec![Ask::Edit(Edit::Put(Item::Joint(joint))), Ask::SelectNewest]
    })
}

fn found_joint(index: usize, scene: &Scene<'_>) -> Option<DrawnJoint> {
    let line = scene.results.parts.joints.layout.lines.get(index)?;
    Some(DrawnJoint {
        id: JointId::default(),
        kind: DrawnKind::Contraction,
        from: line.from,
        to: line.to,
    })
}

fn grip_of(pick: Pick, scene: &Scene<'_>) -> Grip {
    match pick {
        Pick::ItemCorner(ItemId::ZoneId(id), corner) => zone_corners(scene.job, id, corner)
            .filter(|corners| corners.len() > 1)
            .map_or(Grip::Free, Grip::ZoneCorners),
        Pick::Corner(_) | Pick::ItemCorner(..) => Grip::Free,
        Pick::Item(ItemId::SideId(id)) => side_normal(scene.job, id).map_or(Grip::Free, Grip::Side),
        Pick::Item(id) => hit::placed_items(scene.job)
            .into_iter()
            .find(|(item, _)| *item == id)
            .map_or(Grip::Free, |(_, place)| Grip::Place(place)),
        Pick::FoundJoint(index) => found_joint(index, scene).map_or(Grip::Free, Grip::Joint),
        Pick::Circuit(_) | Pick::SlabPanel(_) | Pick::BoardPiece(..) => Grip::Free,
    }
}

fn side_normal(job: &Job, id: SideId) -> Option<Vector> {
    let (_, segment) = job.outline.segments().find(|(own, _)| *own == id)?;
    (segment.end() - segment.start()).unit().map(Vector::left)
}

/// The same thing with one of its corners at another place.
fn with_corner(job: &Job, id: ItemId, corner: usize, at: Point) -> Option<Edit> {
    let item = match id {
        ItemId::OpeningId(id) => {
            let mut item = job.openings.openings.iter().find(|item| item.id == id)?.clone();
            item.corners.get_mut(corner)?.at = at;
            Item::Opening(item)
        }
        ItemId::StripId(id) => {
            let mut item = job.thickenings.strips.iter().find(|item| item.id == id)?.clone();
            *item.line.get_mut(corner)? = at;
            Item::Strip(item)
        }
        ItemId::RecessId(id) => {
            let mut item = job.thickenings.recesses.iter().find(|item| item.id == id)?.clone();
            *item.corners.get_mut(corner)? = at;
            Item::Recess(item)
        }
        ItemId::SlopeId(id) => {
            let mut item = job.thickenings.slopes.iter().find(|item| item.id == id)?.clone();
            *item.corners.get_mut(corner)? = at;
            Item::Slope(item)
        }
        ItemId::ZoneId(id) => {
            let mut item = job.heating.zones.iter().find(|item| item.id == id)?.clone();
            *item.corners.get_mut(corner)? = at;
            Item::Zone(item)
        }
        ItemId::KeepOutId(id) => {
            let mut item = job.heating.keep_outs.iter().find(|item| item.id == id)?.clone();
            *item.corners.get_mut(corner)? = at;
            Item::KeepOut(item)
        }
        ItemId::JointId(id) => {
            let mut item = job.joints.drawn.iter().find(|item| item.id == id)?.clone();
            if corner == 0 {
                item.from = at;
            } else {
                item.to = at;
            }
            Item::Joint(item)
        }
        _ => return None,
    };
    Some(Edit::Put(item))
}

/// The corners of all zones that lie where a corner of one does, so that the line between two
/// zones stays one line.
fn zone_corners(job: &Job, id: ZoneId, corner: usize) -> Option<Vec<(usize, usize)>> {
    let zones = &job.heating.zones;
    let place = *zones.iter().find(|zone| zone.id == id)?.corners.get(corner)?;
    let all = zones.iter().enumerate().flat_map(|(zone, own)| {
        own.corners.iter().enumerate().map(move |(corner, at)| ((zone, corner), *at))
    });
    Some(all.filter(|(_, at)| at.is_near(place)).map(|(which, _)| which).collect())
}

/// These corners of zones at another place.
fn with_zone_corners(job: &Job, corners: &[(usize, usize)], at: Point) -> Edit {
    let mut heating = Heating::clone(&job.heating);
    for &(zone, corner) in corners {
        let own = heating.zones.get_mut(zone).and_then(|zone| zone.corners.get_mut(corner));
        if let Some(own) = own {
            *own = at;
        }
    }
    Edit::SetHeating(heating)
}

/// Everything of the job that lies wholly inside a box.
fn inside(bounds: Bounds, scene: &Scene<'_>) -> Vec<Pick> {
    let job = scene.job;
    let mut picks: Vec<Pick> = Vec::new();
    picks.extend(
        hit::placed_items(job)
            .into_iter()
            .filter(|(_, at)| bounds.contains(*at))
            .map(|(id, _)| Pick::Item(id)),
    );
    picks.extend(
        hit::cornered_items(job)
            .into_iter()
            .filter(|(_, corners, _)| !corners.is_empty())
            .filter(|(_, corners, _)| corners.iter().all(|at| bounds.contains(*at)))
            .map(|(id, ..)| Pick::Item(id)),
    );
    picks.extend(
        job.outline
            .segments()
            .filter(|(_, side)| bounds.contains(side.start()) && bounds.contains(side.end()))
            .map(|(id, _)| Pick::Item(id.into())),
    );
    picks
}
