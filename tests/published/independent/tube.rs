//! A second, plainer look at tube: points every half inch and distances between them, sharing no
//! code with the program's own check.

use slabloom_core::geometry::{Point, Polygon};

/// What was measured on the circuits of one floor.
#[derive(Clone, Debug, Default)]
pub struct Measured {
    pub crossings: usize,
    /// Least distance between two runs outside leaders, inches.
    pub least_run: f64,
    /// The same where one of the two is a bend.
    pub least_bend: f64,
    /// The same with leaders.
    pub least_any: f64,
    /// Least radius of a circle through three neighbouring points of a bend.
    pub least_radius: f64,
    /// Least distance from the slab edge outside leaders.
    pub least_edge: f64,
    /// Least distance from pipe faces.
    pub least_pipe: f64,
    pub half: f64,
    pub three_quarters: f64,
    pub turns: f64,
    pub length: f64,
    pub leader: f64,
    pub lengths: Vec<f64>,
}

pub struct Line {
    pub points: Vec<Point>,
    pub leader_each_end: f64,
}

fn cross(o: Point, a: Point, b: Point) -> f64 {
    (a.x - o.x) * (b.y - o.y) - (a.y - o.y) * (b.x - o.x)
}

fn cut(a: (Point, Point), b: (Point, Point)) -> bool {
    cross(a.0, a.1, b.0) * cross(a.0, a.1, b.1) < 0.0
        && cross(b.0, b.1, a.0) * cross(b.0, b.1, a.1) < 0.0
}

fn to_line(p: Point, a: Point, b: Point) -> f64 {
    let (dx, dy) = (b.x - a.x, b.y - a.y);
    let square = dx * dx + dy * dy;
    let t = if square > 0.0 {
        (((p.x - a.x) * dx + (p.y - a.y) * dy) / square).clamp(0.0, 1.0)
    } else {
        0.0
    };
    ((p.x - a.x - t * dx).powi(2) + (p.y - a.y - t * dy).powi(2)).sqrt()
}

struct Dot {
    at: Point,
    line: usize,
    along: f64,
    is_leader: bool,
    is_bend: bool,
}

/// Buckets of points.
struct Buckets {
    size: f64,
    map: std::collections::BTreeMap<(i64, i64), Vec<usize>>,
}

impl Buckets {
    fn key(&self, p: Point) -> (i64, i64) {
        ((p.x / self.size).floor() as i64, (p.y / self.size).floor() as i64)
    }

    fn near(&self, p: Point) -> impl Iterator<Item = usize> + '_ {
        let (kx, ky) = self.key(p);
        (-1..=1)
            .flat_map(move |dx| (-1..=1).map(move |dy| (kx + dx, ky + dy)))
            .filter_map(|key| self.map.get(&key))
            .flatten()
            .copied()
    }
}

fn turns_of(points: &[Point]) -> f64 {
    points
        .windows(3)
        .map(|w| {
            let (ax, ay, bx, by) =
                (w[1].x - w[0].x, w[1].y - w[0].y, w[2].x - w[1].x, w[2].y - w[1].y);
            (ax * by - ay * bx).atan2(ax * bx + ay * by).abs()
        })
        .sum::<f64>()
        / std::f64::consts::FRAC_PI_2
}

/// Whether the piece after point `n` is part of a flattened arc: short, with turns at both ends.
fn is_bend(points: &[Point], n: usize) -> bool {
    let turn = |at: usize| {
        at > 0 && at + 1 < points.len() && {
            let (a, b, c) = (points[at - 1], points[at], points[at + 1]);
            cross(a, b, c).abs() / (a.distance(b) * b.distance(c)).max(1e-9) > 0.01
        }
    };
    points[n].distance(points[n + 1]) < 2.5 && (turn(n) || turn(n + 1))
}

fn radius_of(points: &[Point]) -> f64 {
    // Only where two neighbouring corners bend the same way: a flattened arc.
    let mut least = f64::INFINITY;
    for w in points.windows(3) {
        let (a, b, c) = (w[0].distance(w[1]), w[1].distance(w[2]), w[0].distance(w[2]));
        let area = cross(w[0], w[1], w[2]).abs() / 2.0;
        let turn = 2.0 * area / (a * b).max(1e-9);
        if turn > 0.001 && a.max(b) < 2.0 * a.min(b) {
            least = least.min(a * b * c / (4.0 * area));
        }
    }
    least
}

/// Measures circuits of spacing `s` on a slab with pipes (centre, radius of the face).
pub fn measure(
    lines: &[Line],
    slab: &Polygon,
    pipes: &[(Point, f64, f64)],
    (s, edge, radius): (f64, f64, f64),
) -> Measured {
    let mut found = Measured {
        least_run: f64::INFINITY,
        least_any: f64::INFINITY,
        least_bend: f64::INFINITY,
        least_radius: f64::INFINITY,
        least_edge: f64::INFINITY,
        least_pipe: f64::INFINITY,
        ..Measured::default()
    };
    let mut dots: Vec<Dot> = Vec::new();
    let mut segments: Vec<(Point, Point, usize)> = Vec::new();
    for (number, line) in lines.iter().enumerate() {
        let total: f64 = line.points.windows(2).map(|w| w[0].distance(w[1])).sum();
        found.lengths.push(total);
        found.length += total;
        found.leader += 2.0 * line.leader_each_end;
        found.turns += turns_of(&line.points);
        found.least_radius = found.least_radius.min(radius_of(&line.points));
        let mut along = 0.0;
        for (n, w) in line.points.windows(2).enumerate() {
            let length = w[0].distance(w[1]);
            let parts = (length / 0.5).ceil().max(1.0);
            segments.push((w[0], w[1], number));
            for k in 0..parts as usize {
                let here = along + length * k as f64 / parts;
                dots.push(Dot {
                    at: w[0].toward(w[1], k as f64 / parts),
                    line: number,
                    along: here,
                    is_bend: is_bend(&line.points, n),
                    is_leader: here <= line.leader_each_end || here >= total - line.leader_each_end,
                });
            }
            along += length;
        }
    }
    crossings(&segments, &mut found);
    let mut buckets = Buckets { size: s.max(4.0), map: Default::default() };
    for (number, dot) in dots.iter().enumerate() {
        buckets.map.entry(buckets.key(dot.at)).or_default().push(number);
    }
    let same_bend = 3.6 * radius.max(s / 2.0);
    for (number, dot) in dots.iter().enumerate() {
        for other in buckets.near(dot.at).filter(|&other| other > number) {
            let other = &dots[other];
            if other.line == dot.line && (other.along - dot.along).abs() < same_bend {
                continue;
            }
            let distance = other.at.distance(dot.at);
            found.least_any = found.least_any.min(distance);
            if !dot.is_leader && !other.is_leader {
                let least = if dot.is_bend || other.is_bend {
                    &mut found.least_bend
                } else {
                    &mut found.least_run
                };
                *least = least.min(distance);
            }
        }
        if !dot.is_leader {
            for (a, b) in slab.edges() {
                found.least_edge = found.least_edge.min(to_line(dot.at, a, b));
            }
        }
        for &(center, face, _) in pipes {
            found.least_pipe = found.least_pipe.min(dot.at.distance(center) - face);
        }
    }
    coverage(&dots, &buckets, slab, pipes, (s, edge), &mut found);
    found
}

fn crossings(segments: &[(Point, Point, usize)], found: &mut Measured) {
    // A sweep over x is enough at this size.
    let mut order: Vec<usize> = (0..segments.len()).collect();
    let west = |n: usize| segments[n].0.x.min(segments[n].1.x);
    let east = |n: usize| segments[n].0.x.max(segments[n].1.x);
    order.sort_by(|&a, &b| west(a).total_cmp(&west(b)));
    let mut open: Vec<usize> = Vec::new();
    for n in order {
        open.retain(|&other| east(other) >= west(n));
        let (a, b, _) = segments[n];
        for &other in &open {
            let (c, d, _) = segments[other];
            if a.y.max(b.y) >= c.y.min(d.y) && a.y.min(b.y) <= c.y.max(d.y) && cut((a, b), (c, d)) {
                found.crossings += 1;
            }
        }
        open.push(n);
    }
}

fn coverage(
    dots: &[Dot],
    buckets: &Buckets,
    slab: &Polygon,
    pipes: &[(Point, f64, f64)],
    (s, edge): (f64, f64),
    found: &mut Measured,
) {
    let bounds = slab.bounds().unwrap();
    let rim = (edge - s / 2.0).max(0.0);
    let (mut all, mut half, mut three) = (0, 0, 0);
    let step = 2.5;
    let mut y = bounds.min.y + step / 2.0;
    while y < bounds.max.y {
        let mut x = bounds.min.x + step / 2.0;
        while x < bounds.max.x {
            let p = Point::new(x, y);
            x += step;
            if !slab.contains(p)
                || (rim > 0.0 && slab.edges().any(|(a, b)| to_line(p, a, b) < rim))
                || pipes.iter().any(|&(c, face, clear)| p.distance(c) < face + clear)
            {
                continue;
            }
            all += 1;
            let nearest =
                buckets.near(p).map(|n| dots[n].at.distance(p)).fold(f64::INFINITY, f64::min);
            // Dots stand up to a quarter inch to either side of the nearest place.
            half += usize::from(nearest <= s / 2.0 + 0.05);
            three += usize::from(nearest <= 0.75 * s);
        }
        y += step;
    }
    found.half = half as f64 / f64::from(all.max(1));
    found.three_quarters = three as f64 / f64::from(all.max(1));
}
