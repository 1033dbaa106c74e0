//! The contraction joints of a job: the layout chosen, its figures, and others to choose from.

use super::breaches::breaches;
use super::crossings::crossings;
use super::ground::{Frame, Ground, StripLine};
use super::lines::{Run, named, runs_between, tees};
use super::rules::{JointRules, saw_depth};
use super::sawing::plan_sawing;
use super::search::{Aim, search};
use super::settle::settled_panels;
use super::{
    JointKind, JointLayout, JointLine, JointRule, MovingJoints, Proposal, SettledJoints, SlabPanel,
    moving, shape,
};
use crate::effort::{Budget, Cancel, Cancelled};
use crate::facts::joints as facts;
use crate::geometry::{Point, polygon};
use crate::job::Job;
use crate::job::edges::EdgeProfile;
use crate::job::joints::{DrawnKind, JointProposal};
use crate::job::openings::PenetrationKind;
use crate::plan::{Plan, RimId};
use crate::tube::Tube;

impl Ground {
    /// The floor of a job with what its joints must mind, in the job's axes.
    #[must_use]
    pub fn of(job: &Job, plan: &Plan, moving_joints: &MovingJoints) -> Self {
        let locked = job
            .joints
            .drawn
            .iter()
            .filter(|drawn| drawn.kind == DrawnKind::Contraction)
            .filter(|drawn| drawn.from.is_finite() && drawn.to.is_finite())
            .map(|drawn| (drawn.from, drawn.to))
            .collect();
        let lines = moving_joints.lines.iter().filter(|line| line.drawn.is_some());
        Self {
            region: plan.region.clone(),
            corners: plan.corners.iter().map(|corner| (corner.at, corner.angle)).collect(),
            columns: moving::columns(job, plan),
            locked,
            moving: lines.map(|line| (line.from, line.to)).collect(),
            strips: strip_lines(job),
            kept_off: kept_off(job, plan),
        }
    }
}

/// The straight parts of the job's thickened strips.
fn strip_lines(job: &Job) -> Vec<StripLine> {
    /// A shorter part decides nothing about joints.
    const SHORTEST_IN: f64 = 36.0;
    let parts = job.thickenings.strips.iter().flat_map(|strip| {
        let half_width = 0.5 * strip.flat_width.to_inches().clamp(2.0, 240.0);
        strip.line.iter().zip(strip.line.iter().skip(1)).map(move |(&from, &to)| StripLine {
            from,
            to,
            half_width,
        })
    });
    parts
        .filter(|part| part.from.is_finite() && part.to.is_finite())
        .filter(|part| part.from.distance(part.to) > SHORTEST_IN)
        .collect()
}

/// Doors along sides and the rims of drains, with how far offsets of joints keep from them.
fn kept_off(job: &Job, plan: &Plan) -> (Vec<(Point, Point)>, f64) {
    let least = job.joints.offsets_keep_off.to_inches();
    if !(least > 0.0 && least.is_finite()) {
        return (Vec::new(), 0.0);
    }
    let doors = plan.rim.iter().filter_map(|side| match side.id {
        RimId::Side(id) if matches!(job.edges.of_side(id), EdgeProfile::Threshold(_)) => {
            Some((side.segment.start(), side.segment.end()))
        }
        _ => None,
    });
    let drains = plan.penetrations.iter().filter(|thing| thing.kind == PenetrationKind::Drain);
    let rims = drains.flat_map(|drain| polygon::edges(&drain.outline));
    (doors.chain(rims).collect(), least)
}

/// Other layouts are worked out for floors of up to this many panels.
const MOST_PANELS_WITH_PROPOSALS: usize = 60;
/// A floor of more panels than this is a slip of the pen and is left whole, with its breach.
const MOST_PANELS: f64 = 30_000.0;
/// Windows judged before no further way to take a floor apart is tried, and so many more for each
/// panel: more of them changed none of 1,000 random floors.
const MOST_WINDOWS: (u64, u64) = (200_000, 12_000);
/// A rim of so many sides halves them, of twice as many leaves a third.
const MANY_SIDES: u64 = 64;
/// A larger spacing is worth telling when it saves this share of the sawing.
const WORTH_TELLING: f64 = 0.08;

/// The aim that stands behind a proposal's name.
const fn aim_of(proposal: JointProposal) -> Aim {
    match proposal {
        JointProposal::Balanced => Aim::Balanced,
        JointProposal::LeastSawing => Aim::LeastSawing,
        JointProposal::FewestTees | JointProposal::NoTees => Aim::FewestTees,
    }
}

/// Lays out the contraction joints of a job.
///
/// # Errors
/// [`Cancelled`] when nobody waits for it any more.
pub fn lay_out(
    job: &Job,
    plan: &Plan,
    moving_joints: &MovingJoints,
    cancel: &Cancel,
) -> Result<JointLayout, Cancelled> {
    let rules = JointRules::of(job);
    let ground = Ground::of(job, plan, moving_joints);
    if plan.is_empty() {
        return Ok(JointLayout { max_spacing: rules.spacing, ..JointLayout::default() });
    }
    let panels = plan.area / (rules.spacing * rules.spacing);
    let is_endless = panels > MOST_PANELS;
    if !job.joints.has_contraction_joints || is_endless {
        let whole = vec![plan.region.outer.clone()];
        return Ok(finished(job, &ground, &rules, whole, Frame::UPRIGHT));
    }
    let is_small = !ground.is_intricate() && panels < 0.6 * MOST_PANELS_WITH_PROPOSALS as f64;
    let own = aim_of(job.joints.proposal);
    let mut aims = vec![own];
    if is_small {
        let others = [Aim::Balanced, Aim::LeastSawing, Aim::FewestTees];
        aims.extend(others.into_iter().filter(|aim| *aim != own));
    }
    // Endless floors are left whole above, so the panels are a number of a few thousands. On a rim
    // of many sides every window takes longer.
    let sides = plan.region.rings().map(|ring| ring.len() as u64).sum::<u64>();
    let windows = (MOST_WINDOWS.0 + MOST_WINDOWS.1 * panels as u64) / (1 + sides / MANY_SIDES);
    let mut budget = Budget::new(windows, cancel.clone());
    let found = search(&ground, &rules, &aims, &mut budget)?;
    let mut layouts = found.into_iter().map(|laid| {
        let frame = laid.frame.unwrap_or(Frame::UPRIGHT);
        let bound = laid.saw_bound;
        let layout = finished(job, &ground, &rules, laid.panels, frame);
        // Turned ends and joints at columns may saw less than the lines of the grid.
        JointLayout { saw_bound: bound.min(layout.saw_length), ..layout }
    });
    let Some(mut layout) = layouts.next() else { return Ok(JointLayout::default()) };
    let mut proposals: Vec<Proposal> = Vec::new();
    for (aim, other) in aims.iter().skip(1).zip(layouts) {
        let is_new =
            other.lines != layout.lines && proposals.iter().all(|known| known.lines != other.lines);
        if is_new {
            proposals.push(proposal((name_of(*aim, other.tees), choice_of(*aim)), &other));
        }
    }
    // A sharp corner mended in the layout taken may have taken tees away as well.
    let fewest = proposals.iter().map(|other| other.tees).fold(layout.tees, u32::min);
    proposals.retain(|other| other.choice != JointProposal::FewestTees || other.tees <= fewest);
    // Where rules give way already, a larger spacing is no offer.
    let soft = [JointRule::Tee, JointRule::Strip, JointRule::NearDoorOrDrain, JointRule::Aspect];
    let keeps_rules = layout.breaches.iter().all(|breach| soft.contains(&breach.rule));
    if is_small && keeps_rules {
        proposals.extend(larger_spacings(job, &ground, &rules, &layout, &mut budget)?);
    }
    layout.proposals = proposals;
    layout.is_cut_short = budget.is_spent();
    Ok(layout)
}

fn name_of(aim: Aim, tees: u32) -> String {
    match aim {
        Aim::Balanced => "Balanced",
        Aim::LeastSawing => "Least sawing",
        Aim::FewestTees if tees == 0 => "No tees",
        Aim::FewestTees => "Fewest tees",
    }
    .to_string()
}

/// The choice that stands for an aim.
const fn choice_of(aim: Aim) -> JointProposal {
    match aim {
        Aim::Balanced => JointProposal::Balanced,
        Aim::LeastSawing => JointProposal::LeastSawing,
        Aim::FewestTees => JointProposal::FewestTees,
    }
}

fn proposal((name, choice): (String, JointProposal), layout: &JointLayout) -> Proposal {
    Proposal {
        name,
        choice,
        saw_length: layout.saw_length,
        tees: layout.tees,
        panels: u32::try_from(layout.panels.len()).unwrap_or(u32::MAX),
        worst_aspect: layout.panels.iter().map(SlabPanel::aspect).fold(0.0, f64::max),
        spacing: layout.max_spacing,
        lines: layout.lines.clone(),
    }
}

/// What a slightly larger spacing would save, where it saves much: half a foot and a foot more,
/// within the largest usual multiple of the thickness and the cap of the standard.
fn larger_spacings(
    job: &Job,
    ground: &Ground,
    rules: &JointRules,
    layout: &JointLayout,
    budget: &mut Budget,
) -> Result<Vec<Proposal>, Cancelled> {
    let most = (facts::SPACING_MULTIPLES.1 * job.build_up.floor_thickness.to_inches())
        .min(facts::LARGEST_SPACING_IN);
    let mut told = Vec::new();
    let mut known = layout.saw_length;
    for more in [6.0, 12.0] {
        let spacing = rules.spacing + more;
        if spacing > most + 1e-9 || budget.is_spent() {
            break;
        }
        let wider = JointRules { spacing, ..*rules };
        let Some(laid) = search(ground, &wider, &[Aim::LeastSawing], budget)?.into_iter().next()
        else {
            break;
        };
        let frame = laid.frame.unwrap_or(Frame::UPRIGHT);
        let other = finished(job, ground, &wider, laid.panels, frame);
        if other.saw_length < known * (1.0 - WORTH_TELLING) {
            known = other.saw_length;
            let name = format!("Spacing of {}", feet_and_inches(spacing));
            told.push(proposal((name, JointProposal::LeastSawing), &other));
        }
    }
    Ok(told)
}

fn feet_and_inches(inches: f64) -> String {
    let feet = (inches / 12.0).floor();
    format!("{feet}' {}\"", (inches - 12.0 * feet).round())
}

/// A layout with its runs named and its figures and breaches worked out.
#[must_use]
pub fn finished(
    job: &Job,
    ground: &Ground,
    rules: &JointRules,
    panels: Vec<Vec<Point>>,
    frame: Frame,
) -> JointLayout {
    let named_runs = named(runs_between(&panels, ground), frame);
    let panels: Vec<SlabPanel> = panels.iter().map(|panel| slab_panel(panel)).collect();
    let runs: Vec<Run> = named_runs.iter().map(|&(_, run)| run).collect();
    let ends = tees(&runs, ground);
    let has_joints = job.joints.has_contraction_joints;
    let breaches =
        if has_joints { breaches(&panels, &runs, &ends, ground, rules) } else { Vec::new() };
    let depth = saw_depth(job);
    let lines: Vec<JointLine> = named_runs
        .into_iter()
        .map(|(name, run)| JointLine {
            name,
            kind: JointKind::Contraction,
            from: run.from,
            to: run.to,
            saw_depth: depth,
            drawn: drawn_along(job, run),
        })
        .collect();
    JointLayout {
        saw_length: lines.iter().map(JointLine::length).sum(),
        tees: u32::try_from(ends.len()).unwrap_or(u32::MAX),
        lines,
        panels,
        max_spacing: rules.spacing,
        along: frame.along(),
        breaches,
        ..JointLayout::default()
    }
}

/// Contraction joints settled off tube, with crossings and the saw plan.
#[must_use]
pub fn settle(
    job: &Job,
    plan: &Plan,
    moving_joints: &MovingJoints,
    draft: &JointLayout,
    tube: &Tube,
) -> SettledJoints {
    let rules = JointRules::of(job);
    let ground = Ground::of(job, plan, moving_joints);
    let layout = match settled_panels(job, &ground, &rules, draft, tube) {
        Some(panels) => {
            let frame = Frame::turned(draft.along.angle());
            JointLayout {
                proposals: draft.proposals.clone(),
                saw_bound: draft.saw_bound,
                is_cut_short: draft.is_cut_short,
                ..finished(job, &ground, &rules, panels, frame)
            }
        }
        None => draft.clone(),
    };
    let crossings = crossings(job, layout.lines.iter().chain(&moving_joints.lines), tube);
    let sawing = plan_sawing(job, plan, &ground, &layout.lines);
    SettledJoints { layout, crossings, sawing }
}

fn slab_panel(panel: &[Point]) -> SlabPanel {
    let outline = shape::tidy(panel);
    let (long, short) = shape::least_box(&outline);
    SlabPanel { outline, long, short }
}

/// The drawn contraction joint that a run follows.
fn drawn_along(job: &Job, run: Run) -> Option<crate::job::ids::JointId> {
    use crate::geometry::nearest::distance_to_line;
    job.joints
        .drawn
        .iter()
        .filter(|drawn| drawn.kind == DrawnKind::Contraction)
        .find(|drawn| {
            let middle = drawn.from.middle(drawn.to);
            let along = (drawn.to - drawn.from).unit().unwrap_or_default();
            let own = (run.to - run.from).unit().unwrap_or_default();
            distance_to_line(middle, run.from, run.to) < 0.6 && along.cross(own).abs() < 0.01
        })
        .map(|drawn| drawn.id)
}
