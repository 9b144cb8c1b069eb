//! Equilibria of liquors against measurement, published computations, and the laws they must keep.

#[path = "../common/dice.rs"]
mod dice;
mod conductivity;
mod waters;
