//! Exact derivatives of a solved equilibrium, by the implicit function theorem.
//!
//! What the solver makes zero is written once more as *forms*: how a balance changes with the
//! unknowns, with temperature, and with the totals that are present. The freedoms of the problem
//! are unknowns too and move those totals. A result is a form as well; one transposed solve with
//! the matrix of the balances turns it into its [`Gradient`].

mod amounts;
mod factors;
mod form;

use underlet_tables::parameters;

use super::conditions::{Condition, FREEDOMS, Freedom};
use super::conductivity::{self, ConductivitySlopes};
use super::equilibrium::Aqueous;
use super::saturation::Mineral;
use super::species::{
    BALANCES, CARBON_DIOXIDE, CARBONATE, FLUORIDE, HYDROGEN, LINES, PHOSPHATE, SPECIES, STRENGTH,
    SULFATE, UNPAIRED,
};
use super::state::Equilibrium;
use crate::component::{Component, Composition};
use crate::liquor::Dose;
use crate::math::LN_10;
use amounts::Amounts;
use factors::Factors;
use form::{ALKALINITY, BALANCED, CARBON, Form, IONS, KELVIN, STILL, WATER};

/// Rows of the balances and of the conditions of the freedoms.
const ROWS: usize = BALANCED + FREEDOMS;

/// How a result changes with the given values: each other value fixed, and what the problem
/// leaves free following.
#[derive(Clone, Copy, Debug, PartialEq)]
#[non_exhaustive]
pub struct Gradient {
    /// Per mol/kg of each ion in the given liquor; one-sided where there is none of
    /// it.
    pub per_ion: Composition,
    /// Per eq/kg of its alkalinity; zero where that follows from a pH.
    pub per_alkalinity: f64,
    /// Per mol/kg of its inorganic carbon; zero where that follows from a pH or a partial
    /// pressure.
    pub per_carbon: f64,
    /// Per kelvin.
    pub per_kelvin: f64,
    /// Per unit of the given pH; zero where none is given.
    pub per_ph: f64,
    /// Per unit of the given log10 of the partial pressure of carbon dioxide; zero where none is
    /// given.
    pub per_log10_pco2: f64,
}

/// Exact derivatives at an equilibrium, from [`Aqueous::sensitivities`]. Amounts are per kg of
/// water, temperature in K.
///
/// With minerals precipitated, the ones that form are held to go on forming, and the others to stay
/// away.
#[derive(Clone, Debug)]
pub struct Sensitivities<'a> {
    state: &'a Equilibrium,
    amounts: Amounts,
    /// The balances and conditions, as many as the problem has.
    rows: [Form; ROWS],
    factors: Factors<ROWS>,
}

impl Aqueous {
    /// Exact derivatives at an equilibrium of this temperature. `None` for one of another
    /// temperature, and where two conditions of the problem say the same.
    ///
    /// ```
    /// use underlet::aqueous::Aqueous;
    /// use underlet::liquor::Liquor;
    ///
    /// let liquor = Liquor { alkalinity_eq_per_kg: 0.005, carbon_mol_per_kg: 0.0052, ..Liquor::default() };
    /// let aqueous = Aqueous::at(20.0);
    /// let state = aqueous.closed(&liquor)?;
    /// let ph = aqueous.sensitivities(&state).expect("the state is of this temperature").ph();
    /// assert!(ph.per_alkalinity > 0.0 && ph.per_carbon < 0.0);
    /// # Ok::<(), underlet::aqueous::EquilibriumError>(())
    /// ```
    pub fn sensitivities<'a>(&self, state: &'a Equilibrium) -> Option<Sensitivities<'a>> {
        if state.liquor.temperature_c.to_bits() != self.temperature_c.to_bits() {
            return None;
        }
        let amounts = Amounts::of(self, state);
        let mut rows = [STILL; ROWS];
        let mut count = BALANCED;
        rows[..BALANCED].copy_from_slice(&balances(state, &amounts));
        for freedom in state.freedoms.iter().flatten() {
            rows[count] = match freedom.condition {
                Condition::Ph(_) => ln_hydrogen(),
                Condition::Log10Pco2(_) => amounts.ln_pco2(),
                Condition::Saturation(mineral, _) => amounts.ln_saturation(mineral)?,
            };
            count += 1;
        }
        let mut matrix = [[0.0; ROWS]; ROWS];
        for (line, row) in matrix.iter_mut().zip(&rows[..count]) {
            *line = by_unknowns(row, &state.freedoms);
        }
        Some(Sensitivities {
            state,
            amounts,
            rows,
            factors: Factors::of(matrix, count)?,
        })
    }
}

impl Sensitivities<'_> {
    /// Of the pH.
    pub fn ph(&self) -> Gradient {
        self.gradient(&scaled(ln_hydrogen(), -1.0 / LN_10))
    }

    /// Of the ionic strength, mol/kg.
    pub fn ionic_strength_mol_per_kg(&self) -> Gradient {
        self.gradient(&at(STRENGTH))
    }

    /// Of a mineral's saturation index; none where one of its ions is absent.
    pub fn saturation_index(&self, mineral: Mineral) -> Option<Gradient> {
        let form = self.amounts.ln_saturation(mineral)?;
        Some(self.gradient(&scaled(form, 1.0 / LN_10)))
    }

    /// Of log10 of the partial pressure of carbon dioxide, atm; none without carbon.
    pub fn log10_pco2(&self) -> Option<Gradient> {
        let there = self.state.log10_pco2.is_finite();
        there.then(|| self.gradient(&scaled(self.amounts.ln_pco2(), 1.0 / LN_10)))
    }

    /// Of the alkalinity that is there, eq/kg: as given, or as what moved made it.
    pub fn alkalinity_eq_per_kg(&self) -> Gradient {
        self.gradient(&at(ALKALINITY))
    }

    /// Of the inorganic carbon that is there, mol/kg: as given, or as what moved made it.
    pub fn carbon_mol_per_kg(&self) -> Gradient {
        self.gradient(&at(CARBON))
    }

    /// Of the dose that a pH needs; for a given pH without a dose, of the carbon or
    /// alkalinity that followed.
    pub fn dose(&self) -> Option<Gradient> {
        self.moved(|condition| matches!(condition, Condition::Ph(_)))
    }

    /// Of the amount of a mineral that precipitates, mol/kg; none where it does not form.
    pub fn precipitated(&self, mineral: Mineral) -> Option<Gradient> {
        self.moved(
            |condition| matches!(condition, Condition::Saturation(forming, _) if forming == mineral),
        )
    }

    /// Of the conductivity at the liquor's temperature, µS/cm.
    pub fn conductivity_us_per_cm(&self) -> Gradient {
        self.conductivity(&conductivity::at_own_temperature(self.state))
    }

    /// Of the conductivity referred to 25 °C, µS/cm.
    pub fn conductivity_25c_us_per_cm(&self) -> Gradient {
        self.conductivity(&conductivity::at_25c(self.state))
    }

    fn conductivity(&self, sensitivities: &ConductivitySlopes) -> Gradient {
        let mut form = self.amounts.held(
            |index| sensitivities.molality[index],
            &sensitivities.unpaired,
        );
        form[STRENGTH] += sensitivities.strength;
        form[KELVIN] += sensitivities.kelvin;
        self.gradient(&form)
    }

    /// Gradient of the extent of the freedom with such a condition.
    fn moved(&self, is_meant: impl Fn(Condition) -> bool) -> Option<Gradient> {
        let freedoms = self.state.freedoms.iter().flatten();
        let place = freedoms
            .into_iter()
            .position(|freedom| is_meant(freedom.condition))?;
        let mut unknowns = [0.0; ROWS];
        unknowns[BALANCED + place] = 1.0;
        Some(self.followed(STILL, unknowns))
    }

    fn gradient(&self, form: &Form) -> Gradient {
        self.followed(*form, by_unknowns(form, &self.state.freedoms))
    }

    /// What is left of a form once the unknowns follow.
    fn followed(&self, mut form: Form, by_unknowns: [f64; ROWS]) -> Gradient {
        let weights = self.factors.solve_transposed(by_unknowns);
        for (row, weight) in self.rows.iter().zip(weights) {
            for (value, own) in form.iter_mut().zip(row) {
                *value -= weight * own;
            }
        }
        let mut gradient = Gradient {
            per_ion: Composition::ZERO,
            per_alkalinity: form[ALKALINITY],
            per_carbon: form[CARBON],
            per_kelvin: form[KELVIN],
            per_ph: 0.0,
            per_log10_pco2: 0.0,
        };
        for ion in Component::ALL {
            gradient.per_ion.set(ion, form[IONS + ion as usize]);
        }
        let conditions = self.state.freedoms.iter().flatten();
        for (freedom, weight) in conditions.zip(&weights[BALANCED..]) {
            match freedom.condition {
                Condition::Ph(_) => gradient.per_ph -= LN_10 * weight,
                Condition::Log10Pco2(_) => gradient.per_log10_pco2 += LN_10 * weight,
                Condition::Saturation(..) => {}
            }
        }
        gradient
    }
}

/// The balances: what the species hold, less what is present.
fn balances(state: &Equilibrium, amounts: &Amounts) -> [Form; BALANCED] {
    let nothing = [0.0; UNPAIRED.len()];
    let mut rows = [STILL; BALANCED];
    for (balance, present) in [
        (HYDROGEN, ALKALINITY),
        (CARBONATE, CARBON),
        (SULFATE, IONS + Component::Sulfate as usize),
        (FLUORIDE, IONS + Component::Fluoride as usize),
        (PHOSPHATE, IONS + Component::Phosphate as usize),
    ] {
        rows[balance] = amounts.held(|index| LINES[index].weights[balance], &nothing);
        rows[balance][present] -= 1.0;
    }
    rows[STRENGTH] = amounts.held(
        |index| LINES[index].weights[STRENGTH],
        &UNPAIRED.map(|(_, charge)| charge * charge / 2.0),
    );
    rows[STRENGTH][STRENGTH] -= 1.0;
    // The activity of water is one less so much per mole dissolved.
    let dissolved = amounts.held(|_| 1.0, &[1.0; UNPAIRED.len()]);
    rows[WATER] = scaled(
        dissolved,
        parameters::WATER_ACTIVITY_LOWERING.value / state.water_activity,
    );
    rows[WATER][WATER] += 1.0;
    rows
}

/// A form by the unknowns of the system: its own, and the extents of the freedoms, which move what
/// is present.
fn by_unknowns(form: &Form, freedoms: &[Option<Freedom>; FREEDOMS]) -> [f64; ROWS] {
    let mut row = [0.0; ROWS];
    row[..BALANCED].copy_from_slice(&form[..BALANCED]);
    for (value, freedom) in row[BALANCED..].iter_mut().zip(freedoms.iter().flatten()) {
        *value = moved_by(form, &freedom.moves);
    }
    row
}

/// How a form changes with the extent of a dose.
fn moved_by(form: &Form, dose: &Dose) -> f64 {
    let ions: f64 = dose
        .ions
        .iter()
        .map(|(ion, amount)| form[IONS + ion as usize] * amount)
        .sum();
    ions + form[ALKALINITY] * dose.alkalinity_eq + form[CARBON] * dose.carbon_mol
}

fn at(place: usize) -> Form {
    let mut form = STILL;
    form[place] = 1.0;
    form
}

fn ln_hydrogen() -> Form {
    at(HYDROGEN)
}

fn scaled(form: Form, factor: f64) -> Form {
    form.map(|value| value * factor)
}

impl Amounts {
    /// ln of the partial pressure of carbon dioxide.
    fn ln_pco2(&self) -> Form {
        let mut form = STILL;
        form[..BALANCES].copy_from_slice(&LINES[CARBON_DIOXIDE].sensitivities);
        form[WATER] = f64::from(SPECIES[CARBON_DIOXIDE].water);
        form[KELVIN] = self.kelvin.ln_k(SPECIES[CARBON_DIOXIDE].constants) - self.kelvin.ln_henry();
        form
    }

    /// ln of a mineral's ion activity product over its constant; none where one of its ions is
    /// absent.
    fn ln_saturation(&self, mineral: Mineral) -> Option<Form> {
        let (metal, counts, water) = mineral.made_of();
        if (0..BALANCES).any(|balance| counts[balance] != 0.0 && !self.is_there[balance]) {
            return None;
        }
        let mut form = self.ln_activity(metal)?;
        for (value, count) in form.iter_mut().zip(counts) {
            *value += count;
        }
        form[WATER] += water;
        form[KELVIN] -= self.kelvin.ln_k(mineral.constants());
        Some(form)
    }
}
