//! Tests of the tables: constants against published figures, rows, solutions, and what the build
//! refuses.

mod constants;
mod refusals;
mod rows;
mod solutions;
