//! Liquor once its pH was read: how much acid it still takes until the meter shows what it should.

use super::belief::Belief;
use super::brew::Brew;
use super::mash::FAR_OFF;
use super::{Advice, last_of};
use crate::fit::{Purpose, Step};
use crate::math::{self, TWO_SIDED_95};
use crate::readings::diagnosis::{MeterReading, Sample};
use crate::readings::end_point;
use crate::reagent::{AmountUnit, Preparation};
use crate::recipe::{Meter, Place};

/// Liquor that acid is poured into, once its pH was read.
#[derive(Clone, Debug, PartialEq)]
#[non_exhaustive]
pub struct LiquorCorrection {
    /// Where it was read.
    pub place: Place,
    /// Of which brew of the day, from 1.
    pub brew: usize,
    /// What the last reading shows.
    pub reads: f64,
    /// What it should show where it was read, and what acid is poured to.
    pub end_ph: f64,
    /// Whether it lies outside what was foretold of it.
    pub is_outside_forecast: bool,
    /// What to do.
    pub advice: Advice,
    /// The acid that is still due; `None` where none is.
    pub pour: Option<Pour>,
    /// pH of the mash that all readings foretell with this and the acid of the plan, and between
    /// which it lies with 95 %; `None` of the sparge's liquor, which the mash does not meet,
    /// and once a mash was read.
    pub mash: Option<(f64, [f64; 2])>,
}

/// Acid that is poured until a meter shows the end point.
#[derive(Clone, Debug, PartialEq)]
#[non_exhaustive]
pub struct Pour {
    /// The acid as it is on the shelf.
    pub preparation: Preparation,
    /// Mass of the liquor that it goes into, kg.
    pub liquor_kg: f64,
    /// Most likely amount, in whole steps of the scale, g or mL.
    pub amount: f64,
    /// What is not to be exceeded: 2.5 % of days take more.
    pub most: f64,
    /// g or mL.
    pub unit: AmountUnit,
}

/// What a pH of liquor is read to: acid that moves it by less is not worth pouring.
const CLOSE_PH: f64 = 0.1;

impl Brew<'_, '_> {
    /// Every liquor that was read and that the plan pours acid into.
    pub fn liquor_corrections(&self, readings: &[MeterReading]) -> Vec<LiquorCorrection> {
        let places = [Place::Tank, Place::MashLiquor, Place::SpargeLiquor];
        let brews = 1..=self.solution.day.brews;
        let both = brews.flat_map(|brew| places.map(|place| (place, brew)));
        let both = both.filter(|(place, brew)| *brew == 1 || !place.is_shared());
        let corrections =
            both.filter_map(|(place, brew)| self.liquor_correction(place, brew, readings));
        corrections.collect()
    }

    fn liquor_correction(
        &self,
        place: Place,
        brew: usize,
        readings: &[MeterReading],
    ) -> Option<LiquorCorrection> {
        let is_of_it = |one: &MeterReading| {
            one.sample == Sample::Brew(place) && one.meter == Meter::Ph && one.brew == brew
        };
        let last = last_of(readings.iter().filter(|one| is_of_it(one)))?;
        let step = end_point::last_acid(self.solution, place)?;
        let end_ph = self.liquors.end_ph(place)?;
        let belief = self.belief(readings);
        let (still, most) = self.acid_due(last, step, end_ph, &belief)?;
        let is_above = last.value > end_ph + CLOSE_PH && still >= 1.0;
        let pour = is_above.then(|| self.pour(step, still, most));
        let advice = if self.off_in_buffer(readings).is_some() {
            Advice::CalibrateProbe
        } else if self.is_probe_off || self.farthest_off(readings, is_of_it) > FAR_OFF {
            Advice::CheckProbe
        } else if pour.is_some() {
            Advice::Give
        } else if last.value < end_ph - CLOSE_PH && most < 0.0 {
            Advice::TooAcid
        } else {
            Advice::Nothing
        };
        let is_read = readings.iter().any(MeterReading::is_mash_ph);
        let is_before_mash = place != Place::SpargeLiquor && !is_read;
        let with_pour = self.doses_with(step, pour.as_ref());
        let mash = self.mash(&with_pour);
        Some(LiquorCorrection {
            place,
            brew,
            reads: last.value,
            end_ph,
            is_outside_forecast: self.is_outside_forecast(last),
            advice,
            pour,
            mash: is_before_mash.then(|| belief.ph(&mash)),
        })
    }

    /// Acid that is most likely still due until the probe of a reading shows a pH, and more than it
    /// takes on 97.5 % of days; in steps of the measure.
    fn acid_due(
        &self,
        last: &MeterReading,
        step: &Step,
        end_ph: f64,
        belief: &Belief,
    ) -> Option<(f64, f64)> {
        let Sample::Brew(place) = last.sample else {
            return None;
        };
        let sample = self.liquors.sample(place)?;
        let missing = self.missing_in_liquor(last, place, end_ph)?;
        let believed = belief.of(missing.mean_eq_per_kg, &missing.by_cause);
        let per_unit = sample.acid_eq_of_any(&end_point::in_a_kg(self.solution, step), end_ph);
        let per_step = per_unit * end_point::scale_step(self.solution, step);
        let most = believed.at(TWO_SIDED_95);
        Some(((believed.mean / per_step).round(), (most / per_step).ceil()))
    }

    /// The doses of the day with what is still poured.
    fn doses_with(&self, step: &Step, pour: Option<&Pour>) -> Vec<f64> {
        let mut doses = self.scenario.doses.clone();
        if let (Purpose::Fit(place), Some(pour)) = (step.purpose, pour)
            && let Some(dose) = doses.get_mut(place)
        {
            *dose += pour.amount;
        }
        doses
    }

    fn pour(&self, step: &Step, still: f64, most: f64) -> Pour {
        let scale = end_point::scale_step(self.solution, step);
        Pour {
            preparation: step.preparation,
            liquor_kg: self.scenario.problem.waters.dosed_kg(step.vessel),
            amount: still * scale,
            most: math::at_least(most, still) * scale,
            unit: step.preparation.unit(),
        }
    }
}
