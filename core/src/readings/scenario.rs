//! A day as it went: as planned, with a slip, or with one cause of uncertainty perturbed.

use underlet_tables::parameters;

use super::interval::Kept;
use crate::aqueous::Aqueous;
use crate::component::Component;
use crate::fit::{DoseOption, Liquors, Problem, Solution, alkalinity_sd_eq_per_kg, first_part};
use crate::liquor::{Dose, Liquor};
use crate::math;
use crate::recipe::{BrewDay, Place, Source, Vessel};
use crate::uncertainty::Cause;
use crate::water_report::laboratory_ph_sd;

/// A day as it went.
#[derive(Clone)]
pub(crate) struct Scenario<'a> {
    pub day: &'a BrewDay,
    pub problem: Problem<'a>,
    pub shares: Vec<f64>,
    pub doses: Vec<f64>,
    /// Share of each dose that is in when the mash is first read.
    first_shares: Vec<f64>,
    /// What taking chlorine out has changed in the blend; liquor as drawn is without it.
    dechlorinated: Option<Dose>,
    /// Independent components of the covariance of each source that was reconciled: what one
    /// standard deviation of each moves in a kg of its water.
    components: Vec<Vec<Dose>>,
    /// Share of the carbon dioxide beyond air's that liquor still holds when it is dosed, and when
    /// it was heated.
    carbon_kept: [f64; 2],
    /// Where liquor is sampled.
    sampled: Vec<Place>,
}

/// A liquor where it is sampled, with what it has kept of its carbon dioxide.
pub(crate) struct LiquorSample {
    pub place: Place,
    pub liquor: Liquor,
    pub kept: Kept,
    /// Share of its carbon dioxide beyond air's that it has kept.
    pub share_kept: f64,
}

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

/// Share of each dose that is given before the mash is first read: less than one for acid of which
/// the rest waits for that reading.
fn first_shares(solution: &Solution<'_>) -> Vec<f64> {
    let doses = solution.problem.doses.iter().zip(&solution.fitted.doses);
    let shares = doses.map(|(option, &amount)| {
        first_part(solution.first_share, option, amount).map_or(1.0, |first| first / amount)
    });
    shares.collect()
}

impl<'a> Scenario<'a> {
    /// As planned.
    pub fn planned(solution: &Solution<'a>) -> Scenario<'a> {
        Scenario {
            day: solution.day,
            problem: solution.problem.clone(),
            shares: solution.fitted.shares.clone(),
            doses: solution.fitted.doses.clone(),
            first_shares: first_shares(solution),
            components: solution.day.sources.iter().map(components).collect(),
            dechlorinated: solution.removal.as_ref().map(|_| dechlorinated(solution)),
            carbon_kept: [
                parameters::CHECK_CARBON_KEPT_DOSED.value,
                parameters::CHECK_CARBON_KEPT_HOT.value,
            ],
            sampled: Place::ALL.to_vec(),
        }
    }

    /// The same with liquor sampled in some places only: what is not asked for takes no time.
    pub fn sampled_at(&self, places: impl Iterator<Item = Place>) -> Scenario<'a> {
        Scenario {
            sampled: places.collect(),
            ..self.clone()
        }
    }

    /// What is given when the mash is first read; `None` where all acid is given at once.
    pub fn first_doses(&self) -> Option<Vec<f64>> {
        let is_in_parts = self.first_shares.iter().any(|share| *share < 1.0);
        let doses = self.doses.iter().zip(&self.first_shares);
        is_in_parts.then(|| doses.map(|(dose, share)| dose * share).collect())
    }

    /// Liquors once some of the additions are given.
    pub fn after(&self, given: impl Fn(&DoseOption) -> bool) -> Liquors {
        let doses = self.problem.doses.iter().zip(&self.doses);
        let doses: Vec<f64> = doses
            .map(|(option, amount)| if given(option) { *amount } else { 0.0 })
            .collect();
        self.problem.liquors(&self.shares, &doses)
    }

    /// Every liquor of the day where it is sampled, in the order of work.
    pub(super) fn liquors(&self) -> Vec<LiquorSample> {
        let is_in_tank = |option: &DoseOption| option.vessel == Vessel::HotLiquorTank;
        let is_before_grist = |option: &DoseOption| option.vessel.comes_before_grist();
        let mut cold = self.after(|_| false).blend;
        if let Some(change) = &self.dechlorinated {
            cold = cold.dosed(change, -1.0);
            // What came and went leaves its rounding.
            for ion in Component::ALL {
                cold.ions.set(ion, math::at_least(cold.ions.get(ion), 0.0));
            }
        }
        let sample = |place, liquor, kept| LiquorSample {
            place,
            liquor,
            kept,
            share_kept: self.share_kept(kept),
        };
        let mut liquors = vec![sample(Place::ColdLiquor, cold, Kept::All)];
        if self.day.tank.is_some() {
            liquors.push(sample(
                Place::Tank,
                self.after(is_in_tank).mash,
                Kept::Dosed,
            ));
        }
        let mash = self.after(is_before_grist).mash;
        liquors.push(sample(Place::MashLiquor, mash, Kept::Hot));
        if self.day.sparge.is_some() {
            let sparge = self.after(|_| true).sparge;
            liquors.push(sample(Place::SpargeLiquor, sparge, Kept::Hot));
        }
        liquors.retain(|one| self.sampled.contains(&one.place));
        liquors
    }

    /// Share of the carbon dioxide beyond air's that a sample has kept.
    pub(super) fn share_kept(&self, kept: Kept) -> f64 {
        let [dosed, hot] = self.carbon_kept;
        match kept {
            Kept::All => 1.0,
            Kept::Dosed => dosed,
            Kept::Hot => hot,
        }
    }

    /// The causes of uncertainty that the day's readings may share, in a fixed order.
    pub(crate) fn causes(&self) -> Vec<Cause> {
        let mut causes = Vec::new();
        for (source, share) in self.shares.iter().enumerate() {
            match self.day.sources.get(source) {
                _ if *share <= 0.0 => {}
                Some(Source {
                    reconciled: Some(_),
                    ..
                }) => {
                    let components = self.components.get(source).map_or(0, Vec::len);
                    causes.extend(
                        (0..components).map(|place| Cause::SourceComponent { source, place }),
                    );
                }
                _ => causes.extend([
                    Cause::SourceStrength(source),
                    Cause::SourceAlkalinity(source),
                    Cause::SourcePh(source),
                ]),
            }
        }
        let doses = self.doses.iter().enumerate();
        let given = doses.filter(|(_, amount)| **amount > 0.0);
        causes.extend(given.map(|(place, _)| Cause::Dose(place)));
        causes.extend([Cause::CarbonDioxideDosed, Cause::CarbonDioxideHot]);
        causes
    }

    /// Whether a cause is the same in every brew of the day: not what is weighed for each.
    pub(super) fn is_common(&self, cause: &Cause) -> bool {
        match *cause {
            Cause::Dose(place) => {
                let option = self.problem.doses.get(place);
                option.is_some_and(|option| option.vessel.is_shared())
            }
            _ => true,
        }
    }

    /// What one standard deviation of a component of a source moves in a kg of its water.
    pub(crate) fn component(&self, source: usize, place: usize) -> Option<&Dose> {
        self.components.get(source)?.get(place)
    }

    /// The same day with one cause perturbed by so many of its standard deviations.
    pub(crate) fn perturbed(&self, cause: &Cause, by: f64, aqueous: &Aqueous) -> Scenario<'a> {
        let mut scenario = self.clone();
        match *cause {
            Cause::SourceStrength(source) => scenario.change_source(source, |liquor| {
                let factor = 1.0 + by * parameters::SUPPLY_RELATIVE_SD.value;
                Liquor {
                    ions: liquor.ions * factor,
                    alkalinity_eq_per_kg: liquor.alkalinity_eq_per_kg * factor,
                    carbon_mol_per_kg: liquor.carbon_mol_per_kg * factor,
                    ..*liquor
                }
            }),
            Cause::SourceAlkalinity(source) => scenario.change_source(source, |liquor| {
                let sd = self.day.sources.get(source);
                let change = by * sd.map_or(0.0, alkalinity_own_sd_eq_per_kg);
                with_alkalinity(liquor, liquor.alkalinity_eq_per_kg + change)
            }),
            Cause::SourcePh(source) => {
                let sources = self.day.sources.get(source);
                let is_assumed = sources.is_some_and(|source| source.ph_assumed);
                scenario.change_source(source, |liquor| {
                    with_ph_moved(aqueous, liquor, is_assumed, by)
                });
            }
            Cause::SourceComponent { source, place } => {
                if let Some(component) = self.component(source, place) {
                    scenario.change_source(source, |liquor| with_change(liquor, component, by));
                }
            }
            Cause::Dose(place) => {
                let option = scenario.problem.doses.get(place);
                let relative = if option.is_some_and(|option| option.preparation.is_acid()) {
                    parameters::ACID_STRENGTH_RELATIVE_SD.value
                } else {
                    parameters::CHECK_SALT_RELATIVE_SD.value
                };
                if let Some(amount) = scenario.doses.get_mut(place) {
                    *amount *= 1.0 + by * relative;
                }
            }
            Cause::CarbonDioxideDosed => {
                let [dosed, _] = &mut scenario.carbon_kept;
                *dosed = (*dosed + by * parameters::CHECK_CARBON_KEPT_DOSED.sd).clamp(0.0, 1.0);
            }
            Cause::CarbonDioxideHot => {
                let [_, hot] = &mut scenario.carbon_kept;
                *hot = (*hot + by * parameters::CHECK_CARBON_KEPT_HOT.sd).clamp(0.0, 1.0);
            }
            // The other causes are those of mash and tank: they are not in `causes` and move no
            // liquor of the day.
            _ => {}
        }
        scenario
    }

    fn change_source(&mut self, index: usize, change: impl Fn(&Liquor) -> Liquor) {
        if let Some(source) = self.problem.sources.get_mut(index) {
            source.liquor = change(&source.liquor);
        }
    }
}

/// Standard deviation of the alkalinity of a water beside the strength of the whole water, eq/kg:
/// together they are as uncertain as the plan takes a report to be.
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

/// The same water with another alkalinity, none at least, its carbon in proportion; calcium keeps
/// it without charge, since hardness and alkalinity mostly come out of one stone.
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

/// The same water with all its amounts changed; no ion and no carbon falls below zero.
fn with_change(liquor: &Liquor, change: &Dose, by: f64) -> Liquor {
    let mut changed = liquor.dosed(change, by);
    for ion in Component::ALL {
        let amount = changed.ions.get(ion);
        changed.ions.set(ion, math::at_least(amount, 0.0));
    }
    changed.carbon_mol_per_kg = math::at_least(changed.carbon_mol_per_kg, 0.0);
    changed
}

/// Independent components of the covariance of a source; none where it was not reconciled.
fn components(source: &Source) -> Vec<Dose> {
    let reconciled = source.reconciled.as_ref();
    reconciled.map_or_else(Vec::new, |known| known.covariance.independent_components())
}

/// The same water at another pH: moved by what laboratories and the year do to it, or by more where
/// the report gives none. A water that cannot be at that pH stays as it is.
fn with_ph_moved(aqueous: &Aqueous, liquor: &Liquor, is_assumed: bool, by: f64) -> Liquor {
    let moved = aqueous.closed(liquor).and_then(|state| {
        let sd = if is_assumed {
            parameters::CHECK_SUPPLY_PH_ASSUMED_SD.value
        } else {
            math::root_of_squares([laboratory_ph_sd(state.ph), parameters::SUPPLY_PH_SD.value])
        };
        aqueous.with_ph(liquor, state.ph + by * sd)
    });
    moved.map_or(*liquor, |state| Liquor {
        carbon_mol_per_kg: state.liquor.carbon_mol_per_kg,
        ..*liquor
    })
}
