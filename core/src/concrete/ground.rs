//! The slab's plan made ready for the solid: tiles, and the rim ring by ring with its edges.
//!
//! Works in axes moved to the middle of the slab, so that a slab far from the origin loses no
//! digits. Arcs are the chords of the plan's own region.

use super::bands::{Band, BandSide, Profile};
use super::convex::{HalfPlane, clipped, sides_of};
use super::partition::trapezoids;
use crate::geometry::{Bounds, Point, Polygon, Segment, Vector, polygon, tolerance};
use crate::plan::{Plan, RimId};

/// A rim side within less than this of a band's border, in inches, only touches it.
const TOUCHING_IN: f64 = 1e-6;

/// A region as convex tiles, with its own sides.
pub(super) struct Tiled {
    pub(super) tiles: Vec<Vec<Point>>,
    edges: Vec<(Point, Point)>,
}

/// A chord or straight side of the rim.
#[derive(Clone, Copy, Debug)]
pub(super) struct RimPiece {
    pub(super) id: RimId,
    pub(super) from: Point,
    pub(super) to: Point,
}

/// The slab made ready.
pub(super) struct Ground {
    /// From these axes back to the job's own.
    pub(super) shift: Vector,
    /// The region.
    pub(super) region: Tiled,
    /// The outline first, then the openings; the slab on the left of each piece.
    pub(super) rings: Vec<Vec<RimPiece>>,
}

impl Ground {
    /// The ground of a plan; `None` when it has no slab.
    pub(super) fn of(plan: &Plan) -> Option<Self> {
        let shift = plan.bounds()?.center().to_vector();
        let moved = |ring: &Vec<Point>| ring.iter().map(|&point| point - shift).collect();
        let region = Polygon {
            outer: moved(&plan.region.outer),
            holes: plan.region.holes.iter().map(moved).collect(),
        };
        let outline_sides = plan.outline.segments.len();
        let mut rings: Vec<Vec<RimPiece>> = Vec::new();
        for (index, side) in plan.rim.iter().enumerate() {
            let starts_ring = index == 0
                || (index >= outline_sides
                    && rings.last().and_then(|ring| ring.first()).map(|piece| piece.id)
                        != Some(side.id));
            if starts_ring {
                rings.push(Vec::new());
            }
            if let Some(ring) = rings.last_mut() {
                ring.extend(chords(side.segment).map(|(from, to)| RimPiece {
                    id: side.id,
                    from: from - shift,
                    to: to - shift,
                }));
            }
        }
        Some(Self { shift, region: Tiled::of(&region), rings })
    }

    /// Each ring with the profiles that its sides ask for.
    pub(super) fn profiled(
        &self,
        profile: impl Fn(RimId) -> Option<Profile>,
    ) -> impl Iterator<Item = Vec<BandSide>> {
        self.rings.iter().map(move |ring| {
            ring.iter()
                .map(|piece| BandSide {
                    from: piece.from,
                    to: piece.to,
                    profile: profile(piece.id),
                })
                .collect()
        })
    }
}

/// The chords of a segment, in order.
fn chords(segment: Segment) -> impl Iterator<Item = (Point, Point)> {
    let ends = segment.flatten(tolerance::ARC_CHORD_IN);
    let starts: Vec<Point> = std::iter::once(segment.start()).chain(ends.iter().copied()).collect();
    starts.into_iter().zip(ends)
}

impl Tiled {
    /// A region cut into tiles.
    pub(super) fn of(region: &Polygon) -> Self {
        Self { tiles: trapezoids(region), edges: region.edges().collect() }
    }

    /// The parts of a band that are joined to where it starts, as convex pieces; `None` when all
    /// of it lies within the region. A band does not jump over a notch into another wing.
    pub(super) fn reached_by(&self, band: &Band) -> Option<Vec<Vec<Point>>> {
        let bounds = Bounds::of(band.outline.iter().copied())?;
        let border: Vec<HalfPlane> = sides_of(&band.outline).collect();
        let is_crossed = self.edges.iter().any(|&(from, to)| {
            Bounds::of([from, to]).is_some_and(|side| side.touches(bounds))
                && length_inside(from, to, &border) > TOUCHING_IN
        });
        if !is_crossed {
            return None;
        }
        let pieces: Vec<Vec<Point>> = self
            .tiles
            .iter()
            .filter(|tile| {
                Bounds::of(tile.iter().copied()).is_some_and(|tile| tile.touches(bounds))
            })
            .map(|tile| clipped(tile, border.iter().copied()))
            .filter(|piece| !piece.is_empty())
            .collect();
        Some(joined_to(band.along, pieces))
    }
}

/// How much of a line runs well inside all half planes.
fn length_inside(from: Point, to: Point, border: &[HalfPlane]) -> f64 {
    let (mut start, mut end) = (0.0_f64, 1.0_f64);
    for side in border {
        let (at_start, at_end) =
            (side.depth_of(from) - TOUCHING_IN, side.depth_of(to) - TOUCHING_IN);
        if at_start <= 0.0 && at_end <= 0.0 {
            return 0.0;
        }
        if at_start < 0.0 {
            start = start.max(at_start / (at_start - at_end));
        } else if at_end < 0.0 {
            end = end.min(at_start / (at_start - at_end));
        }
    }
    (end - start).max(0.0) * from.distance(to)
}

/// The pieces that hang together with a line (or with a corner given twice).
fn joined_to(along: (Point, Point), pieces: Vec<Vec<Point>>) -> Vec<Vec<Point>> {
    let is_corner = along.0 == along.1;
    let (mut joined, mut waiting): (Vec<Vec<Point>>, Vec<Vec<Point>>) =
        pieces.into_iter().partition(|piece| {
            if is_corner {
                sides_of(piece).all(|side| side.depth_of(along.0) > -TOUCHING_IN)
            } else {
                polygon::edges(piece).any(|edge| runs_along(edge, along))
            }
        });
    let mut looked_at = 0;
    while let Some(piece) = joined.get(looked_at).cloned() {
        looked_at += 1;
        let (touching, apart) = waiting.into_iter().partition(|other: &Vec<Point>| {
            polygon::edges(&piece)
                .any(|edge| polygon::edges(other).any(|other| runs_along(edge, other)))
        });
        waiting = apart;
        joined.extend::<Vec<Vec<Point>>>(touching);
    }
    joined
}

/// Whether two lines lie on one line and share a length of it.
fn runs_along(one: (Point, Point), other: (Point, Point)) -> bool {
    let Some(step) = (one.1 - one.0).unit() else { return false };
    let off = |place: Point| step.cross(place - one.0).abs();
    if off(other.0) > TOUCHING_IN || off(other.1) > TOUCHING_IN {
        return false;
    }
    let along = |place: Point| step.dot(place - one.0);
    let (a, b) = (along(other.0), along(other.1));
    a.max(b).min(one.0.distance(one.1)) - a.min(b).max(0.0) > TOUCHING_IN
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::concrete::bands::bands_of_ring;
    use crate::concrete::convex::area;

    #[test]
    fn a_band_does_not_jump_over_a_notch() {
        // A U whose left wing is 10 in wide and whose notch is 4 in wide.
        let u = Polygon::new(
            [(0.0, 0.0), (34.0, 0.0), (34.0, 50.0), (14.0, 50.0), (14.0, 20.0), (10.0, 20.0)]
                .into_iter()
                .chain([(10.0, 50.0), (0.0, 50.0)])
                .map(|(x, y)| Point::new(x, y))
                .collect(),
            Vec::new(),
        );
        let tiled = Tiled::of(&u);
        let west = |from: Point| from.x == 0.0 && from.y == 50.0;
        let ring: Vec<BandSide> = u
            .edges()
            .map(|(from, to)| BandSide {
                from,
                to,
                profile: west(from).then(|| Profile::new(12.0, 20.0, 0.0)),
            })
            .collect();
        let bands = bands_of_ring(&ring, 4.0);
        assert_eq!(bands.len(), 1);
        let pieces = tiled.reached_by(&bands[0]).expect("the notch crosses the band");
        let total: f64 = pieces.iter().map(|piece| area(piece)).sum();
        // Below the notch all 20 in, beside it only the wing's own 10 in; the part of the band
        // beyond the notch is joined below it.
        assert!(total > 0.0 && (total - (20.0 * 20.0 + 10.0 * 30.0 + 6.0 * 30.0)).abs() < 1e-6);
    }
}
