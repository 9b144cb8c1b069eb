//! Findings about a report, as data and in plain words.

use std::borrow::Cow;

use schemars::JsonSchema;
use serde::{Deserialize, Serialize};

use super::subject::Subject;
use crate::error::codes;
use crate::quantity::tidy;

codes! {
    /// Stable short code of a finding: programs match on it, so a code is never renamed.
    pub enum FindingCode {
        /// Cations and anions differ by more than Standard Methods 1030 E accepts.
        IonsDoNotBalance = "ions_do_not_balance",
        /// A major ion, or the alkalinity, is not stated.
        IonsMissing = "ions_missing",
        /// Total hardness is not that of calcium and magnesium.
        HardnessDisagrees = "hardness_disagrees",
        /// Dissolved solids do not agree with the sum of the ions.
        DissolvedSolidsDisagree = "dissolved_solids_disagree",
        /// Conductivity does not agree with the ions.
        ConductivityDisagrees = "conductivity_disagrees",
        /// Water of this pH cannot have this alkalinity.
        AlkalinityAgainstPh = "alkalinity_against_ph",
        /// Bicarbonate and carbonate do not make up the alkalinity.
        BicarbonateAgainstAlkalinity = "bicarbonate_against_alkalinity",
        /// Phenolphthalein and total alkalinity contradict each other, or what they say of
        /// carbonate and bicarbonate.
        AlkalinityPartsDisagree = "alkalinity_parts_disagree",
        /// Carbonate, or alkalinity to phenolphthalein, in a water too acid to have any.
        CarbonateAgainstPh = "carbonate_against_ph",
        /// An alkalinity or a hardness in mg/L does not say what it is counted as.
        BasisNotNamed = "basis_not_named",
        /// More or less of it than a drinking water has.
        BeyondDrinkingWater = "beyond_drinking_water",
        /// Beyond what an authority allows or advises in drinking water.
        LimitExceeded = "limit_exceeded",
        /// There is chlorine or chloramine to remove before the liquor meets the malt.
        ChlorineToRemove = "chlorine_to_remove",
        /// More free chlorine than chlorine in all.
        ChlorineDisagrees = "chlorine_disagrees",
        /// The sample is more than a year old.
        ReportOld = "report_old",
        /// The report does not say when it was sampled.
        ReportUndated = "report_undated",
        /// Sampled after the day it is read.
        SampledAfterToday = "sampled_after_today",
        /// A range so wide that the supply probably switches between waters.
        RangeWide = "range_wide",
        /// "Not detected" without a limit: a routine laboratory's detection limit is taken.
        DetectionLimitAssumed = "detection_limit_assumed",
    }
}

/// How much a finding matters.
#[derive(
    Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Serialize, Deserialize, JsonSchema,
)]
#[serde(rename_all = "snake_case")]
#[non_exhaustive]
pub enum FindingSeverity {
    /// Ask before the water is used.
    Warning,
    /// A value is probably wrong: have it checked.
    Doubt,
    /// Worth knowing.
    Note,
}

/// One finding about a report.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize, JsonSchema)]
pub struct Finding {
    /// Stable code.
    pub code: FindingCode,
    /// How much it matters.
    pub severity: FindingSeverity,
    /// Keys of the entries it is about; empty where it is about the whole report.
    pub subjects: Vec<Cow<'static, str>>,
    /// The finding in plain words.
    pub text: String,
    /// The numbers it rests on.
    pub evidence: Vec<FindingEvidence>,
}

/// A number that a finding rests on.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize, JsonSchema)]
pub struct FindingEvidence {
    /// What it is, such as "cations" or "EU parametric value".
    pub label: String,
    /// The number.
    pub value: f64,
    /// Its unit; empty for pH and ratios.
    pub unit: Cow<'static, str>,
}

/// Findings as they are gathered.
#[derive(Debug, Default)]
pub(super) struct Gathered(pub Vec<Finding>);

impl Gathered {
    pub fn say(
        &mut self,
        code: FindingCode,
        severity: FindingSeverity,
        subjects: &[Subject],
        text: String,
        evidence: &[(&str, f64, &'static str)],
    ) {
        self.0.push(Finding {
            code,
            severity,
            subjects: subjects
                .iter()
                .map(|subject| subject.key().into())
                .collect(),
            text,
            evidence: evidence
                .iter()
                .map(|(label, value, unit)| FindingEvidence {
                    label: (*label).to_owned(),
                    value: tidy(*value),
                    unit: (*unit).into(),
                })
                .collect(),
        });
    }
}
