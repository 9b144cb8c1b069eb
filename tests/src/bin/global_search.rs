//! Looks for a better plan than the fit's on seeded random brew days: a global search over what the
//! liquors do, followed through the vessels, within what sources and stocks can give.
//!
//! `cargo run --release -p underlet-tests --bin global_search -- [DAYS [SEED]]`, 200 days from seed
//! 0 by default. Exits 1 where a point is better by more than a millionth, or a certificate leaves
//! a gap of more than 1e-9. Told beside it, and no fault: what a search would gain that lets
//! activity coefficients follow its doses, since it then buys salts for their ionic strength.

use std::process::ExitCode;

// What the core's own test asks, of more days and with more patience.
#[allow(dead_code)]
#[path = "../../../core/tests/common/mod.rs"]
mod common;
#[path = "../../../core/tests/laws/forward.rs"]
mod forward;
#[path = "../../../core/tests/laws/search.rs"]
mod search;

use common::draft::Draft;
use forward::Forward;
use search::{Effort, Room, search};
use underlet::fit::{IonicStrengths, solve};
use underlet::optimise::Certificate;
use underlet_tables::parameters;

/// A point must be better by this part of the objective.
const BETTER: f64 = 1e-6;
const EFFORT: Effort = Effort {
    generations: 60,
    starts: 3,
    steps: 1000,
};

/// By how much of the objective a search did better (negative: worse) on one day.
struct Excess {
    seed: u64,
    /// Descending from the plan, and from anywhere else.
    near: f64,
    elsewhere: f64,
    /// Descending from the plan with activity coefficients that follow.
    following: f64,
    gap: f64,
    moved: f64,
}

fn excess(seed: u64) -> Result<Excess, String> {
    let day = Draft::random(seed).read();
    let problem = day.problem();
    let answer = solve(&problem).map_err(|error| format!("seed {seed}: {error}"))?;
    let forward = Forward::new(&problem);
    let x = forward.variables(
        &answer.shares_before_rounding,
        &answer.doses_before_rounding,
    );
    let room = Room::of(&forward);
    let frozen = |x: &[f64]| forward.objective_at(x, answer.ionic_strengths);
    let sparge_ph = problem.targets.sparge_ph.as_ref();
    let own = |x: &[f64]| IonicStrengths::of(&forward.liquors(x), sparge_ph);
    let follows = |x: &[f64]| forward.objective_at(x, own(x));
    let found = search(&frozen, &room, &x, EFFORT, seed);
    let alone = Effort {
        starts: 0,
        ..EFFORT
    };
    let followed = search(&follows, &room, &x, alone, seed);
    let better = |own: f64, other: f64| (own - other) / own.max(parameters::FIT_MATERIAL.value);
    let own = answer.objective_before_rounding;
    Ok(Excess {
        seed,
        near: better(own, found.near),
        elsewhere: better(own, found.elsewhere),
        following: better(follows(&x), followed.near),
        gap: answer.certificate.gap,
        moved: answer.linearisation_error,
    })
}

/// Of numbers: the one that so many are not above.
fn quantile(values: &[f64], share: f64) -> f64 {
    let mut sorted = values.to_vec();
    sorted.sort_by(f64::total_cmp);
    #[allow(clippy::cast_possible_truncation, clippy::cast_sign_loss)]
    let place = (share * (sorted.len().saturating_sub(1)) as f64).round() as usize;
    sorted.get(place).copied().unwrap_or(f64::NAN)
}

fn main() -> ExitCode {
    let mut arguments = std::env::args().skip(1);
    let mut number = |otherwise: u64| {
        let argument = arguments.next();
        argument.map_or(Ok(otherwise), |text| text.parse())
    };
    let (Ok(days), Ok(seed)) = (number(200), number(0)) else {
        eprintln!("usage: global_search [DAYS [SEED]], both whole numbers");
        return ExitCode::from(2);
    };
    let (mut faults, mut all) = (0, Vec::new());
    for seed in seed..seed.saturating_add(days) {
        match excess(seed) {
            Ok(one) => {
                if one.near.max(one.elsewhere) > BETTER || one.gap > Certificate::TOLERANCE {
                    println!(
                        "seed {}: better by {:e} and {:e}, gap {:e}",
                        one.seed, one.near, one.elsewhere, one.gap
                    );
                    faults += 1;
                }
                all.push(one);
            }
            Err(text) => {
                println!("{text}");
                faults += 1;
            }
        }
    }
    let tell = |name: &str, value: &dyn Fn(&Excess) -> f64| {
        let values: Vec<f64> = all.iter().map(value).collect();
        let [half, most, nearly_all, worst] =
            [0.5, 0.9, 0.95, 1.0].map(|share| quantile(&values, share));
        println!(
            "{name}: half of the days {half:.1e}, 90 % {most:.1e}, 95 % {nearly_all:.1e}, all \
             {worst:.1e}"
        );
    };
    println!("{} days, {faults} faults", all.len());
    println!("Objective bettered by at most, as a part of it:");
    tell("  descending from the plan", &|one| one.near);
    tell("  evolved and from random points", &|one| one.elsewhere);
    tell("  with activity coefficients that follow", &|one| {
        one.following
    });
    tell("Shortfall of evolved and random points", &|one| {
        -one.elsewhere
    });
    tell("Gap of the certificate", &|one| one.gap);
    tell(
        "Shift of a line by the weighed plan's own ionic strength, tolerances",
        &|one| one.moved,
    );
    ExitCode::from(u8::from(faults > 0))
}
