//! What the toolkit says, turned into what tools understand.
//!
//! Pan: middle drag, right drag, space and drag, two fingers. Zoom: wheel or pinch, about the
//! pointer or the middle of the fingers. What two fingers do is for the view alone: the toolkit
//! takes the first of them for a pointer as well, and what that began is given up. Alt holds snapping off. Figures and directions typed while a tool is in hand are
//! collected and read when Enter is pressed.

use super::snap::{self, SnapKind, SnapScene, Snapped};
use super::tools::{Input, Pointer, Scene, Tool, typed};
use super::view::{Sight, View};
use super::{Canvas, CanvasContext, hit};
use egui::{Event, Key, PointerButton, Response, Ui};
use slabloom_core::geometry::{Point, Vector};

/// How near something must be to be meant, screen points: half of the 24 that WCAG asks for.
pub const REACH: f32 = 12.0;
/// How near a snap must be.
const SNAP_REACH: f32 = 9.0;

/// What input is read from.
pub struct Frame<'a, 'b> {
    /// The toolkit.
    pub ui: &'a Ui,
    /// The canvas as a control.
    pub response: &'a Response,
    /// Where it looks.
    pub sight: Sight,
    /// What tools see.
    pub scene: Scene<'b>,
    /// What the canvas reads.
    pub cx: &'a CanvasContext<'b>,
}

/// Whether more than one finger is, or was until all let go, on the screen.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub struct Fingers {
    /// They move the view, and nothing is done to the plan.
    pub move_view: bool,
    /// They came while a drag was going on, which is to be given up in this frame.
    ends_drag: bool,
    /// The tool was told of a drag that is still going on.
    has_drag: bool,
}

impl Fingers {
    /// Looks at the fingers of this frame.
    pub fn follow(&mut self, ui: &Ui) {
        let (is_several, is_any) = ui.input(|input| {
            let pointer = &input.pointer;
            let is_down = pointer.any_down() || pointer.any_released();
            (input.multi_touch().is_some(), input.any_touches() || is_down)
        });
        let before = self.move_view;
        self.move_view = is_several || (before && is_any);
        self.ends_drag = self.move_view && !before && std::mem::take(&mut self.has_drag);
    }
}

/// Pans and zooms.
pub fn move_view(view: &mut View, ui: &Ui, response: &Response) {
    let is_space = ui.input(|input| input.key_down(Key::Space)) && !ui.ctx().text_edit_focused();
    let pans = response.dragged_by(PointerButton::Middle)
        || response.dragged_by(PointerButton::Secondary)
        || (is_space && response.dragged_by(PointerButton::Primary));
    if pans {
        view.pan(response.drag_delta());
        ui.ctx().set_cursor_icon(egui::CursorIcon::Grabbing);
    }
    if let Some(touch) = ui.input(|input| input.multi_touch()) {
        if response.rect.contains(touch.center_pos) {
            view.zoom_about(f64::from(touch.zoom_delta), touch.center_pos, response.rect);
            view.pan(touch.translation_delta);
        }
        return;
    }
    let Some(at) = response.hover_pos() else { return };
    let (scroll, pinch, is_shift) =
        ui.input(|input| (input.smooth_scroll_delta(), input.zoom_delta(), input.modifiers.shift));
    if (pinch - 1.0).abs() > 1e-4 {
        view.zoom_about(f64::from(pinch), at, response.rect);
    }
    if is_shift || scroll.x.abs() > scroll.y.abs() {
        view.pan(scroll);
    } else if scroll.y != 0.0 {
        view.zoom_about(f64::from(scroll.y * WHEEL_ZOOM).exp(), at, response.rect);
    }
}

/// A notch of a usual wheel (50 points) zooms by about a fifth.
const WHEEL_ZOOM: f32 = 0.0036;

/// Where the pointer is on the plan, if it is over the canvas.
#[must_use]
pub fn pointer_place(ui: &Ui, response: &Response, sight: &Sight) -> Option<Point> {
    let at = response.hover_pos().or_else(|| {
        response.is_pointer_button_down_on().then(|| ui.ctx().pointer_latest_pos()).flatten()
    })?;
    Some(sight.plan_from_screen(at))
}

/// Reads what a person did in this frame.
pub fn read(canvas: &mut Canvas, frame: &Frame<'_, '_>) -> Vec<Input> {
    let mut inputs = Vec::new();
    pointer_inputs(canvas, frame, &mut inputs);
    if frame.cx.has_keys && canvas.dimension.is_none() {
        key_inputs(canvas, frame, &mut inputs);
    }
    inputs
}

fn pointer_inputs(canvas: &mut Canvas, frame: &Frame<'_, '_>, inputs: &mut Vec<Input>) {
    let (ui, response) = (frame.ui, frame.response);
    if canvas.fingers.move_view {
        // Walls that are drawn keep their corners: a drag there has set none yet.
        if canvas.fingers.ends_drag && !matches!(canvas.tool, Tool::Walls(_)) {
            inputs.push(Input::Cancel);
        }
        canvas.pointer = None;
        return;
    }
    let Some(raw) = pointer_place(ui, response, &frame.sight) else {
        canvas.pointer = None;
        return;
    };
    let (modifiers, is_space) = ui.input(|input| (input.modifiers, input.key_down(Key::Space)));
    let snapped = snapped(canvas, frame, raw, modifiers.alt);
    let pointer = Pointer {
        at: snapped.at,
        raw,
        reach: frame.sight.inches(REACH),
        is_adding: modifiers.shift || modifiers.command,
    };
    canvas.pointer = Some(snapped);
    let primary = PointerButton::Primary;
    if response.clicked_by(primary) || response.drag_started_by(primary) {
        response.request_focus();
    }
    if response.double_clicked_by(primary) {
        // The first click of a double click was a click already.
        inputs.push(Input::DoubleClick(pointer));
    } else if response.clicked_by(primary) {
        inputs.push(Input::Click(pointer));
    } else if response.drag_started_by(primary) && !is_space {
        // The drag began where the button went down, not where it was noticed.
        let origin = ui.input(|input| input.pointer.press_origin());
        let from = origin.map_or(raw, |at| frame.sight.plan_from_screen(at));
        let at = self::snapped(canvas, frame, from, modifiers.alt).at;
        inputs.push(Input::DragStart(Pointer { at, raw: from, ..pointer }));
        inputs.push(Input::Drag(pointer));
        canvas.fingers.has_drag = true;
    } else if response.drag_stopped_by(primary) {
        canvas.fingers.has_drag = false;
        inputs.push(Input::Drop(pointer));
    } else if response.dragged_by(primary) && !is_space {
        if response.drag_delta() != egui::Vec2::ZERO {
            inputs.push(Input::Drag(pointer));
        }
    } else {
        inputs.push(Input::Move(pointer));
    }
}

fn key_inputs(canvas: &mut Canvas, frame: &Frame<'_, '_>, inputs: &mut Vec<Input>) {
    let takes_text = canvas.tool.takes_text();
    let events: Vec<Event> = frame.ui.input(|input| input.events.clone());
    for event in events {
        match event {
            Event::Text(text) if takes_text => type_text(canvas, &text, inputs),
            Event::Key { key: Key::Backspace, pressed: true, .. } if takes_text => {
                inputs.extend(canvas.typed.pop().is_none().then_some(Input::Back));
            }
            Event::Key { key: Key::Enter, pressed: true, .. } if takes_text => {
                let text = std::mem::take(&mut canvas.typed);
                if text.trim().is_empty() {
                    inputs.push(Input::Confirm);
                } else {
                    match typed::read(&text, frame.cx.job.facts.display.bare_unit) {
                        Ok(typed) => inputs.push(Input::Typed(typed)),
                        Err(_) => canvas.typed = text,
                    }
                }
            }
            Event::Key { key, pressed: true, modifiers, .. } if arrow(key).is_some() => {
                let step = if modifiers.shift { 12.0 } else { 1.0 };
                inputs.extend(arrow(key).map(|toward| Input::Nudge(toward * step)));
            }
            Event::Key { key: Key::Escape, pressed: true, .. } => {
                if canvas.typed.is_empty() {
                    inputs.push(Input::Cancel);
                } else {
                    canvas.typed.clear();
                }
            }
            _ => {}
        }
    }
}

/// The way of an arrow key.
const fn arrow(key: Key) -> Option<Vector> {
    match key {
        Key::ArrowRight => Some(Vector::new(1.0, 0.0)),
        Key::ArrowLeft => Some(Vector::new(-1.0, 0.0)),
        Key::ArrowUp => Some(Vector::new(0.0, 1.0)),
        Key::ArrowDown => Some(Vector::new(0.0, -1.0)),
        _ => None,
    }
}

/// Letters begin a typed word only while the tool is under way or after a figure, so that they
/// stay free for changing tools.
fn type_text(canvas: &mut Canvas, text: &str, inputs: &mut Vec<Input>) {
    for character in text.chars() {
        let begins = character.is_ascii_digit() || matches!(character, '.' | '-');
        if canvas.typed.is_empty() && matches!(character, 'a' | 'A') && canvas.tool.is_under_way() {
            inputs.push(Input::Arc);
        } else if canvas.typed.is_empty() && !begins && !canvas.tool.is_under_way() {
            // A tool's letter: the shortcuts read it.
        } else if !(canvas.typed.is_empty() && character == ' ') {
            canvas.typed.push(character);
        }
    }
}

fn snapped(canvas: &Canvas, frame: &Frame<'_, '_>, raw: Point, holds_off: bool) -> Snapped {
    if holds_off || !frame.cx.is_snapping || !canvas.tool.snaps() {
        return Snapped { at: raw, kind: SnapKind::Free, guides: Vec::new() };
    }
    let job = frame.cx.job;
    let is_outline_fixed = !canvas.tool.is_under_way() || canvas.tool.takes_text();
    let mut corners: Vec<Point> = canvas.tool.own_corners();
    let mut lines: Vec<(Point, Point)> =
        corners.iter().copied().zip(corners.iter().copied().skip(1)).collect();
    if is_outline_fixed {
        corners.extend(job.outline.sides.iter().map(|side| side.start));
        lines.extend(job.outline.segments().map(|(_, side)| (side.start(), side.end())));
    } else {
        // While something is dragged, the plan as it was would hold it where it is.
        corners.extend(far_corners(canvas, frame));
    }
    for (_, ring, _) in hit::cornered_items(job) {
        if is_outline_fixed {
            corners.extend(ring);
        }
    }
    if is_outline_fixed {
        corners.extend(hit::placed_items(job).into_iter().map(|(_, at)| at));
    }
    let scene = SnapScene {
        corners,
        lines,
        anchor: canvas.tool.anchor().filter(|_| canvas.tool.takes_text()),
        even_step: snap::even_step(frame.sight.view.zoom),
    };
    snap::snap(raw, &scene, frame.sight.inches(SNAP_REACH))
}

/// Corners of the outline that a drag does not move: those away from where it began.
fn far_corners(canvas: &Canvas, frame: &Frame<'_, '_>) -> Vec<Point> {
    let Tool::Select(tool) = &canvas.tool else { return Vec::new() };
    let moved = tool.moved_corners(&frame.scene);
    frame
        .cx
        .job
        .outline
        .sides
        .iter()
        .filter(|side| !moved.contains(&side.id))
        .map(|side| side.start)
        .collect()
}
