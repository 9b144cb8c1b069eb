//! Chlorine taken out of the day's liquor before anything else goes in.
//!
//! All the liquor that is drawn is treated: in the tank, or where there is none in the mash liquor and the sparge liquor each.
//! The fit is asked about sources without their chlorine; what the reaction and the excess leave behind counts in every figure.
//! The dose is rounded up to the scale's step, and the forecast is that of the dose as weighed.

use crate::fit::{Question, Vessel, Waters};
use crate::ion::Ion;
use crate::liquor::Liquor;
use crate::math;
use crate::treatment::{Chlorine, Dechlorination, Dechlorinator, dechlorinated_by};

use super::{BrewDay, Shelved, Source, words};

/// What is done about the chlorine of the sources.
pub(super) struct Removal<'a> {
    /// What takes it.
    pub shelved: &'a Shelved,
    /// Whether ascorbic acid meets chloramine, for which it is too slow to rely on.
    pub doubtful: bool,
    day: &'a BrewDay,
}

/// One dose.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(super) struct Dose {
    /// Where it goes.
    pub vessel: Vessel,
    /// As weighed, in the reagent's unit.
    pub amount: f64,
    /// What chlorine asks for, its excess among it.
    pub before_rounding: f64,
}

impl BrewDay {
    /// Whether any source holds chlorine.
    pub(super) fn has_chlorine(&self) -> bool {
        self.sources.iter().any(Source::has_chlorine)
    }

    /// How chlorine is taken out, by the first reagent on the shelf that can; `None` where there is no chlorine or no such
    /// reagent, enough of it, and allowed wherever liquor is drawn into.
    pub(super) fn removal(&self) -> Option<Removal<'_>> {
        let dechlorinators = self.shelf.iter().filter(|one| one.is_dechlorinator());
        let mut candidates = dechlorinators.map(|shelved| Removal {
            shelved,
            doubtful: false,
            day: self,
        });
        let found = candidates.find(Removal::suffices)?;
        let kind = Dechlorinator::of(&found.shelved.preparation);
        let combined = |chlorine: &Chlorine| chlorine.combined_mol_per_kg > 0.0;
        let doubtful = kind == Some(Dechlorinator::Ascorbate)
            && self.sources.iter().any(|source| combined(&source.chlorine));
        self.has_chlorine().then_some(Removal { doubtful, ..found })
    }

    /// A source's liquor as the fit sees it.
    pub(super) fn without_chlorine(&self, source: usize, removal: Option<&Removal<'_>>) -> Liquor {
        removal.map_or_else(
            || {
                self.sources
                    .get(source)
                    .map(|one| one.liquor)
                    .unwrap_or_default()
            },
            |removal| removal.liquor(source, 1.0),
        )
    }
}

impl Removal<'_> {
    /// Vessels that liquor is drawn into.
    fn vessels(&self) -> impl Iterator<Item = Vessel> + use<> {
        let is_used = match (&self.day.tank, &self.day.sparge) {
            (Some(_), _) => [true, false, false],
            (None, sparge) => [false, true, sparge.is_some()],
        };
        Vessel::ALL
            .into_iter()
            .zip(is_used)
            .filter_map(|(vessel, is_used)| is_used.then_some(vessel))
    }

    /// Whether it may go wherever it must, and there is enough of it for the source that needs most.
    fn suffices(&self) -> bool {
        let waters = self.day.waters();
        let most = (0..self.day.sources.len())
            .map(|source| self.per_kg(source))
            .fold(0.0, f64::max);
        let needed: f64 = self
            .vessels()
            .map(|vessel| self.weighed(most * waters.dosed_kg(vessel)))
            .sum();
        self.vessels()
            .all(|vessel| self.shelved.at.contains(&vessel))
            && self.shelved.stock.is_none_or(|stock| needed <= stock)
    }

    /// What a source asks for, per kg of it.
    fn per_kg(&self, source: usize) -> f64 {
        self.dechlorination(source, 1.0)
            .map_or(0.0, |done| done.dose_g_per_kg)
    }

    /// A source with `times` the dose that it asks for.
    fn liquor(&self, source: usize, times: f64) -> Liquor {
        self.dechlorination(source, times)
            .map(|done| done.liquor)
            .unwrap_or_default()
    }

    fn dechlorination(&self, source: usize, times: f64) -> Option<Dechlorination> {
        let source = self.day.sources.get(source)?;
        dechlorinated_by(
            times,
            &source.liquor,
            &source.chlorine,
            &self.shelved.preparation,
        )
    }

    /// Rounded up to what the scale shows.
    fn weighed(&self, amount: f64) -> f64 {
        if amount <= 0.0 {
            return 0.0;
        }
        let step = self.shelved.step;
        // A hundredth of a step is no reason for another.
        let up = (amount / step - 0.01).ceil() * step;
        math::at_least(up, self.shelved.smallest)
    }

    /// The doses of a blend, in the order of work.
    pub fn doses(&self, waters: &Waters, shares: &[f64]) -> Vec<Dose> {
        let per_kg: f64 = shares
            .iter()
            .enumerate()
            .map(|(source, share)| share * self.per_kg(source))
            .sum();
        let dose = |vessel| {
            let before_rounding = per_kg * waters.dosed_kg(vessel);
            Dose {
                vessel,
                amount: self.weighed(before_rounding),
                before_rounding,
            }
        };
        let doses = self.vessels().map(dose);
        doses.filter(|dose| dose.amount > 0.0).collect()
    }

    /// What it is for.
    pub fn why(&self, shares: &[f64]) -> String {
        let sources = self.day.sources.iter().zip(shares);
        let mol_per_kg: f64 = sources
            .map(|(source, share)| share * source.chlorine.total_mol_per_kg())
            .sum();
        // A molecule of Cl2 weighs twice the ion.
        let mg_per_l = 2.0 * Ion::Chloride.mg_per_l(mol_per_kg);
        format!("takes out {} mg/L of chlorine", words::number(mg_per_l))
    }

    /// Puts what is weighed in the place of what was asked for: all the doses of a blend together, over all its liquor.
    pub fn settle(&self, question: &mut Question<'_>, shares: &[f64]) {
        let doses = self.doses(&question.waters, shares);
        let asked: f64 = doses.iter().map(|dose| dose.before_rounding).sum();
        let weighed: f64 = doses.iter().map(|dose| dose.amount).sum();
        if asked > 0.0 {
            for (place, source) in question.sources.iter_mut().enumerate() {
                source.liquor = self.liquor(place, weighed / asked);
            }
        }
    }
}
