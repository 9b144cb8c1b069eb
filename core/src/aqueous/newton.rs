//! Newton's method in the logarithms of a few activities.
//!
//! A metal or an acid family takes part once in each of its species, so its activity follows from the ligands it meets in one
//! division: total over the sum of what a unit of activity would hold. What is left to find is the ligands (hydrogen, carbonate and
//! sulfate in most waters), the ionic strength, and the freedoms of the question. A pH or a partial pressure that is given fixes an
//! activity outright, and its freedom takes that activity's place among the unknowns. Species are products of activities, so that a
//! step costs no exponential but those of the activity coefficients.

use underlet_tables::parameters;

use super::constants::Constants;
use super::linear::{System, solve};
use super::question::{Condition, EquilibriumError, FREEDOMS, Freedom};
use super::saturation::Solids;
use super::species::{
    BALANCES, CARBON_DIOXIDE, CARBONATE, CARRIERS, CARRIERS_COUNT, CLASSES, CLASSES_UP_TO, COMMON,
    COMMON_CARRIERS, COMMON_CLASSES, COUNT, FLUORIDE, HYDROGEN, LIGANDS_ONLY, PHOSPHATE, STRENGTH,
    SULFATE, UNPAIRED,
};
use super::state::Equilibrium;
use crate::component::{Component, Composition};
use crate::liquor::{Dose, Liquor};
use crate::math::{self, LN_10};

mod balances;
mod start;
mod tally;

use tally::Tally;

/// The balance that each group of [`LIGANDS_ONLY`] belongs to.
const BALANCE_OF: [usize; LIGANDS_ONLY.len()] = [HYDROGEN, CARBONATE, SULFATE, FLUORIDE, PHOSPHATE];
/// Balances of water with fluoride and without phosphate.
const WITHOUT_PHOSPHATE: usize = BALANCES - 1;

/// Largest relative error of a balance at the end.
const TOLERANCE: f64 = 2.0e-13;
/// An error that rounding can leave; accepted where no step improves it further.
const ROUNDING: f64 = 1.0e-11;
/// Most steps: four to eight are usual.
const STEPS: u32 = 60;
/// Longest step in a logarithm: farther away the linear system says little.
const LONGEST_STEP: f64 = 3.0;
/// A step may take away at most this share of what is there of a metal, so that some is always left.
const LARGEST_SHARE: f64 = 0.9;
/// An ionic strength that water alone exceeds, mol/kg: keeps its logarithm finite.
const LEAST_IONIC_STRENGTH: f64 = 1.0e-12;
/// Largest factor of the ionic strength in one step.
const STRENGTH_FACTOR: f64 = 4.0;
/// Least activity of water on the way to an end, so that its logarithm stays finite; no end within
/// [`parameters::MAX_DISSOLVED`] is near it.
const LEAST_WATER_ACTIVITY: f64 = 0.5;

/// An ionic strength within the ends that the activity model is used in.
fn within_range(ionic_strength: f64) -> f64 {
    ionic_strength.clamp(LEAST_IONIC_STRENGTH, parameters::MAX_IONIC_STRENGTH.value)
}

/// A metal or acid family that is there.
#[derive(Clone, Copy, Default)]
struct Carried {
    /// Its place in the list of carriers.
    carrier: usize,
    total: f64,
    /// What is there of it now: total and what the freedoms moved.
    present: f64,
    activity: f64,
    /// What its species count in each balance.
    counted: [f64; BALANCES],
    /// How its activity falls, in logarithms, as each ligand takes it up and as the ionic strength rises.
    taken_up: [f64; BALANCES],
}

impl Carried {
    fn ion(&self) -> Component {
        CARRIERS[self.carrier].ion
    }
}

/// A step in the unknowns.
struct Step {
    /// In the logarithms of the ligands, and in the ionic strength.
    ligands: [f64; BALANCES],
    extents: [f64; FREEDOMS],
}

#[derive(Clone)]
pub(super) struct Newton<'a> {
    constants: &'a Constants,
    freedoms: &'a [Freedom],
    /// What a unit of each freedom moves in each balance.
    moved: [[f64; BALANCES]; FREEDOMS],
    /// The one balance that a freedom moves, where it moves nothing else: carbon or alkalinity alone.
    lone: [Option<usize>; FREEDOMS],
    /// The pH where it is given, and carbonate's activity times hydrogen's squared, per activity of water, where the liquor is open.
    ph: Option<f64>,
    gas: Option<f64>,
    /// How many balances this water needs, and whether each has something in it.
    balances: usize,
    is_there: [bool; BALANCES],
    /// Total of each ligand, hydrogen's being the alkalinity; mol and eq per kg.
    totals: [f64; BALANCES],
    /// Activity of each ligand.
    activity: [f64; BALANCES],
    carried: [Carried; CARRIERS_COUNT],
    carried_count: usize,
    /// Molality of metals, acid families and ions that form no pairs, and what a unit of each freedom brings of them.
    lasting: f64,
    brought: [f64; FREEDOMS],
    ionic_strength: f64,
    /// Activity of water.
    water: f64,
    extents: [f64; FREEDOMS],
    /// How many classes of activity coefficients are needed.
    classes: usize,
    inverse_gamma: [f64; CLASSES],
    gamma_slope: [f64; CLASSES],
    /// Molality of every species; of a carrier's, per activity of the carrier.
    molality: [f64; COUNT],
    /// What the species add up to, and all that is dissolved.
    tally: Tally,
    sums: [f64; BALANCES],
    dissolved: f64,
    /// How the latter changes with ligands and ionic strength.
    dissolved_slopes: [f64; BALANCES],
    residual: f64,
    iterations: u32,
}

/// Molality of a dose's metals, acid families, and ions that form no pairs.
fn lasting(dose: &Dose) -> f64 {
    let carried = CARRIERS.iter().map(|row| row.ion);
    let unpaired = UNPAIRED.iter().map(|(ion, _)| *ion);
    carried.chain(unpaired).map(|ion| dose.ions.get(ion)).sum()
}

/// What a dose moves in each balance; alkalinity in hydrogen's. What ions without pairs bring to the ionic strength counts
/// against it.
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

impl<'a> Newton<'a> {
    pub fn new(constants: &'a Constants, liquor: &Liquor, freedoms: &'a [Freedom]) -> Self {
        let all = liquor.as_dose();
        let mut newton = Newton {
            constants,
            freedoms,
            moved: [[0.0; BALANCES]; FREEDOMS],
            lone: [None; FREEDOMS],
            ph: None,
            gas: None,
            balances: COMMON,
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
        for (is_there, total) in newton.is_there.iter_mut().zip(newton.totals) {
            *is_there = total > 0.0;
        }
        for (place, freedom) in freedoms.iter().enumerate().take(FREEDOMS) {
            newton.brought[place] = lasting(&freedom.moves);
            newton.moved[place] = moved(&freedom.moves);
            newton.lone[place] = match newton.moved[place] {
                _ if freedom.moves.ions != Composition::ZERO => None,
                [0.0, 0.0, ..] => None,
                [_, 0.0, ..] => Some(HYDROGEN),
                [0.0, ..] => Some(CARBONATE),
                _ => None,
            };
            for (is_there, moves) in newton.is_there.iter_mut().zip(newton.moved[place]) {
                *is_there |= moves > 0.0;
            }
            match freedom.condition {
                Condition::Ph(ph) => newton.ph = Some(ph),
                Condition::Log10Pco2(pressure) => {
                    let ln_gas = LN_10 * pressure + constants.ln_k_henry;
                    newton.gas = Some(math::exp(ln_gas - constants.ln_k[CARBON_DIOXIDE]));
                }
                Condition::Saturation(..) => {}
            }
        }
        newton.is_there[HYDROGEN] = true;
        newton.is_there[STRENGTH] = true;
        newton.balances = match (newton.is_there[FLUORIDE], newton.is_there[PHOSPHATE]) {
            (_, true) => BALANCES,
            (true, false) => WITHOUT_PHOSPHATE,
            (false, false) => COMMON,
        };
        newton.find_carried(liquor);
        newton
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
        self.classes = if self.balances == COMMON && last < COMMON_CARRIERS {
            COMMON_CLASSES
        } else {
            CLASSES_UP_TO[last]
        };
    }

    /// Sets the ionic strength and with it the activity coefficients.
    fn set_strength(&mut self, ionic_strength: f64) {
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
    fn set_open_carbonate(&mut self) {
        if let Some(gas) = self.gas {
            let hydrogen = self.activity[HYDROGEN];
            self.activity[CARBONATE] = gas * self.water / (hydrogen * hydrogen);
        }
    }

    /// Newton steps until every balance closes.
    pub fn run(&mut self) -> Result<(), EquilibriumError> {
        match self.balances {
            COMMON => self.run_in::<COMMON>(),
            WITHOUT_PHOSPHATE => self.run_in::<WITHOUT_PHOSPHATE>(),
            _ => self.run_in::<BALANCES>(),
        }
    }

    fn run_in<const N: usize>(&mut self) -> Result<(), EquilibriumError> {
        let solids = self
            .freedoms
            .iter()
            .any(|freedom| matches!(freedom.condition, Condition::Saturation(..)));
        let mut best = f64::INFINITY;
        let mut idle = 0;
        for _ in 0..STEPS {
            self.fill::<N>();
            self.set_lone_extents();
            let errors = self.errors::<N>();
            let mut system = None;
            if solids {
                system = Some(self.system::<N>(&errors));
            }
            if self.residual < best / 2.0 {
                idle = 0;
            } else {
                idle += 1;
            }
            best = best.min(self.residual);
            if self.residual <= TOLERANCE || (self.residual <= ROUNDING && idle >= 2) {
                return Ok(());
            }
            self.iterations += 1;
            let step = match system {
                None => self.step_with_fixed::<N>(errors),
                Some(system) => Newton::step_of::<N>(system),
            };
            match step {
                Some(step) => self.take(&step),
                None => break,
            }
        }
        if self.ionic_strength >= parameters::MAX_IONIC_STRENGTH.value
            || self.dissolved > parameters::MAX_DISSOLVED.value
        {
            return Err(EquilibriumError::TooConcentrated);
        }
        Err(EquilibriumError::NotConverged {
            residual: self.residual,
        })
    }

    /// The step where nothing but pH and partial pressure is given: their freedoms stand in for hydrogen and carbonate.
    fn step_with_fixed<const N: usize>(&self, mut errors: [f64; N]) -> Option<Step> {
        let mut matrix = self.jacobian::<N>();
        self.bend(&mut errors);
        let mut place_of = [None; 2];
        for (place, freedom) in self.freedoms.iter().enumerate() {
            match freedom.condition {
                Condition::Ph(_) => place_of[HYDROGEN] = Some(place),
                Condition::Log10Pco2(_) => place_of[CARBONATE] = Some(place),
                Condition::Saturation(..) => {}
            }
        }
        if let Some(place) = place_of[CARBONATE] {
            for (row, slope) in matrix.iter_mut().zip(self.slopes_to_freedom::<N>(place)) {
                row[HYDROGEN] -= 2.0 * row[CARBONATE];
                row[CARBONATE] = slope;
            }
        }
        if let Some(place) = place_of[HYDROGEN] {
            for (row, slope) in matrix.iter_mut().zip(self.slopes_to_freedom::<N>(place)) {
                row[HYDROGEN] = slope;
            }
        }
        if !solve(&mut matrix, &mut errors) {
            return None;
        }
        let mut step = Step {
            ligands: [0.0; BALANCES],
            extents: [0.0; FREEDOMS],
        };
        step.ligands[..N].copy_from_slice(&errors);
        for (ligand, place) in place_of.into_iter().enumerate() {
            if let Some(place) = place {
                step.extents[place] = step.ligands[ligand];
                step.ligands[ligand] = 0.0;
            }
        }
        if self.gas.is_some() {
            step.ligands[CARBONATE] = -2.0 * step.ligands[HYDROGEN];
        }
        Some(step)
    }

    /// Turns differences of positive amounts into what a step in logarithms needs: `2 S (T - S) / (T + S)` is nearly `S ln(T/S)`, and a
    /// sum is much closer to a power of its ligand's activity than to a straight line in its logarithm.
    fn bend<const N: usize>(&self, errors: &mut [f64; N]) {
        for (balance, error) in errors.iter_mut().enumerate() {
            let sum = self.sums[balance];
            let is_moved = self
                .moved
                .iter()
                .take(self.freedoms.len())
                .any(|moved| moved[balance] != 0.0);
            if balance != STRENGTH && sum > 0.0 && sum + *error > 0.0 && !is_moved {
                *error *= 2.0 * sum / (2.0 * sum + *error);
            }
        }
    }

    /// The step of a system with all freedoms among its unknowns.
    fn step_of<const N: usize>(mut system: System) -> Option<Step> {
        if !system.eliminate() {
            return None;
        }
        let mut step = Step {
            ligands: [0.0; BALANCES],
            extents: [0.0; FREEDOMS],
        };
        step.ligands[..N].copy_from_slice(&system.step[..N]);
        step.extents.copy_from_slice(&system.step[N..N + FREEDOMS]);
        Some(step)
    }

    /// Takes a step, no longer than is safe.
    fn take(&mut self, step: &Step) {
        let mut longest: f64 = 0.0;
        for (balance, length) in step.ligands.iter().enumerate() {
            if balance != STRENGTH {
                longest = longest.max(length.abs());
            }
        }
        let mut share = if longest > LONGEST_STEP {
            LONGEST_STEP / longest
        } else {
            1.0
        };
        if !self.freedoms.is_empty() {
            for one in &self.carried[..self.carried_count] {
                let moves = self.freedoms.iter().zip(step.extents);
                let taken: f64 = moves
                    .map(|(freedom, step)| -step * freedom.moves.ions.get(one.ion()))
                    .sum();
                if taken * share > LARGEST_SHARE * one.present {
                    share = LARGEST_SHARE * one.present / taken;
                }
            }
        }
        for (balance, length) in step.ligands.iter().enumerate() {
            if balance != STRENGTH && *length != 0.0 {
                self.activity[balance] *= math::exp_of_step(share * length);
            }
        }
        let strength = self.ionic_strength + share * step.ligands[STRENGTH];
        let [least, most] = [
            self.ionic_strength / STRENGTH_FACTOR,
            self.ionic_strength * STRENGTH_FACTOR,
        ];
        self.set_strength(within_range(strength.clamp(least, most)));
        for (extent, length) in self.extents.iter_mut().zip(step.extents) {
            *extent += share * length;
        }
        for (slope, length) in self.dissolved_slopes.iter().zip(step.ligands) {
            self.dissolved += share * slope * length;
        }
        for (brought, length) in self.brought.iter().zip(step.extents) {
            self.dissolved += share * brought * length;
        }
        self.set_water();
        self.set_open_carbonate();
    }

    /// Sets the activity of water from what is dissolved, or will be after a step: lagging behind, it would cost steps.
    fn set_water(&mut self) {
        let lowering = parameters::WATER_ACTIVITY_LOWERING.value;
        self.water = math::at_least(1.0 - lowering * self.dissolved, LEAST_WATER_ACTIVITY);
    }

    /// Place of a metal among those that are there.
    fn carried_of(&self, ion: Component) -> Option<usize> {
        self.carried[..self.carried_count]
            .iter()
            .position(|one| one.ion() == ion)
    }

    /// The answer.
    pub fn state(&self, liquor: &Liquor) -> Equilibrium {
        let mut now = *liquor;
        for (extent, freedom) in self.extents.iter().zip(self.freedoms) {
            now = now.dosed(&freedom.moves, *extent);
        }
        let mut molality = self.molality;
        for one in &self.carried[..self.carried_count] {
            for amount in &mut molality[CARRIERS[one.carrier].species()] {
                *amount *= one.activity;
            }
        }
        let metal = |ion| {
            self.carried_of(ion)
                .map_or(0.0, |one| self.carried[one].activity)
        };
        let [hydrogen, carbonate] = [HYDROGEN, CARBONATE].map(|ligand| self.activity[ligand]);
        let ln_gas = self.constants.ln_k[CARBON_DIOXIDE]
            + math::ln(carbonate * hydrogen * hydrogen / self.water);
        Equilibrium {
            liquor: now,
            ph: self.ph.unwrap_or_else(|| -math::log10(hydrogen)),
            ionic_strength_mol_per_kg: self.ionic_strength,
            water_activity: self.water,
            residual: self.residual,
            iterations: self.iterations,
            log10_pco2: (ln_gas - self.constants.ln_k_henry) / LN_10,
            extents: self.extents,
            molality,
            solids: Solids {
                calcium: metal(Component::Calcium),
                magnesium: metal(Component::Magnesium),
                ligands: self.activity,
                water: self.water,
                ln_k: self.constants.ln_k_mineral,
            },
            freedoms: [None; FREEDOMS],
        }
    }
}
