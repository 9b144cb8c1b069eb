//! Water reports: every notation and back, findings, mistaken bases, worked examples; reconciled
//! waters.

mod bench;
mod documents;
mod findings;
mod mistakes;
mod notation;
mod one_reading;
mod reconciled;
mod references;
mod sources;
