//! What holds a plan back, against trying it: multipliers against moved ends.

use underlet::component::Component;
use underlet::fit::{
    ActiveConstraint, FrozenProblem, IonicStrengths, Problem, Subject, binding_constraints,
};
use underlet::liquor::alkalinity_eq_per_kg;
use underlet::{LimitedQuantity, TargetRange};

use crate::common::draft::Draft;

/// Ionic strength at which programmes are frozen, mol/kg: a usual brewing water's.
pub(super) const IONIC_STRENGTH: IonicStrengths = IonicStrengths::uniform(0.01);

fn least(problem: &Problem<'_>) -> f64 {
    let mut model = FrozenProblem::new(problem, IONIC_STRENGTH).expect("a programme");
    let best = model.solve().expect("an optimum");
    model.objective(&best.x)
}

/// The problem with one limit eased by a part of its unit of relief, or tightened by it.
fn moved<'a>(problem: &Problem<'a>, holds: ActiveConstraint, by: f64) -> Problem<'a> {
    let mut problem = problem.clone();
    let end = |wanted: &mut TargetRange, by: f64| match holds {
        ActiveConstraint::Low(_) => wanted.low = wanted.low.map(|low| low - by),
        _ => wanted.high = wanted.high.map(|high| high + by),
    };
    let targets = &mut problem.targets;
    match holds {
        ActiveConstraint::Low(subject) | ActiveConstraint::High(subject) => match subject {
            Subject::Component(ion) => {
                let mut ions = targets.ions.iter_mut();
                let (_, wanted) = ions.find(|(other, _)| *other == ion).expect("wanted");
                end(wanted, ion.mol_per_kg(by));
            }
            Subject::RatioLow | Subject::RatioHigh => {
                end(targets.sulfate_to_chloride.as_mut().expect("wanted"), by);
            }
            Subject::MashPhLow | Subject::MashPhHigh => {
                end(targets.mash_ph.as_mut().expect("wanted"), by);
            }
            Subject::Alkalinity => unreachable!("no target of a brew day"),
            Subject::SpargeAlkalinity => {
                let wanted = targets.sparge_alkalinity.as_mut().expect("wanted");
                end(wanted, alkalinity_eq_per_kg(by));
            }
            Subject::SpargePhLow | Subject::SpargePhHigh => {
                end(targets.sparge_ph.as_mut().expect("wanted"), by);
            }
        },
        ActiveConstraint::Limit(place) => targets.limits[place].1 += by,
        ActiveConstraint::Stock(stock) => *problem.stocks[stock].as_mut().expect("limited") += by,
        ActiveConstraint::Dissolving(dose) => {
            *problem.doses[dose].most.as_mut().expect("limited") += by;
        }
        ActiveConstraint::Source(source) => {
            *problem.sources[source]
                .max_amount_kg
                .as_mut()
                .expect("limited") += by;
        }
    }
    problem
}

/// Moving an end of the mash's range would move its middle, which penalties, and what a miss is
/// measured in.
fn pinned<'a>(problem: &Problem<'a>) -> Problem<'a> {
    let mut problem = problem.clone();
    if let Some(wanted) = &mut problem.targets.mash_ph {
        let middle = wanted
            .low
            .zip(wanted.high)
            .map(|(low, high)| (low + high) / 2.0);
        wanted.prefer = wanted.prefer.or(middle).or(wanted.low).or(wanted.high);
    }
    problem
}

/// The problem with a hard limit on what its plan brings into the water, half way down to what the
/// waters hold.
fn limited<'a>(problem: &Problem<'a>) -> Problem<'a> {
    let mut problem = problem.clone();
    for of in [
        LimitedQuantity::Component(Component::Sulfate),
        LimitedQuantity::DissolvedSolids,
    ] {
        let mut model = FrozenProblem::new(&problem, IONIC_STRENGTH).expect("a programme");
        let best = model.solve().expect("an optimum");
        let (shares, doses) = model.amounts(&best.x);
        let planned = of.mg_per_l(&problem.liquors(&shares, &doses).overall.as_dose());
        let sources = problem.sources.iter();
        let in_sources = sources
            .map(|source| of.mg_per_l(&source.liquor.as_dose()))
            .fold(0.0, f64::max);
        if planned > in_sources + 5.0 {
            let limit = 0.5 * (planned + in_sources);
            problem.targets.limits.push((of, limit));
        }
    }
    problem
}

/// The least objective as a function of one end is convex where the end stands alone, so its slope
/// lies between what easing saves and what tightening costs. A ratio and a pH stand in the
/// coefficients as well: there it does nearly.
#[test]
fn a_multiplier_is_the_slope_of_the_optimum() {
    let (mut seen, mut kinds) = (0, [0; 6]);
    for seed in 0..300 {
        let day = Draft::random(seed).read();
        let mut problem = pinned(&day.problem());
        if seed % 3 == 0 {
            problem = limited(&problem);
        }
        let mut model = FrozenProblem::new(&problem, IONIC_STRENGTH).expect("a programme");
        let best = model.solve().expect("an optimum");
        let here = model.objective(&best.x);
        for binding in binding_constraints(&mut model, &best) {
            let part = 1e-3;
            let by = part * binding.relief;
            let saved = (here - least(&moved(&problem, binding.constraint, by))) / part;
            let cost = (least(&moved(&problem, binding.constraint, -by)) - here) / part;
            // The worth of a ratio's or a pH's end is reported for its whole unit, over which its
            // slope is_nonlinear a little.
            let bend = if is_straight(binding.constraint) {
                2e-3
            } else {
                3e-2
            };
            // What is left of a difference of two optima that are exact to some 1e-12.
            let slack = bend * binding.worth + 1e-11 * (1.0 + here) / part;
            assert!(
                saved <= binding.worth + slack && binding.worth <= cost + slack,
                "seed {seed}: {:?} worth {}, {saved} saved, {cost} paid",
                binding.constraint,
                binding.worth
            );
            seen += 1;
            kinds[match binding.constraint {
                ActiveConstraint::Low(_) => 0,
                ActiveConstraint::High(_) => 1,
                ActiveConstraint::Stock(_) => 2,
                ActiveConstraint::Dissolving(_) => 3,
                ActiveConstraint::Source(_) => 4,
                ActiveConstraint::Limit(_) => 5,
            }] += 1;
        }
    }
    println!("{seen} limits: {kinds:?}");
    assert!(
        seen > 1000 && kinds.iter().all(|count| *count > 10),
        "{kinds:?}"
    );
}

/// Whether the end stands alone, and not in the coefficients.
fn is_straight(holds: ActiveConstraint) -> bool {
    holds
        .target()
        .is_none_or(|subject| matches!(subject, Subject::Component(_) | Subject::SpargeAlkalinity))
}

/// What one unit of relief would do, against moving the end and solving anew.
#[test]
fn a_unit_of_relief_does_what_a_wider_limit_does() {
    let mut seen = 0;
    for seed in 300..500 {
        let day = Draft::random(seed).read();
        let mut problem = pinned(&day.problem());
        if seed % 3 == 0 {
            problem = limited(&problem);
        }
        let mut model = FrozenProblem::new(&problem, IONIC_STRENGTH).expect("a programme");
        let best = model.solve().expect("an optimum");
        for binding in binding_constraints(&mut model, &best) {
            if !is_straight(binding.constraint) {
                continue;
            }
            let wider = moved(&problem, binding.constraint, binding.relief);
            let mut anew = FrozenProblem::new(&wider, IONIC_STRENGTH).expect("a programme");
            let best = anew.solve().expect("an optimum");
            let (shares, doses) = anew.amounts(&best.x);
            let (_, units) = anew.amounts(&vec![1.0; shares.len() + doses.len()]);
            let relieved = binding.relieved.as_ref().expect("an optimum with relief");
            for (one, other) in relieved.shares.iter().zip(&shares) {
                assert!((one - other).abs() < 1e-6, "seed {seed}: {one} {other}");
            }
            for ((one, other), unit) in relieved.doses.iter().zip(&doses).zip(&units) {
                // In mmol/kg of brewing liquor; the least curvature is 1e-6.
                let apart = (one - other).abs() / unit;
                assert!(apart < 1e-4, "seed {seed}: {one} {other} of {unit}");
            }
            seen += 1;
        }
    }
    assert!(seen > 500, "{seen}");
}
