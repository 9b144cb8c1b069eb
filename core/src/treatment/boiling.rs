//! Boiling off temporary hardness.

use underlet_tables::parameters;

use super::hold::{AfterHold, calcite_removed, of_water};
use crate::aqueous::{Aqueous, EquilibriumError, Mineral, air_log10_pco2};
use crate::liquor::Liquor;
use crate::math;

/// Boiled liquor with its error bar.
#[derive(Clone, Copy, Debug, PartialEq)]
#[non_exhaustive]
pub struct Boiled {
    /// What became of it.
    pub after: AfterHold,
    /// Standard deviation of the calcite that came down, mol per kg of water at the start.
    pub calcite_sd_mol: f64,
    /// Standard deviation of the alkalinity, eq/kg; that of calcium in mol/kg is half of it.
    pub alkalinity_sd_eq_per_kg: f64,
}

/// Liquor boiled at 100 °C until a share of its water is left (0 to 1, above 0). The boil strips
/// carbon dioxide down to what air holds; of the calcite on the way to equilibrium the table's
/// share comes down, which is what practice finds.
///
/// # Errors
/// [`EquilibriumError`] where the liquor has no equilibrium or the share is not one.
pub fn boiled(liquor: &Liquor, water_share: f64) -> Result<Boiled, EquilibriumError> {
    if !(water_share > 0.0 && water_share <= 1.0) {
        return Err(EquilibriumError::NotAnAmount);
    }
    let boiling = Liquor {
        temperature_c: BOILING_C,
        ..*liquor
    };
    let mut now = of_water(&boiling, water_share);
    let hot = Aqueous::at(BOILING_C);
    let calcite = [(Mineral::Calcite, 0.0)];
    let (end, down) = hot.precipitated(&now, &calcite, Some(air_log10_pco2()))?;
    let with_calcite: f64 = down.iter().sum();
    let carbon = now.carbon_mol_per_kg - end.liquor.carbon_mol_per_kg - with_calcite;
    now.carbon_mol_per_kg = math::at_least(now.carbon_mol_per_kg - carbon, 0.0);
    let (_, down) = hot.precipitated(&now, &calcite, None)?;
    let scale = parameters::SCALE_REACH.value * down.iter().sum::<f64>();
    let after = AfterHold {
        liquor: now.dosed(&calcite_removed(), scale),
        water_share,
        carbon_dioxide_mol: carbon * water_share,
        calcite_mol: scale * water_share,
    };
    // What comes down is straight in the share.
    let calcite_sd_mol =
        after.calcite_mol * parameters::SCALE_REACH.sd / parameters::SCALE_REACH.value;
    Ok(Boiled {
        after,
        calcite_sd_mol,
        alkalinity_sd_eq_per_kg: 2.0 * calcite_sd_mol / water_share,
    })
}

/// Water boils at this under an atmosphere, °C: the end of the tables.
const BOILING_C: f64 = 100.0;
