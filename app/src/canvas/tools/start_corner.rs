//! Chooses the corner that the boards start from: whole boards lie there, cut ones at the far
//! ends. The corner nearest to the pointer is meant, so that a finger is exact enough; while it
//! is pointed or dragged at, the editor counts the boards that it would take.

use super::{Ask, Ghost, Input, Pointer, Scene};
use slabloom_core::edit::Edit;
use slabloom_core::foam::by_hand;
use slabloom_core::geometry::Point;

/// The layer of boards that is started: the one that the canvas shows.
pub const LAYER: usize = 0;

/// The state: the corner that is meant.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct StartCornerTool {
    /// The corner nearest to the pointer.
    pub meant: Option<Point>,
    pointer: Option<Point>,
}

impl StartCornerTool {
    pub(super) fn handle(&mut self, input: &Input, scene: &Scene<'_>) -> Vec<Ask> {
        match input {
            Input::Move(pointer) | Input::DragStart(pointer) | Input::Drag(pointer) => {
                self.mean(*pointer, scene);
                Vec::new()
            }
            Input::Click(pointer) | Input::DoubleClick(pointer) | Input::Drop(pointer) => {
                self.mean(*pointer, scene);
                self.start_at(self.meant, scene)
            }
            Input::Confirm => self.start_at(self.meant, scene),
            Input::Back => self.start_at(None, scene),
            Input::Typed(_) => vec![Ask::Say("Click the corner to start from".to_owned())],
            Input::Cancel => vec![Ask::Done],
            Input::Arc | Input::Nudge(_) => Vec::new(),
        }
    }

    fn mean(&mut self, pointer: Pointer, scene: &Scene<'_>) {
        self.pointer = Some(pointer.raw);
        self.meant = by_hand::nearest_corner(scene.plan, pointer.raw);
    }

    /// Starts there, or where it takes fewest boards.
    fn start_at(&self, corner: Option<Point>, scene: &Scene<'_>) -> Vec<Ask> {
        let build_up = &scene.job.build_up;
        if build_up.foam_layers.get(LAYER).is_none() {
            return vec![Ask::Say("Add a layer of foam first".to_owned()), Ask::Done];
        }
        let started = by_hand::with_start_corner(build_up, LAYER, corner);
        vec![Ask::Edit(Edit::SetBuildUp(started)), Ask::Done]
    }

    pub(super) const fn hint(&self) -> &'static str {
        "Drag to the corner that boards start from, or click it; Backspace: where it takes fewest"
    }

    pub(super) fn ghosts(&self) -> Vec<Ghost> {
        let Some(corner) = self.meant else { return Vec::new() };
        let lead = self.pointer.map(|pointer| Ghost::Thin(pointer, corner));
        lead.into_iter().chain([Ghost::Dot(corner)]).collect()
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use slabloom_core::derive::Results;
    use slabloom_core::job::Job;
    use slabloom_core::plan::Plan;

    fn at(x: f64, y: f64) -> Pointer {
        let raw = Point::feet(x, y);
        Pointer { at: raw, raw, reach: 3.0, is_adding: false }
    }

    #[test]
    fn boards_start_at_the_corner_nearest_to_where_the_drag_ends() {
        let corners = [(0.0, 0.0), (40.0, 0.0), (40.0, 28.0), (0.0, 28.0)];
        let job = Job::from_corners(&corners.map(|(x, y)| (Point::feet(x, y), None)));
        let (plan, results) = (Plan::of(&job), Results::default());
        let pickable = Default::default();
        let scene = Scene { job: &job, plan: &plan, results: &results, selection: &[], pickable };
        let mut tool = StartCornerTool::default();
        assert!(tool.handle(&Input::DragStart(at(3.0, 2.0)), &scene).is_empty());
        assert!(tool.meant.unwrap().distance(Point::ORIGIN) < 1e-9);
        assert!(tool.handle(&Input::Drag(at(30.0, 26.0)), &scene).is_empty());
        assert!(tool.meant.unwrap().distance(Point::feet(40.0, 28.0)) < 1e-9);
        let asks = tool.handle(&Input::Drop(at(31.0, 3.0)), &scene);
        let [Ask::Edit(Edit::SetBuildUp(started)), Ask::Done] = &asks[..] else {
            panic!("{asks:?}")
        };
        let start = started.foam_layers[LAYER].start_corner.unwrap();
        assert!(start.distance(Point::feet(40.0, 0.0)) < 1e-9);
        let asks = tool.handle(&Input::Back, &scene);
        let [Ask::Edit(Edit::SetBuildUp(free)), Ask::Done] = &asks[..] else { panic!("{asks:?}") };
        assert_eq!(free.foam_layers[LAYER].start_corner, None);
    }
}
