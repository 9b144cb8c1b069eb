//! Tests of the core through its public interface, one module for each part of it.
//!
//! Everything random is drawn from fixed seeds, so that a failure comes back until it is fixed.

mod alternatives;
mod capacities;
mod check;
mod common;
mod correction;
mod dissolved;
mod documents;
mod equilibria;
mod families;
mod hot_and_hard;
mod kettle_correction;
mod laws;
mod ledger;
mod liquor_correction;
mod mash;
mod nonsense;
mod optimise;
mod recipe;
mod references;
mod runnings;
mod tank;
mod treatment;
mod water_report;
mod words;
