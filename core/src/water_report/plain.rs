//! The plain reading of a report: each figure taken at its word, without errors, without weighing
//! one against another. What today's water is, with error bars, is for reconciling; this is the
//! liquor of findings, of every source and of every builder.

use underlet_tables::parameters;

use super::entry::WaterReport;
use super::subject::Subject;
use crate::aqueous::{Aqueous, EquilibriumError, titrated_alkalinity_eq_per_kg};
use crate::checker::Checker;
use crate::component::{Component, Composition};
use crate::error::{ErrorCode, InputError, Problem};
use crate::liquor::{Liquor, assumed_ph};
use crate::math;
use crate::quantity::{self, HCO3_G_PER_EQ, WATER_KG_PER_L_20C};

const CALCIUM: Subject = Subject::Component(Component::Calcium);
const MAGNESIUM: Subject = Subject::Component(Component::Magnesium);

/// The report as a liquor; see [`WaterReport::liquor`].
pub(crate) fn liquor(report: &WaterReport) -> Result<Liquor, InputError> {
    let mut checker = Checker::new();
    examine(report, &mut checker);
    checker.at("", checked_alkalinity(report));
    if checker.problems().is_empty() {
        checker.at("", checked_carbon(report));
    }
    checker.into_value(Some(plain_liquor(report)))
}

/// The same of a report that may contradict itself: none where no alkalinity is stated, and as much
/// carbon as alkalinity where the pH contradicts it.
pub(super) fn plain_liquor(report: &WaterReport) -> Liquor {
    let liquor = without_carbon(report);
    Liquor {
        carbon_mol_per_kg: carbon_mol_per_kg(&liquor, stated_or_assumed_ph(report))
            .unwrap_or(math::at_least(liquor.alkalinity_eq_per_kg, 0.0)),
        ..liquor
    }
}

/// Ions, temperature, and the alkalinity that a titration with the stated result leaves room for.
pub(crate) fn without_carbon(report: &WaterReport) -> Liquor {
    let bare = Liquor {
        ions: ions(report),
        temperature_c: report
            .temperature_c
            .unwrap_or(parameters::SAMPLE_TEMPERATURE.value),
        ..Liquor::default()
    };
    // Without alkalinity a burette reads what the weak acids hold, as a negative number.
    let held = titrated_alkalinity_eq_per_kg(&bare);
    Liquor {
        alkalinity_eq_per_kg: stated_alkalinity(report).unwrap_or(0.0) - held,
        ..bare
    }
}

fn stated_or_assumed_ph(report: &WaterReport) -> f64 {
    report.middle(Subject::Ph).unwrap_or_else(assumed_ph)
}

/// Checks every figure, under its key.
fn examine(report: &WaterReport, of: &mut Checker) {
    of.optional("temperature", report.temperature_c, &quantity::TEMPERATURE);
    for entry in &report.entries {
        let subject = entry.subject;
        let middle = entry.figure.middle() / subject.scale();
        of.concentration(
            subject.key(),
            middle,
            subject.quantity(),
            &subject.substance(),
        );
    }
}

/// Alkalinity as stated, or bicarbonate in its place, eq/kg.
///
/// # Errors
/// A [`Problem`] at its key where there is neither, or the two do not agree.
pub(crate) fn checked_alkalinity(report: &WaterReport) -> Result<f64, Problem> {
    match (
        report.middle(Subject::Alkalinity),
        alkalinity_of_carbonates(report),
    ) {
        (None, None) => Err(Problem {
            code: ErrorCode::MissingKey,
            path: "alkalinity".to_owned(),
            found: "nothing".to_owned(),
            expected: quantity::ALKALINITY.expectation(),
            hint: "Write \"alkalinity\": \"180 mg/L as CaCO3\", or give \"bicarbonate\"."
                .to_owned(),
        }),
        (Some(alkalinity), Some(bicarbonate))
            if (alkalinity - bicarbonate).abs()
                > parameters::ALKALINITY_AGREEMENT.value * alkalinity.max(bicarbonate) =>
        {
            Err(Problem {
                code: ErrorCode::Contradiction,
                path: "bicarbonate".to_owned(),
                found: format!(
                    "bicarbonate worth {} beside an alkalinity of {}",
                    quantity::ALKALINITY.write(bicarbonate),
                    quantity::ALKALINITY.write(alkalinity)
                ),
                expected: "two values that agree".to_owned(),
                hint: "Give the one that was measured; one of them may be stated on the other's \
                       basis."
                    .to_owned(),
            })
        }
        (Some(alkalinity), _) | (None, Some(alkalinity)) => Ok(alkalinity),
    }
}

/// Carbon by alkalinity and pH, mol/kg.
///
/// # Errors
/// A [`Problem`] at `ph` where water of that pH cannot carry that alkalinity.
fn checked_carbon(report: &WaterReport) -> Result<f64, Problem> {
    let ph = stated_or_assumed_ph(report);
    carbon_mol_per_kg(&without_carbon(report), ph).ok_or_else(|| Problem {
        code: ErrorCode::Contradiction,
        path: "ph".to_owned(),
        found: format!(
            "pH {ph} beside an alkalinity of {}",
            quantity::ALKALINITY.write(stated_alkalinity(report).unwrap_or(0.0))
        ),
        expected: "a pH at which water can carry this alkalinity".to_owned(),
        hint: "Check both values: acid water carries little alkalinity, and a high pH alone makes \
               some."
            .to_owned(),
    })
}

/// Ions and weak acids, hardness split into calcium and magnesium.
fn ions(report: &WaterReport) -> Composition {
    let mut ions = Composition::ZERO;
    for entry in &report.entries {
        if let Subject::Component(ion) = entry.subject {
            ions.set(ion, entry.figure.middle());
        }
    }
    let stated = [CALCIUM, MAGNESIUM].map(|subject| report.middle(subject));
    if let Some(hardness) = report.middle(Subject::Hardness) {
        // Both are divalent: half of the equivalents.
        let both = hardness / 2.0;
        let (calcium, magnesium) = match stated {
            [Some(calcium), None] => (calcium, math::at_least(both - calcium, 0.0)),
            [None, Some(magnesium)] => (math::at_least(both - magnesium, 0.0), magnesium),
            [None, None] => {
                let calcium = both * parameters::CALCIUM_SHARE_OF_HARDNESS.value;
                (calcium, both - calcium)
            }
            [Some(calcium), Some(magnesium)] => (calcium, magnesium),
        };
        ions.set(Component::Calcium, calcium);
        ions.set(Component::Magnesium, magnesium);
    }
    ions
}

/// Alkalinity as stated, or what bicarbonate and carbonate make, eq/kg.
pub(crate) fn stated_alkalinity(report: &WaterReport) -> Option<f64> {
    let stated = report.middle(Subject::Alkalinity);
    stated.or_else(|| alkalinity_of_carbonates(report))
}

/// What bicarbonate and carbonate make, eq/kg.
fn alkalinity_of_carbonates(report: &WaterReport) -> Option<f64> {
    let carbonate = report.middle(Subject::Carbonate).unwrap_or(0.0);
    Some(report.middle(Subject::Bicarbonate)? + 2.0 * carbonate)
}

/// What the ions add up to, once as they are dissolved and once as they are left on drying, mg/L.
pub(super) fn calculated_tds_mg_per_l(report: &WaterReport, liquor: &Liquor) -> [f64; 2] {
    let ions: f64 = liquor
        .ions
        .iter()
        .map(|(ion, amount)| ion.mg_per_l(amount))
        .sum();
    let bicarbonate =
        stated_alkalinity(report).unwrap_or(0.0) * HCO3_G_PER_EQ * 1000.0 * WATER_KG_PER_L_20C;
    let kept = parameters::BICARBONATE_KEPT_ON_DRYING.value;
    [ions + bicarbonate, ions + bicarbonate * kept]
}

/// Inorganic carbon of a report's alkalinity and pH, mol/kg; nothing where the two contradict each
/// other: the pH alone makes more alkalinity than there is, or the carbon dioxide would need more
/// than an atmosphere.
pub(crate) fn carbon_mol_per_kg(liquor: &Liquor, ph: f64) -> Option<f64> {
    let aqueous = Aqueous::at(liquor.temperature_c);
    match aqueous.with_ph(liquor, ph) {
        Ok(water) => (water.log10_pco2 <= 0.0).then_some(water.liquor.carbon_mol_per_kg),
        // Rounded reports of nearly pure water may miss by a little: then there is no carbon to
        // speak of.
        Err(EquilibriumError::AlkalinityAgainstPh { .. }) => {
            let rounding = parameters::ALKALINITY_ROUNDING.value / 1000.0;
            let roomier = Liquor {
                alkalinity_eq_per_kg: liquor.alkalinity_eq_per_kg + rounding,
                ..*liquor
            };
            aqueous.with_ph(&roomier, ph).ok().map(|_| 0.0)
        }
        Err(_) => None,
    }
}

/// What an alkalinity is made of, by its titration to phenolphthalein and to methyl orange, eq/kg
/// (Standard Methods 2320, table of alkalinity relationships).
#[derive(Clone, Copy, Debug, PartialEq)]
#[non_exhaustive]
pub struct AlkalinityParts {
    /// Hydroxide.
    pub hydroxide_eq_per_kg: f64,
    /// Carbonate, two equivalents a mole.
    pub carbonate_eq_per_kg: f64,
    /// Bicarbonate.
    pub bicarbonate_eq_per_kg: f64,
}

impl AlkalinityParts {
    /// From phenolphthalein and total alkalinity, eq/kg; nothing where the first is the larger or
    /// one is negative.
    pub fn of(phenolphthalein_eq_per_kg: f64, total_eq_per_kg: f64) -> Option<AlkalinityParts> {
        let (p, t) = (phenolphthalein_eq_per_kg, total_eq_per_kg);
        if !(0.0..=t).contains(&p) {
            return None;
        }
        // Hydroxide and half of the carbonate are titrated to phenolphthalein; beyond half of the
        // total there is hydroxide.
        let excess = math::at_least(2.0 * p - t, 0.0);
        let carbonate = 2.0 * (p - excess);
        Some(AlkalinityParts {
            hydroxide_eq_per_kg: excess,
            carbonate_eq_per_kg: carbonate,
            bicarbonate_eq_per_kg: t - excess - carbonate,
        })
    }
}

/// eq/kg of water in meq/L at 20 °C.
pub(super) fn meq_per_l(eq_per_kg: f64) -> f64 {
    eq_per_kg * 1000.0 * WATER_KG_PER_L_20C
}
