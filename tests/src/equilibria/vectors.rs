//! A table of waters at temperatures, worked out by the reference program with several constant
//! sets; one is the engine's.

use underlet::aqueous::{Aqueous, Equilibrium, Mineral};
use underlet::component::{Component, Composition};
use underlet::liquor::Liquor;

use super::Outcome;
use super::score::{Score, Tolerance};
use super::table::{Cells, rows};

/// What the name of the engine's constant set holds.
const MODEL: &str = "suggested set";
const LOGARITHM: Tolerance = Tolerance::Absolute(0.002);
/// Amounts are given to five decimals of a mmol: half of the last one, and a little for the reading
/// of it.
const MMOL: Tolerance = Tolerance::PercentOr(0.2, 0.51e-5);
/// Ionic strength likewise, in mol.
const STRENGTH: Tolerance = Tolerance::PercentOr(0.1, 0.51e-5);

const TOTALS: [(&str, Component); 6] = [
    ("Ca_mmol_kgw", Component::Calcium),
    ("Mg", Component::Magnesium),
    ("Na", Component::Sodium),
    ("K", Component::Potassium),
    ("SO4", Component::Sulfate),
    ("Cl", Component::Chloride),
];

const SPECIES: [(&str, &str); 10] = [
    ("free_Ca", "Ca+2"),
    ("free_Mg", "Mg+2"),
    ("free_SO4", "SO4-2"),
    ("HCO3", "HCO3-"),
    ("CO3", "CO3-2"),
    ("CO2aq", "CO2"),
    ("CaHCO3", "CaHCO3+"),
    ("CaCO3aq", "CaCO3"),
    ("CaSO4aq", "CaSO4"),
    ("MgSO4aq", "MgSO4"),
];

/// Compares every row of the engine's constant set.
pub fn compare_all(csv: &str) -> Result<Score, String> {
    let columns = ["model", "case", "T_C", "alkalinity_meq_kgw", "pH"];
    let (table, mut score) = rows(csv, &columns)?;
    for (place, cells) in &table {
        if cells.text("model").contains(MODEL) {
            score.references += 1;
            if let Err(fault) = compare(&mut score, place, cells) {
                score.fault(place, fault);
            }
        }
    }
    Ok(score)
}

fn compare(score: &mut Score, row: &str, cells: &Cells) -> Outcome<()> {
    let state = state(cells)?;
    let place = format!("{row} ({}, {} °C)", cells.text("water"), cells.text("T_C"));
    let mut of = |column: &str, answer: f64, tolerance| -> Result<(), String> {
        score.compare(&place, column, answer, cells.number(column)?, tolerance);
        Ok(())
    };
    of("pH", state.ph, LOGARITHM)?;
    of("log10_pCO2_atm", state.log10_pco2, LOGARITHM)?;
    of(
        "SI_calcite",
        state.saturation_index(Mineral::Calcite),
        LOGARITHM,
    )?;
    of(
        "SI_gypsum",
        state.saturation_index(Mineral::Gypsum),
        LOGARITHM,
    )?;
    of("ionic_strength", state.ionic_strength_mol_per_kg, STRENGTH)?;
    of(
        "alk_out_meq_kgw",
        state.liquor.alkalinity_eq_per_kg * 1000.0,
        MMOL,
    )?;
    of(
        "DIC_mmol_kgw",
        state.liquor.carbon_mol_per_kg * 1000.0,
        MMOL,
    )?;
    for (column, species) in SPECIES {
        of(column, state.molality(species) * 1000.0, MMOL)?;
    }
    Ok(())
}

/// The state that the words of the column `case` ask for.
fn state(cells: &Cells) -> Outcome<Equilibrium> {
    let mut ions = Composition::ZERO;
    for (column, ion) in TOTALS {
        ions.set(ion, cells.number(column)? / 1000.0);
    }
    let temperature_c = cells.number("T_C")?;
    let liquor = Liquor {
        ions,
        alkalinity_eq_per_kg: cells.number("alkalinity_meq_kgw")? / 1000.0,
        temperature_c,
        ..Liquor::default()
    };
    let aqueous = Aqueous::at(temperature_c);
    let words = cells.text("case");
    if let Some(pressure) = number_after(words, "pCO2 =") {
        return Ok(aqueous.open(&liquor, pressure)?);
    }
    let ph = number_after(words, "measured pH")
        .ok_or_else(|| format!("case: neither a measured pH nor a pressure in \"{words}\""))?;
    match number_after(words, " at ") {
        Some(cold_c) if words.contains("heated closed") => {
            let cold = Aqueous::at(cold_c).with_ph(&liquor, ph)?;
            Ok(aqueous.closed(&cold.liquor)?)
        }
        _ => Ok(aqueous.with_ph(&liquor, ph)?),
    }
}

/// The number that follows some words.
fn number_after(text: &str, words: &str) -> Option<f64> {
    let (_, rest) = text.split_once(words)?;
    let word = rest.split_whitespace().next()?;
    word.trim_end_matches([',', ';', '.']).parse().ok()
}
