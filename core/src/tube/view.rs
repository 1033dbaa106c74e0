//! The floor of a zone in one set of axes: lanes fitted to its walls, and the cells between them.

#![expect(
    clippy::indexing_slicing,
    reason = "cell numbers come from the same vector that they index"
)]

use super::cells::{CellRules, Cells, NONE};
use super::clear_area::ClearArea;
use super::fan::LeaderGround;
use super::field::Field;
use super::frame::Frame;
use super::lanes::{Pitch, Post, Wall, fit_lanes};
use super::rules::Rules;
use crate::geometry::{Bounds, Point, Polygon};

/// A lane on a wall of the field lies this far inside it, so that it counts as inside, inches.
const INSIDE_IN: f64 = 0.01;

/// The widest that lanes are laid, in spacings.
const WIDEST_PITCH: f64 = 1.05;

/// A floor of more cells than this is large.
const MANY_CELLS: usize = 4_600;

/// How lanes are fitted.
#[derive(Clone, Copy, Debug)]
pub struct Fit {
    /// How far they would stand apart, in spacings.
    pub pitch: f64,
    /// What a lane costs that meets something standing in the floor, in square spacings.
    pub post_cost: f64,
}

/// The floor of a zone seen in one set of axes.
#[derive(Clone, Debug)]
pub struct View {
    /// The axes.
    pub frame: Frame,
    /// Where lanes may lie, in those axes.
    pub regions: Vec<Polygon>,
    /// Where tube may lie.
    pub tube_field: Field,
    /// The same in the axes themselves, where lanes splay from them.
    square_field: Option<Field>,
    /// Where leaders may lie.
    pub open: Field,
    /// How far from a wall full runs begin.
    edge: f64,
    /// Cells before leaders take their part.
    pub cells: Cells,
    /// About what share of the floor they can serve.
    pub served: f64,
    /// Tube of the cells that no way joins to most of the others, inches.
    pub apart: f64,
}

impl View {
    /// The floor of a zone in the axes of `frame`.
    #[must_use]
    pub fn new(area: &ClearArea, frame: Frame, rules: &Rules) -> Option<Self> {
        Self::fitted(area, frame, rules, Fit { pitch: 1.0, post_cost: 0.0 })
    }

    /// The same with its lanes fitted another way.
    #[must_use]
    pub fn fitted(area: &ClearArea, frame: Frame, rules: &Rules, fit: Fit) -> Option<Self> {
        let regions = frame.local_regions(&area.lanes);
        let tube_field = Field::new(&frame.local_regions(&area.tube))?;
        let open = Field::new(&frame.local_regions(&area.open))?;
        let field = Field::new(&regions)?;
        let lanes = lanes(&regions, &field, (rules, fit), &frame);
        let cells = frame.weighed(Cells::new(&field, lanes, cell_rules(rules, &frame)));
        let square_field = if frame.is_splayed() {
            Some(Field::new(&frame.square().local_regions(&area.tube))?)
        } else {
            None
        };
        let area: f64 = area.lanes.iter().map(Polygon::area).sum();
        let tube: f64 = cells.list.iter().map(|cell| cell.tube).sum();
        let served = tube * rules.tube_spacing() / area.max(1.0);
        let edge = rules.edge - rules.pair.unwrap_or(0.0);
        let apart = tube - largest_piece(&cells);
        Some(Self { frame, regions, tube_field, square_field, open, edge, cells, served, apart })
    }
}

impl View {
    /// So many cells that each is worth less work.
    #[must_use]
    pub fn is_large(&self) -> bool {
        self.cells.list.len() > MANY_CELLS
    }

    /// Where tube may lie, in the axes themselves: what finished courses are held against.
    #[must_use]
    pub fn square_field(&self) -> &Field {
        self.square_field.as_ref().unwrap_or(&self.tube_field)
    }

    /// The floor for leaders.
    #[must_use]
    pub fn ground(&self) -> LeaderGround<'_> {
        LeaderGround { field: &self.tube_field, open: &self.open, edge: self.edge }
    }
}

/// Tube of the largest piece of floor that hangs together, inches.
fn largest_piece(cells: &Cells) -> f64 {
    let mut is_seen = vec![false; cells.list.len()];
    let mut largest: f64 = 0.0;
    for start in 0..is_seen.len() {
        if is_seen[start] {
            continue;
        }
        is_seen[start] = true;
        let (mut stack, mut tube) = (vec![start], 0.0);
        while let Some(cell) = stack.pop() {
            tube += cells.list[cell].tube;
            for other in cells.beside(cell) {
                if other != NONE && !is_seen[other] {
                    is_seen[other] = true;
                    stack.push(other);
                }
            }
        }
        largest = largest.max(tube);
    }
    largest
}

/// How cells are made for these rules.
pub fn cell_rules(rules: &Rules, frame: &Frame) -> CellRules {
    CellRules {
        spacing: rules.spacing,
        least: rules.least() / frame.closest(),
        tubes: rules.tubes(),
        may_push: !rules.is_crowded(),
    }
}

fn lanes(
    regions: &[Polygon],
    field: &Field,
    (rules, fit): (&Rules, Fit),
    frame: &Frame,
) -> (Vec<f64>, Vec<f64>) {
    let spacing = rules.spacing;
    // Where they stand closest, they still stand far enough apart.
    let pitch = |closest: f64| Pitch {
        spacing: fit.pitch * spacing,
        least: rules.least_pitch().max(rules.closest_pitch() / closest),
        most: WIDEST_PITCH * fit.pitch * spacing,
        is_tight: rules.is_tight(),
        post_cost: fit.post_cost,
    };
    let turned: Vec<Polygon> = regions
        .iter()
        .map(|region| {
            let flip = |ring: &Vec<Point>| ring.iter().map(|p| Point::new(p.y, p.x)).collect();
            Polygon { outer: flip(&region.outer), holes: region.holes.iter().map(flip).collect() }
        })
        .collect();
    let bounds = field.bounds().grown(-INSIDE_IN);
    let mut walls: [Vec<Wall>; 2] = [Vec::new(), Vec::new()];
    for &(from, to) in field.sides() {
        let step = to - from;
        if step.length() < 0.5 * spacing {
            continue;
        }
        // Floor lies to the left of every side.
        if step.x.abs() < 0.01 * step.y.abs() {
            let is_low = step.y < 0.0;
            let at = if is_low { from.x + INSIDE_IN } else { from.x - INSIDE_IN };
            walls[0].push(Wall { at, length: step.y.abs(), is_low });
        } else if step.y.abs() < 0.01 * step.x.abs() {
            let is_low = step.x > 0.0;
            let at = if is_low { from.y + INSIDE_IN } else { from.y - INSIDE_IN };
            walls[1].push(Wall { at, length: step.x.abs(), is_low });
        }
    }
    let holes = regions.iter().flat_map(|region| &region.holes);
    let boxes: Vec<Bounds> = holes
        .filter_map(|hole| Bounds::of(hole.iter().copied()))
        .filter(|hole| hole.width().max(hole.height()) < 2.5 * spacing)
        .collect();
    let posts = [
        boxes.iter().map(|hole| Post { span: (hole.min.x, hole.max.x) }).collect::<Vec<_>>(),
        boxes.iter().map(|hole| Post { span: (hole.min.y, hole.max.y) }).collect(),
    ];
    let (upright, level) = frame.closest_lanes();
    let xs = fit_lanes((bounds.min.x, bounds.max.x), (&walls[0], &posts[0]), pitch(upright), |x| {
        field.section(x)
    });
    let ys = Field::new(&turned).map_or_else(Vec::new, |turned| {
        let found = (walls[1].as_slice(), posts[1].as_slice());
        fit_lanes((bounds.min.y, bounds.max.y), found, pitch(level), |y| turned.section(y))
    });
    (xs, ys)
}
