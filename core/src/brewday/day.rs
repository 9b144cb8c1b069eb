//! What a brewer settles before a sack is opened: sources, grist, vessels, targets and the shelf of reagents.

use underlet_tables::{ReagentKind, parameters};

use super::plan::{Caution, Severity};
use crate::fit::{Targets, Vessel};
use crate::ion::Ion;
use crate::liquor::{Liquor, alkalinity_eq_per_kg};
use crate::mash::{LiquorCovariance, Malt};
use crate::math;
use crate::reagent::Preparation;
use crate::report::{
    FindingCode, FindingSeverity, ReconcileError, Today, Unknown, WaterMistake, WaterReport,
    reconcile,
};

/// A water that can be drawn.
#[derive(Clone, Debug, PartialEq)]
pub struct Source {
    /// Name, such as "well".
    pub name: String,
    /// Its composition.
    pub liquor: Liquor,
    /// True when the report gave no pH, so that [`crate::liquor::assumed_ph`] stands in.
    pub ph_assumed: bool,
    /// Most that can be drawn for this brew, litres at 20 °C.
    pub at_most_l: Option<f64>,
    /// How surely it is known, where it was reconciled from report and bench.
    pub reconciled: Option<Box<Reconciled>>,
}

/// What a source was reconciled from: how sure its amounts are, and what is odd about them.
#[derive(Clone, Debug, PartialEq)]
pub struct Reconciled {
    /// Covariance of its amounts.
    pub covariance: LiquorCovariance,
    /// What a plan should say of it.
    pub remarks: Vec<Caution>,
}

impl Source {
    /// A source as a report, and the bench within it, know it today.
    ///
    /// # Errors
    /// [`ReconcileError`].
    pub fn reconciled(
        name: String,
        report: &WaterReport,
        at_most_l: Option<f64>,
    ) -> Result<Source, ReconcileError> {
        let nothing = WaterReport::default();
        let bench = report.bench.as_deref().unwrap_or(&nothing);
        let today = reconcile(report, bench)?;
        let reconciled = Reconciled {
            covariance: covariance(&today),
            remarks: remarks(&name, report, bench, &today),
        };
        Ok(Source {
            name,
            liquor: Liquor {
                temperature_c: parameters::SAMPLE_TEMPERATURE.value,
                ..today.liquor
            },
            ph_assumed: false,
            at_most_l,
            reconciled: Some(Box::new(reconciled)),
        })
    }

    /// Covariance of two of its amounts, places as in [`LiquorCovariance`]. Of a source that was not reconciled only the
    /// alkalinity is unsure, as the analysis of a report is.
    pub fn covariance(&self, one: usize, other: usize) -> f64 {
        if let Some(reconciled) = &self.reconciled {
            let row = reconciled.covariance.0.get(one);
            return row.and_then(|row| row.get(other)).copied().unwrap_or(0.0);
        }
        if [one, other] != [LiquorCovariance::ALKALINITY; 2] {
            return 0.0;
        }
        let relative = self.liquor.alkalinity_eq_per_kg.abs()
            * parameters::ALKALINITY_REPORT_RELATIVE_SD.value;
        let least = alkalinity_eq_per_kg(parameters::ALKALINITY_REPORT_ABSOLUTE_SD.value);
        let sd = math::at_least(relative, least);
        sd * sd
    }
}

fn covariance(today: &Today) -> LiquorCovariance {
    let unknowns: Vec<Unknown> = Ion::ALL
        .into_iter()
        .map(Unknown::Ion)
        .chain([Unknown::Alkalinity, Unknown::Carbon])
        .collect();
    let mut covariance =
        LiquorCovariance([[0.0; LiquorCovariance::COUNT]; LiquorCovariance::COUNT]);
    for (row, one) in covariance.0.iter_mut().zip(&unknowns) {
        for (cell, other) in row.iter_mut().zip(&unknowns) {
            *cell = today.covariance(*one, *other);
        }
    }
    covariance
}

/// The likeliest mistake in a report, its findings of weight, and whether report and bench disagree.
fn remarks(name: &str, report: &WaterReport, bench: &WaterReport, today: &Today) -> Vec<Caution> {
    let mut remarks = Vec::new();
    let mut say = |code, severity, text: &str| {
        remarks.push(Caution {
            code,
            severity,
            text: format!("\"{name}\": {text}"),
        });
    };
    if let Some(mistake) = WaterMistake::all(report).first() {
        say("report_mistaken", Severity::Care, &mistake.text);
    }
    if today.disagrees() {
        say(
            "report_against_bench",
            Severity::Care,
            &today.agreement_in_words(),
        );
    }
    for finding in report.findings().iter().chain(&bench.bench_findings()) {
        let severity = match finding.severity {
            FindingSeverity::Warning => Severity::Care,
            FindingSeverity::Doubt => Severity::Note,
            FindingSeverity::Note => continue,
        };
        // Limits are told of the water itself.
        if finding.code != FindingCode::LimitExceeded {
            say("report_finding", severity, &finding.text);
        }
    }
    remarks
}

/// Liquor that is let into a vessel.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Draw {
    /// Volume as read at its temperature, litres.
    pub volume_l: f64,
    /// Temperature, °C.
    pub temperature_c: f64,
}

/// A reagent on the brewer's shelf.
#[derive(Clone, Debug, PartialEq)]
pub struct Shelved {
    /// The reagent at its strength.
    pub preparation: Preparation,
    /// Step of the scale or measure, g or mL.
    pub step: f64,
    /// Smallest dose that makes sense, g or mL.
    pub smallest: f64,
    /// Stock on hand, g or mL; `None` where there is plenty.
    pub stock: Option<f64>,
    /// Vessels it may go into, in the order of work.
    pub at: Vec<Vessel>,
}

impl Shelved {
    /// Whether it is there to remove chlorine. Such a reagent is no source of ions and no acid for the fit to dose;
    /// what removes chlorine is not reckoned yet.
    pub fn is_dechlorinator(&self) -> bool {
        self.preparation.reagent.kind == ReagentKind::Dechlorinator
    }
}

/// A brew day as it was read: every value checked, in canonical units.
#[derive(Clone, Debug, PartialEq)]
pub struct BrewDay {
    /// Name of the brew.
    pub name: String,
    /// Name of the brewhouse.
    pub brewhouse: String,
    /// Waters to draw from, at least one; the first is the one drawn where nothing speaks against it.
    pub sources: Vec<Source>,
    /// The hot-liquor tank's fill, or `None` where liquor comes ready from elsewhere and only the tun can be dosed.
    pub tank: Option<Draw>,
    /// Malts and adjuncts, at least one.
    pub grist: Vec<Malt>,
    /// Mash liquor.
    pub mash: Draw,
    /// Temperature at which the mash rests, °C.
    pub rest_temperature_c: f64,
    /// Sparge liquor, where there is a sparge.
    pub sparge: Option<Draw>,
    /// What is wanted.
    pub targets: Targets,
    /// Reagents at hand.
    pub shelf: Vec<Shelved>,
    /// Most different salts and bases to weigh; acids are not counted.
    pub most_salts: Option<usize>,
}

impl BrewDay {
    /// Covariance of two amounts of the sources' blend, places as in [`LiquorCovariance`]. Sources are unsure independently of
    /// each other.
    pub(super) fn blend_covariance(&self, shares: &[f64], one: usize, other: usize) -> f64 {
        let sources = self.sources.iter().zip(shares);
        sources
            .map(|(source, share)| share * share * source.covariance(one, other))
            .sum()
    }

    /// Covariance of the blend, where any source of the day was reconciled.
    pub(super) fn covariance(&self, shares: &[f64]) -> Option<LiquorCovariance> {
        let mut sources = self.sources.iter();
        if !sources.any(|source| source.reconciled.is_some()) {
            return None;
        }
        let mut blend = LiquorCovariance([[0.0; LiquorCovariance::COUNT]; LiquorCovariance::COUNT]);
        for (one, row) in blend.0.iter_mut().enumerate() {
            for (other, cell) in row.iter_mut().enumerate() {
                *cell = self.blend_covariance(shares, one, other);
            }
        }
        Some(blend)
    }
}
