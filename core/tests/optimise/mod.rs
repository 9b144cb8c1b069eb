//! The solver: problems worked by hand, and random programmes of every class.

mod classes;
mod peer;
mod random;
mod worked;
