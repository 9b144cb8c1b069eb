//! Newton's method in the logarithms of a few master activities.
//!
//! A metal or an acid family takes part once in each of its species, so its activity follows from the ligands it meets in one
//! division: total over the sum of what a unit of activity would hold. What is left to find is the ligands (hydrogen,
//! carbonate, sulfate, fluoride, phosphate: three in most waters), the ionic strength, and the freedoms of the question.

use super::constants::Constants;
use super::equilibrium::{Condition, Equilibrium, EquilibriumError, FREEDOMS, Freedom};
use super::linear::{System, UNKNOWNS};
use super::species::{
    ALKALINITY, BARE_CARBONATE, BICARBONATE, CARBON_DIOXIDE, CARRIERS, CARRIERS_COUNT, EXPONENTS, HYDROXIDE, LIGANDS,
    LIGANDS_ONLY, Mineral, SPECIES, UNPAIRED, WATER, WEIGHTS,
};
use crate::ion::Ion;
use crate::liquor::{Dose, Liquor};
use crate::math::{self, LN_10};

const SPECIES_COUNT: usize = SPECIES.len();
/// Places of the first two ligands.
const HYDROGEN: usize = 0;
const CARBONATE: usize = 1;
/// The component that each later ligand carries.
const LIGAND_IONS: [Ion; LIGANDS - 2] = [Ion::Sulfate, Ion::Fluoride, Ion::Phosphate];

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
/// Lowering of the activity of water per mol/kg of dissolved matter (Garrels & Christ 1965, as in the manual of PHREEQC,
/// from memory), and the lowest it is let fall.
const WATER_LOWERING: f64 = 0.017;
const LOWEST_WATER: f64 = 0.5;
/// pH range of the bracketed start.
const PH_ENDS: [f64; 2] = [-1.0, 15.0];
/// Where carbon or another ligand that is not there yet starts, mol/kg.
const STARTING_AMOUNT: f64 = 1.0e-6;
/// Rounds of substitution at a fixed pH, and the change of a logarithm below which it is settled.
const SUBSTITUTIONS: usize = 60;
const SETTLED: f64 = 1.0e-6;

/// Balances: one of each ligand, hydrogen's being the alkalinity, and the ionic strength last.
const BALANCES: usize = LIGANDS + 1;
const STRENGTH: usize = LIGANDS;

/// A metal or acid family that is there.
#[derive(Clone, Copy, Default)]
struct Carried {
    /// Its place in the list of carriers, and its species in the list of those that can form.
    carrier: usize,
    first: usize,
    end: usize,
    total: f64,
    /// What is there of it now: total and what the freedoms moved.
    present: f64,
    ln_activity: f64,
}

#[derive(Clone)]
pub(super) struct Newton<'a> {
    constants: &'a Constants,
    freedoms: &'a [Freedom],
    /// Ligands that are there, in the order of the unknowns, and the place of each; `LIGANDS` for one that is not there.
    ligands: [usize; LIGANDS],
    ligand_count: usize,
    /// Total of each ligand, hydrogen's being the alkalinity; mol and eq per kg.
    totals: [f64; LIGANDS],
    /// ln activity of each ligand; 0 for one that is not there, whose species are left out.
    ln_activity: [f64; LIGANDS],
    is_there: [bool; LIGANDS],
    carried: [Carried; CARRIERS_COUNT],
    carried_count: usize,
    /// Species that can form: those of ligands alone first.
    formable: [u8; SPECIES_COUNT],
    formable_count: usize,
    alone_count: usize,
    /// Ionic strength and molality of ions that form no pairs.
    unpaired_strength: f64,
    unpaired_molality: f64,
    ionic_strength: f64,
    ln_water: f64,
    extents: [f64; FREEDOMS],
    /// Molality of the species that can form, and the slope of their ln γ to ionic strength, in their order.
    molality: [f64; SPECIES_COUNT],
    gamma_slope: [f64; SPECIES_COUNT],
    /// What the species add up to in each balance, the same with every part positive, and all that is dissolved.
    sums: [f64; BALANCES],
    alkalinity_size: f64,
    dissolved: f64,
    residual: f64,
    iterations: u32,
}

/// What a dose moves of a ligand; alkalinity for hydrogen.
fn moved(dose: &Dose, ligand: usize) -> f64 {
    match ligand {
        HYDROGEN => dose.alkalinity_eq,
        CARBONATE => dose.carbon_mol,
        other => LIGAND_IONS.get(other - 2).map_or(0.0, |ion| dose.ions.get(*ion)),
    }
}

impl<'a> Newton<'a> {
    pub fn new(constants: &'a Constants, liquor: &Liquor, freedoms: &'a [Freedom]) -> Self {
        let all = liquor.as_dose();
        let mut newton = Newton {
            constants,
            freedoms,
            ligands: [0; LIGANDS],
            ligand_count: 0,
            totals: [0.0; LIGANDS],
            ln_activity: [0.0; LIGANDS],
            is_there: [false; LIGANDS],
            carried: [Carried::default(); CARRIERS_COUNT],
            carried_count: 0,
            formable: [0; SPECIES_COUNT],
            formable_count: 0,
            alone_count: 0,
            unpaired_strength: 0.0,
            unpaired_molality: 0.0,
            ionic_strength: 0.0,
            ln_water: 0.0,
            extents: [0.0; FREEDOMS],
            molality: [0.0; SPECIES_COUNT],
            gamma_slope: [0.0; SPECIES_COUNT],
            sums: [0.0; BALANCES],
            alkalinity_size: 0.0,
            dissolved: 0.0,
            residual: f64::INFINITY,
            iterations: 0,
        };
        for ligand in 0..LIGANDS {
            let total = moved(&all, ligand);
            let comes = freedoms.iter().any(|freedom| moved(&freedom.moves, ligand) > 0.0);
            if ligand == HYDROGEN || total > 0.0 || comes {
                newton.ligands[newton.ligand_count] = ligand;
                newton.ligand_count += 1;
                newton.totals[ligand] = total;
                newton.is_there[ligand] = true;
                newton.list(LIGANDS_ONLY[ligand].species());
            }
        }
        newton.alone_count = newton.formable_count;
        for (carrier, row) in CARRIERS.iter().enumerate() {
            let total = liquor.ions.get(row.ion);
            if total > 0.0 || freedoms.iter().any(|freedom| freedom.moves.ions.get(row.ion) > 0.0) {
                let first = newton.formable_count;
                newton.list(row.species());
                let end = newton.formable_count;
                newton.carried[newton.carried_count] = Carried { carrier, first, end, total, present: total, ln_activity: 0.0 };
                newton.carried_count += 1;
            }
        }
        for (ion, charge) in UNPAIRED {
            let amount = liquor.ions.get(ion);
            newton.unpaired_strength += charge * charge * amount / 2.0;
            newton.unpaired_molality += amount;
        }
        newton
    }

    fn ln_gamma(&self, species: usize) -> f64 {
        self.constants.gamma[species].ln(self.ionic_strength.sqrt())
    }

    /// Lists those of a group of species whose ligands are there.
    fn list(&mut self, group: std::ops::Range<usize>) {
        for index in group {
            if EXPONENTS[index].iter().zip(self.is_there).all(|(count, there)| there || *count == 0.0) {
                self.formable[self.formable_count] = index as u8;
                self.formable_count += 1;
            }
        }
    }

    /// A start from closed forms: every ion free, carbonate, water and weak acids setting the pH.
    pub fn start(&mut self) {
        let mut strength = self.unpaired_strength + self.totals[HYDROGEN].abs() / 2.0;
        for one in &self.carried[..self.carried_count] {
            strength += CARRIERS[one.carrier].half_square_if_strong * one.total;
        }
        // Sulfate and fluoride, the strong ones among the ligands.
        strength += 2.0 * self.totals[2] + self.totals[3] / 2.0;
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

    /// pH from carbonate, water, and where there are any the other weak acids, each as if nothing formed pairs.
    fn guess_ph(&self) -> f64 {
        let [ln_k1, ln_k2, ln_kw] = self.conditional();
        let (alkalinity, carbon) = (self.totals[HYDROGEN], self.totals[CARBONATE]);
        let gas = self.ln_gas().map(math::exp);
        let others = self.totals[4] > 0.0
            || self.carried[..self.carried_count].iter().any(|one| CARRIERS[one.carrier].protonates);
        if others || gas.is_some() || alkalinity <= 0.0 {
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
        for one in self.carried[..self.carried_count].iter().filter(|one| CARRIERS[one.carrier].protonates) {
            let [sum, held] = self.protonation(CARRIERS[one.carrier].species(), 0.0, ln_hydrogen);
            charge += one.total * held / sum;
        }
        if self.totals[4] > 0.0 {
            let [sum, held] = self.protonation(LIGANDS_ONLY[4].species(), 1.0, ln_hydrogen);
            charge += self.totals[4] * held / sum;
        }
        charge
    }

    /// Molality of an acid family, and the alkalinity it holds, per activity of its bare anion; `own` is how often that
    /// anion counts among the ligands.
    fn protonation(&self, family: std::ops::Range<usize>, own: f64, ln_hydrogen: f64) -> [f64; 2] {
        let root = self.ionic_strength.sqrt();
        let (mut sum, mut held) = (0.0, 0.0);
        for index in family {
            // The family with hydrogen alone: no second ligand.
            if EXPONENTS[index][CARBONATE..].iter().sum::<f64>() > own {
                continue;
            }
            let protons = EXPONENTS[index][HYDROGEN] * ln_hydrogen;
            let amount = math::exp(self.constants.ln_k[index] - self.constants.gamma[index].ln(root) + protons);
            sum += amount;
            held += amount * ALKALINITY[index];
        }
        [sum, held]
    }

    /// Starts at a pH with every total split by protons alone.
    fn start_at(&mut self, ph: f64) {
        let ln_hydrogen = -LN_10 * ph;
        self.ln_activity[HYDROGEN] = ln_hydrogen;
        for place in 1..self.ligand_count {
            let ligand = self.ligands[place];
            let total = if self.totals[ligand] > 0.0 { self.totals[ligand] } else { STARTING_AMOUNT };
            let [sum, held] = self.protonation(LIGANDS_ONLY[ligand].species(), 1.0, ln_hydrogen);
            self.ln_activity[ligand] = match self.ln_gas() {
                Some(gas) if ligand == CARBONATE => gas - self.constants.ln_k[CARBON_DIOXIDE] - 2.0 * ln_hydrogen,
                _ if ligand == CARBONATE => math::ln(self.starting_carbon(ph, held / sum) / sum),
                _ => math::ln(total / sum),
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
            self.totals[CARBONATE]
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
        trial.fill();
        trial.totals[HYDROGEN] - trial.sums[HYDROGEN]
    }

    /// Brings the ligands to their totals at the pH as it stands, by substitution: slow and certain.
    fn settle_at_fixed_ph(&mut self) {
        let open = self.ln_gas().is_some();
        for _ in 0..SUBSTITUTIONS {
            self.fill();
            let strength = (self.unpaired_strength + self.sums[STRENGTH]).clamp(IONIC_STRENGTH[0], IONIC_STRENGTH[1]);
            self.ionic_strength = (self.ionic_strength * strength).sqrt();
            let mut worst: f64 = 0.0;
            for place in 1..self.ligand_count {
                let ligand = self.ligands[place];
                let sum = self.sums[ligand];
                let held = ligand == CARBONATE && open;
                if !held && self.totals[ligand] > 0.0 && sum > 0.0 {
                    let ratio = math::ln(self.totals[ligand] / sum);
                    self.ln_activity[ligand] += ratio.clamp(-LONGEST_STEP, LONGEST_STEP);
                    worst = worst.max(ratio.abs());
                }
            }
            if worst < SETTLED {
                break;
            }
        }
    }

    /// Molality of every species, the activity of every metal and acid family, and what they add up to.
    fn fill(&mut self) {
        let root = self.ionic_strength.sqrt();
        (self.sums, self.alkalinity_size, self.dissolved) = ([0.0; BALANCES], 0.0, self.unpaired_molality);
        for place in 0..self.alone_count {
            self.per_activity(place, root);
            self.count(place);
        }
        for one in 0..self.carried_count {
            let mut carried = self.carried[one];
            let ion = CARRIERS[carried.carrier].ion;
            let moved = self.extents.iter().zip(self.freedoms).map(|(extent, freedom)| extent * freedom.moves.ions.get(ion));
            carried.present = math::at_least(carried.total + moved.sum::<f64>(), f64::MIN_POSITIVE);
            let mut sum = 0.0;
            for place in carried.first..carried.end {
                self.per_activity(place, root);
                sum += self.molality[place];
            }
            let activity = carried.present / sum;
            for place in carried.first..carried.end {
                self.molality[place] *= activity;
                self.count(place);
            }
            carried.ln_activity = math::ln(activity);
            self.carried[one] = carried;
        }
    }

    /// Molality of a species per activity of its metal or acid family, if it has one, and the slope of its ln γ.
    fn per_activity(&mut self, place: usize, root: f64) {
        let index = usize::from(self.formable[place]);
        let (ln_gamma, slope) = self.constants.gamma[index].ln_and_slope(root);
        let [hydrogen, carbonate, sulfate, fluoride, phosphate] = EXPONENTS[index];
        let y = &self.ln_activity;
        let ln = self.constants.ln_k[index] - ln_gamma + WATER[index] * self.ln_water
            + (hydrogen * y[0] + carbonate * y[1])
            + (sulfate * y[2] + fluoride * y[3])
            + phosphate * y[4];
        self.molality[place] = math::exp(ln);
        self.gamma_slope[place] = slope;
    }

    /// Counts a species in the balances.
    fn count(&mut self, place: usize) {
        let molality = self.molality[place];
        let weights = &WEIGHTS[usize::from(self.formable[place])];
        for (sum, weight) in self.sums.iter_mut().zip(weights) {
            *sum += weight * molality;
        }
        self.alkalinity_size += weights[HYDROGEN].abs() * molality;
        self.dissolved += molality;
    }

    /// Newton steps until every balance closes.
    pub fn run(&mut self) -> Result<(), EquilibriumError> {
        let mut best = f64::INFINITY;
        let mut idle = 0;
        let mut system = System::new(self.ligand_count + 1 + self.freedoms.len());
        for _ in 0..STEPS {
            self.fill();
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
        let strength = self.ligand_count;
        let strength_sum = self.unpaired_strength + self.sums[STRENGTH];
        let floor = math::at_least(strength_sum, IONIC_STRENGTH[0]);
        system.balance(strength, strength_sum - self.ionic_strength, floor);
        for (place, &ligand) in self.ligands[..self.ligand_count].iter().enumerate() {
            let mut total = self.totals[ligand];
            let held = if ligand == HYDROGEN { self.alkalinity_size } else { self.sums[ligand] };
            let mut size = held + total.abs();
            for (extent, freedom) in self.extents.iter().zip(self.freedoms) {
                let part = moved(&freedom.moves, ligand) * extent;
                total += part;
                size += part.abs();
            }
            system.balance(place, self.sums[ligand] - total, size);
        }
        for (row, freedom) in (strength + 1..).zip(self.freedoms) {
            let wanted = self.wanted(freedom.condition);
            let mut value = wanted.water * self.ln_water;
            for (count, ln_activity) in wanted.ligands.iter().zip(&self.ln_activity) {
                value += count * ln_activity;
            }
            if let Some(ion) = wanted.carried {
                value += self.carried_of(ion).map_or(0.0, |one| self.carried[one].ln_activity);
            }
            system.balance(row, value - wanted.value, 1.0);
        }
    }

    /// Place of a metal among those that are there.
    fn carried_of(&self, ion: Ion) -> Option<usize> {
        self.carried[..self.carried_count].iter().position(|one| CARRIERS[one.carrier].ion == ion)
    }

    /// How ln molality of a species changes with ligands and ionic strength, its metal's activity held.
    fn slopes(&self, place: usize) -> [f64; BALANCES] {
        let [hydrogen, carbonate, sulfate, fluoride, phosphate] = EXPONENTS[usize::from(self.formable[place])];
        [hydrogen, carbonate, sulfate, fluoride, phosphate, -self.gamma_slope[place]]
    }

    /// How the balances change with the unknowns.
    fn jacobian(&self, system: &mut System) {
        let mut slopes_of_sums = [[0.0; BALANCES]; BALANCES];
        let mut add = |place: usize, slopes: &[f64; BALANCES]| {
            let weights = &WEIGHTS[usize::from(self.formable[place])];
            for (row, weight) in slopes_of_sums.iter_mut().zip(weights) {
                let share = weight * self.molality[place];
                for (value, slope) in row.iter_mut().zip(slopes) {
                    *value += share * slope;
                }
            }
        };
        for place in 0..self.alone_count {
            add(place, &self.slopes(place));
        }
        // A metal's activity falls as its ligands take it up: how, and what the metal counts in each balance.
        let mut taken_up = [[0.0; BALANCES]; CARRIERS_COUNT];
        let mut counted = [[0.0; BALANCES]; CARRIERS_COUNT];
        for (one, carried) in self.carried[..self.carried_count].iter().enumerate() {
            for place in carried.first..carried.end {
                let share = self.molality[place] / carried.present;
                let weights = &WEIGHTS[usize::from(self.formable[place])];
                for (up, slope) in taken_up[one].iter_mut().zip(self.slopes(place)) {
                    *up += share * slope;
                }
                for (count, weight) in counted[one].iter_mut().zip(weights) {
                    *count += weight * self.molality[place];
                }
            }
            for place in carried.first..carried.end {
                let mut slopes = self.slopes(place);
                for (slope, up) in slopes.iter_mut().zip(&taken_up[one]) {
                    *slope -= up;
                }
                add(place, &slopes);
            }
        }
        slopes_of_sums[STRENGTH][STRENGTH] -= 1.0;
        self.lay_out(system, &slopes_of_sums, &taken_up, &counted);
    }

    /// Puts the slopes of the balances into the system, and those of freedoms and conditions beside them.
    fn lay_out(
        &self,
        system: &mut System,
        slopes_of_sums: &[[f64; BALANCES]; BALANCES],
        taken_up: &[[f64; BALANCES]; CARRIERS_COUNT],
        counted: &[[f64; BALANCES]; CARRIERS_COUNT],
    ) {
        system.clear();
        let size = self.ligand_count + 1;
        let mut kinds = [STRENGTH; BALANCES];
        kinds[..self.ligand_count].copy_from_slice(&self.ligands[..self.ligand_count]);
        for (row, &row_kind) in kinds[..size].iter().enumerate() {
            for (column, &column_kind) in kinds[..size].iter().enumerate() {
                system.add(row, column, slopes_of_sums[row_kind][column_kind]);
            }
        }
        for (unknown, freedom) in (size..).zip(self.freedoms) {
            for (row, &kind) in kinds[..size].iter().enumerate() {
                let own = if kind == STRENGTH { 0.0 } else { moved(&freedom.moves, kind) };
                let by_metals: f64 = self.carried[..self.carried_count]
                    .iter()
                    .zip(counted)
                    .map(|(one, counted)| counted[kind] * freedom.moves.ions.get(CARRIERS[one.carrier].ion) / one.present)
                    .sum();
                system.add(row, unknown, by_metals - own);
            }
            let wanted = self.wanted(freedom.condition);
            let carried = wanted.carried.and_then(|ion| self.carried_of(ion));
            for (column, &kind) in kinds[..size].iter().enumerate() {
                let own = wanted.ligands.get(kind).copied().unwrap_or(0.0);
                system.add(unknown, column, own - carried.map_or(0.0, |one| taken_up[one][kind]));
            }
            if let Some(one) = carried {
                let metal = &self.carried[one];
                for (column, other) in (size..).zip(self.freedoms) {
                    system.add(unknown, column, other.moves.ions.get(CARRIERS[metal.carrier].ion) / metal.present);
                }
            }
        }
    }

    /// A condition, linear in the logarithms.
    fn wanted(&self, condition: Condition) -> Wanted {
        match condition {
            Condition::Ph(ph) => Wanted { ligands: [1.0, 0.0, 0.0, 0.0, 0.0], carried: None, water: 0.0, value: -LN_10 * ph },
            Condition::Log10Pco2(pressure) => Wanted {
                ligands: EXPONENTS[CARBON_DIOXIDE],
                carried: None,
                water: WATER[CARBON_DIOXIDE],
                value: LN_10 * pressure + self.constants.ln_k_henry - self.constants.ln_k[CARBON_DIOXIDE],
            },
            Condition::Saturation(mineral, index) => {
                let (carried, ligands, water) = mineral.made_of();
                let value = LN_10 * index + self.constants.ln_k_mineral[mineral as usize];
                Wanted { ligands, carried: Some(carried), water, value }
            }
        }
    }

    /// Takes a step, no longer than is safe.
    fn step(&mut self, system: &System) {
        let logs = &system.step[..self.ligand_count];
        let longest = logs.iter().fold(0.0_f64, |longest, step| longest.max(step.abs()));
        let mut share = if longest > LONGEST_STEP { LONGEST_STEP / longest } else { 1.0 };
        for one in &self.carried[..self.carried_count] {
            let taken: f64 = self
                .freedoms
                .iter()
                .zip(&system.step[self.ligand_count + 1..])
                .map(|(freedom, step)| -step * freedom.moves.ions.get(CARRIERS[one.carrier].ion))
                .sum();
            if taken * share > LARGEST_SHARE * one.present {
                share = LARGEST_SHARE * one.present / taken;
            }
        }
        for (place, &ligand) in self.ligands[..self.ligand_count].iter().enumerate() {
            self.ln_activity[ligand] += share * system.step[place];
        }
        let strength = self.ionic_strength + share * system.step[self.ligand_count];
        let near = strength.clamp(self.ionic_strength / 4.0, self.ionic_strength * 4.0);
        self.ionic_strength = near.clamp(IONIC_STRENGTH[0], IONIC_STRENGTH[1]);
        for (extent, step) in self.extents.iter_mut().zip(&system.step[self.ligand_count + 1..]).take(self.freedoms.len()) {
            *extent += share * step;
        }
        self.ln_water = math::ln(math::at_least(1.0 - WATER_LOWERING * self.dissolved, LOWEST_WATER));
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
            let there = counts.iter().zip(self.is_there).all(|(count, there)| there || *count == 0.0);
            if let Some(one) = self.carried_of(ion).filter(|_| there) {
                let mut ln = self.carried[one].ln_activity + water * self.ln_water - self.constants.ln_k_mineral[mineral as usize];
                for (count, ln_activity) in counts.iter().zip(&self.ln_activity) {
                    ln += count * ln_activity;
                }
                *slot = ln / LN_10;
            }
        }
        let mut molality = [0.0; SPECIES_COUNT];
        for (index, amount) in self.formable[..self.formable_count].iter().zip(self.molality) {
            molality[usize::from(*index)] = amount;
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

/// A condition written out: counts of ligands and of one metal, molecules of water, and what their logarithms sum to.
struct Wanted {
    ligands: [f64; LIGANDS],
    carried: Option<Ion>,
    water: f64,
    value: f64,
}
