//! The safe repairs of a ring: those that change no area that anyone could build.
//!
//! Taken out are corners that repeat the one before, corners at the tip of a spike, and arc points
//! that lie on the chord (such a side is straight). Nothing else is: sides that cross have more
//! than one reading and are the user's to mend. Repairing twice does no more than repairing once.

use super::nearest::distance_to_line;
use super::tolerance::SAME_POINT_IN;
use super::{Arc, Point};

/// A corner that is kept, with its number in the ring as it was.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct KeptCorner {
    /// Which corner of the old ring it is.
    pub number: usize,
    /// Where it is.
    pub at: Point,
    /// The middle point of an arc to the next corner.
    pub through: Option<Point>,
}

/// What was done.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum RepairStep {
    /// A corner that repeated its neighbor was taken out.
    TookRepeatedCorner(Point),
    /// The tip of a spike was taken out.
    TookSpike(Point),
    /// A side drawn as an arc without a bow was made straight.
    Straightened(Point),
}

impl std::fmt::Display for RepairStep {
    fn fmt(&self, formatter: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        match self {
            Self::TookRepeatedCorner(_) => write!(formatter, "took out a repeated corner"),
            Self::TookSpike(_) => write!(formatter, "took out a spike"),
            Self::Straightened(_) => write!(formatter, "made a side without a bow straight"),
        }
    }
}

/// A repaired ring.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Repaired {
    /// Its corners.
    pub corners: Vec<KeptCorner>,
    /// What was done, in order; empty when there was nothing to do.
    pub steps: Vec<RepairStep>,
}

/// Makes the safe repairs. A ring that is not finite, or that would be left with fewer than three
/// corners (two with an arc), is given back as it was.
#[must_use]
pub fn repair(corners: &[(Point, Option<Point>)]) -> Repaired {
    let mut kept: Vec<KeptCorner> = corners
        .iter()
        .enumerate()
        .map(|(number, &(at, through))| KeptCorner { number, at, through })
        .collect();
    let untouched = Repaired { corners: kept.clone(), steps: Vec::new() };
    let is_finite = |point: Point| point.is_finite();
    if !corners.iter().all(|&(at, through)| is_finite(at) && through.is_none_or(is_finite)) {
        return untouched;
    }
    let mut steps = Vec::new();
    straighten(&mut kept, &mut steps);
    while let Some((position, step)) = corner_to_take(&kept) {
        kept.remove(position);
        steps.push(step);
        // A side that lost its corner may have lost its bow with it.
        straighten(&mut kept, &mut steps);
    }
    let has_arc = kept.iter().any(|corner| corner.through.is_some());
    if kept.len() < if has_arc { 2 } else { 3 } {
        return untouched;
    }
    Repaired { corners: kept, steps }
}

fn straighten(kept: &mut [KeptCorner], steps: &mut Vec<RepairStep>) {
    let next: Vec<Point> =
        kept.iter().map(|corner| corner.at).cycle().skip(1).take(kept.len()).collect();
    for (corner, to) in kept.iter_mut().zip(next) {
        let Some(through) = corner.through else { continue };
        if (Arc { from: corner.at, through, to }).circle().is_none() {
            corner.through = None;
            steps.push(RepairStep::Straightened(through));
        }
    }
}

/// The first corner that can safely go.
fn corner_to_take(kept: &[KeptCorner]) -> Option<(usize, RepairStep)> {
    let count = kept.len();
    if count < 3 {
        return None;
    }
    let before = kept.iter().cycle().skip(count - 1);
    let after = kept.iter().cycle().skip(1);
    kept.iter().zip(before).zip(after).enumerate().find_map(
        |(position, ((corner, before), after))| {
            let leaves_straight = corner.through.is_none();
            let arrives_straight = before.through.is_none();
            // The side that starts here has no length: its start corner goes. An arc of no chord is
            // a full circle drawn badly, which has more than one reading.
            if leaves_straight && corner.at.distance(after.at) <= SAME_POINT_IN {
                return Some((position, RepairStep::TookRepeatedCorner(corner.at)));
            }
            let is_back = (corner.at - before.at).dot(after.at - corner.at) < 0.0;
            if leaves_straight && arrives_straight && is_back {
                let off = if corner.at.distance(after.at) <= corner.at.distance(before.at) {
                    distance_to_line(after.at, before.at, corner.at)
                } else {
                    distance_to_line(before.at, corner.at, after.at)
                };
                if off <= SAME_POINT_IN {
                    return Some((position, RepairStep::TookSpike(corner.at)));
                }
            }
            None
        },
    )
}
