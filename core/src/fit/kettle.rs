//! What goes into the kettle: salts that the fit gives it, acid once the pH of the full kettle has
//! been read, and zinc for the yeast.
//!
//! A salt is spread over the kettle's water, in the ions of the whole liquor as in those of the
//! kettle. Acid is dosed after the fit, for the forecast pH of the full kettle with its salts, in
//! whole steps of the measure; the ions of a mineral acid are included. The forecast is uncertain,
//! so the plan gives the dose that shifts pH by 0.1 with its interval, for use with the reading.
//! Zinc is weighed for the water after the boil, at 20 °C; zinc from malt and zinc lost to the
//! break are not included.

use underlet_tables::ReagentKind;

use super::day_terms::{LIMIT_ROUNDING, reached_mg_per_l};
use super::problem::{Liquors, Problem};
use super::uptake::is_beyond_models;
use crate::liquor::{Dose, Liquor};
use crate::mash::{Forecast, Wort, is_checked_ph};
use crate::math;
use crate::recipe::{BrewDay, ShelfReagent, TargetRange, Vessel};
use crate::words::{self, DISPLAY_PH};

/// Relative deviation of the zinc dose that needs no caution (a choice of ours).
const ZINC_OFF: f64 = 0.1;

/// The full kettle with what is dosed there.
pub(crate) struct DosedKettle<'a> {
    /// As it runs in, and as its pH is read.
    pub full: Wort,
    /// With all that goes in before the boil.
    pub dosed: Wort,
    /// The acid that is given.
    pub acid: Option<KettleDose<'a>>,
    /// What all that brings to the whole kettle.
    pub brought: Dose,
}

impl DosedKettle<'_> {
    fn add(&mut self, dose: &Dose) {
        self.brought = self.brought.plus(dose);
        self.dosed = self.dosed.dosed(dose);
    }
}

/// Something of the shelf for the kettle.
pub(crate) struct KettleDose<'a> {
    pub shelved: &'a ShelfReagent,
    /// In whole steps of the scale; 0 where it cannot be weighed.
    pub amount: f64,
    pub before_rounding: f64,
    /// Whether it achieves what it is for.
    pub suffices: bool,
}

impl KettleDose<'_> {
    /// What it brings to the whole kettle.
    pub fn dose(&self) -> Dose {
        let unit = self.shelved.preparation.dose_per_unit();
        unit.times(self.amount)
    }
}

/// The kettle of a day, whatever runs into it.
pub(crate) struct Kettle<'a, 's> {
    pub day: &'a BrewDay,
    pub problem: &'s Problem<'a>,
    /// The forecast of the mash as planned: its error bar is that of any other mash of the day.
    pub forecast: &'s Forecast,
    pub alkalinity_sd_eq_per_kg: f64,
    /// Whether acid for the kettle stays within the hard limits of the day.
    pub keeps_limits: bool,
}

impl<'a> Kettle<'a, '_> {
    /// The kettle that these liquors, shares and doses of the fit and this mash pH lead to.
    pub fn dosed(
        &self,
        liquors: &Liquors,
        [shares, doses]: [&[f64]; 2],
        mash_ph: f64,
    ) -> DosedKettle<'a> {
        let full = self.full(&liquors.mash, &liquors.sparge, mash_ph);
        let mut kettle = DosedKettle {
            full,
            dosed: full,
            acid: None,
            brought: Dose::default(),
        };
        for (option, amount) in self.problem.doses.iter().zip(doses) {
            if option.vessel == Vessel::Kettle && *amount > 0.0 {
                kettle.add(&option.dose_per_unit().times(*amount));
            }
        }
        // No acid is measured out for a wort whose pH is not known.
        let has_sparge = self.problem.waters.sparge_kg > 0.0;
        let is_known = is_checked_ph(self.forecast.ph)
            && !is_beyond_models(&liquors.mash)
            && !(has_sparge && is_beyond_models(&liquors.sparge));
        if is_known {
            kettle.acid = self.acid(&kettle.dosed, [shares, doses]);
        }
        if let Some(dose) = kettle.acid.as_ref().map(KettleDose::dose) {
            kettle.add(&dose);
        }
        kettle
    }

    /// The wort of a mash and a sparge liquor as it fills the kettle.
    pub fn full(&self, mash: &Liquor, sparge: &Liquor, mash_ph: f64) -> Wort {
        let forecast = Forecast {
            ph: mash_ph,
            ..self.forecast.clone()
        };
        Wort::kettle_full(
            &self.problem.mash(*mash),
            &forecast,
            self.day.kept_kg(),
            self.problem.waters.sparge_kg,
            sparge,
            self.alkalinity_sd_eq_per_kg,
        )
    }

    /// Acid that brings a wort down to the preferred pH, or just into its range: the nearest
    /// amount, nothing among them, or the least that suffices. Where a step would take it
    /// through the range it is left out: more can be given, and nothing raises the pH again.
    fn acid(&self, wort: &Wort, fitted: [&[f64]; 2]) -> Option<KettleDose<'a>> {
        let range = self.day.kettle.ph?;
        let aim = range.prefer.or(range.high)?;
        if wort.ph <= aim + DISPLAY_PH || wort.water_kg <= 0.0 {
            return None;
        }
        let give = |shelved| self.acid_of(shelved, &range, aim, wort, fitted);
        let best = best_of_kind(self.day, ReagentKind::Acid, give);
        best.filter(|acid| acid.amount > 0.0)
    }

    fn acid_of(
        &self,
        shelved: &'a ShelfReagent,
        range: &TargetRange,
        aim: f64,
        wort: &Wort,
        [shares, doses]: [&[f64]; 2],
    ) -> KettleDose<'a> {
        let unit = shelved.preparation.dose_per_unit();
        let before_rounding = wort.units_needed(&unit, aim);
        let least = shelved.least_steps();
        let exact = before_rounding / shelved.step;
        let is_point = range.low == range.high;
        let steps = if !is_point && range.prefer.is_none() {
            // A hundredth of a step is no reason for another.
            math::at_least((exact - 0.01).ceil(), least)
        } else if exact >= least {
            exact.round()
        } else {
            // Nothing, or the least that can be given, whichever is nearer.
            (exact / least).round() * least
        };
        let mut steps = steps.min(self.most_steps(shelved, [shares, doses]));
        let low = range.low.map_or(0.0, |low| low - DISPLAY_PH);
        let ph = |steps: f64| wort.dosed(&unit.times(steps * shelved.step)).ph;
        if !is_point && ph(steps) < low {
            steps -= 1.0;
        }
        if steps < least {
            steps = 0.0;
        }
        let reached = ph(steps);
        let high = range.high.unwrap_or(aim) + DISPLAY_PH;
        KettleDose {
            shelved,
            amount: words::tidy(steps * shelved.step),
            before_rounding,
            suffices: low <= reached && reached <= high,
        }
    }
}

impl Kettle<'_, '_> {
    /// How many steps of an acid stock and hard limits leave room for.
    pub fn most_steps(&self, shelved: &ShelfReagent, [shares, doses]: [&[f64]; 2]) -> f64 {
        let key = shelved.preparation.reagent.key;
        let given = self.problem.doses.iter().zip(doses);
        let used: f64 = given
            .filter(|(option, _)| option.preparation.reagent.key == key)
            .map(|(option, amount)| self.problem.waters.times(option.vessel) * amount)
            .sum();
        let in_stock = shelved.whole_steps_in_stock(used, self.day.brews);
        if !self.keeps_limits {
            return in_stock;
        }
        let step = shelved.preparation.dose_per_unit().times(shelved.step);
        in_stock.min(self.whole_steps_in_limits(&step, [shares, doses]))
    }

    /// Acids of the shelf that may go into the kettle.
    pub fn acids(&self) -> impl Iterator<Item = &ShelfReagent> {
        let shelf = self.day.shelf.iter();
        shelf.filter(|one| is_for_kettle(one, ReagentKind::Acid))
    }

    /// How many steps of an acid the hard limits of the day leave room for.
    fn whole_steps_in_limits(&self, step: &Dose, [shares, doses]: [&[f64]; 2]) -> f64 {
        let Some(kettle_kg) = Some(self.problem.waters.kettle_kg).filter(|kg| *kg > 0.0) else {
            return f64::INFINITY;
        };
        let without_acid = Problem {
            in_kettle: zinc_per_kg(self.day),
            ..self.problem.clone()
        };
        let per_kg = step.times(1.0 / kettle_kg);
        let limits = self.day.targets.limits.iter();
        let rooms = limits.filter_map(|(of, most)| {
            let brought = of.mg_per_l(&per_kg);
            let reached = reached_mg_per_l(&without_acid, *of, shares, doses);
            let room = most * (1.0 + LIMIT_ROUNDING) - reached;
            (brought > 0.0).then(|| math::at_least((room / brought).floor(), 0.0))
        });
        rooms.fold(f64::INFINITY, f64::min)
    }
}

/// Whether there is an acid for the kettle.
pub(crate) fn has_kettle_acid(day: &BrewDay) -> bool {
    day.shelf
        .iter()
        .any(|one| is_for_kettle(one, ReagentKind::Acid))
}

/// Whether something is of a kind and may go into the kettle.
fn is_for_kettle(shelved: &ShelfReagent, kind: ReagentKind) -> bool {
    shelved.preparation.reagent.kind == kind && shelved.vessels.contains(&Vessel::Kettle)
}

/// Of a kind for the kettle the first that suffices, else the first of which something is given,
/// else the first.
fn best_of_kind<'a>(
    day: &'a BrewDay,
    kind: ReagentKind,
    give: impl Fn(&'a ShelfReagent) -> KettleDose<'a>,
) -> Option<KettleDose<'a>> {
    let shelf = day.shelf.iter().filter(|one| is_for_kettle(one, kind));
    // Of equals `max_by_key` takes the last.
    let given = shelf.map(give).rev();
    given.max_by_key(|given| (given.suffices, given.amount > 0.0))
}

/// The zinc dose of the day, for the water in the kettle after the boil.
pub(super) fn zinc(day: &BrewDay, after_boil_kg: f64) -> Option<KettleDose<'_>> {
    let mol_per_kg = day.kettle.zinc_mol_per_kg?;
    let give = |shelved| zinc_of(shelved, mol_per_kg * after_boil_kg, day.brews);
    best_of_kind(day, ReagentKind::Zinc, give)
}

/// What the zinc of a day brings with it, per kg of water of the full kettle: it is weighed for the
/// water alone, whatever the fit doses.
pub(crate) fn zinc_per_kg(day: &BrewDay) -> Dose {
    let kettle_kg = day.waters().kettle_kg;
    let after_boil_kg = kettle_kg - day.boil(kettle_kg).boiled_off_kg;
    let zinc = zinc(day, after_boil_kg).filter(|_| kettle_kg > 0.0);
    zinc.map_or_else(Dose::default, |zinc| {
        let per_unit = zinc.shelved.preparation.brings_per_unit();
        Dose {
            ions: per_unit * (zinc.amount / kettle_kg),
            ..Dose::default()
        }
    })
}

fn zinc_of(shelved: &ShelfReagent, mol: f64, brews: usize) -> KettleDose<'_> {
    let before_rounding = mol / shelved.preparation.mol_per_unit();
    let exact = before_rounding / shelved.step;
    let least = shelved.least_steps();
    let steps = exact.round().min(shelved.whole_steps_in_stock(0.0, brews));
    // An overdose of zinc harms the yeast.
    let steps = if exact < least || steps < least {
        0.0
    } else {
        steps
    };
    let amount = words::tidy(steps * shelved.step);
    KettleDose {
        shelved,
        amount,
        before_rounding,
        suffices: (amount - before_rounding).abs() <= ZINC_OFF * before_rounding,
    }
}
