//! The solver: problems worked by hand, and random programmes of every class.

mod classes;
mod outcomes;
mod peer;
mod random;
mod worked;
