//! Everything that depends on temperature alone: constants of formation, activity coefficients' slopes.

use underlet_tables::{ACID_STEPS, ACTIVITIES, Equilibrium, equilibria, parameters};

use super::activity::DebyeHueckel;
use super::species::{Constant, Mineral, SPECIES, Species};
use super::{log_k, pk};
use crate::math::LN_10;

const SPECIES_COUNT: usize = SPECIES.len();

/// `ln γ = -a √I / (1 + b √I) + c I` of one species.
#[derive(Clone, Copy, Debug, Default)]
pub(super) struct Gamma {
    pub a: f64,
    pub b: f64,
    pub c: f64,
}

impl Gamma {
    /// ln γ at a root of ionic strength.
    pub fn ln(self, root: f64) -> f64 {
        -self.a * root / (1.0 + self.b * root) + self.c * root * root
    }

    /// ln γ and its slope to ionic strength.
    pub fn ln_and_slope(self, root: f64) -> (f64, f64) {
        let inverse = 1.0 / (1.0 + self.b * root);
        let part = self.a * inverse;
        (self.c * root * root - part * root, self.c - part * inverse / (2.0 * root))
    }

    /// Truesdell-Jones where the species has a row, Davies where a charged one has none, 0.1 I for the uncharged.
    fn of(name: &str, charge: i8, slopes: &DebyeHueckel) -> Gamma {
        let square = f64::from(charge) * f64::from(charge);
        let a = LN_10 * slopes.a * square;
        if let Some(row) = ACTIVITIES.iter().find(|row| row.species == name) {
            return Gamma { a, b: slopes.b * row.ion_size_angstrom, c: LN_10 * row.b };
        }
        if charge == 0 {
            return Gamma { a: 0.0, b: 0.0, c: LN_10 * parameters::NEUTRAL_ACTIVITY_SLOPE.value };
        }
        Gamma { a, b: 1.0, c: a * parameters::DAVIES_LINEAR_TERM.value }
    }
}

/// Constants at one temperature.
#[derive(Clone, Debug)]
pub(super) struct Constants {
    /// ln K of formation of each species from masters.
    pub ln_k: [f64; SPECIES_COUNT],
    /// Activity coefficient of each species.
    pub gamma: [Gamma; SPECIES_COUNT],
    /// Activity coefficients of ions that form no pairs are not needed; their charges are.
    pub ln_k_mineral: [f64; Mineral::ALL.len()],
    /// ln of dissolved carbon dioxide's activity per atm.
    pub ln_k_henry: f64,
}

impl Constants {
    /// Constants at a temperature, °C.
    pub fn at(temperature_c: f64) -> Constants {
        let slopes = DebyeHueckel::at(temperature_c, 0.0);
        let ln = |constants: &[Constant]| -> f64 {
            constants.iter().map(|constant| LN_10 * constant.log10(temperature_c)).sum()
        };
        let each = |species: &Species| ln(species.constants);
        let mut ln_k = [0.0; SPECIES_COUNT];
        let mut gamma = [Gamma::default(); SPECIES_COUNT];
        for (index, species) in SPECIES.iter().enumerate() {
            ln_k[index] = each(species);
            gamma[index] = Gamma::of(species.name, species.charge, &slopes);
        }
        let mut ln_k_mineral = [0.0; Mineral::ALL.len()];
        for (slot, mineral) in ln_k_mineral.iter_mut().zip(Mineral::ALL) {
            *slot = ln(mineral.constants());
        }
        let ln_k_henry = LN_10 * log_k(&equilibria::CO2_GAS, temperature_c);
        Constants { ln_k, gamma, ln_k_mineral, ln_k_henry }
    }
}

impl Constant {
    fn log10(&self, temperature_c: f64) -> f64 {
        match *self {
            Constant::Row(row, times) => times * row_log10(row, temperature_c),
            Constant::Protons(family, from, times) => {
                let steps = ACID_STEPS.iter().filter(|row| row.component == family.key() && row.step >= from);
                times * steps.map(|row| pk(row, temperature_c)).sum::<f64>()
            }
        }
    }
}

fn row_log10(row: &Equilibrium, temperature_c: f64) -> f64 {
    log_k(row, temperature_c)
}
