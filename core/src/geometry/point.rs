//! Places and steps in the plan.

use crate::units::exact_math;
use serde::{Deserialize, Serialize};
use std::ops::{Add, AddAssign, Div, Mul, Neg, Sub};

/// A place in the plan, in inches: x east, y north. Saved as `(x, y)`.
#[derive(Clone, Copy, Debug, Default, PartialEq, PartialOrd, Serialize, Deserialize)]
#[serde(from = "(f64, f64)", into = "(f64, f64)")]
pub struct Point {
    /// East, in inches.
    pub x: f64,
    /// North, in inches.
    pub y: f64,
}

/// A step from one place to another, in inches.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub struct Vector {
    /// East, in inches.
    pub x: f64,
    /// North, in inches.
    pub y: f64,
}

impl From<(f64, f64)> for Point {
    fn from((x, y): (f64, f64)) -> Self {
        Self { x, y }
    }
}

impl From<Point> for (f64, f64) {
    fn from(point: Point) -> Self {
        (point.x, point.y)
    }
}

impl Point {
    /// The corner of the axes.
    pub const ORIGIN: Self = Self::new(0.0, 0.0);

    /// A place `x` east and `y` north of the origin, in inches.
    #[must_use]
    pub const fn new(x: f64, y: f64) -> Self {
        Self { x, y }
    }

    /// A place in feet.
    #[must_use]
    pub const fn feet(x: f64, y: f64) -> Self {
        Self { x: x * 12.0, y: y * 12.0 }
    }

    /// Distance to `other`.
    #[must_use]
    pub fn distance(self, other: Self) -> f64 {
        exact_math::hypot(other.x - self.x, other.y - self.y)
    }

    /// The place at `share` of the way to `other` (0 here, 1 there).
    #[must_use]
    pub fn toward(self, other: Self, share: f64) -> Self {
        self + (other - self) * share
    }

    /// Half way to `other`.
    #[must_use]
    pub fn middle(self, other: Self) -> Self {
        Self::new((self.x + other.x) / 2.0, (self.y + other.y) / 2.0)
    }

    /// The step from the origin to here.
    #[must_use]
    pub const fn to_vector(self) -> Vector {
        Vector { x: self.x, y: self.y }
    }

    /// Whether both numbers are finite.
    #[must_use]
    pub const fn is_finite(self) -> bool {
        self.x.is_finite() && self.y.is_finite()
    }

    /// Whether `other` is the same place within [`super::tolerance::SAME_POINT_IN`].
    #[must_use]
    pub fn is_near(self, other: Self) -> bool {
        self.distance(other) <= super::tolerance::SAME_POINT_IN
    }
}

impl Vector {
    /// A step `x` east and `y` north, in inches.
    #[must_use]
    pub const fn new(x: f64, y: f64) -> Self {
        Self { x, y }
    }

    /// A step of length 1 at `angle` radians counter-clockwise from east.
    #[must_use]
    pub fn from_angle(angle: f64) -> Self {
        let (sin, cos) = exact_math::sin_cos(angle);
        Self::new(cos, sin)
    }

    /// How long the step is.
    #[must_use]
    pub fn length(self) -> f64 {
        exact_math::hypot(self.x, self.y)
    }

    /// Angle in radians counter-clockwise from east, in (-π, π].
    #[must_use]
    pub fn angle(self) -> f64 {
        exact_math::atan2(self.y, self.x)
    }

    /// Sum of the products of the parts.
    #[must_use]
    pub const fn dot(self, other: Self) -> f64 {
        self.x * other.x + self.y * other.y
    }

    /// Positive when `other` lies to the left of this step.
    #[must_use]
    pub const fn cross(self, other: Self) -> f64 {
        self.x * other.y - self.y * other.x
    }

    /// A quarter turn to the left.
    #[must_use]
    pub const fn left(self) -> Self {
        Self::new(-self.y, self.x)
    }

    /// The same direction with length 1; `None` for no step at all.
    #[must_use]
    pub fn unit(self) -> Option<Self> {
        let length = self.length();
        (length > 0.0 && length.is_finite()).then(|| Self::new(self.x / length, self.y / length))
    }
}

impl Sub for Point {
    type Output = Vector;
    fn sub(self, from: Self) -> Vector {
        Vector { x: self.x - from.x, y: self.y - from.y }
    }
}

impl Add<Vector> for Point {
    type Output = Self;
    fn add(self, step: Vector) -> Self {
        Self { x: self.x + step.x, y: self.y + step.y }
    }
}

impl AddAssign<Vector> for Point {
    fn add_assign(&mut self, step: Vector) {
        *self = *self + step;
    }
}

impl Sub<Vector> for Point {
    type Output = Self;
    fn sub(self, step: Vector) -> Self {
        Self { x: self.x - step.x, y: self.y - step.y }
    }
}

impl Add for Vector {
    type Output = Self;
    fn add(self, other: Self) -> Self {
        Self { x: self.x + other.x, y: self.y + other.y }
    }
}

impl Sub for Vector {
    type Output = Self;
    fn sub(self, other: Self) -> Self {
        Self { x: self.x - other.x, y: self.y - other.y }
    }
}

impl Mul<f64> for Vector {
    type Output = Self;
    fn mul(self, factor: f64) -> Self {
        Self { x: self.x * factor, y: self.y * factor }
    }
}

impl Div<f64> for Vector {
    type Output = Self;
    fn div(self, divisor: f64) -> Self {
        Self::new(self.x / divisor, self.y / divisor)
    }
}

impl Neg for Vector {
    type Output = Self;
    fn neg(self) -> Self {
        Self::new(-self.x, -self.y)
    }
}

/// The least upright box round some points.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Bounds {
    /// South-west corner.
    pub min: Point,
    /// North-east corner.
    pub max: Point,
}

impl Bounds {
    /// The box round `points`; `None` when there are none.
    #[must_use]
    pub fn of(points: impl IntoIterator<Item = Point>) -> Option<Self> {
        points.into_iter().fold(None, |bounds: Option<Self>, point| {
            Some(bounds.map_or(Self { min: point, max: point }, |bounds| bounds.including(point)))
        })
    }

    /// This box grown to hold `point`.
    #[must_use]
    pub const fn including(self, point: Point) -> Self {
        Self {
            min: Point::new(self.min.x.min(point.x), self.min.y.min(point.y)),
            max: Point::new(self.max.x.max(point.x), self.max.y.max(point.y)),
        }
    }

    /// This box grown by `margin` on every side.
    #[must_use]
    pub const fn grown(self, margin: f64) -> Self {
        Self {
            min: Point::new(self.min.x - margin, self.min.y - margin),
            max: Point::new(self.max.x + margin, self.max.y + margin),
        }
    }

    /// Whether the two boxes share a point.
    #[must_use]
    pub fn touches(self, other: Self) -> bool {
        self.min.x <= other.max.x
            && other.min.x <= self.max.x
            && self.min.y <= other.max.y
            && other.min.y <= self.max.y
    }

    /// Whether `point` is in the box or on its side.
    #[must_use]
    pub fn contains(self, point: Point) -> bool {
        (self.min.x..=self.max.x).contains(&point.x) && (self.min.y..=self.max.y).contains(&point.y)
    }

    /// East-west size.
    #[must_use]
    pub const fn width(self) -> f64 {
        self.max.x - self.min.x
    }

    /// North-south size.
    #[must_use]
    pub const fn height(self) -> f64 {
        self.max.y - self.min.y
    }

    /// The middle of the box.
    #[must_use]
    pub fn center(self) -> Point {
        self.min.middle(self.max)
    }
}
