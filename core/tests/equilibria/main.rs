//! Equilibria of liquors against measurement, published computations, and the laws they must keep.

mod conductivity;
#[path = "../common/dice.rs"]
mod dice;
mod waters;
