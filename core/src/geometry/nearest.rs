//! Distances between places and lines, and where lines meet.

use super::{Point, Polygon};

/// The point of the line from `from` to `to` that is nearest to `point`.
#[must_use]
pub fn nearest_on_line(point: Point, from: Point, to: Point) -> Point {
    // By its parts: this is the innermost loop of all checks of distance.
    let (east, north) = (to.x - from.x, to.y - from.y);
    let length_squared = east * east + north * north;
    if length_squared <= 0.0 {
        return from;
    }
    let reached = (point.x - from.x) * east + (point.y - from.y) * north;
    let share = (reached / length_squared).clamp(0.0, 1.0);
    Point { x: from.x + east * share, y: from.y + north * share }
}

/// Distance from `point` to the line from `from` to `to`.
#[must_use]
pub fn distance_to_line(point: Point, from: Point, to: Point) -> f64 {
    point.distance(nearest_on_line(point, from, to))
}

/// Where the lines `a` and `b` cross or touch, as shares along each; `None` when they are apart
/// or parallel.
#[must_use]
pub fn crossing(a: (Point, Point), b: (Point, Point)) -> Option<(f64, f64)> {
    let (along_a, along_b) = (a.1 - a.0, b.1 - b.0);
    let turn = along_a.cross(along_b);
    if turn.abs() <= f64::EPSILON * along_a.length() * along_b.length() {
        return None;
    }
    let gap = b.0 - a.0;
    let (share_a, share_b) = (gap.cross(along_b) / turn, gap.cross(along_a) / turn);
    ((0.0..=1.0).contains(&share_a) && (0.0..=1.0).contains(&share_b)).then_some((share_a, share_b))
}

/// Where two endless lines meet, each given by two points; `None` when they are parallel.
#[must_use]
pub fn meeting_of_lines(a: (Point, Point), b: (Point, Point)) -> Option<Point> {
    let (along_a, along_b) = (a.1 - a.0, b.1 - b.0);
    let turn = along_a.cross(along_b);
    if turn.abs() <= 1e-12 * along_a.length() * along_b.length() {
        return None;
    }
    Some(a.0 + along_a * ((b.0 - a.0).cross(along_b) / turn))
}

/// Distance between two lines: 0 where they cross.
#[must_use]
pub fn distance_between_lines(a: (Point, Point), b: (Point, Point)) -> f64 {
    if crossing(a, b).is_some() {
        return 0.0;
    }
    distance_to_line(a.0, b.0, b.1)
        .min(distance_to_line(a.1, b.0, b.1))
        .min(distance_to_line(b.0, a.0, a.1))
        .min(distance_to_line(b.1, a.0, a.1))
}

/// How long a line from corner to corner is.
#[must_use]
pub fn length_along(corners: &[Point]) -> f64 {
    corners.iter().zip(corners.iter().skip(1)).map(|(from, to)| from.distance(*to)).sum()
}

/// Distance from `point` to the nearest side of the region's rings.
#[must_use]
pub fn distance_to_sides(point: Point, region: &Polygon) -> f64 {
    region.edges().map(|(from, to)| distance_to_line(point, from, to)).fold(f64::INFINITY, f64::min)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn lines_cross_and_points_project() {
        let a = (Point::new(0.0, 0.0), Point::new(10.0, 0.0));
        let b = (Point::new(5.0, -5.0), Point::new(5.0, 5.0));
        assert_eq!(crossing(a, b), Some((0.5, 0.5)));
        assert_eq!(distance_between_lines(a, b), 0.0);
        assert_eq!(distance_to_line(Point::new(13.0, 4.0), a.0, a.1), 5.0);
        assert_eq!(
            meeting_of_lines(a, (Point::new(7.0, 3.0), Point::new(7.0, 4.0))),
            Some(Point::new(7.0, 0.0))
        );
        assert_eq!(length_along(&[a.0, a.1, b.1]), 10.0 + 50.0_f64.sqrt());
        assert_eq!(length_along(&[a.0]) + length_along(&[]), 0.0);
        assert_eq!(crossing(a, (Point::new(0.0, 1.0), Point::new(10.0, 1.0))), None);
    }
}
