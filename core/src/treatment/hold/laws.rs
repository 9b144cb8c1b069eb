//! The rate laws at one moment.

use underlet_tables::{equilibria, parameters};

use super::holding::{calcite_removed, of_water};
use super::rates::Rates;
use crate::aqueous::{
    Aqueous, Equilibrium, EquilibriumError, Mineral, air_log10_pco2, log_k, water_viscosity_upa_s,
};
use crate::liquor::Liquor;
use crate::math;

/// Seconds in an hour.
const SECONDS: f64 = 3600.0;
/// Millimetres in a metre, millimoles in a mole, µPa s in a mPa s.
const MILLI: f64 = 1000.0;

/// Calcite down and carbon dioxide gone, mol per kg of water at the start, and the negative
/// logarithm of the share of the water that is left.
pub(super) type Moved = [f64; 3];

/// The liquor, less what moved.
pub(super) fn less(start: &Liquor, [calcite, gas, steam]: Moved) -> Liquor {
    let mut now = start.dosed(&calcite_removed(), calcite);
    now.carbon_mol_per_kg -= gas;
    of_water(&now, math::exp(-steam))
}

/// What the laws need of a temperature.
pub(super) struct Laws {
    aqueous: Aqueous,
    /// Factors of H⁺, CO₂ and H₂O in the rate of calcite, mol per h and kg of water.
    calcite: [f64; 3],
    /// Share of the dissolved carbon dioxide that leaves in an hour.
    gas: f64,
    /// log10 of Henry's constant of carbon dioxide.
    log10_henry: f64,
    /// Share of the water that leaves in an hour.
    steam: f64,
}

impl Laws {
    pub fn at(celsius: f64, rates: &Rates) -> Laws {
        use parameters as p;
        let kelvin = celsius + p::ICE_POINT.value;
        let diffusion = p::CARBON_DIOXIDE_DIFFUSION.value * kelvin / p::DIFFUSION_TEMPERATURE.value
            * p::DIFFUSION_VISCOSITY.value
            / (water_viscosity_upa_s(celsius) / MILLI);
        let film = |film_mm: f64| p::TANK_SURFACE.value * diffusion / (film_mm / MILLI);
        let reference = p::HOT_REFERENCE_TEMPERATURE.value + p::ICE_POINT.value;
        let warmer = 1.0 / reference - 1.0 / kelvin;
        let steam = rates.evaporation_per_hour
            * math::exp(MILLI * p::EVAPORATION_ENERGY.value / p::GAS_CONSTANT.value * warmer);
        Laws {
            aqueous: Aqueous::at(celsius),
            calcite: calcite_factors(kelvin)
                .map(|factor| rates.scale_area_cm2_per_l * factor * SECONDS / MILLI),
            gas: rates.film_mm.map_or(0.0, film) * SECONDS,
            log10_henry: log_k(&equilibria::CO2_GAS, celsius),
            steam: rates.film_mm.map_or(0.0, |_| steam),
        }
    }

    /// # Errors
    /// [`EquilibriumError`] where the liquor has no equilibrium.
    pub fn equilibrium(&self, liquor: &Liquor) -> Result<Equilibrium, EquilibriumError> {
        self.aqueous.closed(liquor)
    }

    /// What moves in an hour while scale forms or while it does not, of water of which so much has
    /// left as steam. Where scale forms, the law holds on below saturation, so that it is smooth
    /// there.
    pub fn rates(&self, state: &Equilibrium, steam: f64, forms: bool) -> Moved {
        let water_share = math::exp(-steam);
        let calcite = if forms {
            self.calcite_factor(state) * (ratio(state) - 1.0)
        } else {
            0.0
        };
        let gas = self.gas_mol_per_kg(state, state.log10_pco2)
            - self.gas_mol_per_kg(state, air_log10_pco2());
        [
            water_share * calcite,
            water_share * self.gas * gas,
            self.steam,
        ]
    }

    fn calcite_factor(&self, state: &Equilibrium) -> f64 {
        let [hydrogen, gas, water] = self.calcite;
        hydrogen * math::pow10(-state.ph)
            + gas * math::pow10(state.log10_pco2 + self.log10_henry)
            + water * state.water_activity
    }

    /// Dissolved carbon dioxide in balance with a partial pressure.
    fn gas_mol_per_kg(&self, state: &Equilibrium, log10_pco2: f64) -> f64 {
        let log10_activity_coefficient =
            parameters::NEUTRAL_ACTIVITY_SLOPE.value * state.ionic_strength_mol_per_kg;
        math::pow10(log10_pco2 + self.log10_henry - log10_activity_coefficient)
    }
}

/// The temperature at which the two branches of the law of calcite meet, close to 25 °C.
pub(super) fn corner_c() -> f64 {
    use parameters as p;
    let slope = p::CALCITE_WATER_COLD_B.value - p::CALCITE_WATER_WARM_B.value;
    let constant = p::CALCITE_WATER_WARM_A.value - p::CALCITE_WATER_COLD_A.value;
    slope / constant - p::ICE_POINT.value
}

/// Factors of the activities of H⁺, CO₂ and H₂O, mmol per cm² and s. That of water has two
/// branches.
fn calcite_factors(kelvin: f64) -> [f64; 3] {
    use parameters as p;
    let factor = |[constant, slope]: [&underlet_tables::Parameter; 2]| {
        math::pow10(constant.value + slope.value / kelvin)
    };
    let cold = factor([&p::CALCITE_WATER_COLD_A, &p::CALCITE_WATER_COLD_B]);
    let warm = factor([&p::CALCITE_WATER_WARM_A, &p::CALCITE_WATER_WARM_B]);
    [
        factor([&p::CALCITE_ACID_A, &p::CALCITE_ACID_B]),
        factor([&p::CALCITE_GAS_A, &p::CALCITE_GAS_B]),
        math::at_least(cold, warm),
    ]
}

fn exponent() -> f64 {
    parameters::CALCITE_SATURATION_EXPONENT.value
}

/// The saturation ratio of calcite to the power of the law.
fn ratio(state: &Equilibrium) -> f64 {
    math::pow10(exponent() * state.saturation_index(Mineral::Calcite))
}
