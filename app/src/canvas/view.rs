//! What part of the plan the canvas shows: pan and zoom, and the two ways between plan and screen.
//!
//! Plan points are inches with y up, screen points have y down; the flip is made here only.

use egui::{Pos2, Rect, Vec2};
use slabloom_core::geometry::{Bounds, Point};

/// Screen points for one plan inch, at the least and at the most.
const ZOOM_RANGE: (f64, f64) = (0.02, 60.0);

/// Where the canvas looks and how large it shows things.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct View {
    /// The plan point in the middle of the canvas.
    pub center: Point,
    /// Screen points for one plan inch.
    pub zoom: f64,
}

impl Default for View {
    fn default() -> Self {
        Self { center: Point::feet(20.0, 15.0), zoom: 1.2 }
    }
}

/// A view together with the piece of the screen that it fills.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Sight {
    /// The view.
    pub view: View,
    /// The canvas on the screen.
    pub rect: Rect,
}

impl Sight {
    /// Where a plan point is on the screen.
    #[must_use]
    pub fn screen_from_plan(&self, point: Point) -> Pos2 {
        let middle = self.rect.center();
        let x = f64::from(middle.x) + (point.x - self.view.center.x) * self.view.zoom;
        let y = f64::from(middle.y) - (point.y - self.view.center.y) * self.view.zoom;
        Pos2::new(x as f32, y as f32)
    }

    /// Which plan point is shown at a place of the screen.
    #[must_use]
    pub fn plan_from_screen(&self, at_screen: Pos2) -> Point {
        let step = at_screen - self.rect.center();
        Point::new(
            self.view.center.x + f64::from(step.x) / self.view.zoom,
            self.view.center.y - f64::from(step.y) / self.view.zoom,
        )
    }

    /// How many plan inches a length on the screen is.
    #[must_use]
    pub fn inches(&self, screen_points: f32) -> f64 {
        f64::from(screen_points) / self.view.zoom
    }
}

impl View {
    /// Moves the plan under the pointer by a step on the screen.
    pub fn pan(&mut self, step: Vec2) {
        self.center.x -= f64::from(step.x) / self.zoom;
        self.center.y += f64::from(step.y) / self.zoom;
    }

    /// Zooms by a factor about a place of the screen, which keeps showing the same plan point.
    pub fn zoom_about(&mut self, factor: f64, at_screen: Pos2, rect: Rect) {
        if !(factor.is_finite() && factor > 0.0) {
            return;
        }
        let before = Sight { view: *self, rect }.plan_from_screen(at_screen);
        self.zoom = (self.zoom * factor).clamp(ZOOM_RANGE.0, ZOOM_RANGE.1);
        let after = Sight { view: *self, rect }.plan_from_screen(at_screen);
        self.center += before - after;
    }

    /// Shows all of a box with a margin for dimensions, in a canvas of this size.
    pub fn fit(&mut self, bounds: Bounds, size: Vec2) {
        let room = |screen: f32| (f64::from(screen) - 2.0 * FIT_MARGIN).max(80.0);
        let wanted =
            (room(size.x) / bounds.width().max(12.0)).min(room(size.y) / bounds.height().max(12.0));
        self.zoom = wanted.clamp(ZOOM_RANGE.0, ZOOM_RANGE.1);
        self.center = bounds.center();
    }
}

/// Screen points left free round a plan that fills the canvas, for dimensions and labels.
const FIT_MARGIN: f64 = 76.0;

#[cfg(test)]
mod tests {
    use super::*;

    fn sight() -> Sight {
        let rect = Rect::from_min_size(Pos2::new(100.0, 50.0), Vec2::new(800.0, 600.0));
        Sight { view: View::default(), rect }
    }

    #[test]
    fn there_and_back_is_the_same_point() {
        let sight = sight();
        let there = sight.screen_from_plan(Point::feet(12.0, 7.0));
        assert!(sight.plan_from_screen(there).distance(Point::feet(12.0, 7.0)) < 1e-3);
        assert!(sight.screen_from_plan(Point::feet(0.0, 30.0)).y < there.y, "north is up");
    }

    #[test]
    fn zooming_keeps_the_point_under_the_pointer() {
        let mut sight = sight();
        let pointer = Pos2::new(222.0, 333.0);
        let before = sight.plan_from_screen(pointer);
        sight.view.zoom_about(1.7, pointer, sight.rect);
        assert!(sight.plan_from_screen(pointer).distance(before) < 1e-6);
    }

    #[test]
    fn a_fitted_box_is_inside_the_canvas() {
        let mut sight = sight();
        let bounds = Bounds { min: Point::feet(-10.0, 4.0), max: Point::feet(190.0, 104.0) };
        sight.view.fit(bounds, sight.rect.size());
        for corner in [bounds.min, bounds.max] {
            assert!(sight.rect.shrink(70.0).contains(sight.screen_from_plan(corner)));
        }
    }
}
