//! What a plan says stands in the way does.

use underlet::BrewDay;
use underlet::fit::{Constraint, FrozenProblem, Problem, Subject, solve};

use super::forward::Forward;
use crate::common::draft::Draft;
use crate::common::trials::trials;

/// Random days looked at.
/// Part of a miss that no figure shows.
const SAME: f64 = 1e-3;
/// Tolerances by which the line of a sparge pH and its forecast, by which the plan judges, part:
/// 0.0005 in pH.
const APART: f64 = 0.01;

/// The targets that a reason says going further would cost more in.
fn named(text: &str) -> Vec<String> {
    let Some((_, names)) = text.split_once("would cost more in ") else {
        return Vec::new();
    };
    let names = names.trim_end_matches('.').split(", ");
    names
        .map(|name| name.replace("pH", "ph").replace(' ', "_"))
        .collect()
}

fn is_of(line: &Constraint, key: &str) -> bool {
    match line.subject {
        Subject::Component(ion) => key == ion.key(),
        Subject::RatioLow | Subject::RatioHigh => key == "sulfate_to_chloride",
        Subject::MashPhLow | Subject::MashPhHigh => key == "mash_ph",
        Subject::Alkalinity => key == "alkalinity",
        Subject::SpargeAlkalinity => key == "sparge_alkalinity",
        Subject::SpargePhLow | Subject::SpargePhHigh => key == "sparge_ph",
    }
}

/// How far the best plan of another problem, before rounding and at its own ionic strengths,
/// misses a target of this one, in tolerances.
fn missed(problem: &Problem<'_>, other: &Problem<'_>, key: &str) -> f64 {
    let best = solve(other).expect("an result");
    let model = FrozenProblem::new(problem, best.ionic_strengths).expect("a programme");
    let x =
        Forward::new(other).variables(&best.shares_before_rounding, &best.doses_before_rounding);
    let lines = model.constraints().iter().filter(|line| is_of(line, key));
    lines.map(|line| line.term.miss(&x)).sum()
}

/// Without the target that is named the best plan misses no more of the other, and as a rule less.
#[test]
fn what_is_named_stands_in_the_way_of_random_days() {
    let count = trials(40, 300);
    let (mut reported, mut falls, mut odd) = (0, 0, Vec::new());
    for seed in 0..count {
        let day: BrewDay = Draft::random(seed).read();
        let problem = day.problem();
        for reason in day.plan().expect("a plan").reasons {
            for key in named(&reason.text) {
                let mut without = problem.clone();
                assert!(without.targets.remove(key.parse().expect("a target")));
                let [was, is] =
                    [&problem, &without].map(|other| missed(&problem, other, &reason.subject));
                if is > was * (1.0 + SAME) + APART {
                    let subject = &reason.subject;
                    odd.push(format!("{seed}: {subject} without {key}: {was} {is}"));
                }
                reported += 1;
                falls += u64::from(is < was * (1.0 - SAME));
            }
        }
    }
    assert!(odd.is_empty(), "{}", odd.join("\n"));
    println!("{falls} of {reported} misses fall");
    assert!(
        3 * reported > count && falls * 20 >= reported * 19,
        "{falls} of {reported}"
    );
}
