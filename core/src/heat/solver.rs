//! Linear equations of conduction: symmetric, positive, sparse.
//!
//! Two solvers, by shape of the problem. A cross-section has a few thousand unknowns in a narrow
//! band and several right-hand sides: a banded Cholesky factor, direct and exact to rounding. A
//! floor map has up to a million unknowns held together by the air over each cell: conjugate
//! gradients with a diagonal preconditioner, whose number of steps does not grow with the floor,
//! because what happens in one place is forgotten a few feet away.
#![expect(
    clippy::indexing_slicing,
    reason = "every index is made by this file's own loops over the same vectors"
)]

/// A symmetric matrix with nonzeros near its diagonal only; the lower half is held.
#[derive(Clone, Debug)]
pub struct BandMatrix {
    size: usize,
    band: usize,
    /// Row by row: columns `row - band ..= row`.
    rows: Vec<f64>,
}

impl BandMatrix {
    /// A matrix of zeros of `size` rows whose entries lie within `band` of the diagonal.
    #[must_use]
    pub fn new(size: usize, band: usize) -> Self {
        Self { size, band, rows: vec![0.0; size * (band + 1)] }
    }

    /// Adds to the entry of `row` and `column` (and its mirror image).
    pub fn add(&mut self, row: usize, column: usize, value: f64) {
        let (low, high) = if row < column { (row, column) } else { (column, row) };
        debug_assert!(high - low <= self.band, "outside the band");
        self.rows[high * (self.band + 1) + self.band - (high - low)] += value;
    }

    /// Adds a conductance between two unknowns.
    pub fn link(&mut self, one: usize, other: usize, conductance: f64) {
        self.add(one, one, conductance);
        self.add(other, other, conductance);
        self.add(one, other, -conductance);
    }

    /// Entry on the diagonal.
    #[must_use]
    pub fn diagonal(&self, row: usize) -> f64 {
        self.rows[row * (self.band + 1) + self.band]
    }

    /// The matrix times a vector.
    #[must_use]
    pub fn times(&self, vector: &[f64]) -> Vec<f64> {
        let width = self.band + 1;
        let mut product = vec![0.0; self.size];
        for i in 0..self.size {
            let row = &self.rows[i * width..(i + 1) * width];
            let first = i.saturating_sub(self.band);
            let inside = &row[self.band - (i - first)..self.band];
            let mut sum = row[self.band] * vector[i];
            for (k, a) in inside.iter().enumerate() {
                sum += a * vector[first + k];
                product[first + k] += a * vector[i];
            }
            product[i] += sum;
        }
        product
    }

    /// The Cholesky factor; `None` when the matrix is not positive, which means that some part
    /// of the section is tied to no temperature.
    #[must_use]
    pub fn factor(mut self) -> Option<BandFactor> {
        let (band, width) = (self.band, self.band + 1);
        for i in 0..self.size {
            let first = i.saturating_sub(band);
            let (done, rest) = self.rows.split_at_mut(i * width);
            let row = &mut rest[..width];
            for j in first..i {
                let row_j = &done[j * width..(j + 1) * width];
                let start = first.max(j.saturating_sub(band));
                let left = &row[band - (i - start)..band - (i - j)];
                let right = &row_j[band - (j - start)..band];
                let place = band - (i - j);
                row[place] = (row[place] - dot(left, right)) / row_j[band];
            }
            let own = &row[band - (i - first)..band];
            let pivot = row[band] - dot(own, own);
            if pivot <= 0.0 || !pivot.is_finite() {
                return None;
            }
            row[band] = pivot.sqrt();
        }
        Some(BandFactor(self))
    }
}

/// Cholesky factor of a [`BandMatrix`].
#[derive(Clone, Debug)]
pub struct BandFactor(BandMatrix);

impl BandFactor {
    /// Solves for one right-hand side.
    #[must_use]
    pub fn solve(&self, mut values: Vec<f64>) -> Vec<f64> {
        let (band, width) = (self.0.band, self.0.band + 1);
        for i in 0..self.0.size {
            let first = i.saturating_sub(band);
            let row = &self.0.rows[i * width..(i + 1) * width];
            let known = dot(&row[band - (i - first)..band], &values[first..i]);
            values[i] = (values[i] - known) / row[band];
        }
        for i in (0..self.0.size).rev() {
            let first = i.saturating_sub(band);
            let row = &self.0.rows[i * width..(i + 1) * width];
            let value = values[i] / row[band];
            values[i] = value;
            for (above, a) in values[first..i].iter_mut().zip(&row[band - (i - first)..band]) {
                *above -= a * value;
            }
        }
        values
    }
}

/// Sum of products in four fixed lanes, written out: quick to run and to count, and always rounded
/// the same way.
fn dot(a: &[f64], b: &[f64]) -> f64 {
    let (chunks_a, chunks_b) = (a.chunks_exact(4), b.chunks_exact(4));
    let (rest_a, rest_b) = (chunks_a.remainder(), chunks_b.remainder());
    let mut lanes = [0.0; 4];
    for (x, y) in chunks_a.zip(chunks_b) {
        lanes[0] += x[0] * y[0];
        lanes[1] += x[1] * y[1];
        lanes[2] += x[2] * y[2];
        lanes[3] += x[3] * y[3];
    }
    let rest: f64 = rest_a.iter().zip(rest_b).map(|(p, q)| p * q).sum();
    (lanes[0] + lanes[1]) + (lanes[2] + lanes[3]) + rest
}

/// Sum of products in eight fixed lanes, written out: a loop over them is counted eight times.
fn dot_of_eight(a: &[f64], b: &[f64]) -> f64 {
    let (chunks_a, chunks_b) = (a.chunks_exact(8), b.chunks_exact(8));
    let rest: f64 = chunks_a.remainder().iter().zip(chunks_b.remainder()).map(|(p, q)| p * q).sum();
    let mut lanes = [0.0; 8];
    for (x, y) in chunks_a.zip(chunks_b) {
        lanes[0] += x[0] * y[0];
        lanes[1] += x[1] * y[1];
        lanes[2] += x[2] * y[2];
        lanes[3] += x[3] * y[3];
        lanes[4] += x[4] * y[4];
        lanes[5] += x[5] * y[5];
        lanes[6] += x[6] * y[6];
        lanes[7] += x[7] * y[7];
    }
    lanes.iter().sum::<f64>() + rest
}

/// Solves `matrix · field = heat` by conjugate gradients from the field given, until the residual
/// has fallen to `tolerance` of the heat's size; `matrix` is applied by the closure.
///
/// The steps it took; at most `most`.
pub fn conjugate_gradients(
    apply: impl Fn(&[f64], &mut [f64]),
    scale: &[f64],
    heat: &[f64],
    field: &mut [f64],
    (tolerance, most): (f64, usize),
) -> usize {
    let count = field.len();
    let mut product = vec![0.0; count];
    apply(field, &mut product);
    let mut residual: Vec<f64> = heat.iter().zip(&product).map(|(b, p)| b - p).collect();
    let mut scaled: Vec<f64> = residual.iter().zip(scale).map(|(r, s)| r * s).collect();
    let mut direction = scaled.clone();
    let mut size = dot_of_eight(&residual, &scaled);
    let whole: f64 = heat.iter().zip(scale).map(|(b, s)| b * b * s).sum();
    let enough = tolerance * tolerance * whole;
    for step in 0..most {
        if size <= enough {
            return step;
        }
        apply(&direction, &mut product);
        let along = dot_of_eight(&direction, &product);
        if along <= 0.0 {
            return step;
        }
        let length = size / along;
        for k in 0..count {
            field[k] += length * direction[k];
            residual[k] -= length * product[k];
            scaled[k] = residual[k] * scale[k];
        }
        let next = dot_of_eight(&residual, &scaled);
        let keep = next / size;
        size = next;
        for k in 0..count {
            direction[k] = scaled[k] + keep * direction[k];
        }
    }
    most
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_chain_of_conductances_gives_a_straight_line() {
        let mut chain = BandMatrix::new(9, 3);
        for i in 0..8 {
            chain.link(i, i + 1, 10.0);
        }
        chain.add(0, 0, 10.0);
        chain.add(8, 8, 10.0);
        let mut heat = vec![0.0; 9];
        heat[8] = 10.0 * 100.0;
        let product = chain.clone();
        let values = chain.factor().unwrap().solve(heat.clone());
        for (i, value) in values.iter().enumerate() {
            assert!((value - 10.0 * (i as f64 + 1.0)).abs() < 1e-10);
        }
        for (a, b) in product.times(&values).iter().zip(&heat) {
            assert!((a - b).abs() < 1e-9);
        }
    }

    #[test]
    fn a_part_tied_to_nothing_has_no_factor() {
        let mut loose = BandMatrix::new(2, 1);
        loose.link(0, 1, 1.0);
        assert!(loose.factor().is_none());
    }
}
