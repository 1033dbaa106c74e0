//! An edge band: closer tube along the outside walls of a zone, as circuits of its own.
//!
//! Question: how is tube laid closer along outside walls, for any outline? Method: the first runs
//! along a wall follow it, so lanes are drawn parallel to the walls ([`strip`]) and circuits take
//! pairs of them from the ports to where they meet on the far side ([`feed`]); what is in the way
//! of a course ends the band there, and the rest of the zone is then laid at its own spacing round
//! what lies. Peripheral areas with circuits of their own: EN 1264-3 and ISO 11855-3, from memory.

mod feed;
mod place;
mod strip;

pub use place::{AroundBand, lay_band};

use super::away::{Led, bundles};
use super::bends::bend_course_within;
use super::bundle::{Bundle, BundleRules};
use super::check::breaches;
use super::clear_area::{ClearArea, clear_area, obstacles};
use super::field::Field;
use super::frame::Frame;
use super::limits;
use super::ports::PortLine;
use super::route::{Found, imbalance};
use super::rules::Rules;
use super::tree::Look;
use super::{BandShort, Circuit, LaidBand};
use crate::effort::{Budget, Cancelled};
use crate::geometry::nearest::distance_to_sides;
use crate::geometry::{Point, Polygon};
use crate::job::Job;
use crate::job::heating::{EdgeBand, Zone};
use crate::joints::MovingJoints;
use crate::plan::Plan;
use crate::units::Length;
use feed::{BandCourse, Feed, courses, served};
use strip::{Strip, StripRules};

/// The most circuits on each hand.
const MOST_CIRCUITS: usize = 4;
/// A band that lies along this share of its walls needs no more circuits.
const NEARLY_ALL: f64 = 0.95;
/// How much more wall another way to lay it must reach.
const BETTER: f64 = 1.03;
/// How often a band is ended where its course can not be laid, and laid again.
const MOST_CUTS: usize = 14;
/// A band along less than this share of its walls is pointed out.
const SHORT_SHARE: f64 = 0.85;
/// Floor whose edge is nearer than this to the slab's outer edge lies along an outside wall, inches.
const AT_RIM_IN: f64 = 1.0;

/// What a band is laid on.
#[derive(Clone, Copy)]
pub struct BandTask<'a> {
    /// The job.
    pub job: &'a Job,
    /// The slab.
    pub plan: &'a Plan,
    /// Joints that move.
    pub moving: &'a MovingJoints,
    /// Circuits that lie already.
    pub laid: &'a [Circuit],
    /// The zone.
    pub zone: &'a Zone,
    /// What it wants.
    pub band: EdgeBand,
    /// The manifold's ports on the slab.
    pub ports: PortLine,
    /// Half the width that the ports of what is laid later take, inches.
    pub reserve: f64,
}

/// Circuits of a band.
#[derive(Clone, Debug, Default)]
pub struct BandLayout {
    /// The circuits, from one hand of the ports to the other.
    pub circuits: Vec<Found>,
    /// Floor that they serve.
    pub served: Vec<Polygon>,
    /// Longest less shortest over the mean.
    pub imbalance: f64,
    /// As laid.
    pub band: LaidBand,
}

/// How wide a band of so many lanes is, and the other way round.
#[derive(Clone, Copy, Debug, PartialEq)]
struct Fit {
    lanes: usize,
    spacing: f64,
    why: Option<BandShort>,
}

/// The lanes for a band: an even number, as near to its width as they come, at the spacing asked
/// for or the closest at which a return can be bent.
fn fit(band: EdgeBand, edge: f64, radius: f64) -> Fit {
    let asked = band.spacing.to_inches().max(2.0);
    // A bulb stands 1.3 spacings less its radius off the next run.
    let closest =
        if 2.0 * radius > asked { ((radius + 1.0) / 1.3 * 4.0).ceil() / 4.0 } else { asked };
    let spacing = asked.max(closest);
    let runs = (band.width.to_inches() - (edge - spacing / 2.0)) / spacing;
    let mut lanes = 2;
    while lanes < 40 && runs >= lanes as f64 + 1.0 {
        lanes += 2;
    }
    let why = if spacing > asked + 0.01 {
        Some(BandShort::TightBend)
    } else if runs < 1.0 {
        Some(BandShort::TooNarrow)
    } else {
        None
    };
    Fit { lanes, spacing, why }
}

/// Lays the edge band of a zone; a layout without circuits says why there are none.
///
/// # Errors
/// [`Cancelled`] when nobody waits for it any more.
pub fn route_band(task: BandTask, budget: &mut Budget) -> Result<BandLayout, Cancelled> {
    let tube = &task.job.heating.tube;
    let (edge, radius) = (tube.edge_distance.to_inches(), limits::least_bend_radius(tube));
    let fit = fit(task.band, edge, radius);
    let own = Zone { spacing: Length::inches(fit.spacing), ..task.zone.clone() };
    let area = clear_area(task.job, task.plan, &own, task.moving, (0.0, task.laid));
    let nothing = LaidBand {
        zone: task.zone.id,
        asked: (task.band.width.to_inches(), task.band.spacing.to_inches()),
        spacing: fit.spacing,
        wall: outside_wall(&area.floor, &task.plan.region),
        ..LaidBand::default()
    };
    if nothing.wall < fit.spacing {
        let band = LaidBand { short: Some(BandShort::NoOutsideWall), ..nothing };
        return Ok(BandLayout { band, ..BandLayout::default() });
    }
    let mut lanes = fit.lanes;
    loop {
        let rules = StripRules { lanes, spacing: fit.spacing, edge, radius: radius + 0.01 };
        if let Some(found) = laid_in(task, &area, rules, budget)? {
            let width = edge + (lanes as f64 - 0.5) * fit.spacing;
            let along = found.band.along;
            let short = if lanes < fit.lanes {
                Some(BandShort::NoRoom)
            } else if along < SHORT_SHARE * nothing.wall {
                Some(BandShort::Blocked)
            } else {
                fit.why
            };
            let band = LaidBand { width, along, short, ..nothing };
            return Ok(BandLayout { band, ..found });
        }
        if lanes == 2 {
            let band = LaidBand { short: Some(BandShort::Blocked), ..nothing };
            return Ok(BandLayout { band, ..BandLayout::default() });
        }
        lanes -= 2;
    }
}

/// How much of a floor's edge lies along the slab's outer edge, inches.
fn outside_wall(floor: &[Polygon], slab: &Polygon) -> f64 {
    let rim = Polygon::new(slab.outer.clone(), Vec::new());
    floor
        .iter()
        .flat_map(Polygon::edges)
        .filter(|(from, to)| {
            [0.1, 0.5, 0.9]
                .iter()
                .all(|&share| distance_to_sides(from.toward(*to, share), &rim) < AT_RIM_IN)
        })
        .map(|(from, to)| from.distance(to))
        .sum()
}

/// The band of so many lanes, the way of feeding it that reaches the most wall.
fn laid_in(
    task: BandTask,
    area: &ClearArea,
    rules: StripRules,
    budget: &mut Budget,
) -> Result<Option<BandLayout>, Cancelled> {
    let Some(field) = Field::new(&area.tube) else { return Ok(None) };
    let (kept_off, _) = obstacles(task.job, task.plan, task.moving);
    let Some(strip) = Strip::new(&task.plan.region, &kept_off, &field, rules) else {
        return Ok(None);
    };
    let most = (rules.lanes / 2).min(MOST_CIRCUITS);
    let mut ways: Vec<(usize, usize)> =
        (0..=most).flat_map(|left| (0..=most).map(move |right| (left, right))).collect();
    ways.retain(|(left, right)| left + right > 0);
    ways.sort_by_key(|&(left, right)| (left + right, left.abs_diff(right)));
    let wall = outside_wall(&area.floor, &task.plan.region).min(strip.wall()) - 2.0 * task.reserve;
    let mut best: Option<BandLayout> = None;
    for (left, right) in ways {
        if budget.cancel().is_raised() {
            return Err(Cancelled);
        }
        if budget.is_spent() {
            break;
        }
        let found = fed(task, area, [left, right], rules, budget)
            .into_iter()
            .filter_map(|fed| laid_from(task, (&strip, &field, area), &fed, rules))
            .max_by(|a, b| a.band.along.total_cmp(&b.band.along));
        let Some(found) = found else { continue };
        let least = best.as_ref().map_or(0.0, |best| BETTER * best.band.along);
        if found.band.along > least {
            best = Some(found);
        }
        if best.as_ref().is_some_and(|best| best.band.along > NEARLY_ALL * wall) {
            break;
        }
    }
    Ok(best)
}

/// A feed and the bundle that leads to it, where ports do not stand at the band.
struct Fed {
    feed: Feed,
    bundle: Option<Bundle>,
}

/// Ways to bring so many circuits to each hand.
fn fed(
    task: BandTask,
    area: &ClearArea,
    circuits: [usize; 2],
    rules: StripRules,
    budget: &mut Budget,
) -> Vec<Fed> {
    let pitch = task.ports.spacing;
    let depth = rules.edge + rules.lanes as f64 * rules.spacing;
    let rim = Polygon::new(task.plan.region.outer.clone(), Vec::new());
    let [left, right] = circuits;
    let is_own_floor = area.floor.iter().any(|part| {
        part.contains(task.ports.at) || distance_to_sides(task.ports.at, part) < rules.edge + 1.0
    });
    if is_own_floor && distance_to_sides(task.ports.at, &rim) < depth + rules.radius {
        let row = |count: usize| {
            (0..2 * count).rev().map(|port| task.reserve + port as f64 * pitch).collect()
        };
        let feed = Feed {
            frame: Frame::new(task.ports.at, task.ports.along.angle()),
            ports: [row(left), row(right)],
            kept_free: task.reserve,
            is_at_wall: true,
            pitch,
        };
        return vec![Fed { feed, bundle: None }];
    }
    let tubes = 2 * (left + right);
    let bundle_rules = BundleRules { tubes, pitch, radius: rules.radius };
    let led = Led {
        job: task.job,
        plan: task.plan,
        moving: task.moving,
        laid: task.laid,
        area: &band_floor(area, task.plan, depth),
        ports: task.ports,
        reserve: 2.0 * task.reserve,
    };
    let row = |count: usize| {
        (0..2 * count).map(|port| ((tubes as f64 - 1.0) / 2.0 - port as f64) * pitch).collect()
    };
    bundles(led, bundle_rules, &rules_of(task, rules.spacing), budget)
        .into_iter()
        .map(|bundle| Fed {
            feed: Feed {
                frame: Frame::new(bundle.end.at, bundle.end.along.angle()),
                ports: [row(left), row(right)],
                kept_free: bundle_rules.width() / 2.0 + rules.spacing,
                is_at_wall: false,
                pitch,
            },
            bundle: Some(bundle),
        })
        .collect()
}

/// The floor of a zone near the outside walls, which a bundle from inside leads to.
fn band_floor(area: &ClearArea, plan: &Plan, depth: f64) -> ClearArea {
    let rim = Polygon::new(plan.region.outer.clone(), Vec::new());
    let inner = crate::geometry::offset::inset(&[rim], depth);
    let floor = crate::geometry::clip::difference(&area.floor, &inner);
    ClearArea { floor, ..area.clone() }
}

/// The circuits of one feed, the band ended wherever a course can not be laid.
fn laid_from(
    task: BandTask,
    (strip, field, area): (&Strip, &Field, &ClearArea),
    fed: &Fed,
    rules: StripRules,
) -> Option<BandLayout> {
    let open = Field::new(&area.open)?;
    let demands = rules_of(task, rules.spacing).demands();
    let before = fed.bundle.as_ref().map_or(0.0, |bundle| {
        bundle
            .lanes
            .iter()
            .map(|lane| lane.iter().map(|leg| leg.length()).sum())
            .fold(0.0, f64::max)
    });
    let limit = limits::longest_circuit(&task.job.heating.tube) - 2.0 * before;
    let mut strip = strip.clone();
    for _ in 0..MOST_CUTS {
        let found = courses(&strip, &fed.feed, rules, limit);
        if found.is_empty() {
            return None;
        }
        let laid = match bent(&found, field, &open, rules.radius) {
            Ok(laid) => laid,
            Err(at) => {
                strip.cut_at(at?);
                continue;
            }
        };
        let all: Vec<_> = laid.iter().map(Found::course).collect();
        if let Some(breach) = breaches(&all, field, demands).first() {
            strip.cut_at(breach.at());
            continue;
        }
        let joined: Option<Vec<Found>> = match &fed.bundle {
            Some(bundle) => laid.iter().map(|found| super::away::joined(bundle, found)).collect(),
            None => Some(laid),
        };
        let circuits = joined?;
        let lengths: Vec<f64> = circuits.iter().map(|found| found.length).collect();
        let along = found.iter().map(|course| course.wall).sum();
        return Some(BandLayout {
            circuits,
            served: served(&found, rules.spacing),
            imbalance: imbalance(&lengths),
            band: LaidBand { along, ..LaidBand::default() },
        });
    }
    None
}

/// Courses bent; the place where one can not be, none where its leaders have no way.
fn bent(
    courses: &[BandCourse],
    field: &Field,
    open: &Field,
    radius: f64,
) -> Result<Vec<Found>, Option<Point>> {
    let is_open = |point: Point| field.contains(point);
    courses
        .iter()
        .map(|course| {
            let leaders = leader_legs(course);
            if !leaders.iter().all(|&(from, to)| open.is_clear(from, to)) {
                return Err(None);
            }
            let path = bend_course_within(&course.corners, radius, &is_open).map_err(Some)?;
            let length = path.iter().map(|segment| segment.length()).sum();
            Ok(Found { path, length, leaders: course.leaders, ..Found::default() })
        })
        .collect()
}

/// The legs of both leaders of a course.
fn leader_legs(course: &BandCourse) -> Vec<(Point, Point)> {
    let beginning = |corners: &mut dyn Iterator<Item = Point>, most: f64| {
        let (mut legs, mut along) = (Vec::new(), 0.0);
        let mut before: Option<Point> = None;
        for corner in corners {
            if let Some(from) = before {
                if along >= most - 0.01 {
                    break;
                }
                legs.push((from, corner));
                along += from.distance(corner);
            }
            before = Some(corner);
        }
        legs
    };
    let mut legs = beginning(&mut course.corners.iter().copied(), course.leaders.0);
    legs.extend(beginning(&mut course.corners.iter().rev().copied(), course.leaders.1));
    legs
}

/// What the check holds a band's circuits to.
fn rules_of(task: BandTask, spacing: f64) -> Rules {
    let tube = &task.job.heating.tube;
    Rules {
        spacing,
        radius: limits::least_bend_radius(tube),
        limit: limits::longest_circuit(tube),
        edge: tube.edge_distance.to_inches(),
        port_spacing: task.ports.spacing,
        look: Look::FewBends,
        pair: None,
    }
}
