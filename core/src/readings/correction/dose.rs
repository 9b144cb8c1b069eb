//! The dose that is still due.

use super::belief::{Belief, DosedMash};
use underlet_tables::parameters;

use super::{Brew, Forgotten, middle};
use crate::aqueous::Acidity;
use crate::fit::{DoseOption, too_low};
use crate::liquor::Dose;
use crate::math::{self, NoRoot};
use crate::reagent::{AmountUnit, Preparation};
use crate::recipe::Vessel;

/// A dose that would bring mash or wort where it is wanted.
#[derive(Clone, Debug, PartialEq)]
#[non_exhaustive]
pub struct DoseDue {
    /// The reagent as it is on the shelf.
    pub preparation: Preparation,
    /// How much, in whole steps of the scale, g or mL.
    pub amount: f64,
    /// g or mL.
    pub unit: AmountUnit,
    /// Most likely pH with it, and the interval that holds 95 %.
    pub ph: f64,
    /// Low and high end of that.
    pub interval_95: [f64; 2],
    /// Chance that it then lands in its range, 0 to 1.
    pub probability_in_range: f64,
    /// Chance that it then lies below what no acid takes back.
    pub probability_below: f64,
    /// How much takes it down by a further 0.1 from there; `None` in a mash, which is read again
    /// and corrected anew.
    pub per_tenth: Option<f64>,
}

/// Most that is ever given at once, as a multiple of what brings the mean mash to its middle.
const FARTHEST: f64 = 4.0;

impl Brew<'_, '_> {
    /// What is due of each acid, and of each base, that the shelf has for the mash: those that help
    /// first, and none where nothing is due.
    pub(super) fn doses_due(&self, brew: usize, belief: &Belief, doses: &[f64]) -> Vec<DoseDue> {
        if let Some(forgotten) = self.forgotten_in(brew) {
            return self
                .dose_forgotten(belief, doses, forgotten)
                .into_iter()
                .collect();
        }
        let options = self.scenario.problem.doses.iter().enumerate();
        let moves = options.filter(|(_, option)| {
            option.vessel == Vessel::MashTun && acid_eq_per_unit(&option.dose_per_unit()) != 0.0
        });
        let mut due: Vec<DoseDue> = moves
            .filter_map(|(place, option)| self.dose_due(belief, doses, (place, option)))
            .collect();
        due.sort_by(|one, other| {
            let [one, other] = [one, other].map(|due| due.probability_in_range);
            other.total_cmp(&one)
        });
        due
    }

    fn dose_due(
        &self,
        belief: &Belief,
        doses: &[f64],
        (place, option): (usize, &DoseOption),
    ) -> Option<DoseDue> {
        let (middle, per_unit) = (
            middle(self.solution)?,
            acid_eq_per_unit(&option.dose_per_unit()),
        );
        let with = |amount: f64| {
            let mut doses = doses.to_vec();
            if let Some(dose) = doses.get_mut(place) {
                *dose += amount;
            }
            self.mash(&doses)
        };
        let now = with(0.0);
        let about = belief.missing(&now, middle).mean / per_unit;
        if about <= 0.0 {
            return None;
        }
        // As many units as bring what is missing at a pH, so many standard deviations on, to
        // nothing.
        let until = |ph: f64, z: f64| {
            let left = |amount: f64| {
                let missing = belief.missing(&with(amount), ph);
                (missing.at(z) / per_unit, -1.0)
            };
            let root = math::falling_root_by_slope(left, about, 0.0, FARTHEST * about);
            root.unwrap_or_else(NoRoot::nearer_end)
        };
        let mut amount = until(middle, 0.0);
        if let Some(low) = self.too_low().filter(|_| per_unit > 0.0) {
            amount = amount.min(until(low, self.deviate_at_risk()));
        }
        let steps = (amount / option.step + ROUNDING).floor();
        let [fewer, more] = [steps, steps + 1.0].map(|steps| steps * option.step);
        let [with_fewer, with_more] = [fewer, more].map(&with);
        let [lands, lands_more] =
            [&with_fewer, &with_more].map(|mash| self.probability_in_range(belief, mash));
        let is_risky = per_unit > 0.0 && self.probability_below(belief, &with_more) > self.risk();
        let (amount, mash, lands) = if lands_more > lands && !is_risky {
            (more, with_more, lands_more)
        } else {
            (fewer, with_fewer, lands)
        };
        let gain = lands - self.probability_in_range(belief, &now);
        // A mash far outside is brought nearer although one dose does not bring it inside.
        let is_worth_it = gain >= LEAST_GAIN || self.is_outside(belief.quantile(&now, 0.0));
        if amount <= 0.0 || !is_worth_it {
            return None;
        }
        Some(self.due(belief, &mash, option, amount))
    }

    /// The acid that is due where a reading is high: that of the plan, or one that the shelf has
    /// for the mash.
    pub(super) fn acid_for_mash(&self) -> Option<Preparation> {
        let options = self.scenario.problem.doses.iter().zip(&self.scenario.doses);
        let acids = options
            .filter(|(option, _)| option.vessel == Vessel::MashTun && option.preparation.is_acid());
        let most = acids.reduce(|one, other| if other.1 > one.1 { other } else { one });
        most.map(|(option, _)| option.preparation)
    }

    /// What was forgotten, as the plan has it.
    fn dose_forgotten(
        &self,
        belief: &Belief,
        doses: &[f64],
        forgotten: &Forgotten,
    ) -> Option<DoseDue> {
        let option = self.scenario.problem.doses.get(forgotten.place)?;
        let mut doses = doses.to_vec();
        *doses.get_mut(forgotten.place)? += forgotten.amount;
        Some(self.due(belief, &self.mash(&doses), option, forgotten.amount))
    }

    fn due(
        &self,
        belief: &Belief,
        mash: &DosedMash<'_>,
        option: &DoseOption,
        amount: f64,
    ) -> DoseDue {
        let (ph, interval_95) = belief.ph(mash);
        DoseDue {
            preparation: option.preparation,
            amount,
            unit: option.preparation.unit(),
            ph,
            interval_95,
            probability_in_range: self.probability_in_range(belief, mash),
            probability_below: self.probability_below(belief, mash),
            per_tenth: None,
        }
    }

    /// Acid that brings a mash to the middle of its range, eq.
    pub(super) fn missing_eq(&self, belief: &Belief, mash: &DosedMash<'_>) -> f64 {
        let missing = |middle: f64| belief.missing(mash, middle).mean;
        middle(self.solution).map_or(0.0, missing)
    }

    /// Whether a pH lies outside the range.
    pub(super) fn is_outside(&self, ph: f64) -> bool {
        let range = self.solution.day.targets.mash_ph.as_ref();
        range.is_some_and(|range| {
            range.low.is_some_and(|low| ph < low) || range.high.is_some_and(|high| ph > high)
        })
    }

    /// Chance that a mash lies in its range; all of it without one.
    pub(super) fn probability_in_range(&self, belief: &Belief, mash: &DosedMash<'_>) -> f64 {
        let range = self.solution.day.targets.mash_ph.as_ref();
        let [low, high] = range.map_or([None; 2], |range| [range.low, range.high]);
        let below = |ph: f64| belief.below(mash, ph);
        math::at_least(high.map_or(1.0, below) - low.map_or(0.0, below), 0.0)
    }

    /// Chance that it lies below what no acid takes back.
    fn probability_below(&self, belief: &Belief, mash: &DosedMash<'_>) -> f64 {
        self.too_low().map_or(0.0, |low| belief.below(mash, low))
    }

    fn too_low(&self) -> Option<f64> {
        self.solution.day.targets.mash_ph.as_ref().and_then(too_low)
    }

    fn risk(&self) -> f64 {
        self.solution.day.brewhouse.overshoot_risk
    }

    /// Standard deviations below which a normal value lies with the chance that is risked.
    fn deviate_at_risk(&self) -> f64 {
        let spare = |z: f64| self.risk() - math::normal_below(z);
        math::falling_root(spare, -FAR_OUT, FAR_OUT).unwrap_or_else(NoRoot::nearer_end)
    }
}

/// Standard deviations beyond which nothing lies.
const FAR_OUT: f64 = 8.0;
/// What a difference has rounded is a whole step.
const ROUNDING: f64 = 1e-9;
/// Chance that a dose must win to be worth giving.
const LEAST_GAIN: f64 = 0.05;

/// Acid that a unit brings, eq; negative of a base, none of a salt.
pub(super) fn acid_eq_per_unit(dose: &Dose) -> f64 {
    let acidity = Acidity::at(parameters::SAMPLE_TEMPERATURE.value, 0.0);
    acidity.of_acids(&dose.ions, USUAL_PH) - dose.alkalinity_eq
}

/// Where a mash is, to tell acids from bases.
const USUAL_PH: f64 = 5.4;
