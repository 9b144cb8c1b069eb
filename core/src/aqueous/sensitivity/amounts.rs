//! How the molality of every species changes with the unknowns, with temperature, and with what is
//! present.

use super::form::{BALANCED, Form, IONS, KELVIN, STILL, WATER};
use crate::aqueous::activity::DebyeHueckel;
use crate::aqueous::constants::{Constants, Gamma};
use crate::aqueous::equilibrium::Aqueous;
use crate::aqueous::species::{
    BALANCES, CARBONATE, CARRIERS, CARRIERS_COUNT, CLASSES, COUNT, Constant, FLUORIDE, HYDROGEN,
    LIGANDS_ONLY, LINES, PHOSPHATE, REPRESENTATIVES, SPECIES, STRENGTH, SULFATE, UNPAIRED,
};
use crate::aqueous::state::Equilibrium;
use crate::aqueous::temperature::Temperature;
use crate::component::Component;
use crate::math::{self, LN_10};
use underlet_tables::equilibria;

/// The balance of each group of [`LIGANDS_ONLY`].
const BALANCE_OF: [usize; LIGANDS_ONLY.len()] = [HYDROGEN, CARBONATE, SULFATE, FLUORIDE, PHOSPHATE];

/// The part of a form that is unknowns and temperature.
type Part = [f64; KELVIN + 1];

/// Sensitivities of constants to temperature, per K.
#[derive(Clone, Debug)]
pub(super) struct PerKelvin(Temperature);

impl PerKelvin {
    /// Of ln of a product of constants.
    pub fn ln_k(&self, constants: &[Constant]) -> f64 {
        let log10: f64 = constants
            .iter()
            .map(|constant| match *constant {
                Constant::Row(row, times) => times * self.0.log_k_per_kelvin(row),
                Constant::Proton(row, times) => times * self.0.pk_per_kelvin(row),
            })
            .sum();
        LN_10 * log10
    }

    /// Of ln of dissolved carbon dioxide's activity per atm.
    pub fn ln_henry(&self) -> f64 {
        LN_10 * self.0.log_k_per_kelvin(&equilibria::CO2_GAS)
    }
}

/// Changes of the amounts. Of a ligand that is there, the unknown is ln of its activity; of one
/// that is not, a multiple of the activity itself, so that the first of it counts. A metal's
/// activity is no unknown: it follows from what is present of it.
#[derive(Clone, Debug)]
pub(super) struct Amounts {
    pub kelvin: PerKelvin,
    /// Whether there is something of each ligand.
    pub is_there: [bool; BALANCES],
    /// Of each species, its metal's activity held.
    parts: [Part; COUNT],
    /// Of each species, what it has of its metal or acid family.
    shares: [f64; COUNT],
    /// Of each metal or acid family: the sum of its parts, and what is present of it.
    taken_up: [Part; CARRIERS_COUNT],
    present: [f64; CARRIERS_COUNT],
}

impl Amounts {
    pub fn of(aqueous: &Aqueous, state: &Equilibrium) -> Amounts {
        let medium = Medium::of(&aqueous.constants, state);
        let mut amounts = Amounts {
            kelvin: PerKelvin(Temperature::at(aqueous.temperature_c)),
            is_there: medium.is_there,
            parts: [[0.0; KELVIN + 1]; COUNT],
            shares: [0.0; COUNT],
            taken_up: [[0.0; KELVIN + 1]; CARRIERS_COUNT],
            present: medium.present,
        };
        for index in 0..COUNT {
            if state.molality[index] > 0.0 {
                amounts.parts[index] = amounts.part(index, &medium);
            }
        }
        for (place, balance) in BALANCE_OF.into_iter().enumerate() {
            if !medium.is_there[balance] {
                amounts.first_of_ligand(balance, place, &medium);
            }
        }
        for (place, carrier) in CARRIERS.iter().enumerate() {
            if medium.present[place] > 0.0 {
                let per_present = 1.0 / medium.present[place];
                for index in carrier.species() {
                    amounts.shares[index] = state.molality[index] * per_present;
                    for (up, part) in amounts.taken_up[place].iter_mut().zip(amounts.parts[index]) {
                        *up += part;
                    }
                }
            } else {
                amounts.first_of_carrier(place, &medium);
            }
        }
        amounts
    }

    /// Of a species that is there.
    fn part(&self, index: usize, medium: &Medium) -> Part {
        let class = LINES[index].class;
        let mut part = [0.0; KELVIN + 1];
        part[..BALANCES].copy_from_slice(&LINES[index].sensitivities);
        part[STRENGTH] = -medium.gamma_per_strength[class];
        part[WATER] = f64::from(SPECIES[index].water);
        part[KELVIN] = self.kelvin.ln_k(SPECIES[index].constants) - medium.gamma_per_kelvin[class];
        part.map(|value| value * medium.state.molality[index])
    }

    /// What forms with the first of a ligand, relative to the most of it.
    fn first_of_ligand(&mut self, balance: usize, place: usize, medium: &Medium) {
        let carried = CARRIERS.iter().zip(medium.present);
        let species = LIGANDS_ONLY[place].species().chain(
            carried
                .filter(|(_, present)| *present > 0.0)
                .flat_map(|(carrier, _)| carrier.species()),
        );
        let once = |index: &usize| LINES[*index].sensitivities[balance] == 1.0;
        let sizes = species
            .filter(once)
            .map(|index| (index, medium.ln_size(index, balance)));
        for (index, size) in relative(sizes) {
            self.parts[index][balance] = size;
        }
    }

    /// How the first of a metal or acid family is shared out.
    fn first_of_carrier(&mut self, place: usize, medium: &Medium) {
        let sizes = CARRIERS[place]
            .species()
            .map(|index| (index, medium.ln_size(index, HYDROGEN)));
        let sizes = relative(sizes);
        let sum: f64 = sizes.iter().map(|(_, size)| size).sum();
        for (index, size) in sizes {
            self.shares[index] = size / sum;
        }
    }

    /// What species hold by such weights, with the unpaired ions by theirs.
    pub fn held(&self, weight: impl Fn(usize) -> f64, unpaired: &[f64; UNPAIRED.len()]) -> Form {
        let mut form = STILL;
        let mut add = |index: usize, weight: f64| {
            for (value, part) in form.iter_mut().zip(&self.parts[index]) {
                *value += weight * part;
            }
        };
        for index in LIGANDS_ONLY.iter().flat_map(|group| group.species()) {
            add(index, weight(index));
        }
        let mut counted = [0.0; CARRIERS_COUNT];
        for (counted, carrier) in counted.iter_mut().zip(&CARRIERS) {
            for index in carrier.species() {
                let weight = weight(index);
                *counted += weight * self.shares[index];
                add(index, weight);
            }
        }
        // What forms takes from what is present.
        for ((counted, carrier), up) in counted.iter().zip(&CARRIERS).zip(&self.taken_up) {
            form[IONS + carrier.ion as usize] += counted;
            for (value, up) in form.iter_mut().zip(up) {
                *value -= counted * up;
            }
        }
        for ((ion, _), weight) in UNPAIRED.iter().zip(unpaired) {
            form[IONS + *ion as usize] += weight;
        }
        form
    }

    /// ln of a metal's activity; none where it is absent.
    pub fn ln_activity(&self, metal: Component) -> Option<Form> {
        let place = CARRIERS.iter().position(|carrier| carrier.ion == metal)?;
        let present = self.present[place];
        if present <= 0.0 {
            return None;
        }
        let mut form = STILL;
        for (value, up) in form.iter_mut().zip(self.taken_up[place]) {
            *value = -up / present;
        }
        form[IONS + metal as usize] = 1.0 / present;
        Some(form)
    }
}

/// Sizes from their logarithms, relative to the largest; those that cannot form are left out.
fn relative(sizes: impl Iterator<Item = (usize, Option<f64>)>) -> Vec<(usize, f64)> {
    let sizes: Vec<(usize, f64)> = sizes
        .filter_map(|(index, size)| size.map(|size| (index, size)))
        .collect();
    let largest = sizes
        .iter()
        .fold(f64::NEG_INFINITY, |most, (_, size)| most.max(*size));
    sizes
        .into_iter()
        .map(|(index, size)| (index, math::exp(size - largest)))
        .collect()
}

/// The amounts of a state's species.
struct Medium<'a> {
    constants: &'a Constants,
    state: &'a Equilibrium,
    root: f64,
    gamma_per_strength: [f64; CLASSES],
    gamma_per_kelvin: [f64; CLASSES],
    is_there: [bool; BALANCES],
    /// ln of the activity of each ligand that is there, of water, and of each metal that is there.
    ln_ligands: [f64; BALANCES],
    ln_water: f64,
    ln_carried: [f64; CARRIERS_COUNT],
    present: [f64; CARRIERS_COUNT],
}

impl<'a> Medium<'a> {
    fn of(constants: &'a Constants, state: &'a Equilibrium) -> Medium<'a> {
        let root = state.ionic_strength_mol_per_kg.sqrt();
        let water = DebyeHueckel::at(state.liquor.temperature_c);
        let change = water.per_kelvin(state.liquor.temperature_c);
        let mut medium = Medium {
            constants,
            state,
            root,
            gamma_per_strength: constants.gamma.map(|gamma| gamma.ln_and_slope(root).1),
            gamma_per_kelvin: [0.0; CLASSES],
            is_there: [false; BALANCES],
            ln_ligands: [0.0; BALANCES],
            ln_water: math::ln(state.water_activity),
            ln_carried: [0.0; CARRIERS_COUNT],
            present: [0.0; CARRIERS_COUNT],
        };
        for (class, slope) in medium.gamma_per_kelvin.iter_mut().enumerate() {
            let change = Gamma::change(REPRESENTATIVES[class], &change);
            *slope = constants.gamma[class].ln_changed_by(change, root);
        }
        medium.is_there[STRENGTH] = true;
        for (group, balance) in LIGANDS_ONLY.iter().zip(BALANCE_OF) {
            let bare = group.species().start;
            medium.is_there[balance] = state.molality[bare] > 0.0;
            if medium.is_there[balance] {
                medium.ln_ligands[balance] = medium.ln_bare_activity(bare);
            }
        }
        for (place, carrier) in CARRIERS.iter().enumerate() {
            let species = carrier.species();
            medium.present[place] = state.molality[species.clone()].iter().sum();
            if medium.present[place] > 0.0 {
                medium.ln_carried[place] = medium.ln_bare_activity(species.start);
            }
        }
        medium
    }

    /// ln of the activity of a ligand or metal by itself, whose constant is one.
    fn ln_bare_activity(&self, index: usize) -> f64 {
        math::ln(self.state.molality[index]) - self.constants.ln_formation(index, self.root)
    }

    /// ln of what forms of a species, for an activity of one of the ligand or metal that is absent;
    /// none where another ligand is absent too.
    fn ln_size(&self, index: usize, absent: usize) -> Option<f64> {
        let mut size = self.constants.ln_formation(index, self.root)
            + f64::from(SPECIES[index].water) * self.ln_water;
        for (balance, count) in LINES[index].sensitivities.into_iter().enumerate() {
            if count == 0.0 || (balance == absent && !self.is_there[absent]) {
                continue;
            }
            if !self.is_there[balance] {
                return None;
            }
            size += count * self.ln_ligands[balance];
        }
        let carried = CARRIERS
            .iter()
            .position(|carrier| carrier.species().contains(&index));
        Some(size + carried.map_or(0.0, |place| self.ln_carried[place]))
    }
}

const _: () = assert!(BALANCED == WATER + 1);
