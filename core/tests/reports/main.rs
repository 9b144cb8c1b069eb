//! Water reports: every notation and back, findings, worked examples.

#[path = "documents.rs"]
mod documents;
#[path = "findings.rs"]
mod findings;
#[path = "notation.rs"]
mod notation;
#[path = "references.rs"]
mod references;
