//! Newton's method in the logarithms of a few activities.
//!
//! A metal or an acid family takes part once in each of its species, so its activity follows from the ligands it meets in one
//! division: total over the sum of what a unit of activity would hold. What is left to find is the ligands (hydrogen, carbonate and
//! sulfate in most waters), the ionic strength, and the freedoms of the question. Species are products of activities, so that a step
//! costs few exponentials.

use super::constants::Constants;
use super::equilibrium::{Condition, Equilibrium, EquilibriumError, FREEDOMS, Freedom};
use super::linear::System;
use super::saturation::Mineral;
use super::species::{
    BALANCES, CARBON_DIOXIDE, CARBONATE, CARRIERS, CARRIERS_COUNT, CLASSES, COMMON,
    COMMON_CARRIERS, COMMON_CLASSES, COUNT, FLUORIDE, HYDROGEN, HYDROGEN_POWERS, LEAST_HYDROGEN,
    LIGANDS_ONLY, LINES, OTHER_LIGANDS, PHOSPHATE, SPECIES, STRENGTH, SULFATE, UNPAIRED,
};
use crate::ion::Ion;
use crate::liquor::{Dose, Liquor};
use crate::math::{self, LN_10};

mod start;

/// The balance that each group of [`LIGANDS_ONLY`] belongs to.
const BALANCE_OF: [usize; LIGANDS_ONLY.len()] = [HYDROGEN, CARBONATE, SULFATE, FLUORIDE, PHOSPHATE];

/// Largest relative error of a balance at the end.
const TOLERANCE: f64 = 2.0e-13;
/// An error that rounding can leave; accepted where no step improves it further.
const ROUNDING: f64 = 1.0e-11;
const STEPS: u32 = 60;
/// Longest step in a logarithm.
const LONGEST_STEP: f64 = 3.0;
/// A step may take away at most this share of what is there of a metal.
const LARGEST_SHARE: f64 = 0.9;
/// Ionic strength never leaves these ends: beyond them the activity model means nothing.
const IONIC_STRENGTH: [f64; 2] = [1.0e-12, 8.0];
/// Dissolved matter, mol/kg, beyond which an end that is not found is no surprise: neither activity of water nor of ions is known.
const MOST_DISSOLVED: f64 = 4.0;
/// Lowering of the activity of water per mol/kg of dissolved matter (Garrels & Christ 1965, as in the manual of PHREEQC,
/// from memory), and the lowest it is let fall.
pub(super) const WATER_LOWERING: f64 = 0.017;
const LOWEST_WATER: f64 = 0.5;

/// A metal or acid family that is there.
#[derive(Clone, Copy, Default)]
struct Carried {
    /// Its place in the list of carriers.
    carrier: usize,
    total: f64,
    /// What is there of it now: total and what the freedoms moved.
    present: f64,
    activity: f64,
}

impl Carried {
    fn ion(&self) -> Ion {
        CARRIERS[self.carrier].ion
    }
}

#[derive(Clone)]
pub(super) struct Newton<'a> {
    constants: &'a Constants,
    freedoms: &'a [Freedom],
    /// How many balances this water needs, and whether each has something in it.
    balances: usize,
    is_there: [bool; BALANCES],
    /// Total of each ligand, hydrogen's being the alkalinity; mol and eq per kg.
    totals: [f64; BALANCES],
    /// Activity of each ligand and its logarithm.
    activity: [f64; BALANCES],
    ln_activity: [f64; BALANCES],
    carried: [Carried; CARRIERS_COUNT],
    carried_count: usize,
    /// Ionic strength and molality of ions that form no pairs.
    unpaired_strength: f64,
    unpaired_molality: f64,
    ionic_strength: f64,
    ln_water: f64,
    extents: [f64; FREEDOMS],
    /// K of formation of each species.
    k: [f64; COUNT],
    /// How many classes of activity coefficients are needed.
    classes: usize,
    ln_gamma: [f64; CLASSES],
    inverse_gamma: [f64; CLASSES],
    gamma_slope: [f64; CLASSES],
    molality: [f64; COUNT],
    /// What the species add up to in each balance, the alkalinity's parts all positive, and all that is dissolved.
    sums: [f64; BALANCES],
    alkalinity_size: f64,
    dissolved: f64,
    residual: f64,
    iterations: u32,
}

/// Ionic strength and molality of a dose's ions that form no pairs.
fn unpaired(dose: &Dose) -> (f64, f64) {
    UNPAIRED
        .iter()
        .fold((0.0, 0.0), |(strength, molality), (ion, charge)| {
            let amount = dose.ions.get(*ion);
            (strength + charge * charge * amount / 2.0, molality + amount)
        })
}

/// What a dose moves in a balance; alkalinity in hydrogen's. What it brings to the ionic strength by itself counts against it.
fn moved(dose: &Dose, balance: usize) -> f64 {
    match balance {
        STRENGTH => -unpaired(dose).0,
        HYDROGEN => dose.alkalinity_eq,
        CARBONATE => dose.carbon_mol,
        SULFATE => dose.ions.get(Ion::Sulfate),
        FLUORIDE => dose.ions.get(Ion::Fluoride),
        PHOSPHATE => dose.ions.get(Ion::Phosphate),
        _ => 0.0,
    }
}

impl<'a> Newton<'a> {
    pub fn new(constants: &'a Constants, liquor: &Liquor, freedoms: &'a [Freedom]) -> Self {
        let mut newton = Newton {
            constants,
            freedoms,
            balances: COMMON,
            is_there: [false; BALANCES],
            totals: [0.0; BALANCES],
            activity: [0.0; BALANCES],
            ln_activity: [f64::NEG_INFINITY; BALANCES],
            carried: [Carried::default(); CARRIERS_COUNT],
            carried_count: 0,
            unpaired_strength: 0.0,
            unpaired_molality: 0.0,
            ionic_strength: 0.0,
            ln_water: 0.0,
            extents: [0.0; FREEDOMS],
            k: constants.k,
            classes: CLASSES,
            ln_gamma: [0.0; CLASSES],
            inverse_gamma: [0.0; CLASSES],
            gamma_slope: [0.0; CLASSES],
            molality: [0.0; COUNT],
            sums: [0.0; BALANCES],
            alkalinity_size: 0.0,
            dissolved: 0.0,
            residual: f64::INFINITY,
            iterations: 0,
        };
        let all = liquor.as_dose();
        for balance in [HYDROGEN, CARBONATE, SULFATE, FLUORIDE, PHOSPHATE] {
            newton.totals[balance] = moved(&all, balance);
            let comes = freedoms
                .iter()
                .any(|freedom| moved(&freedom.moves, balance) > 0.0);
            newton.is_there[balance] = balance == HYDROGEN || newton.totals[balance] > 0.0 || comes;
        }
        newton.is_there[STRENGTH] = true;
        if newton.is_there[FLUORIDE] || newton.is_there[PHOSPHATE] {
            newton.balances = BALANCES;
        }
        for (carrier, row) in CARRIERS.iter().enumerate() {
            let total = liquor.ions.get(row.ion);
            if total > 0.0
                || freedoms
                    .iter()
                    .any(|freedom| freedom.moves.ions.get(row.ion) > 0.0)
            {
                newton.carried[newton.carried_count] = Carried {
                    carrier,
                    total,
                    present: total,
                    activity: 0.0,
                };
                newton.carried_count += 1;
            }
        }
        let last = newton.carried[..newton.carried_count]
            .last()
            .map_or(0, |one| one.carrier);
        if newton.balances == COMMON && last < COMMON_CARRIERS {
            newton.classes = COMMON_CLASSES;
        }
        newton.complete_constants();
        (newton.unpaired_strength, newton.unpaired_molality) = unpaired(&all);
        newton
    }

    /// Constants of the species that common water does not have.
    fn complete_constants(&mut self) {
        let Newton { constants, k, .. } = self;
        let mut complete = |species: std::ops::Range<usize>| {
            for index in species {
                if k[index] == 0.0 {
                    k[index] = math::exp(constants.ln_k[index]);
                }
            }
        };
        for (group, balance) in LIGANDS_ONLY.iter().zip(BALANCE_OF) {
            if self.is_there[balance] {
                complete(group.species());
            }
        }
        for one in &self.carried[..self.carried_count] {
            complete(CARRIERS[one.carrier].species_among(self.balances));
        }
    }

    /// Sets the ionic strength and with it the activity coefficients. A small change multiplies them by a short series.
    fn set_strength(&mut self, ionic_strength: f64) {
        self.ionic_strength = ionic_strength;
        let root = ionic_strength.sqrt();
        for (class, gamma) in self.constants.gamma[..self.classes].iter().enumerate() {
            let (ln, slope) = gamma.ln_and_slope(root);
            let change = self.ln_gamma[class] - ln;
            self.inverse_gamma[class] = if self.inverse_gamma[class] > 0.0 {
                self.inverse_gamma[class] * math::exp_of_step(change)
            } else {
                math::exp(-ln)
            };
            self.ln_gamma[class] = ln;
            self.gamma_slope[class] = slope;
        }
    }

    fn ph_wanted(&self) -> Option<f64> {
        self.freedoms
            .iter()
            .find_map(|freedom| match freedom.condition {
                Condition::Ph(ph) => Some(ph),
                _ => None,
            })
    }

    /// ln activity of dissolved carbon dioxide where the liquor is open.
    fn ln_gas(&self) -> Option<f64> {
        self.freedoms
            .iter()
            .find_map(|freedom| match freedom.condition {
                Condition::Log10Pco2(pressure) => {
                    Some(LN_10 * pressure + self.constants.ln_k_henry)
                }
                _ => None,
            })
    }

    /// Moves the logarithm of a ligand's activity.
    fn move_ligand(&mut self, balance: usize, step: f64) {
        self.ln_activity[balance] += step;
        self.activity[balance] *= math::exp_of_step(step);
    }

    /// Molality of every species, the activity of every metal and acid family, and what they add up to in N balances.
    fn fill<const N: usize>(&mut self) {
        let hydrogen = powers_of(self.activity[HYDROGEN]);
        let water = math::exp_of_step(self.ln_water);
        let water = [1.0 / water, 1.0, water];
        let ligands = &self.activity;
        let others: [f64; OTHER_LIGANDS] = [
            1.0,
            ligands[CARBONATE],
            ligands[SULFATE],
            ligands[FLUORIDE],
            ligands[PHOSPHATE],
            ligands[FLUORIDE] * ligands[FLUORIDE],
        ];
        let (mut sums, mut size, mut dissolved) = ([0.0; N], 0.0, self.unpaired_molality);
        for (extent, freedom) in self.extents.iter().zip(self.freedoms) {
            dissolved += extent * unpaired(&freedom.moves).1;
        }
        let mut count = |index: usize, molality: f64| {
            let weights = &LINES[index].weights;
            for (sum, weight) in sums.iter_mut().zip(weights) {
                *sum += weight * molality;
            }
            size += weights[HYDROGEN].abs() * molality;
            dissolved += molality;
        };
        let per_activity = |index: usize| {
            let line = &LINES[index];
            self.k[index]
                * self.inverse_gamma[line.class]
                * (hydrogen[line.hydrogen] * water[line.water])
                * others[line.others]
        };
        for group in &LIGANDS_ONLY[..N - 1] {
            for index in group.species() {
                self.molality[index] = per_activity(index);
                count(index, self.molality[index]);
            }
        }
        for carried in &mut self.carried[..self.carried_count] {
            let row = &CARRIERS[carried.carrier];
            let mut present = carried.total;
            for (extent, freedom) in self.extents.iter().zip(self.freedoms) {
                present += extent * freedom.moves.ions.get(row.ion);
            }
            carried.present = math::at_least(present, f64::MIN_POSITIVE);
            let mut sum = 0.0;
            for index in row.species_among(N) {
                self.molality[index] = per_activity(index);
                sum += self.molality[index];
            }
            carried.activity = carried.present / sum;
            for index in row.species_among(N) {
                self.molality[index] *= carried.activity;
                count(index, self.molality[index]);
            }
        }
        self.sums[..N].copy_from_slice(&sums);
        (self.alkalinity_size, self.dissolved) = (size, dissolved);
    }

    /// Newton steps until every balance closes.
    pub fn run(&mut self) -> Result<(), EquilibriumError> {
        if self.balances == COMMON {
            self.run_in::<COMMON>()
        } else {
            self.run_in::<BALANCES>()
        }
    }

    fn run_in<const N: usize>(&mut self) -> Result<(), EquilibriumError> {
        let mut best = f64::INFINITY;
        let mut idle = 0;
        let mut system = System::new(N + self.freedoms.len());
        for _ in 0..STEPS {
            self.fill::<N>();
            self.errors::<N>(&mut system);
            self.residual = system.error;
            idle = if system.error < best / 2.0 {
                0
            } else {
                idle + 1
            };
            best = best.min(system.error);
            if self.residual <= TOLERANCE || (self.residual <= ROUNDING && idle >= 2) {
                return Ok(());
            }
            self.iterations += 1;
            self.jacobian::<N>(&mut system);
            if !system.eliminate() {
                break;
            }
            self.step::<N>(&system);
        }
        if self.ionic_strength >= IONIC_STRENGTH[1] || self.dissolved > MOST_DISSOLVED {
            return Err(EquilibriumError::TooConcentrated);
        }
        Err(EquilibriumError::NotConverged {
            residual: self.residual,
        })
    }

    /// Errors of the balances and conditions.
    fn errors<const N: usize>(&self, system: &mut System) {
        system.error = 0.0;
        let mut strength = self.unpaired_strength + self.sums[STRENGTH];
        for (extent, freedom) in self.extents.iter().zip(self.freedoms) {
            strength -= extent * moved(&freedom.moves, STRENGTH);
        }
        system.balance(
            STRENGTH,
            strength - self.ionic_strength,
            math::at_least(strength, IONIC_STRENGTH[0]),
        );
        for balance in 0..N {
            if balance == STRENGTH {
                continue;
            }
            let mut total = self.totals[balance];
            let held = if balance == HYDROGEN {
                self.alkalinity_size
            } else {
                self.sums[balance]
            };
            let mut size = held + total.abs();
            for (extent, freedom) in self.extents.iter().zip(self.freedoms) {
                let part = moved(&freedom.moves, balance) * extent;
                total += part;
                size += part.abs();
            }
            system.balance(balance, self.sums[balance] - total, size);
        }
        for (row, freedom) in (N..).zip(self.freedoms) {
            let wanted = self.wanted(freedom.condition);
            let mut value = wanted.water * self.ln_water;
            for (count, ln_activity) in wanted.ligands.iter().zip(&self.ln_activity) {
                if *count != 0.0 {
                    value += count * ln_activity;
                }
            }
            if let Some(ion) = wanted.carried {
                value += self
                    .carried_of(ion)
                    .map_or(0.0, |one| math::ln(self.carried[one].activity));
            }
            system.balance(row, value - wanted.value, 1.0);
        }
    }

    /// Place of a metal among those that are there.
    fn carried_of(&self, ion: Ion) -> Option<usize> {
        self.carried[..self.carried_count]
            .iter()
            .position(|one| one.ion() == ion)
    }

    /// How ln molality of a species changes with ligands and ionic strength, its metal's activity held.
    fn slopes<const N: usize>(&self, index: usize) -> [f64; N] {
        let mut slopes = [0.0; N];
        slopes.copy_from_slice(&LINES[index].slopes[..N]);
        slopes[STRENGTH] = -self.gamma_slope[LINES[index].class];
        slopes
    }

    /// How the balances change with the unknowns.
    fn jacobian<const N: usize>(&self, system: &mut System) {
        let mut matrix = [[0.0; N]; N];
        for group in &LIGANDS_ONLY[..N - 1] {
            for index in group.species() {
                let slopes = self.slopes::<N>(index);
                add_product(
                    &mut matrix,
                    self.molality[index],
                    &LINES[index].weights,
                    &slopes,
                );
            }
        }
        // A metal's activity falls as its ligands take it up: its species count as if it stood still, less what the fall takes.
        let mut taken_up = [[0.0; N]; CARRIERS_COUNT];
        for (up, carried) in taken_up.iter_mut().zip(&self.carried[..self.carried_count]) {
            let per_present = 1.0 / carried.present;
            let mut counted = [0.0; N];
            for index in CARRIERS[carried.carrier].species_among(N) {
                let (molality, weights) = (self.molality[index], &LINES[index].weights);
                let slopes = self.slopes::<N>(index);
                let share = molality * per_present;
                for place in 0..N {
                    up[place] += share * slopes[place];
                    counted[place] += weights[place] * molality;
                }
                add_product(&mut matrix, molality, weights, &slopes);
            }
            for (row, counted) in matrix.iter_mut().zip(counted) {
                for (value, up) in row.iter_mut().zip(&*up) {
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
        system.set(&matrix);
        self.add_freedoms(system, &taken_up);
    }

    /// Slopes to the freedoms, and of their conditions.
    fn add_freedoms<const N: usize>(
        &self,
        system: &mut System,
        taken_up: &[[f64; N]; CARRIERS_COUNT],
    ) {
        for (unknown, freedom) in (N..).zip(self.freedoms) {
            for balance in 0..N {
                let own = moved(&freedom.moves, balance);
                let by_metals: f64 = self.carried[..self.carried_count]
                    .iter()
                    .map(|one| {
                        let moves = freedom.moves.ions.get(one.ion());
                        if moves == 0.0 {
                            0.0
                        } else {
                            moves / one.present * self.counted(one, balance)
                        }
                    })
                    .sum();
                system.add(balance, unknown, by_metals - own);
            }
            let wanted = self.wanted(freedom.condition);
            let carried = wanted.carried.and_then(|ion| self.carried_of(ion));
            for (balance, own) in wanted.ligands.iter().enumerate().take(N) {
                let up = carried.map_or(0.0, |one| taken_up[one][balance]);
                system.add(unknown, balance, own - up);
            }
            if let Some(one) = carried {
                let metal = &self.carried[one];
                for (column, other) in (N..).zip(self.freedoms) {
                    system.add(
                        unknown,
                        column,
                        other.moves.ions.get(metal.ion()) / metal.present,
                    );
                }
            }
        }
    }

    /// What a metal or acid family counts in a balance.
    fn counted(&self, one: &Carried, balance: usize) -> f64 {
        let species = CARRIERS[one.carrier].species_among(self.balances);
        species
            .map(|index| LINES[index].weights[balance] * self.molality[index])
            .sum()
    }

    /// A condition, linear in the logarithms.
    fn wanted(&self, condition: Condition) -> Wanted {
        match condition {
            Condition::Ph(ph) => Wanted {
                ligands: [1.0, 0.0, 0.0, 0.0, 0.0, 0.0],
                carried: None,
                water: 0.0,
                value: -LN_10 * ph,
            },
            Condition::Log10Pco2(pressure) => Wanted {
                ligands: LINES[CARBON_DIOXIDE].slopes,
                carried: None,
                water: f64::from(SPECIES[CARBON_DIOXIDE].water),
                value: LN_10 * pressure + self.constants.ln_k_henry
                    - self.constants.ln_k[CARBON_DIOXIDE],
            },
            Condition::Saturation(mineral, index) => {
                let (carried, ligands, water) = mineral.made_of();
                let value = LN_10 * index + self.constants.ln_k_mineral[mineral as usize];
                Wanted {
                    ligands,
                    carried: Some(carried),
                    water,
                    value,
                }
            }
        }
    }

    /// Takes a step, no longer than is safe.
    fn step<const N: usize>(&mut self, system: &System) {
        let mut longest: f64 = 0.0;
        for balance in 0..N {
            if balance != STRENGTH {
                longest = longest.max(system.step[balance].abs());
            }
        }
        let mut share = if longest > LONGEST_STEP {
            LONGEST_STEP / longest
        } else {
            1.0
        };
        if !self.freedoms.is_empty() {
            for one in &self.carried[..self.carried_count] {
                let moves = self.freedoms.iter().zip(&system.step[N..]);
                let taken: f64 = moves
                    .map(|(freedom, step)| -step * freedom.moves.ions.get(one.ion()))
                    .sum();
                if taken * share > LARGEST_SHARE * one.present {
                    share = LARGEST_SHARE * one.present / taken;
                }
            }
        }
        for balance in 0..N {
            if balance != STRENGTH && self.is_there[balance] {
                self.move_ligand(balance, share * system.step[balance]);
            }
        }
        let strength = self.ionic_strength + share * system.step[STRENGTH];
        let near = strength.clamp(self.ionic_strength / 4.0, self.ionic_strength * 4.0);
        self.set_strength(near.clamp(IONIC_STRENGTH[0], IONIC_STRENGTH[1]));
        for (extent, step) in self
            .extents
            .iter_mut()
            .zip(&system.step[N..])
            .take(self.freedoms.len())
        {
            *extent += share * step;
        }
        self.ln_water = math::ln(math::at_least(
            1.0 - WATER_LOWERING * self.dissolved,
            LOWEST_WATER,
        ));
    }

    /// The answer.
    pub fn state(&self, liquor: &Liquor) -> Equilibrium {
        let mut now = *liquor;
        for (extent, freedom) in self.extents.iter().zip(self.freedoms) {
            now = now.dosed(&freedom.moves, *extent);
        }
        let mut saturation = [f64::NEG_INFINITY; Mineral::ALL.len()];
        for (slot, mineral) in saturation.iter_mut().zip(Mineral::ALL) {
            let (ion, counts, water) = mineral.made_of();
            let there = counts
                .iter()
                .zip(self.is_there)
                .all(|(count, there)| there || *count == 0.0);
            if let Some(one) = self.carried_of(ion).filter(|_| there) {
                let mut ln = math::ln(self.carried[one].activity) + water * self.ln_water;
                for (count, ln_activity) in counts.iter().zip(&self.ln_activity) {
                    if *count != 0.0 {
                        ln += count * ln_activity;
                    }
                }
                *slot = (ln - self.constants.ln_k_mineral[mineral as usize]) / LN_10;
            }
        }
        let gas = &SPECIES[CARBON_DIOXIDE];
        let ln_gas = self.constants.ln_k[CARBON_DIOXIDE]
            + self.ln_activity[CARBONATE]
            + 2.0 * self.ln_activity[HYDROGEN]
            + f64::from(gas.water) * self.ln_water;
        Equilibrium {
            liquor: now,
            ph: -self.ln_activity[HYDROGEN] / LN_10,
            ionic_strength_mol_per_kg: self.ionic_strength,
            water_activity: math::exp(self.ln_water),
            residual: self.residual,
            iterations: self.iterations,
            log10_pco2: (ln_gas - self.constants.ln_k_henry) / LN_10,
            extents: self.extents,
            molality: self.molality,
            saturation,
            freedoms: [None; FREEDOMS],
        }
    }
}

/// Adds molality times weights times slopes.
fn add_product<const N: usize>(
    matrix: &mut [[f64; N]; N],
    molality: f64,
    weights: &[f64; BALANCES],
    slopes: &[f64; N],
) {
    for (row, weight) in matrix.iter_mut().zip(weights) {
        let share = weight * molality;
        for (value, slope) in row.iter_mut().zip(slopes) {
            *value += share * slope;
        }
    }
}

/// Powers of the activity of hydrogen, from the lowest in a species.
fn powers_of(hydrogen: f64) -> [f64; HYDROGEN_POWERS] {
    const _: () = assert!(LEAST_HYDROGEN == -2 && HYDROGEN_POWERS == 6);
    let (inverse, square) = (1.0 / hydrogen, hydrogen * hydrogen);
    [
        inverse * inverse,
        inverse,
        1.0,
        hydrogen,
        square,
        square * hydrogen,
    ]
}

/// A condition written out: counts of ligands and of one metal, molecules of water, and what their logarithms sum to.
struct Wanted {
    ligands: [f64; BALANCES],
    carried: Option<Ion>,
    water: f64,
    value: f64,
}
