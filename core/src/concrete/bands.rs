//! Bands along the sides of a ring, with mitred corners: thickened edges, thresholds, the sloped
//! sides of recesses.
//!
//! A side asks for a depth by the distance from its own line: flat at first, then a slope back to
//! the base. At a given depth the inner line is the ring's side moved in by its own amount, and
//! moved lines meet on the mitre. From that follows for two sides at a corner:
//! - they are alike: the band ends on the line that halves the corner's angle, outside corner or
//!   inside corner;
//! - they differ at an outside corner: both bands run on to the other side's line, and the lower
//!   of the two counts;
//! - they differ at an inside corner: each band ends on the other side's line drawn on, and
//!   between those two lines the higher of the two counts (beside a plain side the band just ends);
//! - nearly straight on: the band ends square.
//!
//! Limits: a mitre is drawn out to at most [`LONGEST_MITRE`] band widths, and where unlike sides
//! meet at slanted inside corners nearer to each other than a band is wide, the lower counts.

use super::SolidPart;
use super::cells::Facet;
use super::convex::{HalfPlane, Plane, clipped, cut};
use crate::geometry::{Point, Vector};

/// How far a band may run on past the end of its side, in band widths.
pub(super) const LONGEST_MITRE: f64 = 20.0;
/// Sine of the turn up to which two sides run straight on: five degrees, the turn from which the
/// plan speaks of an inside corner.
const STRAIGHT_ON: f64 = 0.087;
/// Sides shorter than this, in inches, have no direction worth the name.
const NO_SIDE_IN: f64 = 1e-6;

/// What a side asks for by the distance from its line.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(super) struct Profile {
    /// Depth from the line up to the flat width.
    pub(super) depth: f64,
    /// Width of the flat, inches.
    pub(super) flat: f64,
    /// Run of the slope from there to the base, inches.
    pub(super) run: f64,
}

impl Profile {
    /// A profile with negative widths taken as none.
    pub(super) fn new(depth: f64, flat: f64, run: f64) -> Self {
        Self { depth, flat: flat.max(0.0), run: run.max(0.0) }
    }

    /// Width of the whole band.
    pub(super) fn width(self) -> f64 {
        self.flat + self.run
    }
}

/// A side of a ring, the inside on its left.
#[derive(Clone, Copy, Debug)]
pub(super) struct BandSide {
    pub(super) from: Point,
    pub(super) to: Point,
    /// `None` where the base goes on to the side.
    pub(super) profile: Option<Profile>,
}

/// The band of one side, or of two unlike sides round an inside corner.
#[derive(Clone, Debug)]
pub(super) struct Band {
    /// The part of the ring it starts from: the side, or the corner twice.
    pub(super) along: (Point, Point),
    /// Its whole plan, convex.
    pub(super) outline: Vec<Point>,
    /// Its pieces with their planes.
    pub(super) facets: Vec<Facet>,
}

/// A side made ready: its unit step and what ends its band.
struct Ready {
    side: BandSide,
    step: Vector,
}

/// The bands of a closed ring over a base depth.
pub(super) fn bands_of_ring(ring: &[BandSide], base: f64) -> Vec<Band> {
    // A profile no deeper than the base is the same as none.
    let asks = |profile: &Profile| profile.depth > base && profile.width() > 0.0;
    let sides: Vec<Ready> = ring
        .iter()
        .filter(|side| side.from.distance(side.to) > NO_SIDE_IN)
        .filter_map(|&side| {
            let side = BandSide { profile: side.profile.filter(asks), ..side };
            Some(Ready { side, step: (side.to - side.from).unit()? })
        })
        .collect();
    let ends_of = |index: usize| {
        let count = sides.len();
        let side = |offset: usize| sides.get((index + offset) % count);
        let (before, own, after) = (side(count - 1)?, side(0)?, side(1)?);
        Some((own, after, [end_at(before, own, true), end_at(own, after, false)]))
    };
    let mut bands = Vec::new();
    for index in 0..sides.len() {
        let Some((side, after, ends)) = ends_of(index) else { continue };
        let Some(profile) = side.side.profile else { continue };
        bands.extend(side_band(side, profile, base, ends));
        if let Some((_, _, after_ends)) = ends_of(index + 1) {
            bands.extend(corner_band(side, after, base, [ends[0], after_ends[1]]));
        }
    }
    bands
}

/// What ends a band at the corner between two sides: for the side that starts there or the one
/// that ends there.
fn end_at(before: &Ready, after: &Ready, for_after: bool) -> HalfPlane {
    let corner = after.side.from;
    let turn = before.step.cross(after.step);
    let straight_on = turn.abs() <= STRAIGHT_ON && before.step.dot(after.step) > 0.0;
    let normal = if straight_on || before.side.profile == after.side.profile {
        // The line that halves the angle: square to the mean of the two steps.
        let own = if for_after { after.step } else { -before.step };
        let mean = (before.step + after.step).unit();
        mean.map_or(own, |mean| if for_after { mean } else { -mean })
    } else {
        let other = if for_after { before.step.left() } else { after.step.left() };
        if turn > 0.0 { other } else { -other }
    };
    HalfPlane { base: corner, normal }
}

/// The band along a side between its two ends.
fn side_band(side: &Ready, profile: Profile, base: f64, ends: [HalfPlane; 2]) -> Option<Band> {
    let (from, to) = (side.side.from, side.side.to);
    let inward = side.step.left();
    let reach = side.step * (profile.width() * LONGEST_MITRE);
    let across = |near: f64, far: f64| {
        let strip = [
            from - reach + inward * near,
            to + reach + inward * near,
            to + reach + inward * far,
            from - reach + inward * far,
        ];
        clipped(&strip, ends)
    };
    let facets = pieces_of(profile, from, inward, base)
        .into_iter()
        .map(|(near, far, plane, part)| Facet { corners: across(near, far), plane, part })
        .filter(|facet| !facet.corners.is_empty())
        .collect();
    let outline = across(0.0, profile.width());
    (!outline.is_empty()).then_some(Band { along: (from, to), outline, facets })
}

/// The flat and the slope of a profile: from, to (distances from the line), plane, part.
fn pieces_of(
    profile: Profile,
    on_line: Point,
    inward: Vector,
    base: f64,
) -> Vec<(f64, f64, Plane, SolidPart)> {
    let mut pieces = Vec::with_capacity(2);
    if profile.flat > 0.0 {
        let level = Plane::level(profile.depth);
        pieces.push((0.0, profile.flat, level, SolidPart::EdgeFlat));
    }
    if profile.run > 0.0 {
        let rate = (base - profile.depth) / profile.run;
        let start = on_line + inward * profile.flat;
        let slope = Plane::falling(start, profile.depth, inward, rate);
        pieces.push((profile.flat, profile.width(), slope, SolidPart::EdgeHaunch));
    }
    pieces
}

/// What two unlike thickened sides ask for between their lines at an inside corner, as far as the
/// far ends of both sides allow.
fn corner_band(before: &Ready, after: &Ready, base: f64, far_ends: [HalfPlane; 2]) -> Option<Band> {
    let (one, other) = (before.side.profile?, after.side.profile?);
    let turn = before.step.cross(after.step);
    if one == other || turn >= -STRAIGHT_ON {
        return None;
    }
    let corner = after.side.from;
    let (in_one, in_other) = (before.step.left(), after.step.left());
    let reach = one.width().max(other.width()) * LONGEST_MITRE;
    let around = [(-1.0, -1.0), (1.0, -1.0), (1.0, 1.0), (-1.0, 1.0)]
        .map(|(x, y)| corner + Vector::new(x, y) * reach);
    let between = |inward: Vector, near: f64, far: f64| {
        [
            HalfPlane { base: corner + inward * near, normal: inward },
            HalfPlane { base: corner + inward * far, normal: -inward },
        ]
    };
    let mut facets = Vec::new();
    for (near, far, plane, part) in pieces_of(one, corner, in_one, base) {
        for (other_near, other_far, other_plane, other_part) in
            pieces_of(other, corner, in_other, base)
        {
            let sides = between(in_one, near, far)
                .into_iter()
                .chain(between(in_other, other_near, other_far));
            let shared = clipped(&around, sides.chain(far_ends));
            if shared.is_empty() {
                continue;
            }
            let halves = cut(&shared, |place| plane.at(place) - other_plane.at(place));
            facets.push(Facet { corners: halves.inside, plane: other_plane, part: other_part });
            facets.push(Facet { corners: halves.outside, plane, part });
        }
    }
    facets.retain(|facet| !facet.corners.is_empty());
    let sides =
        between(in_one, 0.0, one.width()).into_iter().chain(between(in_other, 0.0, other.width()));
    let outline = clipped(&around, sides);
    (!outline.is_empty()).then_some(Band { along: (corner, corner), outline, facets })
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::concrete::convex::area;

    fn ring(corners: &[(f64, f64)], profiles: &[Option<Profile>]) -> Vec<BandSide> {
        let points: Vec<Point> = corners.iter().map(|&(x, y)| Point::new(x, y)).collect();
        (0..points.len())
            .map(|index| BandSide {
                from: points[index],
                to: points[(index + 1) % points.len()],
                profile: profiles[index % profiles.len()],
            })
            .collect()
    }

    #[test]
    fn bands_of_a_square_end_on_the_mitre() {
        let edge = Profile::new(12.0, 10.0, 5.0);
        let square = ring(&[(0.0, 0.0), (100.0, 0.0), (100.0, 100.0), (0.0, 100.0)], &[Some(edge)]);
        let bands = bands_of_ring(&square, 4.0);
        let total: f64 = bands.iter().map(|band| area(&band.outline)).sum();
        assert!((total - (10_000.0 - 70.0 * 70.0)).abs() < 1e-6);
    }

    #[test]
    fn beside_a_plain_side_a_band_ends_on_its_line() {
        let edge = Some(Profile::new(12.0, 10.0, 0.0));
        let square = ring(
            &[(0.0, 0.0), (100.0, 0.0), (100.0, 100.0), (0.0, 100.0)],
            &[edge, None, None, None],
        );
        let bands = bands_of_ring(&square, 4.0);
        assert_eq!(bands.len(), 1);
        assert!((area(&bands[0].outline) - 1000.0).abs() < 1e-6);
    }

    #[test]
    fn unlike_sides_at_an_inside_corner_meet_on_their_own_offsets() {
        let (wide, narrow) = (Profile::new(12.0, 10.0, 0.0), Profile::new(9.0, 6.0, 0.0));
        let l = [(0.0, 0.0), (80.0, 0.0), (80.0, 40.0), (40.0, 40.0), (40.0, 80.0), (0.0, 80.0)];
        let none = None;
        let sides = ring(&l, &[none, none, Some(wide), Some(narrow), none, none]);
        let bands = bands_of_ring(&sides, 4.0);
        let corner: Vec<&Band> = bands.iter().filter(|band| band.along.0 == band.along.1).collect();
        assert_eq!(corner.len(), 1);
        assert!((area(&corner[0].outline) - 60.0).abs() < 1e-6);
        assert!(corner[0].facets.iter().all(|facet| facet.plane == Plane::level(9.0)));
    }
}
