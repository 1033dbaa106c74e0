//! Draws a circuit by hand, leg by leg from its supply port to its return port: legs are square
//! and whole spacings long, so that runs lie as far apart as the zone asks. It is pinned; the
//! circuits beside it are routed round it.

use super::typed::Typed;
use super::{Ask, Ghost, Input, Pointer, Scene};
use slabloom_core::edit::{Edit, Pinning};
use slabloom_core::geometry::polygon::ring_contains;
use slabloom_core::geometry::{Point, Vector};
use slabloom_core::job::heating::{PinnedCircuit, Zone};

/// Fewer corners make no circuit: out, across and back.
const FEWEST_CORNERS: usize = 4;

/// The state of drawing.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct CircuitTool {
    /// Corners set so far, the supply port first.
    pub corners: Vec<Point>,
    spacing: f64,
}

impl CircuitTool {
    pub(super) fn handle(&mut self, input: &Input, scene: &Scene<'_>) -> Vec<Ask> {
        let Some(zone) = self.zone(scene) else {
            return vec![Ask::Say("Draw a heated zone first (Z)".to_owned()), Ask::Done];
        };
        self.spacing = zone.spacing.to_inches();
        match input {
            Input::Click(pointer) | Input::Drop(pointer) => self.add(self.snapped(pointer)),
            Input::DoubleClick(_) | Input::Confirm => return self.finish(zone, scene),
            Input::Typed(typed) => return self.typed(*typed, zone, scene),
            Input::Back => {
                if self.corners.pop().is_none() {
                    return vec![Ask::Done];
                }
            }
            Input::Cancel => {
                if std::mem::take(&mut self.corners).is_empty() {
                    return vec![Ask::Done];
                }
            }
            Input::Move(_)
            | Input::DragStart(_)
            | Input::Drag(_)
            | Input::Arc
            | Input::Nudge(_) => {}
        }
        Vec::new()
    }

    /// The zone that the last corner lies in, else the one without corners, else the first.
    fn zone<'a>(&self, scene: &Scene<'a>) -> Option<&'a Zone> {
        let zones = &scene.job.heating.zones;
        let last = self.corners.last();
        zones
            .iter()
            .find(|zone| last.is_some_and(|&at| ring_contains(&zone.corners, at)))
            .or_else(|| zones.iter().find(|zone| zone.corners.is_empty()))
            .or_else(|| zones.first())
    }

    fn snapped(&self, pointer: &Pointer) -> Point {
        self.corners.last().map_or(pointer.at, |&last| on_spacing(last, pointer.raw, self.spacing))
    }

    fn add(&mut self, at: Point) {
        if self.corners.last().is_none_or(|last| !last.is_near(at)) {
            self.corners.push(at);
        }
    }

    fn typed(&mut self, typed: Typed, zone: &Zone, scene: &Scene<'_>) -> Vec<Ask> {
        match (typed, self.corners.last().copied()) {
            (Typed::Close, _) => return self.finish(zone, scene),
            (Typed::Place(at), _) => self.add(at),
            (Typed::Leg(leg), Some(last)) => self.add(last + leg),
            _ => {
                let words = "Type a place for the supply port, then legs: N 20, E 1";
                return vec![Ask::Say(words.to_owned())];
            }
        }
        Vec::new()
    }

    fn finish(&mut self, zone: &Zone, scene: &Scene<'_>) -> Vec<Ask> {
        if self.corners.len() < FEWEST_CORNERS {
            let words = "A circuit goes out, across and back: set four corners at least";
            return vec![Ask::Say(words.to_owned())];
        }
        let pinned = &scene.job.heating.pinned;
        let is_free =
            |number: &u32| pinned.iter().all(|own| (own.zone, own.number) != (zone.id, *number));
        let number = (0..).find(is_free).unwrap_or_default();
        let path = std::mem::take(&mut self.corners);
        let circuit = PinnedCircuit { zone: zone.id, number, path, is_reversed: false };
        vec![Ask::Edit(Edit::Pin(circuit, Pinning::Hold)), Ask::Done]
    }

    pub(super) const fn hint(&self) -> &'static str {
        match self.corners.len() {
            0 => "Click the supply port, or type its place: 10', 0'6",
            1..FEWEST_CORNERS => {
                "Click the next corner, or type a leg: N 20 — legs are whole spacings"
            }
            _ => {
                "Next corner — Enter at the return port ends the circuit — Backspace takes one back"
            }
        }
    }

    pub(super) fn ghosts(&self, pointer: Option<Point>) -> Vec<Ghost> {
        let legs = self.corners.iter().zip(self.corners.iter().skip(1));
        let mut ghosts: Vec<Ghost> = legs.map(|(&from, &to)| Ghost::Line(from, to)).collect();
        ghosts.extend(self.corners.iter().map(|&at| Ghost::Dot(at)));
        if let (Some(&last), Some(pointer)) = (self.corners.last(), pointer) {
            ghosts.push(Ghost::Line(last, on_spacing(last, pointer, self.spacing)));
        }
        ghosts
    }
}

/// The end of a square leg of whole spacings from one place toward another.
fn on_spacing(from: Point, toward: Point, spacing: f64) -> Point {
    let step = toward - from;
    let whole =
        |length: f64| if spacing > 0.0 { (length / spacing).round() * spacing } else { length };
    if step.x.abs() >= step.y.abs() {
        from + Vector::new(whole(step.x), 0.0)
    } else {
        from + Vector::new(0.0, whole(step.y))
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn legs_are_square_and_whole_spacings_long() {
        let from = Point::new(10.0, 6.0);
        assert_eq!(on_spacing(from, Point::new(95.0, 20.0), 12.0), Point::new(94.0, 6.0));
        assert_eq!(on_spacing(from, Point::new(14.0, -20.0), 9.0), Point::new(10.0, -21.0));
        assert_eq!(on_spacing(from, Point::new(12.0, 7.0), 12.0), from);
    }
}
