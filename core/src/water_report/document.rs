//! The water document: a report's entries in one unit each and as they were written, what follows
//! from them, and findings. Numbers carry their unit in the key, or beside them where it depends on
//! the entry; texts are ready for people to read.

use schemars::JsonSchema;
use serde::{Deserialize, Serialize};

use super::derived::derived;
use super::entry::WaterReport;
use super::finding::Finding;
use super::findings::findings;
use super::plain::meq_per_l;
use super::reconcile::reconcile;
use super::reconciliation::{Reconciliation, WaterBench, in_words};
use super::water_entry::WaterEntry;
use super::water_mistake::WaterMistake;
use crate::document::{DocumentHead, DocumentKind, document};
use crate::liquor::mg_per_l_caco3;
use crate::quantity::tidy;

document! {
    derive(Clone, Debug, PartialEq, Serialize, Deserialize);

    /// A water report that was examined.
    pub struct Water {
        /// Versions, kind, and what the user attached.
        #[serde(flatten)]
        pub head: DocumentHead,
        /// Name of the water.
        pub name: String,
        /// Day of sampling, YYYY-MM-DD.
        pub sampled: Option<String>,
        /// How old the sample is, days; absent where one of the two days is not given.
        pub age_days: Option<f64>,
        /// Temperature of the sample, °C.
        pub temperature_c: Option<f64>,
        /// What the report states, in the order of the document's keys.
        pub entries: Vec<WaterEntry>,
        /// What follows from the entries taken at their word.
        pub derived: DerivedFigures,
        /// Findings, most serious first.
        pub findings: Vec<Finding>,
        /// Figures that were perhaps read on the wrong basis, likeliest first: proposals, nothing
        /// is changed by them.
        pub mistakes: Vec<WaterMistake>,
        /// Today's measurements, where there were some.
        pub bench: Option<WaterBench>,
        /// What the water is today, from report and bench together.
        pub reconciled: Option<Reconciliation>,
        /// Why the reconciliation failed, where it did.
        pub reconciliation_error: Option<String>,
    }
}

/// What follows from the entries taken at their word.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize, JsonSchema)]
pub struct DerivedFigures {
    /// Cations against anions.
    pub balance: WaterBalance,
    /// Hardness of calcium and magnesium, mg/L as CaCO3.
    pub hardness_mg_l_caco3: f64,
    /// Residual alkalinity, mg/L as CaCO3: what the water does to a mash.
    pub residual_alkalinity_mg_l_caco3: f64,
    /// Sum of all ions as they are dissolved, mg/L.
    pub calculated_tds_mg_per_l: f64,
    /// Residue on evaporation by the ions, half of the bicarbonate gone, mg/L.
    pub residue_on_evaporation_mg_per_l: f64,
    /// Conductivity at 25 °C, µS/cm; absent where the ions make no water.
    pub conductivity_25c_us_per_cm: Option<f64>,
}

/// Cations against anions, alkalinity among the latter.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize, JsonSchema)]
pub struct WaterBalance {
    /// Cations, meq/L.
    pub cations_meq_per_l: f64,
    /// Anions, meq/L.
    pub anions_meq_per_l: f64,
    /// Difference over sum, per cent.
    pub charge_balance_error_percent: f64,
    /// Whether Standard Methods 1030 E accepts it.
    pub is_acceptable: bool,
}

impl Water {
    /// Examines a report.
    pub fn of(report: &WaterReport) -> Water {
        let derived = derived(report);
        let balance = derived.balance;
        let nothing = WaterReport::default();
        let bench = report.bench.as_deref();
        let today = reconcile(report, bench.unwrap_or(&nothing), None);
        Water {
            head: DocumentHead::of(DocumentKind::Water, &report.attached),
            name: report.name.clone(),
            sampled: report.sampled.map(|day| day.to_string()),
            age_days: report.age_days,
            temperature_c: report.temperature_c,
            entries: report.entries.iter().map(WaterEntry::of).collect(),
            derived: DerivedFigures {
                balance: WaterBalance {
                    cations_meq_per_l: tidy(meq_per_l(balance.cations_eq_per_kg)),
                    anions_meq_per_l: tidy(meq_per_l(balance.anions_eq_per_kg)),
                    charge_balance_error_percent: tidy(balance.error_percent()),
                    is_acceptable: balance.is_acceptable(),
                },
                hardness_mg_l_caco3: tidy(mg_per_l_caco3(derived.hardness_eq_per_kg)),
                residual_alkalinity_mg_l_caco3: tidy(mg_per_l_caco3(
                    derived.residual_alkalinity_eq_per_kg,
                )),
                calculated_tds_mg_per_l: tidy(derived.calculated_tds_mg_per_l),
                residue_on_evaporation_mg_per_l: tidy(derived.residue_on_evaporation_mg_per_l),
                conductivity_25c_us_per_cm: derived.conductivity_25c_us_per_cm.map(tidy),
            },
            findings: findings(report),
            mistakes: WaterMistake::all(report),
            bench: bench.map(WaterBench::of),
            reconciliation_error: today.as_ref().err().map(in_words),
            reconciled: today
                .ok()
                .map(|today| Reconciliation::of(report, bench.unwrap_or(&nothing), &today)),
        }
    }
}
