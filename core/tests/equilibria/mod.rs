//! Equilibria of liquors against measurement, published computations, and the laws they must keep.

mod balances;
mod conductivity;
mod laws;
mod measured;
mod sweep;
mod waters;

#[test]
fn every_question_is_answered_or_refused_with_a_reason() {
    // A million in `cargo run --release -p underlet-tests --bin sweep`.
    let faults = sweep::faults(100_000, 20_260_301);
    assert!(faults.is_empty(), "{}", faults.join("\n"));
}
