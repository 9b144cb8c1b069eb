//! What is stated of a water: a water report, a source of a brew day or of a fit, a supply of
//! a tank and an equilibrium input take the same keys, in the same notations, with the same
//! meaning.

use super::ObjectReader;
use super::writer::ObjectWriter;
use crate::aqueous::{Aqueous, titrated_alkalinity_eq_per_kg};
use crate::checker::Field;
use crate::error::{ErrorCode, InputError, Problem};
use crate::liquor::Liquor;
use crate::quantity;
use crate::recipe::check::fields;
use crate::water_report::{Subject, WaterReport};

/// What the keys are for that are not plain ions; an ion's key explains itself.
const DESCRIPTIONS: [(&str, &str); 10] = [
    (
        "bicarbonate",
        "Bicarbonate; in place of an alkalinity, or beside it: then both must agree.",
    ),
    ("carbonate", "Carbonate, beside bicarbonate."),
    (
        "alkalinity",
        "Total alkalinity (m value, to pH 4.5 or methyl orange), or carbonate hardness.",
    ),
    (
        "phenolphthalein_alkalinity",
        "Alkalinity to pH 8.3 (p value, to phenolphthalein). It checks the others.",
    ),
    (
        "hardness",
        "Total hardness. Calcium and magnesium follow from it where they are not stated.",
    ),
    (
        "dissolved_solids",
        "Dissolved solids or dry residue. They check the ions.",
    ),
    (
        "conductivity",
        "Electrical conductivity at 25 °C, or at 20 °C where the unit says so. It checks the ions.",
    ),
    ("ph", "pH of the sample, at its temperature."),
    ("free_chlorine", "Free chlorine, as Cl2."),
    (
        "total_chlorine",
        "Total chlorine, chloramines among it, as Cl2.",
    ),
];

/// What decides alkalinity and carbon of a water.
const DECISIVE: [Subject; 4] = [
    Subject::Alkalinity,
    Subject::Bicarbonate,
    Subject::Carbonate,
    Subject::Ph,
];

/// Reads the temperature and every figure that is stated; the report has no name yet.
pub(super) fn figures(of: &mut ObjectReader<'_>) -> WaterReport {
    of.describe(
        "temperature",
        "Temperature of the sample; 20 °C where it is left out.",
    );
    let temperature_c = of.optional_quantity("temperature", &quantity::TEMPERATURE);
    for (key, text) in DESCRIPTIONS {
        of.describe(key, text);
    }
    WaterReport {
        temperature_c,
        entries: Subject::all()
            .filter_map(|subject| of.optional_entry(subject))
            .collect(),
        ..WaterReport::default()
    }
}

/// Notes the problems of what was made of these figures. Figures that decide the water and could
/// not be read have problems of their own, and nothing is made of the others.
pub(super) fn made<T>(
    of: &mut ObjectReader<'_>,
    figures: &WaterReport,
    make: impl FnOnce(&WaterReport) -> Result<T, InputError>,
) -> Option<T> {
    let is_unread = |subject: Subject| of.has(subject.key()) && figures.entry(subject).is_none();
    if DECISIVE.into_iter().any(is_unread) {
        return None;
    }
    let made = make(figures);
    made.map_err(|error| {
        for problem in error.problems {
            of.checked::<()>("", Err(problem));
        }
    })
    .ok()
}

/// The figures that a report of this liquor would state: its ions, its alkalinity as a burette
/// reads it, and its pH unless that was assumed.
///
/// # Errors
/// A [`Problem`] where the liquor has no equilibrium.
pub(super) fn write_figures(
    of: &mut ObjectWriter,
    liquor: &Liquor,
    is_ph_assumed: bool,
) -> Result<(), Problem> {
    of.field(
        Field::new("temperature", &quantity::TEMPERATURE),
        liquor.temperature_c,
    );
    for (ion, mol_per_kg) in liquor.ions.iter().filter(|(_, amount)| *amount != 0.0) {
        of.field(fields::ion(ion), mol_per_kg);
    }
    let alkalinity = titrated_alkalinity_eq_per_kg(liquor);
    of.field(fields::ALKALINITY, alkalinity);
    if is_ph_assumed {
        return Ok(());
    }
    let state = Aqueous::at(liquor.temperature_c).closed(liquor);
    let state = state.map_err(|error| Problem {
        code: ErrorCode::NoEquilibrium,
        path: "ph".to_owned(),
        found: error.to_string(),
        expected: "a water at equilibrium, whose pH a document states".to_owned(),
        hint: "Look at the alkalinity and the inorganic carbon of this water.".to_owned(),
    })?;
    of.put("ph", state.ph);
    Ok(())
}
