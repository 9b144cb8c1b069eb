//! Equilibria of liquors against measurement, published computations, and the laws they must keep.

mod balances;
mod conductivity;
mod laws;
mod measured;
mod sweep;
mod waters;

use crate::common::trials::trials;

#[test]
fn every_random_question_is_answered_or_refused_with_a_reason() {
    let faults = sweep::faults(trials(10_000, 1_000_000), 20_260_301);
    assert!(faults.is_empty(), "{}", faults.join("\n"));
}
