//! Errors of the balances and conditions, and how they change with the unknowns.

use super::super::linear::System;
use super::super::question::{Condition, FREEDOMS};
use super::super::species::{BALANCES, CARBON_DIOXIDE, HYDROGEN, LINES, SPECIES, STRENGTH};
use super::{LEAST_IONIC_STRENGTH, Newton};
use crate::component::Component;
use crate::math::{self, LN_10};

/// A condition written out: counts of ligands and of one metal, molecules of water, and what their logarithms sum to.
struct Wanted {
    ligands: [f64; BALANCES],
    carried: Option<Component>,
    water: f64,
    value: f64,
}

impl Newton<'_> {
    /// Carbon or alkalinity that moves alone is what the species hold beyond the rest: set outright, since where nearly all of it
    /// leaves, an error that is small beside what there was would be large beside what remains.
    pub(super) fn set_lone_extents(&mut self) {
        for place in 0..self.freedoms.len().min(FREEDOMS) {
            if let Some(balance) = self.lone[place] {
                self.extents[place] = 0.0;
                let missing = self.sums[balance] - self.now(balance);
                self.extents[place] = missing / self.moved[place][balance];
            }
        }
    }

    /// What each balance lacks, which is minus its error; sets the residual.
    pub(super) fn errors<const N: usize>(&mut self) -> [f64; N] {
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
    pub(super) fn jacobian<const N: usize>(&self) -> [[f64; N]; N] {
        let mut matrix = self.tally.jacobian::<N>();
        // A metal's activity falls as its ligands take it up: its species count as if it did not change, less what the fall takes.
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
    pub(super) fn slopes_to_freedom<const N: usize>(&self, place: usize) -> [f64; N] {
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

    /// The system with all freedoms among its unknowns and all conditions among its rows; adds the conditions to the residual.
    pub(super) fn system<const N: usize>(&mut self, errors: &[f64; N]) -> System {
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
    fn ln_product(&self, wanted: &Wanted) -> f64 {
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
    fn wanted(&self, condition: Condition) -> Wanted {
        match condition {
            Condition::Ph(ph) => Wanted {
                ligands: [1.0, 0.0, 0.0, 0.0, 0.0, 0.0],
                carried: None,
                water: 0.0,
                value: -LN_10 * ph,
            },
            Condition::Log10Pco2(pressure) => Wanted {
                ligands: LINES[CARBON_DIOXIDE].sensitivities,
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
}
