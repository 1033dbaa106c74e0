//! Courses that lie bowed: their corners between the ends of a leg become wide arcs, tangent to each
//! other.

#![expect(
    clippy::indexing_slicing,
    reason = "bends and their corners are numbered by this file's own loops over the same vectors"
)]

use super::{Bend, bends_of, single, string_together, turn, without_straights};
use crate::geometry::{Arc, Point, Segment};
use crate::units::exact_math;

/// Where a course turns by no more than this it bows, radians: as wide an arc as its legs have room
/// for, but no farther than this off the corner, inches.
const GENTLE: f64 = 0.2;
const GENTLE_OFF_IN: f64 = 0.16;
/// How far chords stand off such an arc where it is seen whether it lies in the floor, inches.
const CHORD_IN: f64 = 0.005;

/// A course that lies bowed with its corners bent to `radius`, as by [`bend_course_within`](super::bend_course_within);
/// where it turns but a little it does so in a wide arc.
///
/// # Errors
/// A place where the legs are too short for that.
pub fn bend_bowed_course_within(
    corners: &[Point],
    radius: f64,
    is_open: &dyn Fn(Point) -> bool,
) -> Result<Vec<Segment>, Point> {
    let corners = without_straights(corners);
    let mut bends = bends_of(&corners, radius, is_open)?;
    widen_gentle(&corners, &mut bends, is_open);
    string_together(&corners, &bends)
}

/// Whether a course lies bowed: some of its arcs are much wider than its bends of this radius.
#[must_use]
pub fn lies_bowed(course: &[Segment], radius: f64) -> bool {
    let is_wide = |arc: &Arc| arc.circle().is_some_and(|circle| circle.radius > 2.0 * radius);
    course.iter().any(|segment| matches!(segment, Segment::Arc(arc) if is_wide(arc)))
}

/// Makes gentle bends as wide as the legs beside them let: a leg between two is shared in half. Wider
/// ones would leave their corner far enough to come too near to what lies beside it.
fn widen_gentle(corners: &[Point], bends: &mut [Bend], is_open: &dyn Fn(Point) -> bool) {
    let is_gentle = |bend: &Bend| {
        let (first, last) = bend.corners;
        first == last && turn(corners, first).abs() < GENTLE
    };
    for number in 0..bends.len() {
        if !is_gentle(&bends[number]) {
            continue;
        }
        let at = bends[number].corners.0;
        let room = |beyond: usize, other: Option<(&Bend, f64)>| {
            let leg = corners[at].distance(corners[beyond]);
            other.map_or(leg, |(bend, used)| if is_gentle(bend) { leg / 2.0 } else { leg - used })
        };
        let before = number.checked_sub(1).map(|before| &bends[before]);
        let before = room(at - 1, before.map(|bend| (bend, bend.uses.1)));
        let after = room(at + 1, bends.get(number + 1).map(|bend| (bend, bend.uses.0)));
        let angle = turn(corners, at).abs();
        let uses = before.min(after).min(GENTLE_OFF_IN / exact_math::tan(angle / 4.0));
        if uses > bends[number].uses.0 {
            let wide = single(corners, at, uses / exact_math::tan(angle / 2.0));
            // Beside a pipe a course may have no room to leave its corner at all.
            let mut places = wide.arcs.iter().flat_map(|&arc| Segment::Arc(arc).flatten(CHORD_IN));
            if places.all(is_open) {
                bends[number] = wide;
            }
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::tube::bends::bend_course;
    use crate::tube::bends::tests::{is_smooth, least_radius, points};

    #[test]
    fn gentle_bends_are_as_wide_as_their_legs_let() {
        let bowed =
            |corners: &[(f64, f64)]| bend_bowed_course_within(&points(corners), 5.0, &|_| true);
        let corners = [(0.0, 0.0), (0.0, 9.0), (9.0, 9.4), (19.0, 9.0), (29.0, 8.0)];
        let bent = bowed(&corners).unwrap();
        assert!(is_smooth(&bent) && least_radius(&bent) > 4.999, "{bent:?}");
        let radii: Vec<f64> = bent
            .iter()
            .filter_map(|segment| match segment {
                Segment::Arc(arc) => arc.circle().map(|circle| circle.radius),
                Segment::Line(..) => None,
            })
            .collect();
        // A leg of 10 in is shared by two bends.
        assert_eq!(radii.len(), 3);
        assert!(radii[0] < 5.01 && radii[1] > 40.0 && radii[2] > 60.0, "{radii:?}");
        assert!(
            lies_bowed(&bent, 5.0)
                && !lies_bowed(&bend_course(&points(&corners), 5.0).unwrap(), 5.0)
        );
        // On long legs they stay near their corner.
        let long = [(0.0, 0.0), (200.0, 10.0), (400.0, 0.0)];
        let bent = bowed(&long).unwrap();
        let off = bent.iter().flat_map(|segment| segment.flatten(0.001));
        let off = off.map(|at| at.distance(Point::new(200.0, 10.0))).fold(f64::INFINITY, f64::min);
        assert!(bent.len() == 3 && (0.1..=GENTLE_OFF_IN + 1e-9).contains(&off), "{off}");
        // Between a bend that needs room and the next corner it keeps to what is left.
        let short = [(0.0, 0.0), (0.0, 40.0), (7.0, 40.5), (14.0, 40.0), (14.0, 0.0)];
        assert!(is_smooth(&bowed(&short).unwrap()));
    }
}
