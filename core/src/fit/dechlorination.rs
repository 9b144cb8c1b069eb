//! Chlorine removed from the day's liquor before anything else goes in.
//!
//! All the liquor that is drawn is treated: in the tank, or where there is none in the mash liquor
//! and the sparge liquor each. The fit sees the sources without their chlorine; what the reaction
//! and the excess leave behind counts in every figure. The dose is rounded up to the scale's step,
//! and the forecast is that of the dose as weighed; without a tank, as if what was rounded up in
//! two vessels were spread over both. A reagent that the scale would round up to more than double
//! the dose is not used.

use super::problem::Problem;
use crate::component::Component;
use crate::math;
use crate::recipe::{BrewDay, ShelfReagent, Source, Vessel, Waters};
use crate::treatment::{Dechlorination, Dechlorinator, dechlorinated_by};
use crate::words;

/// Chlorine below the detection limit of field tests, mg/L.
const TRACE_MG_PER_L: f64 = 0.005;
/// Largest ratio of the weighed to the required dose (a choice of ours: surplus sulfite stays in
/// the liquor).
const COARSEST: f64 = 2.0;

/// How chlorine is removed from the sources.
pub(crate) struct Removal<'a> {
    /// The reagent.
    pub shelved: &'a ShelfReagent,
    day: &'a BrewDay,
}

/// One dose of it.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(crate) struct RemovalDose {
    /// Where it goes.
    pub vessel: Vessel,
    /// As weighed, in the reagent's unit.
    pub amount: f64,
    /// What chlorine requires, the excess included.
    pub before_rounding: f64,
}

/// Whether a test of water would show it.
pub(crate) fn is_detectable(mol_per_kg: f64) -> bool {
    mg_per_l(mol_per_kg) > TRACE_MG_PER_L
}

/// A molecule of Cl2 weighs twice the ion.
fn mg_per_l(mol_per_kg: f64) -> f64 {
    2.0 * Component::Chloride.mg_per_l(mol_per_kg)
}

impl<'a> Removal<'a> {
    /// Uses the first reagent on the shelf that is allowed in every vessel that liquor is drawn
    /// into; where the water holds chloramine, one that is quick with it comes before one that
    /// is not. `None` without chlorine or such a reagent.
    pub(super) fn of(day: &'a BrewDay) -> Option<Removal<'a>> {
        if !day.sources.iter().any(Source::has_chlorine) {
            return None;
        }
        let candidates = || {
            let shelf = day.shelf.iter().filter(|one| one.is_dechlorinator());
            let removals = shelf.map(|shelved| Removal { shelved, day });
            removals.filter(Removal::is_allowed)
        };
        let has_chloramine = |source: &Source| source.chlorine.combined_mol_per_kg > 0.0;
        let needs_quick = day.sources.iter().any(has_chloramine);
        candidates()
            .find(|one| !needs_quick || !one.is_ascorbate())
            .or_else(|| candidates().next())
    }

    /// Vessels that liquor is drawn into.
    fn vessels(&self) -> impl Iterator<Item = Vessel> + use<> {
        let used = match (&self.day.tank, &self.day.sparge) {
            (Some(_), _) => [Some(Vessel::HotLiquorTank), None],
            (None, None) => [Some(Vessel::MashTun), None],
            (None, Some(_)) => [Some(Vessel::MashTun), Some(Vessel::SpargeLiquor)],
        };
        used.into_iter().flatten()
    }

    fn is_allowed(&self) -> bool {
        let at = &self.shelved.vessels;
        self.vessels().all(|vessel| at.contains(&vessel))
    }

    fn is_ascorbate(&self) -> bool {
        Dechlorinator::of(&self.shelved.preparation) == Some(Dechlorinator::Ascorbate)
    }

    /// Whether it is too slow with the chloramine of this blend to rely on.
    pub fn is_doubtful(&self, shares: &[f64]) -> bool {
        self.is_ascorbate() && is_detectable(self.day.chlorine(shares).combined_mol_per_kg)
    }

    /// Whether it can be weighed on this scale, and there is enough of it.
    pub(super) fn suffices(&self, waters: &Waters, shares: &[f64]) -> bool {
        let doses = self.doses(waters, shares);
        let needed: f64 = doses
            .iter()
            .map(|dose| waters.times(dose.vessel) * dose.amount)
            .sum();
        let is_weighable = |dose: &RemovalDose| dose.amount <= COARSEST * dose.before_rounding;
        doses.iter().all(is_weighable) && self.shelved.stock.is_none_or(|stock| needed <= stock)
    }

    /// A source with so many times its dose, and that dose per kg.
    pub(super) fn of_source(&self, source: usize, times: f64) -> Option<Dechlorination> {
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
    pub(super) fn doses(&self, waters: &Waters, shares: &[f64]) -> Vec<RemovalDose> {
        if !is_detectable(self.day.chlorine(shares).total_mol_per_kg()) {
            return Vec::new();
        }
        let sources = shares.iter().enumerate();
        let per_kg = sources.map(|(source, share)| {
            let treated = self.of_source(source, 1.0);
            share * treated.map_or(0.0, |treated| treated.dose_g_per_kg)
        });
        let per_kg: f64 = per_kg.sum();
        let dose = |vessel| {
            let before_rounding = per_kg * waters.dosed_kg(vessel);
            RemovalDose {
                vessel,
                amount: self.weighed(before_rounding),
                before_rounding,
            }
        };
        let doses = self.vessels().map(dose);
        doses.filter(|dose| dose.amount > 0.0).collect()
    }

    /// Chlorine that it removes from a blend, mg/L as Cl2.
    pub fn removed_mg_per_l(&self, shares: &[f64]) -> f64 {
        mg_per_l(self.day.chlorine(shares).total_mol_per_kg())
    }

    /// Gives the sources the liquor that results from the doses as weighed: all doses of a blend
    /// together, over all its liquor.
    pub(super) fn apply_as_weighed(&self, problem: &mut Problem<'_>, shares: &[f64]) {
        let doses = self.doses(&problem.waters, shares);
        let required: f64 = doses.iter().map(|dose| dose.before_rounding).sum();
        let weighed: f64 = doses.iter().map(|dose| dose.amount).sum();
        if required > 0.0 {
            for (place, source) in problem.sources.iter_mut().enumerate() {
                if let Some(treated) = self.of_source(place, weighed / required) {
                    source.liquor = treated.liquor;
                }
            }
        }
    }
}
