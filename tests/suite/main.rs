//! Tests that cross the parts of the project: the cases, days worked by hand, days that somebody
//! spoilt, seeded worlds, and the programs of this package.

mod acids_in_water;
mod brew_day;
mod cases;
mod corrected_days;
mod equilibria;
mod extremes;
mod families;
mod faulty_days;
mod judged;
mod mashes;
mod mutations;
mod pages;
mod reconciliation;
mod report_mistakes;
mod tank_days;
mod waters;
mod worked_days;
