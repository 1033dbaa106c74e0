//! A manifold in a narrow arm of its zone: leaders that run on together to where the floor opens.
//!
//! Question: how do circuits reach the floor beyond an arm in which a fan has no room? Method: those
//! of one hand leave as a bundle at the distance of leaders, along the arm to its *mouth*, a place
//! beside a corner at which the floor gets wider, and fan out from there; the others fan out at the
//! ports as ever and serve the arm, or go on beside the bundle. Which floor each serves is left to
//! the division. The bundle ends heading any way of the four, so that its fan is made in axes turned
//! by quarters until that is north, over the same lanes.

use super::bundle::{BundleGround, BundleRules, Entry, ways};
use super::cells::Cells;
use super::demand::by_demand;
use super::fan::{FanShape, LeaderGround, Root, Wing, is_leader_clear, spread, strips_beside};
use super::field::{Field, Heading};
use super::route::{cells_left, fan_rules};
use super::rules::Rules;
use super::turn::Turn;
use super::view::{View, cell_rules};
use crate::effort::Budget;
use crate::geometry::clip::{difference, union_all};
use crate::geometry::nearest::length_along;
use crate::geometry::offset::inset;
use crate::geometry::{Bounds, Point, Polygon, Vector};

/// Ways tried for each bundle that arrive with one heading, the cheapest first.
const MOST_WAYS: usize = 4;
/// No fan is looked at whose circuits would be longer in the mean than this share of the limit.
const OVERFULL: f64 = 1.02;
/// Room that a bundle leaves before other ports where it passes before them, in spacings.
const LEAST_BEFORE: f64 = 4.0;
/// How far a place is taken from a corner to see on which sides of it there is floor, inches.
const BESIDE_IN: f64 = 1.0;
/// A bundle keeps so much more from the rim than it must: the place where it comes into its ground
/// is found to the inch.
const SLACK_IN: f64 = 1.0;
/// Leaders of a fan and of a bundle may come this near, as a share of their distance.
const NEAR: f64 = 0.95;

/// Leaders of some circuits that run on together.
#[derive(Clone, Debug)]
pub struct Lead {
    /// The first of them, and the first after them.
    circuits: (usize, usize),
    /// From each port to the far end: its corners, in port order.
    lanes: Vec<Vec<Point>>,
    /// How it arrives.
    turn: Turn,
}

impl Lead {
    /// The circuits that it leads on, by their ports from west to east.
    #[must_use]
    pub const fn circuits(&self) -> std::ops::Range<usize> {
        self.circuits.0..self.circuits.1
    }

    /// How many circuits it leads on.
    #[must_use]
    pub const fn count(&self) -> usize {
        self.circuits.1 - self.circuits.0
    }
}

/// How the circuits of a zone leave its ports and the far end of a bundle.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct LedShape {
    /// Of those that fan out at the ports.
    pub home: FanShape,
    /// Of those that are led on.
    pub beyond: FanShape,
}

/// The ports of a zone, from which some circuits may be led on.
#[derive(Clone, Debug)]
pub struct Arm<'a> {
    /// The zone.
    pub view: &'a View,
    /// Its ports from west to east, two for each circuit.
    pub ports: Vec<Point>,
    /// How its circuits are laid.
    pub rules: &'a Rules,
}

impl Arm<'_> {
    /// The bundles of `count` circuits of one hand to places where the floor opens.
    #[must_use]
    pub fn leads(&self, count: usize, is_left: bool, budget: &mut Budget) -> Vec<Lead> {
        let all = self.ports.len() / 2;
        let first = if is_left { 0 } else { all.saturating_sub(count) };
        let circuits = (first, first + count);
        let Some(ports) = self.ports.get(2 * first..2 * (first + count)) else { return Vec::new() };
        let (Some(west), Some(east)) = (ports.first(), ports.last()) else { return Vec::new() };
        let rules = BundleRules {
            tubes: 2 * count,
            pitch: self.rules.port_spacing,
            radius: self.rules.bend(),
        };
        let Some(middle) = Field::new(&inset(&self.view.regions, rules.width() / 2.0)) else {
            return Vec::new();
        };
        let is_wall = |side: &(Point, Point)| side.0.distance(side.1) > self.rules.spacing;
        let walls: Vec<_> =
            self.view.regions.iter().flat_map(Polygon::edges).filter(is_wall).collect();
        let half = rules.width() / 2.0 + SLACK_IN;
        // Along the walls, and past whatever stands on the floor.
        let beside = inset(&self.view.regions, half);
        let past = beside.iter().flat_map(|region| &region.holes);
        let past = past.filter_map(|hole| Bounds::of(hole.iter().copied()));
        let corners: Vec<Point> = beside
            .iter()
            .flat_map(Polygon::edges)
            .filter(is_wall)
            .flat_map(|(from, to)| [from, to])
            .chain(past.flat_map(|bounds| [bounds.min, bounds.max]))
            .collect();
        let ground = BundleGround {
            middle: &middle,
            open: self.view.ground().open,
            corners: &corners,
            walls: &walls,
        };
        // What the bundle takes beside its tubes is floor that needs none.
        let tubes = 2.0 * count as f64;
        let shares = tubes * self.net() - self.saved_beside();
        let most = self.spare() / shares.max(0.25 * tubes);
        if most <= 0.0 {
            return Vec::new();
        }
        let start = west.middle(*east);
        let entries = self.mouths(start, half, rules.radius);
        let mut arrived: Vec<Heading> = Vec::new();
        ways(&ground, start, &entries, (rules, most), budget)
            .into_iter()
            .filter_map(|(_, way)| {
                let heading = arrival(&way)?;
                let room = rules.width() / 2.0 + LEAST_BEFORE * self.rules.spacing;
                if count < all && !is_off_to(&way, is_left, room) {
                    return None;
                }
                arrived.push(heading);
                let alike = arrived.iter().filter(|known| **known == heading).count();
                let turn = Turn::to_north(heading);
                (alike <= MOST_WAYS).then_some(Lead { circuits, lanes: lanes(&way, ports)?, turn })
            })
            .collect()
    }

    /// How much longer all circuits may be than the tube of the floor alone, inches.
    fn spare(&self) -> f64 {
        let tube: f64 = self.view.cells.list.iter().map(|cell| cell.tube).sum();
        OVERFULL * self.rules.limit * (self.ports.len() / 2) as f64 - tube
    }

    /// How much longer circuits are for an inch of leader, since it takes some of the floor.
    fn net(&self) -> f64 {
        1.0 - self.rules.port_spacing / self.rules.tube_spacing()
    }

    /// Tube that an inch of bundle saves by the floor it takes beside its outermost tubes.
    fn saved_beside(&self) -> f64 {
        (2.0 * self.rules.beside_leaders() - self.rules.port_spacing) / self.rules.tube_spacing()
    }

    /// Whether circuits are not too long with the leaders of these roots.
    fn leaves_enough(&self, lead: &Lead, roots: &[Root]) -> bool {
        let leaders =
            roots.iter().map(|root| length_along(&root.into) + length_along(&root.out_of));
        let bundle = lead.lanes.first().map_or(0.0, |lane| length_along(lane));
        leaders.sum::<f64>() * self.net() - bundle * self.saved_beside() <= self.spare()
    }

    /// Places beside each corner that juts into the floor, heading past it: along either wall of the
    /// way there, in its middle, or straight ahead of the ports.
    fn mouths(&self, start: Point, half: f64, radius: f64) -> Vec<Entry> {
        let floor = self.view.ground().field;
        let bounds = floor.bounds();
        let most = bounds.width() + bounds.height();
        let mut entries: Vec<Entry> = Vec::new();
        let rings = self.view.regions.iter().flat_map(Polygon::rings);
        // A corner is rounded off as far as tube keeps from the edge, also where lanes stand closer.
        let rounded = self.rules.spacing.max(2.0 * self.rules.edge);
        for corner in rings.flat_map(|ring| jutting_corners(ring, self.rules.spacing, rounded)) {
            for heading in Heading::ALL {
                for aside in [heading.left(), heading.right()] {
                    let beside = aside.ahead(heading.back().ahead(corner, BESIDE_IN), BESIDE_IN);
                    let width = floor.reach(beside, aside, most) + BESIDE_IN;
                    if width < 2.0 * half + BESIDE_IN {
                        continue;
                    }
                    let ahead = (start.x - corner.x) * aside.step().0;
                    for beyond in [0.0, radius + SLACK_IN] {
                        let past = heading.ahead(corner, beyond);
                        let places = [half, width - half, width / 2.0, ahead];
                        entries.extend(
                            places
                                .into_iter()
                                .filter(|along| (half..=width - half).contains(along))
                                .map(|along| Entry { at: aside.ahead(past, along), heading }),
                        );
                    }
                }
            }
        }
        let mut kept: Vec<Entry> = Vec::new();
        for entry in entries {
            let is_known = |other: &Entry| {
                other.heading == entry.heading && other.at.distance(entry.at) < radius
            };
            if !kept.iter().any(is_known) {
                kept.push(entry);
            }
        }
        kept
    }

    /// The circuits that a bundle leaves at the ports, and the floor beside it for them.
    #[must_use]
    pub fn staying(&self, lead: &Lead) -> Option<Staying> {
        let (first, after) = lead.circuits;
        let ports = [self.ports.get(..2 * first)?, self.ports.get(2 * after..)?].concat();
        if ports.is_empty() {
            return Some(Staying { ports, floor: None });
        }
        let field = |distance| Field::new(&self.less(&lead.lanes, distance));
        let free = field(self.rules.beside_leaders())?;
        let cells = cells_left(self.view, &free, &lead.lanes, self.rules);
        let floor = Some((field(NEAR * self.rules.port_spacing)?, cells));
        Some(Staying { ports, floor })
    }

    /// The roots of circuits that stay at the ports; `None` where they do not fit.
    #[must_use]
    pub fn home(&self, staying: &Staying, shape: &FanShape) -> Option<Vec<Root>> {
        let Some((field, cells)) = &staying.floor else { return Some(Vec::new()) };
        let ground = LeaderGround { field, ..self.view.ground() };
        spread(&ground, cells, &staying.ports, shape, fan_rules(self.rules, &self.view.frame))
    }

    /// The floor without what leaders take.
    fn less(&self, leaders: &[Vec<Point>], distance: f64) -> Vec<Polygon> {
        let strips: Vec<Polygon> =
            leaders.iter().flat_map(|leader| strips_beside(leader, distance)).collect();
        difference(&self.view.regions, &union_all(&strips))
    }

    /// The floor at the far end of a bundle, for its fan.
    #[must_use]
    pub fn beyond(&self, lead: &Lead, home: &[Root]) -> Option<Beyond> {
        let leaders: Vec<Vec<Point>> = home
            .iter()
            .flat_map(|root| [root.into.clone(), root.out_of.clone()])
            .chain(lead.lanes.iter().cloned())
            .collect();
        let field = |distance| Field::new(&lead.turn.regions(&self.less(&leaders, distance)));
        let free = field(self.rules.beside_leaders())?;
        let lanes = lead.turn.lanes(&self.view.cells);
        let ports: Option<Vec<Point>> =
            lead.lanes.iter().map(|lane| Some(lead.turn.there(*lane.last()?))).collect();
        Some(Beyond {
            field: field(NEAR * self.rules.port_spacing)?,
            cells: Cells::new(&free, lanes, cell_rules(self.rules, &self.view.frame)),
            ports: ports?,
        })
    }

    /// All roots in port order; `None` where those led on do not fit.
    #[must_use]
    pub fn roots(
        &self,
        lead: &Lead,
        home: &[Root],
        (beyond, shape): (&Beyond, &FanShape),
    ) -> Option<Vec<Root>> {
        let rules = fan_rules(self.rules, &self.view.frame);
        let led = spread(&beyond.ground(), &beyond.cells, &beyond.ports, shape, rules)?;
        let led: Option<Vec<Root>> = led
            .into_iter()
            .zip(lead.lanes.chunks_exact(2))
            .map(|(root, pair)| {
                let root = lead.turn.root_back(root, self.view.cells.size())?;
                Some(Root {
                    into: through_lane(pair, &root.into)?,
                    out_of: through_lane(pair, &root.out_of)?,
                    ..root
                })
            })
            .collect();
        let (before, after) = home.split_at_checked(lead.circuits.0)?;
        let roots = [before, &led?, after].concat();
        let ground = self.view.ground();
        let is_clear = roots
            .iter()
            .flat_map(|root| [&root.into, &root.out_of])
            .all(|leader| is_leader_clear(&ground, leader));
        (is_clear && self.leaves_enough(lead, &roots)).then_some(roots)
    }
}

/// Circuits that fan out at the ports while others are led on.
#[derive(Clone, Debug)]
pub struct Staying {
    ports: Vec<Point>,
    /// Where their leaders may lie, and the cells that are left; nothing where none stay.
    floor: Option<(Field, Cells)>,
}

/// The floor at the far end of a bundle, in axes whose north is how it arrives.
#[derive(Clone, Debug)]
pub struct Beyond {
    field: Field,
    cells: Cells,
    ports: Vec<Point>,
}

impl Beyond {
    fn ground(&self) -> LeaderGround<'_> {
        LeaderGround { field: &self.field, open: &self.field, edge: 0.0 }
    }

    /// Fans for it, the likeliest first: by demand, and with the same hands as soon as they can
    /// leave.
    #[must_use]
    pub fn shapes(&self) -> Vec<FanShape> {
        let half = self.ports.len() / 4;
        let plain = |to_left| FanShape { to_left, left: Wing::Ahead(0), right: Wing::Ahead(0) };
        let by_demand = by_demand(&self.ground(), &self.cells, &self.ports);
        let mut shapes: Vec<FanShape> =
            by_demand.into_iter().flat_map(|shape| [plain(shape.to_left), shape]).collect();
        shapes.push(plain(half));
        let mut kept: Vec<FanShape> = Vec::new();
        for shape in shapes {
            if !kept.contains(&shape) {
                kept.push(shape);
            }
        }
        kept
    }
}

/// A leader from its port through its lane of a pair and on to its root.
fn through_lane(pair: &[Vec<Point>], leader: &[Point]) -> Option<Vec<Point>> {
    let (start, rest) = leader.split_first()?;
    let lane =
        pair.iter().find(|lane| lane.last().is_some_and(|end| end.distance(*start) < 0.01))?;
    let (_, corners) = lane.split_last()?;
    Some([corners, rest].concat())
}

/// Corners at which the floor, to the left of every side, takes up more than half the round: where
/// sides of a length meet, were they not rounded off with ends no farther apart than this.
fn jutting_corners(ring: &[Point], shortest: f64, rounded: f64) -> Vec<Point> {
    let sides = ring.iter().zip(ring.iter().cycle().skip(1));
    let sides: Vec<(Point, Point)> = sides
        .map(|(&from, &to)| (from, to))
        .filter(|(from, to)| from.distance(*to) > shortest)
        .collect();
    let corner = |((from, end), (start, to)): (&(Point, Point), &(Point, Point))| {
        let (came, goes) = ((*end - *from).unit()?, (*to - *start).unit()?);
        let turning = came.cross(goes);
        let apart = end.distance(*start);
        let is_corner = turning < -0.5 && apart < rounded;
        is_corner.then(|| *end + came * ((*start - *end).cross(goes) / turning))
    };
    sides.iter().zip(sides.iter().cycle().skip(1)).filter_map(corner).collect()
}

/// Whether a way turns off to one hand, if at all, or leaves so much room before the other ports.
fn is_off_to(way: &[Point], is_left: bool, room: f64) -> bool {
    let [first, second, third, ..] = way else { return true };
    (third.x < second.x) == is_left || first.distance(*second) > room
}

/// How a way arrives.
fn arrival(way: &[Point]) -> Option<Heading> {
    let [.., before, end] = way else { return None };
    let step = (*end - *before).unit()?;
    Heading::ALL.into_iter().find(|heading| {
        let (x, y) = heading.step();
        step.dot(Vector::new(x, y)) > 0.999
    })
}

/// A lane beside a way for each port: its corners from port to far end.
fn lanes(way: &[Point], ports: &[Point]) -> Option<Vec<Vec<Point>>> {
    let start = way.first()?;
    let steps: Option<Vec<Vector>> =
        way.iter().zip(way.iter().skip(1)).map(|(&a, &b)| (b - a).unit()).collect();
    let steps = steps?;
    let lane = |port: &Point| {
        let aside = port.x - start.x;
        let right = |step: &Vector| -step.left() * aside;
        let inner = way.iter().skip(1).zip(steps.iter().zip(steps.iter().skip(1)));
        let corners = inner.map(|(&corner, (before, after))| corner + right(before) + right(after));
        let end = *way.last()? + right(steps.last()?);
        Some([*port].into_iter().chain(corners).chain([end]).collect())
    };
    ports.iter().map(lane).collect()
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::effort::Cancel;
    use crate::tube::clear_area::ClearArea;
    use crate::tube::frame::Frame;

    fn view(rules: &Rules) -> View {
        let area = ClearArea::of_arm_and_hall();
        View::new(&area, Frame::new(Point::ORIGIN, 0.0), rules).unwrap()
    }

    fn endless() -> Budget {
        Budget::new(u64::MAX, Cancel::new())
    }

    const RULES: Rules = Rules::half_inch(12.0);

    #[test]
    fn leaders_run_on_together_to_the_mouth_of_an_arm_and_spread_there() {
        let view = view(&RULES);
        let ports: Vec<Point> =
            (0..16).map(|port| Point::new(-22.5 + 3.0 * f64::from(port), 0.0)).collect();
        let arm = Arm { view: &view, ports: ports.clone(), rules: &RULES };
        let leads = arm.leads(4, false, &mut endless());
        let lead = leads.iter().find(|lead| lead.turn == Turn::to_north(Heading(0))).unwrap();
        assert_eq!((lead.count(), lead.lanes.len()), (4, 8));
        for (lane, port) in lead.lanes.iter().zip(&ports[8..]) {
            assert_eq!(lane[0], *port);
            assert!(lane.last().unwrap().x > 240.0, "{lane:?}");
        }
        let plain = FanShape { to_left: 2, left: Wing::Ahead(0), right: Wing::Ahead(0) };
        let staying = arm.staying(lead).unwrap();
        let home = arm.home(&staying, &plain).unwrap();
        let beyond = arm.beyond(lead, &home).unwrap();
        let roots = arm.roots(lead, &home, (&beyond, &plain)).unwrap();
        assert_eq!(roots.len(), 8);
        for (root, pair) in roots.iter().zip(ports.chunks_exact(2)) {
            let (into, out_of) = (root.into[0], root.out_of[0]);
            let ends = if into.x < out_of.x { [into, out_of] } else { [out_of, into] };
            assert!(ends.iter().zip(pair).all(|(end, port)| end.distance(*port) < 1e-6));
        }
        let last = |root: &Root| root.into.last().unwrap().x;
        assert!(roots[4..].iter().all(|root| last(root) > 240.0));
        assert!(roots[..2].iter().all(|root| last(root) < 0.0));
    }

    #[test]
    fn no_bundle_is_led_on_for_which_circuits_have_no_length_left() {
        let rules = Rules { limit: 1500.0, ..RULES };
        let view = view(&rules);
        let ports = (0..8).map(|port| Point::new(-10.5 + 3.0 * f64::from(port), 0.0)).collect();
        let arm = Arm { view: &view, ports, rules: &rules };
        assert!(arm.leads(2, false, &mut endless()).is_empty());
    }

    #[test]
    fn only_corners_that_jut_into_the_floor_are_mouths() {
        let l = [(0.0, 0.0), (90.0, 0.0), (90.0, 40.0), (40.0, 40.0), (40.0, 90.0), (0.0, 90.0)];
        let ring = l.map(|(x, y)| Point::new(x, y));
        assert_eq!(jutting_corners(&ring, 12.0, 12.0), [Point::new(40.0, 40.0)]);
        // The same with that corner cut off.
        let cut = [
            (0.0, 0.0),
            (90.0, 0.0),
            (90.0, 40.0),
            (44.0, 40.0),
            (40.0, 44.0),
            (40.0, 90.0),
            (0.0, 90.0),
        ];
        let ring = cut.map(|(x, y)| Point::new(x, y));
        let found = jutting_corners(&ring, 12.0, 12.0);
        assert!(found.len() == 1 && found[0].distance(Point::new(40.0, 40.0)) < 1e-9, "{found:?}");
        // Rounded off by the distance from the edge, where lanes stand as close as that.
        let round = [
            (0.0, 0.0),
            (90.0, 0.0),
            (90.0, 40.0),
            (46.0, 40.0),
            (42.0, 42.0),
            (40.0, 46.0),
            (40.0, 90.0),
            (0.0, 90.0),
        ];
        let ring = round.map(|(x, y)| Point::new(x, y));
        let found = jutting_corners(&ring, 6.0, 12.0);
        assert!(found.len() == 1 && found[0].distance(Point::new(40.0, 40.0)) < 1e-9, "{found:?}");
    }
}
