//! Puts the picture of a plan into place: its scale by a known dimension, its turn, its place.
//!
//! Marks on the picture are taken as pointed at, without snapping: the lines of a scan lie on no
//! even measure before the scale is right.

use super::typed::Typed;
use super::{Ask, Ghost, Input, Pointer, Scene, ToolKind};
use slabloom_core::edit::Edit;
use slabloom_core::geometry::Point;
use slabloom_core::job::underlay::{PlanPicture, Underlay};
use slabloom_core::units::Length;

/// The state: which marks are set.
#[derive(Clone, Debug, PartialEq)]
pub struct PictureTool {
    /// What is done to the picture.
    pub kind: ToolKind,
    /// The first mark.
    pub first: Option<Point>,
    /// The second mark, of a known dimension whose length is still to be typed.
    second: Option<Point>,
    /// The picture as it lay when a drag began.
    dragged: Option<PlanPicture>,
}

impl PictureTool {
    pub(super) const fn new(kind: ToolKind) -> Self {
        Self { kind, first: None, second: None, dragged: None }
    }

    pub(super) fn handle(&mut self, input: &Input, scene: &Scene<'_>) -> Vec<Ask> {
        let Some(picture) = scene.job.underlay.picture.as_ref() else {
            return vec![Ask::Say("Lay a plan picture under the slab first".to_owned()), Ask::Done];
        };
        match input {
            Input::Click(pointer) | Input::DoubleClick(pointer) => self.mark(*pointer, picture),
            Input::DragStart(pointer) => {
                self.first = Some(pointer.raw);
                self.second = None;
                self.dragged = Some(picture.clone());
                Vec::new()
            }
            Input::Drag(pointer) => self.drag(*pointer).map_or_else(Vec::new, |e| vec![e]),
            Input::Drop(pointer) => self.drop(*pointer, picture),
            Input::Typed(Typed::Length(length)) => self.scale(*length, picture),
            Input::Typed(_) => vec![Ask::Say("Type one length, such as 40' 6\"".to_owned())],
            Input::Confirm if self.second.is_some() => {
                vec![Ask::Say("Type the length between the marks, such as 40'".to_owned())]
            }
            Input::Back | Input::Cancel => self.give_up(),
            Input::Move(_) | Input::Confirm | Input::Arc | Input::Nudge(_) => Vec::new(),
        }
    }

    fn give_up(&mut self) -> Vec<Ask> {
        if self.dragged.take().is_some() && self.kind == ToolKind::PictureMove {
            self.first = None;
            return vec![Ask::CancelGesture];
        }
        if self.second.take().is_none() && self.first.take().is_none() {
            return vec![Ask::Done];
        }
        Vec::new()
    }

    fn mark(&mut self, pointer: Pointer, picture: &PlanPicture) -> Vec<Ask> {
        let Some(first) = self.first else {
            self.first = Some(pointer.raw);
            return Vec::new();
        };
        match self.kind {
            ToolKind::PictureScale => {
                self.second = Some(pointer.raw);
                Vec::new()
            }
            ToolKind::PictureMove => self.done(Some(picture.moved(pointer.at - first))),
            _ => self.done(picture.squared(first, pointer.raw)),
        }
    }

    /// Moves the picture live; marks of the other tools are only set at the end.
    fn drag(&self, pointer: Pointer) -> Option<Ask> {
        let (picture, first) = (self.dragged.as_ref()?, self.first?);
        (self.kind == ToolKind::PictureMove)
            .then(|| Ask::Part(laid(picture.moved(pointer.at - first))))
    }

    fn drop(&mut self, pointer: Pointer, picture: &PlanPicture) -> Vec<Ask> {
        if self.kind == ToolKind::PictureMove {
            let part = self.drag(pointer);
            *self = Self::new(self.kind);
            return part.into_iter().chain([Ask::EndGesture, Ask::Done]).collect();
        }
        self.dragged = None;
        self.mark(pointer, picture)
    }

    fn scale(&mut self, length: f64, picture: &PlanPicture) -> Vec<Ask> {
        match (self.first, self.second) {
            (Some(first), Some(second)) => {
                self.done(picture.scaled(first, second, Length::inches(length)))
            }
            _ => vec![Ask::Say("Click both ends of the dimension on the picture first".to_owned())],
        }
    }

    fn done(&mut self, picture: Option<PlanPicture>) -> Vec<Ask> {
        match picture {
            Some(picture) => {
                *self = Self::new(self.kind);
                vec![Ask::Edit(laid(picture)), Ask::Done]
            }
            None => vec![Ask::Say("The marks are too close together to tell".to_owned())],
        }
    }

    pub(super) const fn hint(&self) -> &'static str {
        match (self.kind, self.first.is_some(), self.second.is_some()) {
            (ToolKind::PictureScale, false, _) => {
                "Scale of the picture: click one end of a dimension that you know — zoom in first"
            }
            (ToolKind::PictureScale, true, false) => "Click the other end of that dimension",
            (ToolKind::PictureScale, true, true) => {
                "Type how long that is, such as 40' 6\", and press Enter"
            }
            (ToolKind::PictureMove, false, _) => {
                "Drag the picture, or click a point of it and then where that belongs"
            }
            (ToolKind::PictureMove, true, _) => "Click where that point belongs",
            (_, false, _) => {
                "Click one end of a wall of the picture that should lie level or plumb"
            }
            (_, true, _) => "Click the other end of that wall",
        }
    }

    pub(super) fn ghosts(&self, pointer: Option<Point>) -> Vec<Ghost> {
        let mut ghosts: Vec<Ghost> =
            self.first.into_iter().chain(self.second).map(Ghost::Dot).collect();
        if let (Some(first), Some(to), None) = (self.first, self.second.or(pointer), &self.dragged)
        {
            ghosts.push(Ghost::Thin(first, to));
        }
        ghosts
    }

    /// Whether the next place belongs to the plan and not to the picture.
    pub(super) fn snaps(&self) -> bool {
        self.kind == ToolKind::PictureMove && self.first.is_some()
    }
}

fn laid(picture: PlanPicture) -> Edit {
    Edit::SetUnderlay(Underlay { picture: Some(picture) })
}

#[cfg(test)]
mod tests {
    use super::*;
    use slabloom_core::derive::Results;
    use slabloom_core::job::Job;
    use slabloom_core::plan::Plan;
    use std::sync::Arc;

    fn at(x: f64, y: f64) -> Pointer {
        let raw = Point::feet(x, y);
        Pointer { at: raw, raw, reach: 3.0, is_adding: false }
    }

    fn with_picture(test: impl FnOnce(&Scene<'_>)) {
        let mut job = Job::default();
        Arc::make_mut(&mut job.underlay).picture = Some(PlanPicture::new("plan.png".to_owned(), 1));
        let (plan, results) = (Plan::of(&job), Results::default());
        let pickable = Default::default();
        test(&Scene { job: &job, plan: &plan, results: &results, selection: &[], pickable });
    }

    fn set(asks: &[Ask]) -> PlanPicture {
        let [Ask::Edit(Edit::SetUnderlay(underlay)), Ask::Done] = asks else { panic!("{asks:?}") };
        underlay.picture.clone().unwrap()
    }

    #[test]
    fn two_marks_and_a_length_set_the_scale() {
        with_picture(|scene| {
            let mut tool = PictureTool::new(ToolKind::PictureScale);
            tool.handle(&Input::Click(at(10.0, 10.0)), scene);
            tool.handle(&Input::Click(at(30.0, 10.0)), scene);
            let asks = tool.handle(&Input::Typed(Typed::Length(480.0)), scene);
            assert_eq!(set(&asks).width, Length::feet(120.0));
            assert_eq!(set(&asks).at, Point::feet(-10.0, -10.0));
        });
    }

    #[test]
    fn a_point_of_the_picture_goes_where_it_belongs() {
        with_picture(|scene| {
            let mut tool = PictureTool::new(ToolKind::PictureMove);
            tool.handle(&Input::Click(at(10.0, 10.0)), scene);
            let asks = tool.handle(&Input::Click(at(0.0, 0.0)), scene);
            assert_eq!(set(&asks).at, Point::feet(-10.0, -10.0));
        });
    }
}
