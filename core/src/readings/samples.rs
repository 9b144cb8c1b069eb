//! What samples of liquor show, each equilibrium computed once: most causes leave most
//! liquors as they are, and liquors that are dosed alike differ in their carbon dioxide alone.

use underlet_tables::parameters;

use super::scenario::LiquorSample;
use crate::aqueous::{Aqueous, EquilibriumError};
use crate::liquor::Liquor;
use crate::math;

/// A bench where samples are cooled and read.
pub(crate) struct Samples {
    pub(crate) aqueous: Aqueous,
    log10_air: f64,
    /// pH and conductivity of liquors as they are.
    shown: Vec<(Liquor, [f64; 2])>,
    /// Carbon that is left in equilibrium with air, mol/kg.
    left: Vec<(Liquor, f64)>,
}

impl Samples {
    pub fn new() -> Samples {
        Samples {
            aqueous: Aqueous::at(parameters::SAMPLE_TEMPERATURE.value),
            log10_air: math::log10(parameters::AIR_CO2_PRESSURE.value),
            shown: Vec::new(),
            left: Vec::new(),
        }
    }

    /// pH and conductivity of every sample.
    pub fn all(&mut self, liquors: &[LiquorSample]) -> Result<Vec<[f64; 2]>, EquilibriumError> {
        let liquors = liquors.iter();
        liquors
            .map(|one| self.shown(&one.liquor, one.share_kept))
            .collect()
    }

    /// pH and conductivity of a liquor that has kept a share of its carbon dioxide beyond air's.
    pub fn shown(&mut self, liquor: &Liquor, kept: f64) -> Result<[f64; 2], EquilibriumError> {
        let mut sample = *liquor;
        if kept < 1.0 {
            let least = self.carbon_left(liquor)?;
            sample.carbon_mol_per_kg = least + kept * (liquor.carbon_mol_per_kg - least);
        }
        if let Some(known) = known(&self.shown, &sample) {
            return Ok(known);
        }
        let state = self.aqueous.closed(&sample)?;
        let shown = [state.ph, state.conductivity_25c_us_per_cm()];
        self.shown.push((sample, shown));
        Ok(shown)
    }

    /// A liquor that holds less than air gives takes nothing up in the time of a brew.
    pub fn carbon_left(&mut self, liquor: &Liquor) -> Result<f64, EquilibriumError> {
        if let Some(known) = known(&self.left, liquor) {
            return Ok(known);
        }
        let open = self.aqueous.open(liquor, self.log10_air)?.liquor;
        let left = open.carbon_mol_per_kg.min(liquor.carbon_mol_per_kg);
        self.left.push((*liquor, left));
        Ok(left)
    }

    /// The same of pure water, mol/kg: the carbon dioxide that air dissolves.
    pub fn carbon_left_in_water(&mut self) -> Result<f64, EquilibriumError> {
        let open = self.aqueous.open(&Liquor::default(), self.log10_air)?;
        Ok(open.liquor.carbon_mol_per_kg)
    }
}

/// What was found for a liquor before.
fn known<T: Copy>(found: &[(Liquor, T)], liquor: &Liquor) -> Option<T> {
    let same = found.iter().rev().find(|(other, _)| other == liquor);
    same.map(|(_, found)| *found)
}
