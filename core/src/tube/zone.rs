//! A zone on its manifold: tries axes, numbers of circuits and fans, and keeps the best.

use super::clear_area::ClearArea;
use super::fan::{FanShape, Wing};
use super::frame::Frame;
use super::ports::{PortLine, side_directions};
use super::route::{Layout, Rules, View, Work, rank_against, try_fan};
use crate::effort::{Cancel, Cancelled};
use crate::geometry::Polygon;

/// A layout this even needs no better.
const EVEN_ENOUGH: f64 = 0.08;
/// How full circuits are planned, as a share of the limit.
const FULL: f64 = 0.965;
/// Fans divided in each set of axes.
const MOST_FANS: usize = 6;
/// Divisions laid out in full.
const MOST_LAID: usize = 3;
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
    let floor: f64 = area.heated.iter().map(Polygon::area).sum();
    let least = circuits_for(floor, rules, 0);
    let counts: Vec<usize> = wanted.map_or_else(
        || (least..least + 3).collect(),
        |wanted| vec![usize::try_from(wanted).unwrap_or(1).max(1)],
    );
    let views: Vec<View> = frames(area, ports)
        .into_iter()
        .filter_map(|frame| View::new(&area.tube, frame, rules))
        .collect();
    let mut best: Option<((usize, f64), Layout)> = None;
    for count in counts {
        let mut tries: Vec<(f64, Work)> = Vec::new();
        for view in &views {
            let Some(line) = ports.ports(&view.frame, &view.field, 2 * count, rules.edge) else {
                continue;
            };
            let mut fits = 0;
            for shape in shapes(count) {
                let Some(work) = try_fan(view, &line, shape, rules, cancel)? else { continue };
                let unevenness = work.unevenness();
                tries.push((unevenness, work));
                fits += 1;
                if unevenness < 0.06 || fits >= MOST_FANS {
                    break;
                }
            }
        }
        // Sorting is stable: of equals the first axes and the plainest fan come first.
        tries.sort_by(|a, b| {
            (a.0 > 0.08).cmp(&(b.0 > 0.08)).then(if a.0 > 0.08 {
                a.0.total_cmp(&b.0)
            } else {
                std::cmp::Ordering::Equal
            })
        });
        for (_, mut work) in tries.into_iter().take(MOST_LAID) {
            let layout = work.settle(cancel)?;
            let rank = rank_against(&layout, rules.limit);
            if best.as_ref().is_none_or(|(least, _)| rank < *least) {
                best = Some((rank, layout));
            }
        }
        let is_done = best
            .as_ref()
            .is_some_and(|(rank, layout)| rank.0 == 0 && layout.imbalance < EVEN_ENOUGH);
        if is_done {
            break;
        }
    }
    Ok(best.map(|(_, layout)| layout))
}

/// Fewest circuits that hold the tube of a floor, at least one.
fn circuits_for(floor: f64, rules: &Rules, leaders: usize) -> usize {
    let tube = floor / rules.spacing + leaders as f64 * 2.0 * rules.spacing;
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
    for apart in 1..=half {
        lefts.extend([half - apart, count - half + apart]);
    }
    lefts.dedup();
    let mut shapes = Vec::new();
    for before in [0, 1, 2, 3, 5, 8] {
        let (ahead, wall) = (Wing::Ahead(before), Wing::AlongWall(before));
        for &to_left in &lefts {
            for (left, right) in [(ahead, ahead), (ahead, wall), (wall, ahead), (wall, wall)] {
                let is_same =
                    (to_left == 0 && left != right) || (to_left == count && left != right);
                if !is_same {
                    shapes.push(FanShape { to_left, left, right });
                }
            }
        }
    }
    shapes
}
