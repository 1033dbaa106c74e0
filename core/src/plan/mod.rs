//! The checked slab: what question every layout asks first.
//!
//! Vocabulary: the *outline* is the outer form face, exact with arcs; the *region* is the same
//! flattened to straight sides with openings as holes, counter-clockwise outside and clockwise
//! round holes; an *inside corner* is one where the slab turns more than 180 degrees.
//! A job whose outline cannot be a slab gives an empty region; why is said by `job::check`.

use crate::geometry::{Arc, Bounds, Point, Polygon, Ring, Segment, Vector, tolerance};
use crate::job::Job;
pub use crate::job::ids::RimId;
use crate::job::ids::{OpeningId, PenetrationId, SideId};
use crate::job::openings::PenetrationKind;

/// One straight or curved side of the slab's rim, slab on its left.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct RimSide {
    /// Whose side it is.
    pub id: RimId,
    /// Its exact course, with the slab on the left.
    pub segment: Segment,
}

/// A corner of the rim where straight sides or arcs meet.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct RimCorner {
    /// Where.
    pub at: Point,
    /// The slab's own angle there, in radians (over π at an inside corner).
    pub angle: f64,
    /// The side that ends here.
    pub before: RimId,
    /// The side that starts here.
    pub after: RimId,
}

impl RimCorner {
    /// Whether the slab turns more than 185 degrees here, so that cracks start from it.
    #[must_use]
    pub fn is_inside(&self) -> bool {
        self.angle > 185.0_f64.to_radians()
    }
}

/// A pipe, drain or column with its outline in plan.
#[derive(Clone, Debug, PartialEq)]
pub struct PlanPenetration {
    /// Its id.
    pub id: PenetrationId,
    /// What it is.
    pub kind: PenetrationKind,
    /// Its centre.
    pub at: Point,
    /// Its face in plan, counter-clockwise.
    pub outline: Vec<Point>,
    /// How far tube keeps from its face, inches.
    pub tube_clearance: f64,
    /// Its larger size across, inches.
    pub widest: f64,
}

/// The checked slab.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Plan {
    /// The outline, exact, counter-clockwise.
    pub outline: Ring,
    /// Sides of the outline in order, then the rims of openings.
    pub rim: Vec<RimSide>,
    /// Corners of the rim.
    pub corners: Vec<RimCorner>,
    /// The slab with straight sides, openings as holes.
    pub region: Polygon,
    /// Openings with their flattened rings, clockwise.
    pub openings: Vec<(OpeningId, Vec<Point>)>,
    /// What comes up through the slab.
    pub penetrations: Vec<PlanPenetration>,
    /// Plan area with exact arcs, openings taken off, square inches.
    pub area: f64,
    /// Length round the outline with exact arcs, inches.
    pub perimeter: f64,
}

impl Plan {
    /// The plan of a job.
    #[must_use]
    pub fn of(job: &Job) -> Self {
        let drawn = job.outline.ring();
        if job.outline.sides.len() < 3 || !is_usable(&drawn) {
            return Self::default();
        }
        let is_clockwise = drawn.signed_area() < 0.0;
        let mut side_ids: Vec<SideId> = job.outline.sides.iter().map(|side| side.id).collect();
        let outline = if is_clockwise {
            side_ids.reverse();
            drawn.reversed()
        } else {
            drawn
        };
        let mut rim: Vec<RimSide> = side_ids
            .iter()
            .zip(&outline.segments)
            .map(|(&id, &segment)| RimSide { id: RimId::Side(id), segment })
            .collect();
        let mut corners = corners_of(&rim);
        let (mut openings, mut hole_area) = (Vec::new(), 0.0);
        for opening in job.openings.openings.iter().filter(|opening| opening.corners.len() > 2) {
            let ring = opening.ring();
            if !is_usable(&ring) {
                continue;
            }
            let ring = if ring.signed_area() > 0.0 { ring.reversed() } else { ring };
            hole_area += ring.signed_area().abs();
            openings.push((opening.id, ring.flatten(tolerance::ARC_CHORD_IN)));
            let sides: Vec<RimSide> = ring
                .segments
                .iter()
                .map(|&segment| RimSide { id: RimId::Opening(opening.id), segment })
                .collect();
            corners.extend(corners_of(&sides));
            rim.extend(sides);
        }
        let holes = openings.iter().map(|(_, ring)| ring.clone()).collect();
        let region = Polygon::new(outline.flatten(tolerance::ARC_CHORD_IN), holes);
        let area = outline.signed_area() - hole_area;
        let perimeter = outline.perimeter();
        let penetrations = penetrations_of(job, &region);
        Self { outline, rim, corners, region, openings, penetrations, area, perimeter }
    }

    /// Whether there is a slab at all.
    #[must_use]
    pub fn is_empty(&self) -> bool {
        self.region.outer.is_empty()
    }

    /// The box round the slab.
    #[must_use]
    pub fn bounds(&self) -> Option<Bounds> {
        self.region.bounds()
    }

    /// Inside corners of the outline and corners of openings, where cracks start.
    pub fn inside_corners(&self) -> impl Iterator<Item = &RimCorner> {
        self.corners.iter().filter(|corner| corner.is_inside())
    }

    /// Columns among the penetrations.
    pub fn columns(&self) -> impl Iterator<Item = &PlanPenetration> {
        self.penetrations.iter().filter(|item| item.kind == PenetrationKind::Column)
    }
}

/// Whether a ring has finite, reachable corners and an area worth the name.
fn is_usable(ring: &Ring) -> bool {
    ring.segments.iter().all(|segment| {
        let in_reach = |point: Point| {
            point.is_finite()
                && point.x.abs() <= tolerance::LARGEST_COORDINATE_IN
                && point.y.abs() <= tolerance::LARGEST_COORDINATE_IN
        };
        let middle = match segment {
            Segment::Line(from, _) => *from,
            Segment::Arc(arc) => arc.through,
        };
        in_reach(segment.start()) && in_reach(middle)
    }) && ring.signed_area().abs() > tolerance::CRUMB_IN2
}

/// Corners between the sides of one closed ring with the slab on the left.
fn corners_of(sides: &[RimSide]) -> Vec<RimCorner> {
    sides
        .iter()
        .zip(sides.iter().cycle().skip(1))
        .filter_map(|(before, after)| {
            let (arriving, leaving) =
                (direction_at_end(before.segment)?, direction_at_start(after.segment)?);
            let turn = leaving.cross(arriving).atan_of(leaving.dot(arriving));
            Some(RimCorner {
                at: after.segment.start(),
                angle: std::f64::consts::PI + turn,
                before: before.id,
                after: after.id,
            })
        })
        .collect()
}

/// Which way a segment starts off, as a unit step.
#[must_use]
pub fn direction_at_start(segment: Segment) -> Option<Vector> {
    match segment {
        Segment::Line(from, to) => (to - from).unit(),
        Segment::Arc(arc) => tangent(arc, arc.from),
    }
}

/// Which way a segment arrives, as a unit step.
#[must_use]
pub fn direction_at_end(segment: Segment) -> Option<Vector> {
    match segment {
        Segment::Line(from, to) => (to - from).unit(),
        Segment::Arc(arc) => tangent(arc, arc.to),
    }
}

fn tangent(arc: Arc, at: Point) -> Option<Vector> {
    let Some(circle) = arc.circle() else {
        return (arc.to - arc.from).unit();
    };
    let out = (at - circle.center).unit()?;
    Some(if circle.sweep > 0.0 { out.left() } else { -out.left() })
}

/// `atan2` with the sine as receiver, so that the turn reads as one expression.
trait AtanOf {
    fn atan_of(self, cosine: f64) -> f64;
}

impl AtanOf for f64 {
    fn atan_of(self, cosine: f64) -> f64 {
        crate::units::exact_math::atan2(self, cosine)
    }
}

fn penetrations_of(job: &Job, region: &Polygon) -> Vec<PlanPenetration> {
    job.openings
        .penetrations
        .iter()
        .filter(|item| item.at.is_finite() && item.shape.widest().to_inches() > 0.0)
        .filter(|item| region.contains(item.at))
        .map(|item| PlanPenetration {
            id: item.id,
            kind: item.kind,
            at: item.at,
            outline: item.shape.outline(item.at),
            tube_clearance: item.tube_clearance.to_inches(),
            widest: item.shape.widest().to_inches(),
        })
        .collect()
}

#[cfg(test)]
mod tests {
    use super::*;

    fn l_shape() -> Job {
        Job::from_corners(&[
            (Point::feet(0.0, 0.0), None),
            (Point::feet(40.0, 0.0), None),
            (Point::feet(40.0, 18.0), None),
            (Point::feet(24.0, 18.0), None),
            (Point::feet(24.0, 30.0), None),
            (Point::feet(0.0, 30.0), None),
        ])
    }

    #[test]
    fn an_l_has_one_inside_corner() {
        let plan = Plan::of(&l_shape());
        let inside: Vec<Point> = plan.inside_corners().map(|corner| corner.at).collect();
        assert_eq!(inside, vec![Point::feet(24.0, 18.0)]);
        assert!((plan.area / 144.0 - 1008.0).abs() < 1e-9);
        assert!((plan.perimeter / 12.0 - 140.0).abs() < 1e-9);
    }

    #[test]
    fn a_clockwise_outline_gives_the_same_plan_with_its_own_side_ids() {
        let mut job = l_shape();
        let forward = Plan::of(&job);
        let mut corners: Vec<(Point, Option<Point>)> =
            job.outline.sides.iter().map(|side| (side.start, None)).collect();
        corners.reverse();
        job.outline =
            std::sync::Arc::new(crate::job::Outline::from_corners(&corners, &mut job.ids));
        let backward = Plan::of(&job);
        assert!((forward.area - backward.area).abs() < 1e-9);
        for side in &backward.rim {
            let RimId::Side(id) = side.id else { panic!("no openings here") };
            let own =
                job.outline.segments().find(|(own, _)| *own == id).map(|(_, segment)| segment);
            assert_eq!(own.map(Segment::start), Some(side.segment.end()));
        }
    }

    #[test]
    fn a_slab_of_nothing_is_empty() {
        assert!(Plan::of(&Job::default()).is_empty());
        let nan = Job::from_corners(&[
            (Point::new(f64::NAN, 0.0), None),
            (Point::feet(1.0, 0.0), None),
            (Point::feet(0.0, 1.0), None),
        ]);
        assert!(Plan::of(&nan).is_empty());
    }
}
