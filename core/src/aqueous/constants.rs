//! Everything that depends on temperature alone: constants of formation, coefficients of activity.

use underlet_tables::{equilibria, parameters};

use super::activity::DebyeHueckel;
use super::saturation::Mineral;
use super::species::{
    CARRIERS, CLASSES, COMMON, COMMON_CARRIERS, COUNT, Constant, LIGANDS_ONLY, LINES, SPECIES,
    STANDS_FOR,
};
use super::temperature::Temperature;
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

    /// Truesdell-Jones where the species has a row, Davies where a charged one has none, 0.1 I for the uncharged.
    fn of(species: usize, slopes: &DebyeHueckel) -> Gamma {
        let species = &SPECIES[species];
        let charge = f64::from(species.charge);
        let a = LN_10 * slopes.a * charge * charge;
        match species.activity {
            Some(row) => Gamma {
                a,
                b: slopes.b * row.ion_size_angstrom,
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

/// Constants at one temperature.
#[derive(Clone, Debug)]
pub(super) struct Constants {
    /// ln K of formation of each species from ligands and carrier.
    pub ln_k: [f64; COUNT],
    /// K itself, of the species of common water; 0 for the others, which are rarely asked for.
    pub k: [f64; COUNT],
    pub gamma: [Gamma; CLASSES],
    pub ln_k_mineral: [f64; Mineral::ALL.len()],
    /// ln of dissolved carbon dioxide's activity per atm.
    pub ln_k_henry: f64,
}

/// How many ligands: hydrogen, carbonate, sulfate.
const COMMON_LIGANDS: usize = 3;

impl Constants {
    /// ln of a species' molality per product of activities, at the root of an ionic strength.
    pub fn ln_formation(&self, species: usize, root: f64) -> f64 {
        self.ln_k[species] - self.gamma[LINES[species].class].ln_and_slope(root).0
    }

    /// Slope of ln of a species' activity coefficient to ionic strength, at the root of an ionic strength.
    pub fn ln_gamma_slope(&self, species: usize, root: f64) -> f64 {
        self.gamma[LINES[species].class].ln_and_slope(root).1
    }

    /// Constants at a temperature, °C.
    pub fn at(celsius: f64) -> Constants {
        let temperature = Temperature::at(celsius);
        let slopes = DebyeHueckel::at(celsius);
        let mut constants = Constants {
            ln_k: [0.0; COUNT],
            k: [0.0; COUNT],
            gamma: [Gamma::default(); CLASSES],
            ln_k_mineral: [0.0; Mineral::ALL.len()],
            ln_k_henry: LN_10 * temperature.log_k(&equilibria::CO2_GAS),
        };
        for (ln_k, species) in constants.ln_k.iter_mut().zip(&SPECIES) {
            *ln_k = ln_product(species.constants, &temperature);
        }
        for (ln_k, mineral) in constants.ln_k_mineral.iter_mut().zip(Mineral::ALL) {
            *ln_k = ln_product(mineral.constants(), &temperature);
        }
        for (gamma, species) in constants.gamma.iter_mut().zip(STANDS_FOR) {
            *gamma = Gamma::of(species, &slopes);
        }
        let ligands = LIGANDS_ONLY[..COMMON_LIGANDS]
            .iter()
            .flat_map(|group| group.species());
        let carried = CARRIERS[..COMMON_CARRIERS]
            .iter()
            .flat_map(|carrier| carrier.species_among(COMMON));
        for index in ligands.chain(carried) {
            constants.k[index] = math::exp(constants.ln_k[index]);
        }
        constants
    }
}

fn ln_product(constants: &[Constant], temperature: &Temperature) -> f64 {
    let mut log10 = 0.0;
    for constant in constants {
        log10 += match *constant {
            Constant::Row(row, times) => times * temperature.log_k(row),
            Constant::Proton(row, times) => times * temperature.pk(row),
        };
    }
    LN_10 * log10
}
