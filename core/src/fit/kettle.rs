//! What goes into the kettle: salts that the fit gives it, acid once the pH of the full kettle has been read, and zinc for
//! the yeast.
//!
//! A gram of salt counts per kg of the kettle's water, in the ions over all the brewing liquor as in the kettle's own. Acid is
//! given after the fit, for the forecast pH of the full kettle with its salts, in whole steps of the measure; what a mineral acid brings
//! of ions counts as well. The forecast is unsure, so the plan tells what moves it by 0.1: the reading decides. Zinc is
//! weighed for the kettle's water after the boil, at 20 °C; what malt brings of it and what the break takes are not counted.

use underlet_tables::{ReagentKind, elements};

use super::problem::Liquors;
use super::solution::Settled;
use crate::liquor::{Dose, Liquor};
use crate::mash::{Forecast, Wort};
use crate::math;
use crate::math::TWO_SIDED_95;
use crate::quantity::{self, WATER_KG_PER_L_20C};
use crate::recipe::{BrewDay, Meter, Shelved, Vessel, Wanted};
use crate::words::{self, DISPLAY_PH, TENTH_PH};

/// Part of the wanted zinc by which what is given may miss it unsaid (a choice of ours).
const ZINC_OFF: f64 = 0.1;

/// The full kettle.
pub(crate) struct InKettle<'a> {
    /// As it runs in, and as its pH is read.
    pub full: Wort,
    /// With all that goes in before the boil.
    pub dosed: Wort,
    /// The acid that is given.
    pub acid: Option<Given<'a>>,
    /// What all that brings to the whole kettle.
    pub brought: Dose,
}

/// Something of the shelf for the kettle.
pub(crate) struct Given<'a> {
    pub shelved: &'a Shelved,
    /// In whole steps of the scale; 0 where it cannot be weighed.
    pub amount: f64,
    pub before_rounding: f64,
    /// Whether it does what is wanted of it.
    pub suffices: bool,
}

impl Given<'_> {
    /// What it brings to the whole kettle.
    pub fn dose(&self) -> Dose {
        let unit = self.shelved.preparation.dose_per_unit();
        unit.times(self.amount)
    }
}

impl Shelved {
    /// Whether it is of a kind and may go into the kettle.
    fn is_for_kettle(&self, kind: ReagentKind) -> bool {
        self.preparation.reagent.kind == kind && self.at.contains(&Vessel::Kettle)
    }
}

impl BrewDay {
    /// Whether there is an acid for the kettle.
    pub(crate) fn has_kettle_acid(&self) -> bool {
        let mut shelf = self.shelf.iter();
        shelf.any(|one| one.is_for_kettle(ReagentKind::Acid))
    }

    /// Of a kind for the kettle the first that does what is wanted of it, else the first of which something is given, else the first.
    fn best_for_kettle<'a>(
        &'a self,
        kind: ReagentKind,
        give: impl Fn(&'a Shelved) -> Given<'a>,
    ) -> Option<Given<'a>> {
        let shelved = self.shelf.iter().filter(|one| one.is_for_kettle(kind));
        // Of equals `max_by_key` takes the last.
        let given = shelved.map(give).rev();
        given.max_by_key(|given| (given.suffices, given.amount > 0.0))
    }
}

impl<'a> Settled<'a> {
    /// The kettle as planned.
    pub(crate) fn in_kettle(&self) -> InKettle<'a> {
        self.in_kettle_with(&self.liquors, &self.answer.doses, self.forecast.ph)
    }

    /// The kettle with other liquors, doses of the fit and mash pH.
    pub(crate) fn in_kettle_with(
        &self,
        liquors: &Liquors,
        doses: &[f64],
        mash_ph: f64,
    ) -> InKettle<'a> {
        let full = self.kettle_full(&liquors.mash, &liquors.sparge, mash_ph);
        let mut kettle = InKettle {
            full,
            dosed: full,
            acid: None,
            brought: Dose::default(),
        };
        for (option, amount) in self.question.doses.iter().zip(doses) {
            if option.vessel == Vessel::Kettle && *amount > 0.0 {
                kettle.give(&option.dose_per_unit().times(*amount));
            }
        }
        kettle.acid = self.acid(&kettle.dosed, doses);
        if let Some(dose) = kettle.acid.as_ref().map(Given::dose) {
            kettle.give(&dose);
        }
        kettle
    }

    /// The wort of a mash and a sparge liquor as it fills the kettle.
    pub(crate) fn kettle_full(&self, mash: &Liquor, sparge: &Liquor, mash_ph: f64) -> Wort {
        let forecast = Forecast {
            ph: mash_ph,
            ..self.forecast.clone()
        };
        Wort::kettle_full(
            &self.day.mash_of(&self.question, *mash),
            &forecast,
            self.day.kept_kg(),
            self.question.waters.sparge_kg,
            sparge,
            self.unsure.doses().alkalinity_eq_per_kg,
        )
    }

    /// Acid that brings a wort down to the preferred pH, or just into its range: the nearest amount, nothing among them, or the least that
    /// suffices. Where a step would take it through the range it is left out: more can be given, and nothing raises the pH again.
    fn acid(&self, wort: &Wort, doses: &[f64]) -> Option<Given<'a>> {
        let wanted = self.day.kettle.ph?;
        let aim = wanted.prefer.or(wanted.high)?;
        if wort.ph <= aim + DISPLAY_PH || wort.water_kg <= 0.0 {
            return None;
        }
        let give = |shelved| self.acid_of(shelved, &wanted, aim, wort, doses);
        let best = self.day.best_for_kettle(ReagentKind::Acid, give);
        best.filter(|acid| acid.amount > 0.0)
    }

    fn acid_of(
        &self,
        shelved: &'a Shelved,
        wanted: &Wanted,
        aim: f64,
        wort: &Wort,
        doses: &[f64],
    ) -> Given<'a> {
        let unit = shelved.preparation.dose_per_unit();
        let before_rounding = wort.units_needed(&unit, aim);
        let least = shelved.least_steps();
        let exact = before_rounding / shelved.step;
        let is_point = wanted.low == wanted.high;
        let steps = if !is_point && wanted.prefer.is_none() {
            // A hundredth of a step is no reason for another.
            math::at_least((exact - 0.01).ceil(), least)
        } else if exact >= least {
            exact.round()
        } else {
            // Nothing, or the least that can be given, whichever is nearer.
            (exact / least).round() * least
        };
        let given = self.question.doses.iter().zip(doses);
        let used: f64 = given
            .filter(|(option, _)| option.preparation.reagent.key == shelved.preparation.reagent.key)
            .map(|(option, amount)| self.question.waters.times(option.vessel) * amount)
            .sum();
        let mut steps = steps.min(shelved.whole_steps_in_stock(used, self.day.brews));
        let low = wanted.low.map_or(0.0, |low| low - DISPLAY_PH);
        let ph = |steps: f64| wort.dosed(&unit.times(steps * shelved.step)).ph;
        if !is_point && ph(steps) < low {
            steps -= 1.0;
        }
        if steps < least {
            steps = 0.0;
        }
        let reached = ph(steps);
        let high = wanted.high.unwrap_or(aim) + DISPLAY_PH;
        Given {
            shelved,
            amount: words::tidy(steps * shelved.step),
            before_rounding,
            suffices: low <= reached && reached <= high,
        }
    }

    /// Zinc that the day asks for.
    pub(crate) fn zinc(&self) -> Option<Given<'a>> {
        let wanted = self.day.kettle.zinc_mol_per_kg?;
        let give = |shelved| self.zinc_of(shelved, wanted);
        self.day.best_for_kettle(ReagentKind::Zinc, give)
    }

    fn zinc_of(&self, shelved: &'a Shelved, mol_per_kg: f64) -> Given<'a> {
        let before_rounding =
            mol_per_kg * self.after_boil_kg() / shelved.preparation.mol_per_unit();
        let exact = before_rounding / shelved.step;
        let least = shelved.least_steps();
        let steps = exact
            .round()
            .min(shelved.whole_steps_in_stock(0.0, self.day.brews));
        // More than is wanted poisons.
        let steps = if exact < least || steps < least {
            0.0
        } else {
            steps
        };
        let amount = words::tidy(steps * shelved.step);
        Given {
            shelved,
            amount,
            before_rounding,
            suffices: (amount - before_rounding).abs() <= ZINC_OFF * before_rounding,
        }
    }

    /// Water in the kettle after the boil.
    fn after_boil_kg(&self) -> f64 {
        let full_kg = self.question.waters.kettle_kg;
        full_kg - self.day.boil(full_kg).boiled_off_kg
    }

    /// What the zinc does.
    pub(crate) fn why_zinc(&self, zinc: &Given<'_>) -> String {
        let mol = zinc.amount * zinc.shelved.preparation.mol_per_unit();
        let litres = self.after_boil_kg() / WATER_KG_PER_L_20C;
        let mg_per_l = 1000.0 * mol * elements::ZN.weight_g_per_mol / litres;
        format!(
            "zinc +{} mg/L after the boil, less what the break takes",
            quantity::significant(mg_per_l, 2)
        )
    }
}

impl InKettle<'_> {
    fn give(&mut self, dose: &Dose) {
        self.brought = self.brought.plus(dose);
        self.dosed = self.dosed.dosed(dose);
    }

    /// What the acid does, and what it takes to do as the meter says, where there is one.
    pub(crate) fn why_acid(&self, acid: &Given<'_>, meters: &[Meter]) -> String {
        let before = self.dosed.dosed(&acid.dose().times(-1.0)).ph;
        let fall = before - self.dosed.ph;
        let then = if meters.contains(&Meter::Ph) {
            "so measure out for what is read"
        } else {
            "which without a pH meter decides alone"
        };
        format!(
            "kettle pH {}, 0.1 for each {} {}: the forecast is good to ± {}, {then}",
            words::change(-fall, 2),
            words::number(acid.amount * TENTH_PH / fall),
            acid.shelved.preparation.unit(),
            words::ph(TWO_SIDED_95 * self.full.sd)
        )
    }
}
