//! Whether a tank and a supply have figures that can be.

use super::contents::State;
use super::error::{Fault, Field};
use super::line::{Supply, Tank, amount, temperature};

pub(super) fn check_tank(tank: &Tank, state: &State) -> Result<(), Fault> {
    amount("capacity in L", tank.capacity_l)?;
    amount("dead space in L", tank.dead_l)?;
    amount("water in kg", state.water_kg)?;
    temperature(state.temperature_c)?;
    if State::exceeds(state.volume_l(), tank.capacity_l) {
        return Err(Fault::overflow(
            Field::Line,
            state.volume_l(),
            tank.capacity_l,
        ));
    }
    let sd = &tank.habits_sd;
    amount("sd of the carbon dioxide's time", sd.carbon_time_h)?;
    amount("sd of the scale's time", sd.scale_time_h)?;
    amount("sd of the scale's reach", sd.scale_reach)?;
    amount("sd of evaporation", sd.evaporation_per_hour)?;
    if tank.habits.are_possible() {
        Ok(())
    } else {
        Err(Fault::habits())
    }
}

pub(super) fn check_supply(supply: &Supply) -> Result<(), Fault> {
    amount("carbon", supply.liquor.carbon_mol_per_kg)?;
    if !supply.chlorine.is_an_amount() {
        return Err(Fault::not_an_amount(
            "chlorine",
            supply.chlorine.total_mol_per_kg(),
        ));
    }
    // Negative where mineral acid is in excess, but a number.
    amount("alkalinity", supply.liquor.alkalinity_eq_per_kg.abs())?;
    for (ion, held) in supply.liquor.ions.iter() {
        amount(ion.key(), held)?;
    }
    temperature(supply.liquor.temperature_c)
}
