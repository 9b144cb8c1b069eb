//! The lines as a programme: with a variable for each miss, or lean, the misses written out as curvature.

use super::lines::Lines;
use super::question::{Distance, IonQuestion};
use super::{FIRM, MISS_RIDGE};
use crate::convex::{Programme, ProgrammeError, Span, firmness};

/// The programme with a variable for the miss of each line.
pub(super) fn programme(
    question: &IonQuestion,
    ridge: f64,
    scales: &[f64],
    lines: &Lines,
) -> Result<Programme, ProgrammeError> {
    let choices = scales.len();
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
    limit_choices(&mut programme, question, scales)?;
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

/// Squared distances from points, written out: Σ weight·(line − point)² as curvature and gradient. The lines become rows when
/// they are held. With it, the ridge it has: none where the curvature is firm without.
pub(super) fn lean_programme(
    question: &IonQuestion,
    ridge: f64,
    scales: &[f64],
    lines: &Lines,
) -> Result<(Programme, f64), ProgrammeError> {
    let choices = scales.len();
    let mut hessian = vec![0.0; choices * choices];
    let mut gradient = vec![0.0; choices];
    for (row, aim) in lines.iter() {
        for (j, a) in row.iter().enumerate() {
            let twice = 2.0 * aim.weight * a;
            gradient[j] -= twice * aim.low;
            for (k, b) in row[..=j].iter().enumerate() {
                hessian[j * choices + k] += twice * b;
            }
        }
    }
    for j in 0..choices {
        for k in 0..j {
            hessian[k * choices + j] = hessian[j * choices + k];
        }
    }
    let ridge = if choices <= lines.len() && firmness(&hessian, choices) > FIRM {
        0.0
    } else {
        ridge
    };
    for j in 0..choices {
        hessian[j * choices + j] += ridge;
    }
    let mut programme = Programme::new(hessian, gradient)?;
    limit_choices(&mut programme, question, scales)?;
    Ok((programme, ridge))
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
