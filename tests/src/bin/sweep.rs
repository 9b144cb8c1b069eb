//! Asks the equilibrium solver random questions over all that the reader lets in, the same ones for the same seed, and tells every
//! kind of fault: not converged, not a number, a balance that does not close.
//!
//! `cargo run --release -p underlet-tests --bin sweep -- [QUESTIONS [SEED]]`, a million by default; exits 1 on any fault.

use std::process::ExitCode;

// What the core's own test asks, in greater number.
#[allow(dead_code)]
#[path = "../../../core/tests/equilibria/balances.rs"]
mod balances;
#[allow(dead_code)]
#[path = "../../../core/tests/common/dice.rs"]
mod dice;
#[path = "../../../core/tests/equilibria/sweep.rs"]
mod sweep;

fn main() -> ExitCode {
    let mut arguments = std::env::args().skip(1);
    let (Ok(questions), Ok(seed)) = (
        number(arguments.next(), 1_000_000),
        number(arguments.next(), 20_260_301),
    ) else {
        eprintln!("usage: sweep [QUESTIONS [SEED]], both whole numbers");
        return ExitCode::from(2);
    };
    let faults = sweep::faults(usize::try_from(questions).unwrap_or(usize::MAX), seed);
    println!(
        "{questions} questions of seed {seed}: {} kinds of fault",
        faults.len()
    );
    for fault in &faults {
        println!("{fault}");
    }
    ExitCode::from(u8::from(!faults.is_empty()))
}

fn number(argument: Option<String>, otherwise: u64) -> Result<u64, std::num::ParseIntError> {
    argument.map_or(Ok(otherwise), |text| text.parse())
}
