//! Everything that depends on temperature alone: constants of formation, coefficients of activity.

use std::sync::LazyLock;

use underlet_tables::{equilibria, parameters};

use super::activity::DebyeHueckel;
use super::saturation::Mineral;
use super::species::{CLASSES, COUNT, Constant, LINES, REPRESENTATIVES, SPECIES};
use super::temperature::{FUNCTIONS, Temperature, coefficients, step_coefficients};
use crate::math::{self, LN_10};

/// `ln γ = c I - a √I / (1 + b √I)` of a class of species.
#[derive(Clone, Copy, Debug, Default)]
pub(super) struct Gamma {
    a: f64,
    b: f64,
    c: f64,
}

impl Gamma {
    /// ln γ and its slope to ionic strength, at the root of the ionic strength.
    pub fn ln_and_slope(self, root: f64) -> (f64, f64) {
        let inverse = 1.0 / (1.0 + self.b * root);
        let part = self.a * inverse;
        (
            self.c * root * root - part * root,
            self.c - part * inverse / (2.0 * root),
        )
    }

    /// Truesdell-Jones where the species has a row, Davies where a charged one has none, 0.1 I for
    /// the uncharged.
    fn of(species: usize, sensitivities: &DebyeHueckel) -> Gamma {
        let species = &SPECIES[species];
        let charge = f64::from(species.charge);
        let a = LN_10 * sensitivities.a * charge * charge;
        match species.activity {
            Some(row) => Gamma {
                a,
                b: sensitivities.b * row.ion_size_angstrom,
                c: LN_10 * row.b,
            },
            None if species.charge == 0 => Gamma {
                c: LN_10 * parameters::NEUTRAL_ACTIVITY_SLOPE.value,
                ..Gamma::default()
            },
            None => Gamma {
                a,
                b: 1.0,
                c: a * parameters::DAVIES_LINEAR_TERM.value,
            },
        }
    }
}

impl Gamma {
    /// How a class changes with the sensitivities of water.
    pub fn change(species: usize, sensitivities: &DebyeHueckel) -> Gamma {
        let species = &SPECIES[species];
        let charge = f64::from(species.charge);
        let a = LN_10 * sensitivities.a * charge * charge;
        match species.activity {
            Some(row) => Gamma {
                a,
                b: sensitivities.b * row.ion_size_angstrom,
                c: 0.0,
            },
            None => Gamma {
                a,
                b: 0.0,
                c: a * parameters::DAVIES_LINEAR_TERM.value,
            },
        }
    }

    /// What a change of the class changes in ln γ, at the root of the ionic strength.
    pub fn ln_changed_by(self, change: Gamma, root: f64) -> f64 {
        let part = root / (1.0 + self.b * root);
        change.c * root * root - change.a * part + self.a * change.b * part * part
    }
}

const MINERALS: usize = Mineral::ALL.len();
/// All constants there are: of the species, of the minerals, and Henry's of carbon dioxide.
const ROWS: usize = COUNT + MINERALS + 1;

/// Coefficients of every ln K: of each function of temperature, all constants in a row.
static COEFFICIENTS: LazyLock<[[f64; ROWS]; FUNCTIONS]> = LazyLock::new(|| {
    let species = SPECIES.iter().map(|species| species.constants);
    let minerals = Mineral::ALL.into_iter().map(Mineral::constants);
    let henry: &[Constant] = &[Constant::Row(&equilibria::CO2_GAS, 1.0)];
    let mut table = [[0.0; ROWS]; FUNCTIONS];
    for (row, factors) in species.chain(minerals).chain([henry]).enumerate() {
        for factor in factors {
            let (parts, times) = match factor {
                Constant::Row(row, times) => (coefficients(row), times),
                Constant::Proton(step, times) => (step_coefficients(step), times),
            };
            for (of_function, part) in table.iter_mut().zip(parts) {
                of_function[row] += LN_10 * times * part;
            }
        }
    }
    table
});

/// Constants at one temperature.
#[derive(Clone, Debug)]
pub(super) struct Constants {
    /// ln K of formation of each species from ligands and carrier.
    pub ln_k: [f64; COUNT],
    /// K itself.
    pub k: [f64; COUNT],
    pub gamma: [Gamma; CLASSES],
    pub ln_k_mineral: [f64; MINERALS],
    /// ln of dissolved carbon dioxide's activity per atm.
    pub ln_k_henry: f64,
}

impl Constants {
    /// ln of a species' molality per product of activities, at the root of an ionic strength.
    pub fn ln_formation(&self, species: usize, root: f64) -> f64 {
        self.ln_k[species] - self.gamma[LINES[species].class].ln_and_slope(root).0
    }

    /// Slope of ln of a species' activity coefficient to ionic strength, at the root of an ionic
    /// strength.
    pub fn ln_gamma_slope(&self, species: usize, root: f64) -> f64 {
        self.gamma[LINES[species].class].ln_and_slope(root).1
    }

    /// Constants at a temperature, °C.
    pub fn at(celsius: f64) -> Constants {
        let functions = Temperature::at(celsius).functions();
        let mut ln_k_all = [0.0; ROWS];
        for (coefficients, function) in COEFFICIENTS.iter().zip(functions) {
            for (ln_k, coefficient) in ln_k_all.iter_mut().zip(coefficients) {
                *ln_k += coefficient * function;
            }
        }
        let sensitivities = DebyeHueckel::at(celsius);
        let mut constants = Constants {
            ln_k: [0.0; COUNT],
            k: [0.0; COUNT],
            gamma: [Gamma::default(); CLASSES],
            ln_k_mineral: [0.0; MINERALS],
            ln_k_henry: ln_k_all[ROWS - 1],
        };
        constants.ln_k.copy_from_slice(&ln_k_all[..COUNT]);
        constants
            .ln_k_mineral
            .copy_from_slice(&ln_k_all[COUNT..COUNT + MINERALS]);
        constants.k = constants.ln_k;
        math::exp_each(&mut constants.k);
        for (gamma, species) in constants.gamma.iter_mut().zip(REPRESENTATIVES) {
            *gamma = Gamma::of(species, &sensitivities);
        }
        constants
    }
}
