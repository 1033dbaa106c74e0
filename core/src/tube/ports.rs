//! A manifold's port line against the wall it hangs on, and the axes that suit it.

use super::fan::{LeaderGround, entry};
use super::field::Heading;
use super::frame::Frame;
use super::limits::leader_spacing;
use crate::geometry::nearest::{distance_to_line, nearest_on_line};
use crate::geometry::{Point, Polygon, Vector};
use crate::job::heating::{Manifold, TubeChoice};
use crate::units::exact_math;
use std::f64::consts::{FRAC_PI_2, PI, TAU};

/// A port line in the wall may stand this far outside the floor, inches.
const BESIDE_IN: f64 = 4.0;

/// How far beside the manifold ports may stand where its leaders have no way out before it, inches,
/// and how far apart such places are tried.
const FARTHEST_ASIDE_IN: f64 = 84.0;
const STEP_ASIDE_IN: f64 = 6.0;

/// Where ports lie that are split by what stands in their way, as shares of their spacing.
const PHASES: [f64; 3] = [0.0, 1.0 / 3.0, 2.0 / 3.0];
/// How far leaders from those places can go on, as shares of how deep a fan of them is.
const DEPTHS: [f64; 3] = [0.0, 1.0, 0.5];

/// A manifold as it stands: the middle of its port line, along it, and into the floor.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct PortLine {
    /// The middle.
    pub at: Point,
    /// Along the ports, the floor to its left.
    pub along: Vector,
    /// Distance between leaders as they come out of the floor's wall, inches.
    pub spacing: f64,
}

/// A place from which leaders can go on farther is worth a try when it is so many times as far.
const FARTHER: f64 = 1.1;

impl PortLine {
    /// The port line of a manifold of this floor: where its leaders begin, at their own spacing.
    #[must_use]
    pub fn of(manifold: &Manifold, tube: &TubeChoice, floor: &[Polygon]) -> Option<Self> {
        let mut at = manifold.at;
        let (from, to) = floor.iter().flat_map(Polygon::edges).min_by(|a, b| {
            distance_to_line(at, a.0, a.1).total_cmp(&distance_to_line(at, b.0, b.1))
        })?;
        // Tubes of a manifold beside the slab come up at the edge nearest to it.
        let is_beside = !floor.iter().any(|polygon| polygon.contains(at));
        if is_beside && distance_to_line(at, from, to) > BESIDE_IN {
            at = nearest_on_line(at, from, to);
        }
        // Rings of floor keep it on their left.
        let wall = (to - from).unit()?;
        let along = manifold.along_degrees.map_or(wall, |degrees| {
            let chosen = Vector::from_angle(degrees.to_radians());
            let is_floor_left = |step: Vector| {
                let probe = at + step.left() * 24.0;
                floor.iter().any(|polygon| polygon.contains(probe))
            };
            if is_floor_left(chosen) || !is_floor_left(-chosen) { chosen } else { -chosen }
        });
        Some(Self { at, along, spacing: leader_spacing(tube) })
    }

    /// Axes whose east makes the angle `wall` with plan east, or a quarter turn more or less, so
    /// that the floor in front of the ports lies to the north.
    #[must_use]
    pub fn frame(&self, wall: f64) -> Frame {
        let own = self.along.angle();
        let quarters = ((own - wall) / FRAC_PI_2).round();
        Frame::new(self.at, wall + quarters * FRAC_PI_2)
    }

    /// Places for `count` ports from west to east in `frame`, slid along the wall as little as lets
    /// all of them lead into the field; then the nearest place to each hand where all of them can
    /// go on for `depth`, when that one cannot, and last the place from which all of them can go on
    /// farthest. Empty when no place does.
    #[must_use]
    pub fn places(
        &self,
        frame: &Frame,
        ground: &LeaderGround,
        count: usize,
        depth: f64,
    ) -> Vec<Vec<Point>> {
        // How far all of them can go on; `None` where one leads nowhere.
        let way = |ports: &[Point], most: f64| {
            ports.iter().try_fold(most, |least, &port| {
                let start = entry(ground, port)?;
                Some(ground.field.reach(start, Heading(1), most).min(least))
            })
        };
        let reach = self.half_width(count) + 36.0;
        let mut places: Vec<Vec<Point>> = Vec::new();
        let mut deep_hands = Vec::new();
        let mut slide = 0.0;
        'slides: while slide <= reach && deep_hands.len() < 2 {
            for signed in [slide, -slide] {
                let ports = self.line(frame, count, signed);
                let Some(length) = way(&ports, depth) else { continue };
                let is_deep = length >= 0.999 * depth;
                let hand = signed.is_sign_negative();
                if places.is_empty() || (is_deep && !deep_hands.contains(&hand)) {
                    places.push(ports);
                }
                if is_deep && places.len() == 1 {
                    break 'slides;
                }
                if is_deep {
                    deep_hands.push(hand);
                }
            }
            slide += 1.5;
        }
        // The outermost leave the bus first, so that what counts is how far the others get.
        let most = ground.field.bounds().height();
        let inner = |ports: &[Point]| {
            let quarter = ports.len() / 4;
            way(ports.get(quarter..ports.len() - quarter).unwrap_or(ports), most)
        };
        let known = places.iter().filter_map(|ports| inner(ports)).fold(0.0, f64::max);
        let mut farthest: Option<(f64, Vec<Point>)> = None;
        let mut slide = 0.0;
        while slide <= reach {
            for signed in [slide, -slide] {
                let ports = self.line(frame, count, signed);
                let (Some(_), Some(length)) = (way(&ports, 1.0), inner(&ports)) else { continue };
                let least = farthest.as_ref().map_or(known, |(length, _)| *length);
                if length > FARTHER * least {
                    farthest = Some((length, ports));
                }
            }
            slide += STEP_ASIDE_IN;
        }
        places.extend(farthest.map(|(_, ports)| ports));
        places
    }

    /// More places, the nearest first, for a manifold before which no fan has room at those:
    /// something stands in the way of its leaders, and they start beside it.
    pub fn places_aside<'a>(
        &'a self,
        frame: &'a Frame,
        ground: &'a LeaderGround,
        count: usize,
    ) -> impl Iterator<Item = Vec<Point>> + 'a {
        let most = self.half_width(count) + FARTHEST_ASIDE_IN;
        (1..)
            .map(|step| f64::from(step) * STEP_ASIDE_IN)
            .take_while(move |&slide| slide <= most)
            .flat_map(|slide| [slide, -slide])
            .map(move |slide| self.line(frame, count, slide))
            .filter(|ports| ports.iter().all(|&port| entry(ground, port).is_some()))
    }

    /// Places past what stands in their way, for a manifold beside which so many leaders have no way
    /// out next to each other: ports lie on both sides of it, as near to the manifold as they fit.
    /// First those from which leaders have a way into the floor, then those from which they can go on
    /// for `depth`, or at least for half of that.
    pub fn places_split<'a>(
        &'a self,
        frame: &'a Frame,
        ground: &'a LeaderGround,
        count: usize,
        depth: f64,
    ) -> impl Iterator<Item = Vec<Point>> + 'a {
        let most = self.half_width(count) + FARTHEST_ASIDE_IN;
        let sides = (most / self.spacing).floor();
        let ways = DEPTHS.into_iter().flat_map(|share| PHASES.map(|phase| (share, phase)));
        ways.filter_map(move |(share, phase)| {
            let depth = share * depth;
            let goes_on =
                |start: Point| ground.field.reach(start, Heading(1), depth) >= 0.999 * depth;
            let mut open: Vec<(f64, Point)> = Vec::new();
            let mut step = -sides;
            while step <= sides {
                let slide = (step + phase) * self.spacing;
                let port = frame.local(self.at + self.along * slide);
                if entry(ground, port).is_some_and(goes_on) {
                    open.push((slide, port));
                }
                step += 1.0;
            }
            let ends = |ports: &[(f64, Point)]| {
                let ends = ports.first().zip(ports.last());
                ends.map_or(f64::INFINITY, |(first, last)| first.0.abs().max(last.0.abs()))
            };
            let nearest = open.windows(count.max(1)).min_by(|a, b| ends(a).total_cmp(&ends(b)))?;
            Some(nearest.iter().map(|&(_, port)| port).collect())
        })
    }

    fn half_width(&self, count: usize) -> f64 {
        count as f64 * self.spacing / 2.0
    }

    /// `count` ports from west to east in `frame`, slid along the port line.
    fn line(&self, frame: &Frame, count: usize, slide: f64) -> Vec<Point> {
        (0..count)
            .map(|port| {
                let step = port as f64 - (count as f64 - 1.0) / 2.0;
                frame.local(self.at + self.along * (step * self.spacing + slide))
            })
            .collect()
    }
}

/// Directions of the floor's sides, by how much side runs along each (a quarter turn counts as
/// the same), the most first; sides nearly alike go by the longest of them, so that the chords of
/// a curved wall do not turn lanes off a straight one.
#[must_use]
pub fn side_directions(floor: &[Polygon]) -> Vec<(f64, f64)> {
    let mut sides: Vec<Vector> =
        floor.iter().flat_map(Polygon::edges).map(|(from, to)| to - from).collect();
    sides.sort_by(|a, b| b.length().total_cmp(&a.length()));
    let mut found: Vec<(f64, f64)> = Vec::new();
    for step in sides {
        let angle = (exact_math::atan2(step.y, step.x) + TAU) % FRAC_PI_2;
        let same = found.iter_mut().find(|(other, _)| {
            let apart = (angle - *other).abs();
            apart.min(FRAC_PI_2 - apart) < PI / 180.0
        });
        if let Some((_, length)) = same {
            *length += step.length();
        } else {
            found.push((angle, step.length()));
        }
    }
    found.sort_by(|a, b| b.1.total_cmp(&a.1));
    found
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::geometry::clip::difference;
    use crate::geometry::offset::inset;
    use crate::tube::field::Field;

    #[test]
    fn ports_lie_on_both_sides_of_what_stands_in_their_way() {
        let floor = [Polygon::rectangle(Point::ORIGIN, Point::new(240.0, 200.0))];
        // A pipe in the wall two feet east of the manifold.
        let pipe = Polygon::rectangle(Point::new(136.0, -8.0), Point::new(152.0, 8.0));
        let with_pipe =
            |inside: f64| difference(&inset(&floor, inside), std::slice::from_ref(&pipe));
        let along = Vector::new(1.0, 0.0);
        let ports = PortLine { at: Point::new(120.0, 0.0), along, spacing: 3.0 };
        let frame = ports.frame(0.0);
        let field = Field::new(&frame.local_regions(&with_pipe(6.0))).unwrap();
        let open = Field::new(&frame.local_regions(&with_pipe(-6.0))).unwrap();
        let ground = LeaderGround { field: &field, open: &open, edge: 6.0 };
        for (count, is_split) in [(8, false), (40, true)] {
            let lines = ports.places_split(&frame, &ground, count, 0.0);
            let lines: Vec<Vec<Point>> = lines.take(PHASES.len()).collect();
            assert_eq!(lines.len(), PHASES.len());
            for line in lines {
                assert_eq!(line.len(), count);
                let places: Vec<f64> = line.iter().map(|&port| frame.plan(port).x).collect();
                assert!(places.iter().all(|x| !(136.1..151.9).contains(x)), "{places:?}");
                assert!(places.windows(2).all(|pair| pair[1] - pair[0] > 2.999), "{places:?}");
                let beyond = places.iter().filter(|x| **x > 151.9).count();
                assert_eq!(beyond > 0, is_split, "{places:?}");
                // As near to the manifold to the one hand as to the other.
                let (west, east) = (120.0 - places[0], places[count - 1] - 120.0);
                assert!(!is_split || (west - east).abs() < 2.0 * 3.0 + 1e-9, "{west} {east}");
            }
        }
        // More than the whole wall holds.
        assert_eq!(ports.places_split(&frame, &ground, 90, 0.0).count(), 0);
    }

    #[test]
    fn ports_whose_leaders_soon_end_at_a_pipe_are_passed_over() {
        let floor = [Polygon::rectangle(Point::ORIGIN, Point::new(300.0, 200.0))];
        // One right before the manifold, and one too far into the room to be in the way of a few.
        let pipes = [(150.0, 30.0), (90.0, 150.0)].map(|(x, y)| {
            Polygon::rectangle(Point::new(x - 8.0, y - 8.0), Point::new(x + 8.0, y + 8.0))
        });
        let with_pipes = |inside: f64| difference(&inset(&floor, inside), &pipes);
        let along = Vector::new(1.0, 0.0);
        let ports = PortLine { at: Point::new(150.0, 0.0), along, spacing: 3.0 };
        let frame = ports.frame(0.0);
        let field = Field::new(&frame.local_regions(&with_pipes(6.0))).unwrap();
        let open = Field::new(&frame.local_regions(&with_pipes(-6.0))).unwrap();
        let ground = LeaderGround { field: &field, open: &open, edge: 6.0 };
        for (depth, is_before_far_pipe) in [(60.0, true), (170.0, false)] {
            let lines = ports.places_split(&frame, &ground, 40, depth);
            let lines: Vec<Vec<f64>> = lines
                .skip(PHASES.len())
                .map(|line| line.iter().map(|&port| frame.plan(port).x).collect())
                .collect();
            assert!(!lines.is_empty());
            for line in &lines {
                assert!(line.iter().all(|x| !(142.1..157.9).contains(x)), "{line:?}");
            }
            let passes = |line: &Vec<f64>| line.iter().all(|x| !(82.1..97.9).contains(x));
            assert_eq!(!passes(&lines[0]), is_before_far_pipe, "{:?}", lines[0]);
        }
    }
}
