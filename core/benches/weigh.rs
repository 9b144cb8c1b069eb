//! How long the search for what can be weighed takes: ten salts that may go into tank and tun, 1 g
//! steps, at most four different ones; and fits of ions alone.

use divan::{Bencher, black_box};
use underlet::BrewDay;
use underlet::fit;

/// Waters and wishes of different character: what is short, what is too much, and a mash that wants
/// acid or lime.
const DAYS: [(&str, &str); 4] = [
    ("soft", include_str!("ten-salts/soft.json")),
    ("hard", include_str!("ten-salts/hard.json")),
    ("points", include_str!("ten-salts/points.json")),
    ("dark", include_str!("ten-salts/dark.json")),
];

fn day(index: usize) -> BrewDay {
    BrewDay::from_json(DAYS[index].1).expect("a day")
}

#[divan::bench(args = [0, 1, 2, 3])]
fn ten_salts_at_two_points(bencher: Bencher, index: usize) {
    let day = day(index);
    let problem = day.problem();
    bencher.bench_local(|| fit::solve(black_box(&problem)).expect("an result"));
}

fn main() {
    for (index, (name, _)) in DAYS.iter().enumerate() {
        let day = day(index);
        let begun = std::time::Instant::now();
        let result = fit::solve(&day.problem()).expect("an result");
        println!(
            "{name}: gap {:.1e}, {} nodes, {} steps of the solver; objective {:.6} weighed, {:.6} \
             rounded, {:.6} before; {:.1} ms",
            result.gap,
            result.nodes,
            result.iterations,
            result.objective,
            result.objective_rounded,
            result.objective_before_rounding,
            begun.elapsed().as_secs_f64() * 1e3
        );
    }
    divan::main();
}
