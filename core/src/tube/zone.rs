//! A zone on its manifold: tries axes, numbers of circuits and fans, and keeps the best.

use super::clear_area::ClearArea;
use super::fan::{FanShape, Wing};
use super::frame::Frame;
use super::ports::{PortLine, side_directions};
use super::route::{Layout, Work, rank_against, roots_of, try_fan};
use super::rules::Rules;
use super::view::View;
use crate::effort::{Cancel, Cancelled};
use crate::geometry::Polygon;

/// A layout this even needs no better.
const EVEN_ENOUGH: f64 = 0.08;
/// How full circuits are planned, as a share of the limit.
const FULL: f64 = 0.965;
/// Fans that fit the floor looked at in each set of axes.
const MOST_SPREAD: usize = 32;
/// Fans divided in each set of axes.
const MOST_FANS: usize = 8;
/// Divisions laid out in full.
const MOST_LAID: usize = 2;
/// Axes tried.
const MOST_FRAMES: usize = 3;

/// The best layout of a zone with the number of circuits it has; `None` when nothing fits.
///
/// # Errors
/// [`Cancelled`] when nobody waits for it any more.
pub fn route_zone(
    area: &ClearArea,
    ports: PortLine,
    rules: &Rules,
    wanted: Option<u32>,
    cancel: &Cancel,
) -> Result<Option<Layout>, Cancelled> {
    // What circuits that lie already serve needs no more tube.
    let floor = area.heated.iter().map(Polygon::area).sum::<f64>() - area.served;
    let least = circuits_for(floor, rules, 0);
    let counts: Vec<usize> = wanted.map_or_else(
        || (least..least + 3).collect(),
        |wanted| vec![usize::try_from(wanted).unwrap_or(1).max(1)],
    );
    let mut views: Vec<View> =
        frames(area, ports).into_iter().filter_map(|frame| View::new(area, frame, rules)).collect();
    views.sort_by(|a, b| b.served.total_cmp(&a.served));
    let mut best: Option<((usize, f64), Layout)> = None;
    for view in &views {
        for &count in &counts {
            for mut work in fans(view, ports, count, rules, cancel)? {
                work.divide_well(cancel)?;
                let layout = work.settle(cancel)?;
                let rank = rank_against(&layout, rules.limit);
                if best.as_ref().is_none_or(|(least, _)| rank < *least) {
                    best = Some((rank, layout));
                }
                if best.as_ref().is_some_and(is_good) {
                    return Ok(best.map(|(_, layout)| layout));
                }
            }
        }
    }
    Ok(best.map(|(_, layout)| layout))
}

fn is_good((rank, layout): &((usize, f64), Layout)) -> bool {
    rank.0 == 0 && layout.imbalance < EVEN_ENOUGH
}

/// The most even divisions among the fans that fit, the best first.
fn fans<'a>(
    view: &'a View,
    ports: PortLine,
    count: usize,
    rules: &'a Rules,
    cancel: &Cancel,
) -> Result<Vec<Work<'a>>, Cancelled> {
    let depth = count as f64 * rules.spacing + 24.0;
    let mut tries: Vec<(f64, Work)> = Vec::new();
    for line in ports.places(&view.frame, &view.ground(), 2 * count, depth) {
        let (mut spread_fans, tried) = (0, tries.len());
        for shape in shapes(count) {
            let Some(roots) = roots_of(view, &line, shape, rules) else { continue };
            spread_fans += 1;
            if spread_fans > MOST_SPREAD || tries.len() >= tried + MOST_FANS {
                break;
            }
            let Some(work) = try_fan(view, roots, rules, cancel)? else { continue };
            let unevenness = work.unevenness();
            tries.push((unevenness, work));
            if unevenness < 0.08 {
                break;
            }
        }
        if tries.iter().any(|(unevenness, _)| *unevenness < 0.15) {
            break;
        }
    }
    tries.sort_by(|a, b| a.0.total_cmp(&b.0));
    Ok(tries.into_iter().take(MOST_LAID).map(|(_, work)| work).collect())
}

/// Fewest circuits that hold the tube of a floor, at least one.
fn circuits_for(floor: f64, rules: &Rules, leaders: usize) -> usize {
    let tube = floor / rules.tube_spacing() + leaders as f64 * 2.0 * rules.spacing;
    let count = (tube / (FULL * rules.limit)).ceil().clamp(1.0, 10_000.0);
    #[expect(clippy::cast_possible_truncation, clippy::cast_sign_loss, reason = "clamped")]
    let count = count as usize;
    count
}

fn frames(area: &ClearArea, ports: PortLine) -> Vec<Frame> {
    side_directions(&area.floor)
        .into_iter()
        .take(MOST_FRAMES)
        .map(|(angle, _)| ports.frame(angle))
        .collect()
}

/// Fan shapes in the order they are tried.
fn shapes(count: usize) -> Vec<FanShape> {
    let half = count / 2;
    let mut lefts: Vec<usize> = vec![half, count - half];
    for share in [8, 4, 3, 2] {
        let apart = (half / share * 2).clamp(1, half.max(1)).min(half);
        lefts.extend([half - apart, count - half + apart]);
    }
    if count > 2 {
        lefts.extend([half - 1, count - half + 1]);
    }
    let mut seen = std::collections::BTreeSet::new();
    lefts.retain(|&left| seen.insert(left));
    let mut shapes = Vec::new();
    for before in [0, 1, 2, 3, 5, 8] {
        let (ahead, wall) = (Wing::Ahead(before), Wing::AlongWall(before));
        let both = Wing::Both(before);
        let wings = [(ahead, ahead), (ahead, wall), (wall, ahead), (wall, wall)];
        let more = [(both, both), (ahead, both), (both, ahead), (wall, both), (both, wall)];
        for &to_left in &lefts {
            for (left, right) in wings.into_iter().chain(more) {
                let is_lone = to_left == 0 || to_left == count;
                if !is_lone || left == right {
                    shapes.push(FanShape { to_left, left, right });
                }
            }
        }
    }
    shapes
}
