//! The two factorisations of the solver: Cholesky of the curvature, and the orthogonal factor of
//! the limits at work, updated by orthogonal transformations as limits come and go.

use super::padded::{NonzeroRange, add_padded, add_scaled, dot, dot_padded, lists, padded, stride};
use crate::math;

/// The triangular factor L of a matrix H = L·Lᵀ, kept as the rows of Lᵀ.
#[derive(Clone, Debug, Default)]
pub(crate) struct Cholesky {
    /// What lies beyond the diagonal of each row, zeros before it, padded.
    beyond: Vec<f64>,
    /// The diagonal as reciprocals: products are sooner done than quotients.
    reciprocals: Vec<f64>,
    /// The least pivot beside its diagonal.
    min_relative_pivot: f64,
}

impl Cholesky {
    /// Factors a symmetric matrix of `n` rows of `n` numbers; fails as [`Self::renew`] does.
    pub(crate) fn of(matrix: &[f64], n: usize) -> Result<Self, usize> {
        let mut factor = Self::default();
        factor.renew(&padded(matrix, n), n)?;
        Ok(factor)
    }

    /// Factors a symmetric matrix of `n` padded rows in the memory of the factor before. The column
    /// at fault is returned when a pivot vanishes against rounding, that is when the matrix is
    /// not positive definite to working precision.
    pub(crate) fn renew(&mut self, matrix: &[f64], n: usize) -> Result<(), usize> {
        let stride = stride(n);
        self.min_relative_pivot = 1.0;
        self.beyond.clear();
        self.beyond.extend_from_slice(matrix);
        self.reciprocals.clear();
        for i in 0..n {
            let (done, below) = self.beyond.split_at_mut((i + 1) * stride);
            let row = &mut done[i * stride..];
            let (pivot, diagonal) = (row[i], matrix[i * stride + i]);
            let rounding = 4.0 * n as f64 * f64::EPSILON * diagonal;
            if !(pivot > rounding && pivot.is_finite()) {
                return Err(i);
            }
            self.min_relative_pivot = self.min_relative_pivot.min(pivot / diagonal);
            let reciprocal = 1.0 / pivot.sqrt();
            self.reciprocals.push(reciprocal);
            row[..=i].fill(0.0);
            for v in &mut *row {
                *v *= reciprocal;
            }
            for (k, other) in (i + 1..n).zip(below.chunks_exact_mut(stride)) {
                if row[k] != 0.0 {
                    let four = k - k % 4;
                    add_padded(&mut other[four..], -row[k], &row[four..]);
                }
            }
        }
        Ok(())
    }

    /// How far the matrix is from flat in any direction, 0 to 1: its least pivot beside its
    /// diagonal, the square of the sine between a column and those before it. Without a column
    /// there is no direction.
    pub(crate) fn min_relative_pivot(&self) -> f64 {
        self.min_relative_pivot
    }

    /// Natural logarithm of the determinant of H.
    pub(crate) fn ln_determinant(&self) -> f64 {
        let diagonal = self.reciprocals.iter();
        -2.0 * diagonal
            .map(|reciprocal| math::ln(*reciprocal))
            .sum::<f64>()
    }

    /// `L⁻¹v`, padded.
    pub(crate) fn solve_lower_padded(&self, mut v: Vec<f64>) -> Vec<f64> {
        v.resize(stride(self.reciprocals.len()), 0.0);
        self.solve_lower(&mut v);
        v
    }

    /// `v ← L⁻¹v`, v being padded. A programme keeps the columns of L⁻¹ that come of it, and not L.
    pub(super) fn solve_lower(&self, v: &mut [f64]) {
        let rows = lists(&self.beyond, v.len()).zip(&self.reciprocals);
        for (i, (row, reciprocal)) in rows.enumerate() {
            if v[i] != 0.0 {
                let four = (i + 1) - (i + 1) % 4;
                let value = v[i] * reciprocal;
                add_padded(&mut v[four..], -value, &row[four..]);
            }
        }
        for (v, reciprocal) in v.iter_mut().zip(&self.reciprocals) {
            *v *= reciprocal;
        }
    }
}

/// Orthogonal Q and upper triangular R with QᵀN = [R; 0], N holding the signed unit normals of the
/// limits at work. Q is kept by columns and R by columns, so that every inner loop runs along
/// memory; each column has zeros behind it up to the stride, and so have the vectors that come in.
#[derive(Clone, Debug, Default)]
pub(super) struct WorkingFactor {
    n: usize,
    stride: usize,
    rank: usize,
    q: Vec<f64>,
    r: Vec<f64>,
}

impl WorkingFactor {
    /// Empties the factor for `n` variables: Q is the identity.
    pub(super) fn reset(&mut self, n: usize) {
        self.n = n;
        self.stride = stride(n);
        self.rank = 0;
        for matrix in [&mut self.q, &mut self.r] {
            matrix.clear();
            matrix.resize(n * self.stride, 0.0);
        }
        for i in 0..n {
            self.q[i * self.stride + i] = 1.0;
        }
    }

    /// Columns in R.
    pub(super) fn rank(&self) -> usize {
        self.rank
    }

    /// Variables.
    pub(super) fn variables(&self) -> usize {
        self.n
    }

    /// `out ← Qᵀv`, v being zero outside the range.
    pub(super) fn project(&self, v: &[f64], nonzero: NonzeroRange, out: &mut [f64]) {
        let v = nonzero.cut(v);
        for (o, column) in out.iter_mut().zip(lists(&self.q, self.stride)) {
            *o = dot_padded(nonzero.cut(column), v);
        }
    }

    /// `out ← Q·w`.
    pub(super) fn expand(&self, w: &[f64], out: &mut [f64]) {
        out.fill(0.0);
        for (&weight, column) in w.iter().zip(lists(&self.q, self.stride)) {
            add_padded(out, weight, column);
        }
    }

    /// `out ← Q₂·w₂`, the part of Q·w that leaves every limit at work where it is.
    pub(super) fn expand_free(&self, w: &[f64], out: &mut [f64]) {
        out.fill(0.0);
        let columns = lists(&self.q[self.rank * self.stride..], self.stride);
        for (&weight, column) in w[self.rank..].iter().zip(columns) {
            add_padded(out, weight, column);
        }
    }

    /// `v₁ ← R⁻¹v₁` on the first `rank` entries.
    pub(super) fn solve_upper(&self, v: &mut [f64]) {
        for c in (0..self.rank).rev() {
            let column = &self.r[c * self.stride..=c * self.stride + c];
            let value = v[c] / column[c];
            v[c] = value;
            add_scaled(&mut v[..c], -value, &column[..c]);
        }
    }

    /// `v₁ ← R⁻ᵀv₁` on the first `rank` entries.
    pub(super) fn solve_lower(&self, v: &mut [f64]) {
        for c in 0..self.rank {
            let column = &self.r[c * self.stride..=c * self.stride + c];
            v[c] = (v[c] - dot(&column[..c], &v[..c])) / column[c];
        }
    }

    /// Appends a normal, given as `d = Qᵀ·normal` and `free = Q₂·d₂`, by one Householder reflection
    /// of Q₂ along u = d₂ ± |d₂|·e₁; `free` is overwritten by Q₂u. It does the work of a chain
    /// of Givens rotations without their square roots, since Q₂·d₂ is known from the step just
    /// made, and so is `size`, the length of d₂.
    pub(super) fn append(&mut self, d: &[f64], size: f64, free: &mut [f64]) {
        let (stride, rank) = (self.stride, self.rank);
        let (kept, out) = d.split_at(rank);
        let lead = size.copysign(out[0]);
        let factor = 1.0 / (size * (size + out[0].abs()));
        let column = &mut self.r[rank * stride..=rank * stride + rank];
        column[..rank].copy_from_slice(kept);
        column[rank] = -lead;
        let (_, free_columns) = self.q.split_at_mut(rank * stride);
        add_padded(free, lead, &free_columns[..stride]);
        add_padded(&mut free_columns[..stride], -factor * lead, free);
        for (&u, column) in out.iter().zip(free_columns.chunks_exact_mut(stride)) {
            if u != 0.0 {
                add_padded(column, -factor * u, free);
            }
        }
        self.rank += 1;
    }

    /// Takes the column at `position` out of R, and turns what is left into a triangle by Givens
    /// rotations.
    pub(super) fn remove(&mut self, position: usize) {
        let stride = self.stride;
        for c in position + 1..self.rank {
            self.r
                .copy_within(c * stride..=c * stride + c, (c - 1) * stride);
        }
        self.rank -= 1;
        for i in position..self.rank {
            let (c, s, length) = rotation(self.r[i * stride + i], self.r[i * stride + i + 1]);
            self.r[i * stride + i] = length;
            self.r[i * stride + i + 1] = 0.0;
            for column in i + 1..self.rank {
                let upper = self.r[column * stride + i];
                let lower = self.r[column * stride + i + 1];
                self.r[column * stride + i] = c * upper + s * lower;
                self.r[column * stride + i + 1] = c * lower - s * upper;
            }
            self.rotate_columns(i, c, s);
        }
    }

    /// Rotates the columns `i` and `i + 1` of Q into each other.
    fn rotate_columns(&mut self, i: usize, c: f64, s: f64) {
        let (head, tail) = self.q.split_at_mut((i + 1) * self.stride);
        let first = &mut head[i * self.stride..];
        for (a, b) in first.iter_mut().zip(&mut tail[..self.stride]) {
            (*a, *b) = (c * *a + s * *b, c * *b - s * *a);
        }
    }
}

/// Cosine, sine and length that turn (a, b) into (length, 0). Scaled, so that squares neither
/// overflow nor vanish.
fn rotation(a: f64, b: f64) -> (f64, f64, f64) {
    let scale = a.abs().max(b.abs());
    if scale == 0.0 {
        return (1.0, 0.0, 0.0);
    }
    let (x, y) = (a / scale, b / scale);
    let h = (x * x + y * y).sqrt();
    (x / h, y / h, scale * h)
}
