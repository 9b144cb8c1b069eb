//! Who holds protons at a pH: carbonate, the other weak acids, water. Written for mash and fit, which ask at a pH that is given
//! and want what holds per mole, so that a balance is a straight line in the amounts.
//!
//! The constants and activity coefficients are the solver's own, at a temperature and an ionic strength that the caller freezes.
//! Pairs with metals are left out: at the pH of a mash they hold next to no protons.

use underlet_tables::parameters;

use super::constants::Constants;
use super::species::{CARRIERS, LIGANDS_ONLY, SPECIES};
use crate::ion::{Composition, Ion};
use crate::liquor::Liquor;
use crate::math::{self, LN_10};

/// Most species of one acid family that differ in protons alone.
const MOST_SPECIES: usize = 4;
/// Places of carbonate and phosphate among the ligands.
const CARBONATE: usize = 1;
const PHOSPHATE: usize = 4;

/// The species of an acid family: ln of molality per activity of its bare anion, protons on it, and the charge it holds.
#[derive(Clone, Copy, Debug, Default)]
struct Family {
    count: usize,
    ln_formation: [f64; MOST_SPECIES],
    protons: [f64; MOST_SPECIES],
    held: [f64; MOST_SPECIES],
}

impl Family {
    /// Mean and mean square of the charge that a mole holds at ln of the activity of hydrogen.
    fn moments(&self, ln_hydrogen: f64) -> (f64, f64) {
        let (mut sum, mut mean, mut square) = (0.0, 0.0, 0.0);
        // Counted from the bare anion, whose charge is the largest.
        for place in 0..self.count {
            let amount = math::exp(self.ln_formation[place] + self.protons[place] * ln_hydrogen);
            sum += amount;
            mean += amount * self.held[place];
            square += amount * self.held[place] * self.held[place];
        }
        if sum > 0.0 {
            (mean / sum, square / sum)
        } else {
            (0.0, 0.0)
        }
    }
}

/// How carbonate, weak acids and water hold protons at a temperature and an ionic strength.
#[derive(Clone, Debug)]
pub struct Acidity {
    carbonate: Family,
    /// By component; empty for a strong ion, whose charge is in the alkalinity.
    acids: [Family; Ion::COUNT],
    /// Molality of hydroxide times activity of hydrogen, and molality of hydrogen per activity.
    hydroxide: f64,
    hydrogen: f64,
}

impl Acidity {
    /// At a temperature, °C, and an ionic strength, mol/kg.
    pub fn at(temperature_c: f64, ionic_strength_mol_per_kg: f64) -> Acidity {
        let constants = Constants::at(temperature_c);
        let root = math::at_least(ionic_strength_mol_per_kg, f64::MIN_POSITIVE).sqrt();
        let family = |species: std::ops::Range<usize>, own: i8, charge_apart: f64| {
            let mut family = Family::default();
            for index in species {
                let [protons, rest @ ..] = SPECIES[index].ligands;
                if rest.iter().sum::<i8>() != own || family.count == MOST_SPECIES {
                    continue;
                }
                let place = family.count;
                family.ln_formation[place] = constants.ln_formation(index, root);
                family.protons[place] = f64::from(protons);
                family.held[place] = charge_apart - f64::from(SPECIES[index].charge);
                family.count += 1;
            }
            family
        };
        let mut acids = [Family::default(); Ion::COUNT];
        for carrier in CARRIERS.iter().filter(|carrier| carrier.protonates) {
            acids[carrier.ion as usize] = family(carrier.species(), 0, carrier.ion.charge());
        }
        acids[Ion::Phosphate as usize] = family(LIGANDS_ONLY[PHOSPHATE].species(), 1, 0.0);
        let [hydrogen, hydroxide] = [0, 1].map(|place| {
            let index = LIGANDS_ONLY[0].species().start + place;
            math::exp(constants.ln_formation(index, root))
        });
        Acidity {
            carbonate: family(LIGANDS_ONLY[CARBONATE].species(), 1, 0.0),
            acids,
            hydroxide,
            hydrogen,
        }
    }

    /// Charge that a mole of inorganic carbon holds at a pH.
    pub fn per_carbon(&self, ph: f64) -> f64 {
        self.carbonate.moments(-LN_10 * ph).0
    }

    /// Slope of [`Self::per_carbon`] per pH.
    pub fn per_carbon_slope(&self, ph: f64) -> f64 {
        let (mean, square) = self.carbonate.moments(-LN_10 * ph);
        LN_10 * (square - mean * mean)
    }

    /// Charge that a mole of a weak acid holds at a pH: the protons it has given away. Zero for a strong ion.
    pub fn per_acid(&self, ion: Ion, ph: f64) -> f64 {
        self.acids[ion as usize].moments(-LN_10 * ph).0
    }

    /// Charge that all weak acids of a composition hold at a pH, in the composition's own basis.
    pub fn of_acids(&self, ions: &Composition, ph: f64) -> f64 {
        self.present(ions)
            .map(|(family, amount)| amount * family.moments(-LN_10 * ph).0)
            .sum()
    }

    /// Slope of [`Self::of_acids`] per pH.
    pub fn of_acids_slope(&self, ions: &Composition, ph: f64) -> f64 {
        self.present(ions)
            .map(|(family, amount)| {
                let (mean, square) = family.moments(-LN_10 * ph);
                amount * LN_10 * (square - mean * mean)
            })
            .sum()
    }

    /// Hydroxide less hydrogen at a pH, eq/kg.
    pub fn of_water(&self, ph: f64) -> f64 {
        let activity = math::pow10(-ph);
        self.hydroxide / activity - self.hydrogen * activity
    }

    fn present(&self, ions: &Composition) -> impl Iterator<Item = (&Family, f64)> {
        let amounts: [f64; Ion::COUNT] = Ion::ALL.map(|ion| ions.get(ion));
        self.acids
            .iter()
            .zip(amounts)
            .filter(|(family, amount)| family.count > 0 && *amount != 0.0)
    }
}

/// Alkalinity as a burette reads it, eq/kg: acid taken down to the usual end point, pH 4.5 (Standard Methods 2320).
/// Weak acids already in the liquor hold part of their protons there, so they lower the reading.
pub fn titrated_alkalinity_eq_per_kg(liquor: &Liquor) -> f64 {
    let acidity = Acidity::at(
        parameters::SAMPLE_TEMPERATURE.value,
        liquor.ionic_strength_mol_per_kg(),
    );
    titrated(&acidity, liquor.alkalinity_eq_per_kg, &liquor.ions)
}

/// The same of an alkalinity and a composition at a frozen ionic strength: linear in both.
pub(crate) fn titrated(acidity: &Acidity, alkalinity_eq: f64, ions: &Composition) -> f64 {
    alkalinity_eq - acidity.of_acids(ions, parameters::ALKALINITY_ENDPOINT_PH.value)
}
