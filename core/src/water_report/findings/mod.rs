//! Findings of plausibility: what in a report contradicts itself, is missing, cannot be, or exceeds
//! a drinking-water limit.
//!
//! Tolerances are in the tables; a figure given as a range or below a detection limit widens them
//! by what it leaves open.

mod alkalinity;
mod examined;
mod limits;
mod sampling;
mod sums;

use super::entry::WaterReport;
use super::finding::{Finding, FindingCode};
use examined::Examined;

/// The findings of a report; see [`WaterReport::findings`].
pub(crate) fn findings(report: &WaterReport) -> Vec<Finding> {
    let mut examined = Examined::new(report);
    sums::balance(&mut examined);
    sums::hardness(&mut examined);
    sums::dissolved_solids(&mut examined);
    sums::conductivity(&mut examined);
    alkalinity::alkalinity_against_ph(&mut examined);
    alkalinity::bicarbonate(&mut examined);
    alkalinity::alkalinity_parts(&mut examined);
    alkalinity::carbonate_against_ph(&mut examined);
    alkalinity::basis(&mut examined);
    limits::limits(&mut examined);
    limits::beyond_drinking_water(&mut examined);
    limits::chlorine(&mut examined);
    sampling::age(&mut examined);
    sampling::ranges(&mut examined);
    sampling::detection_limits(&mut examined);
    let mut findings = examined.gathered.0;
    findings.sort_by_key(|finding| finding.severity);
    findings
}

/// Findings about a bench, most serious first: it measures a few things on the day itself, and is
/// no report that lacks ions or a date.
pub(super) fn bench_findings(bench: &WaterReport) -> Vec<Finding> {
    let mut findings = findings(bench);
    findings.retain(|finding| {
        !matches!(
            finding.code,
            FindingCode::IonsMissing
                | FindingCode::IonsDoNotBalance
                | FindingCode::ReportUndated
                | FindingCode::ConductivityDisagrees
        )
    });
    findings
}
