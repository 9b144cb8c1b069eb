//! The reconciled water in the water document: what is known, how surely, from what, and what
//! disagrees.

use std::borrow::Cow;

use schemars::JsonSchema;
use serde::{Deserialize, Serialize};

use super::entry::{Subject, WaterReport};
use super::finding::Finding;
use super::findings::bench_findings;
use super::reconcile::{
    Disagreement, Estimate, Origin, ReconcileError, ReconciledWater, Residual, Unknown,
};
use super::water_entry::WaterEntry;
use super::water_liquor::ReconciledLiquor;
use crate::quantity::{WATER_KG_PER_L_20C, significant, tidy};

/// Chance below which a disagreement is reported: the usual 5 %.
const SELDOM: f64 = 0.05;
/// A chance below this is reported as such: standard deviations are not known well enough for more.
const LEAST_CHANCE: f64 = 0.001;

/// The bench of this morning.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize, JsonSchema)]
#[non_exhaustive]
pub struct WaterBench {
    /// Temperature of the water, °C.
    pub temperature_c: Option<f64>,
    /// What was read, and what titrations come to, with their standard deviations.
    pub entries: Vec<WaterEntry>,
    /// Findings about them, most serious first.
    pub findings: Vec<Finding>,
}

/// What the water is today: what fits report and bench best, electroneutral.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize, JsonSchema)]
#[non_exhaustive]
pub struct Reconciliation {
    /// Temperature, °C; pH is at it.
    pub temperature_c: f64,
    /// Ions, then alkalinity, hardness, pH, conductivity at 25 °C and inorganic carbon.
    pub estimates: Vec<ReconciledEstimate>,
    /// Every measurement beside what this water would read: those of the report, of the bench, and
    /// what is usual of what nobody measured.
    pub measurements: Vec<ReconciledMeasurement>,
    /// Entries that are no measurement of their own, or say nothing about the amounts.
    pub unused: Vec<ReconciledUnused>,
    /// Sum of the squares of all residuals in their standard deviations.
    pub chi_square: f64,
    /// How many measurements more there are than it takes to know the water.
    pub degrees_of_freedom: u32,
    /// Probability of so great a chi-square, or greater, if every standard deviation is right.
    pub probability: f64,
    /// The measurement that disagrees most with the others; absent where nothing can.
    pub disagreement: Option<ReconciledDisagreement>,
    /// How well report and bench agree, in plain words.
    pub text: String,
    /// The reconciled liquor as a source of a brew day takes it.
    pub liquor: ReconciledLiquor,
}

/// One quantity of today's water.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize, JsonSchema)]
#[non_exhaustive]
pub struct ReconciledEstimate {
    /// Key, such as "calcium", "alkalinity", "ph" or "inorganic_carbon".
    pub key: Cow<'static, str>,
    /// Name for people.
    pub label: String,
    /// Unit of the numbers; empty for pH.
    pub unit: Cow<'static, str>,
    /// What fits best.
    pub value: f64,
    /// Standard deviation.
    pub sd: f64,
    /// 95 % interval, low and high.
    pub interval_95: [f64; 2],
    /// Whether report or bench state it; if not, it follows from the others, or is what is usual.
    pub is_measured: bool,
    /// For people, such as "82 mg/L (76 to 88)".
    pub display: String,
}

/// A measurement beside what today's water would read.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize, JsonSchema)]
#[non_exhaustive]
pub struct ReconciledMeasurement {
    /// Where it comes from.
    pub origin: Origin,
    /// Key of what was measured.
    pub key: Cow<'static, str>,
    /// Name for people, such as "alkalinity at the bench".
    pub label: String,
    /// Unit of the numbers; empty for pH.
    pub unit: Cow<'static, str>,
    /// What was measured; half of a detection limit.
    pub value: f64,
    /// Standard deviation of today's truth about it.
    pub sd: f64,
    /// What today's water would read.
    pub predicted: f64,
    /// Residual over its own standard deviation; absent where nothing else says anything about it.
    pub standardised: Option<f64>,
    /// For people, such as "read 158 mg/L, today's water would read 161".
    pub display: String,
}

/// An entry that was not used.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize, JsonSchema)]
#[non_exhaustive]
pub struct ReconciledUnused {
    /// Where it comes from.
    pub origin: Origin,
    /// Key of the entry.
    pub key: Cow<'static, str>,
}

/// The measurement that disagrees most with the others.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize, JsonSchema)]
#[non_exhaustive]
pub struct ReconciledDisagreement {
    /// Where it comes from.
    pub origin: Origin,
    /// Key of what was measured.
    pub key: Cow<'static, str>,
    /// Its residual over its own standard deviation.
    pub standardised: f64,
    /// Probability of a worst residual as great as this, or greater, if nothing is wrong.
    pub probability: f64,
    /// Those that may be the wrong one, the likeliest first.
    pub suspects: Vec<ReconciledSuspect>,
}

/// A measurement that may be the wrong one.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize, JsonSchema)]
#[non_exhaustive]
pub struct ReconciledSuspect {
    /// Where it comes from.
    pub origin: Origin,
    /// Key of what was measured.
    pub key: Cow<'static, str>,
    /// Probability that it is this one, if just one is wrong.
    pub probability: f64,
}

/// Why there is no reconciled water, as a sentence.
pub(super) fn in_words(error: &ReconcileError) -> String {
    format!("Today's water cannot be computed: {error}.")
}

impl WaterBench {
    pub(super) fn of(bench: &WaterReport) -> WaterBench {
        WaterBench {
            temperature_c: bench.temperature_c,
            entries: bench.entries.iter().map(WaterEntry::of).collect(),
            findings: bench_findings(bench),
        }
    }
}

impl Reconciliation {
    pub(super) fn of(
        report: &WaterReport,
        bench: &WaterReport,
        today: &ReconciledWater,
    ) -> Reconciliation {
        let disagreement = today.disagreement.as_ref();
        Reconciliation {
            temperature_c: today.liquor.temperature_c,
            estimates: estimates(today),
            measurements: today
                .measurements
                .iter()
                .map(ReconciledMeasurement::of)
                .collect(),
            unused: today
                .unused
                .iter()
                .map(|(origin, subject)| ReconciledUnused {
                    origin: *origin,
                    key: subject.key().into(),
                })
                .collect(),
            chi_square: tidy(today.chi_square),
            degrees_of_freedom: u32::try_from(today.degrees_of_freedom).unwrap_or(u32::MAX),
            probability: tidy(today.p_value),
            disagreement: disagreement.and_then(|worst| ReconciledDisagreement::of(today, worst)),
            text: today.agreement_in_words(),
            liquor: ReconciledLiquor::of(report, bench, today),
        }
    }
}

impl ReconciledWater {
    /// How well report and bench agree, in plain words.
    pub fn agreement_in_words(&self) -> String {
        let Some((worst, residual)) = self.worst() else {
            return "Nothing was measured twice, so nothing can disagree.".to_owned();
        };
        let found = ReconciledMeasurement::of(residual);
        if worst.p_value >= SELDOM && self.p_value >= SELDOM {
            return format!(
                "The measurements agree within their errors (chance of more disagreement {:.0} %).",
                100.0 * self.p_value
            );
        }
        format!(
            "The measurements disagree (chance of more disagreement {}). The worst: {}, {}. \
             Measure it again.",
            small_chance(self.p_value.min(worst.p_value)),
            found.label,
            found.display
        )
    }

    /// Whether report and bench disagree by more than chance usually makes.
    pub fn disagrees(&self) -> bool {
        self.p_value < SELDOM
            || self
                .worst()
                .is_some_and(|(worst, _)| worst.p_value < SELDOM)
    }

    fn worst(&self) -> Option<(&Disagreement, &Residual)> {
        let worst = self.disagreement.as_ref()?;
        Some((worst, self.measurements.get(worst.place)?))
    }

    fn is_measured(&self, subject: Subject) -> bool {
        self.measurements.iter().any(|residual| {
            let measurement = residual.measurement;
            measurement.subject == subject && measurement.origin != Origin::Usual
        })
    }
}

/// "2.3 %", "below 0.1 %".
fn small_chance(probability: f64) -> String {
    if probability < LEAST_CHANCE {
        format!("below {} %", 100.0 * LEAST_CHANCE)
    } else {
        format!("{:.1} %", 100.0 * probability)
    }
}

fn estimates(today: &ReconciledWater) -> Vec<ReconciledEstimate> {
    let ions = today
        .amounts
        .iter()
        .filter_map(|(unknown, estimate)| match unknown {
            Unknown::Component(ion) => Some((Subject::Component(*ion), *estimate)),
            _ => None,
        });
    let others = [
        (Subject::Alkalinity, today.titrated_alkalinity_eq_per_kg),
        (Subject::Hardness, today.hardness_eq_per_kg),
        (Subject::Ph, today.ph),
        (Subject::Conductivity, today.conductivity_us_per_cm),
    ];
    let mut all: Vec<ReconciledEstimate> = ions
        .chain(others)
        .map(|(subject, estimate)| ReconciledEstimate {
            is_measured: today.is_measured(subject)
                || (subject == Subject::Alkalinity && today.is_measured(Subject::Bicarbonate)),
            ..ReconciledEstimate::of(
                subject.key(),
                subject.label(),
                subject.quantity().unit(),
                estimate,
                |canonical| subject.in_default_unit(canonical),
            )
        })
        .collect();
    all.extend(today.amount(Unknown::Carbon).map(|carbon| {
        ReconciledEstimate::of(
            "inorganic_carbon",
            "inorganic carbon".to_owned(),
            "mmol/L",
            carbon,
            |mol_per_kg| 1000.0 * WATER_KG_PER_L_20C * mol_per_kg,
        )
    }));
    all
}

impl ReconciledEstimate {
    fn of(
        key: &'static str,
        label: String,
        unit: &'static str,
        estimate: Estimate,
        in_unit: impl Fn(f64) -> f64,
    ) -> ReconciledEstimate {
        let Estimate {
            value,
            sd,
            low,
            high,
        } = estimate;
        let [value, sd, low, high] = [value, sd, low, high].map(|number| tidy(in_unit(number)));
        let shown = |number: f64| shown(number, unit);
        let display = format!("{} {unit}", shown(value));
        ReconciledEstimate {
            key: key.into(),
            label,
            unit: unit.into(),
            value,
            sd,
            interval_95: [low, high],
            is_measured: false,
            display: format!("{} ({} to {})", display.trim_end(), shown(low), shown(high)),
        }
    }
}

/// Two decimals of a pH, three digits of everything else.
fn shown(number: f64, unit: &str) -> String {
    if unit.is_empty() {
        format!("{number:.2}")
    } else {
        significant(number, 3)
    }
}

impl ReconciledMeasurement {
    fn of(residual: &Residual) -> ReconciledMeasurement {
        let measurement = residual.measurement;
        let subject = measurement.subject;
        let unit = subject.quantity().unit();
        let [value, sd, predicted] = [measurement.value, measurement.sd, residual.predicted]
            .map(|canonical| tidy(subject.in_default_unit(canonical)));
        let (place, verb) = match measurement.origin {
            Origin::Report => ("in the report", "read"),
            Origin::Bench => ("at the bench", "read"),
            Origin::Usual => ("(not measured)", "assumed"),
        };
        ReconciledMeasurement {
            origin: measurement.origin,
            key: subject.key().into(),
            label: format!("{} {place}", subject.label()),
            unit: unit.into(),
            value,
            sd,
            predicted,
            standardised: residual.standardised.map(tidy),
            display: format!(
                "{verb} {}, expected {}",
                format!("{} {unit}", shown(value, unit)).trim_end(),
                shown(predicted, unit)
            ),
        }
    }
}

impl ReconciledDisagreement {
    fn of(today: &ReconciledWater, worst: &Disagreement) -> Option<ReconciledDisagreement> {
        let at = |place: usize| today.measurements.get(place).map(|r| r.measurement);
        let measurement = at(worst.place)?;
        let suspect = |(place, probability): &(usize, f64)| {
            at(*place).map(|measurement| ReconciledSuspect {
                origin: measurement.origin,
                key: measurement.subject.key().into(),
                probability: tidy(*probability),
            })
        };
        Some(ReconciledDisagreement {
            origin: measurement.origin,
            key: measurement.subject.key().into(),
            standardised: tidy(worst.standardised),
            probability: tidy(worst.p_value),
            suspects: worst.suspects.iter().filter_map(suspect).collect(),
        })
    }
}
