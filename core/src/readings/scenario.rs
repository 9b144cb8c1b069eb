//! A day as it went: as planned, with a slip, or with one thing a little off.

use underlet_tables::parameters;

use super::samples::Samples;
use crate::aqueous::{Aqueous, EquilibriumError};
use crate::component::Component;
use crate::fit::{DoseOption, Liquors, Question, Solution, alkalinity_sd_eq_per_kg};
use crate::liquor::{Dose, Liquor};
use crate::mash::LiquorCovariance;
use crate::math;
use crate::recipe::{BrewDay, Place, Reconciled, Source, Vessel};
use crate::water_report::laboratory_ph_sd;

/// A day as it went.
#[derive(Clone)]
pub(crate) struct Scenario<'a> {
    pub day: &'a BrewDay,
    pub problem: Question<'a>,
    pub shares: Vec<f64>,
    pub doses: Vec<f64>,
    /// What taking chlorine out has changed in the blend; liquor as drawn is without it.
    dechlorinated: Option<Dose>,
    /// Share of the carbon dioxide beyond air's that liquor still holds when it is dosed, and when it was heated.
    carbon_kept: [f64; 2],
}

/// One thing that may be off.
#[derive(Clone, Debug, PartialEq)]
pub(crate) enum Perturbation {
    /// A source is richer in all that it holds.
    Strength(usize),
    /// The alkalinity of a source as reported, beyond that.
    Alkalinity(usize),
    /// The pH of a source.
    Ph(usize),
    /// The amounts of a source that was reconciled, by one of the causes of its covariance, in place of those three.
    Known(usize, [f64; LiquorCovariance::COUNT]),
    /// What an addition brings.
    Dose(usize),
    /// Carbon dioxide that has left by when liquor is dosed (0) or heated (1).
    Carbon(usize),
}

/// pH and conductivity of a sample of liquor.
pub(crate) type Sample = (Place, [f64; 2]);

/// What taking chlorine out has changed in a kg of the blend.
fn dechlorinated(solution: &Solution<'_>) -> Dose {
    let sources = solution.day.sources.iter().zip(&solution.problem.sources);
    let shares = solution.fitted.shares.iter();
    sources
        .zip(shares)
        .fold(Dose::default(), |sum, ((was, is), share)| {
            let change = is.liquor.as_dose().plus(&was.liquor.as_dose().times(-1.0));
            sum.plus(&change.times(*share))
        })
}

impl<'a> Scenario<'a> {
    /// As planned.
    pub fn planned(solution: &Solution<'a>) -> Scenario<'a> {
        Scenario {
            day: solution.day,
            problem: solution.problem.clone(),
            shares: solution.fitted.shares.clone(),
            doses: solution.fitted.doses.clone(),
            dechlorinated: solution.removal.as_ref().map(|_| dechlorinated(solution)),
            carbon_kept: [
                parameters::CHECK_CARBON_KEPT_DOSED.value,
                parameters::CHECK_CARBON_KEPT_HOT.value,
            ],
        }
    }

    /// Liquors once some of the additions are given.
    pub fn after(&self, given: impl Fn(&DoseOption) -> bool) -> Liquors {
        let doses = self.problem.doses.iter().zip(&self.doses);
        let doses: Vec<f64> = doses
            .map(|(option, amount)| if given(option) { *amount } else { 0.0 })
            .collect();
        self.problem.liquors(&self.shares, &doses)
    }

    /// Samples of every liquor of the day, in the order of work.
    pub fn samples(&self, of: &mut Samples) -> Result<Vec<Sample>, EquilibriumError> {
        let [dosed, hot] = self.carbon_kept;
        let is_in_tank = |option: &DoseOption| option.vessel == Vessel::HotLiquorTank;
        let is_before_grist = |option: &DoseOption| {
            is_in_tank(option) || option.vessel == Vessel::MashTun && option.preparation.is_acid()
        };
        let mut cold = self.after(|_| false).blend;
        if let Some(change) = &self.dechlorinated {
            cold = cold.dosed(change, -1.0);
            // What came and went leaves its rounding.
            for ion in Component::ALL {
                cold.ions.set(ion, math::at_least(cold.ions.get(ion), 0.0));
            }
        }
        let mut liquors = vec![(Place::ColdLiquor, cold, 1.0)];
        if self.day.tank.is_some() {
            liquors.push((Place::Tank, self.after(is_in_tank).mash, dosed));
        }
        liquors.push((Place::MashLiquor, self.after(is_before_grist).mash, hot));
        if self.day.sparge.is_some() {
            liquors.push((Place::SpargeLiquor, self.after(|_| true).sparge, hot));
        }
        let mut samples = Vec::new();
        for (place, liquor, kept) in liquors {
            samples.push((place, of.shown(&liquor, kept)?));
        }
        Ok(samples)
    }

    /// All that may be off.
    pub(crate) fn perturbations(&self) -> Vec<Perturbation> {
        let mut perturbations = Vec::new();
        for (index, share) in self.shares.iter().enumerate() {
            match self.reconciled(index) {
                _ if *share <= 0.0 => {}
                Some(reconciled) => {
                    for cause in reconciled.covariance.independent_causes() {
                        perturbations.push(Perturbation::Known(index, cause));
                    }
                }
                None => perturbations.extend([
                    Perturbation::Strength(index),
                    Perturbation::Alkalinity(index),
                    Perturbation::Ph(index),
                ]),
            }
        }
        for (index, amount) in self.doses.iter().enumerate() {
            if *amount > 0.0 {
                perturbations.push(Perturbation::Dose(index));
            }
        }
        perturbations.extend([Perturbation::Carbon(0), Perturbation::Carbon(1)]);
        perturbations
    }

    /// The same day with one thing off by so many of its standard deviations.
    pub(crate) fn perturbed(
        &self,
        perturbation: &Perturbation,
        by: f64,
        aqueous: &Aqueous,
    ) -> Scenario<'a> {
        let mut scenario = self.clone();
        match *perturbation {
            Perturbation::Strength(index) => scenario.change_source(index, |liquor| {
                let factor = 1.0 + by * parameters::SUPPLY_RELATIVE_SD.value;
                Liquor {
                    ions: liquor.ions * factor,
                    alkalinity_eq_per_kg: liquor.alkalinity_eq_per_kg * factor,
                    carbon_mol_per_kg: liquor.carbon_mol_per_kg * factor,
                    ..*liquor
                }
            }),
            Perturbation::Alkalinity(index) => scenario.change_source(index, |liquor| {
                let sd = self.day.sources.get(index);
                let change = by * sd.map_or(0.0, alkalinity_own_sd_eq_per_kg);
                with_alkalinity(liquor, liquor.alkalinity_eq_per_kg + change)
            }),
            Perturbation::Ph(index) => {
                let sources = self.day.sources.get(index);
                let is_assumed = sources.is_some_and(|source| source.ph_assumed);
                scenario
                    .change_source(index, |liquor| with_ph_off(aqueous, liquor, is_assumed, by));
            }
            Perturbation::Known(index, cause) => {
                scenario.change_source(index, |liquor| with_change(liquor, &cause, by));
            }
            Perturbation::Dose(index) => {
                let option = scenario.problem.doses.get(index);
                let relative = if option.is_some_and(|option| option.preparation.is_acid()) {
                    parameters::ACID_STRENGTH_RELATIVE_SD.value
                } else {
                    parameters::CHECK_SALT_RELATIVE_SD.value
                };
                if let Some(amount) = scenario.doses.get_mut(index) {
                    *amount *= 1.0 + by * relative;
                }
            }
            Perturbation::Carbon(index) => {
                let sds = [
                    parameters::CHECK_CARBON_KEPT_DOSED.sd,
                    parameters::CHECK_CARBON_KEPT_HOT.sd,
                ];
                if let (Some(kept), Some(sd)) =
                    (scenario.carbon_kept.get_mut(index), sds.get(index))
                {
                    *kept = (*kept + by * sd).clamp(0.0, 1.0);
                }
            }
        }
        scenario
    }

    fn reconciled(&self, index: usize) -> Option<&'a Reconciled> {
        self.day.sources.get(index)?.reconciled.as_deref()
    }

    fn change_source(&mut self, index: usize, change: impl Fn(&Liquor) -> Liquor) {
        if let Some(source) = self.problem.sources.get_mut(index) {
            source.liquor = change(&source.liquor);
        }
    }
}

/// What the alkalinity of a water is off by beside the strength of the whole water, eq/kg: together they are as uncertain as the
/// plan takes a report to be.
pub(crate) fn alkalinity_own_sd_eq_per_kg(source: &Source) -> f64 {
    let (all, strength) = (
        alkalinity_sd_eq_per_kg(source),
        alkalinity_by_strength_sd_eq_per_kg(source),
    );
    math::at_least(all * all - strength * strength, 0.0).sqrt()
}

/// What the strength of the whole water does to its alkalinity, eq/kg.
pub(crate) fn alkalinity_by_strength_sd_eq_per_kg(source: &Source) -> f64 {
    parameters::SUPPLY_RELATIVE_SD.value * source.liquor.alkalinity_eq_per_kg
}

/// The same water with another alkalinity, none at least, its carbon in proportion; calcium keeps it without charge, since
/// hardness and alkalinity mostly come out of one stone.
fn with_alkalinity(liquor: &Liquor, eq_per_kg: f64) -> Liquor {
    let before = liquor.alkalinity_eq_per_kg;
    let alkalinity_eq_per_kg = math::at_least(eq_per_kg, 0.0);
    let change = alkalinity_eq_per_kg - before;
    let carbon_mol_per_kg = if before > 0.0 {
        liquor.carbon_mol_per_kg * alkalinity_eq_per_kg / before
    } else {
        liquor.carbon_mol_per_kg + change
    };
    let calcium = liquor.ions.get(Component::Calcium) + change / Component::Calcium.charge();
    Liquor {
        ions: liquor
            .ions
            .with(Component::Calcium, math::at_least(calcium, 0.0)),
        alkalinity_eq_per_kg,
        carbon_mol_per_kg,
        ..*liquor
    }
}

/// The same water with all its amounts changed, places as in [`LiquorCovariance`]; none of them falls below nothing.
fn with_change(liquor: &Liquor, change: &[f64; LiquorCovariance::COUNT], by: f64) -> Liquor {
    let mut changed = *liquor;
    for (ion, change) in Component::ALL.into_iter().zip(change) {
        let amount = liquor.ions.get(ion) + by * change;
        changed.ions.set(ion, math::at_least(amount, 0.0));
    }
    changed.alkalinity_eq_per_kg += by * change[LiquorCovariance::ALKALINITY];
    let carbon = liquor.carbon_mol_per_kg + by * change[LiquorCovariance::CARBON];
    changed.carbon_mol_per_kg = math::at_least(carbon, 0.0);
    changed
}

/// The same water at a pH that is off: by what laboratories and the year do to it, or by more where the report gives none. A water
/// that cannot be at that pH stays as it is.
fn with_ph_off(aqueous: &Aqueous, liquor: &Liquor, is_assumed: bool, by: f64) -> Liquor {
    let off = aqueous.closed(liquor).and_then(|state| {
        let sd = if is_assumed {
            parameters::CHECK_SUPPLY_PH_ASSUMED_SD.value
        } else {
            math::root_of_squares(&[laboratory_ph_sd(state.ph), parameters::SUPPLY_PH_SD.value])
        };
        aqueous.with_ph(liquor, state.ph + by * sd)
    });
    off.map_or(*liquor, |state| Liquor {
        carbon_mol_per_kg: state.liquor.carbon_mol_per_kg,
        ..*liquor
    })
}
