//! Lines of one temperature through a lattice of values, joined end to end.
//!
//! Question: where does a field on grid lines pass a level, as lines that can be drawn and
//! labelled? Method: every cell is two triangles, so that no cell is ambiguous; in a triangle the
//! field is a plane and the level a straight piece; pieces that end on the same lattice edge are
//! the same line. A triangle with a corner that has no value is left out, so lines end at the rim
//! of what is known. Work is in proportion to cells times the levels that pass through them.

use super::FloorMap;
use super::section::SectionField;
use crate::units::exact_math::hypot;
use std::collections::BTreeMap;

/// Lines wanted over the usual range of a picture.
const CLOSE_LINES: f64 = 6.0;
/// Steps of a picture, degrees as shown.
const STEPS: [f64; 7] = [0.25, 0.5, 1.0, 2.0, 5.0, 10.0, 20.0];

/// A line of one temperature.
#[derive(Clone, Debug, PartialEq)]
pub struct ContourLine {
    /// Its temperature, in the field's own scale.
    pub level: f64,
    /// Its course in the field's own axes; a ring ends where it starts.
    pub points: Vec<(f64, f64)>,
}

impl ContourLine {
    /// Length of the course.
    #[must_use]
    pub fn length(&self) -> f64 {
        let step = |pair: &[(f64, f64)]| match pair {
            [a, b] => hypot(b.0 - a.0, b.1 - a.1),
            _ => 0.0,
        };
        self.points.windows(2).map(step).sum()
    }
}

/// A place on a lattice edge: the edge by the numbers of its ends, and where the level passes it.
type Crossing = ((usize, usize), (f64, f64));

/// A vertex of the lattice: its number, place and value.
type Vertex = (usize, f64, f64, f64);

/// Lines of a field at some levels, level by level.
#[must_use]
pub fn contour_lines(field: &SectionField, levels: &[f64]) -> Vec<ContourLine> {
    levels.iter().flat_map(|&level| lines_at(field, level)).collect()
}

/// Whole multiples of a step from the lowest to the highest value of a field; none when there
/// would be more than `most`.
#[must_use]
pub fn even_levels(field: &SectionField, step: f64, most: f64) -> Vec<f64> {
    let known = field.values.iter().copied().filter(|t| t.is_finite());
    let (low, high) = known.fold((f64::MAX, f64::MIN), |(a, b), t| (a.min(t), b.max(t)));
    if low >= high || step < 1e-3 || (high - low) / step > most {
        return Vec::new();
    }
    let mut levels = Vec::new();
    let mut level = (low / step).ceil();
    while level * step <= high {
        levels.push(level * step);
        level += 1.0;
    }
    levels
}

/// Levels that tell a floor apart in a picture: whole steps, close in the range in which nine
/// tenths of the floor lie and five times as wide below it, where a cold rim would crowd them.
///
/// `scale` is what a degree shown is in the field's own, and `zero` where the shown scale starts:
/// 1 and 0 for °F, 1.8 and 32 for °C. Gives the levels and the close step, both in the field's.
#[must_use]
pub fn picture_levels(field: &SectionField, (scale, zero): (f64, f64)) -> (Vec<f64>, f64) {
    let mut known: Vec<f64> = field.values.iter().copied().filter(|t| t.is_finite()).collect();
    known.sort_by(f64::total_cmp);
    let (Some(&low), Some(&high)) = (known.first(), known.last()) else { return (Vec::new(), 0.0) };
    let usual = known.get(known.len() / 10).copied().unwrap_or(low);
    let asked = ((high - usual) / CLOSE_LINES / scale).max(1e-3);
    let step = STEPS.into_iter().find(|step| *step >= asked).unwrap_or(50.0) * scale;
    let mut levels = Vec::new();
    let mut number = ((low - zero) / step).ceil();
    while zero + number * step <= high && levels.len() < 100 {
        let level = zero + number * step;
        if level >= usual || (number / 5.0).fract() == 0.0 {
            levels.push(level);
        }
        number += 1.0;
    }
    (levels, step)
}

fn lines_at(field: &SectionField, level: f64) -> Vec<ContourLine> {
    let columns = field.x.len();
    let mut pieces: Vec<[Crossing; 2]> = Vec::new();
    let rows = field.values.chunks_exact(columns.max(1));
    let below = rows.clone().skip(1).zip(field.z.iter().skip(1));
    for ((j, (upper, &z0)), (lower, &z1)) in rows.zip(&field.z).enumerate().zip(below) {
        let corners = upper.windows(2).zip(lower.windows(2)).zip(field.x.windows(2));
        for (i, ((top, bottom), x)) in corners.enumerate() {
            let (&[a, b], &[c, d], &[x0, x1]) = (top, bottom, x) else { continue };
            let is_above = |t: f64| t >= level;
            let all = [a, b, c, d];
            if all.iter().all(|t| is_above(*t)) || all.iter().all(|t| !is_above(*t)) {
                continue;
            }
            let number = j * columns + i;
            let a = (number, x0, z0, a);
            let b = (number + 1, x1, z0, b);
            let c = (number + columns, x0, z1, c);
            let d = (number + columns + 1, x1, z1, d);
            pieces.extend(piece([a, b, c], level));
            pieces.extend(piece([b, d, c], level));
        }
    }
    join(&pieces, level)
}

/// Where a level passes a triangle; nothing when a corner has no value.
fn piece(triangle: [Vertex; 3], level: f64) -> Option<[Crossing; 2]> {
    if triangle.iter().any(|vertex| !vertex.3.is_finite()) {
        return None;
    }
    let [a, b, c] = triangle;
    let cut = |p: Vertex, q: Vertex| {
        ((p.3 >= level) != (q.3 >= level)).then(|| {
            let share = (level - p.3) / (q.3 - p.3);
            let at = (p.1 + (q.1 - p.1) * share, p.2 + (q.2 - p.2) * share);
            ((p.0.min(q.0), p.0.max(q.0)), at)
        })
    };
    let mut ends = [cut(a, b), cut(b, c), cut(c, a)].into_iter().flatten();
    Some([ends.next()?, ends.next()?])
}

/// Joins pieces that end on the same lattice edge. An edge has at most two triangles, so a line
/// never forks.
fn join(pieces: &[[Crossing; 2]], level: f64) -> Vec<ContourLine> {
    let mut at_edge: BTreeMap<(usize, usize), Vec<usize>> = BTreeMap::new();
    for (number, ends) in pieces.iter().enumerate() {
        for end in ends {
            at_edge.entry(end.0).or_default().push(number);
        }
    }
    let mut is_used = vec![false; pieces.len()];
    let mut lines = Vec::new();
    // Lines that end at the rim first, from an end; what is left are rings.
    for wants_end in [true, false] {
        for (number, ends) in pieces.iter().enumerate() {
            let [first, second] = *ends;
            let is_end =
                |edge: (usize, usize)| at_edge.get(&edge).is_some_and(|all| all.len() == 1);
            let start =
                if is_end(first.0) || !wants_end { (first, second) } else { (second, first) };
            let used = is_used.get(number).copied().unwrap_or(true);
            if used || (wants_end && !is_end(start.0.0)) {
                continue;
            }
            if let Some(mark) = is_used.get_mut(number) {
                *mark = true;
            }
            let mut points = vec![start.0.1, start.1.1];
            let mut edge = start.1.0;
            while let Some((next, far)) = next_piece(&at_edge, pieces, &is_used, edge) {
                if let Some(mark) = is_used.get_mut(next) {
                    *mark = true;
                }
                points.push(far.1);
                edge = far.0;
            }
            lines.push(ContourLine { level, points });
        }
    }
    lines
}

/// The unused piece at an edge, and its other end.
fn next_piece(
    at_edge: &BTreeMap<(usize, usize), Vec<usize>>,
    pieces: &[[Crossing; 2]],
    is_used: &[bool],
    edge: (usize, usize),
) -> Option<(usize, Crossing)> {
    let here = at_edge.get(&edge)?;
    let next = here.iter().copied().find(|n| is_used.get(*n) == Some(&false))?;
    let [a, b] = *pieces.get(next)?;
    Some((next, if a.0 == edge { b } else { a }))
}

/// The map's surface as a mean over a square of so many inches a side, on a lattice coarse enough
/// to draw: the ripple from tube to tube, which would make a tangle of lines, is taken out. Over
/// two spacings, a warm tube and the cool one beside it come out even.
///
/// The axes are the plan's, inches; °F.
#[must_use]
pub fn mean_surface(map: &FloorMap, window_in: f64) -> SectionField {
    let stride = (window_in / 8.0 / map.cell.max(0.25)).floor().clamp(1.0, 50.0);
    let reach = (window_in / 2.0 / map.cell.max(0.25)).round().clamp(0.0, 50.0);
    #[expect(clippy::cast_possible_truncation, clippy::cast_sign_loss, reason = "clamped above")]
    let (stride, reach) = (stride as usize, reach as usize);
    let at = |origin: f64, cell: usize| origin + map.cell * (cell as f64 + 0.5);
    let columns: Vec<usize> = (0..map.columns).step_by(stride).collect();
    let rows: Vec<usize> = (0..map.rows).step_by(stride).collect();
    let mut values = Vec::with_capacity(columns.len() * rows.len());
    for &row in &rows {
        for &column in &columns {
            values.push(mean_about(map, (column, row), reach));
        }
    }
    SectionField {
        x: columns.iter().map(|&c| at(map.origin.x, c)).collect(),
        z: rows.iter().map(|&r| at(map.origin.y, r)).collect(),
        values,
    }
}

/// Mean of the cells within `reach` of a cell that have a value; not-a-number where the cell has none.
fn mean_about(map: &FloorMap, (column, row): (usize, usize), reach: usize) -> f64 {
    let value = |c: usize, r: usize| {
        map.surface_f.get(r * map.columns + c).copied().map_or(f64::NAN, f64::from)
    };
    if !value(column, row).is_finite() {
        return f64::NAN;
    }
    // Cells at the square's sides count half, so that it is a whole number of cells wide.
    let part = |at: usize, middle: usize| {
        if reach > 0 && at.abs_diff(middle) == reach { 0.5 } else { 1.0 }
    };
    let (mut sum, mut count) = (0.0, 0.0);
    for r in row.saturating_sub(reach)..(row + reach + 1).min(map.rows) {
        for c in column.saturating_sub(reach)..(column + reach + 1).min(map.columns) {
            let (here, weight) = (value(c, r), part(r, row) * part(c, column));
            if here.is_finite() {
                sum += weight * here;
                count += weight;
            }
        }
    }
    sum / count
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::geometry::Point;

    fn cone(size: usize) -> SectionField {
        let lines: Vec<f64> = (0..size).map(|i| i as f64 - (size - 1) as f64 / 2.0).collect();
        let values = lines.iter().flat_map(|z| lines.iter().map(move |x| hypot(*x, *z))).collect();
        SectionField { x: lines.clone(), z: lines, values }
    }

    #[test]
    fn a_cone_has_one_ring_at_each_height_and_it_closes() {
        let lines = contour_lines(&cone(41), &[5.0, 10.0]);
        assert_eq!(lines.len(), 2);
        for line in &lines {
            assert_eq!(line.points.first(), line.points.last());
            assert!((line.length() / (std::f64::consts::TAU * line.level) - 1.0).abs() < 0.01);
            assert!(line.points.iter().all(|p| (hypot(p.0, p.1) - line.level).abs() < 0.05));
        }
    }

    #[test]
    fn a_line_ends_where_nothing_is_known() {
        let mut field = cone(41);
        // The eastern half is outside the slab.
        for (k, value) in field.values.iter_mut().enumerate() {
            if k % 41 > 20 {
                *value = f64::NAN;
            }
        }
        let lines = contour_lines(&field, &[10.0]);
        assert_eq!(lines.len(), 1);
        assert!((lines[0].length() / (10.0 * std::f64::consts::PI) - 1.0).abs() < 0.02);
        assert_ne!(lines[0].points.first(), lines[0].points.last());
    }

    #[test]
    fn a_plane_has_straight_lines_at_whole_steps() {
        let field = SectionField {
            x: vec![0.0, 1.0, 3.0],
            z: vec![0.0, 2.0, 2.5],
            values: vec![0.0, 1.0, 3.0, 2.0, 3.0, 5.0, 2.5, 3.5, 5.5],
        };
        let levels = even_levels(&field, 0.75, 100.0);
        assert_eq!(levels.len(), 8);
        let lines = contour_lines(&field, &levels);
        // The corner itself is a line without length.
        assert!(lines.len() >= 7);
        for line in lines {
            assert!(line.points.iter().all(|(x, z)| (x + z - line.level).abs() < 1e-12));
        }
        assert!(even_levels(&field, 0.75, 3.0).is_empty());
    }

    #[test]
    fn the_mean_takes_the_ripple_out_and_keeps_the_slope() {
        let (columns, rows) = (120, 60);
        let surface = |c: usize| 70.0 + 0.05 * c as f64 + if c % 6 < 3 { 1.0 } else { -1.0 };
        let map = FloorMap {
            origin: Point::new(10.0, 20.0),
            cell: 2.0,
            columns,
            rows,
            surface_f: (0..columns * rows).map(|k| surface(k % columns) as f32).collect(),
            ..FloorMap::default()
        };
        let field = mean_surface(&map, 12.0);
        let expected = |x: f64| 70.0 + 0.05 * ((x - 10.0) / 2.0 - 0.5);
        let wide = field.x.len();
        for (k, value) in field.values.iter().enumerate() {
            let x = field.x[k % wide];
            if x > 30.0 && x < 230.0 {
                assert!((value - expected(x)).abs() < 0.3, "{value} at {x}");
            }
        }
    }
}
