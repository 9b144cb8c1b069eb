//! Constants at a temperature.

use underlet_tables::{AcidStep, Equilibrium, parameters};

use crate::math::{self, LN_10};

/// Absolute temperature, K.
pub(super) fn kelvin(celsius: f64) -> f64 {
    celsius + parameters::ICE_POINT.value
}

/// `log10 K` of an equilibrium of the table at a temperature, °C.
pub fn log_k(row: &Equilibrium, temperature_c: f64) -> f64 {
    Temperature::at(temperature_c).log_k(row)
}

/// A temperature with the functions of it that constants are written in.
#[derive(Clone, Copy, Debug)]
pub(super) struct Temperature {
    kelvin: f64,
    inverse: f64,
    log10: f64,
    /// `1/T0 - 1/T` and `T0/T - 1 + ln(T/T0)` over ln 10 and the gas constant, T0 being 25 °C, the
    /// reference of tables.
    per_enthalpy: f64,
    per_heat_capacity: f64,
}

/// Temperature at which constants are tabulated, °C.
const TABULATED_C: f64 = 25.0;
/// One over ln 10 and the gas constant, mol K/J.
const PER_LOG: f64 = 1.0 / (LN_10 * parameters::GAS_CONSTANT.value);

/// How many functions of temperature a constant is a sum of.
pub(super) const FUNCTIONS: usize = 8;

impl Temperature {
    pub fn at(celsius: f64) -> Temperature {
        let (kelvin, tabulated) = (kelvin(celsius), kelvin(TABULATED_C));
        let inverse = 1.0 / kelvin;
        let log10 = math::log10(kelvin);
        Temperature {
            kelvin,
            inverse,
            log10,
            per_enthalpy: PER_LOG * (1.0 / tabulated - inverse),
            per_heat_capacity: PER_LOG * (tabulated * inverse - 1.0 + math::ln(kelvin / tabulated)),
        }
    }

    /// The functions that constants are sums of, in the order of their coefficients.
    pub fn functions(&self) -> [f64; FUNCTIONS] {
        [
            1.0,
            self.kelvin,
            self.inverse,
            self.log10,
            self.inverse * self.inverse,
            self.kelvin * self.kelvin,
            self.per_enthalpy,
            self.per_heat_capacity,
        ]
    }

    /// `log10 K` of an equilibrium.
    pub fn log_k(&self, row: &Equilibrium) -> f64 {
        let terms = coefficients(row).into_iter().zip(self.functions());
        terms
            .map(|(coefficient, function)| coefficient * function)
            .sum()
    }

    /// Slope of [`Self::log_k`], per K.
    pub fn log_k_per_kelvin(&self, row: &Equilibrium) -> f64 {
        if let Some([_, a2, a3, a4, a5, a6]) = row.analytic {
            return a2 - (a3 + 2.0 * a5 * self.inverse) * self.inverse * self.inverse
                + a4 * self.inverse / LN_10
                + 2.0 * a6 * self.kelvin;
        }
        row.delta_h_kj_per_mol
            .map_or(0.0, |enthalpy| self.of_enthalpy_per_kelvin(enthalpy))
    }

    /// Slope of [`Self::pk`], per K.
    pub fn pk_per_kelvin(&self, row: &AcidStep) -> f64 {
        if let Some([a1, _, a3]) = row.harned_robinson {
            return a3 - a1 * self.inverse * self.inverse;
        }
        let enthalpy = row
            .delta_h_kj_per_mol
            .map_or(0.0, |enthalpy| self.of_enthalpy_per_kelvin(enthalpy));
        let capacity = row.delta_cp_j_per_mol_k.map_or(0.0, |capacity| {
            capacity * PER_LOG * (self.inverse - kelvin(TABULATED_C) * self.inverse * self.inverse)
        });
        -enthalpy - capacity
    }

    /// What an enthalpy in kJ/mol adds to a log10 K, per K: van 't Hoff's equation.
    fn of_enthalpy_per_kelvin(&self, enthalpy: f64) -> f64 {
        enthalpy * 1000.0 * PER_LOG * self.inverse * self.inverse
    }
}

/// Coefficients of `log10 K` of an equilibrium: the analytic form where the table gives it, else
/// van 't Hoff.
pub(super) fn coefficients(row: &Equilibrium) -> [f64; FUNCTIONS] {
    if let Some([a1, a2, a3, a4, a5, a6]) = row.analytic {
        return [a1, a2, a3, a4, a5, a6, 0.0, 0.0];
    }
    let joules = 1000.0 * row.delta_h_kj_per_mol.unwrap_or(0.0);
    [row.log_k_25c, 0.0, 0.0, 0.0, 0.0, 0.0, joules, 0.0]
}

/// Coefficients of pK of a dissociation step: the Harned-Robinson form where given (0 to 50 °C),
/// else enthalpy and heat capacity.
pub(super) fn step_coefficients(row: &AcidStep) -> [f64; FUNCTIONS] {
    if let Some([a1, a2, a3]) = row.harned_robinson {
        return [-a2, a3, a1, 0.0, 0.0, 0.0, 0.0, 0.0];
    }
    let joules = 1000.0 * row.delta_h_kj_per_mol.unwrap_or(0.0);
    let capacity = row.delta_cp_j_per_mol_k.unwrap_or(0.0);
    [row.pka_25c, 0.0, 0.0, 0.0, 0.0, 0.0, -joules, -capacity]
}
