//! Places for words where they hide nothing that comes up through the slab.

use super::{Brush, Subject};
use egui::{Pos2, Rect, Vec2};

/// Half the size of a mark with a little room round it, screen points.
const MARK: f32 = 7.0;
/// Words stay this far within the area that they belong to, screen points.
const WITHIN: f32 = 5.0;

/// Where pipes, drains and columns come up, on the screen.
pub(super) fn marks(subject: &Subject<'_>, brush: &Brush<'_>) -> Vec<Pos2> {
    subject.job.openings.penetrations.iter().map(|item| brush.at(item.at)).collect()
}

/// Whether words of this half size round a place would hide a mark.
pub(super) fn hides(at: Pos2, half: Vec2, marks: &[Pos2]) -> bool {
    let ground = Rect::from_center_size(at, (half + Vec2::splat(MARK)) * 2.0);
    marks.iter().any(|mark| ground.contains(*mark))
}

/// Where words of this half size hide none of the marks: in the middle of their area, or a step
/// aside within it; in the middle when there is no such place.
pub(super) fn clear_place(middle: Pos2, half: Vec2, area: Rect, marks: &[Pos2]) -> Pos2 {
    let room = (area.size() / 2.0 - half - Vec2::splat(WITHIN)).max(Vec2::ZERO);
    let steps =
        [(0.0, 0.0), (0.0, 0.5), (0.0, -0.5), (1.0, 0.0), (-1.0, 0.0), (0.0, 1.0), (0.0, -1.0)];
    let mut places = steps.into_iter().map(|(x, y)| middle + room * Vec2::new(x, y));
    places.find(|at| !hides(*at, half, marks)).unwrap_or(middle)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn words_step_aside_of_a_pipe_and_else_stand_in_the_middle() {
        let middle = Pos2::new(300.0, 200.0);
        let half = Vec2::new(26.0, 8.0);
        let flat = Rect::from_center_size(middle, Vec2::new(200.0, 30.0));
        let place = |marks: &[Pos2]| clear_place(middle, half, flat, marks);
        assert_eq!(place(&[]), middle);
        assert_eq!(place(&[Pos2::new(300.0, 260.0)]), middle);
        let aside = place(&[Pos2::new(290.0, 203.0)]);
        assert!(aside.x > 340.0 && (aside.y - middle.y).abs() < 3.0, "{aside:?}");
        let other = place(&[Pos2::new(310.0, 196.0), Pos2::new(370.0, 200.0)]);
        assert!(other.x < 260.0, "{other:?}");
        // A tall area lets them step up or down.
        let tall = Rect::from_center_size(middle, Vec2::new(120.0, 160.0));
        let below = clear_place(middle, half, tall, &[middle]);
        assert!(below.x == middle.x && !hides(below, half, &[middle]), "{below:?}");
        // A narrow one has no other place.
        let narrow = Rect::from_center_size(middle, Vec2::new(40.0, 20.0));
        assert_eq!(clear_place(middle, half, narrow, &[middle]), middle);
    }
}
