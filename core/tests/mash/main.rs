//! The mash: against published measurements, against exact arithmetic, against chance.

mod bench;
mod certificates;
mod chance;
mod common;
mod derivatives;
#[path = "../common/dice.rs"]
#[allow(dead_code, reason = "other tests roll more kinds of dice")]
mod dice;
mod needs;
mod published;
mod trade;
mod wort;
