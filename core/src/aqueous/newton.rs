//! Newton's method in the logarithms: the balances, their Jacobian, and the steps.

use super::constants::Constants;
use super::equilibrium::{Condition, Equilibrium, EquilibriumError, FREEDOMS, Freedom};
use super::species::{CARRIED, MASTERS, Master, Mineral, SPECIES, UNPAIRED, alkalinity_of};
use crate::liquor::{Dose, Liquor};
use crate::math::{self, LN_10};

/// Most unknowns: masters, ionic strength, freedoms.
const UNKNOWNS: usize = MASTERS + 1 + FREEDOMS;
const SPECIES_COUNT: usize = SPECIES.len();

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
/// Lowering of the activity of water per mol/kg of dissolved matter (Garrels & Christ 1965, as in PHREEQC's manual, eq. 17,
/// from memory).
const WATER_LOWERING: f64 = 0.017;
/// pH range of the bracketed start.
const PH_ENDS: [f64; 2] = [-1.0, 15.0];

pub(super) struct Newton<'a> {
    constants: &'a Constants,
    freedoms: &'a [Freedom],
    /// Totals of the masters, hydrogen's being the alkalinity; mol and eq per kg.
    totals: [f64; MASTERS],
    /// Ionic strength and molality of ions that form no pairs.
    unpaired_strength: f64,
    unpaired_molality: f64,
    /// Masters that are there, and the species they make.
    masters: [usize; MASTERS],
    master_count: usize,
    species: [u8; SPECIES_COUNT],
    species_count: usize,
    ln_activity: [f64; MASTERS],
    ionic_strength: f64,
    ln_water: f64,
    extents: [f64; FREEDOMS],
    molality: [f64; SPECIES_COUNT],
    residual: f64,
    iterations: u32,
}

/// Alkalinity and totals that a dose moves, by master.
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
            totals: [0.0; MASTERS],
            unpaired_strength: 0.0,
            unpaired_molality: 0.0,
            masters: [0; MASTERS],
            master_count: 0,
            species: [0; SPECIES_COUNT],
            species_count: 0,
            ln_activity: [f64::NEG_INFINITY; MASTERS],
            ionic_strength: 0.0,
            ln_water: 0.0,
            extents: [0.0; FREEDOMS],
            molality: [0.0; SPECIES_COUNT],
            residual: f64::INFINITY,
            iterations: 0,
        };
        let mut present = 0_u32;
        for master in 0..MASTERS {
            let total = moved(&all, master);
            newton.totals[master] = total;
            let comes = freedoms.iter().any(|freedom| moved(&freedom.moves, master) > 0.0);
            if master == HYDROGEN || total > 0.0 || comes {
                newton.masters[newton.master_count] = master;
                newton.master_count += 1;
                present |= 1 << master;
            }
        }
        for (index, needs) in NEEDS.iter().enumerate() {
            if needs & !present == 0 {
                newton.species[newton.species_count] = index as u8;
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

    fn present(&self) -> impl Iterator<Item = usize> + use<> {
        let (masters, count) = (self.masters, self.master_count);
        masters.into_iter().take(count)
    }

    fn ln_gamma(&self, species: usize) -> f64 {
        self.constants.gamma[species].ln(self.ionic_strength.sqrt())
    }

    /// A start from closed forms: every ion free, carbonate and water alone setting the pH.
    pub fn start(&mut self) {
        let alkalinity = self.totals[HYDROGEN];
        let mut strength = self.unpaired_strength + alkalinity.abs() / 2.0;
        for (master, ion) in CARRIED {
            strength += ion.charge() * ion.charge() * self.totals[master as usize] / 2.0;
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

    fn log10_pco2(&self) -> Option<f64> {
        self.freedoms.iter().find_map(|freedom| match freedom.condition {
            Condition::Log10Pco2(pressure) => Some(pressure),
            _ => None,
        })
    }

    /// Conditional ln of hydrogen activity × bicarbonate over carbon dioxide, hydrogen × carbonate over bicarbonate, and
    /// hydrogen × hydroxide.
    fn conditional(&self) -> [f64; 3] {
        let formation = |species: usize| self.constants.ln_k[species] - self.ln_gamma(species);
        [
            formation(BICARBONATE) - formation(CARBON_DIOXIDE),
            -formation(BICARBONATE) + formation(BARE_CARBONATE),
            formation(HYDROXIDE),
        ]
    }

    /// pH from carbonate, water, and where there are any the other weak acids, each as if nothing formed pairs.
    fn guess_ph(&self) -> f64 {
        let [ln_k1, ln_k2, ln_kw] = self.conditional();
        let alkalinity = self.totals[HYDROGEN];
        let weak = self.present().any(|master| master > CARBONATE && NEGATIVE_BARE[master] && self.totals[master] > 0.0);
        let gas = self.log10_pco2().map(|pressure| math::exp(LN_10 * pressure + self.constants.ln_k_henry));
        if weak || gas.is_some() || alkalinity <= 0.0 {
            let carbon = self.totals[CARBONATE];
            let surplus = |ph: f64| {
                let hydrogen = math::pow10(-ph);
                let (first, second) = (math::exp(ln_k1) / hydrogen, math::exp(ln_k1 + ln_k2) / (hydrogen * hydrogen));
                let carbonate = match gas {
                    Some(gas) => gas * (first + 2.0 * second),
                    None => carbon * (first + 2.0 * second) / (1.0 + first + second),
                };
                alkalinity - carbonate - math::exp(ln_kw) / hydrogen + hydrogen - self.weak_charge(hydrogen)
            };
            return math::falling_root(surplus, PH_ENDS[0], PH_ENDS[1]);
        }
        let carbon = self.totals[CARBONATE];
        let ln_hydrogen = if alkalinity < carbon {
            ln_k1 + math::ln((carbon - alkalinity) / alkalinity)
        } else if alkalinity < 2.0 * carbon {
            let upper = ln_k2 + math::ln((2.0 * carbon - alkalinity) / (alkalinity - carbon + 1.0e-30));
            // At the equivalence point of bicarbonate both forms run away; their middle does not.
            upper.min((ln_k1 + ln_k2) / 2.0 + 4.0)
        } else {
            ln_kw - math::ln(alkalinity - 2.0 * carbon + 1.0e-7)
        };
        (-ln_hydrogen / LN_10).clamp(3.0, 12.5)
    }

    /// Charge of weak acids beside carbonate at a hydrogen activity, without pairs, eq/kg.
    fn weak_charge(&self, hydrogen: f64) -> f64 {
        let ln_hydrogen = math::ln(hydrogen);
        let mut charge = 0.0;
        for master in self.present().filter(|master| *master > CARBONATE) {
            let (mut sum, mut held) = (0.0, 0.0);
            for (index, species) in SPECIES.iter().enumerate() {
                let [(first, 1), rest @ ..] = species.made_of else { continue };
                let protons = match rest {
                    [] => 0,
                    [(Master::Hydrogen, protons)] => *protons,
                    _ => continue,
                };
                if *first as usize == master {
                    let amount = math::exp(
                        self.constants.ln_k[index] - self.ln_gamma(index) + f64::from(protons) * ln_hydrogen,
                    );
                    sum += amount;
                    held += amount * ALKALINITY[index];
                }
            }
            if sum > 0.0 {
                charge += self.totals[master] * held / sum;
            }
        }
        charge
    }

    /// Starts at a pH with every total split by protons alone.
    fn start_at(&mut self, ph: f64) {
        let ln_hydrogen = -LN_10 * ph;
        self.ln_activity[HYDROGEN] = ln_hydrogen;
        let [ln_k1, ln_k2, _] = self.conditional();
        for master in self.present().filter(|master| *master != HYDROGEN) {
            let bare = BARE[master];
            let total = if self.totals[master] > 0.0 { self.totals[master] } else { STARTING_AMOUNT };
            self.ln_activity[master] = math::ln(total) + self.ln_gamma(bare) + self.ln_share_bare(master, ln_hydrogen);
        }
        if self.ln_activity[CARBONATE] > f64::NEG_INFINITY {
            let (to_one, to_two) = (ln_k1 - ln_hydrogen, ln_k1 + ln_k2 - 2.0 * ln_hydrogen);
            let (one, two) = (math::exp(to_one), math::exp(to_two));
            let alkalinity = self.totals[HYDROGEN];
            let carbon = match self.log10_pco2() {
                Some(pressure) => math::exp(LN_10 * pressure + self.constants.ln_k_henry) * (1.0 + one + two),
                None if self.carbon_is_free() => math::at_least(alkalinity * (1.0 + one + two) / (one + 2.0 * two), STARTING_AMOUNT),
                None => self.totals[CARBONATE],
            };
            self.ln_activity[CARBONATE] = math::ln(carbon) + to_two - math::ln(1.0 + one + two) + self.ln_gamma(BARE_CARBONATE);
        }
    }

    fn carbon_is_free(&self) -> bool {
        self.freedoms.iter().any(|freedom| freedom.moves.carbon_mol > 0.0)
    }

    /// ln of the share of an acid family that is bare at a hydrogen activity; 0 for a strong ion.
    fn ln_share_bare(&self, master: usize, ln_hydrogen: f64) -> f64 {
        let bare = BARE[master];
        let own = self.constants.ln_k[bare] - self.ln_gamma(bare);
        let mut sum = 0.0;
        for (index, species) in SPECIES.iter().enumerate() {
            let [(first, 1), rest @ ..] = species.made_of else { continue };
            let protons = match rest {
                [] => 0,
                [(Master::Hydrogen, protons)] => *protons,
                _ => continue,
            };
            if *first as usize == master {
                let ln = self.constants.ln_k[index] - self.ln_gamma(index) + f64::from(protons) * ln_hydrogen;
                sum += math::exp(ln - own);
            }
        }
        -math::ln(sum)
    }

    /// A second start where the first did not end well: brackets the pH, solving the rest at each.
    pub fn restart_from_brackets(&mut self) {
        let wanted = self.ph_wanted();
        let guess = wanted.unwrap_or_else(|| math::falling_root(|ph| self.surplus_at(ph), PH_ENDS[0], PH_ENDS[1]));
        self.extents = [0.0; FREEDOMS];
        self.iterations = 0;
        self.start_at(guess);
        self.settle_at_fixed_ph();
    }

    /// Alkalinity that is left over at a pH once the other balances hold.
    fn surplus_at(&self, ph: f64) -> f64 {
        let mut trial = Newton { ..*self };
        trial.extents = [0.0; FREEDOMS];
        trial.start_at(ph);
        trial.settle_at_fixed_ph();
        trial.fill_molality();
        let held: f64 = trial.each_species().map(|index| ALKALINITY[index] * trial.molality[index]).sum();
        trial.totals[HYDROGEN] - held
    }

    /// Brings the masters to their totals at the pH as it stands, by substitution: slow and certain.
    fn settle_at_fixed_ph(&mut self) {
        for _ in 0..60 {
            self.fill_molality();
            let mut sums = [0.0; MASTERS];
            let mut strength = self.unpaired_strength;
            for index in self.each_species() {
                for &(master, count) in SPECIES[index].made_of {
                    sums[master as usize] += f64::from(count) * self.molality[index];
                }
                strength += HALF_SQUARE[index] * self.molality[index];
            }
            self.ionic_strength = (self.ionic_strength * strength.clamp(IONIC_STRENGTH[0], IONIC_STRENGTH[1])).sqrt();
            let mut worst: f64 = 0.0;
            for master in self.present().filter(|master| *master != HYDROGEN) {
                let open = master == CARBONATE && self.log10_pco2().is_some();
                if !open && self.totals[master] > 0.0 && sums[master] > 0.0 {
                    let ratio = math::ln(self.totals[master] / sums[master]);
                    self.ln_activity[master] += ratio.clamp(-LONGEST_STEP, LONGEST_STEP);
                    worst = worst.max(ratio.abs());
                }
            }
            if worst < 1.0e-6 {
                break;
            }
        }
    }

    fn each_species(&self) -> impl Iterator<Item = usize> + use<> {
        let (species, count) = (self.species, self.species_count);
        species.into_iter().take(count).map(usize::from)
    }

    fn fill_molality(&mut self) {
        let root = self.ionic_strength.sqrt();
        for place in 0..self.species_count {
            let index = usize::from(self.species[place]);
            let species = &SPECIES[index];
            let mut ln = self.constants.ln_k[index] + f64::from(species.water) * self.ln_water;
            for &(master, count) in species.made_of {
                ln += f64::from(count) * self.ln_activity[master as usize];
            }
            self.molality[index] = math::exp(ln - self.constants.gamma[index].ln(root));
        }
    }

    /// Newton steps until every balance closes.
    pub fn run(&mut self) -> Result<(), EquilibriumError> {
        let mut best = f64::INFINITY;
        let mut idle = 0;
        for _ in 0..STEPS {
            self.fill_molality();
            let mut system = System::new(self);
            self.assemble(&mut system);
            self.residual = system.error;
            if system.error <= TOLERANCE {
                return Ok(());
            }
            idle = if system.error < best * 0.5 { 0 } else { idle + 1 };
            best = best.min(system.error);
            if best <= ROUNDING && idle >= 2 && self.residual <= ROUNDING {
                return Ok(());
            }
            self.iterations += 1;
            if !system.eliminate() {
                break;
            }
            self.step(&system);
        }
        Err(EquilibriumError::NotConverged { residual: self.residual })
    }

    /// Balances (right-hand side: minus their error) and their Jacobian.
    fn assemble(&self, system: &mut System) {
        let root = self.ionic_strength.sqrt();
        let strength = self.master_count;
        let mut sums = [0.0; MASTERS];
        let mut sizes = [0.0; MASTERS];
        let mut strength_sum = self.unpaired_strength;
        let mut place_of = [usize::MAX; MASTERS];
        for (place, master) in self.present().enumerate() {
            place_of[master] = place;
        }
        for index in self.each_species() {
            let species = &SPECIES[index];
            let molality = self.molality[index];
            let by_strength = -molality * self.constants.gamma[index].slope(root);
            let half_square = HALF_SQUARE[index];
            strength_sum += half_square * molality;
            system.add(strength, strength, half_square * by_strength);
            // The hydrogen row counts alkalinity; the others count their master.
            let mut rows = [(HYDROGEN, ALKALINITY[index]); 4];
            let mut count = 1;
            for &(master, number) in species.made_of {
                if master != Master::Hydrogen {
                    rows[count] = (master as usize, f64::from(number));
                    count += 1;
                }
            }
            for &(master, number) in species.made_of {
                let slope = f64::from(number) * molality;
                let column = place_of[master as usize];
                system.add(strength, column, half_square * slope);
                for &(row, weight) in &rows[..count] {
                    system.add(place_of[row], column, weight * slope);
                }
            }
            for &(row, weight) in &rows[..count] {
                sums[row] += weight * molality;
                sizes[row] += (weight * molality).abs();
                system.add(place_of[row], strength, weight * by_strength);
            }
        }
        system.add(strength, strength, -1.0);
        system.balance(strength, strength_sum - self.ionic_strength, math::at_least(strength_sum, IONIC_STRENGTH[0]));
        for (place, master) in self.present().enumerate() {
            let mut total = self.totals[master];
            let mut size = sizes[master] + total.abs();
            for (extent, freedom) in self.freedoms.iter().enumerate() {
                let moves = moved(&freedom.moves, master);
                total += moves * self.extents[extent];
                size += (moves * self.extents[extent]).abs();
                system.add(place, strength + 1 + extent, -moves);
            }
            system.balance(place, sums[master] - total, size);
        }
        for (extent, freedom) in self.freedoms.iter().enumerate() {
            self.condition(system, strength + 1 + extent, freedom.condition, &place_of);
        }
    }

    /// A condition: linear in the logarithms.
    fn condition(&self, system: &mut System, row: usize, condition: Condition, place_of: &[usize; MASTERS]) {
        let mut value = 0.0;
        let mut counted = |system: &mut System, made_of: &[(Master, i8)], water: i8| {
            for &(master, count) in made_of {
                let count = f64::from(count);
                if place_of[master as usize] != usize::MAX {
                    system.add(row, place_of[master as usize], count);
                    value += count * self.ln_activity[master as usize];
                }
            }
            value += f64::from(water) * self.ln_water;
        };
        let wanted = match condition {
            Condition::Ph(ph) => {
                counted(system, &[(Master::Hydrogen, 1)], 0);
                -LN_10 * ph
            }
            Condition::Log10Pco2(pressure) => {
                let gas = &SPECIES[CARBON_DIOXIDE];
                counted(system, gas.made_of, gas.water);
                LN_10 * pressure + self.constants.ln_k_henry - self.constants.ln_k[CARBON_DIOXIDE]
            }
            Condition::Saturation(mineral, index) => {
                let (made_of, water) = mineral.made_of();
                counted(system, made_of, water);
                LN_10 * index + self.constants.ln_k_mineral[mineral as usize]
            }
        };
        system.balance(row, value - wanted, 1.0);
    }

    /// Takes a step, no longer than is safe.
    fn step(&mut self, system: &System) {
        let logs = &system.solution[..self.master_count];
        let longest = logs.iter().fold(0.0_f64, |longest, step| longest.max(step.abs()));
        let share = if longest > LONGEST_STEP { LONGEST_STEP / longest } else { 1.0 };
        let masters = self.masters;
        for (place, &master) in masters[..self.master_count].iter().enumerate() {
            self.ln_activity[master] += share * system.solution[place];
        }
        let strength = self.ionic_strength + share * system.solution[self.master_count];
        self.ionic_strength =
            strength.clamp(self.ionic_strength / 4.0, self.ionic_strength * 4.0).clamp(IONIC_STRENGTH[0], IONIC_STRENGTH[1]);
        for extent in 0..self.freedoms.len() {
            self.extents[extent] += share * system.solution[self.master_count + 1 + extent];
        }
        let dissolved: f64 = self.each_species().map(|index| self.molality[index]).sum::<f64>() + self.unpaired_molality;
        self.ln_water = math::ln(math::at_least(1.0 - WATER_LOWERING * dissolved, 0.5));
    }

    /// The answer.
    pub fn state(&self, liquor: &Liquor) -> Equilibrium {
        let mut now = *liquor;
        for (extent, freedom) in self.extents.iter().zip(self.freedoms) {
            now = now.dosed(&freedom.moves, *extent);
        }
        let mut saturation = [f64::NEG_INFINITY; Mineral::ALL.len()];
        for (slot, mineral) in saturation.iter_mut().zip(Mineral::ALL) {
            let (made_of, water) = mineral.made_of();
            let ln: f64 = made_of
                .iter()
                .map(|(master, count)| f64::from(*count) * self.ln_activity[*master as usize])
                .sum::<f64>()
                + f64::from(water) * self.ln_water;
            *slot = (ln - self.constants.ln_k_mineral[mineral as usize]) / LN_10;
        }
        let gas = self.molality[CARBON_DIOXIDE];
        let log10_pco2 = if gas > 0.0 {
            (math::ln(gas) + self.ln_gamma(CARBON_DIOXIDE) - self.constants.ln_k_henry) / LN_10
        } else {
            f64::NEG_INFINITY
        };
        Equilibrium {
            liquor: now,
            ph: -self.ln_activity[HYDROGEN] / LN_10,
            ionic_strength_mol_per_kg: self.ionic_strength,
            water_activity: math::exp(self.ln_water),
            residual: self.residual,
            iterations: self.iterations,
            log10_pco2,
            extents: self.extents,
            molality: self.molality,
            saturation,
        }
    }
}

/// Where carbon or a dosed ion that is not there yet starts, mol/kg.
const STARTING_AMOUNT: f64 = 1.0e-6;

const fn position(name: &str) -> usize {
    let mut index = 0;
    while index < SPECIES_COUNT {
        if same(SPECIES[index].name, name) {
            return index;
        }
        index += 1;
    }
    index
}

const fn same(one: &str, other: &str) -> bool {
    let (one, other) = (one.as_bytes(), other.as_bytes());
    if one.len() != other.len() {
        return false;
    }
    let mut index = 0;
    while index < one.len() {
        if one[index] != other[index] {
            return false;
        }
        index += 1;
    }
    true
}

const HYDROXIDE: usize = position("OH-");
const BARE_CARBONATE: usize = position("CO3-2");
const BICARBONATE: usize = position("HCO3-");
const CARBON_DIOXIDE: usize = position("CO2");

/// Masters that a species needs, as bits.
const NEEDS: [u32; SPECIES_COUNT] = {
    let mut needs = [0; SPECIES_COUNT];
    let mut index = 0;
    while index < SPECIES_COUNT {
        let mut part = 0;
        while part < SPECIES[index].made_of.len() {
            needs[index] |= 1 << SPECIES[index].made_of[part].0 as u32;
            part += 1;
        }
        index += 1;
    }
    needs
};

/// Alkalinity of a mole of each species.
const ALKALINITY: [f64; SPECIES_COUNT] = {
    let mut alkalinity = [0.0; SPECIES_COUNT];
    let mut index = 0;
    while index < SPECIES_COUNT {
        alkalinity[index] = alkalinity_of(&SPECIES[index]) as f64;
        index += 1;
    }
    alkalinity
};

/// Half the square of each species' charge.
const HALF_SQUARE: [f64; SPECIES_COUNT] = {
    let mut half = [0.0; SPECIES_COUNT];
    let mut index = 0;
    while index < SPECIES_COUNT {
        let charge = SPECIES[index].charge as f64;
        half[index] = charge * charge / 2.0;
        index += 1;
    }
    half
};

/// The species that is each master itself.
const BARE: [usize; MASTERS] = {
    let mut bare = [0; MASTERS];
    let mut index = 0;
    while index < SPECIES_COUNT {
        let species = &SPECIES[index];
        if species.made_of.len() == 1 && species.constants.is_empty() {
            bare[species.made_of[0].0 as usize] = index;
        }
        index += 1;
    }
    bare
};

/// Masters whose bare species holds alkalinity: the weak acids.
const NEGATIVE_BARE: [bool; MASTERS] = {
    let mut weak = [false; MASTERS];
    let mut master = 0;
    while master < MASTERS {
        weak[master] = ALKALINITY[BARE[master]] > 0.0;
        master += 1;
    }
    weak
};

/// A small dense linear system, solved by elimination with row scaling and pivots.
struct System {
    size: usize,
    matrix: [[f64; UNKNOWNS]; UNKNOWNS],
    solution: [f64; UNKNOWNS],
    /// Largest relative error of a balance.
    error: f64,
}

impl System {
    fn new(newton: &Newton<'_>) -> System {
        let size = newton.master_count + 1 + newton.freedoms.len();
        System { size, matrix: [[0.0; UNKNOWNS]; UNKNOWNS], solution: [0.0; UNKNOWNS], error: 0.0 }
    }

    fn add(&mut self, row: usize, column: usize, value: f64) {
        self.matrix[row][column] += value;
    }

    /// Sets the error of a balance and the size it is measured by.
    fn balance(&mut self, row: usize, error: f64, size: f64) {
        self.solution[row] = -error;
        let relative = if size > 0.0 { error.abs() / size } else { error.abs() };
        // A balance that is not a number must not pass as closed.
        self.error = if relative <= self.error { self.error } else { relative };
    }

    /// Gauss elimination; false where the matrix is singular or not finite.
    fn eliminate(&mut self) -> bool {
        let size = self.size;
        for row in 0..size {
            let largest = self.matrix[row][..size].iter().fold(0.0_f64, |largest, value| largest.max(value.abs()));
            if !(largest.is_finite() && largest > 0.0) {
                return false;
            }
            for value in &mut self.matrix[row][..size] {
                *value /= largest;
            }
            self.solution[row] /= largest;
        }
        for column in 0..size {
            let mut pivot = column;
            for row in column + 1..size {
                if self.matrix[row][column].abs() > self.matrix[pivot][column].abs() {
                    pivot = row;
                }
            }
            if self.matrix[pivot][column] == 0.0 {
                return false;
            }
            self.matrix.swap(column, pivot);
            self.solution.swap(column, pivot);
            let (above, below) = self.matrix.split_at_mut(column + 1);
            let lead = &above[column];
            for (offset, row) in below[..size - column - 1].iter_mut().enumerate() {
                let factor = row[column] / lead[column];
                if factor != 0.0 {
                    for (value, over) in row[column + 1..size].iter_mut().zip(&lead[column + 1..size]) {
                        *value -= factor * over;
                    }
                    self.solution[column + 1 + offset] -= factor * self.solution[column];
                }
            }
        }
        for row in (0..size).rev() {
            let known: f64 = (row + 1..size).map(|column| self.matrix[row][column] * self.solution[column]).sum();
            self.solution[row] = (self.solution[row] - known) / self.matrix[row][row];
        }
        self.solution[..size].iter().all(|value| value.is_finite())
    }
}
