//! The generic programme: minimise ½·xᵀH·x + gᵀx while sums and single variables stay within their spans.

use std::fmt;

use super::factor::{Cholesky, Window, add_scaled, dot, firmness, length};
use super::limit::{Limit, Span};

/// The part of a programme an error speaks of.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Part {
    /// The matrix H.
    Hessian,
    /// The vector g.
    Gradient,
    /// A variable's span.
    Bound(usize),
    /// A row: its coefficients or its span.
    Row(usize),
}

impl fmt::Display for Part {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Part::Hessian => f.write_str("the curvature matrix"),
            Part::Gradient => f.write_str("the gradient"),
            Part::Bound(j) => write!(f, "the bounds of variable {j}"),
            Part::Row(i) => write!(f, "row {i}"),
        }
    }
}

/// Why a programme cannot be set up.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum ProgrammeError {
    /// There is no variable to choose.
    NoVariables,
    /// A list has the wrong length.
    Dimension {
        /// Which list.
        part: Part,
        /// Length it must have.
        expected: usize,
        /// Length it has.
        found: usize,
    },
    /// NaN, or an infinity where none can stand.
    NotFinite {
        /// Where.
        part: Part,
    },
    /// The low end lies above the high end.
    Reversed {
        /// Whose span.
        part: Part,
        /// Its low end.
        low: f64,
        /// Its high end.
        high: f64,
    },
    /// H differs from its transpose at this place.
    NotSymmetric {
        /// Row in H.
        row: usize,
        /// Column in H.
        column: usize,
    },
    /// H is not positive definite to working precision; the pivot of this column vanishes.
    NotPositiveDefinite {
        /// Column in H.
        column: usize,
    },
    /// The numbers differ so much in size that the arithmetic overflows.
    OutOfScale {
        /// Where it shows.
        part: Part,
    },
    /// No variable or row has this index.
    NoSuchLimit {
        /// The index asked for.
        limit: Limit,
    },
}

impl fmt::Display for ProgrammeError {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Self::NoVariables => f.write_str("the programme has no variables"),
            Self::Dimension {
                part,
                expected,
                found,
            } => {
                write!(f, "{part}: {expected} numbers expected, {found} given")
            }
            Self::NotFinite { part } => write!(f, "{part}: a number is not finite"),
            Self::Reversed { part, low, high } => {
                write!(
                    f,
                    "{part}: the low end {low} lies above the high end {high}"
                )
            }
            Self::NotSymmetric { row, column } => {
                write!(
                    f,
                    "the curvature matrix is not symmetric at ({row}, {column})"
                )
            }
            Self::NotPositiveDefinite { column } => {
                write!(
                    f,
                    "the curvature matrix is not positive definite: column {column}"
                )
            }
            Self::OutOfScale { part } => write!(f, "{part}: the numbers are out of scale"),
            Self::NoSuchLimit {
                limit: Limit::Bound(j),
            } => write!(f, "there is no variable {j}"),
            Self::NoSuchLimit {
                limit: Limit::Row(i),
            } => write!(f, "there is no row {i}"),
        }
    }
}

impl std::error::Error for ProgrammeError {}

/// A strictly convex quadratic programme, dense:
///
/// minimise ½·xᵀH·x + gᵀx, with every row aᵢᵀx and every variable xⱼ within its [`Span`].
///
/// An equality is a row or a variable whose span is exact. The curvature H is factored once, at construction,
/// and each limit's normal is carried over into the coordinates y = Lᵀx in which the curvature is the identity;
/// spans and gradient may then change as often as wanted (branch and bound does) without any new factoring.
///
/// Units are the caller's. Choose them so that one unit of a variable matters: every tolerance counts a
/// variable as at least one unit large (see [`Certificate`](super::Certificate)).
#[derive(Clone, Debug, PartialEq)]
pub struct Programme {
    hessian: Vec<f64>,
    gradient: Vec<f64>,
    factor: Cholesky,
    /// Coefficients of the rows, row-major.
    rows: Vec<f64>,
    /// Spans of the variables, then of the rows; the same order in the lists below.
    spans: Vec<Span>,
    /// Unit normals L⁻¹a/‖L⁻¹a‖, one after another.
    normals: Vec<f64>,
    measures: Vec<Measure>,
}

/// A limit's measures.
#[derive(Clone, Copy, Debug, PartialEq)]
struct Measure {
    /// Length ‖L⁻¹a‖; 1 where a is zero.
    norm: f64,
    /// Sum of the absolute coefficients.
    weight: f64,
    /// Where the unit normal is not zero.
    window: Window,
}

impl Programme {
    /// A programme without rows whose variables are free.
    ///
    /// `hessian` is row-major, n·n numbers, symmetric and positive definite; `gradient` has n numbers.
    ///
    /// # Errors
    /// No variables, a wrong length, a number that is not finite, an H that is not symmetric (beyond 10⁻¹² of
    /// the geometric mean of its diagonal) or not positive definite, or sizes that overflow.
    pub fn new(hessian: Vec<f64>, gradient: Vec<f64>) -> Result<Self, ProgrammeError> {
        let n = gradient.len();
        if n == 0 {
            return Err(ProgrammeError::NoVariables);
        }
        check_numbers(&hessian, n * n, Part::Hessian)?;
        check_numbers(&gradient, n, Part::Gradient)?;
        let hessian = symmetric(hessian, n)?;
        let factor = Cholesky::of(&hessian, n)
            .map_err(|column| ProgrammeError::NotPositiveDefinite { column })?;
        let mut programme = Self {
            hessian,
            gradient,
            factor,
            rows: Vec::new(),
            spans: Vec::with_capacity(n),
            normals: Vec::with_capacity(n * n),
            measures: Vec::with_capacity(n),
        };
        for j in 0..n {
            let unit = (0..n).map(|k| f64::from(u8::from(k == j)));
            programme.normals.extend(unit);
            programme.push_normal(1.0, Part::Bound(j))?;
            programme.spans.push(Span::FREE);
        }
        Ok(programme)
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
        self.normals.extend_from_slice(coefficients);
        let weight = coefficients.iter().map(|a| a.abs()).sum();
        self.push_normal(weight, part)?;
        self.rows.extend_from_slice(coefficients);
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

    /// The curvature H, row-major.
    pub fn hessian(&self) -> &[f64] {
        &self.hessian
    }

    /// The gradient g.
    pub fn gradient(&self) -> &[f64] {
        &self.gradient
    }

    /// The coefficients of a row.
    pub fn row(&self, row: usize) -> Option<&[f64]> {
        self.rows.chunks_exact(self.variables()).nth(row)
    }

    /// The span of a variable or row.
    pub fn span(&self, limit: Limit) -> Option<Span> {
        self.index(limit).map(|index| self.spans[index])
    }

    /// ½·xᵀH·x + gᵀx, in the objective's unit. Entries missing from `x` count as zero.
    pub fn value(&self, x: &[f64]) -> f64 {
        let curved: f64 = if x.len() < self.variables() {
            let rows = self.hessian.chunks_exact(self.variables()).zip(x);
            rows.map(|(row, xi)| xi * dot_short(row, x)).sum()
        } else {
            let rows = self.curvature().zip(x);
            rows.map(|((row, window), xi)| xi * window.dot(row, x))
                .sum()
        };
        0.5 * curved + dot_short(&self.gradient, x)
    }

    pub(super) fn index(&self, limit: Limit) -> Option<usize> {
        match limit {
            Limit::Bound(j) => (j < self.variables()).then_some(j),
            Limit::Row(i) => (i < self.row_count()).then(|| self.variables() + i),
        }
    }

    /// Carries the last normal over into the coordinates where the curvature is the identity; takes it back if it cannot.
    fn push_normal(&mut self, weight: f64, part: Part) -> Result<(), ProgrammeError> {
        let start = self.measures.len() * self.variables();
        let normal = &mut self.normals[start..];
        self.factor.whiten(normal);
        let norm = if weight == 0.0 { 1.0 } else { length(normal) };
        if !(norm.is_normal() && weight.is_finite()) {
            self.normals.truncate(start);
            return Err(ProgrammeError::OutOfScale { part });
        }
        for v in &mut *normal {
            *v /= norm;
        }
        let window = Window::of(normal);
        self.measures.push(Measure {
            norm,
            weight,
            window,
        });
        Ok(())
    }
}

/// What the solver and the certificate read: limits by one running index, variables first, then rows.
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

    /// How far the curvature of some variables alone is from flat: see [`firmness`](super::firmness).
    pub(crate) fn firmness(&self, variables: &[usize]) -> f64 {
        let n = self.variables();
        let rows = variables.iter().map(|row| row * n);
        let part: Vec<f64> = rows
            .flat_map(|row| variables.iter().map(move |column| row + column))
            .map(|place| self.hessian[place])
            .collect();
        firmness(&part, variables.len())
    }

    pub(super) fn factor(&self) -> &Cholesky {
        &self.factor
    }

    pub(crate) fn spans(&self) -> &[Span] {
        &self.spans
    }

    /// By limit: the length of its normal in y, and the sum of its absolute coefficients.
    pub(super) fn sizes(&self) -> impl Iterator<Item = (f64, f64)> {
        let measures = self.measures.iter();
        measures.map(|measure| (measure.norm, measure.weight))
    }

    pub(super) fn norm(&self, index: usize) -> f64 {
        self.measures[index].norm
    }

    pub(super) fn weight(&self, index: usize) -> f64 {
        self.measures[index].weight
    }

    /// The rows of the curvature, and where each is not zero.
    pub(super) fn curvature(&self) -> impl Iterator<Item = (&[f64], Window)> {
        let rows = self.hessian.chunks_exact(self.variables());
        rows.zip(self.factor.windows().iter().copied())
    }

    /// The unit normals, and where each is not zero.
    pub(super) fn normals(&self) -> impl Iterator<Item = (&[f64], Window)> {
        let normals = self.normals.chunks_exact(self.variables());
        normals.zip(self.measures.iter().map(|measure| measure.window))
    }

    pub(super) fn window(&self, index: usize) -> Window {
        self.measures[index].window
    }

    pub(super) fn normal(&self, index: usize) -> &[f64] {
        let n = self.variables();
        &self.normals[index * n..(index + 1) * n]
    }

    /// What the limit acts on: xⱼ or aᵢᵀx.
    pub(super) fn activity(&self, index: usize, x: &[f64]) -> f64 {
        match self.coefficients(index) {
            Ok(row) => dot(row, x),
            Err(variable) => x[variable],
        }
    }

    /// The row's coefficients, or the variable the bound stands on.
    pub(super) fn coefficients(&self, index: usize) -> Result<&[f64], usize> {
        let n = self.variables();
        match index.checked_sub(n) {
            None => Err(index),
            Some(row) => Ok(&self.rows[row * n..(row + 1) * n]),
        }
    }

    /// `target += factor · a`, a being the limit's coefficients.
    pub(super) fn add_normal(&self, index: usize, factor: f64, target: &mut [f64]) {
        match self.coefficients(index) {
            Ok(row) => add_scaled(target, factor, row),
            Err(variable) => target[variable] += factor,
        }
    }
}

/// A plain sum of products that stops at the shorter list.
fn dot_short(a: &[f64], b: &[f64]) -> f64 {
    let n = a.len().min(b.len());
    dot(&a[..n], &b[..n])
}

fn check_numbers(numbers: &[f64], expected: usize, part: Part) -> Result<(), ProgrammeError> {
    if numbers.len() != expected {
        return Err(ProgrammeError::Dimension {
            part,
            expected,
            found: numbers.len(),
        });
    }
    if numbers.iter().all(|v| v.is_finite()) {
        Ok(())
    } else {
        Err(ProgrammeError::NotFinite { part })
    }
}

fn check_span(span: Span, part: Part) -> Result<(), ProgrammeError> {
    let Span { low, high } = span;
    if low > high {
        return Err(ProgrammeError::Reversed { part, low, high });
    }
    let missing = low.is_nan() || high.is_nan();
    if missing || low == f64::INFINITY || high == f64::NEG_INFINITY {
        return Err(ProgrammeError::NotFinite { part });
    }
    Ok(())
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
