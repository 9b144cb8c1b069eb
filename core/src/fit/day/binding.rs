//! What limits the best plan: its active constraints, what relief of each is worth by its
//! multiplier, and the best plan with one unit of relief.

use underlet_tables::parameters;

use super::frozen::FrozenProblem;
use crate::component::Component;
use crate::fit::day_terms::DayTerms;
use crate::fit::linear::{LinearTerm, Subject};
use crate::fit::problem::Problem;
use crate::fit::result::{ActiveConstraint, BindingConstraint, Relieved};
use crate::liquor::alkalinity_eq_per_kg;
use crate::optimise::{Limit, Outcome, Solution, Span, Start};
use crate::recipe::{TargetRange, Targets};

/// Relief below this is rounding: a thousandth of the price of one mmol/kg of material.
const BINDING: f64 = 1.0e-6;
/// A unit of relief of a ratio.
const RATIO_RELIEF: f64 = 0.1;
/// A unit of relief of a pH: what a meter shows.
const PH_RELIEF: f64 = 0.01;
/// A unit of relief of an ion, mg/L, and of an alkalinity, mg/L as CaCO3.
const MG_PER_L_RELIEF: f64 = 1.0;

/// A limit with one unit of relief, in the caller's units and in those of the programme.
struct Candidate {
    constraint: ActiveConstraint,
    limit: Limit,
    relief: f64,
    gives: f64,
}

/// The constraints that are active at the optimum, with what relief of each would bring.
pub fn binding_constraints(
    frozen: &mut FrozenProblem<'_>,
    best: &Solution,
) -> Vec<BindingConstraint> {
    let mut found = Vec::new();
    for candidate in candidates(frozen, best) {
        let multiplier = best.multipliers.get(candidate.limit);
        // A dose that is not given is at its low end, which is no limit to be relieved.
        let multiplier = match candidate.constraint {
            ActiveConstraint::Low(_) => multiplier,
            _ => -multiplier,
        };
        if multiplier <= BINDING {
            continue;
        }
        let relieved = relieved(frozen, &candidate).map(|x| {
            let (shares, doses) = frozen.amounts(&x);
            Relieved { shares, doses }
        });
        found.push(BindingConstraint {
            constraint: candidate.constraint,
            multiplier,
            relief: candidate.relief,
            worth: multiplier * candidate.gives,
            relieved,
        });
    }
    found
}

/// Every limit that may bind.
fn candidates(frozen: &FrozenProblem<'_>, best: &Solution) -> Vec<Candidate> {
    let mut all = ends(frozen, best);
    all.extend(stocks(frozen));
    all.extend(hard_limits(frozen));
    all.extend(amounts(frozen));
    all
}

/// The ends of the targets' ranges.
fn ends(frozen: &FrozenProblem<'_>, best: &Solution) -> Vec<Candidate> {
    let mut all = Vec::new();
    let problem = frozen.problem;
    let x = &best.x[..frozen.choices.len().min(best.x.len())];
    let opened = Problem {
        targets: opened(&problem.targets),
        ..problem.clone()
    };
    let opened = DayTerms::new(&opened, frozen.strengths).constraints;
    let terms = frozen.constraints.iter().zip(&opened);
    for ((constraint, opened), [low, high]) in terms.zip(&frozen.rows.ends) {
        // How far a point is inside an end.
        let above = |term: &LinearTerm| term.low.map_or(0.0, |low| term.at(x) - low);
        let below = |term: &LinearTerm| term.high.map_or(0.0, |high| high - term.at(x));
        let subject = constraint.subject;
        let relief = relief_of(subject);
        let (term, opened) = (&constraint.term, &opened.term);
        let mut end = |row: Option<usize>, constraint, gives| {
            all.extend(row.map(|row| Candidate {
                constraint,
                limit: Limit::Row(row),
                relief,
                gives,
            }));
        };
        let low_end = ActiveConstraint::Low(subject);
        end(*low, low_end, above(opened) - above(term));
        let high_end = ActiveConstraint::High(subject);
        end(*high, high_end, below(opened) - below(term));
    }
    all
}

/// Stocks on hand, each relieved by a step of the scale.
fn stocks(frozen: &FrozenProblem<'_>) -> impl Iterator<Item = Candidate> {
    let stocks = frozen.rows.stocks.iter();
    stocks.map(|(stock, row, unit)| {
        let mut doses = frozen.problem.doses.iter();
        let option = doses.find(|option| option.stock == *stock);
        let relief = option.map_or(0.0, |option| option.step);
        Candidate {
            constraint: ActiveConstraint::Stock(*stock),
            limit: Limit::Row(*row),
            relief,
            gives: relief / unit,
        }
    })
}

/// Hard limits on the liquor.
fn hard_limits(frozen: &FrozenProblem<'_>) -> impl Iterator<Item = Candidate> {
    frozen.rows.limits.iter().map(|(place, row)| Candidate {
        constraint: ActiveConstraint::Limit(*place),
        limit: Limit::Row(*row),
        relief: MG_PER_L_RELIEF,
        gives: MG_PER_L_RELIEF / parameters::FIT_ION_TOLERANCE.value,
    })
}

/// The most of each source and of each dose, relieved by a step of its draw or of the scale.
fn amounts(frozen: &FrozenProblem<'_>) -> impl Iterator<Item = Candidate> {
    let problem = frozen.problem;
    let sources = problem.sources.len();
    let choices = frozen.choices.iter().enumerate();
    choices.map(move |(variable, choice)| {
        let (constraint, relief, unit) = match variable.checked_sub(sources) {
            None => (
                ActiveConstraint::Source(variable),
                problem.draw_step_kg,
                problem.waters.blended_kg(),
            ),
            Some(dose) => (
                ActiveConstraint::Dissolving(dose),
                problem.doses[dose].step,
                choice.scale,
            ),
        };
        Candidate {
            constraint,
            limit: Limit::Bound(variable),
            relief,
            gives: relief / unit,
        }
    })
}

/// The optimum with one unit of relief, if that has a certified one; the programme is restored.
fn relieved(frozen: &mut FrozenProblem<'_>, candidate: &Candidate) -> Option<Vec<f64>> {
    let (limit, gives) = (candidate.limit, candidate.gives);
    let span = frozen.programme.span(limit).unwrap_or(Span::FREE);
    let wider = match candidate.constraint {
        ActiveConstraint::Low(_) => Span::between(span.low - gives, span.high),
        _ => Span::between(span.low, span.high + gives),
    };
    frozen.programme.set_span(limit, wider).ok()?;
    let outcome = frozen.workspace.solve(&frozen.programme, Start::Warm);
    // A span that was there can be set again.
    let _ = frozen.programme.set_span(limit, span);
    match outcome {
        Outcome::Optimal(solution) => Some(solution.x),
        _ => None,
    }
}

/// The targets with every end moved outward by one unit of relief. What a term is measured in
/// stays.
fn opened(targets: &Targets) -> Targets {
    let open = |range: &TargetRange, by: f64| TargetRange {
        low: range.low.map(|low| low - by),
        high: range.high.map(|high| high + by),
        prefer: range.prefer.or(range.low).or(range.high),
        weight: range.weight,
    };
    let opened = |range: Option<TargetRange>, by: f64| range.map(|range| open(&range, by));
    let in_ions = |(ion, range): &(Component, TargetRange)| {
        let by = ion.mol_per_kg(MG_PER_L_RELIEF);
        (*ion, open(range, by))
    };
    Targets {
        ions: targets.ions.iter().map(in_ions).collect(),
        sulfate_to_chloride: opened(targets.sulfate_to_chloride, RATIO_RELIEF),
        mash_ph: opened(targets.mash_ph, PH_RELIEF),
        sparge_alkalinity: opened(
            targets.sparge_alkalinity,
            alkalinity_eq_per_kg(MG_PER_L_RELIEF),
        ),
        sparge_ph: opened(targets.sparge_ph, PH_RELIEF),
        limits: targets.limits.clone(),
    }
}

fn relief_of(subject: Subject) -> f64 {
    match subject {
        Subject::Component(_) | Subject::SpargeAlkalinity => MG_PER_L_RELIEF,
        Subject::RatioLow | Subject::RatioHigh => RATIO_RELIEF,
        _ => PH_RELIEF,
    }
}
