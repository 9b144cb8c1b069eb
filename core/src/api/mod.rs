//! Methods on values of the lower rooms that lead to upper ones, each in one line: the rooms
//! themselves import only what is below them.

mod brew_day;
mod liquor;
mod speciation;
mod tank_day;
mod water_report;
