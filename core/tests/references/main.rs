//! The engine against published figures. Each test names its source; where a figure is from memory it says so.
//! Where the first model is coarse (no ion pairs, no activity coefficients on weak acids) the tolerance is the honest
//! one, and the reason stands beside it.

mod additions;
mod carbonate;
mod vectors;
mod waters;
