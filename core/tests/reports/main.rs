//! Water reports: every notation and back, findings, worked examples.

#[path = "bench.rs"]
mod bench;
#[path = "../common/dice.rs"]
#[allow(dead_code, reason = "other tests roll more kinds of dice")]
mod dice;
#[path = "documents.rs"]
mod documents;
#[path = "findings.rs"]
mod findings;
#[path = "notation.rs"]
mod notation;
#[path = "references.rs"]
mod references;
#[path = "sources.rs"]
mod sources;
