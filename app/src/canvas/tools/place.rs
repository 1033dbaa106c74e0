//! Tools that need one place: pipes, drains, columns, pads, manifolds, shots, corners.

use super::typed::Typed;
use super::{Ask, Input, Scene, SelectTool, ToolKind};
use crate::canvas::hit::{self, Pick};
use slabloom_core::edit::{Edit, Item, OutlineEdit};
use slabloom_core::geometry::Point;
use slabloom_core::geometry::nearest::nearest_on_line;
use slabloom_core::job::heating::Manifold;
use slabloom_core::job::ids::{ItemId, ManifoldId, PadId, PenetrationId, ShotId};
use slabloom_core::job::openings::{Footprint, Penetration, PenetrationKind};
use slabloom_core::job::subgrade::Shot;
use slabloom_core::job::thickenings::Pad;
use slabloom_core::units::Length;

/// The state: a drag of something that stands there already.
#[derive(Clone, Debug, PartialEq)]
pub struct PlaceTool {
    /// What is placed.
    pub kind: ToolKind,
    drag: Option<SelectTool>,
}

impl PlaceTool {
    pub(super) const fn new(kind: ToolKind) -> Self {
        Self { kind, drag: None }
    }

    pub(super) fn handle(&mut self, input: &Input, scene: &Scene<'_>) -> Vec<Ask> {
        // A drag moves what stands there already, as the first tool would.
        if let Some(drag) = &mut self.drag {
            let asks = drag.handle(input, scene);
            if matches!(input, Input::Drop(_) | Input::Cancel) {
                self.drag = None;
            }
            return asks;
        }
        match input {
            Input::Click(pointer) | Input::DoubleClick(pointer) => {
                let picked = hit::pick_placed(pointer.raw, pointer.reach, scene);
                if let Some(pick) = picked.filter(|pick| self.is_of_this_kind(pick)) {
                    return vec![Ask::Select(vec![pick])];
                }
                self.place(pointer.at, scene)
            }
            Input::Typed(Typed::Place(at)) => self.place(*at, scene),
            Input::Typed(_) => {
                vec![Ask::Say("Type a place: east, north — such as 10', 4'6".to_owned())]
            }
            Input::DragStart(pointer) => {
                if hit::pick_placed(pointer.raw, pointer.reach, scene).is_some() {
                    let mut drag = SelectTool::default();
                    let asks = drag.handle(input, scene);
                    self.drag = Some(drag);
                    return asks;
                }
                Vec::new()
            }
            Input::Drop(pointer) => self.place(pointer.at, scene),
            Input::Cancel | Input::Back => vec![Ask::Done],
            Input::Move(_) | Input::Drag(_) | Input::Confirm | Input::Arc | Input::Nudge(_) => {
                Vec::new()
            }
        }
    }

    const fn is_of_this_kind(&self, pick: &Pick) -> bool {
        matches!(
            (self.kind, pick),
            (ToolKind::Manifold, Pick::Item(ItemId::ManifoldId(_)))
                | (ToolKind::Shot, Pick::Item(ItemId::ShotId(_)))
                | (
                    ToolKind::Pipe | ToolKind::Drain | ToolKind::Column,
                    Pick::Item(ItemId::PenetrationId(_))
                )
                | (ToolKind::Pad, Pick::Item(ItemId::PadId(_)))
        )
    }

    fn place(&self, at: Point, scene: &Scene<'_>) -> Vec<Ask> {
        if self.kind == ToolKind::Corner {
            return add_corner(at, scene);
        }
        item_at(self.kind, at, scene)
            .map_or_else(Vec::new, |item| vec![Ask::Edit(Edit::Put(item)), Ask::SelectNewest])
    }

    pub(super) const fn hint(&self) -> &'static str {
        match self.kind {
            ToolKind::Corner => "Click a side where the new corner should be",
            ToolKind::Pipe => "Click where the pipe comes up, or type a place: 10', 4'6",
            ToolKind::Drain => "Click where the floor drain is",
            ToolKind::Column => "Click where the column stands",
            ToolKind::Pad => "Click where the pad is",
            ToolKind::Manifold => "Click where the manifold stands, or drag one that is there",
            ToolKind::Shot => "Click where the shot was taken, then give its height at the right",
            _ => "Click a place",
        }
    }
}

/// A corner on the side nearest to a place.
fn add_corner(at: Point, scene: &Scene<'_>) -> Vec<Ask> {
    let nearest = scene
        .job
        .outline
        .segments()
        .map(|(id, segment)| {
            let on_side = nearest_on_line(at, segment.start(), segment.end());
            (id, on_side, on_side.distance(at))
        })
        .min_by(|a, b| a.2.total_cmp(&b.2));
    match nearest {
        Some((id, on_side, _)) => {
            vec![Ask::Edit(Edit::Outline(OutlineEdit::AddCorner(id, on_side)))]
        }
        None => vec![Ask::Say("There is no slab yet: draw its walls first".to_owned())],
    }
}

/// What a tool puts at a place, with usual sizes and no id yet; `None` for tools of other kinds.
#[must_use]
pub fn item_at(kind: ToolKind, at: Point, scene: &Scene<'_>) -> Option<Item> {
    let penetration = |kind, shape, name: &str| {
        Item::Penetration(Penetration {
            id: PenetrationId::default(),
            name: name.to_owned(),
            at,
            kind,
            shape,
            tube_clearance: Penetration::usual_clearance(),
        })
    };
    let round = |inches| Footprint::Round { diameter: Length::inches(inches) };
    let square = |inches| Footprint::Rectangle {
        length: Length::inches(inches),
        width: Length::inches(inches),
        turn_degrees: 0.0,
    };
    Some(match kind {
        ToolKind::Pipe => penetration(PenetrationKind::Pipe, round(4.0), ""),
        ToolKind::Drain => penetration(PenetrationKind::Drain, round(6.0), "Floor drain"),
        ToolKind::Column => penetration(PenetrationKind::Column, square(8.0), "Column"),
        ToolKind::Pad => Item::Pad(Pad {
            id: PadId::default(),
            name: String::new(),
            at,
            shape: square(36.0),
            total_depth: Length::inches(12.0),
            haunch_run: Length::ZERO,
        }),
        ToolKind::Manifold => Item::Manifold(Manifold {
            id: ManifoldId::default(),
            name: format!("M{}", scene.job.heating.manifolds.len() + 1),
            at,
            ..Manifold::default()
        }),
        ToolKind::Shot => Item::Shot(Shot {
            id: ShotId::default(),
            name: format!("{}", scene.job.subgrade.shots.len() + 1),
            at,
            height: scene.job.subgrade.target_height,
            note: String::new(),
        }),
        _ => return None,
    })
}
