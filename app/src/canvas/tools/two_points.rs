//! Tools that need two places: rectangles and lines. Click twice, or drag, or type.

use super::start_corner::LAYER;
use super::typed::Typed;
use super::{Ask, Ghost, Input, ToolKind};
use slabloom_core::edit::{Edit, Item, OutlineEdit};
use slabloom_core::foam::by_hand;
use slabloom_core::geometry::{Point, Vector};
use slabloom_core::job::build_up::BuildUp;
use slabloom_core::job::heating::{KeepOut, KeepOutReason, Zone};
use slabloom_core::job::ids::{JointId, KeepOutId, OpeningId, StripId, ZoneId};
use slabloom_core::job::joints::{DrawnJoint, DrawnKind};
use slabloom_core::job::openings::{Corner, Opening};
use slabloom_core::job::thickenings::ThickenedStrip;
use slabloom_core::units::Length;

/// The state between the two places.
#[derive(Clone, Debug, PartialEq)]
pub struct TwoPointTool {
    /// What is made of them.
    pub kind: ToolKind,
    /// The first place, once it is set.
    pub first: Option<Point>,
    /// The last thing measured stays on show.
    measured: Option<(Point, Point)>,
    pointer: Option<Point>,
    /// Where the pointer rested when the first place was typed: it says nothing about the way.
    resting: Option<Point>,
    is_dragging: bool,
}

impl TwoPointTool {
    pub(super) const fn new(kind: ToolKind) -> Self {
        Self { kind, first: None, measured: None, pointer: None, resting: None, is_dragging: false }
    }

    const fn is_rectangle(&self) -> bool {
        matches!(
            self.kind,
            ToolKind::AddRectangle
                | ToolKind::TakeRectangle
                | ToolKind::Opening
                | ToolKind::Zone
                | ToolKind::KeepOut
                | ToolKind::FoamZone
        )
    }

    pub(super) fn handle(&mut self, input: &Input, build_up: &BuildUp) -> Vec<Ask> {
        match input {
            Input::Move(pointer) if self.resting == Some(pointer.at) => {}
            Input::Move(pointer) | Input::Drag(pointer) => {
                self.pointer = Some(pointer.at);
                self.resting = None;
            }
            Input::Click(pointer) | Input::DoubleClick(pointer) => {
                self.pointer = Some(pointer.at);
                return self.point(pointer.at, build_up);
            }
            Input::DragStart(pointer) => {
                self.is_dragging = true;
                if self.first.is_none() {
                    self.first = Some(pointer.at);
                }
            }
            Input::Drop(pointer) => {
                self.pointer = Some(pointer.at);
                if std::mem::take(&mut self.is_dragging) {
                    return self.point(pointer.at, build_up);
                }
            }
            Input::Confirm if self.first.is_none() => return self.point(Point::ORIGIN, build_up),
            Input::Confirm | Input::Arc | Input::Nudge(_) => {}
            Input::Typed(typed) => return self.typed(*typed, build_up),
            Input::Back | Input::Cancel => {
                self.is_dragging = false;
                self.measured = None;
                if self.first.take().is_none() {
                    return vec![Ask::Done];
                }
            }
        }
        Vec::new()
    }

    fn point(&mut self, at: Point, build_up: &BuildUp) -> Vec<Ask> {
        let Some(first) = self.first else {
            self.first = Some(at);
            self.measured = None;
            return Vec::new();
        };
        let step = at - first;
        let is_too_small = if self.is_rectangle() {
            step.x.abs() < 1.0 || step.y.abs() < 1.0
        } else {
            step.length() < 1.0
        };
        if is_too_small {
            return Vec::new();
        }
        self.first = None;
        if self.kind == ToolKind::Measure {
            self.measured = Some((first, at));
            return Vec::new();
        }
        if self.kind == ToolKind::FoamZone && build_up.foam_layers.get(LAYER).is_none() {
            return vec![Ask::Say("Add a layer of foam first".to_owned()), Ask::Done];
        }
        match self.made_of(first, at, build_up) {
            // A changed outline or layer of foam is no thing of its own to choose.
            Some(edit @ (Edit::Outline(_) | Edit::SetBuildUp(_))) => vec![Ask::Edit(edit)],
            Some(edit) => vec![Ask::Edit(edit), Ask::SelectNewest],
            None => Vec::new(),
        }
    }

    fn typed(&mut self, typed: Typed, build_up: &BuildUp) -> Vec<Ask> {
        match (typed, self.first) {
            (Typed::Place(at), _) => {
                self.resting = self.pointer.take();
                self.point(at, build_up)
            }
            (Typed::Leg(leg), Some(first)) => self.point(first + leg, build_up),
            (Typed::Length(length), Some(first)) => {
                match self.pointer.and_then(|pointer| (pointer - first).unit()) {
                    Some(toward) if !self.is_rectangle() => {
                        self.point(first + toward * length, build_up)
                    }
                    _ if self.is_rectangle() => {
                        vec![Ask::Say("Type both sizes: 12 x 8".to_owned())]
                    }
                    _ => vec![Ask::Say(
                        "Point the way first, or type a direction: E, N, W or S".to_owned(),
                    )],
                }
            }
            (Typed::Size(width, height), first) => {
                let first = first.unwrap_or(Point::ORIGIN);
                self.first = Some(first);
                // Toward the pointer, so that the size goes the way it is drawn.
                let step = self.pointer.map_or(Vector::new(1.0, 1.0), |pointer| pointer - first);
                let toward = |step: f64, size: f64| if step < 0.0 { -size } else { size };
                let far = first + Vector::new(toward(step.x, width), toward(step.y, height));
                self.point(far, build_up)
            }
            (Typed::Leg(_) | Typed::Length(_), None) => vec![Ask::Say(
                "Set the first point first: click, or type a place such as 10, 28".to_owned(),
            )],
            (Typed::Close, _) => Vec::new(),
        }
    }

    fn made_of(&self, a: Point, b: Point, build_up: &BuildUp) -> Option<Edit> {
        let corners = || vec![a, Point::new(b.x, a.y), b, Point::new(a.x, b.y)];
        let joint = |kind| {
            Edit::Put(Item::Joint(DrawnJoint { id: JointId::default(), kind, from: a, to: b }))
        };
        Some(match self.kind {
            ToolKind::AddRectangle => Edit::Outline(OutlineEdit::AddRectangle(a, b)),
            ToolKind::TakeRectangle => Edit::Outline(OutlineEdit::TakeRectangle(a, b)),
            ToolKind::Opening => Edit::Put(Item::Opening(Opening {
                id: OpeningId::default(),
                name: String::new(),
                corners: corners().into_iter().map(|at| Corner { at, through: None }).collect(),
            })),
            ToolKind::Zone => Edit::Put(Item::Zone(Zone {
                id: ZoneId::default(),
                name: "Zone".to_owned(),
                corners: corners(),
                ..Zone::default()
            })),
            ToolKind::KeepOut => Edit::Put(Item::KeepOut(KeepOut {
                id: KeepOutId::default(),
                name: String::new(),
                corners: corners(),
                reason: KeepOutReason::default(),
            })),
            ToolKind::FoamZone => Edit::SetBuildUp(by_hand::with_zone(build_up, LAYER, corners())),
            ToolKind::Strip => Edit::Put(Item::Strip(ThickenedStrip {
                id: StripId::default(),
                name: String::new(),
                line: vec![a, b],
                flat_width: Length::inches(12.0),
                total_depth: Length::inches(10.0),
                haunch_run: Length::inches(6.0),
            })),
            ToolKind::Joint => joint(DrawnKind::Contraction),
            ToolKind::IsolationJoint => joint(DrawnKind::Isolation),
            ToolKind::ConstructionJoint => joint(DrawnKind::Construction),
            _ => return None,
        })
    }

    pub(super) fn hint(&self) -> &'static str {
        match (self.kind, self.first.is_some()) {
            (ToolKind::AddRectangle, false) => {
                "Click one corner of the rectangle to add, or type its place: 10, 28"
            }
            (ToolKind::TakeRectangle, false) => "Click one corner of the rectangle to take off",
            (ToolKind::Opening, false) => "Click one corner of the opening",
            (ToolKind::Zone, false) => "Click one corner of the heated zone",
            (ToolKind::KeepOut, false) => "Click one corner of the place without tube",
            (ToolKind::FoamZone, false) => {
                "Click one corner of what foam is to cover: a first zone stands for all the floor"
            }
            (ToolKind::Measure, false) => "Click the first point to measure from",
            (_, false) => "Click one end of the line",
            (_, true) if self.is_rectangle() => {
                "Click the opposite corner, or type both sizes: 12 x 8"
            }
            (_, true) => "Click the other end, or type a length or E 12'6",
        }
    }

    pub(super) fn ghosts(&self, pointer: Option<Point>) -> Vec<Ghost> {
        let mut ghosts = Vec::new();
        if let Some((from, to)) = self.measured {
            ghosts.extend([Ghost::Dot(from), Ghost::Dot(to), Ghost::Line(from, to)]);
        }
        if let Some(first) = self.first {
            ghosts.push(Ghost::Dot(first));
            if let Some(pointer) = pointer {
                ghosts.push(if self.is_rectangle() {
                    Ghost::Rectangle(first, pointer)
                } else {
                    Ghost::Line(first, pointer)
                });
            }
        }
        ghosts
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::canvas::tools::Pointer;
    use slabloom_core::job::build_up::Coverage;

    fn handle(tool: &mut TwoPointTool, input: &Input) -> Vec<Ask> {
        tool.handle(input, &BuildUp::default())
    }

    #[test]
    fn a_rectangle_of_foam_is_one_zone_more_of_the_top_layer() {
        let click = |x: f64, y: f64| {
            let at = Point::feet(x, y);
            Input::Click(Pointer { at, raw: at, reach: 3.0, is_adding: false })
        };
        let mut build_up = BuildUp::default();
        let mut tool = TwoPointTool::new(ToolKind::FoamZone);
        for count in 1..=2 {
            assert!(tool.handle(&click(0.0, 0.0), &build_up).is_empty());
            let asks = tool.handle(&click(10.0, 8.0), &build_up);
            let [Ask::Edit(Edit::SetBuildUp(covered))] = &asks[..] else { panic!("{asks:?}") };
            let Coverage::Zones(zones) = &covered.foam_layers[LAYER].coverage else {
                panic!("{covered:?}")
            };
            assert_eq!(zones.len(), count);
            assert_eq!(zones[count - 1][2], Point::feet(10.0, 8.0));
            build_up = covered.clone();
        }
        build_up.foam_layers.clear();
        tool.handle(&click(0.0, 0.0), &build_up);
        let asks = tool.handle(&click(10.0, 8.0), &build_up);
        assert!(matches!(asks[..], [Ask::Say(_), Ask::Done]), "{asks:?}");
    }

    #[test]
    fn a_bump_out_is_two_clicks_or_one_place_and_one_size() {
        let click = |x: f64, y: f64| {
            let at = Point::feet(x, y);
            Input::Click(Pointer { at, raw: at, reach: 3.0, is_adding: false })
        };
        let wanted = Edit::Outline(OutlineEdit::AddRectangle(
            Point::feet(10.0, 28.0),
            Point::feet(22.0, 32.0),
        ));
        let mut tool = TwoPointTool::new(ToolKind::AddRectangle);
        assert!(handle(&mut tool, &click(10.0, 28.0)).is_empty());
        assert_eq!(handle(&mut tool, &click(22.0, 32.0))[0], Ask::Edit(wanted.clone()));
        handle(&mut tool, &Input::Typed(Typed::Place(Point::feet(10.0, 28.0))));
        tool.pointer = None;
        assert_eq!(
            handle(&mut tool, &Input::Typed(Typed::Size(144.0, 48.0)))[0],
            Ask::Edit(wanted)
        );
    }

    #[test]
    fn a_pointer_that_rests_somewhere_does_not_turn_a_typed_size_round() {
        let at = Point::feet(2.0, 2.0);
        let pointer = Pointer { at, raw: at, reach: 3.0, is_adding: false };
        let mut tool = TwoPointTool::new(ToolKind::AddRectangle);
        handle(&mut tool, &Input::Move(pointer));
        handle(&mut tool, &Input::Typed(Typed::Place(Point::feet(10.0, 28.0))));
        handle(&mut tool, &Input::Move(pointer));
        let asks = handle(&mut tool, &Input::Typed(Typed::Size(144.0, 48.0)));
        let far = Point::feet(22.0, 32.0);
        let wanted = OutlineEdit::AddRectangle(Point::feet(10.0, 28.0), far);
        assert_eq!(asks[0], Ask::Edit(Edit::Outline(wanted)));
    }

    #[test]
    fn a_line_follows_the_pointer_for_a_typed_length() {
        let at = |x: f64, y: f64| {
            let at = Point::feet(x, y);
            Pointer { at, raw: at, reach: 3.0, is_adding: false }
        };
        let mut tool = TwoPointTool::new(ToolKind::Joint);
        handle(&mut tool, &Input::Click(at(0.0, 10.0)));
        handle(&mut tool, &Input::Move(at(5.0, 10.0)));
        let asks = handle(&mut tool, &Input::Typed(Typed::Length(120.0)));
        let Ask::Edit(Edit::Put(Item::Joint(joint))) = &asks[0] else { panic!("{asks:?}") };
        assert_eq!(joint.to, Point::feet(10.0, 10.0));
    }
}
