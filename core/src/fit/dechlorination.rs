//! Chlorine taken out of the day's liquor before anything else goes in.
//!
//! All the liquor that is drawn is treated: in the tank, or where there is none in the mash liquor and the sparge liquor each.
//! The fit is asked about sources without their chlorine; what the reaction and the excess leave behind counts in every figure.
//! The dose is rounded up to the scale's step, and the forecast is that of the dose as weighed; without a tank, as if what was
//! rounded up in two vessels were spread over both. Where a scale is so coarse that it would more than double a dose, nothing is given.

use super::problem::{Problem, Waters};
use crate::component::Component;
use crate::liquor::Liquor;
use crate::math;
use crate::recipe::Vessel;
use crate::treatment::{Chlorine, Dechlorination, Dechlorinator, dechlorinated_by};

use crate::recipe::{BrewDay, Shelved, Source};
use crate::words;

/// Chlorine that no test of water shows, mg/L: as good as none.
const TRACE_MG_PER_L: f64 = 0.005;
/// What is weighed may be so many times what is asked for (a choice of ours: surplus sulfite stays in the liquor).
const COARSEST: f64 = 2.0;

/// What is done about the chlorine of the sources.
pub(crate) struct Removal<'a> {
    /// What takes it.
    pub shelved: &'a Shelved,
    day: &'a BrewDay,
}

/// One dose.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(crate) struct Dose {
    /// Where it goes.
    pub vessel: Vessel,
    /// As weighed, in the reagent's unit.
    pub amount: f64,
    /// What chlorine asks for, its excess among it.
    pub before_rounding: f64,
}

impl BrewDay {
    /// Chlorine of a blend.
    pub(crate) fn chlorine(&self, shares: &[f64]) -> Chlorine {
        let mut blend = Chlorine::default();
        for (source, share) in self.sources.iter().zip(shares) {
            blend.free_mol_per_kg += share * source.chlorine.free_mol_per_kg;
            blend.combined_mol_per_kg += share * source.chlorine.combined_mol_per_kg;
        }
        blend
    }

    /// How chlorine would be taken out: by the first reagent on the shelf that is allowed wherever liquor is drawn into, one that is
    /// quick with what there is before one that is not. `None` without chlorine or such a reagent.
    pub(crate) fn removal(&self) -> Option<Removal<'_>> {
        if !self.sources.iter().any(Source::has_chlorine) {
            return None;
        }
        let removal = |shelved| Removal { shelved, day: self };
        let candidates = || {
            let dechlorinators = self.shelf.iter().filter(|one| one.is_dechlorinator());
            dechlorinators.map(removal).filter(Removal::is_allowed)
        };
        let has_chloramine = |source: &Source| source.chlorine.combined_mol_per_kg > 0.0;
        let is_quick = |one: &Removal<'_>| !one.is_ascorbate();
        let needs_quick = self.sources.iter().any(has_chloramine);
        candidates()
            .find(|one| !needs_quick || is_quick(one))
            .or_else(|| candidates().next())
    }

    /// A source's liquor as the fit sees it.
    pub(crate) fn without_chlorine(&self, source: usize, removal: Option<&Removal<'_>>) -> Liquor {
        let own = self.sources.get(source).map(|one| one.liquor);
        let treated = removal.and_then(|removal| removal.dechlorination(source, 1.0));
        treated.map_or(own.unwrap_or_default(), |done| done.liquor)
    }
}

/// Whether a test would show it.
pub(crate) fn shows(mol_per_kg: f64) -> bool {
    mg_per_l(mol_per_kg) > TRACE_MG_PER_L
}

/// A molecule of Cl2 weighs twice the ion.
fn mg_per_l(mol_per_kg: f64) -> f64 {
    2.0 * Component::Chloride.mg_per_l(mol_per_kg)
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

    fn is_allowed(&self) -> bool {
        let at = &self.shelved.at;
        self.vessels().all(|vessel| at.contains(&vessel))
    }

    fn is_ascorbate(&self) -> bool {
        Dechlorinator::of(&self.shelved.preparation) == Some(Dechlorinator::Ascorbate)
    }

    /// Whether it is too slow with chloramine of this blend to rely on.
    pub fn is_doubtful(&self, shares: &[f64]) -> bool {
        self.is_ascorbate() && shows(self.day.chlorine(shares).combined_mol_per_kg)
    }

    /// Whether it can be weighed on this scale, and there is enough of it.
    pub fn suffices(&self, waters: &Waters, shares: &[f64]) -> bool {
        let doses = self.doses(waters, shares);
        let needed: f64 = doses
            .iter()
            .map(|dose| waters.times(dose.vessel) * dose.amount)
            .sum();
        let is_weighable = |dose: &Dose| dose.amount <= COARSEST * dose.before_rounding;
        doses.iter().all(is_weighable) && self.shelved.stock.is_none_or(|stock| needed <= stock)
    }

    /// What a source asks for, per kg of it.
    fn per_kg(&self, source: usize) -> f64 {
        self.dechlorination(source, 1.0)
            .map_or(0.0, |done| done.dose_g_per_kg)
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
        let at_least = math::at_least(amount, self.shelved.min_dose);
        // A hundredth of a step is no reason for another.
        words::tidy((at_least / step - 0.01).ceil() * step)
    }

    /// The doses of a blend, in the order of work.
    pub fn doses(&self, waters: &Waters, shares: &[f64]) -> Vec<Dose> {
        if !shows(self.day.chlorine(shares).total_mol_per_kg()) {
            return Vec::new();
        }
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
        let chlorine = self.day.chlorine(shares).total_mol_per_kg();
        format!(
            "takes out {} mg/L of chlorine",
            words::number(mg_per_l(chlorine))
        )
    }

    /// Puts what is weighed in the place of what was asked for: all the doses of a blend together, over all its liquor.
    pub fn settle(&self, question: &mut Problem<'_>, shares: &[f64]) {
        let doses = self.doses(&question.waters, shares);
        let asked: f64 = doses.iter().map(|dose| dose.before_rounding).sum();
        let weighed: f64 = doses.iter().map(|dose| dose.amount).sum();
        if asked > 0.0 {
            for (place, source) in question.sources.iter_mut().enumerate() {
                if let Some(done) = self.dechlorination(place, weighed / asked) {
                    source.liquor = done.liquor;
                }
            }
        }
    }
}
