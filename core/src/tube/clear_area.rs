//! The floor of a zone: where tube axes may lie, and what should be heated.

use super::Circuit;
use super::corridor::{field_of, leaders_of};
use crate::geometry::clip::{difference, intersection, union_all};
use crate::geometry::offset::{grow_round, inset};
use crate::geometry::{Point, Polygon};
use crate::job::Job;
use crate::job::heating::{AtStrips, Zone};
use crate::joints::MovingJoints;
use crate::plan::Plan;

/// A lane on the very rim of the region still counts as inside, inches.
const RIM_SLACK_IN: f64 = 0.02;
/// How far tube keeps from a joint that moves, inches: common practice, so that none lies in the
/// gap or its filler.
const JOINT_MARGIN_IN: f64 = 3.0;

/// Floor beside an edge band of fewer square spacings than this holds no circuit of its own.
const LEAST_BESIDE_BAND: f64 = 64.0;

/// A port line may stand this far outside the floor, in the wall, inches.
const PORT_MARGIN_IN: f64 = 6.0;

/// The areas of a zone.
#[derive(Clone, Debug, Default)]
pub struct ClearArea {
    /// Where the axis of a lane may lie: of one tube, or the middle of two side by side.
    pub lanes: Vec<Polygon>,
    /// Where a leader may lie: up to the walls, but not over what comes through the floor.
    pub open: Vec<Polygon>,
    /// Where the axis of a full run may lie.
    pub tube: Vec<Polygon>,
    /// What should be heated.
    pub heated: Vec<Polygon>,
    /// Floor that circuits which lie already serve, square inches.
    pub served: f64,
    /// The zone's own floor.
    pub floor: Vec<Polygon>,
}

impl ClearArea {
    /// A floor on which nothing stands, full runs 6 in from its walls.
    #[cfg(test)]
    pub fn of_empty(floor: Vec<Polygon>) -> Self {
        let tube = inset(&floor, 6.0);
        Self {
            lanes: tube.clone(),
            open: inset(&floor, -6.0),
            tube,
            heated: floor.clone(),
            served: 0.0,
            floor,
        }
    }

    /// An empty arm 150 in wide, closed to the west, that leads east into a hall at 240 in.
    #[cfg(test)]
    pub fn of_arm_and_hall() -> Self {
        let rectangle = |west, south, east, north| {
            Polygon::rectangle(Point::new(west, south), Point::new(east, north))
        };
        Self::of_empty(union_all(&[
            rectangle(-120.0, 0.0, 250.0, 150.0),
            rectangle(240.0, -200.0, 700.0, 350.0),
        ]))
    }

    /// The area without floor that an edge band serves, and without what that leaves between it and
    /// the wall, narrower than two thirds of `spacing`.
    #[must_use]
    pub fn without(self, served: &[Polygon], spacing: f64) -> Self {
        if served.is_empty() {
            return self;
        }
        let left = |of: &[Polygon]| {
            let wide = inset(&difference(of, served), spacing / 3.0);
            intersection(&inset(&wide, -spacing / 3.0), of)
        };
        // What leaders of the band cut off before the ports is no room for a circuit.
        let large = |of: Vec<Polygon>| {
            let most = of.iter().map(Polygon::area).fold(0.0, f64::max);
            let least = (LEAST_BESIDE_BAND * spacing * spacing).min(most);
            of.into_iter().filter(|piece| piece.area() >= least).collect()
        };
        Self {
            heated: left(&self.heated),
            floor: left(&self.floor),
            tube: large(self.tube),
            lanes: large(self.lanes),
            ..self
        }
    }
}

/// Where tube of a zone may lie and what it should heat; lanes keep `half` more from everything.
#[must_use]
pub fn clear_area(
    job: &Job,
    plan: &Plan,
    zone: &Zone,
    moving: &MovingJoints,
    (half, laid): (f64, &[Circuit]),
) -> ClearArea {
    let heating = &job.heating;
    let slab = std::slice::from_ref(&plan.region);
    let spacing = zone.spacing.to_inches();
    let edge = heating.tube.edge_distance.to_inches();
    let others: Vec<Polygon> = heating
        .zones
        .iter()
        .filter(|other| other.id != zone.id && other.corners.len() > 2)
        .map(|other| Polygon::new(other.corners.clone(), Vec::new()))
        .collect();
    let floor = if zone.corners.len() > 2 {
        intersection(slab, &[Polygon::new(zone.corners.clone(), Vec::new())])
    } else if others.is_empty() {
        slab.to_vec()
    } else {
        difference(slab, &union_all(&others))
    };
    let beyond = if zone.corners.len() > 2 || !others.is_empty() {
        difference(slab, &floor)
    } else {
        Vec::new()
    };
    let (mut kept_off, unheated) = obstacles(job, plan, moving);
    let near = beside_tube(laid, &floor, 0.82 * spacing);
    if !near.is_empty() {
        kept_off = union_all(&[kept_off, near].concat());
    }
    let mut tube = difference(&kept_from_rim(&plan.region, edge - RIM_SLACK_IN), &kept_off);
    if !beyond.is_empty() {
        tube = difference(&tube, &grow_round(&beyond, spacing / 2.0 - RIM_SLACK_IN));
    }
    let served = laid
        .iter()
        .filter(|circuit| circuit.zone == zone.id && !circuit.is_edge_band)
        .map(|circuit| circuit.length * spacing)
        .sum();
    let open = difference(&inset(&floor, -PORT_MARGIN_IN), &kept_off);
    let lanes = if half > 0.0 {
        // Grown obstacles, not a shrunk region, so that inside corners stay round.
        tube.iter().flat_map(|polygon| kept_from_rim(polygon, half)).collect()
    } else {
        tube.clone()
    };
    let rim = (edge - spacing / 2.0).max(0.0);
    let within = if rim > 0.0 { intersection(&floor, &inset(slab, rim)) } else { floor.clone() };
    ClearArea { served, lanes, open, tube, heated: difference(&within, &unheated), floor }
}

/// Where the middle of a bundle of leaders may lie that reaches `half` to each side, and where its
/// tubes may lie close to their ports; both keep `pitch` from leaders that lie already.
#[must_use]
pub fn bundle_ground(
    job: &Job,
    plan: &Plan,
    moving: &MovingJoints,
    (half, pitch, laid): (f64, f64, &[Circuit]),
) -> (Vec<Polygon>, Vec<Polygon>) {
    let edge = job.heating.tube.edge_distance.to_inches();
    let (kept_off, _) = obstacles(job, plan, moving);
    let slab = std::slice::from_ref(&plan.region);
    let zones = job.heating.zones.iter();
    let spacing = zones.map(|zone| zone.spacing.to_inches()).fold(2.0 * pitch, f64::max);
    let beside = |distance: f64| {
        let leaders = laid.iter().flat_map(leaders_of);
        let fields = laid.iter().map(field_of);
        let closest = |line: Vec<Point>, least: f64| grown_line(&line, distance + least);
        let strips: Vec<Polygon> = leaders
            .flat_map(|line| closest(line, pitch - RIM_SLACK_IN))
            .chain(fields.flat_map(|line| closest(line, 0.82 * spacing)))
            .collect();
        union_all(&strips)
    };
    let grown = if half > 0.0 { grow_round(&kept_off, half) } else { kept_off.clone() };
    let middle = difference(
        &kept_from_rim(&plan.region, edge + half - RIM_SLACK_IN),
        &union_all(&[grown, beside(half)].concat()),
    );
    let open =
        difference(&inset(slab, -PORT_MARGIN_IN), &union_all(&[kept_off, beside(0.0)].concat()));
    (middle, open)
}

/// The slab less all places within `distance` of its rim: round an inside corner the limit is an
/// arc, so that a bend may follow it.
fn kept_from_rim(slab: &Polygon, distance: f64) -> Vec<Polygon> {
    let Some(bounds) = slab.bounds().map(|bounds| bounds.grown(distance.abs() + 24.0)) else {
        return Vec::new();
    };
    let slab = std::slice::from_ref(slab);
    if distance <= 0.0 {
        return slab.to_vec();
    }
    let outside = difference(&[Polygon::rectangle(bounds.min, bounds.max)], slab);
    difference(slab, &grow_round(&outside, distance))
}

/// What tube keeps off, and what needs no heat.
pub fn obstacles(job: &Job, plan: &Plan, moving: &MovingJoints) -> (Vec<Polygon>, Vec<Polygon>) {
    let mut unheated: Vec<Polygon> = Vec::new();
    let mut kept_off: Vec<Polygon> = Vec::new();
    for item in &plan.penetrations {
        let face = [Polygon::new(item.outline.clone(), Vec::new())];
        unheated.extend(grow_round(&face, item.tube_clearance));
        kept_off.extend(grow_round(&face, item.tube_clearance - RIM_SLACK_IN));
    }
    for keep_out in job.heating.keep_outs.iter().filter(|item| item.corners.len() > 2) {
        let area = Polygon::new(keep_out.corners.clone(), Vec::new());
        unheated.push(area.clone());
        kept_off.push(area);
    }
    if job.heating.tube.at_strips == AtStrips::Avoid {
        for strip in &job.thickenings.strips {
            let half = strip.flat_width.to_inches() / 2.0 + strip.haunch_run.to_inches();
            kept_off.extend(bands(&strip.line, half));
        }
    }
    for line in &moving.lines {
        kept_off.extend(bands(&[line.from, line.to], JOINT_MARGIN_IN));
    }
    (union_all(&kept_off), union_all(&unheated))
}

/// The floor near circuits that lie already, where they cross this zone.
fn beside_tube(laid: &[Circuit], floor: &[Polygon], distance: f64) -> Vec<Polygon> {
    let strips: Vec<Polygon> = laid
        .iter()
        .flat_map(|circuit| {
            let points = circuit.points(0.5);
            let crosses = points.iter().any(|&p| floor.iter().any(|polygon| polygon.contains(p)));
            if crosses { grown_line(&points, distance) } else { Vec::new() }
        })
        .collect();
    union_all(&strips)
}

/// Every place within about `distance` of a line: a rectangle round each leg, drawn out at both
/// ends.
pub fn grown_line(line: &[Point], distance: f64) -> Vec<Polygon> {
    line.iter()
        .zip(line.iter().skip(1))
        .filter_map(|(&from, &to)| {
            let ahead = (to - from).unit()? * distance;
            let aside = ahead.left();
            let (from, to) = (from - ahead, to + ahead);
            Some(Polygon::new(vec![from - aside, to - aside, to + aside, from + aside], Vec::new()))
        })
        .collect()
}

/// Rectangles along a line, `half` to each side.
fn bands(line: &[Point], half: f64) -> Vec<Polygon> {
    line.iter()
        .zip(line.iter().skip(1))
        .filter_map(|(&from, &to)| {
            let along = (to - from).unit()?;
            let aside = along.left() * half;
            Some(Polygon::new(vec![from - aside, to - aside, to + aside, from + aside], Vec::new()))
        })
        .collect()
}
