//! What to watch in a tank: scale, what does not dissolve, chloride beside steel, acid that comes
//! too late. Each with its numbers, its source and a caution; limits are reasons to ask, never
//! verdicts.

use super::day::TankDay;
use crate::tank::ledger::{Entry, LedgerError};

mod finding;
mod scale;
mod solids;
mod water;

pub use finding::{TankFinding, TankFindingCode, TankNumber};

/// Everything to watch, most severe first, then in the order of work.
///
/// # Errors
/// [`LedgerError`] where a liquor of the day has no equilibrium.
pub(super) fn findings(day: &TankDay, entries: &[Entry]) -> Result<Vec<TankFinding>, LedgerError> {
    let mut findings = Vec::new();
    findings.extend(scale::acid_before_heating(day)?);
    findings.extend(scale::scale(entries)?);
    findings.extend((0..entries.len()).filter_map(|place| solids::undissolved(entries, place)));
    findings.extend(solids::gypsum(entries)?);
    findings.extend(solids::anhydrite(entries)?);
    findings.extend(water::limit(entries));
    findings.extend(water::chlorine_drawn(entries));
    findings.extend(scale::scale_in_cooler(day)?);
    findings.extend(water::chloride(entries));
    findings.sort_by_key(|finding| (finding.severity, finding.line));
    Ok(findings)
}
