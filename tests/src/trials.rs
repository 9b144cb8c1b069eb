//! How many random trials a test makes: few in `tests/run`, many in `tests/run long`.
//!
//! The core's tests share this file.

use std::fmt::Display;
use std::{env, thread};

/// The number of trials: `long` where the environment variable `UNDERLET_LONG` is set, as `tests/run long` does, else
/// `quick`. It is printed, for libtest's `--show-output`.
///
/// # Panics
/// When the test that asks would not be picked by `tests/run long`, which runs the tests that have the word "random"
/// in their path: none may be left out silently.
pub fn trials<T: Display>(quick: T, long: T) -> T {
    let is_long = env::var_os("UNDERLET_LONG").is_some();
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
