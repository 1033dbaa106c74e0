//! Two fingers on the plan move the view and nothing else.

use super::desk::{Desk, rectangle};
use egui::{Event, Modifiers, PointerButton, Pos2, TouchDeviceId, TouchId, TouchPhase, Vec2};
use egui_kittest::kittest::Queryable;
use slabloom::canvas::CANVAS_NAME;
use slabloom::canvas::view::Sight;
use slabloom_core::geometry::Point;

/// A hand: its first finger is a pointer as well, as the window system's adapter has it.
struct Hand<'a> {
    desk: &'a mut Desk,
    at: [Pos2; 2],
}

impl Hand<'_> {
    fn touch(&mut self, finger: usize, phase: TouchPhase) {
        let pos = self.at[finger];
        let event = Event::Touch {
            device_id: TouchDeviceId(1),
            id: TouchId(finger as u64),
            phase,
            pos,
            force: None,
        };
        self.desk.harness.event(event);
        if finger == 0 {
            let button = |pressed| Event::PointerButton {
                pos,
                button: PointerButton::Primary,
                pressed,
                modifiers: Modifiers::NONE,
            };
            match phase {
                TouchPhase::Start => {
                    self.desk.harness.event(Event::PointerMoved(pos));
                    self.desk.harness.event(button(true));
                }
                TouchPhase::Move => self.desk.harness.event(Event::PointerMoved(pos)),
                TouchPhase::End | TouchPhase::Cancel => {
                    self.desk.harness.event(button(false));
                    self.desk.harness.event(Event::PointerGone);
                }
            }
        }
    }

    /// Moves both fingers to these places in small steps, a frame each.
    fn glide(&mut self, to: [Pos2; 2]) {
        let from = self.at;
        for step in 1_u8..=10 {
            let share = f32::from(step) / 10.0;
            for finger in 0..2 {
                self.at[finger] = from[finger] + (to[finger] - from[finger]) * share;
                self.touch(finger, TouchPhase::Move);
            }
            self.desk.frames(1);
        }
    }

    fn lift(&mut self) {
        self.touch(1, TouchPhase::End);
        self.desk.frames(1);
        self.touch(0, TouchPhase::End);
        self.desk.frames(3);
    }
}

fn sight(desk: &Desk) -> Sight {
    let rect = desk.harness.get_by_label(CANVAS_NAME).rect();
    Sight { view: desk.harness.state().state.canvas.view, rect }
}

#[test]
fn two_fingers_apart_bring_the_plan_nearer_about_their_middle() {
    let mut desk = Desk::with(rectangle());
    desk.settle();
    let before = sight(&desk);
    let middle = before.screen_from_plan(Point::feet(12.0, 9.0));
    let held = before.plan_from_screen(middle);
    let apart = |half: f32| [middle - Vec2::new(half, 0.0), middle + Vec2::new(half, 0.0)];
    let mut hand = Hand { desk: &mut desk, at: apart(60.0) };
    hand.touch(0, TouchPhase::Start);
    hand.desk.frames(1);
    hand.touch(1, TouchPhase::Start);
    hand.desk.frames(1);
    hand.glide(apart(120.0));
    hand.lift();
    let after = sight(&desk);
    let factor = after.view.zoom / before.view.zoom;
    assert!((1.6..=2.1).contains(&factor), "fingers twice as far apart: {factor}");
    let moved = after.screen_from_plan(held).distance(middle);
    assert!(moved < 6.0, "what lies between the fingers stays there: {moved}");
    assert_eq!(desk.job(), rectangle());
    let state = &desk.harness.state().state;
    assert!(state.selection.is_empty() && !state.canvas.tool.is_under_way());
}

#[test]
fn two_fingers_side_by_side_move_the_plan_and_no_corner_under_them() {
    let mut desk = Desk::with(rectangle());
    desk.settle();
    let before = sight(&desk);
    // The first finger lands on a corner and drags it a little before the second comes.
    let corner = before.screen_from_plan(Point::feet(40.0, 28.0));
    let second = corner + Vec2::new(-140.0, 30.0);
    let mut hand = Hand { desk: &mut desk, at: [corner, second] };
    hand.touch(0, TouchPhase::Start);
    hand.desk.frames(1);
    for step in 1_u8..=4 {
        hand.at[0] = corner + Vec2::new(-8.0, 0.0) * f32::from(step);
        hand.touch(0, TouchPhase::Move);
        hand.desk.frames(1);
    }
    assert_ne!(hand.desk.job(), rectangle(), "one finger drags the corner");
    hand.touch(1, TouchPhase::Start);
    hand.desk.frames(1);
    let step = Vec2::new(-90.0, 50.0);
    let to = [hand.at[0] + step, hand.at[1] + step];
    hand.glide(to);
    hand.lift();
    assert_eq!(desk.job(), rectangle(), "what the first finger began is given up");
    assert_eq!(desk.harness.state().state.history.undo_names().count(), 0);
    let after = sight(&desk);
    let moved = after.screen_from_plan(Point::ORIGIN) - before.screen_from_plan(Point::ORIGIN);
    assert!((moved - step).length() < 12.0, "{moved:?} against {step:?}");
    // Afterwards one finger works again.
    desk.click(20.0, 0.0);
    assert_eq!(desk.harness.state().state.selection.len(), 1);
}
