//! Looks for a better plan than the fit's, on random brew days, by a global search over the forward forecast.
//!
//! `cargo run --release -p underlet-tests --bin global -- [DAYS [SEED]]`, 200 days by default.

use std::process::ExitCode;

// What the core's own test asks, of more days.
#[allow(dead_code)]
#[path = "../../../core/tests/common/mod.rs"]
mod common;

use common::draft::Draft;
use common::forward::Forward;
use common::search::{Effort, Room, search};
use underlet::fit::answer;

fn main() -> ExitCode {
    let mut arguments = std::env::args()
        .skip(1)
        .map(|text| text.parse::<u64>().expect("number"));
    let days = arguments.next().unwrap_or(200);
    let seed = arguments.next().unwrap_or(0);
    let effort = Effort {
        generations: 60,
        starts: 3,
        steps: 1500,
    };
    let mut rel = Vec::new();
    for s in seed..seed + days {
        let day = Draft::random(s).read();
        let question = day.question();
        let answer = answer(&question).expect("an answer");
        let forward = Forward::new(&question);
        let x = forward.variables(
            &answer.shares_before_rounding,
            &answer.doses_before_rounding,
        );
        let own = forward.objective(&x);
        let found = search(
            &|x| forward.objective(x),
            &Room::of(&forward),
            &x,
            effort,
            s,
        );
        let r = |v: f64| (own - v) / own.abs();
        println!(
            "{s} n={} plan {:.9e} forward {own:.9e} near {:+.1e} elsewhere {:+.1e} line-off {:+.1e} gap {:e}",
            x.len(),
            answer.objective_before_rounding,
            r(found.near),
            r(found.elsewhere),
            (answer.objective_before_rounding - own) / own,
            answer.certificate.gap
        );
        rel.push(r(found.near).max(r(found.elsewhere)));
    }
    rel.sort_by(f64::total_cmp);
    println!(
        "worst {:e}, median {:e}",
        rel[rel.len() - 1],
        rel[rel.len() / 2]
    );
    ExitCode::SUCCESS
}
