//! How long a brew day takes from its text to its plan, and what of that is reading, fitting and
//! writing.

use divan::{Bencher, black_box};
use underlet::{BrewDay, EXAMPLES};
use underlet::{fit, json};

/// Which of the days that come with the engine.
const DAYS: [usize; 3] = [0, 1, 2];

fn text(day: usize) -> &'static str {
    EXAMPLES[day].1
}

/// The main job: text in, plan out.
#[divan::bench(args = DAYS)]
fn read_and_plan(bencher: Bencher, day: usize) {
    bencher.bench(|| json::plan(black_box(text(day))).expect("a plan"));
}

/// The same with what else could be done.
#[divan::bench(args = DAYS)]
fn plan_with_alternatives(bencher: Bencher, day: usize) {
    let mut day = BrewDay::from_json(text(day)).expect("valid");
    day.alternatives = true;
    bencher.bench_local(|| black_box(&day).plan().expect("a plan"));
}

#[divan::bench(args = DAYS)]
fn read(bencher: Bencher, day: usize) {
    bencher.bench(|| BrewDay::from_json(black_box(text(day))).expect("valid"));
}

#[divan::bench(args = DAYS)]
fn fit_alone(bencher: Bencher, day: usize) {
    let day = BrewDay::from_json(text(day)).expect("valid");
    let problem = day.problem();
    bencher.bench_local(|| fit::solve(black_box(&problem)).expect("an result"));
}

/// The part of it that tells what binds.
#[divan::bench(args = DAYS)]
fn limits_alone(bencher: Bencher, day: usize) {
    let day = BrewDay::from_json(text(day)).expect("valid");
    let problem = day.problem();
    let mut model =
        fit::FrozenProblem::new(&problem, fit::IonicStrengths::uniform(0.01)).expect("a programme");
    let best = model.solve().expect("an optimum");
    bencher.bench_local(|| fit::binding_constraints(&mut model, black_box(&best)));
}

#[divan::bench(args = DAYS)]
fn write(bencher: Bencher, day: usize) {
    let plan = json::plan(text(day)).expect("a plan");
    bencher.bench_local(|| black_box(&plan).to_json());
}

fn main() {
    for (name, text) in EXAMPLES {
        let plan = json::plan(text).expect("a plan");
        println!(
            "{name}: {} additions, {} steps of the solver",
            plan.additions.len(),
            plan.fit.iterations
        );
    }
    divan::main();
}
