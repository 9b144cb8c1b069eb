//! Acid families: how many protons a mole has given away at a pH.

use underlet_tables::{ACID_STEPS, AcidStep, parameters};

use super::{kelvin, van_t_hoff};
use crate::ion::{Composition, Ion};
use crate::math;

/// Most protons an acid of the table gives.
const MOST_STEPS: usize = 3;

/// Dissociation constants of every acid family at one temperature.
///
/// Coarse: thermodynamic constants without activity coefficients, so a degree of dissociation is off by up to 2 % at
/// the ionic strength of a mash.
#[derive(Clone, Debug, PartialEq)]
pub struct WeakAcids {
    /// `K` of each step, mol/kg, by component; 0 where there is no further step.
    constants: [[f64; MOST_STEPS]; Ion::COUNT],
}

impl WeakAcids {
    /// Constants at a temperature, from the table.
    pub fn at(temperature_c: f64) -> WeakAcids {
        let mut constants = [[0.0; MOST_STEPS]; Ion::COUNT];
        for row in ACID_STEPS {
            let step = usize::from(row.step).saturating_sub(1);
            if let Some(constant) =
                Ion::from_key(row.component).and_then(|ion| constants[ion as usize].get_mut(step))
            {
                *constant = math::pow10(-pk(row, temperature_c));
            }
        }
        WeakAcids { constants }
    }

    /// Protons that a mole has given away at a hydrogen activity: its mean negative charge. Zero for a strong ion,
    /// whose protons are counted in the alkalinity.
    pub fn protons_given(&self, ion: Ion, hydrogen: f64) -> f64 {
        self.charge_moments(ion, hydrogen).0
    }

    /// Protons given by all weak acids of a composition, eq in the composition's own basis.
    pub fn protons_given_by(&self, ions: &Composition, hydrogen: f64) -> f64 {
        weak(ions)
            .map(|(ion, amount)| amount * self.charge_moments(ion, hydrogen).0)
            .sum()
    }

    /// Slope of [`Self::protons_given_by`] per pH.
    pub fn protons_given_slope_by(&self, ions: &Composition, hydrogen: f64) -> f64 {
        weak(ions)
            .map(|(ion, amount)| {
                let (mean, square) = self.charge_moments(ion, hydrogen);
                amount * math::LN_10 * (square - mean * mean)
            })
            .sum()
    }

    /// Mean and mean square of the negative charge of a mole.
    fn charge_moments(&self, ion: Ion, hydrogen: f64) -> (f64, f64) {
        let (mut term, mut sum, mut mean, mut square) = (1.0, 1.0, 0.0, 0.0);
        let mut charge = 0.0;
        for constant in self.constants[ion as usize] {
            charge += 1.0;
            term *= constant / hydrogen;
            sum += term;
            mean += charge * term;
            square += charge * charge * term;
        }
        (mean / sum, square / sum)
    }
}

/// The weak acids present in a composition.
fn weak(ions: &Composition) -> impl Iterator<Item = (Ion, f64)> + '_ {
    ions.iter()
        .filter(|(ion, amount)| ion.is_weak_acid() && *amount != 0.0)
}

/// pK of a step at a temperature: Harned-Robinson form where given (0 to 50 °C), else enthalpy and heat capacity.
pub(super) fn pk(row: &AcidStep, temperature_c: f64) -> f64 {
    let kelvin = kelvin(temperature_c);
    if let Some([a1, a2, a3]) = row.harned_robinson {
        return a1 / kelvin - a2 + a3 * kelvin;
    }
    let enthalpy_j = row.delta_h_kj_per_mol.unwrap_or(0.0) * 1000.0;
    row.pka_25c - van_t_hoff(enthalpy_j, row.delta_cp_j_per_mol_k.unwrap_or(0.0), kelvin)
}

/// The temperature at which mash and wort samples are read, °C.
pub(crate) fn sample_temperature_c() -> f64 {
    parameters::SAMPLE_TEMPERATURE.value
}
