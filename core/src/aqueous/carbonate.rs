//! Carbonate equilibrium of a liquor, closed to carbon dioxide.

use underlet_tables::{activities, equilibria, parameters};

use super::{DebyeHueckel, WeakAcids, log_k};
use crate::liquor::Liquor;
use crate::math;

/// Conditional constants at a temperature and ionic strength: hydrogen as activity, all else as molality.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Carbonate {
    /// `a(H) [HCO3] / [CO2]`.
    k1: f64,
    /// `a(H) [CO3] / [HCO3]`.
    k2: f64,
    /// `a(H) [OH]`.
    kw: f64,
    /// `[CO2] / pCO2`, mol/kg per atm.
    k_henry: f64,
    /// Activity coefficient of hydrogen.
    hydrogen_gamma: f64,
}

impl Carbonate {
    /// Constants of Plummer & Busenberg 1982 with Truesdell-Jones activity coefficients.
    pub fn at(temperature_c: f64, ionic_strength_mol_per_kg: f64) -> Carbonate {
        let slopes = DebyeHueckel::at(temperature_c, ionic_strength_mol_per_kg);
        let bicarbonate = slopes.log_gamma(&activities::HCO3_MINUS);
        let carbonate = slopes.log_gamma(&activities::CO3_MINUS_2);
        let neutral = slopes.log_gamma_neutral();
        let conditional = |row, shift| math::pow10(log_k(row, temperature_c) + shift);
        Carbonate {
            k1: conditional(&equilibria::CARBONIC_1, neutral - bicarbonate),
            k2: conditional(&equilibria::CARBONIC_2, bicarbonate - carbonate),
            kw: conditional(&equilibria::WATER, -slopes.log_gamma(&activities::OH_MINUS)),
            k_henry: conditional(&equilibria::CO2_GAS, -neutral),
            hydrogen_gamma: math::pow10(slopes.log_gamma(&activities::H_PLUS)),
        }
    }

    /// Mean negative charge of a mole of inorganic carbon, `α1 + 2 α2`, at a hydrogen activity.
    pub fn charge_per_carbon(&self, hydrogen: f64) -> f64 {
        let first = self.k1 / hydrogen;
        let second = first * self.k2 / hydrogen;
        (first + 2.0 * second) / (1.0 + first + second)
    }

    /// Slope of [`Self::charge_per_carbon`] per pH.
    pub fn charge_per_carbon_slope(&self, hydrogen: f64) -> f64 {
        let first = self.k1 / hydrogen;
        let second = first * self.k2 / hydrogen;
        let sum = 1.0 + first + second;
        let mean = (first + 2.0 * second) / sum;
        math::LN_10 * ((first + 2.0 * 2.0 * second) / sum - mean * mean)
    }

    /// Charge of hydroxide less hydrogen, eq/kg.
    pub fn water_charge(&self, hydrogen: f64) -> f64 {
        self.kw / hydrogen - hydrogen / self.hydrogen_gamma
    }

    /// Inorganic carbon of a water report's alkalinity and pH, mol/kg. `None` where the two contradict each other: the
    /// pH alone makes more alkalinity than there is, or the carbon dioxide would need more than an atmosphere.
    pub fn carbon_of_report(&self, alkalinity_eq_per_kg: f64, ph: f64) -> Option<f64> {
        let hydrogen = math::pow10(-ph);
        let carbon =
            (alkalinity_eq_per_kg - self.water_charge(hydrogen)) / self.charge_per_carbon(hydrogen);
        let gas = carbon / self.carbon_per_gas(hydrogen);
        // Rounded reports of nearly pure water may miss by a little.
        let missing = -carbon * self.charge_per_carbon(hydrogen);
        (missing <= REPORT_ROUNDING_EQ_PER_KG && gas <= self.dissolved_gas(1.0))
            .then(|| math::at_least(carbon, 0.0))
    }

    /// Ionic strength once the pH is known, mol/kg: a carbonate ion counts four times, not twice as two equivalents of
    /// bicarbonate would, and hydrogen counts beside the alkalinity it takes away.
    fn ionic_strength(&self, liquor: &Liquor, carbon_mol_per_kg: f64, hydrogen: f64) -> f64 {
        let as_bicarbonate = (liquor.ions.charge_squared() + liquor.alkalinity_eq_per_kg) / 2.0;
        let second = self.k1 / hydrogen * self.k2 / hydrogen;
        let carbonate = carbon_mol_per_kg * second / self.carbon_per_gas(hydrogen);
        as_bicarbonate + carbonate + hydrogen / self.hydrogen_gamma
    }

    /// Mole of inorganic carbon for each mole of dissolved gas.
    fn carbon_per_gas(&self, hydrogen: f64) -> f64 {
        let first = self.k1 / hydrogen;
        1.0 + first + first * self.k2 / hydrogen
    }

    /// Dissolved carbon dioxide in equilibrium with a partial pressure, mol/kg.
    fn dissolved_gas(&self, partial_pressure_atm: f64) -> f64 {
        self.k_henry * partial_pressure_atm
    }
}

/// Charge that the liquor's strong ions leave over at a hydrogen activity: falls as the pH rises.
fn surplus(liquor: &Liquor, carbonate: &Carbonate, acids: &WeakAcids, hydrogen: f64) -> f64 {
    liquor.alkalinity_eq_per_kg
        - liquor.carbon_mol_per_kg * carbonate.charge_per_carbon(hydrogen)
        - carbonate.water_charge(hydrogen)
        - acids.protons_given_by(&liquor.ions, hydrogen)
}

/// pH of the liquor at its temperature when it exchanges no carbon dioxide.
pub fn closed_ph(liquor: &Liquor) -> f64 {
    settle(liquor, |_, _| liquor.carbon_mol_per_kg).0
}

/// Inorganic carbon of the liquor once it stands in equilibrium with a partial pressure of carbon dioxide, mol/kg.
/// Its alkalinity stays.
pub fn open_carbon_mol_per_kg(liquor: &Liquor, partial_pressure_atm: f64) -> f64 {
    let dissolved = |carbonate: &Carbonate, hydrogen: f64| {
        carbonate.dissolved_gas(partial_pressure_atm) * carbonate.carbon_per_gas(hydrogen)
    };
    settle(liquor, dissolved).1
}

/// pH at which the charges balance, with the inorganic carbon there. Ionic strength and pH depend on each other: the
/// strength is first estimated with the alkalinity as bicarbonate, then renewed.
fn settle(liquor: &Liquor, carbon_at: impl Fn(&Carbonate, f64) -> f64) -> (f64, f64) {
    let acids = WeakAcids::at(liquor.temperature_c);
    let mut strength = liquor.ionic_strength_mol_per_kg();
    let mut settled = (PH_FLOOR, 0.0);
    for _ in 0..IONIC_STRENGTH_ROUNDS {
        let carbonate = Carbonate::at(liquor.temperature_c, strength);
        let with_carbon = |hydrogen: f64| Liquor {
            carbon_mol_per_kg: carbon_at(&carbonate, hydrogen),
            ..*liquor
        };
        let balance = |ph: f64| {
            let hydrogen = math::pow10(-ph);
            surplus(&with_carbon(hydrogen), &carbonate, &acids, hydrogen)
        };
        let ph = math::falling_root(balance, PH_FLOOR, PH_CEILING);
        let hydrogen = math::pow10(-ph);
        let carbon = carbon_at(&carbonate, hydrogen);
        strength = carbonate.ionic_strength(liquor, carbon, hydrogen);
        settled = (ph, carbon);
    }
    settled
}

/// Alkalinity as a burette reads it, eq/kg: acid taken down to the usual end point, pH 4.5 (Standard Methods 2320).
/// Weak acids already in the liquor hold part of their protons there, so they lower the reading.
pub fn titrated_alkalinity_eq_per_kg(liquor: &Liquor) -> f64 {
    let acids = WeakAcids::at(parameters::SAMPLE_TEMPERATURE.value);
    let end_point = math::pow10(-parameters::ALKALINITY_ENDPOINT_PH.value);
    liquor.alkalinity_eq_per_kg - acids.protons_given_by(&liquor.ions, end_point)
}

/// What rounding a report can hide: 2 mg/L as CaCO3.
const REPORT_ROUNDING_EQ_PER_KG: f64 = 4.0e-5;
/// Rounds of ionic strength and pH: the third changes a buffer of 0.1 mol/kg by less than 0.001.
const IONIC_STRENGTH_ROUNDS: usize = 3;
/// Ends between which a pH is looked for.
const PH_FLOOR: f64 = 0.0;
const PH_CEILING: f64 = 14.0;
