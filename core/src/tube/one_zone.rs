//! A zone of the job: its manifold, its rules, and its circuits with what is said about them.

use super::away::{Led, route_led_zone};
use super::band::{AroundBand, lay_band};
use super::check::{Course, crowded_bends};
use super::clear_area::{ClearArea, clear_area};
use super::cold_wall::ColdWall;
use super::fill::filled;
use super::home::route_home_zone;
use super::ports::PortLine;
use super::route::{Found, Layout};
use super::rules::Rules;
use super::swing::with_long_swings;
use super::tree::Look;
use super::zone::UNEVEN;
use super::{Circuit, LaidBand, RoutedZone, Tube, TubeFault, TubeFaultKind, cover, limits};
use crate::effort::{Budget, Cancel, Cancelled};
use crate::geometry::nearest::distance_to_sides;
use crate::geometry::{Point, Polygon, Segment};
use crate::job::Job;
use crate::job::heating::{Manifold, TubePattern, Zone};
use crate::joints::MovingJoints;
use crate::plan::Plan;

/// Spacings tried, as multiples of the one asked for, and how much of a search each is worth: wider
/// ones where a zone cannot be laid as asked.
const TRIES: [(f64, u64); 6] = [(1.0, 1), (1.0, LONG), (1.1, 1), (1.25, 1), (1.5, 1), (2.0, 1)];
/// A longer search, where a shorter one ended early and what it found is wanting: it covers less of
/// the floor than this, or its circuits are uneven.
const LONG: u64 = 4;
const WANTING: f64 = 1.88;
/// A layout worth this much is not tried another way.
const GOOD_ENOUGH: f64 = 1.8;
/// Where a layout covers this much of the floor at a spacing, no wider one is tried.
const FAIR: f64 = 1.6;
/// Where a layout is worth less than this, all wider ones are tried.
const POOR: f64 = 1.35;
/// What uneven circuits cost against floor covered, and from where on they are no worse: no valve
/// evens those out, and a floor without tube is worse still.
const UNEVEN_COST: f64 = 1.5;
const MOST_UNEVEN: f64 = 0.5;
/// A zone this near to its manifold's ports is fed straight from them, inches.
const AT_MANIFOLD_IN: f64 = 6.0;
/// How full circuits are planned, as a share of the limit.
const FULL: f64 = 0.965;
/// Where even the nearest port is farther from its manifold than this, it is pointed out, inches:
/// about what tails in the air make up for.
const PORTS_ASIDE_IN: f64 = 24.0;
/// Circuits more uneven than this are pointed out.
const EVEN: f64 = 0.10;

/// How much may be tried for a floor in one way, in steps of about a microsecond of a usual machine:
/// counted, never timed, so that every machine lays the same tube.
#[expect(clippy::cast_possible_truncation, clippy::cast_sign_loss, reason = "clamped")]
fn most_tried(area: &ClearArea, spacing: f64) -> u64 {
    /// So many for any floor.
    const ALWAYS: u64 = 250_000;
    /// And so many for each of its cells: most floors take a tenth of it.
    const FOR_A_CELL: u64 = 1_500;
    let floor: f64 = area.heated.iter().map(Polygon::area).sum();
    let cells = floor / (4.0 * spacing * spacing);
    ALWAYS + FOR_A_CELL * cells.clamp(0.0, 1e9) as u64
}

/// Routes a zone round the circuits that `tube` holds already: its edge band, then the rest.
pub fn route_one_zone(
    job: &Job,
    plan: &Plan,
    zone: &Zone,
    moving: &MovingJoints,
    tube: &mut Tube,
    cancel: &Cancel,
) -> Result<(), Cancelled> {
    let task = (job, plan, moving);
    let before = zone.edge_band.map(|_| tube.clone());
    let around = lay_band(task, zone, tube, cancel)?;
    if around.is_all {
        tube.zones.extend(around.routed(tube));
        return Ok(());
    }
    let with_band = tube.circuits.len();
    route_rest(task, &around.rest_of(zone), &around, tube, cancel)?;
    if let Some(before) = before.filter(|_| around.circuits > 0 && tube.circuits.len() == with_band)
    {
        // A floor within that no leaders reach is worse than one without its band.
        let band = tube.bands.last().copied().map(LaidBand::none_laid);
        *tube = before;
        tube.bands.extend(band);
        return route_rest(task, zone, &AroundBand::default(), tube, cancel);
    }
    tube.zones.extend(around.routed(tube));
    Ok(())
}

/// Routes what an edge band leaves of a zone.
fn route_rest(
    (job, plan, moving): (&Job, &Plan, &MovingJoints),
    zone: &Zone,
    around: &AroundBand,
    tube: &mut Tube,
    cancel: &Cancel,
) -> Result<(), Cancelled> {
    let asked = zone.spacing.to_inches().max(2.0);
    let area_of = |half: f64, laid: &[Circuit]| {
        clear_area(job, plan, zone, moving, (half, laid)).without(&around.served, asked)
    };
    let area = area_of(0.0, &tube.circuits);
    let Some(at) = area.heated.first().and_then(|polygon| polygon.outer.first()).copied() else {
        return Ok(());
    };
    let fault = |kind, at| TubeFault { zone: zone.id, at, kind };
    let Some(manifold) = manifold_of(job, zone, &area.floor) else {
        tube.faults.push(fault(TubeFaultKind::NoManifold, at));
        return Ok(());
    };
    let slab = std::slice::from_ref(&plan.region);
    // An edge band stands before the wall, which is still the one that cools the zone.
    let cold_wall = (zone.pattern == TubePattern::Serpentine)
        .then(|| clear_area(job, plan, zone, moving, (0.0, &[])).floor)
        .and_then(|floor| ColdWall::of(&floor, &plan.region));
    let look = match (zone.pattern, cold_wall) {
        (TubePattern::Counterflow, _) => Look::Spiral,
        (_, Some(wall)) => Look::Along(wall.along()),
        _ => Look::FewBends,
    };
    let mut why = TubeFaultKind::ManifoldBlocked;
    let mut best: Option<(f64, Layout, Rules, f64)> = None;
    let mut is_kept = false;
    let mut budget = Budget::new(0, cancel.clone());
    let mut is_cut_short = false;
    let mut goes_longer = false;
    for (wider, times) in TRIES {
        if times == LONG && !goes_longer {
            continue;
        }
        let ways = rules_of(job, (asked * wider, look));
        // At first; and while nothing is laid, since a floor without tube is worse than a long search.
        if budget.is_spent() {
            let most = times * ways.len() as u64 * most_tried(&area, asked * wider);
            budget = Budget::new(most, cancel.clone());
            // A longer search makes up for the short one before it.
            is_cut_short &= times < LONG;
        }
        for rules in ways {
            // Two tubes to a lane where one to a lane finds no way at all.
            if rules.pair.is_some() && best.is_some() {
                continue;
            }
            let half = rules.pair.unwrap_or(0.0);
            let area = area_of(half, &tube.circuits);
            let Some(ports) = PortLine::of(manifold, &job.heating.tube, slab) else { break };
            let layout = if stands_in(ports, &area.floor) {
                // Ports along the wall of the slab, or along the zone's own boundary.
                let mut lines = vec![ports];
                lines.extend(
                    PortLine::of(manifold, &job.heating.tube, &area.floor)
                        .filter(|line| *line != ports),
                );
                let taken = ports_taken(manifold, tube);
                route_home_zone(&area, (&lines, &taken), &rules, zone.circuits, &mut budget)?
            } else {
                let (laid, area) = (tube.circuits.as_slice(), &area);
                let reserve = ports_reserved(job, plan, (manifold, ports), moving);
                let led = Led { job, plan, moving, laid, area, ports, reserve };
                route_led_zone(led, &rules, zone.circuits, &mut budget)?
            };
            is_cut_short |= budget.is_spent();
            let Some(mut layout) = layout else { continue };
            layout = with_long_swings(filled(layout, &area, &rules), &area, &rules);
            if let Some(wall) = cold_wall {
                wall.take_supply(&mut layout);
            }
            if !is_sound(&layout, rules.limit) {
                if layout.breaches.is_empty() {
                    why = TubeFaultKind::TooLong;
                }
                continue;
            }
            let cover = cover_of(&layout, &area, asked);
            let worth = worth_of(cover, &layout);
            is_kept |= is_close_enough(cover, &layout);
            if best.as_ref().is_none_or(|(most, ..)| worth > *most) {
                best = Some((worth, layout, rules, wider));
            }
            if worth > GOOD_ENOUGH {
                break;
            }
        }
        goes_longer = times < LONG
            && wider <= 1.0
            && budget.is_spent()
            && best
                .as_ref()
                .is_none_or(|(_, layout, ..)| is_wanting(cover_of(layout, &area, asked), layout));
        if goes_longer {
            continue;
        }
        // Where a wider spacing serves no more floor, a still wider one hardly does.
        let is_no_better =
            best.as_ref().is_some_and(|(worth, .., best)| *best < wider && *worth > POOR);
        // Where the search was cut short and what it found is poor, one more is worth its time.
        let is_enough = best.as_ref().is_some_and(|(worth, ..)| *worth > POOR || wider > 1.0);
        if is_kept || is_no_better || (budget.is_spent() && is_enough) {
            break;
        }
    }
    if is_cut_short {
        tube.faults.push(fault(TubeFaultKind::CutShort, manifold.at));
    }
    let Some((_, layout, rules, wider)) = best else {
        tube.faults.push(fault(why, manifold.at));
        tube.zones.push(routed_zone(zone, &area, tube));
        return Ok(());
    };
    let wider = wider * (1.0 + layout.wider_by);
    let laid_spacing = if wider > 1.0 { in_hundredths(asked * wider) } else { asked };
    if wider > 1.0 {
        tube.faults.push(fault(TubeFaultKind::LaidWider, manifold.at));
    }
    if layout.imbalance > EVEN {
        tube.faults.push(fault(TubeFaultKind::Unbalanced, manifold.at));
    }
    if let Some(&at) = crowded(&layout, &rules).first() {
        tube.faults.push(fault(TubeFaultKind::TightBend, at));
    }
    let too_far = layout.too_far;
    take_in(layout, (zone, manifold), &rules, tube);
    let at = PortLine::of(manifold, &job.heating.tube, slab).map_or(manifold.at, |ports| ports.at);
    if ports_taken(manifold, tube).into_iter().all(|port| port.distance(at) > PORTS_ASIDE_IN) {
        tube.faults.push(fault(TubeFaultKind::PortsAside, manifold.at));
    }
    let routed = routed_zone(zone, &area, tube);
    if let Some(at) = too_far {
        let at = routed.widest_gap.map_or(at, |(middle, _)| middle);
        tube.faults.push(fault(TubeFaultKind::TooFar, at));
    }
    tube.zones.push(RoutedZone { laid_spacing, ..routed });
    Ok(())
}

/// Zones in the order they are routed: those led to from a manifold in another zone come first,
/// the farthest before the nearer, so that their leaders find room; then those at a manifold.
#[must_use]
pub fn in_order<'a>(job: &'a Job, plan: &Plan, moving: &MovingJoints) -> Vec<&'a Zone> {
    let slab = std::slice::from_ref(&plan.region);
    let mut order: Vec<(f64, &Zone)> = job
        .heating
        .zones
        .iter()
        .map(|zone| {
            let floor = clear_area(job, plan, zone, moving, (0.0, &[])).floor;
            let ports = manifold_of(job, zone, &floor)
                .and_then(|manifold| PortLine::of(manifold, &job.heating.tube, slab));
            let away = ports.map_or(0.0, |ports| distance_from(ports.at, &floor));
            (if away > AT_MANIFOLD_IN { away } else { 0.0 }, zone)
        })
        .collect();
    order.sort_by(|a, b| b.0.total_cmp(&a.0));
    order.into_iter().map(|(_, zone)| zone).collect()
}

/// A length as it is said, inches.
fn in_hundredths(length: f64) -> f64 {
    (100.0 * length).round() / 100.0
}

/// Ports of a manifold that circuits hang on already.
fn ports_taken(manifold: &Manifold, tube: &Tube) -> Vec<Point> {
    let own = tube.circuits.iter().filter(|circuit| circuit.manifold == manifold.id);
    own.filter_map(|circuit| Some([circuit.path.first()?.start(), circuit.path.last()?.end()]))
        .flatten()
        .collect()
}

/// How wide the ports of the zones at a manifold will be, inches: bundles to other zones that
/// turn off at once leave them this much room.
fn ports_reserved(
    job: &Job,
    plan: &Plan,
    (manifold, ports): (&Manifold, PortLine),
    moving: &MovingJoints,
) -> f64 {
    let limit = FULL * limits::longest_circuit(&job.heating.tube);
    let zones = job.heating.zones.iter().map(|zone| {
        let area = clear_area(job, plan, zone, moving, (0.0, &[]));
        let is_own = manifold_of(job, zone, &area.floor).is_some_and(|own| own.id == manifold.id);
        if !is_own || !stands_in(ports, &area.floor) {
            return 0.0;
        }
        let tube = area.heated.iter().map(Polygon::area).sum::<f64>() / zone.spacing.to_inches();
        2.0 * (tube / limit.max(1.0)).ceil() * ports.spacing
    });
    zones.sum()
}

/// Whether a manifold stands on a floor or in its wall.
pub fn stands_in(ports: PortLine, floor: &[Polygon]) -> bool {
    distance_from(ports.at, floor) <= AT_MANIFOLD_IN
}

/// How far a place lies from a floor, inches; none on it.
fn distance_from(at: Point, floor: &[Polygon]) -> f64 {
    if floor.iter().any(|polygon| polygon.contains(at)) {
        return 0.0;
    }
    floor.iter().map(|polygon| distance_to_sides(at, polygon)).fold(f64::INFINITY, f64::min)
}

/// What a layout is worth that covers so much of the floor.
fn worth_of(cover: f64, layout: &Layout) -> f64 {
    cover - UNEVEN_COST * (layout.imbalance.min(MOST_UNEVEN) - EVEN).max(0.0)
}

/// Whether a longer search may well find better than this layout, which covers so much of the floor.
fn is_wanting(cover: f64, layout: &Layout) -> bool {
    layout.imbalance > UNEVEN || cover < WANTING
}

/// Whether no wider spacing is tried beside this layout: it covers enough of the floor, however
/// uneven its circuits, since valves even those out and nothing a colder floor; or what it does not
/// cover lies too far away, which a wider spacing does not change.
fn is_close_enough(cover: f64, layout: &Layout) -> bool {
    cover > FAIR || layout.too_far.is_some()
}

/// How much of the floor a layout serves: the share within half the spacing and that within three
/// quarters of it.
fn cover_of(layout: &Layout, area: &ClearArea, spacing: f64) -> f64 {
    let floor: f64 = area.heated.iter().map(Polygon::area).sum();
    let cover = cover::Samples::new(&area.heated, 2.0 * sample_step(floor), 2.0 * spacing)
        .map(|mut samples| {
            for found in &layout.circuits {
                samples.lay(&found.path);
            }
            samples.cover(spacing)
        })
        .unwrap_or_default();
    cover.half + cover.three_quarters
}

/// Where bulbs come nearer to other runs than runs may to each other.
pub fn crowded(layout: &Layout, rules: &Rules) -> Vec<Point> {
    let courses: Vec<Course> = layout.circuits.iter().map(Found::course).collect();
    if 2.0 * rules.radius > rules.tube_spacing() {
        crowded_bends(&courses, rules.demands())
    } else {
        Vec::new()
    }
}

/// The ways a zone may be laid: one tube to a lane, and two side by side where returns between
/// neighbours must be bulbs.
fn rules_of(job: &Job, (spacing, look): (f64, Look)) -> Vec<Rules> {
    let choice = &job.heating.tube;
    let radius = limits::least_bend_radius(choice);
    let rules = |pair: Option<f64>| Rules {
        spacing: if pair.is_some() { 2.0 * spacing } else { spacing },
        radius,
        pair,
        limit: limits::longest_circuit(choice),
        edge: choice.edge_distance.to_inches() + pair.unwrap_or(0.0),
        port_spacing: limits::leader_spacing(choice),
        look,
    };
    let mut ways = vec![rules(None)];
    if 2.0 * radius > spacing {
        ways.push(rules(Some(spacing / 2.0)));
    }
    ways
}

/// Nothing that could not be laid is ever given out.
pub fn is_sound(layout: &Layout, limit: f64) -> bool {
    layout.breaches.is_empty() && layout.circuits.iter().all(|found| found.length <= limit)
}

/// Takes a layout of a zone into the tube.
pub fn take_in(
    layout: Layout,
    (zone, manifold): (&Zone, &Manifold),
    rules: &Rules,
    tube: &mut Tube,
) {
    let on_manifold =
        tube.circuits.iter().filter(|circuit| circuit.manifold == manifold.id).count();
    let taken: Vec<u32> = tube
        .circuits
        .iter()
        .filter(|circuit| circuit.zone == zone.id)
        .map(|circuit| circuit.number)
        .collect();
    let numbers = (0_u32..).filter(|number| !taken.contains(number));
    for (place, (number, found)) in numbers.zip(layout.circuits).enumerate() {
        let name = format!("{}-{}", manifold.name, on_manifold + place + 1);
        tube.circuits.push(circuit(found, (name, number), (zone, manifold), rules));
    }
}

fn circuit(
    found: Found,
    (name, number): (String, u32),
    (zone, manifold): (&Zone, &Manifold),
    rules: &Rules,
) -> Circuit {
    Circuit {
        name,
        number,
        zone: zone.id,
        manifold: manifold.id,
        least_radius: least_radius(&found.path),
        path: found.path,
        length: found.length,
        leader: found.leaders.0 + found.leaders.1,
        leader_ends: found.leaders,
        limit: rules.limit,
        is_pinned: false,
        spacing: rules.tube_spacing(),
        is_edge_band: false,
    }
}

/// The least radius of a course's arcs, inches; infinite for a straight one.
pub fn least_radius(path: &[Segment]) -> f64 {
    path.iter()
        .filter_map(|segment| match segment {
            Segment::Arc(arc) => arc.circle().map(|circle| circle.radius),
            Segment::Line(..) => None,
        })
        .fold(f64::INFINITY, f64::min)
}

/// What is said of a zone, or of its edge band, once its tube lies.
pub fn routed_zone(zone: &Zone, area: &ClearArea, tube: &Tube) -> RoutedZone {
    let spacing = zone.spacing.to_inches().max(2.0);
    let heated_area: f64 = area.heated.iter().map(Polygon::area).sum();
    let cover = cover::Samples::new(&area.heated, sample_step(heated_area), 4.0 * spacing)
        .map(|mut samples| {
            for circuit in &tube.circuits {
                samples.lay(&circuit.path);
            }
            samples.cover(spacing)
        })
        .unwrap_or_default();
    RoutedZone {
        id: zone.id,
        name: zone.name.clone(),
        area: area.heated.clone(),
        heated_area,
        spacing,
        laid_spacing: spacing,
        widest_gap: cover.widest_gap,
        covered: cover.half,
        is_edge_band: false,
    }
}

/// Samples close enough for a fair figure, and not too many on a large floor.
fn sample_step(area: f64) -> f64 {
    (area.max(0.0) / 60_000.0).sqrt().clamp(1.5, 12.0)
}

/// The manifold a zone names, else the one nearest to it.
pub fn manifold_of<'a>(job: &'a Job, zone: &Zone, floor: &[Polygon]) -> Option<&'a Manifold> {
    let manifolds = &job.heating.manifolds;
    let named = zone.manifold.and_then(|id| manifolds.iter().find(|item| item.id == id));
    let distance = |item: &&Manifold| distance_from(item.at, floor);
    named.or_else(|| manifolds.iter().min_by(|a, b| distance(a).total_cmp(&distance(b))))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_longer_search_is_for_bare_floor_and_uneven_circuits() {
        let of = |imbalance: f64| Layout { imbalance, ..Layout::default() };
        assert!(!is_wanting(1.95, &of(0.12)));
        assert!(is_wanting(1.95, &of(0.4)) && is_wanting(1.8, &of(0.05)));
        // Evenness is worth some floor, but not half of it.
        assert!(worth_of(1.90, &of(0.1)) > worth_of(1.95, &of(0.4)));
        assert!(worth_of(1.6, &of(1.1)) > worth_of(1.1, &of(0.5)));
    }

    #[test]
    fn uneven_circuits_alone_are_no_reason_for_a_wider_spacing() {
        let uneven = Layout { imbalance: 0.6, ..Layout::default() };
        assert!(is_close_enough(1.95, &uneven));
        assert!(!is_close_enough(1.5, &Layout::default()), "floor is left bare");
        let far = Layout { too_far: Some(Point::ORIGIN), ..Layout::default() };
        assert!(is_close_enough(1.5, &far));
    }
}
