//! Steady loss of a rectangular floor to a block of ground, in three dimensions.
//!
//! Question: what does a floor lose to the ground, with films over floor and ground and a wall
//! between that lets nothing through? Method: a quarter of the block by symmetry, cut by grid
//! lines that are close at the wall's faces and under the surface; finite volumes; conjugate
//! gradients. It is the check of the shorter methods of [`ground`](super::ground) where films
//! matter and no closed form is known, and too slow to stand in every derive.
//!
//! Limits: one ground, a flat surface, a rectangle; at a wall's face a floor without film has an
//! endless flux, which a grid finds only slowly. All SI.
#![expect(
    clippy::indexing_slicing,
    reason = "every index is made by this file's own loops over the same vectors"
)]

use super::section::grid::{Grading, graded_steps};
use super::solver::conjugate_gradients;

/// Steps of conjugate gradients at most.
const STEPS_AT_MOST: usize = 4000;
/// Residual asked, as a share of the heat.
const RESIDUAL: f64 = 1e-9;

/// A floor on a block of ground.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct GroundBlock {
    /// Sides of the floor, m.
    pub sides: (f64, f64),
    /// Thickness of the wall round it, m; no heat passes its foot.
    pub wall: f64,
    /// Conductivity of the ground, W/(m·K).
    pub soil: f64,
    /// Depth at which the ground has the outside's temperature, m.
    pub depth: f64,
    /// How far the ground goes beyond the wall, m.
    pub beyond: f64,
    /// Film over the floor, W/(m²·K); a floor at one temperature when absent.
    pub inside: Option<f64>,
    /// Film over the ground outside; ground at one temperature when absent.
    pub outside: Option<f64>,
}

impl GroundBlock {
    /// Heat from the floor for each kelvin between inside and outside, W/K, with steps of
    /// `finest` m at the wall's faces. `None` when the sizes make no block.
    #[must_use]
    pub fn loss_per_kelvin(&self, finest: f64) -> Option<f64> {
        let sizes = [self.sides.0, self.sides.1, self.wall, self.soil, self.depth, self.beyond];
        if !sizes.iter().chain(&[finest]).all(|v| v.is_finite() && *v > 0.0) {
            return None;
        }
        let block = Cells::of(self, finest);
        let mut field = vec![0.0; block.diagonal.len()];
        let scale: Vec<f64> = block.diagonal.iter().map(|d| 1.0 / d).collect();
        let apply = |field: &[f64], product: &mut [f64]| block.times(field, product);
        let limits = (RESIDUAL, STEPS_AT_MOST);
        conjugate_gradients(apply, &scale, &block.inside, &mut field, limits);
        let quarter: f64 = block.inside.iter().zip(&field).map(|(g, t)| g * (1.0 - t)).sum();
        Some(4.0 * quarter)
    }
}

/// The quarter's cells: conductances to the next in each direction and to inside, W/K.
struct Cells {
    count: [usize; 3],
    next: [Vec<f64>; 3],
    inside: Vec<f64>,
    diagonal: Vec<f64>,
}

/// Cell widths along a side: from the floor's middle to the wall, across it and beyond.
fn widths(half: f64, block: &GroundBlock, finest: f64) -> Vec<f64> {
    let grading = Grading { even: 2, growth: 1.25, longest: 2.0 };
    let mut widths: Vec<f64> = graded_steps(half, finest, grading);
    widths.reverse();
    let across = graded_steps(0.5 * block.wall, finest.min(0.25 * block.wall), grading);
    widths.extend(across.iter().chain(across.iter().rev()));
    widths.extend(graded_steps(block.beyond, finest, grading));
    widths
}

impl Cells {
    fn of(block: &GroundBlock, finest: f64) -> Self {
        let grading = Grading { even: 2, growth: 1.25, longest: 2.0 };
        let sizes = [
            widths(0.5 * block.sides.0, block, finest),
            widths(0.5 * block.sides.1, block, finest),
            graded_steps(block.depth, finest, grading),
        ];
        let count = [sizes[0].len(), sizes[1].len(), sizes[2].len()];
        let all = count.iter().product();
        let middles = [0, 1].map(|axis: usize| {
            let mut from = 0.0;
            let place = |width: &f64| {
                from += width;
                from - 0.5 * width
            };
            sizes[axis].iter().map(place).collect::<Vec<f64>>()
        });
        let mut cells = Self {
            count,
            next: [vec![0.0; all], vec![0.0; all], vec![0.0; all]],
            inside: vec![0.0; all],
            diagonal: vec![0.0; all],
        };
        for k in 0..count[2] {
            for j in 0..count[1] {
                for i in 0..count[0] {
                    let at = [i, j, k];
                    let here = cells.number(at);
                    let size = [0, 1, 2].map(|axis: usize| sizes[axis][at[axis]]);
                    cells.link(block.soil, (at, here), size, &sizes);
                    if k == 0 {
                        let middle = (middles[0][i], middles[1][j]);
                        cells.surface(block, here, middle, size);
                    }
                    if k + 1 == count[2] {
                        let area = size[0] * size[1];
                        cells.diagonal[here] += block.soil * area / (0.5 * size[2]);
                    }
                }
            }
        }
        cells
    }

    fn number(&self, at: [usize; 3]) -> usize {
        (at[2] * self.count[1] + at[1]) * self.count[0] + at[0]
    }

    fn strides(&self) -> [usize; 3] {
        [1, self.count[0], self.count[0] * self.count[1]]
    }

    fn link(
        &mut self,
        soil: f64,
        (at, here): ([usize; 3], usize),
        size: [f64; 3],
        sizes: &[Vec<f64>; 3],
    ) {
        for axis in 0..3 {
            if at[axis] + 1 == self.count[axis] {
                continue;
            }
            let area: f64 =
                (0..3).filter(|other| *other != axis).map(|other| size[other]).product();
            let apart = 0.5 * (size[axis] + sizes[axis][at[axis] + 1]);
            let conductance = soil * area / apart;
            let there = here + self.strides()[axis];
            self.next[axis][here] = conductance;
            self.diagonal[here] += conductance;
            self.diagonal[there] += conductance;
        }
    }

    /// Floor, wall or ground over a cell of the top row.
    fn surface(&mut self, block: &GroundBlock, here: usize, (x, y): (f64, f64), size: [f64; 3]) {
        let over = (x - 0.5 * block.sides.0).max(y - 0.5 * block.sides.1);
        let film = if over < 0.0 {
            block.inside
        } else if over > block.wall {
            block.outside
        } else {
            return;
        };
        let to_face = 0.5 * size[2] / block.soil;
        let resistance = to_face + film.map_or(0.0, |film| 1.0 / film);
        let conductance = size[0] * size[1] / resistance;
        self.diagonal[here] += conductance;
        if over < 0.0 {
            self.inside[here] = conductance;
        }
    }

    fn times(&self, field: &[f64], product: &mut [f64]) {
        for ((p, d), t) in product.iter_mut().zip(&self.diagonal).zip(field) {
            *p = d * t;
        }
        for (next, stride) in self.next.iter().zip(self.strides()) {
            for here in 0..field.len() - stride {
                let conductance = next[here];
                product[here] -= conductance * field[here + stride];
                product[here + stride] -= conductance * field[here];
            }
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_floor_that_covers_all_is_a_chain_of_resistances() {
        let block = GroundBlock {
            sides: (40.0, 40.0),
            wall: 0.2,
            soil: 1.9,
            depth: 3.0,
            beyond: 0.2,
            inside: Some(8.0),
            // Nothing leaves beside the floor.
            outside: Some(1e-9),
        };
        let chain = 1600.0 / (1.0 / 8.0 + 3.0 / 1.9);
        let loss = block.loss_per_kelvin(0.1).unwrap();
        // The ground beside it, as wide again as its area says, carries a little.
        let wider = 40.8 * 40.8 / 1600.0;
        assert!(loss > chain && loss < wider * chain, "{loss} against {chain}");
        assert!(GroundBlock { soil: 0.0, ..block }.loss_per_kelvin(0.1).is_none());
    }
}
