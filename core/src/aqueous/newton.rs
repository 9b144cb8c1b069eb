//! Newton's method in the logarithms: the balances, their Jacobian, and the steps.

use super::constants::{Constants, Gamma};
use super::equilibrium::{Condition, Equilibrium, EquilibriumError, FREEDOMS, Freedom};
use super::linear::{System, UNKNOWNS};
use super::species::{ALKALINITY, BARE, CARRIED, HALF_SQUARE, MASTERS, Master, Mineral, NEEDS, PROTONATES, SPECIES, UNPAIRED};
use super::species::{BARE_CARBONATE, BICARBONATE, CARBON_DIOXIDE, HYDROXIDE};
use crate::liquor::{Dose, Liquor};
use crate::math::{self, LN_10};

const SPECIES_COUNT: usize = SPECIES.len();

// Hydrogen is always the first unknown.
const HYDROGEN: usize = Master::Hydrogen as usize;
const CARBONATE: usize = Master::Carbonate as usize;

/// Largest relative error of a balance at the end.
const TOLERANCE: f64 = 1.0e-13;
/// An error that rounding can leave; accepted where no step improves it further.
const ROUNDING: f64 = 1.0e-11;
const STEPS: u32 = 80;
/// Longest step in a logarithm.
const LONGEST_STEP: f64 = 3.0;
/// Ionic strength never leaves these ends: beyond them the activity model means nothing.
const IONIC_STRENGTH: [f64; 2] = [1.0e-12, 8.0];
/// Lowering of the activity of water per mol/kg of dissolved matter (Garrels & Christ 1965, as in the manual of PHREEQC,
/// from memory).
const WATER_LOWERING: f64 = 0.017;
/// pH range of the bracketed start.
const PH_ENDS: [f64; 2] = [-1.0, 15.0];
/// Where carbon or a dosed ion that is not there yet starts, mol/kg.
const STARTING_AMOUNT: f64 = 1.0e-6;
/// Most masters of one species, hydrogen included.
const PARTS: usize = 4;

/// A species that is present, with its masters by their place among the unknowns. Its first part is always hydrogen, where it
/// counts its alkalinity.
#[derive(Clone, Copy)]
struct Present {
    index: usize,
    gamma: Gamma,
    ln_k: f64,
    water: f64,
    half_square: f64,
    parts: usize,
    places: [usize; PARTS],
    /// How often each master is in the species.
    counts: [f64; PARTS],
    /// What the species counts in each master's balance.
    weights: [f64; PARTS],
    molality: f64,
}

const ABSENT: Present = Present {
    index: 0,
    gamma: Gamma { a: 0.0, b: 0.0, c: 0.0 },
    ln_k: 0.0,
    water: 0.0,
    half_square: 0.0,
    parts: 0,
    places: [0; PARTS],
    counts: [0.0; PARTS],
    weights: [0.0; PARTS],
    molality: 0.0,
};

#[derive(Clone)]
pub(super) struct Newton<'a> {
    constants: &'a Constants,
    freedoms: &'a [Freedom],
    /// Masters that are there, each at its place among the unknowns.
    masters: [usize; MASTERS],
    master_count: usize,
    /// Where each master has its place; `MASTERS` for one that is not there.
    place_of: [usize; MASTERS],
    /// Total of each master by place, hydrogen's being the alkalinity; mol and eq per kg.
    totals: [f64; MASTERS],
    /// Ionic strength and molality of ions that form no pairs.
    unpaired_strength: f64,
    unpaired_molality: f64,
    species: [Present; SPECIES_COUNT],
    species_count: usize,
    /// ln activity of each master by place.
    ln_activity: [f64; MASTERS],
    ionic_strength: f64,
    ln_water: f64,
    extents: [f64; FREEDOMS],
    residual: f64,
    iterations: u32,
}

/// What a dose moves of a master; alkalinity for hydrogen.
fn moved(dose: &Dose, master: usize) -> f64 {
    match master {
        HYDROGEN => dose.alkalinity_eq,
        CARBONATE => dose.carbon_mol,
        carried => CARRIED.get(carried - 2).map_or(0.0, |(_, ion)| dose.ions.get(*ion)),
    }
}

impl<'a> Newton<'a> {
    pub fn new(constants: &'a Constants, liquor: &Liquor, freedoms: &'a [Freedom]) -> Self {
        let all = liquor.as_dose();
        let mut newton = Newton {
            constants,
            freedoms,
            masters: [0; MASTERS],
            master_count: 0,
            place_of: [MASTERS; MASTERS],
            totals: [0.0; MASTERS],
            unpaired_strength: 0.0,
            unpaired_molality: 0.0,
            species: [ABSENT; SPECIES_COUNT],
            species_count: 0,
            ln_activity: [f64::NEG_INFINITY; MASTERS],
            ionic_strength: 0.0,
            ln_water: 0.0,
            extents: [0.0; FREEDOMS],
            residual: f64::INFINITY,
            iterations: 0,
        };
        let mut there = 0_u32;
        for master in 0..MASTERS {
            let total = moved(&all, master);
            let comes = freedoms.iter().any(|freedom| moved(&freedom.moves, master) > 0.0);
            if master == HYDROGEN || total > 0.0 || comes {
                let place = newton.master_count;
                newton.masters[place] = master;
                newton.place_of[master] = place;
                newton.totals[place] = total;
                newton.master_count += 1;
                there |= 1 << master;
            }
        }
        for (index, needs) in NEEDS.iter().enumerate() {
            if needs & !there == 0 {
                newton.species[newton.species_count] = newton.present(index);
                newton.species_count += 1;
            }
        }
        for ion in UNPAIRED {
            let amount = liquor.ions.get(ion);
            newton.unpaired_strength += ion.charge() * ion.charge() * amount / 2.0;
            newton.unpaired_molality += amount;
        }
        newton
    }

    fn present(&self, index: usize) -> Present {
        let species = &SPECIES[index];
        let mut present = Present {
            index,
            gamma: self.constants.gamma[index],
            ln_k: self.constants.ln_k[index],
            water: f64::from(species.water),
            half_square: HALF_SQUARE[index],
            parts: 1,
            ..ABSENT
        };
        present.weights[0] = ALKALINITY[index];
        for &(master, count) in species.made_of {
            if master == Master::Hydrogen {
                present.counts[0] = f64::from(count);
            } else {
                present.places[present.parts] = self.place_of[master as usize];
                present.counts[present.parts] = f64::from(count);
                present.weights[present.parts] = f64::from(count);
                present.parts += 1;
            }
        }
        present
    }

    fn ln_gamma(&self, species: usize) -> f64 {
        self.constants.gamma[species].ln(self.ionic_strength.sqrt())
    }

    fn total(&self, master: usize) -> f64 {
        self.totals.get(self.place_of[master]).copied().unwrap_or(0.0)
    }

    /// A start from closed forms: every ion free, carbonate, water and weak acids setting the pH.
    pub fn start(&mut self) {
        let mut strength = self.unpaired_strength + self.totals[HYDROGEN].abs() / 2.0;
        for place in 1..self.master_count {
            strength += HALF_SQUARE[BARE[self.masters[place]]] * self.totals[place] * STRONG[self.masters[place]];
        }
        self.ionic_strength = strength.clamp(1.0e-7, IONIC_STRENGTH[1]);
        let ph = self.ph_wanted().unwrap_or_else(|| self.guess_ph());
        self.start_at(ph);
    }

    fn ph_wanted(&self) -> Option<f64> {
        self.freedoms.iter().find_map(|freedom| match freedom.condition {
            Condition::Ph(ph) => Some(ph),
            _ => None,
        })
    }

    /// ln activity of dissolved carbon dioxide where the liquor is open.
    fn ln_gas(&self) -> Option<f64> {
        self.freedoms.iter().find_map(|freedom| match freedom.condition {
            Condition::Log10Pco2(pressure) => Some(LN_10 * pressure + self.constants.ln_k_henry),
            _ => None,
        })
    }

    /// Conditional ln of hydrogen × bicarbonate over carbon dioxide, hydrogen × carbonate over bicarbonate, and
    /// hydrogen × hydroxide; hydrogen as activity, the others as molality.
    fn conditional(&self) -> [f64; 3] {
        let formation = |species: usize| self.constants.ln_k[species] - self.ln_gamma(species);
        let bicarbonate = formation(BICARBONATE);
        [bicarbonate - formation(CARBON_DIOXIDE), formation(BARE_CARBONATE) - bicarbonate, formation(HYDROXIDE)]
    }

    fn has_other_weak_acids(&self) -> bool {
        (1..self.master_count).any(|place| self.masters[place] > CARBONATE && PROTONATES[self.masters[place]])
    }

    /// pH from carbonate, water, and where there are any the other weak acids, each as if nothing formed pairs.
    fn guess_ph(&self) -> f64 {
        let [ln_k1, ln_k2, ln_kw] = self.conditional();
        let (alkalinity, carbon) = (self.totals[HYDROGEN], self.total(CARBONATE));
        let gas = self.ln_gas().map(math::exp);
        if self.has_other_weak_acids() || gas.is_some() || alkalinity <= 0.0 {
            let (k1, k1_k2, kw) = (math::exp(ln_k1), math::exp(ln_k1 + ln_k2), math::exp(ln_kw));
            let surplus = |ph: f64| {
                let hydrogen = math::pow10(-ph);
                let (first, second) = (k1 / hydrogen, k1_k2 / (hydrogen * hydrogen));
                let carbonate = match gas {
                    Some(gas) => gas * (first + 2.0 * second),
                    None => carbon * (first + 2.0 * second) / (1.0 + first + second),
                };
                alkalinity - carbonate - kw / hydrogen + hydrogen - self.other_weak_charge(-LN_10 * ph)
            };
            return math::falling_root(surplus, PH_ENDS[0], PH_ENDS[1]);
        }
        let ln_hydrogen = if alkalinity < carbon {
            ln_k1 + math::ln((carbon - alkalinity) / alkalinity)
        } else if alkalinity < 2.0 * carbon {
            ln_k2 + math::ln((2.0 * carbon - alkalinity) / math::at_least(alkalinity - carbon, STARTING_AMOUNT))
        } else {
            ln_kw - math::ln(math::at_least(alkalinity - 2.0 * carbon, STARTING_AMOUNT))
        };
        // Near the equivalence points the closed forms run away; water is never that acid or alkaline there.
        let middle = (ln_k1 + ln_k2) / 2.0;
        let bounded = if alkalinity < carbon { ln_hydrogen.max(middle) } else { ln_hydrogen.min(middle) };
        -bounded / LN_10
    }

    /// Charge of weak acids beside carbonate at an activity of hydrogen, without pairs, eq/kg.
    fn other_weak_charge(&self, ln_hydrogen: f64) -> f64 {
        let mut charge = 0.0;
        for place in 1..self.master_count {
            let master = self.masters[place];
            if master > CARBONATE && PROTONATES[master] {
                let [sum, held] = self.protonation(master, ln_hydrogen);
                charge += self.totals[place] * held / sum;
            }
        }
        charge
    }

    /// Molality of an acid family, and the alkalinity it holds, per activity of its bare anion.
    fn protonation(&self, master: usize, ln_hydrogen: f64) -> [f64; 2] {
        let root = self.ionic_strength.sqrt();
        let place = self.place_of[master];
        let mut family = [0.0; 2];
        for species in &self.species[..self.species_count] {
            if species.parts == 2 && species.places[1] == place && species.counts[1] == 1.0 {
                let ln = species.ln_k - species.gamma.ln(root) + species.counts[0] * ln_hydrogen;
                let amount = math::exp(ln);
                family[0] += amount;
                family[1] += amount * species.weights[0];
            }
        }
        family
    }

    /// Starts at a pH with every total split by protons alone.
    fn start_at(&mut self, ph: f64) {
        let ln_hydrogen = -LN_10 * ph;
        self.ln_activity[HYDROGEN] = ln_hydrogen;
        for place in 1..self.master_count {
            let master = self.masters[place];
            let total = math::at_least(self.totals[place], STARTING_AMOUNT.min(self.totals[place] + STARTING_AMOUNT));
            self.ln_activity[place] = if PROTONATES[master] {
                let [sum, held] = self.protonation(master, ln_hydrogen);
                let free = if master == CARBONATE { self.starting_carbon(ph, held / sum) } else { total };
                self.ln_gas().filter(|_| master == CARBONATE).map_or_else(
                    || math::ln(free / sum),
                    |gas| gas - self.constants.ln_k[CARBON_DIOXIDE] - 2.0 * ln_hydrogen,
                )
            } else {
                math::ln(total) + self.ln_gamma(BARE[master])
            };
        }
    }

    /// Carbon to start with: what there is, or what the alkalinity wants where carbon is free.
    fn starting_carbon(&self, ph: f64, held_per_carbon: f64) -> f64 {
        if self.freedoms.iter().any(|freedom| freedom.moves.carbon_mol > 0.0) {
            let hydrogen = math::pow10(-ph);
            let water = math::exp(self.conditional()[2]) / hydrogen - hydrogen;
            math::at_least((self.totals[HYDROGEN] - water) / held_per_carbon, STARTING_AMOUNT)
        } else {
            self.total(CARBONATE)
        }
    }

    /// A second start where the first did not end well: brackets the pH, solving the rest at each.
    pub fn restart_from_brackets(&mut self) {
        let wanted = self.ph_wanted();
        let ph = wanted.unwrap_or_else(|| math::falling_root(|ph| self.surplus_at(ph), PH_ENDS[0], PH_ENDS[1]));
        self.extents = [0.0; FREEDOMS];
        self.iterations = 0;
        self.start_at(ph);
        self.settle_at_fixed_ph();
    }

    /// Alkalinity that is left over at a pH once the other balances hold.
    fn surplus_at(&self, ph: f64) -> f64 {
        let mut trial = self.clone();
        trial.extents = [0.0; FREEDOMS];
        trial.start_at(ph);
        trial.settle_at_fixed_ph();
        trial.fill_molality();
        let held: f64 = trial.species[..trial.species_count].iter().map(|one| one.weights[0] * one.molality).sum();
        trial.totals[HYDROGEN] - held
    }

    /// Brings the masters to their totals at the pH as it stands, by substitution: slow and certain.
    fn settle_at_fixed_ph(&mut self) {
        let open = self.ln_gas().is_some();
        for _ in 0..SUBSTITUTIONS {
            self.fill_molality();
            let mut sums = [0.0; MASTERS];
            let mut strength = self.unpaired_strength;
            for one in &self.species[..self.species_count] {
                for part in 1..one.parts {
                    sums[one.places[part]] += one.weights[part] * one.molality;
                }
                strength += one.half_square * one.molality;
            }
            self.ionic_strength = (self.ionic_strength * strength.clamp(IONIC_STRENGTH[0], IONIC_STRENGTH[1])).sqrt();
            let mut worst: f64 = 0.0;
            for (place, sum) in sums.iter().enumerate().take(self.master_count).skip(1) {
                let held = self.masters[place] == CARBONATE && open;
                if !held && self.totals[place] > 0.0 && *sum > 0.0 {
                    let ratio = math::ln(self.totals[place] / sum);
                    self.ln_activity[place] += ratio.clamp(-LONGEST_STEP, LONGEST_STEP);
                    worst = worst.max(ratio.abs());
                }
            }
            if worst < SETTLED {
                break;
            }
        }
    }

    fn fill_molality(&mut self) {
        let root = self.ionic_strength.sqrt();
        for one in &mut self.species[..self.species_count] {
            let mut ln = one.ln_k + one.water * self.ln_water - one.gamma.ln(root);
            for part in 0..one.parts {
                ln += one.counts[part] * self.ln_activity[one.places[part]];
            }
            one.molality = math::exp(ln);
        }
    }

    /// Newton steps until every balance closes.
    pub fn run(&mut self) -> Result<(), EquilibriumError> {
        let mut best = f64::INFINITY;
        let mut idle = 0;
        let mut system = System::new(self.master_count + 1 + self.freedoms.len());
        for _ in 0..STEPS {
            self.fill_molality();
            self.balances(&mut system);
            self.residual = system.error;
            idle = if system.error < best / 2.0 { 0 } else { idle + 1 };
            best = best.min(system.error);
            if self.residual <= TOLERANCE || (self.residual <= ROUNDING && idle >= 2) {
                return Ok(());
            }
            self.iterations += 1;
            self.jacobian(&mut system);
            if !system.eliminate() {
                break;
            }
            self.step(&system);
        }
        Err(EquilibriumError::NotConverged { residual: self.residual })
    }

    /// Errors of the balances and conditions.
    fn balances(&self, system: &mut System) {
        system.error = 0.0;
        let strength = self.master_count;
        let (mut sums, mut sizes) = ([0.0; UNKNOWNS], [0.0; UNKNOWNS]);
        let mut strength_sum = self.unpaired_strength;
        for one in &self.species[..self.species_count] {
            strength_sum += one.half_square * one.molality;
            for part in 0..one.parts {
                let share = one.weights[part] * one.molality;
                sums[one.places[part]] += share;
                sizes[one.places[part]] += share.abs();
            }
        }
        let floor = math::at_least(strength_sum, IONIC_STRENGTH[0]);
        system.balance(strength, strength_sum - self.ionic_strength, floor);
        for place in 0..self.master_count {
            let mut total = self.totals[place];
            let mut size = sizes[place] + total.abs();
            for (extent, freedom) in self.extents.iter().zip(self.freedoms) {
                let part = moved(&freedom.moves, self.masters[place]) * extent;
                total += part;
                size += part.abs();
            }
            system.balance(place, sums[place] - total, size);
        }
        for (row, freedom) in (strength + 1..).zip(self.freedoms) {
            let (made_of, water, wanted) = self.wanted(freedom.condition);
            let mut value = f64::from(water) * self.ln_water;
            for &(master, count) in made_of {
                if let Some(ln_activity) = self.ln_activity.get(self.place_of[master as usize]) {
                    value += f64::from(count) * ln_activity;
                }
            }
            system.balance(row, value - wanted, 1.0);
        }
    }

    /// How the balances change with the unknowns.
    fn jacobian(&self, system: &mut System) {
        system.clear();
        let root = self.ionic_strength.sqrt();
        let strength = self.master_count;
        for one in &self.species[..self.species_count] {
            let by_strength = -one.molality * one.gamma.slope(root);
            for row_part in 0..one.parts {
                let row = one.places[row_part];
                let weight = one.weights[row_part];
                for column_part in 0..one.parts {
                    system.add(row, one.places[column_part], weight * one.counts[column_part] * one.molality);
                }
                system.add(row, strength, weight * by_strength);
                system.add(strength, row, one.half_square * one.counts[row_part] * one.molality);
            }
            system.add(strength, strength, one.half_square * by_strength);
        }
        system.add(strength, strength, -1.0);
        for (unknown, freedom) in (strength + 1..).zip(self.freedoms) {
            for place in 0..strength {
                system.add(place, unknown, -moved(&freedom.moves, self.masters[place]));
            }
            for &(master, number) in self.wanted(freedom.condition).0 {
                let place = self.place_of[master as usize];
                if place < strength {
                    system.add(unknown, place, f64::from(number));
                }
            }
        }
    }

    /// A condition, linear in the logarithms: masters, molecules of water, and what their sum must be.
    fn wanted(&self, condition: Condition) -> (&'static [(Master, i8)], i8, f64) {
        match condition {
            Condition::Ph(ph) => (&[(Master::Hydrogen, 1)], 0, -LN_10 * ph),
            Condition::Log10Pco2(pressure) => {
                let gas = &SPECIES[CARBON_DIOXIDE];
                let activity = LN_10 * pressure + self.constants.ln_k_henry;
                (gas.made_of, gas.water, activity - self.constants.ln_k[CARBON_DIOXIDE])
            }
            Condition::Saturation(mineral, index) => {
                let (made_of, water) = mineral.made_of();
                (made_of, water, LN_10 * index + self.constants.ln_k_mineral[mineral as usize])
            }
        }
    }

    /// Takes a step, no longer than is safe.
    fn step(&mut self, system: &System) {
        let longest = system.step[..self.master_count].iter().fold(0.0_f64, |longest, step| longest.max(step.abs()));
        let share = if longest > LONGEST_STEP { LONGEST_STEP / longest } else { 1.0 };
        for place in 0..self.master_count {
            self.ln_activity[place] += share * system.step[place];
        }
        let strength = self.ionic_strength + share * system.step[self.master_count];
        let near = strength.clamp(self.ionic_strength / 4.0, self.ionic_strength * 4.0);
        self.ionic_strength = near.clamp(IONIC_STRENGTH[0], IONIC_STRENGTH[1]);
        for extent in 0..self.freedoms.len() {
            self.extents[extent] += share * system.step[self.master_count + 1 + extent];
        }
        let dissolved: f64 = self.species[..self.species_count].iter().map(|one| one.molality).sum();
        let lowered = 1.0 - WATER_LOWERING * (dissolved + self.unpaired_molality);
        self.ln_water = math::ln(math::at_least(lowered, LOWEST_WATER));
    }

    /// The answer.
    pub fn state(&self, liquor: &Liquor) -> Equilibrium {
        let mut now = *liquor;
        for (extent, freedom) in self.extents.iter().zip(self.freedoms) {
            now = now.dosed(&freedom.moves, *extent);
        }
        let mut molality = [0.0; SPECIES_COUNT];
        for one in &self.species[..self.species_count] {
            molality[one.index] = one.molality;
        }
        let activity = |master: Master| self.ln_activity.get(self.place_of[master as usize]).copied();
        let mut saturation = [f64::NEG_INFINITY; Mineral::ALL.len()];
        for (slot, mineral) in saturation.iter_mut().zip(Mineral::ALL) {
            let (made_of, water) = mineral.made_of();
            let mut ln = f64::from(water) * self.ln_water - self.constants.ln_k_mineral[mineral as usize];
            for &(master, count) in made_of {
                ln += f64::from(count) * activity(master).unwrap_or(f64::NEG_INFINITY);
            }
            *slot = ln / LN_10;
        }
        let gas = molality[CARBON_DIOXIDE];
        let ln_gas = if gas > 0.0 { math::ln(gas) + self.ln_gamma(CARBON_DIOXIDE) } else { f64::NEG_INFINITY };
        Equilibrium {
            liquor: now,
            ph: -self.ln_activity[HYDROGEN] / LN_10,
            ionic_strength_mol_per_kg: self.ionic_strength,
            water_activity: math::exp(self.ln_water),
            residual: self.residual,
            iterations: self.iterations,
            log10_pco2: (ln_gas - self.constants.ln_k_henry) / LN_10,
            extents: self.extents,
            molality,
            saturation,
        }
    }
}

/// Rounds of substitution at a fixed pH, and the change of a logarithm below which it is settled.
const SUBSTITUTIONS: usize = 60;
const SETTLED: f64 = 1.0e-6;
/// Lowest activity of water: far beyond what any liquor has.
const LOWEST_WATER: f64 = 0.5;

/// 1 for masters whose bare ion is strong: those that set the first ionic strength. A weak acid's charge is counted in the
/// alkalinity.
const STRONG: [f64; MASTERS] = {
    let mut strong = [0.0; MASTERS];
    let mut master = 2;
    while master < MASTERS {
        if ALKALINITY[BARE[master]] == 0.0 {
            strong[master] = 1.0;
        }
        master += 1;
    }
    strong
};
