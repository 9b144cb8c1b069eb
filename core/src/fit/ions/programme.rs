//! The terms as a programme: with a variable for each miss, or reduced, the misses written out as
//! curvature.

use super::problem::{Distance, Terms};
use crate::fit::linear::limit_choices;
use crate::optimise::{Cholesky, Part, Programme, ProgrammeError, Span, add_padded, stride};

/// Curvature of misses that leaves no direction flatter than this fixes every amount it is of.
pub(super) const MIN_PIVOT: f64 = 1e-5;
/// Curvature that makes the optimum a single point where misses cost their plain distance; it does
/// not count.
pub(super) const MISS_REGULARISATION: f64 = 1e-7;

/// The programme with a variable for the miss of each term.
pub(super) fn with_misses(
    distance: Distance,
    regularisation: f64,
    terms: &Terms,
) -> Result<Programme, ProgrammeError> {
    let choices = terms.choices.len();
    let variables = choices + terms.all().len();
    let mut hessian = vec![0.0; variables * variables];
    let mut gradient = vec![0.0; variables];
    for j in 0..choices {
        hessian[j * variables + j] = regularisation;
    }
    for (miss, term) in (choices..).zip(terms.all()) {
        let (curvature, slope) = match distance {
            Distance::Squared => (2.0 * term.weight, 0.0),
            Distance::Absolute => (MISS_REGULARISATION, term.weight),
        };
        hessian[miss * variables + miss] = curvature;
        gradient[miss] = slope;
    }
    let mut programme = Programme::new(hessian, gradient)?;
    limit_choices(&mut programme, &terms.choices)?;
    let mut row = vec![0.0; variables];
    for (miss, term) in (choices..).zip(terms.all()) {
        if let (Some(point), Distance::Squared) = (term.point(), distance) {
            row.fill(0.0);
            row[..choices].copy_from_slice(term.coefficients());
            row[miss] = 1.0;
            programme.add_row(&row, Span::exactly(point))?;
        } else {
            programme.set_bound(miss, Span::at_least(0.0))?;
            term.add_rows(&mut programme, miss, &mut row)?;
        }
    }
    Ok(programme)
}

/// Memory for curvatures and their factor: that of a reduced programme while it is written, later
/// that of a part of it.
#[derive(Clone, Debug, Default)]
pub(super) struct Draft {
    /// Padded rows.
    pub(super) matrix: Vec<f64>,
    pub(super) gradient: Vec<f64>,
    pub(super) factor: Cholesky,
}

/// Squared distances from points, written out: Σ weight·(term − point)² as curvature and gradient.
/// The terms become rows when they are fixed. Returns the regularisation used: 0 where the
/// curvature needs none.
pub(super) fn write_reduced_programme(
    programme: &mut Programme,
    draft: &mut Draft,
    regularisation: f64,
    terms: &Terms,
) -> Result<f64, ProgrammeError> {
    let choices = terms.choices.len();
    let stride = stride(choices);
    let Draft {
        matrix,
        gradient,
        factor,
    } = draft;
    matrix.clear();
    matrix.resize(choices * stride, 0.0);
    gradient.clear();
    gradient.resize(stride, 0.0);
    for term in terms.all() {
        let (line, point) = (term.padded(), term.point().unwrap_or_default());
        let twice = 2.0 * term.weight;
        add_padded(gradient, -twice * point, line);
        for (j, row) in matrix.chunks_exact_mut(stride).enumerate() {
            let four = j - j % 4;
            add_padded(&mut row[four..], twice * line[j], &line[four..]);
        }
    }
    for j in 0..choices {
        for k in 0..j {
            matrix[j * stride + k] = matrix[k * stride + j];
        }
    }
    let is_well_conditioned = choices <= terms.all().len()
        && factor.renew(matrix, choices).is_ok()
        && factor.min_relative_pivot() > MIN_PIVOT;
    let regularisation = if is_well_conditioned {
        0.0
    } else {
        regularisation
    };
    if !is_well_conditioned {
        for j in 0..choices {
            matrix[j * stride + j] += regularisation;
        }
        factor.renew(matrix, choices).map_err(|column| {
            if matrix.iter().all(|h| h.is_finite()) {
                ProgrammeError::NotPositiveDefinite { column }
            } else {
                let part = Part::Hessian;
                ProgrammeError::NotFinite { part }
            }
        })?;
    }
    programme.renew(matrix, factor, &gradient[..choices])?;
    limit_choices(programme, &terms.choices)?;
    Ok(regularisation)
}
