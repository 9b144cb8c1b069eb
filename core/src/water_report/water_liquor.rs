//! The reconciled liquor as a brew day takes it: amounts, how surely they are known, and findings
//! about them.

use std::borrow::Cow;
use std::collections::BTreeMap;

use schemars::JsonSchema;
use serde::{Deserialize, Serialize};

use super::entry::WaterReport;
use super::finding::{FindingCode, FindingSeverity};
use super::findings::{bench_findings, findings};
use super::reconcile::{ReconciledWater, Unknown};
use super::water_mistake::WaterMistake;
use crate::error::codes;
use crate::quantity::tidy;

/// The key of the carbon among the amounts.
pub const CARBON_KEY: &str = "inorganic_carbon";

codes! {
    /// What a remark is about.
    pub enum RemarkCode {
        /// A figure was perhaps read on the wrong basis.
        ReportMistaken = "report_mistaken",
        /// Report and bench disagree.
        ReportAgainstBench = "report_against_bench",
        /// A finding about the report, the bench or the tank.
        ReportFinding = "report_finding",
    }
}

/// The reconciled liquor. Its alkalinity is not listed: by electroneutrality it is what the charges
/// of its ions leave.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize, JsonSchema)]
pub struct ReconciledLiquor {
    /// Ions and weak acids in the order of the table, then inorganic carbon.
    pub amounts: Vec<ReconciledAmount>,
    /// What a plan should say of it.
    pub remarks: Vec<ReconciledRemark>,
}

/// An amount of today's liquor.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize, JsonSchema)]
pub struct ReconciledAmount {
    /// Key of the ion, or "inorganic_carbon".
    pub key: Cow<'static, str>,
    /// Amount, mmol per kg of water.
    pub mmol_per_kg: f64,
    /// Its variance under its own key, and its covariance with each amount before it in the list
    /// under that amount's key, (mmol/kg)².
    pub covariance: BTreeMap<Cow<'static, str>, f64>,
}

/// A finding about today's liquor.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize, JsonSchema)]
pub struct ReconciledRemark {
    /// What it is about.
    pub code: RemarkCode,
    /// How grave it is.
    pub severity: FindingSeverity,
    /// In plain words.
    pub text: String,
}

impl ReconciledLiquor {
    /// The reconciled liquor of a report and the bench.
    pub fn of(
        report: &WaterReport,
        bench: &WaterReport,
        today: &ReconciledWater,
    ) -> ReconciledLiquor {
        let unknowns: Vec<(Unknown, &'static str)> = today
            .amounts
            .iter()
            .filter_map(|(unknown, _)| key_of(*unknown).map(|key| (*unknown, key)))
            .collect();
        let amount =
            |(place, (unknown, key)): (usize, &(Unknown, &'static str))| ReconciledAmount {
                key: (*key).into(),
                mmol_per_kg: tidy(1e3 * now(today, *unknown)),
                covariance: unknowns
                    .iter()
                    .take(place + 1)
                    .map(|(other, key)| {
                        let covariance = tidy(1e6 * today.covariance(*unknown, *other));
                        ((*key).into(), covariance)
                    })
                    .collect(),
            };
        ReconciledLiquor {
            amounts: unknowns.iter().enumerate().map(amount).collect(),
            remarks: remarks(report, bench, today),
        }
    }
}

fn key_of(unknown: Unknown) -> Option<&'static str> {
    match unknown {
        Unknown::Component(ion) => Some(ion.key()),
        Unknown::Carbon => Some(CARBON_KEY),
        Unknown::Alkalinity => None,
    }
}

/// What the liquor holds, mol/kg.
fn now(today: &ReconciledWater, unknown: Unknown) -> f64 {
    match unknown {
        Unknown::Component(ion) => today.liquor.ions.get(ion),
        Unknown::Alkalinity => today.liquor.alkalinity_eq_per_kg,
        Unknown::Carbon => today.liquor.carbon_mol_per_kg,
    }
}

/// The likeliest mistake in a report, its findings of weight, and whether report and bench
/// disagree.
fn remarks(
    report: &WaterReport,
    bench: &WaterReport,
    today: &ReconciledWater,
) -> Vec<ReconciledRemark> {
    let mut remarks = Vec::new();
    let mut say = |code, severity, text: String| {
        remarks.push(ReconciledRemark {
            code,
            severity,
            text,
        });
    };
    if let Some(mistake) = WaterMistake::all(report).into_iter().next() {
        say(
            RemarkCode::ReportMistaken,
            FindingSeverity::Warning,
            mistake.text,
        );
    }
    if today.disagrees() {
        let text = today.agreement_in_words();
        say(
            RemarkCode::ReportAgainstBench,
            FindingSeverity::Warning,
            text,
        );
    }
    for finding in findings(report).into_iter().chain(bench_findings(bench)) {
        // Limits are findings about the water itself.
        let is_known =
            finding.code == FindingCode::LimitExceeded || finding.severity == FindingSeverity::Note;
        if !is_known {
            say(RemarkCode::ReportFinding, finding.severity, finding.text);
        }
    }
    remarks
}
