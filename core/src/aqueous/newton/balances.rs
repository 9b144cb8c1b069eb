//! Balances and conditions of a liquor at trial activities: their errors, and how they change with
//! the unknowns.

use underlet_tables::parameters;

use super::carried::Carried;
use super::tally::{Tally, powers_of};
use crate::aqueous::conditions::{Condition, FREEDOMS, Freedom};
use crate::aqueous::constants::Constants;
use crate::aqueous::linear::System;
use crate::aqueous::species::{
    BALANCES, CARBON_DIOXIDE, CARBONATE, CARRIERS, CARRIERS_COUNT, CLASSES, CLASSES_UP_TO, COMMON,
    COMMON_CARRIERS, COMMON_CLASSES, COUNT, FLUORIDE, HYDROGEN, LIGANDS_ONLY, LINES, OTHER_LIGANDS,
    PHOSPHATE, SPECIES, STRENGTH, SULFATE, UNPAIRED,
};
use crate::component::{Component, Composition};
use crate::liquor::{Dose, Liquor};
use crate::math::{self, LN_10};
/// The balance that each group of [`LIGANDS_ONLY`] belongs to.
pub(super) const BALANCE_OF: [usize; LIGANDS_ONLY.len()] =
    [HYDROGEN, CARBONATE, SULFATE, FLUORIDE, PHOSPHATE];
/// Balances of water with fluoride and without phosphate.
pub(super) const WITHOUT_PHOSPHATE: usize = BALANCES - 1;

/// An ionic strength that water alone exceeds, mol/kg: keeps its logarithm finite.
const LEAST_IONIC_STRENGTH: f64 = 1.0e-12;
/// Least activity of water on the way to an end, so that its logarithm stays finite; no end within
/// [`parameters::MAX_DISSOLVED`] is near it.
const LEAST_WATER_ACTIVITY: f64 = 0.5;

/// An ionic strength within the ends that the activity model is used in.
pub(super) fn within_range(ionic_strength: f64) -> f64 {
    ionic_strength.clamp(LEAST_IONIC_STRENGTH, parameters::MAX_IONIC_STRENGTH.value)
}

/// A condition written out: counts of ligands and of one metal, molecules of water, and what their
/// logarithms sum to.
struct TargetRange {
    ligands: [f64; BALANCES],
    carried: Option<Component>,
    water: f64,
    value: f64,
}

/// Balances and conditions of a liquor at trial activities, with the unknowns.
#[derive(Clone)]
pub(super) struct Balances<'a> {
    pub constants: &'a Constants,
    pub freedoms: &'a [Freedom],
    /// What a unit of each freedom moves in each balance.
    pub moved: [[f64; BALANCES]; FREEDOMS],
    /// The one balance that a freedom moves, where it moves nothing else: carbon or alkalinity
    /// alone.
    pub lone: [Option<usize>; FREEDOMS],
    /// The pH where it is given, and carbonate's activity times hydrogen's squared, per activity
    /// of water, where the liquor is open.
    pub ph: Option<f64>,
    pub gas: Option<f64>,
    /// How many balances this water needs, and whether each has something in it.
    pub count: usize,
    pub is_there: [bool; BALANCES],
    /// Total of each ligand, hydrogen's being the alkalinity; mol and eq per kg.
    pub totals: [f64; BALANCES],
    /// Activity of each ligand.
    pub activity: [f64; BALANCES],
    pub carried: [Carried; CARRIERS_COUNT],
    pub carried_count: usize,
    /// Molality of metals, acid families and ions that form no pairs, and what a unit of each
    /// freedom brings of them.
    pub lasting: f64,
    pub brought: [f64; FREEDOMS],
    pub ionic_strength: f64,
    /// Activity of water.
    pub water: f64,
    pub extents: [f64; FREEDOMS],
    /// How many classes of activity coefficients are needed.
    pub classes: usize,
    pub inverse_gamma: [f64; CLASSES],
    pub gamma_slope: [f64; CLASSES],
    /// Molality of every species; of a carrier's, per activity of the carrier.
    pub molality: [f64; COUNT],
    /// What the species add up to, and all that is dissolved.
    pub tally: Tally,
    pub sums: [f64; BALANCES],
    pub dissolved: f64,
    /// How the latter changes with ligands and ionic strength.
    pub dissolved_slopes: [f64; BALANCES],
    pub residual: f64,
    pub iterations: u32,
}

/// Molality of a dose's metals, acid families, and ions that form no pairs.
fn lasting(dose: &Dose) -> f64 {
    let carried = CARRIERS.iter().map(|row| row.ion);
    let unpaired = UNPAIRED.iter().map(|(ion, _)| *ion);
    carried.chain(unpaired).map(|ion| dose.ions.get(ion)).sum()
}

/// What a dose moves in each balance; alkalinity in hydrogen's. What ions without pairs bring to
/// the ionic strength counts against it.
fn moved(dose: &Dose) -> [f64; BALANCES] {
    let mut moved = [0.0; BALANCES];
    moved[HYDROGEN] = dose.alkalinity_eq;
    moved[CARBONATE] = dose.carbon_mol;
    moved[SULFATE] = dose.ions.get(Component::Sulfate);
    for (ion, charge) in UNPAIRED {
        moved[STRENGTH] -= charge * charge * dose.ions.get(ion) / 2.0;
    }
    moved[FLUORIDE] = dose.ions.get(Component::Fluoride);
    moved[PHOSPHATE] = dose.ions.get(Component::Phosphate);
    moved
}

impl<'a> Balances<'a> {
    pub fn new(constants: &'a Constants, liquor: &Liquor, freedoms: &'a [Freedom]) -> Balances<'a> {
        let all = liquor.as_dose();
        let mut balances = Balances {
            constants,
            freedoms,
            moved: [[0.0; BALANCES]; FREEDOMS],
            lone: [None; FREEDOMS],
            ph: None,
            gas: None,
            count: COMMON,
            is_there: [false; BALANCES],
            totals: moved(&all),
            activity: [0.0; BALANCES],
            carried: [Carried::default(); CARRIERS_COUNT],
            carried_count: 0,
            lasting: lasting(&all),
            brought: [0.0; FREEDOMS],
            ionic_strength: 0.0,
            water: 1.0,
            extents: [0.0; FREEDOMS],
            classes: CLASSES,
            inverse_gamma: [0.0; CLASSES],
            gamma_slope: [0.0; CLASSES],
            molality: [0.0; COUNT],
            tally: Tally::default(),
            sums: [0.0; BALANCES],
            dissolved: 0.0,
            dissolved_slopes: [0.0; BALANCES],
            residual: f64::INFINITY,
            iterations: 0,
        };
        for (is_there, total) in balances.is_there.iter_mut().zip(balances.totals) {
            *is_there = total > 0.0;
        }
        for (place, freedom) in freedoms.iter().enumerate().take(FREEDOMS) {
            balances.add_freedom(place, freedom);
        }
        balances.is_there[HYDROGEN] = true;
        balances.is_there[STRENGTH] = true;
        balances.count = match (balances.is_there[FLUORIDE], balances.is_there[PHOSPHATE]) {
            (_, true) => BALANCES,
            (true, false) => WITHOUT_PHOSPHATE,
            (false, false) => COMMON,
        };
        balances.find_carried(liquor);
        balances
    }

    /// What a freedom moves, and what it fixes.
    fn add_freedom(&mut self, place: usize, freedom: &Freedom) {
        self.brought[place] = lasting(&freedom.moves);
        self.moved[place] = moved(&freedom.moves);
        self.lone[place] = match self.moved[place] {
            _ if freedom.moves.ions != Composition::ZERO => None,
            [0.0, 0.0, ..] => None,
            [_, 0.0, ..] => Some(HYDROGEN),
            [0.0, ..] => Some(CARBONATE),
            _ => None,
        };
        for (is_there, moves) in self.is_there.iter_mut().zip(self.moved[place]) {
            *is_there |= moves > 0.0;
        }
        match freedom.condition {
            Condition::Ph(ph) => self.ph = Some(ph),
            Condition::Log10Pco2(pressure) => {
                let ln_gas = LN_10 * pressure + self.constants.ln_k_henry;
                self.gas = Some(math::exp(ln_gas - self.constants.ln_k[CARBON_DIOXIDE]));
            }
            Condition::Saturation(..) => {}
        }
    }

    /// The metals and acid families that are there.
    fn find_carried(&mut self, liquor: &Liquor) {
        let mut last = 0;
        for (carrier, row) in CARRIERS.iter().enumerate() {
            let total = liquor.ions.get(row.ion);
            let comes = |freedom: &Freedom| freedom.moves.ions.get(row.ion) > 0.0;
            if total > 0.0 || self.freedoms.iter().any(comes) {
                let one = &mut self.carried[self.carried_count];
                (one.carrier, one.total) = (carrier, total);
                self.carried_count += 1;
                last = carrier;
            }
        }
        self.classes = if self.count == COMMON && last < COMMON_CARRIERS {
            COMMON_CLASSES
        } else {
            CLASSES_UP_TO[last]
        };
    }

    /// Sets the ionic strength and with it the activity coefficients.
    pub fn set_strength(&mut self, ionic_strength: f64) {
        self.ionic_strength = ionic_strength;
        let root = ionic_strength.sqrt();
        let classes = self.constants.gamma[..self.classes].iter();
        for ((gamma, inverse), slope) in classes
            .zip(&mut self.inverse_gamma)
            .zip(&mut self.gamma_slope)
        {
            let ln;
            (ln, *slope) = gamma.ln_and_slope(root);
            *inverse = -ln;
        }
        math::exp_each(&mut self.inverse_gamma[..self.classes]);
    }

    /// Sets carbonate's activity where the liquor is open.
    pub fn set_open_carbonate(&mut self) {
        if let Some(gas) = self.gas {
            let hydrogen = self.activity[HYDROGEN];
            self.activity[CARBONATE] = gas * self.water / (hydrogen * hydrogen);
        }
    }

    /// Sets the activity of water from what is dissolved, or will be after a step: lagging behind,
    /// it would cost steps.
    pub fn set_water(&mut self) {
        let lowering = parameters::WATER_ACTIVITY_LOWERING.value;
        self.water = math::at_least(1.0 - lowering * self.dissolved, LEAST_WATER_ACTIVITY);
    }

    /// Place of a metal among those that are there.
    pub fn carried_of(&self, ion: Component) -> Option<usize> {
        self.carried[..self.carried_count]
            .iter()
            .position(|one| one.ion() == ion)
    }

    /// What a balance holds at these extents.
    pub fn now(&self, balance: usize) -> f64 {
        let mut total = self.totals[balance];
        for (extent, moved) in self.extents.iter().zip(&self.moved) {
            total += extent * moved[balance];
        }
        total
    }

    /// Molality of every species, the activity of every metal and acid family, and what they add up
    /// to in N balances.
    pub fn fill<const N: usize>(&mut self) {
        let hydrogen = powers_of(self.activity[HYDROGEN]);
        let water = [1.0 / self.water, 1.0, self.water];
        let ligands = &self.activity;
        let others: [f64; OTHER_LIGANDS] = [
            1.0,
            ligands[CARBONATE],
            ligands[SULFATE],
            ligands[FLUORIDE],
            ligands[PHOSPHATE],
            ligands[FLUORIDE] * ligands[FLUORIDE],
        ];
        let (k, inverse_gamma, gamma_slope) =
            (&self.constants.k, &self.inverse_gamma, &self.gamma_slope);
        let molality = &mut self.molality;
        let mut count = |tally: &mut Tally, index: usize| {
            let line = &LINES[index];
            let amount = k[index]
                * inverse_gamma[line.class]
                * (hydrogen[line.hydrogen] * water[line.water])
                * others[line.others];
            molality[index] = amount;
            tally.count(line, amount, -gamma_slope[line.class]);
        };
        let mut all = Tally::default();
        for group in &LIGANDS_ONLY[..N - 1] {
            for index in group.species() {
                count(&mut all, index);
            }
        }
        self.dissolved = self.lasting + all.molality();
        for (extent, brought) in self.extents.iter().zip(self.brought) {
            self.dissolved += extent * brought;
        }
        self.dissolved_slopes = all.changed::<N>(1.0);
        for carried in &mut self.carried[..self.carried_count] {
            let row = &CARRIERS[carried.carrier];
            let mut present = carried.total;
            for (extent, freedom) in self.extents.iter().zip(self.freedoms) {
                present += extent * freedom.moves.ions.get(row.ion);
            }
            carried.present = math::at_least(present, f64::MIN_POSITIVE);
            let mut own = Tally::default();
            for index in row.species_among(N) {
                count(&mut own, index);
            }
            let per_unit = 1.0 / own.molality();
            carried.activity = carried.present * per_unit;
            carried.counted = own.counted::<N>(carried.activity);
            carried.taken_up = own.changed::<N>(per_unit);
            all.add::<N>(&own, carried.activity);
        }
        self.sums = all.counted::<N>(1.0);
        self.tally = all;
    }
    /// Carbon or alkalinity that moves alone is what the species hold beyond the rest: set
    /// outright, since where nearly all of it leaves, an error that is small beside what there
    /// was would be large beside what remains.
    pub fn set_lone_extents(&mut self) {
        for place in 0..self.freedoms.len().min(FREEDOMS) {
            if let Some(balance) = self.lone[place] {
                self.extents[place] = 0.0;
                let missing = self.sums[balance] - self.now(balance);
                self.extents[place] = missing / self.moved[place][balance];
            }
        }
    }

    /// What each balance lacks, which is minus its error; sets the residual.
    pub fn errors<const N: usize>(&mut self) -> [f64; N] {
        let mut totals = self.totals;
        let mut sizes = self.sums;
        sizes[HYDROGEN] = self.tally.alkalinity_size();
        for (size, total) in sizes.iter_mut().zip(totals) {
            *size += total.abs();
        }
        for (extent, moved) in self
            .extents
            .iter()
            .zip(&self.moved)
            .take(self.freedoms.len())
        {
            for balance in 0..N {
                let part = extent * moved[balance];
                totals[balance] += part;
                sizes[balance] += part.abs();
            }
        }
        totals[STRENGTH] += self.ionic_strength;
        sizes[STRENGTH] = math::at_least(
            self.ionic_strength + self.sums[STRENGTH] - totals[STRENGTH],
            LEAST_IONIC_STRENGTH,
        );
        let mut errors = [0.0; N];
        self.residual = 0.0;
        for balance in 0..N {
            errors[balance] = totals[balance] - self.sums[balance];
            self.note(errors[balance], sizes[balance]);
        }
        errors
    }

    /// Remembers the largest relative error. One that is not a number must not pass as closed.
    fn note(&mut self, error: f64, size: f64) {
        let relative = if size > 0.0 {
            error.abs() / size
        } else {
            error.abs()
        };
        if !(relative <= self.residual || self.residual.is_nan()) {
            self.residual = relative;
        }
    }

    /// How the balances change with ligands and ionic strength.
    pub fn jacobian<const N: usize>(&self) -> [[f64; N]; N] {
        let mut matrix = self.tally.jacobian::<N>();
        // A metal's activity falls as its ligands take it up: its species count as if it did not
        // change, less what the fall takes.
        for carried in &self.carried[..self.carried_count] {
            for (row, counted) in matrix.iter_mut().zip(carried.counted) {
                for (value, up) in row.iter_mut().zip(carried.taken_up) {
                    *value -= counted * up;
                }
            }
        }
        matrix[STRENGTH][STRENGTH] -= 1.0;
        for (balance, row) in matrix.iter_mut().enumerate() {
            // A ligand that is not there stays as it is.
            if !self.is_there[balance] {
                row[balance] = 1.0;
            }
        }
        matrix
    }

    /// How the balances change with the extent of a freedom.
    pub fn slopes_to_freedom<const N: usize>(&self, place: usize) -> [f64; N] {
        let mut sensitivities = [0.0; N];
        for (slope, own) in sensitivities.iter_mut().zip(self.moved[place]) {
            *slope = -own;
        }
        for one in &self.carried[..self.carried_count] {
            let moves = self.freedoms[place].moves.ions.get(one.ion());
            if moves != 0.0 {
                for (slope, counted) in sensitivities.iter_mut().zip(one.counted) {
                    *slope += moves / one.present * counted;
                }
            }
        }
        sensitivities
    }

    /// The system with all freedoms among its unknowns and all conditions among its rows; adds the
    /// conditions to the residual.
    pub fn system<const N: usize>(&mut self, errors: &[f64; N]) -> System {
        let mut system = System::new(N + self.freedoms.len());
        system.set(&self.jacobian::<N>(), errors);
        for (place, freedom) in self.freedoms.iter().enumerate() {
            let unknown = N + place;
            for (balance, slope) in self.slopes_to_freedom::<N>(place).into_iter().enumerate() {
                system.add(balance, unknown, slope);
            }
            let wanted = self.wanted(freedom.condition);
            let carried = wanted.carried.and_then(|ion| self.carried_of(ion));
            for (balance, own) in wanted.ligands.iter().enumerate().take(N) {
                let up = carried.map_or(0.0, |one| self.carried[one].taken_up[balance]);
                system.add(unknown, balance, own - up);
            }
            if let Some(one) = carried {
                let metal = &self.carried[one];
                for (column, other) in (N..).zip(self.freedoms) {
                    let moves = other.moves.ions.get(metal.ion());
                    system.add(unknown, column, moves / metal.present);
                }
            }
            system.step[unknown] = wanted.value - self.ln_product(&wanted);
        }
        for place in 0..self.freedoms.len() {
            self.note(system.step[N + place], 1.0);
        }
        system
    }

    /// ln of the product of activities that a condition is about.
    fn ln_product(&self, wanted: &TargetRange) -> f64 {
        let mut value = wanted.water * math::ln(self.water);
        for (count, activity) in wanted.ligands.iter().zip(self.activity) {
            if *count != 0.0 {
                value += count * math::ln(activity);
            }
        }
        if let Some(one) = wanted.carried.and_then(|ion| self.carried_of(ion)) {
            value += math::ln(self.carried[one].activity);
        }
        value
    }

    /// A condition, linear in the logarithms.
    fn wanted(&self, condition: Condition) -> TargetRange {
        match condition {
            Condition::Ph(ph) => TargetRange {
                ligands: [1.0, 0.0, 0.0, 0.0, 0.0, 0.0],
                carried: None,
                water: 0.0,
                value: -LN_10 * ph,
            },
            Condition::Log10Pco2(pressure) => TargetRange {
                ligands: LINES[CARBON_DIOXIDE].sensitivities,
                carried: None,
                water: f64::from(SPECIES[CARBON_DIOXIDE].water),
                value: LN_10 * pressure + self.constants.ln_k_henry
                    - self.constants.ln_k[CARBON_DIOXIDE],
            },
            Condition::Saturation(mineral, index) => {
                let (carried, ligands, water) = mineral.made_of();
                let value = LN_10 * index + self.constants.ln_k_mineral[mineral as usize];
                TargetRange {
                    ligands,
                    carried: Some(carried),
                    water,
                    value,
                }
            }
        }
    }
}
