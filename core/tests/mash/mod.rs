//! The mash: against published measurements, against exact arithmetic, against chance.

mod bench;
mod certificates;
mod chance;
mod common;
mod derivatives;
mod needs;
mod published;
mod trade;
mod wort;
