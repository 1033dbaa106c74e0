//! Stone under everything and the sheet that keeps ground moisture out.
//!
//! Stone lies under the slab and goes beyond the form by a set width, corners mitred; under an
//! opening there is none, but for that same width. The membrane covers the slab and turns up at
//! every edge; laps are counted by the share of a roll's width that they take.

use super::Base;
use crate::geometry::{Polygon, offset};
use crate::job::Job;
use crate::plan::Plan;
use crate::units::Volume;

/// Stone and membrane of a job.
pub(super) fn lay_base(job: &Job, plan: &Plan) -> Base {
    if plan.is_empty() {
        return Base::default();
    }
    let stone = job.build_up.stone;
    let thickness = stone.thickness.to_inches().max(0.0);
    let in_place = if thickness > 0.0 {
        thickness * area_with_margin(plan, stone.beyond_form.to_inches().max(0.0))
    } else {
        0.0
    };
    let loose = Volume::cubic_inches(in_place).to_cubic_yards() * stone.compaction_factor.max(0.0);
    let membrane = membrane_area(job, plan);
    let sheet = job.build_up.membrane;
    let roll = sheet.roll_width.to_inches() * sheet.roll_length.to_inches();
    Base {
        stone_in_place: in_place,
        stone_loose_yd3: loose,
        stone_tons: loose * stone.tons_per_yard.max(0.0),
        membrane,
        membrane_rolls: whole(if roll > 0.0 { membrane / roll } else { 0.0 }),
    }
}

/// Plan area of the slab grown by a margin, the true arcs of its outline counted.
fn area_with_margin(plan: &Plan, margin: f64) -> f64 {
    if margin <= 0.0 {
        return plan.area;
    }
    let grown: f64 =
        offset::inset(std::slice::from_ref(&plan.region), -margin).iter().map(Polygon::area).sum();
    grown + plan.area - plan.region.area()
}

/// Slab and turn-ups, by the share that laps take, and waste.
fn membrane_area(job: &Job, plan: &Plan) -> f64 {
    let sheet = job.build_up.membrane;
    if !sheet.is_laid {
        return 0.0;
    }
    let rims: f64 = plan.rim.iter().map(|side| side.segment.length()).sum();
    let covered = plan.area + rims * sheet.turn_up.to_inches().max(0.0);
    let (width, lap) = (sheet.roll_width.to_inches(), sheet.lap.to_inches().max(0.0));
    let laps = if width > lap { width / (width - lap) } else { 1.0 };
    covered * laps * (1.0 + sheet.waste.max(0.0))
}

/// Rounded up to a whole number.
fn whole(count: f64) -> u32 {
    #[expect(clippy::cast_possible_truncation, reason = "clamped")]
    #[expect(clippy::cast_sign_loss, reason = "clamped")]
    let count = (count - 1e-9).ceil().clamp(0.0, 1e9) as u32;
    count
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::geometry::Point;

    #[test]
    fn stone_goes_beyond_the_form() {
        let corners = [(0.0, 0.0), (40.0, 0.0), (40.0, 60.0), (0.0, 60.0)]
            .map(|(x, y)| (Point::feet(x, y), None));
        let job = Job::from_corners(&corners);
        let base = lay_base(&job, &Plan::of(&job));
        // 42 x 62 ft of 4 in is 868 ft³, 32.148 yd³; loose 1.15 times that; 1.4 tons a yard.
        assert!((base.stone_in_place / 1728.0 - 868.0).abs() < 1e-3);
        assert!((base.stone_loose_yd3 - 36.9704).abs() < 1e-3);
        assert!((base.stone_tons - 51.7585).abs() < 1e-3);
        // (2400 + 200 x 0.5) ft², 144/138 for laps, 5 % waste: 2739.1 ft² of rolls of 1200.
        assert!((base.membrane / 144.0 - 2739.13).abs() < 0.01);
        assert_eq!(base.membrane_rolls, 3);
    }
}
