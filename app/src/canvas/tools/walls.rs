//! Draws an outline wall by wall, by clicks or by typing, with arcs through three points.

use super::typed::Typed;
use super::{Ask, Ghost, Input, Pointer};
use slabloom_core::edit::{Edit, OutlineEdit};
use slabloom_core::geometry::Point;

/// A corner that was set, with the middle of the arc that leaves it.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct WallCorner {
    /// Where.
    pub at: Point,
    /// The middle of the curved wall to the next corner.
    pub through: Option<Point>,
}

/// The state of drawing.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct WallsTool {
    /// Corners set so far.
    pub corners: Vec<WallCorner>,
    /// The next click is the middle of an arc.
    pub is_arc: bool,
    /// Where the pointer was last.
    pointer: Option<Point>,
}

impl WallsTool {
    pub(super) fn handle(&mut self, input: &Input) -> Vec<Ask> {
        match input {
            Input::Move(pointer) | Input::Drag(pointer) => self.pointer = Some(pointer.at),
            Input::Click(pointer) | Input::Drop(pointer) => return self.click(*pointer),
            Input::DoubleClick(_) | Input::Confirm => return self.confirm(),
            Input::Typed(typed) => return self.typed(*typed),
            Input::Back => {
                if self.corners.pop().is_none() {
                    return vec![Ask::Done];
                }
            }
            Input::Cancel => {
                let had_corners = !self.corners.is_empty();
                *self = Self::default();
                if !had_corners {
                    return vec![Ask::Done];
                }
            }
            Input::Arc => self.is_arc = !self.corners.is_empty() && !self.is_arc,
            Input::DragStart(_) | Input::Nudge(_) => {}
        }
        Vec::new()
    }

    fn click(&mut self, pointer: Pointer) -> Vec<Ask> {
        self.pointer = Some(pointer.at);
        let first = self.corners.first().map(|corner| corner.at);
        let closes = self.corners.len() > 2
            && first.is_some_and(|first| pointer.at.distance(first) <= pointer.reach);
        if closes { self.close() } else { self.add(pointer.at) }
    }

    fn confirm(&mut self) -> Vec<Ask> {
        match self.corners.len() {
            0 => self.add(Point::ORIGIN),
            1 | 2 => vec![Ask::Say("A slab needs three corners before it can close".to_owned())],
            _ => self.close(),
        }
    }

    fn typed(&mut self, typed: Typed) -> Vec<Ask> {
        match (typed, self.corners.last().map(|corner| corner.at)) {
            (Typed::Close, _) => self.confirm(),
            (Typed::Place(at), _) => self.add(at),
            (Typed::Leg(leg), last) => {
                if last.is_none() {
                    self.add(Point::ORIGIN);
                }
                let last = self.corners.last().map_or(Point::ORIGIN, |corner| corner.at);
                self.add(last + leg)
            }
            (Typed::Length(length), Some(last)) => {
                let toward = self.pointer.and_then(|pointer| (pointer - last).unit());
                match toward {
                    Some(toward) => self.add(last + toward * length),
                    None => vec![Ask::Say(
                        "Point the way first, or type a direction: E, N, W or S".to_owned(),
                    )],
                }
            }
            (Typed::Length(_), None) => {
                vec![Ask::Say("Set the first corner first: click, or press Enter for 0, 0".into())]
            }
            (Typed::Size(width, height), last) => {
                let at = last.unwrap_or(Point::ORIGIN);
                *self = Self::default();
                let far = Point::new(at.x + width, at.y + height);
                vec![Ask::Edit(Edit::Outline(OutlineEdit::AddRectangle(at, far))), Ask::Done]
            }
        }
    }

    fn add(&mut self, at: Point) -> Vec<Ask> {
        if self.is_arc {
            match self.corners.last_mut() {
                Some(last) if last.through.is_none() => {
                    last.through = Some(at);
                    return Vec::new();
                }
                _ => self.is_arc = false,
            }
        }
        if self.corners.last().is_some_and(|last| last.at.is_near(at)) {
            return Vec::new();
        }
        self.corners.push(WallCorner { at, through: None });
        Vec::new()
    }

    fn close(&mut self) -> Vec<Ask> {
        let corners = self.corners.iter().map(|corner| (corner.at, corner.through)).collect();
        *self = Self::default();
        vec![Ask::Edit(Edit::Outline(OutlineEdit::Draw(corners))), Ask::Done]
    }

    pub(super) fn hint(&self) -> &'static str {
        match (self.corners.len(), self.is_arc) {
            (0, _) => "Click the first corner, or press Enter for 0, 0 and type walls: E 40",
            (_, true) => "Click a point on the arc, then its end",
            (1 | 2, false) => {
                "Click the next corner, or type a length (toward the pointer) or E 12'6 — A: arc"
            }
            (_, false) => {
                "Next corner — Enter or the first corner closes — Backspace takes one back"
            }
        }
    }

    pub(super) fn ghosts(&self, pointer: Option<Point>) -> Vec<Ghost> {
        let mut ghosts = Vec::new();
        let next = self.corners.iter().skip(1);
        for (from, to) in self.corners.iter().zip(next) {
            ghosts.push(match from.through {
                Some(through) => Ghost::Arc(from.at, through, to.at),
                None => Ghost::Line(from.at, to.at),
            });
        }
        ghosts.extend(self.corners.iter().map(|corner| Ghost::Dot(corner.at)));
        if let (Some(last), Some(pointer)) = (self.corners.last(), pointer) {
            ghosts.push(match last.through {
                Some(through) => Ghost::Arc(last.at, through, pointer),
                None => Ghost::Line(last.at, pointer),
            });
            if let (true, Some(first)) = (self.corners.len() > 1, self.corners.first()) {
                ghosts.push(Ghost::Thin(pointer, first.at));
            }
        }
        ghosts
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use slabloom_core::geometry::Vector;

    fn click(x: f64, y: f64) -> Input {
        let at = Point::feet(x, y);
        Input::Click(Pointer { at, raw: at, reach: 6.0, is_adding: false })
    }

    fn drawn(asks: &[Ask]) -> Vec<Point> {
        let [Ask::Edit(Edit::Outline(OutlineEdit::Draw(corners))), Ask::Done] = asks else {
            panic!("{asks:?}")
        };
        corners.iter().map(|corner| corner.0).collect()
    }

    #[test]
    fn clicks_make_an_outline_that_closes_on_its_first_corner() {
        let mut tool = WallsTool::default();
        for (x, y) in [(0.0, 0.0), (40.0, 0.0), (40.0, 28.0), (0.0, 28.0)] {
            assert!(tool.handle(&click(x, y)).is_empty());
        }
        let asks = tool.handle(&click(0.1, 0.1));
        assert_eq!(drawn(&asks).len(), 4);
        assert_eq!(tool, WallsTool { ..WallsTool::default() });
    }

    #[test]
    fn typing_alone_makes_the_same_outline() {
        let mut tool = WallsTool::default();
        tool.handle(&Input::Confirm);
        for leg in [(480.0, 0.0), (0.0, 336.0), (-480.0, 0.0)] {
            tool.handle(&Input::Typed(Typed::Leg(Vector::new(leg.0, leg.1))));
        }
        let asks = tool.handle(&Input::Typed(Typed::Close));
        assert_eq!(drawn(&asks)[2], Point::feet(40.0, 28.0));
    }

    #[test]
    fn escape_gives_up_the_walls_and_then_the_tool() {
        let mut tool = WallsTool::default();
        tool.handle(&click(0.0, 0.0));
        assert!(tool.handle(&Input::Cancel).is_empty());
        assert_eq!(tool.handle(&Input::Cancel), vec![Ask::Done]);
    }
}
