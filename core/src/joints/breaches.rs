//! Rules that a finished layout does not keep, and where: measured on the panels and runs
//! themselves, not taken from the search.

use super::ground::{Ground, StripLine};
use super::lines::Run;
use super::rules::JointRules;
use super::{JointBreach, JointRule, SlabPanel, shape};
use crate::geometry::{Point, nearest, polygon};

/// All breaches of a layout.
#[must_use]
pub fn breaches(
    panels: &[SlabPanel],
    runs: &[Run],
    tees: &[Point],
    ground: &Ground,
    rules: &JointRules,
) -> Vec<JointBreach> {
    let mut found = Vec::new();
    for panel in panels {
        let at = polygon::centroid(&panel.outline);
        let mut tell = |rule, amount| found.push(JointBreach { rule, at, amount });
        if panel.long > rules.spacing + 0.01 {
            tell(JointRule::Spacing, panel.long);
        }
        if panel.aspect() > rules.aspect_limit + 1e-6 {
            tell(JointRule::Aspect, panel.aspect());
        }
        if panel.short < rules.narrowest - 0.01 {
            tell(JointRule::Sliver, panel.short);
        }
        let outline = shape::tidy(&panel.outline);
        found.extend(sharp_corners(&outline, ground, rules));
    }
    let lines = || runs.iter().map(|run| (run.from, run.to)).chain(ground.moving.iter().copied());
    let is_met = |at: Point, reach: f64| {
        lines().any(|(from, to)| nearest::distance_to_line(at, from, to) < reach)
    };
    for at in ground.inside_corners().filter(|&at| !is_met(at, 0.1)) {
        found.push(JointBreach { rule: JointRule::InsideCorner, at, amount: 0.0 });
    }
    for column in &ground.columns {
        let touches = lines().any(|(from, to)| {
            let near = nearest::distance_to_line(column.at, from, to);
            let along = nearest::nearest_on_line(column.at, from, to);
            near < column.reach + 0.2 && is_aimed(column.at, along, from, to)
        });
        if !touches {
            found.push(JointBreach {
                rule: JointRule::Column,
                at: column.at,
                amount: column.reach,
            });
        }
    }
    found.extend(ground.strips.iter().filter_map(|strip| off_strip(strip, lines())));
    found.extend(tees.iter().filter_map(|&at| {
        let amount = ground.too_near_door_or_drain(at)?;
        Some(JointBreach { rule: JointRule::NearDoorOrDrain, at, amount })
    }));
    found.extend(tees.iter().map(|&at| JointBreach { rule: JointRule::Tee, at, amount: 1.0 }));
    found
}

/// A strip that for more than a quarter of its length has no joint over it.
fn off_strip(
    strip: &StripLine,
    lines: impl Iterator<Item = (Point, Point)>,
) -> Option<JointBreach> {
    const SPARED_SHARE: f64 = 0.25;
    let along = (strip.to - strip.from).unit()?;
    let length = strip.from.distance(strip.to);
    let over: f64 = lines
        .map(|(from, to)| {
            let (start, end) = (from - strip.from, to - strip.from);
            let off = along.cross(start).abs().max(along.cross(end).abs());
            let (a, b) = (along.dot(start), along.dot(end));
            if off > strip.half_width + 0.1 {
                0.0
            } else {
                (a.max(b).min(length) - a.min(b).max(0.0)).max(0.0)
            }
        })
        .sum();
    (length - over > SPARED_SHARE * length).then(|| JointBreach {
        rule: JointRule::Strip,
        at: strip.from.middle(strip.to),
        amount: length - over,
    })
}

/// Whether a line, drawn on, runs through (or close by) the column's centre.
fn is_aimed(center: Point, nearest_point: Point, from: Point, to: Point) -> bool {
    const OFF_CENTER_IN: f64 = super::candidates::COLUMN_ON_LINE_IN + 0.2;
    let Some(along) = (to - from).unit() else { return false };
    along.cross(center - nearest_point).abs() < OFF_CENTER_IN
}

/// Corners sharper than the rule where the slab itself is not.
#[must_use]
pub fn sharp_corners(outline: &[Point], ground: &Ground, rules: &JointRules) -> Vec<JointBreach> {
    shape::angles(outline)
        .filter(|&(_, angle)| angle < rules.sharpest - 1e-3)
        .filter(|&(at, angle)| ground.own_angle(at).is_none_or(|own| own > angle + 0.01))
        .map(|(at, angle)| JointBreach {
            rule: JointRule::SharpCorner,
            at,
            amount: angle.to_degrees(),
        })
        .collect()
}
