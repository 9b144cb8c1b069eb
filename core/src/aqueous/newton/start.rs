//! Where Newton's method starts: closed forms, and a bracketed pH where those do not lead to an end.

use super::super::equilibrium::FREEDOMS;
use super::super::species::{
    BALANCES, BARE_CARBONATE, BICARBONATE, CARBON_DIOXIDE, CARBONATE, CARRIERS, FLUORIDE, HYDROGEN,
    HYDROXIDE, LIGANDS_ONLY, LINES, PHOSPHATE, STRENGTH, SULFATE,
};
use super::{BALANCE_OF, IONIC_STRENGTH, LONGEST_STEP, Newton, powers_of};
use crate::math::{self, LN_10};

/// pH range of the bracketed start.
const PH_ENDS: [f64; 2] = [-1.0, 15.0];
/// Where carbon or another ligand that is not there yet starts, mol/kg.
const STARTING_AMOUNT: f64 = 1.0e-6;
/// Rounds of substitution at a fixed pH, and the change of a logarithm below which it is settled.
const SUBSTITUTIONS: usize = 60;
const SETTLED: f64 = 1.0e-6;

impl Newton<'_> {
    /// A start from closed forms: every ion free, carbonate, water and weak acids setting the pH.
    pub fn start(&mut self) {
        let mut strength = self.unpaired_strength + self.totals[HYDROGEN].abs() / 2.0;
        for one in &self.carried[..self.carried_count] {
            strength += CARRIERS[one.carrier].half_square_if_strong * one.total;
        }
        // Sulfate and fluoride, the strong ones among the ligands.
        strength += 2.0 * self.totals[SULFATE] + self.totals[FLUORIDE] / 2.0;
        self.set_strength(strength.clamp(1.0e-7, IONIC_STRENGTH[1]));
        if let Some(ph) = self.ph_wanted() {
            // At either end of the scale water itself makes most of the ionic strength; from far below it, Newton's method
            // would walk away from it.
            let hydrogen = math::pow10(-ph);
            strength += (self.conditional()[2] / hydrogen + hydrogen) / 2.0;
            self.set_strength(strength.clamp(1.0e-7, IONIC_STRENGTH[1]));
        }
        let ph = self.ph_wanted().unwrap_or_else(|| self.guess_ph());
        self.start_at(ph);
    }

    /// Formation of a species at these activity coefficients, as molality per activities.
    fn formation(&self, species: usize) -> f64 {
        self.k[species] * self.inverse_gamma[LINES[species].class]
    }

    /// Conditional constants: hydrogen × bicarbonate over carbon dioxide, hydrogen × carbonate over bicarbonate, and
    /// hydrogen × hydroxide; hydrogen as activity, the others as molality.
    fn conditional(&self) -> [f64; 3] {
        let bicarbonate = self.k[BICARBONATE] * self.inverse_gamma[LINES[BICARBONATE].class];
        let of = |species: usize| {
            let k = if self.k[species] > 0.0 {
                self.k[species]
            } else {
                math::exp(self.constants.ln_k[species])
            };
            k * self.inverse_gamma[LINES[species].class]
        };
        [
            bicarbonate / of(CARBON_DIOXIDE),
            of(BARE_CARBONATE) / bicarbonate,
            of(HYDROXIDE),
        ]
    }

    /// pH from carbonate, water, and where there are any the other weak acids, each as if nothing formed pairs.
    fn guess_ph(&self) -> f64 {
        let [k1, k2, kw] = self.conditional();
        let (alkalinity, carbon) = (self.totals[HYDROGEN], self.totals[CARBONATE]);
        let gas = self
            .ln_gas()
            .map(|ln| math::exp(ln) * self.inverse_gamma[LINES[CARBON_DIOXIDE].class]);
        let others = self.is_there[PHOSPHATE]
            || self.carried[..self.carried_count]
                .iter()
                .any(|one| CARRIERS[one.carrier].protonates);
        if others || gas.is_some() || alkalinity <= 0.0 {
            let surplus = |ph: f64| {
                let hydrogen = math::pow10(-ph);
                let (first, second) = (k1 / hydrogen, k1 * k2 / (hydrogen * hydrogen));
                let carbonate = match gas {
                    Some(gas) => gas * (first + 2.0 * second),
                    None => carbon * (first + 2.0 * second) / (1.0 + first + second),
                };
                alkalinity - carbonate - kw / hydrogen + hydrogen - self.other_weak_charge(hydrogen)
            };
            return math::falling_root(surplus, PH_ENDS[0], PH_ENDS[1]);
        }
        let hydrogen = if alkalinity < carbon {
            k1 * (carbon - alkalinity) / alkalinity
        } else if alkalinity < 2.0 * carbon {
            k2 * (2.0 * carbon - alkalinity) / math::at_least(alkalinity - carbon, STARTING_AMOUNT)
        } else {
            kw / math::at_least(alkalinity - 2.0 * carbon, STARTING_AMOUNT)
        };
        // Near the equivalence points the closed forms run away; water is never that acid or alkaline there.
        let middle = (k1 * k2).sqrt();
        let bounded = if alkalinity < carbon {
            hydrogen.max(middle)
        } else {
            hydrogen.min(middle)
        };
        -math::log10(bounded)
    }

    /// Charge of weak acids beside carbonate at an activity of hydrogen, without pairs, eq/kg.
    fn other_weak_charge(&self, hydrogen: f64) -> f64 {
        let mut charge = 0.0;
        for one in self.carried[..self.carried_count]
            .iter()
            .filter(|one| CARRIERS[one.carrier].protonates)
        {
            let [sum, held] = self.protonation(CARRIERS[one.carrier].species(), 0, hydrogen);
            charge += one.total * held / sum;
        }
        if self.is_there[PHOSPHATE] {
            let [sum, held] = self.protonation(LIGANDS_ONLY[4].species(), 4, hydrogen);
            charge += self.totals[PHOSPHATE] * held / sum;
        }
        charge
    }

    /// Molality of an acid family, and the alkalinity it holds, per activity of its bare anion; only its species with hydrogen
    /// alone, which hold `others` of the ligands (see [`LINES`]).
    fn protonation(
        &self,
        family: std::ops::Range<usize>,
        others: usize,
        hydrogen: f64,
    ) -> [f64; 2] {
        let (mut sum, mut held) = (0.0, 0.0);
        let powers = powers_of(hydrogen);
        for index in family.filter(|index| LINES[*index].others == others) {
            let amount = self.formation(index) * powers[LINES[index].hydrogen];
            sum += amount;
            held += amount * LINES[index].weights[HYDROGEN];
        }
        [sum, held]
    }

    /// Starts at a pH with every total split by protons alone.
    fn start_at(&mut self, ph: f64) {
        let hydrogen = math::pow10(-ph);
        self.activity[HYDROGEN] = hydrogen;
        self.ln_activity[HYDROGEN] = -LN_10 * ph;
        for (place, balance) in BALANCE_OF.into_iter().enumerate().skip(1) {
            if !self.is_there[balance] {
                continue;
            }
            let total = if self.totals[balance] > 0.0 {
                self.totals[balance]
            } else {
                STARTING_AMOUNT
            };
            let [sum, held] = self.protonation(LIGANDS_ONLY[place].species(), place, hydrogen);
            let activity = match self.ln_gas() {
                Some(gas) if balance == CARBONATE => {
                    math::exp(gas) / (self.k[CARBON_DIOXIDE] * hydrogen * hydrogen)
                }
                _ if balance == CARBONATE => self.starting_carbon(hydrogen, held / sum) / sum,
                _ => total / sum,
            };
            self.activity[balance] = activity;
            self.ln_activity[balance] = math::ln(activity);
        }
    }

    /// Carbon to start with: what there is, or what the alkalinity wants where carbon is free.
    fn starting_carbon(&self, hydrogen: f64, held_per_carbon: f64) -> f64 {
        if self
            .freedoms
            .iter()
            .any(|freedom| freedom.moves.carbon_mol > 0.0)
        {
            let water = self.conditional()[2] / hydrogen - hydrogen;
            math::at_least(
                (self.totals[HYDROGEN] - water) / held_per_carbon,
                STARTING_AMOUNT,
            )
        } else {
            self.totals[CARBONATE]
        }
    }

    /// A second start where the first did not end well: brackets the pH, solving the rest at each.
    pub fn restart_from_brackets(&mut self) {
        let wanted = self.ph_wanted();
        let ph = wanted.unwrap_or_else(|| {
            math::falling_root(|ph| self.surplus_at(ph), PH_ENDS[0], PH_ENDS[1])
        });
        self.extents = [0.0; FREEDOMS];
        self.iterations = 0;
        self.start();
        self.start_at(ph);
        self.settle_at_fixed_ph();
    }

    /// Alkalinity that is left over at a pH once the other balances hold.
    fn surplus_at(&self, ph: f64) -> f64 {
        let mut trial = self.clone();
        trial.extents = [0.0; FREEDOMS];
        trial.start();
        trial.start_at(ph);
        trial.settle_at_fixed_ph();
        trial.totals[HYDROGEN] - trial.sums[HYDROGEN]
    }

    /// Brings the ligands to their totals at the pH as it stands, by substitution: slow and certain.
    fn settle_at_fixed_ph(&mut self) {
        let open = self.ln_gas().is_some();
        for _ in 0..SUBSTITUTIONS {
            self.fill::<BALANCES>();
            let strength = (self.unpaired_strength + self.sums[STRENGTH])
                .clamp(IONIC_STRENGTH[0], IONIC_STRENGTH[1]);
            // The ionic strength must settle too: from far below it, Newton's method walks away from it.
            let mut worst = (math::ln(strength / self.ionic_strength) / 2.0).abs();
            self.set_strength((self.ionic_strength * strength).sqrt());
            for balance in BALANCE_OF.into_iter().skip(1) {
                let held = balance == CARBONATE && open;
                if !held && self.totals[balance] > 0.0 && self.sums[balance] > 0.0 {
                    let ratio = math::ln(self.totals[balance] / self.sums[balance]);
                    self.move_ligand(balance, ratio.clamp(-LONGEST_STEP, LONGEST_STEP));
                    worst = worst.max(ratio.abs());
                }
            }
            if worst < SETTLED {
                break;
            }
        }
        self.fill::<BALANCES>();
    }
}
