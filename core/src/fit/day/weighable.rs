//! From the best plan to one that a scale can weigh: the search of [`crate::optimise::weigh`] over
//! draws and doses, and the plain rounding of the best plan beside it.

use super::frozen::FrozenProblem;
use crate::fit::linear::NODE_LIMIT;
use crate::fit::prices;
use crate::fit::result::FitError;
use crate::math;
use crate::optimise::{Portion, Programme, Span, Weighed, Weighing, weigh};

/// An amount that misses a whole step by less than this part is on it.
const ROUNDING: f64 = 1e-9;

/// The best plan that can be weighed. Where the search ends at its limit of nodes, one among the
/// doses alone that the best plan before rounding gives looks for a better one.
///
/// # Errors
/// When neither search finds any.
pub(super) fn weigh_plan(
    frozen: &FrozenProblem<'_>,
    best: &[f64],
) -> Result<(Vec<f64>, Weighed), FitError> {
    let mut found = weighed_in(frozen, &frozen.programme)?;
    if found.x.is_none() || found.gap() > 0.0 {
        let fewer = weighed_in(frozen, &of_given_doses(frozen, best)?)?;
        let (nodes, iterations) = (found.nodes, found.iterations);
        if fewer.value < found.value {
            // No plan of all doses is below what the first search left open.
            let bound = found.bound.min(fewer.value);
            found = Weighed { bound, ..fewer };
        }
        found.nodes = nodes + fewer.nodes;
        found.iterations = iterations + fewer.iterations;
    }
    match found.x.take() {
        Some(x) => Ok((x, found)),
        None => Err(FitError::NotWeighed { nodes: found.nodes }),
    }
}

/// The programme with nothing of the doses that a plan does not give.
fn of_given_doses(frozen: &FrozenProblem<'_>, x: &[f64]) -> Result<Programme, FitError> {
    let mut programme = frozen.programme.clone();
    let variables = frozen.problem.sources.len()..frozen.choices.len();
    for variable in variables {
        if x.get(variable).is_some_and(|amount| *amount <= ROUNDING) {
            programme.set_bound(variable, Span::exactly(0.0))?;
        }
    }
    Ok(programme)
}

/// The best point of a programme of the problem that can be weighed. Draws come in whole steps as
/// well, unless the sources cannot fill the vessels then.
fn weighed_in(frozen: &FrozenProblem<'_>, programme: &Programme) -> Result<Weighed, FitError> {
    let doses = doses_as_portions(frozen);
    let mut portions = draws_as_portions(frozen);
    portions.extend_from_slice(&doses);
    let mut found = searched(frozen, programme, &portions)?;
    if found.x.is_none() {
        let nodes = found.nodes;
        found = searched(frozen, programme, &doses)?;
        found.nodes += nodes;
    }
    Ok(found)
}

fn searched(
    frozen: &FrozenProblem<'_>,
    programme: &Programme,
    portions: &[Portion],
) -> Result<Weighed, FitError> {
    let weighing = Weighing {
        portions,
        most_items: frozen.problem.max_salts,
        regularisation: &[],
        constant: frozen.constant(),
        least: f64::NEG_INFINITY,
        indifference: 0.0,
        node_limit: NODE_LIMIT,
    };
    let mut found = weigh(programme, &weighing)?;
    if let Some(x) = &mut found.x {
        x.truncate(frozen.choices.len());
        // On a step and not next to it: what is left of nothing by rounding is no dose.
        for portion in portions {
            if let (Some(value), Some(step)) = (x.get_mut(portion.variable), portion.step) {
                *value = (*value / step).round() * step;
            }
        }
    }
    Ok(found)
}

/// The first source makes up the rest.
fn draws_as_portions(frozen: &FrozenProblem<'_>) -> Vec<Portion> {
    let sources = frozen.problem.sources.len();
    let draws = frozen.choices.iter().enumerate().take(sources).skip(1);
    draws
        .map(|(variable, choice)| choice.portion(variable, None, 0.0))
        .collect()
}

fn doses_as_portions(frozen: &FrozenProblem<'_>) -> Vec<Portion> {
    let sources = frozen.problem.sources.len();
    let doses = frozen.choices.iter().enumerate().skip(sources);
    doses
        .zip(&frozen.problem.doses)
        .map(|((variable, choice), option)| {
            // Acids are not among the salts of which there may be only so many.
            let item = (!option.preparation.is_acid()).then_some(option.stock);
            choice.portion(variable, item, prices::per_item())
        })
        .collect()
}

/// The best plan with each dose and draw on its nearest step that sources and stocks allow, in the
/// order of the vessels; what is less than half the smallest sensible dose is left out. It may use
/// more salts than the problem allows, and exceed a hard limit.
pub(super) fn rounded(frozen: &FrozenProblem<'_>, x: &[f64]) -> Vec<f64> {
    let mut x = x[..frozen.choices.len().min(x.len())].to_vec();
    let problem = frozen.problem;
    let most = |variable: usize| frozen.choices[variable].span().high;
    let mut first = 1.0;
    let mut drawn = x.clone();
    for portion in draws_as_portions(frozen) {
        if let Some(share) = drawn.get_mut(portion.variable) {
            *share = nearest(*share, &portion, most(portion.variable));
            first -= *share;
        }
    }
    // Draws stay as they are where the first source cannot make up the rest.
    if let Some(share) = drawn
        .first_mut()
        .filter(|_| first >= 0.0 && first <= most(0))
    {
        *share = first;
        x = drawn;
    }
    let mut stocks = problem.stocks.clone();
    let doses = &frozen.choices[problem.sources.len()..];
    let options = problem.doses.iter().zip(doses);
    for (portion, (option, choice)) in doses_as_portions(frozen).iter().zip(options) {
        let unit = choice.scale * problem.waters.times(option.vessel);
        let stock = stocks.get_mut(option.stock).and_then(Option::as_mut);
        let on_hand = stock.as_deref().map_or(f64::INFINITY, |left| left / unit);
        if let Some(value) = x.get_mut(portion.variable) {
            *value = nearest(*value, portion, most(portion.variable).min(on_hand));
            if let Some(left) = stock {
                *left -= *value * unit;
            }
        }
    }
    x
}

/// The nearest amount that can be weighed: whole steps, nothing or at least the smallest sensible
/// dose, and no more than the most.
fn nearest(amount: f64, portion: &Portion, most: f64) -> f64 {
    let Some(step) = portion.step else {
        return amount;
    };
    let least = (portion.min_dose / step * (1.0 - ROUNDING)).ceil();
    let most = (most / step * (1.0 + ROUNDING)).floor();
    if amount < 0.5 * portion.min_dose || most < least {
        return 0.0;
    }
    math::at_least((amount / step).round(), least).min(most) * step
}
