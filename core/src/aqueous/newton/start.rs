//! Where Newton's method starts: closed forms, and a bracketed pH where those do not lead to an
//! end.

use underlet_tables::parameters;

use super::balances::{BALANCE_OF, Balances, within_range};
use super::tally::powers_of;
use crate::aqueous::conditions::{Condition, FREEDOMS};
use crate::aqueous::species::{
    BALANCES, BARE_CARBONATE, BICARBONATE, CARBON_DIOXIDE, CARBONATE, CARRIERS, FLUORIDE, HYDROGEN,
    HYDROXIDE, LIGANDS_ONLY, LINES, PHOSPHATE, STRENGTH, SULFATE,
};
use crate::component::Composition;
use crate::math::{self, NoRoot};

/// Longest step of a first guess in a logarithm: farther away its slope says little.
const LONGEST_STEP: f64 = 3.0;
/// pH range of the bracketed start.
const PH_ENDS: [f64; 2] = [-1.0, 15.0];
/// Where carbon or another ligand that is not there yet starts, mol/kg.
const STARTING_AMOUNT: f64 = 1.0e-6;
/// Lowest ionic strength to start with.
const LOWEST_STRENGTH: f64 = 1.0e-7;
/// Steps towards the first pH, and the change of a logarithm below which it is good enough.
const GUESSES: usize = 12;
const GOOD_ENOUGH: f64 = 0.03;
/// Rounds of substitution at a fixed pH, and the change of a logarithm below which it has
/// converged.
const SUBSTITUTIONS: usize = 60;
const SUBSTITUTED: f64 = 1.0e-6;
/// Places of carbonate and phosphate among [`LIGANDS_ONLY`].
const OF_CARBONATE: usize = 1;
const OF_PHOSPHATE: usize = 4;

/// A family of species that differ in protons alone, per activity of its bare anion: sums of
/// molality, of alkalinity, of hydrogens, and of both together.
#[derive(Clone, Copy, Default)]
struct Protonation {
    sum: f64,
    alkalinity: f64,
    hydrogens: f64,
    product: f64,
}

impl Protonation {
    /// Alkalinity that a mole holds.
    fn per_mole(&self) -> f64 {
        self.alkalinity / self.sum
    }

    /// Its slope to ln of the activity of hydrogen.
    fn slope(&self) -> f64 {
        (self.product - self.per_mole() * self.hydrogens) / self.sum
    }
}

impl Balances<'_> {
    /// A start from closed forms: every ion free, carbonate, water and weak acids setting the pH.
    pub fn start(&mut self) {
        self.extents = [0.0; FREEDOMS];
        self.dissolved = self.lasting + self.totals[CARBONATE] + self.totals[SULFATE];
        self.set_water();
        let mut strength = self.totals[HYDROGEN].abs() / 2.0 - self.totals[STRENGTH];
        for one in &self.carried[..self.carried_count] {
            strength += CARRIERS[one.carrier].half_square_if_strong * one.total;
        }
        // Sulfate and fluoride, the strong ones among the ligands.
        strength += 2.0 * self.totals[SULFATE] + self.totals[FLUORIDE] / 2.0;
        self.set_strength(strength.clamp(LOWEST_STRENGTH, parameters::MAX_IONIC_STRENGTH.value));
        let hydrogen = match self.ph {
            Some(ph) => math::pow10(-ph),
            None => self.guess_hydrogen(),
        };
        // At either end of the scale water itself makes most of the ionic strength; from far below
        // it, Newton's method would walk away from it.
        let of_water = (self.formation(HYDROXIDE) / hydrogen + hydrogen) / 2.0;
        if of_water > strength {
            self.set_strength(
                (strength + of_water).clamp(LOWEST_STRENGTH, parameters::MAX_IONIC_STRENGTH.value),
            );
        }
        self.guess_extents(hydrogen);
        self.start_at(hydrogen);
    }

    /// Formation of a species at these activity coefficients, as molality per activities.
    fn formation(&self, species: usize) -> f64 {
        self.constants.k[species] * self.inverse_gamma[LINES[species].class]
    }

    /// Only the family's species with hydrogen alone, which hold `others` of the ligands (see
    /// [`LINES`]).
    fn protonation(
        &self,
        family: std::ops::Range<usize>,
        others: usize,
        hydrogen: f64,
    ) -> Protonation {
        let mut all = Protonation::default();
        let powers = powers_of(hydrogen);
        for index in family {
            let line = &LINES[index];
            if line.others == others {
                let amount = self.formation(index) * powers[line.hydrogen];
                let alkalinity = amount * line.weights[HYDROGEN];
                all.sum += amount;
                all.alkalinity += alkalinity;
                all.hydrogens += amount * line.sensitivities[HYDROGEN];
                all.product += alkalinity * line.sensitivities[HYDROGEN];
            }
        }
        all
    }

    /// Protonation of the ligand at a place of [`LIGANDS_ONLY`].
    fn protonation_of_ligand(&self, place: usize, hydrogen: f64) -> Protonation {
        self.protonation(LIGANDS_ONLY[place].species(), place, hydrogen)
    }

    /// Alkalinity that everything holds at an activity of hydrogen, and its slope to ln of that
    /// activity; without pairs.
    fn held_at(&self, hydrogen: f64) -> [f64; 2] {
        let hydroxide = self.formation(HYDROXIDE) / hydrogen;
        let (mut held, mut slope) = (hydroxide - hydrogen, -hydroxide - hydrogen);
        let mut add = |amount: f64, family: Protonation| {
            held += amount * family.per_mole();
            slope += amount * family.slope();
        };
        for one in &self.carried[..self.carried_count] {
            let row = &CARRIERS[one.carrier];
            if row.protonates && one.total > 0.0 {
                add(one.total, self.protonation(row.species(), 0, hydrogen));
            }
        }
        for (place, balance) in [(OF_PHOSPHATE, PHOSPHATE), (OF_CARBONATE, CARBONATE)] {
            let is_open = balance == CARBONATE && self.gas.is_some();
            if self.totals[balance] > 0.0 && !is_open {
                let family = self.protonation_of_ligand(place, hydrogen);
                add(self.totals[balance], family);
            }
        }
        if let Some(gas) = self.gas {
            let family = self.protonation_of_ligand(OF_CARBONATE, hydrogen);
            let activity = gas / (hydrogen * hydrogen);
            held += activity * family.alkalinity;
            slope += activity * (family.product - 2.0 * family.alkalinity);
        }
        [held, slope]
    }

    /// Activity of hydrogen from carbonate, water, and where there are any the other weak acids,
    /// each as if nothing formed pairs.
    fn guess_hydrogen(&self) -> f64 {
        let alkalinity = self.totals[HYDROGEN];
        let is_simple = self.gas.is_none() && alkalinity > 0.0;
        let has_others = self.totals[PHOSPHATE] > 0.0
            || self.carried[..self.carried_count]
                .iter()
                .any(|one| CARRIERS[one.carrier].protonates);
        let mut hydrogen = STARTING_AMOUNT;
        if is_simple {
            hydrogen = self.hydrogen_of_carbonate();
            if !has_others {
                return hydrogen;
            }
        }
        for _ in 0..GUESSES {
            let [held, slope] = self.held_at(hydrogen);
            let step = ((alkalinity - held) / slope).clamp(-LONGEST_STEP, LONGEST_STEP);
            hydrogen *= math::exp_of_step(step);
            if step.abs() < GOOD_ENOUGH {
                return hydrogen;
            }
        }
        let surplus = |ph: f64| alkalinity - self.held_at(math::pow10(-ph))[0];
        // A start: the steps after it go beyond the ends if they must.
        let ph = math::falling_root(surplus, PH_ENDS[0], PH_ENDS[1]);
        math::pow10(-ph.unwrap_or_else(NoRoot::nearer_end))
    }

    /// Activity of hydrogen from a positive alkalinity and carbon alone.
    fn hydrogen_of_carbonate(&self) -> f64 {
        let (alkalinity, carbon) = (self.totals[HYDROGEN], self.totals[CARBONATE]);
        let bicarbonate = self.formation(BICARBONATE);
        let k1 = bicarbonate / self.formation(CARBON_DIOXIDE);
        let k2 = self.formation(BARE_CARBONATE) / bicarbonate;
        let kw = self.formation(HYDROXIDE);
        let middle = (k1 * k2).sqrt();
        // Near the equivalence points the closed forms run away; water is never that acid or
        // alkaline there.
        if alkalinity < carbon {
            (k1 * (carbon - alkalinity) / alkalinity).max(middle)
        } else if alkalinity < 2.0 * carbon {
            let beyond = math::at_least(alkalinity - carbon, STARTING_AMOUNT);
            (k2 * (2.0 * carbon - alkalinity) / beyond).min(middle)
        } else {
            (kw / math::at_least(alkalinity - 2.0 * carbon, STARTING_AMOUNT)).min(middle)
        }
    }

    /// First extents of what is moved to a pH or a partial pressure: the alkalinity is linear in
    /// them.
    fn guess_extents(&mut self, hydrogen: f64) {
        for (place, freedom) in self.freedoms.iter().enumerate() {
            if !matches!(freedom.condition, Condition::Ph(_)) {
                continue;
            }
            let mut surplus = self.moved[place][HYDROGEN];
            for (group, balance) in [(OF_PHOSPHATE, PHOSPHATE), (OF_CARBONATE, CARBONATE)] {
                let is_open = balance == CARBONATE && self.gas.is_some();
                if self.moved[place][balance] != 0.0 && !is_open {
                    let family = self.protonation_of_ligand(group, hydrogen);
                    surplus -= self.moved[place][balance] * family.per_mole();
                }
            }
            for one in &self.carried[..self.carried_count] {
                let row = &CARRIERS[one.carrier];
                let moves = freedom.moves.ions.get(row.ion);
                if row.protonates && moves != 0.0 {
                    surplus -= moves * self.protonation(row.species(), 0, hydrogen).per_mole();
                }
            }
            let extent = (self.held_at(hydrogen)[0] - self.totals[HYDROGEN]) / surplus;
            let is_safe = extent >= 0.0 || freedom.moves.ions == Composition::ZERO;
            if extent.abs() < parameters::MAX_IONIC_STRENGTH.value && is_safe {
                self.extents[place] = extent;
            }
        }
        if let Some(gas) = self.gas {
            let family = self.protonation_of_ligand(OF_CARBONATE, hydrogen);
            let carbon = gas / (hydrogen * hydrogen) * family.sum;
            for (place, freedom) in self.freedoms.iter().enumerate() {
                if matches!(freedom.condition, Condition::Log10Pco2(_)) {
                    self.extents[place] = carbon - self.now(CARBONATE);
                }
            }
        }
    }

    /// Starts at an activity of hydrogen with every total split by protons alone.
    fn start_at(&mut self, hydrogen: f64) {
        self.activity[HYDROGEN] = hydrogen;
        for (place, balance) in BALANCE_OF.into_iter().enumerate().skip(1) {
            if self.is_there[balance] {
                let total = self.now(balance);
                let total = if total > 0.0 { total } else { STARTING_AMOUNT };
                self.activity[balance] = total / self.protonation_of_ligand(place, hydrogen).sum;
            }
        }
        self.set_open_carbonate();
    }

    /// A second start where the first did not end well: brackets the pH, solving the rest at each.
    pub fn restart_from_brackets(&mut self) {
        let ph = self.ph.unwrap_or_else(|| {
            // A start, as above: what Newton's steps make of it is checked at their end.
            math::falling_root(|ph| self.surplus_at(ph), PH_ENDS[0], PH_ENDS[1])
                .unwrap_or_else(NoRoot::nearer_end)
        });
        self.iterations = 0;
        self.substitute_at(ph);
    }

    /// Alkalinity that is left over at a pH once the other balances hold.
    fn surplus_at(&self, ph: f64) -> f64 {
        let mut trial = self.clone();
        trial.substitute_at(ph);
        trial.totals[HYDROGEN] - trial.sums[HYDROGEN]
    }

    /// Brings the ligands to their totals at a pH, nothing being moved, by substitution: slow and
    /// certain.
    fn substitute_at(&mut self, ph: f64) {
        self.start();
        self.extents = [0.0; FREEDOMS];
        self.start_at(math::pow10(-ph));
        for _ in 0..SUBSTITUTIONS {
            self.fill::<BALANCES>();
            let strength = within_range(self.sums[STRENGTH] - self.totals[STRENGTH]);
            // The ionic strength must converge too: from far below it, Newton's method walks away
            // from it.
            let mut worst = (math::ln(strength / self.ionic_strength) / 2.0).abs();
            self.set_strength((self.ionic_strength * strength).sqrt());
            for balance in BALANCE_OF.into_iter().skip(1) {
                let held = balance == CARBONATE && self.gas.is_some();
                if !held && self.totals[balance] > 0.0 && self.sums[balance] > 0.0 {
                    let ratio = math::ln(self.totals[balance] / self.sums[balance]);
                    self.activity[balance] *= math::exp(ratio.clamp(-LONGEST_STEP, LONGEST_STEP));
                    worst = worst.max(ratio.abs());
                }
            }
            if worst < SUBSTITUTED {
                break;
            }
        }
        self.fill::<BALANCES>();
    }
}
