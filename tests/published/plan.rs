//! Area and perimeter of random slabs against the geo library's own sums.

use crate::independent::random_slabs::{Dice, cases, full_slab};
use geo::{Area, Coord, Euclidean, Length, LineString, Polygon};
use slabloom_core::geometry::Point;
use slabloom_core::plan::Plan;

fn closed(points: &[Point]) -> LineString {
    points.iter().chain(points.first()).map(|point| Coord { x: point.x, y: point.y }).collect()
}

#[test]
fn area_and_perimeter_agree_with_another_library() {
    let (mut compared, mut with_openings) = (0, 0);
    for seed in 0..cases(500) {
        let job = full_slab(&mut Dice(seed + 90_000));
        let plan = Plan::of(&job);
        let outline = closed(&job.outline.sides.iter().map(|side| side.start).collect::<Vec<_>>());
        let openings = job.openings.openings.iter().map(|opening| {
            closed(&opening.corners.iter().map(|corner| corner.at).collect::<Vec<_>>())
        });
        let perimeter = Euclidean.length(&outline);
        let slab = Polygon::new(outline, openings.collect());
        with_openings += usize::from(!slab.interiors().is_empty());
        let area = slab.unsigned_area();
        assert!((plan.area - area).abs() <= 1e-6 * area, "seed {seed}: {} and {area}", plan.area);
        assert!((plan.perimeter - perimeter).abs() <= 1e-6 * perimeter, "seed {seed}");
        compared += 1;
    }
    assert!(
        compared >= 500 && with_openings > 50,
        "{compared} slabs, {with_openings} with openings"
    );
}
