//! The forecast: mash pH, how uncertain it is, and what makes it so; acid for a pH, and chances.

use underlet_tables::parameters;

use super::chance::{self, Aim};
use super::effects::{DoseUncertainty, Effects, SAMPLING_AND_METER};
use super::{Chemistry, Mash, SecondOrder};
use crate::math;
use crate::uncertainty::{Contribution, budget};

#[cfg(doc)]
use crate::uncertainty::Cause;

/// A mash pH with its error bar.
#[derive(Clone, Debug, PartialEq)]
#[non_exhaustive]
pub struct Forecast {
    /// pH of a cooled sample, 20 to 60 minutes in.
    pub ph: f64,
    /// Standard deviation of what the brewer's meter will show.
    pub sd: f64,
    /// Where it comes from, largest first, in pH; each a [`Cause`] of the mash.
    pub uncertainty_budget: Vec<Contribution>,
    /// Acid per pH around the forecast, eq.
    pub buffering_eq_per_ph: f64,
    /// What the error bar leaves out.
    pub second_order: SecondOrder,
}

/// Acid that brings a mash to a pH.
#[derive(Clone, Copy, Debug, PartialEq)]
#[non_exhaustive]
pub struct AcidNeeded {
    /// Protons, eq; negative for base.
    pub acid_eq: f64,
    /// Standard deviation: what malts, water and assumptions leave uncertain at that pH.
    pub sd_eq: f64,
}

/// A point of the titration curve of a mash.
#[derive(Clone, Copy, Debug, PartialEq)]
#[non_exhaustive]
pub struct CurvePoint {
    /// Acid beyond what is in, eq; negative for less.
    pub acid_eq: f64,
    /// pH there.
    pub ph: f64,
    /// Standard deviation of what a meter would show.
    pub sd: f64,
}

/// Share of the standard deviation that its second order may add or take, and share by which the
/// mean may move, before the forecast says so (a choice of ours: the error bar is promised to 5 %,
/// and the second order is itself not exact).
const SILENT_SD: f64 = 0.03;
const SILENT_SHIFT: f64 = 0.15;

/// Whether a mash pH lies where forecasts were compared with measured mashes.
pub(crate) fn is_checked_ph(ph: f64) -> bool {
    let [low, high] = [
        parameters::CHECKED_MASH_PH_LOW.value,
        parameters::CHECKED_MASH_PH_HIGH.value,
    ];
    (low..=high).contains(&ph)
}

impl Forecast {
    /// Interval that holds a share of what the meter will show: low and high.
    pub fn interval(&self, standard_deviations: f64) -> [f64; 2] {
        [
            self.ph - standard_deviations * self.sd,
            self.ph + standard_deviations * self.sd,
        ]
    }

    /// Whether the balance bends too much over the error bar for the bar to be exact.
    pub fn is_nonlinear(&self) -> bool {
        let second = &self.second_order;
        (second.sd - self.sd).abs() > SILENT_SD * self.sd
            || second.shift.abs() > SILENT_SHIFT * self.sd
    }

    /// The same in words, where it does.
    pub fn nonlinearity_in_words(&self) -> Option<&'static str> {
        self.is_nonlinear().then_some(
            "The error bar is a rough one: the buffering itself is uncertain, or changes over the \
             bar.",
        )
    }
}

impl Mash<'_> {
    /// pH with first-order error bars: each cause's standard deviation in equivalents, divided by
    /// the slope of the balance (implicit-function theorem: dpH = d(acid missing) / buffering).
    pub fn forecast(&self) -> Forecast {
        self.forecast_dosed(&DoseUncertainty::default())
    }

    /// The same of liquor whose doses and alkalinity are uncertain too.
    pub fn forecast_dosed(&self, doses: &DoseUncertainty) -> Forecast {
        self.forecast_with(&self.chemistry(), doses)
    }

    /// The same with constants and assumptions of the caller's.
    pub fn forecast_with(&self, chemistry: &Chemistry, doses: &DoseUncertainty) -> Forecast {
        let ph = self.ph_with_acid(chemistry, 0.0);
        let buffering = self.buffering_eq_per_ph(chemistry, ph);
        let effects = Effects::of(self, chemistry, doses, ph);
        let in_eq = budget(effects.all().map(|of| (of.cause.clone(), of.acid_eq)));
        let in_ph = in_eq.into_iter().map(|of| (of.cause, of.sd / buffering));
        let uncertainty_budget = budget(in_ph.chain(SAMPLING_AND_METER));
        let sd = math::root_of_squares(uncertainty_budget.iter().map(|of| of.sd));
        Forecast {
            ph,
            sd,
            uncertainty_budget,
            buffering_eq_per_ph: buffering,
            second_order: SecondOrder::of(self, chemistry, &effects, ph, sd),
        }
    }

    /// Acid (or base) needed for a wanted pH, with its error bar.
    pub fn acid_needed(&self, doses: &DoseUncertainty, ph: f64) -> AcidNeeded {
        let chemistry = self.chemistry();
        AcidNeeded {
            acid_eq: self.proton_deficit_eq(&chemistry, ph),
            sd_eq: Effects::of(self, &chemistry, doses, ph).acid_sd_eq(),
        }
    }

    /// The titration curve at amounts of acid, eq.
    pub fn titration_curve(
        &self,
        doses: &DoseUncertainty,
        acid_eq: impl IntoIterator<Item = f64>,
    ) -> Vec<CurvePoint> {
        let chemistry = self.chemistry();
        let [sampling, meter] = SAMPLING_AND_METER.map(|(_, sd)| sd);
        acid_eq
            .into_iter()
            .map(|acid_eq| {
                let ph = self.ph_with_acid(&chemistry, acid_eq);
                let sd_eq = Effects::of(self, &chemistry, doses, ph).acid_sd_eq();
                let in_ph = sd_eq / self.buffering_eq_per_ph(&chemistry, ph);
                CurvePoint {
                    acid_eq,
                    ph,
                    sd: math::root_of_squares([in_ph, sampling, meter]),
                }
            })
            .collect()
    }

    /// Chance that the mash lands within a range of pH, 0 to 1. What a meter and a sample are off
    /// by counts for nothing in it, since they move the reading and not the mash. Within 0.02 of
    /// chance itself on usual mashes.
    pub fn probability_between(
        &self,
        doses: &DoseUncertainty,
        low: Option<f64>,
        high: Option<f64>,
    ) -> f64 {
        chance::of_mash(self, doses, [low, high])
    }

    /// Between which a meter shows the pH with the chance that a normal value lies within so many
    /// standard deviations: skewed as the mash is, from the distribution of
    /// [`Self::probability_between`] and what readings scatter, about a forecast of this mash.
    ///
    /// ```
    /// use underlet::{BrewDay, EXAMPLES};
    /// let plan = BrewDay::from_json(EXAMPLES[0].1).unwrap().plan().unwrap();
    /// let [low, high] = plan.mash.interval_95.unwrap();
    /// assert!(low < plan.mash.ph && plan.mash.ph < high);
    /// ```
    pub fn interval(
        &self,
        doses: &DoseUncertainty,
        forecast: &Forecast,
        standard_deviations: f64,
    ) -> [f64; 2] {
        chance::interval_of_mash(self, doses, forecast, standard_deviations)
    }

    /// The chance that a meter shows less than a pH, from the same distribution, of a reading that
    /// scatters by so much more.
    pub(crate) fn reading_below(&self, doses: &DoseUncertainty, ph: f64, more_sd: f64) -> f64 {
        chance::of_reading_of_mash(self, doses, ph, more_sd)
    }

    /// The part of a range, low and high end, in which the pH must be forecast for the mash to land
    /// within the range with a confidence (0 to 1): as if acid or base moved this mash, and nothing
    /// else about it.
    pub fn aim(&self, doses: &DoseUncertainty, range: [Option<f64>; 2], confidence: f64) -> Aim {
        chance::aim_of_mash(self, doses, range, confidence)
    }
}
