//! What a changed run serves: floor that was not, less what is no longer.

#![expect(
    clippy::indexing_slicing,
    reason = "corners and courses are numbered by the caller's own loops over the same vectors"
)]

use super::tries::turning;
use super::{Floor, Leg, Near, lies_on};
use crate::geometry::nearest::length_along;
use crate::geometry::{Bounds, Point};
use crate::tube::bends::strain;
use crate::tube::draw_out::Legs;
use crate::tube::raster::Raster;
use crate::units::exact_math;

/// How many corners before and after a run belong to its surroundings.
const AROUND: usize = 4;
/// Floor is measured this often, in parts of a spacing.
const FINE: f64 = 6.0;

/// Corners of a course with those about them, before and after a change.
pub struct Stretch {
    old: Vec<Point>,
    new: Vec<Point>,
    course: usize,
    /// The legs of the course that are looked at anew: first, and one past the last.
    legs: (usize, usize),
    /// The box of what changes.
    changed: Option<Bounds>,
}

impl Stretch {
    /// The corners of a course from one to another, and a line in their place.
    pub fn of(courses: &[Legs], course: usize, (from, to): (usize, usize), line: &[Point]) -> Self {
        let corners = &courses[course].corners;
        let first = from.saturating_sub(AROUND);
        let last = (to + 1 + AROUND).min(corners.len());
        let old = corners[first..last].to_vec();
        let mut new = old.clone();
        new.splice(from - first..=to - first, line.iter().copied());
        let gone = &corners[from..=to];
        // Where the line leaves the corners it replaces, one that stays is an end of a new leg too.
        let is_new = |leg: &&[Point]| {
            !gone.windows(2).any(|old| lies_on((leg[0], leg[1]), (old[0], old[1])))
        };
        let laid = line.windows(2).filter(is_new).flatten().copied();
        let moved = gone.iter().copied().filter(|corner| !line.contains(corner));
        let changed = Bounds::of(laid.chain(moved));
        Self { old, new, course, legs: (first, last - 1), changed }
    }

    /// How many right angles the course turns through more.
    pub fn bends(&self) -> f64 {
        turning(&self.new) - turning(&self.old)
    }

    /// How much longer its straight legs are, inches.
    pub fn longer(&self) -> f64 {
        length_along(&self.new) - length_along(&self.old)
    }

    /// Whether the change can be bent as [`can_be_bent`] says.
    pub fn can_be_bent(&self, radius: f64) -> bool {
        can_be_bent(&self.old, &self.new, radius)
    }

    /// What floor is served that was not, less what is no longer, square spacings.
    pub fn gain(&self, courses: &[Legs], near: &[Near], floor: Floor) -> f64 {
        let Some(changed) = self.changed else { return 0.0 };
        let mut still: Vec<Leg> = Vec::new();
        for other in near {
            let is_looked_at =
                other.course == self.course && (self.legs.0..self.legs.1).contains(&other.leg);
            if !is_looked_at && touches(&other.ends, changed, floor) {
                rounded_leg(&courses[other.course].corners, other.leg, floor.radius, &mut still);
            }
        }
        let rounded = |corners| rounded(corners, floor.radius);
        gain_of(changed, &still, (&rounded(&self.old), &rounded(&self.new)), floor)
    }
}

/// Whether new corners leave no leg too short for its bends that was long enough.
pub fn can_be_bent(old: &[Point], new: &[Point], radius: f64) -> bool {
    let mut spare = Vec::new();
    let (old, new) = (strain(old, radius, &mut spare), strain(new, radius, &mut spare));
    new.short_legs <= old.short_legs
}

/// How far a place may be from tube to be served at all, inches.
fn far(floor: Floor) -> f64 {
    0.75 * floor.spacing
}

/// Whether a piece of tube may serve floor that a change in this box matters to.
fn touches(piece: &Leg, changed: Bounds, floor: Floor) -> bool {
    let about = changed.grown(far(floor));
    Bounds::of([piece.0, piece.1]).is_some_and(|bounds| bounds.grown(far(floor)).touches(about))
}

/// What floor is served that was not, less what is no longer, square spacings: tube that stays, and
/// what lies in a box before a change and after it.
pub fn gain_of(changed: Bounds, still: &[Leg], (old, new): (&[Leg], &[Leg]), floor: Floor) -> f64 {
    let spacing = floor.spacing;
    let (half, far) = (spacing / 2.0, far(floor));
    let about = changed.grown(far);
    let places = (about.width(), about.height());
    let raster = Raster::new(about.min, places, spacing / FINE);
    let laid = |pieces: &[Leg], mut nearest: Vec<f64>| {
        for &piece in pieces {
            raster.lay(piece, far, &mut nearest);
        }
        nearest
    };
    // What tube that stays serves well needs no look.
    let mut by_others = laid(still, vec![f64::INFINITY; raster.len()]);
    for nearest in by_others.iter_mut().filter(|nearest| **nearest <= half) {
        *nearest = f64::NAN;
    }
    let before = laid(old, by_others.clone());
    let after = laid(new, by_others);
    let worth = |distance: f64| f64::from(u8::from(distance <= half) + u8::from(distance <= far));
    let mut gain = 0.0;
    for (number, (&before, &after)) in before.iter().zip(&after).enumerate() {
        let change = worth(after) - worth(before);
        if change != 0.0 && floor.heated.contains(raster.place(number)) {
            gain += change;
        }
    }
    gain / (FINE * FINE)
}

/// All legs between corners, their bends as lines.
pub fn rounded(corners: &[Point], radius: f64) -> Vec<Leg> {
    let mut pieces = Vec::new();
    for leg in 0..corners.len().saturating_sub(1) {
        rounded_leg(corners, leg, radius, &mut pieces);
    }
    pieces
}

/// A leg without what the bends at its ends take of it, and the bend at its end, as lines.
pub fn rounded_leg(corners: &[Point], leg: usize, radius: f64, pieces: &mut Vec<Leg>) {
    let (from, to) = (corners[leg], corners[leg + 1]);
    let bend = |at: usize| -> Option<[Point; 3]> {
        let (before, corner, after) =
            (corners[at.checked_sub(1)?], *corners.get(at)?, *corners.get(at + 1)?);
        let (into, out) = (corner - before, after - corner);
        let turn = exact_math::atan2(into.cross(out).abs(), into.dot(out)) / 2.0;
        let room = 0.5 * into.length().min(out.length());
        let used = (radius * exact_math::tan(turn.min(1.5))).min(room);
        let (from, to) = (corner - into.unit()? * used, corner + out.unit()? * used);
        let cos = exact_math::cos(turn);
        Some([from, from.middle(to).toward(corner, cos / (1.0 + cos)), to])
    };
    let from = bend(leg).map_or(from, |bend| bend[2]);
    match bend(leg + 1) {
        Some([into, apex, out]) => pieces.extend([(from, into), (into, apex), (apex, out)]),
        None => pieces.push((from, to)),
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_leg_is_rounded_as_its_bends_are() {
        let corners = [(0.0, 0.0), (20.0, 0.0), (20.0, 20.0)].map(|(x, y)| Point::new(x, y));
        let mut pieces = Vec::new();
        rounded_leg(&corners, 0, 5.0, &mut pieces);
        let middle = Point::new(15.0, 5.0);
        assert!(pieces[0].1.distance(Point::new(15.0, 0.0)) < 1e-9, "{pieces:?}");
        // The bend goes round its middle at the radius.
        assert!((pieces[1].1.distance(middle) - 5.0).abs() < 1e-9, "{pieces:?}");
        assert!((pieces[2].1.distance(middle) - 5.0).abs() < 1e-9, "{pieces:?}");
    }
}
