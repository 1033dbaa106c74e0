//! A zone at its manifold, where leaders to other zones may have left only parts of it.
//!
//! A bundle that crosses a zone, a joint that moves or a strip may cut its floor in two; each part
//! is then routed from ports of its own, to that side of the ports already taken where it works.

use super::clear_area::ClearArea;
use super::ports::PortLine;
use super::route::Layout;
use super::rules::Rules;
use super::zone::route_zone;
use crate::effort::{Budget, Cancelled};
use crate::geometry::clip::{difference, intersection};
use crate::geometry::offset::grow_round;
use crate::geometry::{Point, Polygon};

/// A part smaller than this many square spacings holds no circuit of its own.
const LEAST_PART: f64 = 16.0;

/// How far beside taken ports others are tried, in port spacings.
const STEPS_ASIDE: [f64; 3] = [1.5, 5.0, 10.0];

/// The best layout of a zone from its ports, on one of these lines,
/// beside the ports `taken` by other circuits.
///
/// # Errors
/// [`Cancelled`] when nobody waits for it any more.
pub fn route_home_zone(
    area: &ClearArea,
    (lines, taken): (&[PortLine], &[Point]),
    rules: &Rules,
    wanted: Option<u32>,
    budget: &mut Budget,
) -> Result<Option<Layout>, Cancelled> {
    let parts = parts(area, rules);
    if let (1, true, [ports]) = (parts.len(), taken.is_empty(), lines) {
        return route_zone(area, *ports, rules, wanted, budget);
    }
    let mut whole: Option<Layout> = None;
    let mut taken = taken.to_vec();
    let all: f64 = parts.iter().map(floor_of).sum();
    for part in &parts {
        let share = wanted.map(|count| share_of(count, floor_of(part) / all.max(1.0)));
        let mut best: Option<Layout> = None;
        for ports in lines.iter().flat_map(|&ports| beside(ports, &taken)) {
            if budget.is_spent() {
                break;
            }
            let Some(layout) = route_zone(part, ports, rules, share, budget)? else { continue };
            let rank = |layout: &Layout| (layout.breaches.len(), layout.lost_cells);
            let is_better = best.as_ref().is_none_or(|best| {
                rank(&layout) < rank(best)
                    || (rank(&layout) == rank(best) && layout.imbalance < best.imbalance)
            });
            if is_better {
                best = Some(layout);
            }
            if best.as_ref().is_some_and(|best| best.breaches.is_empty() && best.imbalance < 0.1) {
                break;
            }
        }
        let Some(layout) = best else { continue };
        taken.extend(ends(&layout));
        let whole = whole.get_or_insert_with(Layout::default);
        whole.circuits.extend(layout.circuits);
        whole.breaches.extend(layout.breaches);
        whole.lost_cells += layout.lost_cells;
        whole.bends += layout.bends;
        whole.imbalance = whole.imbalance.max(layout.imbalance);
        whole.wider_by = whole.wider_by.max(layout.wider_by);
    }
    Ok(whole)
}

fn share_of(count: u32, share: f64) -> u32 {
    #[expect(clippy::cast_possible_truncation, clippy::cast_sign_loss, reason = "clamped")]
    let part = (f64::from(count) * share).round().clamp(1.0, 1e6) as u32;
    part
}

fn ends(layout: &Layout) -> Vec<Point> {
    let ends = layout
        .circuits
        .iter()
        .filter_map(|found| Some([found.path.first()?.start(), found.path.last()?.end()]));
    ends.flatten().collect()
}

fn floor_of(part: &ClearArea) -> f64 {
    part.heated.iter().map(Polygon::area).sum()
}

/// The zone cut up where no tube can pass, the largest part first.
fn parts(area: &ClearArea, rules: &Rules) -> Vec<ClearArea> {
    let least = LEAST_PART * rules.spacing * rules.spacing;
    let mut pieces: Vec<&Polygon> = area.tube.iter().filter(|piece| piece.area() > least).collect();
    pieces.sort_by(|a, b| b.area().total_cmp(&a.area()));
    if pieces.len() < 2 {
        return vec![area.clone()];
    }
    let reach = rules.edge.max(rules.spacing) + 1.0;
    let mut left = area.heated.clone();
    pieces
        .into_iter()
        .map(|piece| {
            let own = std::slice::from_ref(piece);
            let near = grow_round(own, reach);
            let heated = intersection(&left, &near);
            left = difference(&left, &near);
            ClearArea {
                lanes: intersection(&area.lanes, own),
                open: area.open.clone(),
                tube: own.to_vec(),
                heated,
                served: 0.0,
                floor: area.floor.clone(),
            }
        })
        .collect()
}

/// Port lines to try: the manifold's middle, then left and right of the ports that are taken.
fn beside(ports: PortLine, taken: &[Point]) -> Vec<PortLine> {
    let along = |at: &Point| (*at - ports.at).dot(ports.along);
    let low = taken.iter().map(along).fold(f64::INFINITY, f64::min);
    let high = taken.iter().map(along).fold(f64::NEG_INFINITY, f64::max);
    if low > high {
        return vec![ports];
    }
    let shifted = |by: f64| PortLine { at: ports.at + ports.along * by, ..ports };
    let steps = STEPS_ASIDE.map(|step| step * ports.spacing);
    let mut found: Vec<PortLine> =
        steps.iter().flat_map(|step| [shifted(low - step), shifted(high + step)]).collect();
    if low > 0.0 || high < 0.0 {
        found.insert(0, ports);
    } else {
        // A gap between ports that are taken, where those that turn off at once leave one.
        let mut all: Vec<f64> = taken.iter().map(along).collect();
        all.sort_by(f64::total_cmp);
        let gaps =
            all.iter().zip(all.iter().skip(1)).filter(|(a, b)| *b - *a > 3.0 * ports.spacing);
        found.splice(0..0, gaps.map(|(a, b)| shifted((a + b) / 2.0)));
    }
    found
}
