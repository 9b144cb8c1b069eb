//! How many random trials a test makes: few in `tests/run`, many in `tests/run long`.
//!
//! The tests that cross parts share this file.

use std::fmt::Display;
use std::{env, thread};

/// The number of trials: `long` where the environment variable `UNDERLET_LONG` is 1, as `tests/run
/// long` sets it, else `quick`. It is printed, for libtest's `--show-output`.
///
/// The line that is printed ends with "trials": `tests/run long` counts these lines.
///
/// # Panics
/// When the test that asks would not be picked by `tests/run long`, which runs the tests that have
/// the word "random" in their path: none may be left out silently.
pub fn trials<T: Display>(quick: T, long: T) -> T {
    let is_long = env::var("UNDERLET_LONG").is_ok_and(|value| value == "1");
    let count = if is_long { long } else { quick };
    let thread = thread::current();
    let test = thread.name().unwrap_or_default();
    // With one thread, libtest runs every test in the main thread.
    assert!(
        test.contains("random") || test == "main",
        "{test} makes random trials: put the word \"random\" into its path"
    );
    println!("{test}: {count} trials");
    count
}
