//! The search for what can be weighed, against trying everything: small programmes with steps,
//! min_dose amounts, prices and at most so many items.

use serde_json::{Value, json};
use underlet::BrewDay;
use underlet::fit::{self, FitResult};
use underlet::optimise::{
    Limit, Outcome, Portion, Programme, ProgrammeError, Regularisation, Span, Weighed, Weighing,
    solve, weigh,
};

use crate::common::dice::Dice;
use crate::common::draft::Draft;
use crate::common::trials::trials;

/// Targets with a slack each, doses that reach them, and how the doses are weighed.
#[derive(Clone, Debug)]
struct Task {
    doses: usize,
    programme: Programme,
    portions: Vec<Portion>,
    most_items: Option<usize>,
}

impl Task {
    /// Two or three doses of up to five steps, two or three ranges; sometimes a row over all doses.
    fn random(dice: &mut Dice) -> Task {
        let (doses, targets) = (2 + dice.pick(2), 2 + dice.pick(2));
        let n = doses + targets;
        let mut hessian = vec![0.0; n * n];
        for j in 0..n {
            hessian[j * n + j] = if j < doses { 0.01 } else { dice.real(0.5, 5.0) };
        }
        let gradient = (0..n).map(|j| if j < doses { dice.real(0.0, 0.1) } else { 0.0 });
        let mut programme = Programme::new(hessian, gradient.collect()).expect("valid");
        for target in 0..targets {
            let mut row = vec![0.0; n];
            for coefficient in &mut row[..doses] {
                *coefficient = dice.real(-0.3, 1.5);
            }
            let low = dice.real(0.0, 4.0);
            row[doses + target] = 1.0;
            programme.add_row(&row, Span::at_least(low)).expect("valid");
            row[doses + target] = -1.0;
            programme
                .add_row(&row, Span::at_most(low + dice.real(0.0, 0.5)))
                .expect("valid");
        }
        if dice.pick(2) == 0 {
            let mut row = vec![0.0; n];
            row[..doses].fill(1.0);
            programme
                .add_row(&row, Span::at_most(dice.real(0.5, 6.0)))
                .expect("valid");
        }
        let mut portions = Vec::new();
        for variable in 0..doses {
            let step = dice.real(0.3, 1.0);
            let high = step * (1 + dice.pick(5)) as f64 + 0.1 * step;
            programme
                .set_bound(variable, Span::between(0.0, high))
                .expect("valid");
            portions.push(Portion {
                variable,
                step: Some(step),
                min_dose: [0.0, 1.7 * step][dice.pick(2)],
                item: Some(dice.pick(2).min(variable)),
                price: [0.0, 0.2][dice.pick(2)],
            });
        }
        let most_items = [None, Some(1)][dice.pick(2)];
        Task {
            doses,
            programme,
            portions,
            most_items,
        }
    }

    fn weighed(&self, node_limit: u64) -> Weighed {
        self.weighed_beside(&self.programme, &[], node_limit)
    }

    fn weighed_beside(
        &self,
        programme: &Programme,
        regularisation: &[Regularisation],
        node_limit: u64,
    ) -> Weighed {
        let weighing = Weighing {
            portions: &self.portions,
            most_items: self.most_items,
            regularisation,
            constant: 0.0,
            least: f64::NEG_INFINITY,
            indifference: 0.0,
            node_limit,
        };
        weigh(programme, &weighing).expect("known variables")
    }

    /// The programme with parts of its doses that do not count.
    fn with_uncounted(&self, regularisation: &[Regularisation]) -> Programme {
        let n = self.programme.variables();
        let mut hessian = self
            .programme
            .hessian()
            .flatten()
            .copied()
            .collect::<Vec<f64>>();
        let mut gradient = self.programme.gradient().to_vec();
        for (j, part) in regularisation.iter().enumerate() {
            hessian[j * n + j] += part.curvature;
            gradient[j] += part.slope;
        }
        let mut programme = Programme::new(hessian, gradient).expect("valid");
        for row in 0..self.programme.row_count() {
            let span = self.programme.span(Limit::Row(row)).expect("a row");
            let coefficients = self.programme.row(row).expect("a row");
            programme.add_row(coefficients, span).expect("valid");
        }
        for variable in 0..n {
            let span = self.programme.span(Limit::Bound(variable));
            programme
                .set_bound(variable, span.expect("a variable"))
                .expect("valid");
        }
        programme
    }

    /// The least value of all combinations of steps.
    fn tried(&self) -> Option<f64> {
        let mut steps = vec![0_u32; self.doses];
        let mut least: Option<f64> = None;
        loop {
            if let Some(value) = self.value_of(&steps) {
                least = Some(least.map_or(value, |least| least.min(value)));
            }
            let mut position = 0;
            loop {
                if position == self.doses {
                    return least;
                }
                steps[position] += 1;
                if steps[position] <= 6 {
                    break;
                }
                steps[position] = 0;
                position += 1;
            }
        }
    }

    fn value_of(&self, steps: &[u32]) -> Option<f64> {
        let mut programme = self.programme.clone();
        let mut price = 0.0;
        let mut items = Vec::new();
        for (portion, &steps) in self.portions.iter().zip(steps) {
            let step = portion.step.expect("stepped");
            let amount = f64::from(steps) * step;
            let span = programme.span(Limit::Bound(portion.variable))?;
            if amount > span.high || (steps > 0 && amount < portion.min_dose) {
                return None;
            }
            if steps > 0 {
                price += portion.price;
                items.extend(portion.item);
            }
            programme
                .set_bound(portion.variable, Span::exactly(amount))
                .ok()?;
        }
        items.sort_unstable();
        items.dedup();
        if self.most_items.is_some_and(|most| items.len() > most) {
            return None;
        }
        match solve(&programme) {
            Outcome::Optimal(solution) => Some(solution.value + price),
            _ => None,
        }
    }
}

#[test]
fn nothing_that_can_be_weighed_is_better() {
    for seed in 0..400 {
        let task = Task::random(&mut Dice::new(seed));
        let found = task.weighed(10_000);
        let least = task.tried().expect("nothing at all can always be weighed");
        assert!(
            (found.value - least).abs() <= 1e-9 * least.abs().max(1.0),
            "seed {seed}: {found:?} against {least}"
        );
        assert_eq!(found.gap(), 0.0, "seed {seed}");
        assert_kept(&task, &found, seed);
    }
}

#[test]
fn what_does_not_count_changes_nothing() {
    for seed in 0..200 {
        let mut dice = Dice::new(seed);
        let task = Task::random(&mut dice);
        let whole = task.weighed(10_000);
        for size in [1e-7, 1e-4, 1e-2] {
            let regularisation: Vec<Regularisation> = (0..task.doses)
                .map(|_| Regularisation {
                    slope: size * dice.real(0.0, 1.0),
                    curvature: size * dice.real(0.0, 1.0),
                })
                .collect();
            let programme = task.with_uncounted(&regularisation);
            let found = task.weighed_beside(&programme, &regularisation, 10_000);
            assert!(
                (found.value - whole.value).abs() <= 1e-9 * whole.value.abs().max(1.0),
                "seed {seed}, {size}: {found:?} against {whole:?}"
            );
            assert_eq!(found.gap(), 0.0, "seed {seed}, {size}");
            // What it loosens the bounds by is not searched: a large part costs nodes, a small one
            // hardly any.
            if size == 1e-7 {
                assert!(
                    found.nodes <= whole.nodes + 6,
                    "{} for {}",
                    found.nodes,
                    whole.nodes
                );
            }
            assert_kept(&task, &found, seed);
        }
    }
}

/// Whole steps, nothing or at least the min_dose, and no more items than asked for.
fn assert_kept(task: &Task, found: &Weighed, seed: u64) {
    let x = found.x.as_ref().expect("a point");
    let mut items = Vec::new();
    for portion in &task.portions {
        let steps = x[portion.variable] / portion.step.expect("stepped");
        assert!(
            (steps - steps.round()).abs() < 1e-9,
            "seed {seed}: {steps} steps"
        );
        if steps > 0.5 {
            assert!(
                x[portion.variable] >= portion.min_dose * (1.0 - 1e-9),
                "seed {seed}"
            );
            items.extend(portion.item);
        }
    }
    items.sort_unstable();
    items.dedup();
    assert!(
        task.most_items.is_none_or(|most| items.len() <= most),
        "seed {seed}"
    );
}

#[test]
fn what_a_limit_on_nodes_leaves_open_is_reported() {
    let mut cut_short = 0;
    for seed in 0..200 {
        let task = Task::random(&mut Dice::new(seed));
        let whole = task.weighed(10_000);
        for limit in [1, 3, 6] {
            let part = task.weighed(limit);
            assert!(
                part.bound <= whole.value + 1e-9 * whole.value.abs().max(1.0),
                "seed {seed}"
            );
            assert!(
                part.value >= whole.value - 1e-9 * whole.value.abs().max(1.0),
                "seed {seed}"
            );
            assert!(part.nodes <= limit + 2, "seed {seed}: {} nodes", part.nodes);
            cut_short += usize::from(part.x.is_none() || part.gap() > 0.0);
        }
    }
    assert!(cut_short > 100, "{cut_short}");
}

#[test]
fn the_same_question_has_the_same_answer() {
    for seed in 0..50 {
        let task = Task::random(&mut Dice::new(seed));
        assert_eq!(task.weighed(10_000), task.weighed(10_000));
    }
}

#[test]
fn a_span_without_a_whole_step_cannot_be_weighed() {
    // x in [0.3, 0.7] in steps of 1.
    let mut programme = Programme::new(vec![1.0], vec![0.0]).expect("valid");
    programme
        .set_bound(0, Span::between(0.3, 0.7))
        .expect("valid");
    let portion = Portion {
        variable: 0,
        step: Some(1.0),
        min_dose: 0.0,
        item: None,
        price: 0.0,
    };
    let weighing = |portions| Weighing {
        portions,
        most_items: None,
        regularisation: &[],
        constant: 0.0,
        least: f64::NEG_INFINITY,
        indifference: 0.0,
        node_limit: 100,
    };
    let whole = [portion];
    let found = weigh(&programme, &weighing(&whole)).expect("a known variable");
    assert_eq!((found.x, found.value), (None, f64::INFINITY));
    let stray = [Portion {
        variable: 3,
        ..portion
    }];
    assert!(matches!(
        weigh(&programme, &weighing(&stray)),
        Err(ProgrammeError::NoSuchLimit { .. })
    ));
}

/// A random day of at most so many salts, and its result with the number of salts in it.
fn day_with(text: &str, most: Option<usize>) -> (FitResult, usize) {
    let mut day: Value = serde_json::from_str(text).expect("JSON");
    if let Some(most) = most {
        day["max_salts"] = json!(most);
    }
    let day = BrewDay::from_json(&day.to_string()).expect("a day");
    let problem = day.problem();
    let result = fit::solve(&problem).expect("an result");
    let mut salts: Vec<&str> = problem
        .doses
        .iter()
        .zip(&result.doses)
        .filter(|(option, amount)| **amount > 0.0 && !option.preparation.is_acid())
        .map(|(option, _)| option.preparation.reagent.key)
        .collect();
    salts.sort_unstable();
    salts.dedup();
    (result, salts.len())
}

#[test]
fn a_random_day_gets_no_more_salts_than_it_wants() {
    let count = trials(20, 60);
    let mut fewer = 0;
    for seed in 5000..5000 + count {
        let text = Draft::random(seed).json();
        let (freest, most_used) = day_with(&text, None);
        for most in 0..=3 {
            let (bound, salts) = day_with(&text, Some(most));
            assert!(salts <= most, "{salts} of {most}: {text}");
            let same = bound.objective_before_rounding - freest.objective_before_rounding;
            assert!(same.abs() <= 1e-9 * (1.0 + freest.objective_before_rounding));
            fewer += u64::from(salts < most_used);
        }
    }
    assert!(3 * fewer > count, "{fewer}");
}

/// What rounding one by one costs beside the search, each thing to weigh counted: the search is
/// never worse where the rounded plan keeps the limits.
#[test]
fn usual_days_are_searched_to_the_end() {
    let (mut whole, mut days) = (0, 0);
    for seed in 6000..6100 {
        let (result, _) = day_with(&Draft::random(seed).json(), None);
        days += 1;
        whole += usize::from(result.gap == 0.0);
        assert!(result.gap >= 0.0 && result.nodes > 0);
    }
    assert!(whole * 100 >= days * 95, "{whole} of {days} without a gap");
}
