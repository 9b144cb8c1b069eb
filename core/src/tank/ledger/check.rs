//! What tank, supplies, heel and lines can be, each by itself.

use underlet_tables::Reagent;

use super::{Contents, Heel, Supply, Tank, Work, fields};
use crate::checker::Checker;
use crate::error::{ErrorCode, Problem};
use crate::quantity;
use crate::recipe::{ShelfReagent, Vessel};
use crate::treatment::Rates;

impl Tank {
    pub(crate) fn examine(&self, of: &mut Checker) {
        of.text("name", &self.name);
        of.field(fields::CAPACITY, self.capacity_l);
        of.field(fields::DEAD_VOLUME, self.dead_l);
        let rates = in_order(&self.rates)
            .into_iter()
            .zip(in_order(&self.rates_sd));
        of.inside("rates", |of| {
            for ([rate, sd], (value, value_sd)) in fields::RATES.into_iter().zip(rates) {
                of.optional_field(rate, value);
                of.optional_field(sd, value_sd);
            }
        });
    }
}

/// In the order of their keys.
fn in_order(rates: &Rates) -> [Option<f64>; Rates::KEYS.len()] {
    [
        Some(rates.scale_area_cm2_per_l),
        rates.film_mm,
        Some(rates.evaporation_per_hour),
    ]
}

impl Supply {
    pub(crate) fn examine(&self, of: &mut Checker) {
        of.text("name", &self.name);
        self.liquor.examine(of);
        self.chlorine.examine(of);
        let moved = self.components.iter().flat_map(|moved| {
            let ions = moved.ions.iter().map(|(_, mol)| mol);
            ions.chain([moved.alkalinity_eq, moved.carbon_mol])
        });
        of.all_finite("components", moved, &quantity::COVARIANCE);
    }
}

impl Heel {
    pub(crate) fn examine(&self, of: &mut Checker) {
        let state = self.state();
        of.quantity("water_kg", state.water_kg, &quantity::WATER_MASS);
        of.quantity("temperature_c", state.temperature_c, &quantity::TEMPERATURE);
        if of.problems().is_empty() {
            of.inside("liquor", |of| state.liquor().examine(of));
        }
        for (key, number) in figures(state) {
            of.quantity(key, number, &quantity::HEEL_NUMBER);
        }
        let perturbed = self.perturbed().iter().flat_map(|one| {
            let state = &one.state;
            let figures = figures(state).into_iter().map(|(_, number)| number);
            figures.chain([state.water_kg, state.temperature_c])
        });
        of.all_finite("perturbations", perturbed, &quantity::HEEL_NUMBER);
    }
}

/// What is in the tank beside its liquor, and what has left it.
fn figures(state: &Contents) -> [(&'static str, f64); 4] {
    [
        ("scale_g", state.scale_g()),
        ("carbon_dioxide_g", state.carbon_dioxide_mol),
        ("steam_kg", state.steam_kg),
        ("free_chlorine_g", state.chlorine.total_mol_per_kg()),
    ]
}

impl Work {
    pub(crate) fn examine(&self, of: &mut Checker) {
        match *self {
            Work::Fill { volume_l, .. } | Work::Draw { volume_l, .. } => {
                of.field(fields::VOLUME, volume_l);
            }
            Work::Recover {
                volume_l,
                temperature_c,
                ..
            } => {
                of.field(fields::VOLUME, volume_l);
                of.field(fields::TEMPERATURE, temperature_c);
            }
            Work::Dose {
                preparation,
                amount,
            } => {
                preparation.examine(of);
                of.field(fields::AMOUNT, amount);
            }
            Work::Heat { to_c, hours } => {
                of.field(fields::TEMPERATURE, to_c);
                of.field(fields::DURATION, hours);
            }
            Work::Hold { hours } => of.field(fields::DURATION, hours),
        }
    }
}

/// Whether a reagent can go into a tank.
///
/// # Errors
/// A [`Problem`] with an empty path.
pub(crate) fn suits_tank(reagent: &Reagent) -> Result<(), Problem> {
    if ShelfReagent::suits(reagent, Vessel::HotLiquorTank) {
        return Ok(());
    }
    Err(Problem {
        code: ErrorCode::Contradiction,
        path: String::new(),
        found: reagent.key.to_owned(),
        expected: "what goes into a tank: zinc is for the kettle".to_owned(),
        hint: "Leave this line out.".to_owned(),
    })
}
