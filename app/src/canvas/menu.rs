//! What a right click offers: the few things that people want of what they point at.
//!
//! Everything here can be had elsewhere too, by a tool, a key or the panel; the menu only saves
//! the way. The entries are worked out apart from the toolkit, so that a test can read them.

use super::hit::Pick;
use super::tools::{Ask, Scene, ToolKind, place, select};
use crate::editor::actions::Action;
use slabloom_core::edit::{Edit, Item, MoveBy, OutlineEdit};
use slabloom_core::foam::by_hand;
use slabloom_core::geometry::Point;
use slabloom_core::geometry::nearest::nearest_on_line;
use slabloom_core::job::edges::{EdgeProfile, ThickenedEdge, Threshold};
use slabloom_core::job::ids::{ItemId, JointId, RimId, SideId};
use slabloom_core::job::joints::DrawnJoint;

/// What an entry does.
#[derive(Clone, Debug, PartialEq)]
pub enum Choice {
    /// What a tool would ask for.
    Asks(Vec<Ask>),
    /// An action of the table.
    Act(Action),
    /// The side's length is typed over its dimension.
    TypeLength(SideId),
}

/// An entry of the menu.
#[derive(Clone, Debug, PartialEq)]
pub struct Entry {
    /// What it is called.
    pub name: String,
    /// What it does.
    pub choice: Choice,
}

fn edit(name: &str, edit: Edit) -> Entry {
    Entry { name: name.to_owned(), choice: Choice::Asks(vec![Ask::Edit(edit)]) }
}

fn act(name: &str, action: Action) -> Entry {
    Entry { name: name.to_owned(), choice: Choice::Act(action) }
}

/// What can be done with `pick`, and at `at`.
#[must_use]
pub fn entries(pick: Option<Pick>, at: Point, scene: &Scene<'_>) -> Vec<Entry> {
    let mut entries = match pick {
        Some(Pick::Item(ItemId::SideId(id))) => of_side(id, at, scene),
        Some(Pick::Corner(id)) => {
            vec![edit("Remove this corner", Edit::Outline(OutlineEdit::RemoveCorner(id)))]
        }
        Some(Pick::FoundJoint(index)) => {
            let choice = Choice::Asks(select::lock_joint(index, scene));
            vec![Entry { name: "Lock this joint here".to_owned(), choice }]
        }
        Some(Pick::Item(ItemId::JointId(id)) | Pick::ItemCorner(ItemId::JointId(id), _)) => {
            of_joint(id, at, scene)
        }
        Some(Pick::Item(id) | Pick::ItemCorner(id, _)) => of_item(id),
        Some(Pick::BoardPiece(layer, piece)) => of_board_piece(layer, piece, scene),
        Some(Pick::Circuit(_) | Pick::SlabPanel(_)) | None => Vec::new(),
    };
    entries.extend(here(at, scene));
    entries.push(act("Show all", Action::ZoomFit));
    entries
}

fn of_side(id: SideId, at: Point, scene: &Scene<'_>) -> Vec<Entry> {
    let rim = RimId::Side(id);
    let segment = scene.job.outline.segments().find(|(own, _)| *own == id).map(|(_, side)| side);
    let on_side = segment.map_or(at, |side| nearest_on_line(at, side.start(), side.end()));
    let thickened = EdgeProfile::Thickened(ThickenedEdge::default());
    let threshold = EdgeProfile::Threshold(Threshold::default());
    let mut joints = (*scene.job.joints).clone();
    let is_isolated = joints.isolated_sides.contains(&id);
    let name = if is_isolated {
        joints.isolated_sides.remove(&id);
        "No isolation joint along this side"
    } else {
        joints.isolated_sides.insert(id);
        "Isolation joint along this side"
    };
    let mut entries = vec![
        Entry { name: "Type its length…".to_owned(), choice: Choice::TypeLength(id) },
        edit("Add a corner here", Edit::Outline(OutlineEdit::AddCorner(id, on_side))),
    ];
    let own = scene.job.edges.by_side.get(&id).copied();
    let edges = [
        ("Make this side a door", Some(threshold)),
        ("Thickened edge of its own", Some(thickened)),
        ("Plain edge", Some(EdgeProfile::Plain)),
        ("Edge as usual", None),
    ];
    // What it is already is no choice.
    let choices = edges.into_iter().filter(|(_, profile)| *profile != own);
    entries.extend(choices.map(|(name, profile)| edit(name, Edit::SetEdge(rim, profile))));
    entries.push(edit(name, Edit::SetJoints(joints)));
    entries
}

/// A locked joint can be parted where it was pointed at, so that its halves move apart.
fn of_joint(id: JointId, at: Point, scene: &Scene<'_>) -> Vec<Entry> {
    let Some(joint) = scene.job.joints.drawn.iter().find(|joint| joint.id == id) else {
        return Vec::new();
    };
    let middle = nearest_on_line(at, joint.from, joint.to);
    let mut joints = (*scene.job.joints).clone();
    let mut entries = Vec::new();
    if middle.distance(joint.from) > 12.0 && middle.distance(joint.to) > 12.0 {
        let near = DrawnJoint { to: middle, ..joint.clone() };
        let far = DrawnJoint { id: JointId::default(), from: middle, ..joint.clone() };
        let asks = vec![
            Ask::Edit(Edit::Put(Item::Joint(near))),
            Ask::Edit(Edit::Put(Item::Joint(far))),
            Ask::SelectNewest,
        ];
        let choice = Choice::Asks(asks);
        entries.push(Entry { name: "Split this joint here".to_owned(), choice });
    }
    joints.drawn.retain(|joint| joint.id != id);
    entries.push(edit("Let the layout decide again", Edit::SetJoints(joints)));
    entries
}

/// A piece of board can be held where it lies; a held one can be set free.
fn of_board_piece(layer: usize, piece: usize, scene: &Scene<'_>) -> Vec<Entry> {
    let build_up = &scene.job.build_up;
    let layout = scene.results.parts.foam.layers.get(layer);
    let (Some(layout), Some(own)) = (layout, build_up.foam_layers.get(layer)) else {
        return Vec::new();
    };
    let is_locked = by_hand::is_locked(own, layout, piece);
    let name = if is_locked { "Set this board free" } else { "Lock this board here" };
    let toggled = by_hand::with_lock_toggled(build_up, (layer, layout), piece);
    // A piece that cannot be held, such as one on a slope, leaves everything as it was.
    if toggled == **build_up { Vec::new() } else { vec![edit(name, Edit::SetBuildUp(toggled))] }
}

/// Boards start whole at the corner nearest to a place, or wherever fewest are needed.
fn boards_from_corner(at: Point, scene: &Scene<'_>) -> Vec<Entry> {
    let build_up = &scene.job.build_up;
    let corner = by_hand::nearest_corner(scene.plan, at);
    let from = |corner| {
        let layers = 0..build_up.foam_layers.len();
        layers.fold((**build_up).clone(), |all, layer| {
            by_hand::with_start_corner(&all, layer, corner)
        })
    };
    let choices = [
        ("Start the boards at the nearest corner", from(corner)),
        ("Start the boards where fewest are needed", from(None)),
    ];
    let choices = choices.into_iter().filter(|(_, changed)| *changed != **build_up);
    choices.map(|(name, changed)| edit(name, Edit::SetBuildUp(changed))).collect()
}

fn of_item(id: ItemId) -> Vec<Entry> {
    let mut entries = vec![edit("Delete", Edit::Remove(id))];
    if matches!(id, ItemId::PenetrationId(_) | ItemId::PadId(_) | ItemId::StripId(_)) {
        entries.push(act("Duplicate", Action::Duplicate));
    }
    entries
}

/// What can be put at a place of the floor.
fn here(at: Point, scene: &Scene<'_>) -> Vec<Entry> {
    if !scene.plan.region.contains(at) {
        return vec![
            act("Add a rectangle", Action::Tool(ToolKind::AddRectangle)),
            act("Draw walls", Action::Tool(ToolKind::Walls)),
        ];
    }
    let mut entries = Vec::new();
    let manifolds = scene.job.heating.manifolds.iter();
    let nearest = manifolds.min_by(|a, b| a.at.distance(at).total_cmp(&b.at.distance(at)));
    if let Some(manifold) = nearest {
        let by = MoveBy { x: at.x - manifold.at.x, y: at.y - manifold.at.y };
        let name = format!("Move manifold {} here", manifold.name);
        entries.push(edit(&name, Edit::Move(manifold.id.into(), by)));
    }
    let things = [
        ("Manifold here", ToolKind::Manifold),
        ("Pipe here", ToolKind::Pipe),
        ("Floor drain here", ToolKind::Drain),
        ("Column here", ToolKind::Column),
    ];
    for (name, kind) in things {
        if let Some(item) = place::item_at(kind, at, scene) {
            let choice = Choice::Asks(vec![Ask::Edit(Edit::Put(item)), Ask::SelectNewest]);
            entries.push(Entry { name: name.to_owned(), choice });
        }
    }
    if !scene.job.build_up.foam_layers.is_empty() {
        entries.extend(boards_from_corner(at, scene));
    }
    entries
}

#[cfg(test)]
mod tests {
    use super::*;
    use slabloom_core::derive::derive;
    use slabloom_core::job::Job;

    #[test]
    fn each_entry_does_what_it_says_and_leaves_a_job_that_holds() {
        let corners = [(0.0, 0.0), (40.0, 0.0), (40.0, 28.0), (0.0, 28.0)];
        let job = Job::from_corners(&corners.map(|(x, y)| (Point::feet(x, y), None)));
        let results = derive(&job);
        let scene = Scene {
            job: &job,
            plan: &results.parts.plan,
            results: &results,
            selection: &[],
            pickable: Default::default(),
        };
        let side = job.outline.sides[0].id;
        let picks = [
            (Some(Pick::Item(side.into())), Point::feet(12.0, 0.1)),
            (Some(Pick::Corner(side)), Point::feet(0.0, 0.0)),
            (Some(Pick::BoardPiece(0, 3)), Point::feet(20.0, 14.0)),
            (Some(Pick::FoundJoint(0)), results.parts.joints.layout.lines[0].from),
            (Some(Pick::Item(job.heating.manifolds[0].id.into())), Point::feet(20.0, 14.0)),
            (None, Point::feet(-10.0, 0.0)),
        ];
        for (pick, at) in picks {
            let entries = entries(pick, at, &scene);
            assert!(entries.len() >= 3, "{pick:?}");
            for entry in entries {
                let Choice::Asks(asks) = entry.choice else { continue };
                for ask in asks {
                    if let Ask::Edit(edit) = ask {
                        let changed = edit.apply(&job).unwrap();
                        assert_ne!(changed, job, "{} changes nothing", entry.name);
                    }
                }
            }
        }
    }
}
