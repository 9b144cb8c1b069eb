//! The two factorisations the solver stands on: Cholesky of the curvature, and the orthogonal factor of the
//! limits at work, updated by orthogonal transformations as limits come and go.

use crate::math;

/// Sum of products in a fixed order. Four partial sums let the processor work in parallel; the order never
/// depends on the machine, so the bits do not either.
#[inline]
pub(crate) fn dot(a: &[f64], b: &[f64]) -> f64 {
    let (a4, a_rest) = a.as_chunks::<4>();
    let (b4, b_rest) = b.as_chunks::<4>();
    let mut sums = [0.0; 4];
    for (p, q) in a4.iter().zip(b4) {
        for ((sum, x), y) in sums.iter_mut().zip(p).zip(q) {
            *sum += x * y;
        }
    }
    let [s0, s1, s2, s3] = sums;
    let rest: f64 = a_rest.iter().zip(b_rest).map(|(x, y)| x * y).sum();
    ((s0 + s1) + (s2 + s3)) + rest
}

/// Where in a list its numbers other than zero lie, widened to whole groups of four: sums over it alone are those over the
/// whole list, to the bit.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(super) struct Window {
    from: usize,
    to: usize,
}

impl Window {
    pub(super) fn of(list: &[f64]) -> Self {
        let from = list.iter().position(|v| *v != 0.0);
        let to = list.iter().rposition(|v| *v != 0.0);
        Self {
            from: from.map_or(0, |first| first - first % 4),
            to: to.map_or(0, |last| (last - last % 4 + 4).min(list.len())),
        }
    }

    pub(super) fn cut(self, list: &[f64]) -> &[f64] {
        &list[self.from..self.to]
    }

    /// The sum of products with the list the window is of.
    #[inline]
    pub(super) fn dot(self, list: &[f64], other: &[f64]) -> f64 {
        dot(self.cut(list), self.cut(other))
    }
}

/// `target += factor · source`.
pub(super) fn add_scaled(target: &mut [f64], factor: f64, source: &[f64]) {
    for (t, s) in target.iter_mut().zip(source) {
        *t += factor * s;
    }
}

/// Euclidean length.
pub(super) fn length(v: &[f64]) -> f64 {
    dot(v, v).sqrt()
}

/// Lower triangular L with H = L·Lᵀ, row-major. What leads a row of H with zeros leads that of L with them, and is passed
/// over.
#[derive(Clone, Debug, PartialEq)]
pub(crate) struct Cholesky {
    n: usize,
    lower: Vec<f64>,
    /// By row of H: where it is not zero.
    windows: Vec<Window>,
}

impl Cholesky {
    /// Factors a symmetric matrix. The column at fault is returned when a pivot vanishes against rounding,
    /// that is when the matrix is not positive definite to working precision.
    pub(crate) fn of(matrix: &[f64], n: usize) -> Result<Self, usize> {
        let mut lower = vec![0.0; n * n];
        // No column at all is in order too.
        let windows: Vec<Window> = matrix.chunks_exact(n.max(1)).map(Window::of).collect();
        for i in 0..n {
            let (done, rest) = lower.split_at_mut(i * n);
            let row = &matrix[i * n..=i * n + i];
            for j in windows[i].from..i {
                let row_j = &done[j * n..=j * n + j];
                rest[j] = (row[j] - dot(&rest[..j], &row_j[..j])) / row_j[j];
            }
            let diagonal = row[i];
            let pivot = diagonal - dot(&rest[..i], &rest[..i]);
            let rounding = 4.0 * n as f64 * f64::EPSILON * diagonal;
            if !(pivot > rounding && pivot.is_finite()) {
                return Err(i);
            }
            rest[i] = pivot.sqrt();
        }
        Ok(Self { n, lower, windows })
    }

    /// By row of H: where it is not zero.
    pub(super) fn windows(&self) -> &[Window] {
        &self.windows
    }

    /// The least pivot beside its own diagonal: the square of the sine between a column and those before it.
    fn least_pivot(&self, matrix: &[f64]) -> f64 {
        let diagonal = |numbers: &[f64], i: usize| numbers[i * self.n + i];
        (0..self.n)
            .map(|i| diagonal(&self.lower, i) * diagonal(&self.lower, i) / diagonal(matrix, i))
            .fold(1.0, f64::min)
    }

    /// Natural logarithm of the determinant of H.
    pub(crate) fn ln_determinant(&self) -> f64 {
        let diagonal = self.lower.iter().step_by(self.n + 1);
        2.0 * diagonal.map(|pivot| math::ln(*pivot)).sum::<f64>()
    }

    /// `v ← L⁻¹v`.
    pub(crate) fn whiten(&self, v: &mut [f64]) {
        // What leads with zeros keeps them.
        let first = v.iter().position(|value| *value != 0.0).unwrap_or(self.n);
        let rows = self.lower.chunks_exact(self.n).zip(&self.windows);
        for (i, (row, window)) in rows.enumerate().skip(first) {
            let from = first.max(window.from);
            v[i] = (v[i] - dot(&row[from..i], &v[from..i])) / row[i];
        }
    }

    /// `v ← L⁻ᵀv`.
    pub(super) fn unwhiten(&self, v: &mut [f64]) {
        let rows = self.lower.chunks_exact(self.n).zip(&self.windows);
        for (i, (row, window)) in rows.enumerate().rev() {
            let (from, value) = (window.from, v[i] / row[i]);
            v[i] = value;
            add_scaled(&mut v[from..i], -value, &row[from..i]);
        }
    }
}

/// How far a symmetric matrix is from flat in any direction, 0 to 1: its least pivot beside its diagonal. Without a column there
/// is no direction.
pub(crate) fn firmness(matrix: &[f64], n: usize) -> f64 {
    Cholesky::of(matrix, n).map_or(0.0, |factor| factor.least_pivot(matrix))
}

/// Orthogonal Q and upper triangular R with QᵀN = [R; 0], N holding the signed unit normals of the limits at
/// work. Q is kept by columns and R by columns, so that every inner loop runs along memory.
#[derive(Clone, Debug, Default)]
pub(super) struct WorkingFactor {
    n: usize,
    rank: usize,
    q: Vec<f64>,
    r: Vec<f64>,
}

impl WorkingFactor {
    /// Empties the factor for `n` variables: Q is the identity.
    pub(super) fn reset(&mut self, n: usize) {
        self.n = n;
        self.rank = 0;
        for matrix in [&mut self.q, &mut self.r] {
            matrix.clear();
            matrix.resize(n * n, 0.0);
        }
        for i in 0..n {
            self.q[i * n + i] = 1.0;
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

    /// `out ← Qᵀv`, v being zero outside the window.
    pub(super) fn project(&self, v: &[f64], window: Window, out: &mut [f64]) {
        let v = window.cut(v);
        for (o, column) in out.iter_mut().zip(self.q.chunks_exact(self.n)) {
            *o = dot(window.cut(column), v);
        }
    }

    /// `out ← Q·w`.
    pub(super) fn expand(&self, w: &[f64], out: &mut [f64]) {
        out.fill(0.0);
        for (&weight, column) in w.iter().zip(self.q.chunks_exact(self.n)) {
            add_scaled(out, weight, column);
        }
    }

    /// `out ← Q₂·w₂`, the part of Q·w that leaves every limit at work where it is.
    pub(super) fn expand_free(&self, w: &[f64], out: &mut [f64]) {
        out.fill(0.0);
        let columns = self.q.chunks_exact(self.n);
        for (&weight, column) in w.iter().zip(columns).skip(self.rank) {
            add_scaled(out, weight, column);
        }
    }

    /// `v₁ ← R⁻¹v₁` on the first `rank` entries.
    pub(super) fn solve_upper(&self, v: &mut [f64]) {
        for c in (0..self.rank).rev() {
            let column = &self.r[c * self.n..=c * self.n + c];
            let value = v[c] / column[c];
            v[c] = value;
            add_scaled(&mut v[..c], -value, &column[..c]);
        }
    }

    /// `v₁ ← R⁻ᵀv₁` on the first `rank` entries.
    pub(super) fn solve_lower(&self, v: &mut [f64]) {
        for c in 0..self.rank {
            let column = &self.r[c * self.n..=c * self.n + c];
            v[c] = (v[c] - dot(&column[..c], &v[..c])) / column[c];
        }
    }

    /// Appends a normal, given as `d = Qᵀ·normal` and `free = Q₂·d₂`, by one Householder reflection of Q₂ along
    /// u = d₂ ± |d₂|·e₁; `free` is overwritten by Q₂u. It does the work of a chain of Givens rotations without
    /// their square roots, since Q₂·d₂ is known from the step just made.
    pub(super) fn append(&mut self, d: &[f64], free: &mut [f64]) {
        let (n, rank) = (self.n, self.rank);
        let (kept, out) = d.split_at(rank);
        let size = length(out);
        let lead = size.copysign(out[0]);
        let factor = 1.0 / (size * (size + out[0].abs()));
        let column = &mut self.r[rank * n..=rank * n + rank];
        column[..rank].copy_from_slice(kept);
        column[rank] = -lead;
        let (_, free_columns) = self.q.split_at_mut(rank * n);
        add_scaled(free, lead, &free_columns[..n]);
        add_scaled(&mut free_columns[..n], -factor * lead, free);
        for (&u, column) in out.iter().zip(free_columns.chunks_exact_mut(n)) {
            if u != 0.0 {
                add_scaled(column, -factor * u, free);
            }
        }
        self.rank += 1;
    }

    /// Takes the column at `position` out of R, and turns what is left into a triangle by Givens rotations.
    pub(super) fn remove(&mut self, position: usize) {
        let n = self.n;
        for c in position + 1..self.rank {
            self.r.copy_within(c * n..=c * n + c, (c - 1) * n);
        }
        self.rank -= 1;
        for i in position..self.rank {
            let (c, s, length) = rotation(self.r[i * n + i], self.r[i * n + i + 1]);
            self.r[i * n + i] = length;
            self.r[i * n + i + 1] = 0.0;
            for column in i + 1..self.rank {
                let upper = self.r[column * n + i];
                let lower = self.r[column * n + i + 1];
                self.r[column * n + i] = c * upper + s * lower;
                self.r[column * n + i + 1] = c * lower - s * upper;
            }
            self.rotate_columns(i, c, s);
        }
    }

    /// Rotates the columns `i` and `i + 1` of Q into each other.
    fn rotate_columns(&mut self, i: usize, c: f64, s: f64) {
        let (head, tail) = self.q.split_at_mut((i + 1) * self.n);
        let first = &mut head[i * self.n..];
        for (a, b) in first.iter_mut().zip(&mut tail[..self.n]) {
            (*a, *b) = (c * *a + s * *b, c * *b - s * *a);
        }
    }
}

/// Cosine, sine and length that turn (a, b) into (length, 0). Scaled, so that squares neither overflow nor vanish.
fn rotation(a: f64, b: f64) -> (f64, f64, f64) {
    let scale = a.abs().max(b.abs());
    if scale == 0.0 {
        return (1.0, 0.0, 0.0);
    }
    let (x, y) = (a / scale, b / scale);
    let h = (x * x + y * y).sqrt();
    (x / h, y / h, scale * h)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn sums_over_a_window_are_those_over_the_whole_list() {
        // Every place of a first and a last number in a list of eleven; thirds and sevenths, so that the order of the sums shows.
        let other: Vec<f64> = (1..12).map(|k| f64::from(k) / 7.0).collect();
        for first in 0..11 {
            for last in first..11 {
                let list: Vec<f64> = (0..11)
                    .map(|k| {
                        if (first..=last).contains(&k) {
                            k as f64 + 1.0 / 3.0
                        } else {
                            0.0
                        }
                    })
                    .collect();
                let window = Window::of(&list);
                assert_eq!(
                    window.dot(&list, &other),
                    dot(&list, &other),
                    "{first} to {last}"
                );
                assert_eq!(window.from, first - first % 4);
            }
        }
        assert_eq!(Window::of(&[0.0; 5]).dot(&[0.0; 5], &other[..5]), 0.0);
    }
}
