//! Liquor titrated with an acid or a base: closed, and at 20 °C as a cooled sample is read.

use underlet_tables::parameters;

use super::{Aqueous, EquilibriumError};
use crate::liquor::Liquor;
use crate::reagent::Preparation;

/// Less of a dose is rounding, g or mL per kg of water.
const ROUNDING: f64 = 1e-9;

/// A step of a titration.
#[derive(Clone, Copy, Debug, PartialEq)]
#[non_exhaustive]
pub struct TitrationPoint {
    /// Added so far, g or mL per kg of water.
    pub amount_per_kg: f64,
    /// pH at 20 °C.
    pub ph: f64,
}

/// How much brings a liquor to a pH, g or mL per kg of water.
pub(crate) fn dose_to_ph(
    liquor: &Liquor,
    preparation: &Preparation,
    ph: f64,
) -> Result<f64, EquilibriumError> {
    let dose = preparation.dose_per_unit();
    let aqueous = Aqueous::at(parameters::SAMPLE_TEMPERATURE.value);
    let (_, amount) = aqueous.dosed_to_ph(liquor, &dose, ph, None)?;
    if amount < -ROUNDING || !amount.is_finite() {
        return Err(EquilibriumError::OutOfReach { ph });
    }
    Ok(amount.max(0.0))
}

/// The pH after each amount, g or mL per kg of water.
pub(crate) fn titrate(
    liquor: &Liquor,
    preparation: &Preparation,
    amounts_per_kg: &[f64],
) -> Result<Vec<TitrationPoint>, EquilibriumError> {
    let dose = preparation.dose_per_unit();
    let aqueous = Aqueous::at(parameters::SAMPLE_TEMPERATURE.value);
    let point = |&amount_per_kg: &f64| {
        if !amount_per_kg.is_finite() || amount_per_kg < 0.0 {
            return Err(EquilibriumError::NotAnAmount);
        }
        let ph = aqueous.closed(&liquor.dosed(&dose, amount_per_kg))?.ph;
        Ok(TitrationPoint { amount_per_kg, ph })
    };
    amounts_per_kg.iter().map(point).collect()
}
