//! Natural waters with their conductivity measured at 20 °C, as a table: ions in mg/L under their
//! symbols, `pH`, and `ec20_measured_uS_cm`. Whatever else a column holds is left.
//!
//! A measured water does not balance to the last ion, so single rows are reported and the median of
//! the errors is judged. `hco3` is read as bicarbonate: a water that states none and is sour has a
//! negative alkalinity, and no carbon.

use underlet::aqueous::{Aqueous, Equilibrium, EquilibriumError};
use underlet::component::{Component, Composition};
use underlet::liquor::Liquor;
use underlet::quantity::{HCO3_G_PER_EQ, WATER_KG_PER_L_20C};

use super::score::{Score, Tolerance, Verdict};
use super::table::{Cells, rows};
use super::{Fault, Outcome};
use crate::waters::CO3_G_PER_EQ;

const MEASURED: &str = "ec20_measured_uS_cm";
const TEMPERATURE_C: f64 = 20.0;
/// Largest median of the errors, per cent.
const MEDIAN_PERCENT: f64 = 3.0;

/// Waters that conduct no more than this are what is brewed with, µS/cm: they are reported apart.
const FRESH_US_PER_CM: f64 = 5000.0;

/// Compares every row.
pub fn compare_all(csv: &str) -> Result<Score, String> {
    let (table, mut score) = rows(csv, &["pH", "hco3", MEASURED])?;
    let (mut errors, mut fresh) = (Vec::new(), Vec::new());
    for (place, cells) in &table {
        score.references += 1;
        let reported = cells.number(MEASURED).map_err(Fault::Unreadable);
        match reported.and_then(|measured| Ok((measured, state(cells)?))) {
            Ok((measured, state)) => {
                let answer = state.conductivity_us_per_cm();
                score.compare(
                    place,
                    "conductivity at 20 °C",
                    answer,
                    measured,
                    Tolerance::Told,
                );
                let error = 100.0 * (answer / measured - 1.0);
                errors.push(error.abs());
                if measured < FRESH_US_PER_CM {
                    fresh.push(error);
                }
            }
            Err(fault) => score.fault(place, fault),
        }
    }
    if let Some(median) = median(&mut errors) {
        score.verdicts.push(Verdict {
            words: format!("median error {median:.2} %, at most {MEDIAN_PERCENT} %"),
            holds: median <= MEDIAN_PERCENT,
        });
    }
    if let Some(bias) = median(&mut fresh.clone()) {
        let mut sizes: Vec<f64> = fresh.iter().map(|error| error.abs()).collect();
        let size = median(&mut sizes).unwrap_or_default();
        score.verdicts.push(Verdict {
            words: format!(
                "below {FRESH_US_PER_CM} µS/cm: {} waters, median error {size:.2} %, bias \
                 {bias:+.2} % (reported)",
                fresh.len()
            ),
            holds: true,
        });
    }
    Ok(score)
}

/// The water of a row. Without bicarbonate, or where its pH leaves no room for it, it has no carbon.
fn state(cells: &Cells) -> Outcome<Equilibrium> {
    let mut ions = Composition::ZERO;
    for ion in Component::ALL {
        let column = ion.symbol().to_lowercase();
        if cells.has(&column) {
            ions.set(ion, ion.mol_per_kg(cells.amount(&column)?));
        }
    }
    let carbonate = if cells.has("co3") {
        cells.amount("co3")?
    } else {
        0.0
    };
    let eq_per_l = (cells.amount("hco3")? / HCO3_G_PER_EQ + carbonate / CO3_G_PER_EQ) / 1000.0;
    let liquor = Liquor {
        ions,
        alkalinity_eq_per_kg: eq_per_l / WATER_KG_PER_L_20C,
        temperature_c: TEMPERATURE_C,
        ..Liquor::default()
    };
    let ph = cells.number("pH")?;
    let aqueous = Aqueous::at(TEMPERATURE_C);
    if eq_per_l <= 0.0 {
        return Ok(aqueous.with_ph_and_carbon(&liquor, ph)?);
    }
    match aqueous.with_ph(&liquor, ph) {
        Err(EquilibriumError::AlkalinityAgainstPh { .. }) => {
            Ok(aqueous.with_ph_and_carbon(&liquor, ph)?)
        }
        other => Ok(other?),
    }
}

fn median(errors: &mut [f64]) -> Option<f64> {
    errors.sort_by(f64::total_cmp);
    let middle = errors.len() / 2;
    let upper = *errors.get(middle)?;
    Some(if errors.len() % 2 == 1 {
        upper
    } else {
        f64::midpoint(errors[middle - 1], upper)
    })
}
