//! Where a plan and the columns of notes and tables stand on a sheet.
//!
//! Method: the plan has the left of the sheet and one column its right. Where that column is too
//! short, what the plan leaves free at its scale becomes further columns: beside it when a whole
//! column fits there, below it when a few lines do.

use super::frame;
use crate::drawing::{Mark, Pen, Rect, Spot, path};
use crate::job::Job;

/// Space between the plan and a column, and between columns, in points.
const GUTTER: f64 = 14.0;
/// Free room below the plan that is worth a band of columns, in points: a table of three rows.
const LEAST_BAND: f64 = 62.0;
/// A column below the plan is no narrower than this, in points.
pub const NARROWEST: f64 = 190.0;

/// The rooms of a sheet with a plan.
#[derive(Clone, Debug, PartialEq)]
pub struct Spread {
    /// The plan with its dimensions.
    pub plan_room: Rect,
    /// Columns in the order in which they are filled and read.
    pub columns: Vec<Rect>,
}

impl Spread {
    /// The plan with one column at its right.
    #[must_use]
    pub fn beside(job: &Job, body: Rect) -> Self {
        let start = body.x1 - frame::column_width(job);
        Self {
            plan_room: Rect::new(body.x0, body.y0, start - GUTTER, body.y1),
            columns: vec![Rect::new(start, body.y0, body.x1, body.y1)],
        }
    }

    /// A plan that has the whole of a sheet.
    #[must_use]
    pub const fn alone(body: Rect) -> Self {
        Self { plan_room: body, columns: Vec::new() }
    }

    /// The same where a plan needs no more than `needed` (width, height) with its dimensions: as
    /// many columns of at least a width beside it as there is room for, and below it short ones of
    /// at least a width of their own.
    #[must_use]
    pub fn with_free_room(&self, width: f64, below_width: f64, needed: (f64, f64)) -> Self {
        let end = self.columns.iter().map(|column| column.x1).fold(self.plan_room.x1, f64::max);
        let room = Rect { x1: end, ..self.plan_room };
        let free = room.width() - needed.0.min(self.plan_room.width());
        let count = (free / (width + GUTTER)).floor().clamp(1.0, 12.0);
        let start = room.x1 - free + GUTTER;
        let mut columns = cut(Rect { x0: start, ..room }, count);
        let mut plan_room = Rect { x1: start - GUTTER, ..room };
        if room.height() - needed.1 >= LEAST_BAND + GUTTER {
            let below = plan_room;
            plan_room.y1 = below.y0 + needed.1;
            let band = Rect { y0: plan_room.y1 + GUTTER, ..below };
            let count = ((band.width() + GUTTER) / (below_width + GUTTER)).floor().clamp(1.0, 12.0);
            columns.extend(cut(band, count));
        }
        Self { plan_room, columns }
    }

    /// Lines between the plan and what stands beside and below it.
    #[must_use]
    pub fn rules(&self) -> Vec<Mark> {
        let plan = self.plan_room;
        if self.columns.is_empty() {
            return Vec::new();
        }
        let bottom = self.columns.iter().map(|column| column.y1).fold(plan.y1, f64::max);
        let rule = |from, to| Mark::stroke(frame::FRAME, path::line(from, to), Pen::FINE);
        let x = plan.x1 + 5.0;
        let mut rules = vec![rule(Spot::new(x, plan.y0), Spot::new(x, bottom))];
        if bottom > plan.y1 + GUTTER {
            let y = plan.y1 + GUTTER / 2.0;
            rules.push(rule(Spot::new(plan.x0, y), Spot::new(x, y)));
        }
        rules
    }
}

/// A room cut into so many columns.
fn cut(room: Rect, count: f64) -> Vec<Rect> {
    let width = (room.width() - GUTTER * (count - 1.0)) / count;
    let mut columns = Vec::new();
    let mut place = 0.0;
    while place < count {
        let x = room.x0 + (width + GUTTER) * place;
        columns.push(Rect::new(x, room.y0, x + width, room.y1));
        place += 1.0;
    }
    columns
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn free_room_becomes_columns_that_touch_nothing() {
        let job = Job::default();
        let body = Rect::new(46.0, 46.0, 746.0, 480.0);
        let plain = Spread::beside(&job, body);
        let width = frame::column_width(&job);
        for needed in [(460.0, 434.0), (460.0, 300.0), (200.0, 434.0), (150.0, 100.0)] {
            let spread = plain.with_free_room(width, NARROWEST, needed);
            assert!(spread.plan_room.width() >= needed.0.min(plain.plan_room.width()) - 1e-9);
            assert!(spread.plan_room.height() >= needed.1 - 1e-9);
            let mut rooms = spread.columns.clone();
            rooms.push(spread.plan_room);
            for (place, one) in rooms.iter().enumerate() {
                assert!(body.union(*one) == body, "{one:?} leaves the sheet");
                for other in rooms.iter().skip(place + 1) {
                    assert!(one.intersect(*other).area() < 1e-6, "{one:?} {other:?}");
                }
            }
        }
        let full = plain.with_free_room(width, NARROWEST, (460.0, 434.0));
        assert_eq!(full, plain, "no free room, nothing new");
        let small = plain.with_free_room(width, NARROWEST, (150.0, 100.0));
        assert_eq!(small.columns.len(), 2, "a wider column beside, one below");
    }
}
