//! The generic programme: minimise ½·xᵀH·x + gᵀx while sums and single variables stay within their
//! spans.

use super::factor::Cholesky;
use super::limit::{Limit, Span};
use super::padded::{NonzeroRange, add_scaled, dot, length, lists, padded, stride};
use super::programme_error::{Part, ProgrammeError, check_numbers, check_span};

/// A strictly convex quadratic programme, dense:
///
/// minimise ½·xᵀH·x + gᵀx, with every row aᵢᵀx and every variable xⱼ within its [`Span`].
///
/// An equality is a row or a variable whose span is exact. The curvature H is factored once, at
/// construction, and each limit's normal is carried over into the coordinates y = Lᵀx in which the
/// curvature is the identity; spans and gradient may then change as often as wanted (branch and
/// bound does) without any new factoring.
///
/// Units are the caller's. Choose them so that one unit of a variable matters: every tolerance
/// counts a variable as at least one unit large (see [`Certificate`](super::Certificate)).
#[derive(Clone, Debug, PartialEq)]
pub struct Programme {
    /// The rows of H, padded, as all lists here but spans and gradient.
    hessian: Vec<f64>,
    gradient: Vec<f64>,
    /// Coefficients of the rows.
    rows: Vec<f64>,
    /// Spans of the variables, then of the rows; the same order in the lists below.
    spans: Vec<Span>,
    /// Unit normals L⁻¹a/‖L⁻¹a‖, one after another. Those of the variables, times their norms, are
    /// the columns of L⁻¹; L is not kept: products with them are sooner done than a triangular
    /// solve, and refinement makes up for the digits they cost.
    normals: Vec<f64>,
    measures: Vec<Measure>,
}

/// A limit's measures.
#[derive(Clone, Copy, Debug, PartialEq)]
struct Measure {
    /// Length ‖L⁻¹a‖; 1 where a is zero.
    norm: f64,
    /// Its reciprocal.
    scale: f64,
    /// Sum of the absolute coefficients.
    weight: f64,
    /// Where the unit normal is not zero.
    nonzero: NonzeroRange,
    /// Of a variable: where its row of H is not zero.
    hessian_range: NonzeroRange,
}

impl Programme {
    /// A programme without rows whose variables are free.
    ///
    /// `hessian` is row-major, n·n numbers, symmetric and positive definite; `gradient` has n
    /// numbers.
    ///
    /// # Errors
    /// No variables, a wrong length, a number that is not finite, an H that is not symmetric
    /// (beyond 10⁻¹² of the geometric mean of its diagonal) or not positive definite, or sizes
    /// that overflow.
    pub fn new(hessian: Vec<f64>, gradient: Vec<f64>) -> Result<Self, ProgrammeError> {
        let n = gradient.len();
        if n == 0 {
            return Err(ProgrammeError::NoVariables);
        }
        check_numbers(&hessian, n * n, Part::Hessian)?;
        check_numbers(&gradient, n, Part::Gradient)?;
        let hessian = padded(&symmetric(hessian, n)?, n);
        let mut factor = Cholesky::default();
        factor
            .renew(&hessian, n)
            .map_err(|column| ProgrammeError::NotPositiveDefinite { column })?;
        let mut programme = Self {
            hessian,
            gradient,
            ..Self::empty()
        };
        programme.set_up(&factor)?;
        Ok(programme)
    }

    /// Memory for a programme: it has no variables before it is renewed.
    pub(crate) fn empty() -> Self {
        Self {
            hessian: Vec::new(),
            gradient: Vec::new(),
            rows: Vec::new(),
            spans: Vec::new(),
            normals: Vec::new(),
            measures: Vec::new(),
        }
    }

    /// Makes it another programme in the same memory, without rows and with free variables: that of
    /// a symmetric matrix in padded rows, all finite, whose factor is at hand. After an error
    /// it has to be renewed again.
    pub(crate) fn renew(
        &mut self,
        hessian: &[f64],
        factor: &Cholesky,
        gradient: &[f64],
    ) -> Result<(), ProgrammeError> {
        check_numbers(gradient, gradient.len(), Part::Gradient)?;
        self.hessian.clear();
        self.hessian.extend_from_slice(hessian);
        self.gradient.clear();
        self.gradient.extend_from_slice(gradient);
        self.rows.clear();
        self.spans.clear();
        self.normals.clear();
        self.measures.clear();
        self.set_up(factor)
    }

    /// From the curvature, its factor and the gradient alone: variables without bounds.
    fn set_up(&mut self, factor: &Cholesky) -> Result<(), ProgrammeError> {
        let (n, stride) = (self.variables(), self.stride());
        self.spans.resize(n, Span::FREE);
        self.normals.resize(n * stride, 0.0);
        for (j, normal) in self.normals.chunks_exact_mut(stride).enumerate() {
            normal[j] = 1.0;
            factor.solve_lower(normal);
            let part = Part::Bound(j);
            let measure = Measure::of(normal, 1.0).ok_or(ProgrammeError::OutOfScale { part })?;
            self.measures.push(Measure {
                hessian_range: NonzeroRange::of(&self.hessian[j * stride..][..stride]),
                ..measure
            });
        }
        Ok(())
    }

    /// Adds a row: `coefficients`ᵀx within `span`. Returns its index.
    ///
    /// # Errors
    /// A wrong length, a number that is not finite, a reversed span, or sizes that overflow.
    pub fn add_row(&mut self, coefficients: &[f64], span: Span) -> Result<usize, ProgrammeError> {
        let index = self.row_count();
        let part = Part::Row(index);
        check_numbers(coefficients, self.variables(), part)?;
        check_span(span, part)?;
        let weight = coefficients.iter().map(|a| a.abs()).sum();
        let mut normal = vec![0.0; self.stride()];
        self.solve_lower(coefficients, &mut normal);
        let measure = Measure::of(&mut normal, weight);
        self.measures
            .push(measure.ok_or(ProgrammeError::OutOfScale { part })?);
        self.normals.extend_from_slice(&normal);
        self.rows.extend_from_slice(coefficients);
        self.rows.resize((index + 1) * self.stride(), 0.0);
        self.spans.push(span);
        Ok(index)
    }

    /// Sets the span of one variable.
    ///
    /// # Errors
    /// No such variable, NaN, or a reversed span; the programme is then unchanged.
    pub fn set_bound(&mut self, variable: usize, span: Span) -> Result<(), ProgrammeError> {
        self.set_span(Limit::Bound(variable), span)
    }

    /// Sets the span of one row.
    ///
    /// # Errors
    /// No such row, NaN, or a reversed span; the programme is then unchanged.
    pub fn set_row_span(&mut self, row: usize, span: Span) -> Result<(), ProgrammeError> {
        self.set_span(Limit::Row(row), span)
    }

    /// Sets the span of a variable or a row.
    ///
    /// # Errors
    /// No such limit, NaN, or a reversed span; the programme is then unchanged.
    pub fn set_span(&mut self, limit: Limit, span: Span) -> Result<(), ProgrammeError> {
        let index = self
            .index(limit)
            .ok_or(ProgrammeError::NoSuchLimit { limit })?;
        let part = match limit {
            Limit::Bound(j) => Part::Bound(j),
            Limit::Row(i) => Part::Row(i),
        };
        check_span(span, part)?;
        self.spans[index] = span;
        Ok(())
    }

    /// Sets the gradient.
    ///
    /// # Errors
    /// A wrong length or a number that is not finite; the programme is then unchanged.
    pub fn set_gradient(&mut self, gradient: &[f64]) -> Result<(), ProgrammeError> {
        check_numbers(gradient, self.variables(), Part::Gradient)?;
        self.gradient.copy_from_slice(gradient);
        Ok(())
    }

    /// How many variables there are.
    pub fn variables(&self) -> usize {
        self.gradient.len()
    }

    /// How many rows there are.
    pub fn row_count(&self) -> usize {
        self.spans.len() - self.variables()
    }

    /// The rows of the curvature H.
    pub fn hessian(&self) -> impl Iterator<Item = &[f64]> {
        let n = self.variables();
        lists(&self.hessian, self.stride()).map(move |row| &row[..n])
    }

    /// The gradient g.
    pub fn gradient(&self) -> &[f64] {
        &self.gradient
    }

    /// The coefficients of a row.
    pub fn row(&self, row: usize) -> Option<&[f64]> {
        let whole = (row < self.row_count()).then(|| &self.rows[row * self.stride()..]);
        whole.map(|rows| &rows[..self.variables()])
    }

    /// The span of a variable or row.
    pub fn span(&self, limit: Limit) -> Option<Span> {
        self.index(limit).map(|index| self.spans[index])
    }

    /// ½·xᵀH·x + gᵀx, in the objective's unit. Entries missing from `x` count as zero.
    pub fn value(&self, x: &[f64]) -> f64 {
        let rows = self.hessian().zip(x);
        let curved = rows.map(|(row, xi)| xi * dot_short(row, x));
        let curved: f64 = curved.sum();
        0.5 * curved + dot_short(&self.gradient, x)
    }

    pub(super) fn index(&self, limit: Limit) -> Option<usize> {
        match limit {
            Limit::Bound(j) => (j < self.variables()).then_some(j),
            Limit::Row(i) => (i < self.row_count()).then(|| self.variables() + i),
        }
    }
}

/// What the solver and the certificate read: limits by one running index, variables first, then
/// rows.
impl Programme {
    pub(super) fn limit_count(&self) -> usize {
        self.spans.len()
    }

    pub(super) fn limit(&self, index: usize) -> Limit {
        match index.checked_sub(self.variables()) {
            None => Limit::Bound(index),
            Some(row) => Limit::Row(row),
        }
    }

    /// How far the curvature of some variables alone is from flat
    /// ([`Cholesky::min_relative_pivot`]), worked out in `part` and `factor`.
    pub(crate) fn min_relative_pivot(
        &self,
        variables: &[usize],
        part: &mut Vec<f64>,
        factor: &mut Cholesky,
    ) -> f64 {
        let stride = stride(variables.len());
        part.clear();
        part.resize(variables.len() * stride, 0.0);
        for (row, variable) in part.chunks_exact_mut(stride.max(1)).zip(variables) {
            let whole = &self.hessian[variable * self.stride()..];
            for (place, other) in row.iter_mut().zip(variables) {
                *place = whole[*other];
            }
        }
        let factored = factor.renew(part, variables.len());
        factored.map_or(0.0, |()| factor.min_relative_pivot())
    }

    /// The length of the lists that the solver works on: the variables, then zeros.
    pub(super) fn stride(&self) -> usize {
        stride(self.variables())
    }

    /// `out ← L⁻¹v`, from the columns of L⁻¹.
    pub(super) fn solve_lower(&self, v: &[f64], out: &mut [f64]) {
        out.fill(0.0);
        for (j, v) in v.iter().enumerate().take(self.variables()) {
            if *v != 0.0 {
                let scaled = v * self.norm(j);
                self.nonzero(j).add_scaled(out, scaled, self.normal(j));
            }
        }
    }

    /// `target += L⁻ᵀy`.
    pub(super) fn add_solve_upper(&self, y: &[f64], target: &mut [f64]) {
        let columns = lists(&self.normals, self.stride());
        let variables = &mut target[..self.variables()];
        for ((t, column), measure) in variables.iter_mut().zip(columns).zip(&self.measures) {
            *t += measure.norm * measure.nonzero.dot(column, y);
        }
    }

    pub(crate) fn spans(&self) -> &[Span] {
        &self.spans
    }

    /// By limit: what brings its normal in y to unit length, and the sum of its absolute
    /// coefficients.
    pub(super) fn sizes(&self) -> impl Iterator<Item = (f64, f64)> {
        let measures = self.measures.iter();
        measures.map(|measure| (measure.scale, measure.weight))
    }

    /// What brings the limit's normal in y to unit length.
    pub(super) fn scale(&self, index: usize) -> f64 {
        self.measures[index].scale
    }

    pub(super) fn norm(&self, index: usize) -> f64 {
        self.measures[index].norm
    }

    pub(super) fn weight(&self, index: usize) -> f64 {
        self.measures[index].weight
    }

    /// A variable's own curvature.
    pub(super) fn own_curvature(&self, variable: usize) -> f64 {
        self.hessian[variable * self.stride() + variable]
    }

    /// The rows of the curvature, and where each is not zero.
    pub(super) fn curvature(&self) -> impl Iterator<Item = (&[f64], NonzeroRange)> {
        let rows = lists(&self.hessian, self.stride());
        rows.zip(self.measures.iter().map(|measure| measure.hessian_range))
    }

    /// The unit normals, and where each is not zero.
    pub(super) fn normals(&self) -> impl Iterator<Item = (&[f64], NonzeroRange)> {
        let normals = lists(&self.normals, self.stride());
        normals.zip(self.measures.iter().map(|measure| measure.nonzero))
    }

    pub(super) fn nonzero(&self, index: usize) -> NonzeroRange {
        self.measures[index].nonzero
    }

    pub(super) fn normal(&self, index: usize) -> &[f64] {
        let stride = self.stride();
        &self.normals[index * stride..(index + 1) * stride]
    }

    /// What the limit acts on: xⱼ or aᵢᵀx.
    pub(super) fn activity(&self, index: usize, x: &[f64]) -> f64 {
        match self.coefficients(index) {
            Ok(row) => dot_short(row, x),
            Err(variable) => x[variable],
        }
    }

    /// The row's coefficients, or the variable that is bounded.
    pub(super) fn coefficients(&self, index: usize) -> Result<&[f64], usize> {
        let stride = self.stride();
        match index.checked_sub(self.variables()) {
            None => Err(index),
            Some(row) => Ok(&self.rows[row * stride..(row + 1) * stride]),
        }
    }

    /// `target += factor · a`, a being the limit's coefficients.
    pub(super) fn add_normal(&self, index: usize, factor: f64, target: &mut [f64]) {
        let n = self.variables();
        match self.coefficients(index) {
            Ok(row) => add_scaled(&mut target[..n], factor, &row[..n]),
            Err(variable) => target[variable] += factor,
        }
    }
}

impl Measure {
    /// Scales L⁻¹a to unit length, and measures it; nothing where sizes overflow.
    fn of(normal: &mut [f64], weight: f64) -> Option<Self> {
        let norm = if weight == 0.0 { 1.0 } else { length(normal) };
        if !(norm.is_normal() && weight.is_finite()) {
            return None;
        }
        let scale = 1.0 / norm;
        for v in &mut *normal {
            *v *= scale;
        }
        Some(Self {
            norm,
            scale,
            weight,
            nonzero: NonzeroRange::of(normal),
            hessian_range: NonzeroRange::default(),
        })
    }
}

/// A plain sum of products that stops at the shorter list.
fn dot_short(a: &[f64], b: &[f64]) -> f64 {
    let n = a.len().min(b.len());
    dot(&a[..n], &b[..n])
}

/// Evens out rounding between H and its transpose; more than rounding is an error.
fn symmetric(mut h: Vec<f64>, n: usize) -> Result<Vec<f64>, ProgrammeError> {
    for i in 0..n {
        for j in 0..i {
            let (lower, upper) = (h[i * n + j], h[j * n + i]);
            if lower == upper {
                continue;
            }
            let size = h[i * n + i].abs().sqrt() * h[j * n + j].abs().sqrt();
            if (lower - upper).abs() > 1e-12 * size {
                return Err(ProgrammeError::NotSymmetric { row: i, column: j });
            }
            let mean = 0.5 * lower + 0.5 * upper;
            h[i * n + j] = mean;
            h[j * n + i] = mean;
        }
    }
    Ok(h)
}
