//! Outlines and survey shots from the text files that other programs write.
//!
//! | file | form | read by |
//! | --- | --- | --- |
//! | `.wkt` | one `POLYGON` with holes | [`wkt`] |
//! | `.geojson` | one `Polygon`, bare or in a feature | [`geojson`] |
//! | `.csv` | corners as x,y | [`csv`] |
//! | `.csv`, `.txt` | survey shots | [`shots`] |
//!
//! All numbers are in the unit that the user names. What can be mended safely is mended and noted
//! (a repeated corner, a spike); a shape that still cannot be a slab is refused with the place in
//! the text of the corner that is wrong. Coordinates far from the origin, as state plane numbers
//! are, are moved near to it by whole feet, and the shift is told so that shots can follow it.

pub mod csv;
pub mod geojson;
pub mod shots;
pub mod wkt;

use super::openings::{Corner, Opening, Openings};
use super::read_error::{ReadError, TextPlace};
use super::{Job, ids::OpeningId};
use crate::geometry::repair::{Repaired, repair};
use crate::geometry::tolerance::LARGEST_COORDINATE_IN;
use crate::geometry::validity::{RingRole, ShapeFault, faults};
use crate::geometry::{Bounds, Point, Ring, Vector};
use std::sync::Arc;

/// The most corners or shots that a file may bring: beyond it is no slab.
pub const MOST_POINTS: usize = 20_000;
/// Plans that lie farther out than this are moved near to the origin, in inches.
const FAR_IN: f64 = LARGEST_COORDINATE_IN / 2.0;

/// An outline with openings, as read.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Imported {
    /// Corners of the outline in inches, each with the middle point of an arc to the next.
    pub outline: Vec<(Point, Option<Point>)>,
    /// Corners of each opening in inches.
    pub openings: Vec<Vec<Point>>,
    /// What was moved to bring the plan near to the origin; added to the numbers of the file.
    pub shift: Vector,
    /// What the user should know, in words.
    pub notes: Vec<String>,
}

impl Imported {
    /// A job with this outline and these openings, all else at its default.
    #[must_use]
    pub fn into_job(self) -> Job {
        let mut job = Job::from_corners(&self.outline);
        let openings = self
            .openings
            .into_iter()
            .map(|corners| Opening {
                id: job.ids.fresh::<OpeningId>(),
                name: String::new(),
                corners: corners.into_iter().map(|at| Corner { at, through: None }).collect(),
            })
            .collect();
        job.openings = Arc::new(Openings { openings, ..Openings::default() });
        job
    }
}

/// A ring as read, in inches, with the place of each corner in the text where it is known.
#[derive(Clone, Debug, Default)]
struct RawRing {
    points: Vec<(Point, Option<TextPlace>)>,
}

/// Makes an outline (the first ring) and openings (the others) of what was read.
fn finish(mut rings: Vec<RawRing>, mut notes: Vec<String>) -> Result<Imported, ReadError> {
    for ring in &mut rings {
        // Formats that close a ring repeat its first point; lists of corners need not.
        let is_closed = ring.points.len() > 1
            && match (ring.points.first(), ring.points.last()) {
                (Some((first, _)), Some((last, _))) => first.is_near(*last),
                _ => false,
            };
        if is_closed {
            ring.points.pop();
        }
    }
    if rings.iter().map(|ring| ring.points.len()).sum::<usize>() > MOST_POINTS {
        return Err(ReadError::whole(
            format!("There are more than {MOST_POINTS} corners"),
            "Simplify the outline first",
        ));
    }
    let shift = shift_near(&mut rings, &mut notes);
    let mended: Vec<Repaired> = rings
        .iter()
        .enumerate()
        .map(|(number, ring)| {
            let corners: Vec<_> = ring.points.iter().map(|&(at, _)| (at, None)).collect();
            let mended = repair(&corners);
            if !mended.steps.is_empty() {
                let what: Vec<String> = mended.steps.iter().map(ToString::to_string).collect();
                notes.push(format!("Ring {}: {}", number + 1, what.join(", ")));
            }
            mended
        })
        .collect();
    let shapes: Vec<Ring> = mended
        .iter()
        .map(|ring| {
            let corners: Vec<_> = ring.corners.iter().map(|corner| (corner.at, None)).collect();
            Ring::from_corners(&corners)
        })
        .collect();
    let Some((outline, openings)) = shapes.split_first() else {
        return Err(ReadError::whole("There is no outline in it", "Export one polygon"));
    };
    if let Some(fault) = faults(outline, openings).first() {
        return Err(refuse(fault, &rings, &mended));
    }
    let mut rings = mended
        .into_iter()
        .map(|ring| ring.corners.into_iter().map(|corner| corner.at).collect::<Vec<_>>());
    let outline = rings.next().unwrap_or_default().into_iter().map(|at| (at, None)).collect();
    Ok(Imported { outline, openings: rings.collect(), shift, notes })
}

/// A shape that cannot be a slab, told at the corner of the text where its side starts.
fn refuse(fault: &ShapeFault, rings: &[RawRing], mended: &[Repaired]) -> ReadError {
    let place = fault.sides().first().and_then(|side| {
        let ring = match side.ring {
            RingRole::Outline => 0,
            RingRole::Opening(number) => number + 1,
        };
        let corner = mended.get(ring)?.corners.get(side.side)?.number;
        rings.get(ring)?.points.get(corner)?.1
    });
    ReadError { place, message: fault.to_string(), remedy: fault.remedy().to_owned() }
}

/// Moves rings that lie far out near to the origin by whole feet.
fn shift_near(rings: &mut [RawRing], notes: &mut Vec<String>) -> Vector {
    let all = rings.iter().flat_map(|ring| ring.points.iter().map(|&(at, _)| at));
    let Some(bounds) =
        Bounds::of(all).filter(|bounds| bounds.min.is_finite() && bounds.max.is_finite())
    else {
        return Vector::default();
    };
    let farthest = [bounds.min.x, bounds.min.y, bounds.max.x, bounds.max.y]
        .into_iter()
        .fold(0.0_f64, |far, number| far.max(number.abs()));
    if farthest <= FAR_IN {
        return Vector::default();
    }
    let feet = |inches: f64| (inches / 12.0).floor();
    let (east, north) = (feet(bounds.min.x), feet(bounds.min.y));
    let shift = Vector::new(-east * 12.0, -north * 12.0);
    for ring in rings {
        for (at, _) in &mut ring.points {
            *at += shift;
        }
    }
    notes.push(format!(
        "The plan was moved {} ft east and {} ft north to lie near its origin",
        -east, -north
    ));
    shift
}
