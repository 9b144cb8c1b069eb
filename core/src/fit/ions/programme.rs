//! The lines as a programme: with a variable for each miss, or reduced, the misses written out as curvature.

use super::lines::Lines;
use super::question::{Distance, IonQuestion};
use super::{MIN_PIVOT, MISS_RIDGE};
use crate::optimise::{Cholesky, Part, Programme, ProgrammeError, Span, add_padded, stride};

/// The programme with a variable for the miss of each line.
pub(super) fn with_misses(
    question: &IonQuestion,
    ridge: f64,
    lines: &Lines,
) -> Result<Programme, ProgrammeError> {
    let choices = lines.scales.len();
    let variables = choices + lines.len();
    let mut hessian = vec![0.0; variables * variables];
    let mut gradient = vec![0.0; variables];
    for j in 0..variables {
        let aim = j
            .checked_sub(choices)
            .and_then(|index| lines.aims.get(index));
        hessian[j * variables + j] = match (aim, question.distance) {
            (None, _) => ridge,
            (Some(aim), Distance::Squared) => 2.0 * aim.weight,
            (Some(_), Distance::Absolute) => MISS_RIDGE,
        };
        if let (Some(aim), Distance::Absolute) = (aim, question.distance) {
            gradient[j] = aim.weight;
        }
    }
    let mut programme = Programme::new(hessian, gradient)?;
    limit_choices(&mut programme, question, &lines.scales)?;
    let mut row = vec![0.0; variables];
    for (index, (coefficients, aim)) in lines.iter().enumerate() {
        row.fill(0.0);
        row[..choices].copy_from_slice(coefficients);
        let miss = choices + index;
        if aim.is_point() && question.distance == Distance::Squared {
            row[miss] = 1.0;
            programme.add_row(&row, Span::exactly(aim.low))?;
            continue;
        }
        programme.set_bound(miss, Span::at_least(0.0))?;
        if aim.low > f64::NEG_INFINITY {
            row[miss] = 1.0;
            programme.add_row(&row, Span::at_least(aim.low))?;
        }
        if aim.high < f64::INFINITY {
            row[miss] = -1.0;
            programme.add_row(&row, Span::at_most(aim.high))?;
        }
    }
    Ok(programme)
}

/// Memory for curvatures and their factor: that of a reduced programme while it is written, later that of a part of it.
#[derive(Clone, Debug, Default)]
pub(super) struct Draft {
    /// Padded rows.
    pub(super) matrix: Vec<f64>,
    pub(super) gradient: Vec<f64>,
    pub(super) factor: Cholesky,
}

/// Squared distances from points, written out: Σ weight·(line − point)² as curvature and gradient. The lines become rows when
/// they are held. With it, the ridge it has: none where the curvature is firm without.
pub(super) fn write_reduced_programme(
    programme: &mut Programme,
    draft: &mut Draft,
    question: &IonQuestion,
    ridge: f64,
    lines: &Lines,
) -> Result<f64, ProgrammeError> {
    let choices = lines.scales.len();
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
    for (line, aim) in lines.padded().zip(&lines.aims) {
        let twice = 2.0 * aim.weight;
        add_padded(gradient, -twice * aim.low, line);
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
    let is_well_conditioned = choices <= lines.len()
        && factor.renew(matrix, choices).is_ok()
        && factor.min_relative_pivot() > MIN_PIVOT;
    let ridge = if is_well_conditioned { 0.0 } else { ridge };
    if !is_well_conditioned {
        for j in 0..choices {
            matrix[j * stride + j] += ridge;
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
    limit_choices(programme, question, &lines.scales)?;
    Ok(ridge)
}

fn limit_choices(
    programme: &mut Programme,
    question: &IonQuestion,
    scales: &[f64],
) -> Result<(), ProgrammeError> {
    let salts = question.salts.iter().map(|salt| [0.0, salt.most]);
    let shares = question
        .dilution
        .iter()
        .map(|dilution| [dilution.least, dilution.most]);
    for (j, ([low, high], scale)) in salts.chain(shares).zip(scales).enumerate() {
        programme.set_bound(j, Span::between(low / scale, high / scale))?;
    }
    Ok(())
}
