//! A picture of a plan that the outline is traced over: where it is and how it lies.
//!
//! The job keeps the path and the placement, and the file itself only where a person asked for
//! that: a job stays small, and one whose picture is gone still holds where it lay. The placement
//! is in the plan's own terms (a corner, a width, a turn), so that a sharper scan of the same page
//! falls into the same place.

use super::file_bytes::FileBytes;
use crate::geometry::{Point, Vector};
use crate::units::{Length, exact_math};
use serde::{Deserialize, Serialize};

/// What lies under the plan.
#[derive(Clone, Debug, Default, PartialEq, Serialize, Deserialize)]
#[serde(default, deny_unknown_fields)]
pub struct Underlay {
    /// The picture; none when nothing is traced.
    pub picture: Option<PlanPicture>,
}

/// A picture with its place in the plan.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
#[serde(default, deny_unknown_fields)]
pub struct PlanPicture {
    /// The file: relative to the job's own folder where it lies in it, else the whole path.
    pub path: String,
    /// The page of a file that has several, counted from 1.
    pub page: u32,
    /// The place of the picture's lower left corner.
    pub at: Point,
    /// The plan length that the picture's width covers.
    pub width: Length,
    /// Counter-clockwise turn about the lower left corner, degrees.
    pub turn_degrees: f64,
    /// How strongly it shows, above 0 and up to 1.
    pub strength: f64,
    /// A dimension of the picture was measured, so that its scale can be trusted.
    pub is_to_scale: bool,
    /// The file itself, where it is kept in the job; else it lies at the path.
    pub kept: FileBytes,
}

/// The width that a picture gets before anyone has set its scale, in feet: a usual house.
const FIRST_WIDTH_FT: f64 = 60.0;
/// A plan seen so faintly that lines drawn over it stand out, yet can be read.
const FIRST_STRENGTH: f64 = 0.55;
/// Marks closer than this say nothing about a scale, in inches of the plan as it lies.
const NEAREST_MARKS_IN: f64 = 0.5;
/// The least and the greatest width of a picture, in inches.
pub const WIDTH_RANGE_IN: (f64, f64) = (1.0, 100_000.0);

impl Default for PlanPicture {
    fn default() -> Self {
        Self {
            path: String::new(),
            page: 1,
            at: Point::ORIGIN,
            width: Length::feet(FIRST_WIDTH_FT),
            turn_degrees: 0.0,
            strength: FIRST_STRENGTH,
            is_to_scale: false,
            kept: FileBytes::default(),
        }
    }
}

impl PlanPicture {
    /// A picture that nobody has placed yet, with its lower left corner at the plan's zero.
    #[must_use]
    pub fn new(path: String, page: u32) -> Self {
        Self { path, page, ..Self::default() }
    }

    /// Its corners in the plan, from the lower left one counter-clockwise, for a picture that is
    /// `height_by_width` times as high as it is wide.
    #[must_use]
    pub fn corners(&self, height_by_width: f64) -> [Point; 4] {
        let along = Vector::from_angle(self.turn_degrees.to_radians()) * self.width.to_inches();
        let up = along.left() * height_by_width;
        [self.at, self.at + along, self.at + along + up, self.at + up]
    }

    /// The same picture grown or shrunk about `from`, so that `from` to `to` is `length` long;
    /// `None` when the marks are too close to tell or the picture would not fit any plan.
    #[must_use]
    pub fn scaled(&self, from: Point, to: Point, length: Length) -> Option<Self> {
        let measured = from.distance(to);
        if !(measured >= NEAREST_MARKS_IN && length.to_inches() > 0.0) {
            return None;
        }
        let factor = length.to_inches() / measured;
        let width = self.width.to_inches() * factor;
        if !(WIDTH_RANGE_IN.0..=WIDTH_RANGE_IN.1).contains(&width) {
            return None;
        }
        Some(Self {
            at: from + (self.at - from) * factor,
            width: Length::inches(width),
            is_to_scale: true,
            ..self.clone()
        })
    }

    /// The same picture turned about `from`, so that `from` to `to` runs along the nearer axis;
    /// `None` when the marks are too close to tell.
    #[must_use]
    pub fn squared(&self, from: Point, to: Point) -> Option<Self> {
        if from.distance(to) < NEAREST_MARKS_IN {
            return None;
        }
        let angle = (to - from).angle();
        let quarter = std::f64::consts::FRAC_PI_2;
        let turn = (angle / quarter).round() * quarter - angle;
        let arm = self.at - from;
        let (sin, cos) = (exact_math::sin(turn), exact_math::cos(turn));
        let turned = Vector::new(arm.x * cos - arm.y * sin, arm.x * sin + arm.y * cos);
        let degrees = self.turn_degrees + turn.to_degrees();
        Some(Self {
            at: from + turned,
            // Kept within half a turn either way, so that it stays readable in the panel.
            turn_degrees: degrees - 360.0 * (degrees / 360.0).round(),
            ..self.clone()
        })
    }

    /// The same picture moved by a step.
    #[must_use]
    pub fn moved(&self, step: Vector) -> Self {
        Self { at: self.at + step, ..self.clone() }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    /// A mark at a share of the picture's width and height.
    fn mark(picture: &PlanPicture, right: f64, up: f64) -> Point {
        let [low, east, _, north] = picture.corners(0.75);
        low + (east - low) * right + (north - low) * up
    }

    #[test]
    fn a_known_dimension_sets_the_scale_and_its_first_mark_stays() {
        let picture = PlanPicture::new("plan.png".to_owned(), 1);
        let (from, to) = (mark(&picture, 0.2, 0.3), mark(&picture, 0.6, 0.3));
        let scaled = picture.scaled(from, to, Length::feet(40.0)).unwrap();
        assert!(mark(&scaled, 0.2, 0.3).distance(from) < 1e-9);
        let now = mark(&scaled, 0.2, 0.3).distance(mark(&scaled, 0.6, 0.3));
        assert!((now - 480.0).abs() < 1e-9, "{now}");
        assert!(scaled.is_to_scale);
        assert_eq!(picture.scaled(from, from, Length::feet(40.0)), None);
        assert_eq!(picture.scaled(from, to, Length::inches(1e9)), None);
    }

    #[test]
    fn a_wall_that_leans_on_the_scan_lies_level_after_squaring() {
        let leaning = PlanPicture { turn_degrees: 3.0, ..PlanPicture::default() };
        let (from, to) = (mark(&leaning, 0.1, 0.1), mark(&leaning, 0.9, 0.1));
        assert!((to.y - from.y).abs() > 12.0);
        let squared = leaning.squared(from, to).unwrap();
        assert!(mark(&squared, 0.1, 0.1).distance(from) < 1e-9);
        let level = mark(&squared, 0.9, 0.1);
        assert!((level.y - from.y).abs() < 1e-9 && squared.turn_degrees.abs() < 1e-9);
    }
}
