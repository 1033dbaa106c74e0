//! Finds a layout: turns the floor into the frame of its walls, takes large floors apart, lays
//! out each part, and puts the panels together.
//!
//! A part small enough for the dynamic programme is laid out whole and then improved. A larger
//! floor is cut first along lines that a good layout would have anyway (through inside corners
//! and columns, or an even split), so that the time grows with the area; each part knows the
//! joints that its neighbours bring to the common border, so that they run on.

use super::block::Block;
use super::blunt::{Faults, blunted};
use super::bound::sawing_bound;
use super::candidates::{CandidateLimits, MOST_LINES, candidate_lines, parts_of};
use super::ground::{Frame, Ground, frames_of};
use super::halves::{Axis, ON_LINE_IN, Side, half};
use super::improve::{exact_cost, sawing};
use super::manners::{Manner, other_manners};
use super::mend::joined;
use super::part::{Known, Part, broken, rim_between};
use super::rules::{JointRules, Weights};
use super::wings::cut_at_wings;
use crate::effort::{Budget, Cancelled};
use crate::geometry::{Bounds, Point, Polygon, clip, polygon};

/// A layout as panels in the job's axes.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Laid {
    /// Panels, counter-clockwise.
    pub panels: Vec<Vec<Point>>,
    /// Cost in inches of sawing, rules that give way included.
    pub cost: f64,
    /// The part of the cost that rules give.
    pub broken: f64,
    /// No layout on the same lines can do with less sawing, inches; zero when not proven.
    pub saw_bound: f64,
    /// The frame it was laid in.
    pub frame: Option<Frame>,
}

impl Laid {
    /// Panels laid out in a frame are put back into the job's axes.
    fn leave(&mut self, frame: Frame) {
        self.frame = Some(frame);
        for point in self.panels.iter_mut().flatten() {
            *point = frame.leave(*point);
        }
    }
}

/// What to look for.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Aim {
    /// The least sawing.
    LeastSawing,
    /// Squarer panels and fewer tees for up to 2.5 per cent more sawing than the least.
    Balanced,
    /// Few tees, at whatever sawing.
    FewestTees,
}

impl Aim {
    /// What soft aims weigh for it.
    pub const fn weights(self) -> Weights {
        match self {
            Self::LeastSawing => Weights::LEAST_SAWING,
            Self::Balanced => Weights::BALANCED,
            Self::FewestTees => Weights::FEWEST_TEES,
        }
    }
}

/// Parts of up to this many panels are laid out whole.
const LARGEST_PART: u32 = 24;

/// First cuts of a large part that are tried until one leaves room on both sides.
const MOST_CUTS_TRIED: usize = 24;

/// A second frame is tried where its walls have this share, or the first breaks rules.
const SECOND_FRAME_SHARE: f64 = 0.3;

/// Lays out a floor given in the job's axes, once for each aim, in one frame or cut at its wings.
/// The budget counts windows judged; once it is spent, no further way to take the floor apart is
/// tried.
///
/// # Errors
/// [`Cancelled`] when the flag was raised.
pub fn search(
    ground: &Ground,
    rules: &JointRules,
    aims: &[Aim],
    budget: &mut Budget,
) -> Result<Vec<Laid>, Cancelled> {
    let uncut = search_one_piece(ground, rules, aims, budget)?;
    let cut = match uncut.first() {
        _ if ground.is_intricate() => None,
        Some(first) => cut_at_wings(ground, rules, aims, first, budget)?,
        None => None,
    };
    if let Some(cut) = cut {
        return Ok(cut);
    }
    let mut best = uncut;
    // The first aim is the one whose layout is taken.
    if let (Some(&aim), Some(laid), false) = (aims.first(), best.first_mut(), ground.is_intricate())
    {
        with_fewer_sharp_corners(laid, ground, rules, aim, budget)?;
    }
    Ok(best)
}

/// Lays out a floor in one frame: the best over the frames worth trying.
///
/// # Errors
/// [`Cancelled`] when the flag was raised.
pub fn search_one_piece(
    ground: &Ground,
    rules: &JointRules,
    aims: &[Aim],
    budget: &mut Budget,
) -> Result<Vec<Laid>, Cancelled> {
    let mut best: Vec<Laid> = Vec::new();
    for (frame, share) in frames_of(&ground.region, 2) {
        let is_clean = best.first().is_some_and(|laid| laid.broken < 1.0);
        let is_enough = is_clean && share < SECOND_FRAME_SHARE;
        if is_enough || (budget.is_spent() && !best.is_empty()) {
            break;
        }
        let turned = ground.entered(frame);
        let first = Manner::default();
        let mut laid = Floor { ground: &turned, rules, aims, manner: &first }.laid(budget)?;
        for laid in &mut laid {
            laid.leave(frame);
        }
        if best.is_empty() {
            best = laid;
        } else {
            for (best, laid) in best.iter_mut().zip(laid) {
                if laid.cost < best.cost - 1e-6 {
                    *best = laid;
                }
            }
        }
    }
    Ok(best)
}

/// Floors of more panels than this are laid out in one manner only.
const MOST_PANELS_TRIED_AGAIN: usize = 120;

/// Tries other manners on a layout with sharp corners that the slab does not have, and takes the
/// first that has fewer and breaks no other rule more often.
fn with_fewer_sharp_corners(
    laid: &mut Laid,
    ground: &Ground,
    rules: &JointRules,
    aim: Aim,
    budget: &mut Budget,
) -> Result<(), Cancelled> {
    if laid.panels.len() > MOST_PANELS_TRIED_AGAIN {
        return Ok(());
    }
    let mut faults = Faults::of(&laid.panels, ground, rules);
    if faults.sharp == 0 {
        return Ok(());
    }
    let frame = laid.frame.unwrap_or(Frame::UPRIGHT);
    let turned = ground.entered(frame);
    for manner in other_manners(&turned, rules) {
        if budget.is_spent() {
            break;
        }
        let floor = Floor { ground: &turned, rules, aims: &[aim], manner: &manner };
        let Some(mut other) = floor.laid(budget)?.into_iter().next() else { continue };
        other.leave(frame);
        let then = Faults::of(&other.panels, ground, rules);
        if then.is_better_than(&faults) {
            *laid = other;
            faults = then;
            if faults.sharp == 0 {
                break;
            }
        }
    }
    Ok(())
}

/// The floor cut along locked and moving joints that stand slanted in its frame, each drawn on
/// to the edge.
fn split_along_slanted(ground: &Ground) -> Vec<Polygon> {
    let mut pieces = vec![ground.region.clone()];
    for &(from, to) in ground.locked.iter().chain(&ground.moving) {
        let step = to - from;
        let is_slanted = step.x.abs() > 0.01 * step.length() && step.y.abs() > 0.01 * step.length();
        if !is_slanted {
            continue;
        }
        let frame = Frame::turned(step.angle());
        let (at, middle) = (frame.enter(from).y, from.middle(to));
        pieces = pieces
            .into_iter()
            .flat_map(|piece| {
                if !piece.contains(middle) {
                    return vec![piece];
                }
                let turned = frame.enter_region(&piece);
                [Side::Below, Side::Above]
                    .into_iter()
                    .flat_map(|side| halves(&turned, Axis::Y, at, side))
                    .map(|half| {
                        let back = |ring: &Vec<Point>| {
                            ring.iter().map(|&point| frame.leave(point)).collect::<Vec<_>>()
                        };
                        Polygon {
                            outer: back(&half.outer),
                            holes: half.holes.iter().map(back).collect(),
                        }
                    })
                    .collect()
            })
            .collect();
    }
    pieces
}

/// A floor in the frame of its walls, with what is asked of its joints.
struct Floor<'a> {
    ground: &'a Ground,
    rules: &'a JointRules,
    aims: &'a [Aim],
    manner: &'a Manner,
}

impl Floor<'_> {
    /// The layouts in this manner, in the floor's frame, once for each aim.
    fn laid(&self, budget: &mut Budget) -> Result<Vec<Laid>, Cancelled> {
        let mut laid = vec![Laid::default(); self.aims.len()];
        for piece in split_along_slanted(self.ground) {
            self.lay_out_region(&piece, self.manner.skipped_cuts, &mut laid, budget)?;
        }
        for laid in &mut laid {
            let panels = joined(std::mem::take(&mut laid.panels), self.rules);
            laid.panels = blunted(panels, self.ground, self.rules);
        }
        Ok(laid)
    }

    fn lay_out_region(
        &self,
        region: &Polygon,
        skipped_cuts: usize,
        laid: &mut [Laid],
        budget: &mut Budget,
    ) -> Result<(), Cancelled> {
        let Some(bounds) = region.bounds() else { return Ok(()) };
        let spacing = self.rules.spacing;
        let parts = (parts_of(bounds.width(), spacing), parts_of(bounds.height(), spacing));
        let crowded = self.crowded_axis(bounds);
        if parts.0 * parts.1 > LARGEST_PART || crowded.is_some() {
            let longer = if parts.0 >= parts.1 { Axis::X } else { Axis::Y };
            let axis = crowded.unwrap_or(longer);
            let mut cuts = best_cuts(self.ground, self.rules, region, bounds, axis);
            cuts.drain(..skipped_cuts.min(cuts.len().saturating_sub(1)));
            for at in cuts.into_iter().take(MOST_CUTS_TRIED) {
                let pieces: Vec<Polygon> = [Side::Below, Side::Above]
                    .into_iter()
                    .flat_map(|side| halves(region, axis, at, side))
                    .collect();
                if !pieces.iter().all(|piece| is_roomy(piece, spacing)) {
                    continue;
                }
                for piece in pieces {
                    self.lay_out_region(&piece, 0, laid, budget)?;
                }
                return Ok(());
            }
        }
        self.lay_out_part(region, laid, budget)
    }

    /// The axis across which rules ask for more lines than one search takes.
    fn crowded_axis(&self, bounds: Bounds) -> Option<Axis> {
        let limits = CandidateLimits { most: 2, extra_parts: 0 };
        let count = |axis| {
            candidate_lines(self.ground, bounds, axis, self.rules.spacing, &[], limits).len()
        };
        let (across, up) = (count(Axis::X), count(Axis::Y));
        let axis = if across >= up { Axis::X } else { Axis::Y };
        (across.max(up) >= MOST_LINES).then_some(axis)
    }

    /// Lays out one part whole.
    fn lay_out_part(
        &self,
        region: &Polygon,
        laid: &mut [Laid],
        budget: &mut Budget,
    ) -> Result<(), Cancelled> {
        let (Some(bounds), Some(first)) = (region.bounds(), laid.first()) else { return Ok(()) };
        let near = panels_near(&first.panels, bounds);
        let [wanted_x, wanted_y] = &self.manner.further;
        let also = [(Axis::X, wanted_x), (Axis::Y, wanted_y)].map(|(axis, wanted)| {
            let mut also = brought(&near, bounds, axis);
            also.extend(wanted);
            also
        });
        let limits = self.limits_for(bounds);
        let limits = CandidateLimits { most: limits.most + self.manner.more_lines, ..limits };
        let block =
            Block::new(self.ground, self.rules, region.clone(), [&also[0], &also[1]], limits);
        let Some(block) = block else {
            // A floor without width has nothing to saw.
            for laid in laid {
                laid.panels.push(region.outer.clone());
            }
            return Ok(());
        };
        budget.spend(block.window_count() as u64);
        let mut known = Known::default();
        for (aim, laid) in self.aims.iter().zip(laid) {
            let near = panels_near(&laid.panels, bounds);
            let part = Part { block: &block, near: &near, cancel: budget.cancel() };
            let windows = part.solve(*aim, &mut known)?;
            let weights = aim.weights();
            let rim = rim_between(&block, &near, &weights);
            laid.cost += exact_cost(&block, &windows, &rim, &weights);
            let broken = broken(&block, &windows);
            laid.broken += broken;
            if near.is_empty() && self.is_whole(region) && broken < 1.0 {
                let sawn = known.least.as_ref().map_or(0.0, |least| sawing(&block, least));
                laid.saw_bound = sawing_bound(&block, sawn);
            }
            laid.panels.extend(windows.iter().flat_map(|&window| block.parts(window)));
        }
        Ok(())
    }

    /// A part of few panels is searched on more lines: there each of them matters more.
    fn limits_for(&self, bounds: Bounds) -> CandidateLimits {
        let spacing = self.rules.spacing;
        if bounds.width() * bounds.height() < 7.0 * spacing * spacing {
            CandidateLimits { most: 24, extra_parts: 3 }
        } else {
            CandidateLimits { most: 20, extra_parts: 2 }
        }
    }

    /// Whether a region is the whole floor.
    fn is_whole(&self, region: &Polygon) -> bool {
        (region.area() - self.ground.region.area()).abs() < 1.0
    }
}

/// Whether a piece has room for panels: no sliver between a cut and a wall.
fn is_roomy(piece: &Polygon, spacing: f64) -> bool {
    let (_, short) = super::shape::least_box(&piece.outer);
    short > 0.4 * spacing && piece.area() > 0.25 * spacing * spacing
}

/// Panels laid out before that touch a box.
fn panels_near(panels: &[Vec<Point>], bounds: Bounds) -> Vec<Vec<Point>> {
    panels
        .iter()
        .filter(|panel| {
            Bounds::of(panel.iter().copied()).is_some_and(|own| own.grown(0.2).touches(bounds))
        })
        .cloned()
        .collect()
}

/// Coordinates of joints that neighbours bring to the border of a box.
fn brought(near: &[Vec<Point>], bounds: Bounds, axis: Axis) -> Vec<f64> {
    let on_border = |point: &&Point| {
        (axis.along(**point) - axis.along(bounds.min)).abs() < 0.1
            || (axis.along(**point) - axis.along(bounds.max)).abs() < 0.1
    };
    near.iter()
        .flat_map(|panel| panel.iter().filter(on_border))
        .map(|point| axis.of(*point))
        .collect()
}

/// The parts of a region on one side of a line.
#[must_use]
pub fn halves(region: &Polygon, axis: Axis, at: f64, side: Side) -> Vec<Polygon> {
    let outers = half(&region.outer, axis, at, side);
    let holes: Vec<Vec<Point>> =
        region.holes.iter().flat_map(|hole| half(hole, axis, at, side)).collect();
    // An opening that the line touches has become part of the edge, as one that it cuts.
    let touches = |point: &Point| (axis.of(*point) - at).abs() < 2.0 * ON_LINE_IN;
    let is_cut = holes.len() != region.holes.len()
        || holes.iter().any(|hole| !region.holes.contains(hole) || hole.iter().any(touches));
    let plain = |outer| Polygon::new(outer, Vec::new());
    if region.holes.is_empty() || holes.is_empty() {
        return outers.into_iter().map(plain).collect();
    }
    if is_cut {
        let outers: Vec<Polygon> = outers.into_iter().map(plain).collect();
        let holes: Vec<Polygon> = holes.into_iter().map(plain).collect();
        return clip::difference(&outers, &holes);
    }
    outers
        .into_iter()
        .map(|outer| {
            let own = holes.iter().filter(|hole| {
                hole.first().is_some_and(|&point| polygon::ring_contains(&outer, point))
            });
            let own = own.cloned().collect();
            Polygon::new(outer, own)
        })
        .collect()
}

/// Where to cut a large part, best first: near its middle, on a line that costs no extra row of
/// panels.
fn best_cuts(
    ground: &Ground,
    rules: &JointRules,
    region: &Polygon,
    bounds: Bounds,
    axis: Axis,
) -> Vec<f64> {
    let (low, high) = (axis.of(bounds.min), axis.of(bounds.max));
    let limits = CandidateLimits { most: 400, extra_parts: 0 };
    let lines = candidate_lines(ground, bounds, axis, rules.spacing, &[], limits);
    let length = high - low;
    let all = parts_of(length, rules.spacing);
    let middle = (low + high) / 2.0;
    let corners: Vec<Point> =
        ground.inside_corners().filter(|corner| bounds.grown(0.1).contains(*corner)).collect();
    // Strips along the cut: of those within reach of this part.
    let strips: Vec<f64> = ground
        .strips
        .iter()
        .filter(|strip| {
            let (from, to) = (axis.along(strip.from), axis.along(strip.to));
            let is_level = (axis.of(strip.from) - axis.of(strip.to)).abs() < 0.5;
            let reaches = from.max(to) > axis.along(bounds.min) + 1.0
                && from.min(to) < axis.along(bounds.max) - 1.0;
            is_level && reaches
        })
        .map(|strip| axis.of(strip.from))
        .collect();
    let rated = |at: f64| {
        let share = (at - low) / length;
        if !(0.2..=0.8).contains(&share) {
            return None;
        }
        let sawn: f64 = super::stretches::inner_stretches(region, axis, at)
            .iter()
            .map(|(from, to)| to - from)
            .sum();
        let parts = parts_of(at - low, rules.spacing) + parts_of(high - at, rules.spacing);
        let across = axis.along(bounds.max) - axis.along(bounds.min);
        let extra_row = f64::from(parts.saturating_sub(all)) * across * 0.5;
        let met = corners.iter().filter(|corner| (axis.of(**corner) - at).abs() < 0.1).count()
            + ground.columns.iter().filter(|column| (axis.of(column.at) - at).abs() < 0.1).count()
            + 2 * strips.iter().filter(|strip| (**strip - at).abs() < 0.1).count();
        let off_middle = (at - middle).abs() * 0.2;
        // A cut that passes close by a corner or a column leaves no good panel between.
        let spoils = |stands: f64| (0.1..0.35 * rules.spacing).contains(&(stands - at).abs());
        let spoiled = corners.iter().filter(|corner| spoils(axis.of(**corner))).count()
            + ground.columns.iter().filter(|column| spoils(axis.of(column.at))).count()
            + strips.iter().filter(|strip| spoils(**strip)).count();
        let gain = met as f64 * 0.5 - spoiled as f64 * 0.6;
        Some(sawn * 0.3 + extra_row + off_middle - gain * rules.spacing)
    };
    let mut rated: Vec<(f64, f64)> =
        lines.into_iter().filter_map(|at| Some((rated(at)?, at))).collect();
    rated.sort_by(|a, b| a.0.total_cmp(&b.0).then(a.1.total_cmp(&b.1)));
    rated.into_iter().map(|(_, at)| at).collect()
}
