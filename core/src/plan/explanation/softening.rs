//! Temporary hardness: what slaked lime and boiling make of a hard water, as rivals of acid.

use underlet_tables::{REAGENTS, ReagentKind, parameters};

use super::limits::cold_kg_per_l;
use crate::aqueous::{Acidity, EquilibriumError, against_mash};
use crate::component::Component;
use crate::fit::{Purpose, Solution};
use crate::liquor::{Liquor, mg_per_l_caco3};
use crate::plan::codes::{AlternativeCode, ReasonCode};
use crate::plan::document::{Reason, TargetLine, TargetState};
use crate::reagent::Preparation;
use crate::recipe::{BrewDay, Source, TargetKey};
use crate::treatment::{boiled, lime_for_least_calcium};
use crate::words;

/// What liming asks of the brewer. A day's rest: see [`crate::treatment`].
const HOW_TO_LIME: &str = "let it settle for a day and draw off the clear liquor";
/// How long water is boiled to soften it: common practice, no source.
const HOW_TO_BOIL: &str = "for half an hour, let it settle and draw off the clear liquor";
const LIME_BURNS: &str = "Lime burns eyes and skin: goggles, gloves, no dust.";
const BOILING_SCALDS: &str = "Boiling liquor and steam scald.";

/// A hard water of a plan, and what softening leaves of it.
pub(super) struct Softening<'s> {
    /// Its place among the sources.
    place: usize,
    source: &'s Source,
    /// What the plan draws of it, kg.
    drawn_kg: f64,
    limed: Liquor,
    lime_g_per_kg: f64,
    boiled: Liquor,
}

impl<'s> Softening<'s> {
    /// The water drawn that has most temporary hardness, softened; `None` where it has little, or
    /// the plan neither gives much acid nor ends above a range that softening lowers.
    ///
    /// # Errors
    /// [`EquilibriumError`] where a softened liquor has no equilibrium.
    pub fn of(
        solution: &'s Solution<'_>,
        targets: &[TargetLine],
    ) -> Result<Option<Softening<'s>>, EquilibriumError> {
        let worth = parameters::ACID_WORTH_SOFTENING.value / 1000.0;
        if acid_eq_per_kg(solution) < worth && !targets.iter().any(is_lowered_by_softening) {
            return Ok(None);
        }
        let drawn = solution.day.sources.iter().zip(&solution.fitted.shares);
        let hard = drawn.enumerate().filter(|(_, (source, share))| {
            let hardness = mg_per_l_caco3(temporary_hardness_eq_per_kg(&source.liquor));
            **share > 0.0 && hardness >= parameters::TEMPORARY_HARDNESS_NOTED.value
        });
        let hardest = hard.max_by(|(_, (one, _)), (_, (other, _))| {
            let [one, other] =
                [one, other].map(|source| temporary_hardness_eq_per_kg(&source.liquor));
            one.total_cmp(&other)
        });
        let Some((place, (source, share))) = hardest else {
            return Ok(None);
        };
        let Some(lime) = lime(solution.day) else {
            return Ok(None);
        };
        let water = &source.liquor;
        let limed = lime_for_least_calcium(water, &lime)?;
        let boiled = Liquor {
            temperature_c: water.temperature_c,
            ..boiled(water, 1.0)?.after.liquor
        };
        Ok(Some(Softening {
            place,
            source,
            drawn_kg: share * solution.problem.waters.blended_kg(),
            limed: limed.in_practice(),
            lime_g_per_kg: limed.lime_g_per_kg,
            boiled,
        }))
    }

    /// Why the acid of this plan has rivals.
    pub fn reason(&self, solution: &Solution<'_>) -> Reason {
        let water = &self.source.liquor;
        let [lime_g, litres] = self.lime_g_and_litres(self.drawn_kg);
        let acid = acid_eq_per_kg(solution);
        let less = if acid > 0.0 {
            let given = words::number(1000.0 * acid);
            format!(" before acid, of which this plan gives {given} meq/L")
        } else {
            String::new()
        };
        let text = format!(
            "\"{}\" has temporary hardness ({}), which can be taken out{less}: slaked \
             lime ({lime_g} g to {litres}, a day to settle) leaves {}; half an hour's boil leaves \
             {}; salts bring back what calcium is then missing. Dilution with pure water lowers \
             both by its share.",
            self.source.name,
            hardness_in_words(water),
            hardness_in_words(&self.limed),
            hardness_in_words(&self.boiled),
        );
        Reason {
            code: ReasonCode::TemporaryHardness,
            subject: self.source.name.clone(),
            text,
        }
    }

    /// Lime for so much of the water in g, and its volume cold, in words.
    fn lime_g_and_litres(&self, kg: f64) -> [String; 2] {
        [
            words::number(self.lime_g_per_kg * kg),
            words::volume(kg / cold_kg_per_l()),
        ]
    }

    /// The water softened in both ways.
    pub fn both(&self) -> [Softened<'_>; 2] {
        [Softener::Lime, Softener::Boiling].map(|softener| Softened {
            water: self,
            softener,
        })
    }

    /// Why the water brings more calcium than its range allows, and what takes it out.
    pub fn too_much_calcium(&self, figure: &str) -> String {
        let [limed, boiled] = [&self.limed, &self.boiled].map(calcium_mg_per_l);
        format!(
            "the water already brings {figure} mg/L; slaked lime (down to {limed} in \"{}\"), \
             boiling (down to {boiled}) or dilution with purer water takes it out",
            self.source.name
        )
    }
}

/// How a water is softened.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
enum Softener {
    Lime,
    Boiling,
}

/// A hard water, softened in one way before the brew.
#[derive(Clone, Copy)]
pub(super) struct Softened<'s> {
    water: &'s Softening<'s>,
    softener: Softener,
}

impl<'s> Softened<'s> {
    /// Code of the alternative.
    pub fn code(&self) -> AlternativeCode {
        match self.softener {
            Softener::Lime => AlternativeCode::SlakedLime,
            Softener::Boiling => AlternativeCode::BoiledFirst,
        }
    }

    /// Name of the hard water.
    pub fn water(&self) -> &'s str {
        &self.water.source.name
    }

    /// The day with the softened water besides, so that the fit finds how much of the hard one to
    /// soften; in place of it where what can be drawn is limited.
    pub fn day(&self, day: &BrewDay) -> BrewDay {
        let (liquor, made) = match self.softener {
            Softener::Lime => (self.water.limed, "limed"),
            Softener::Boiling => (self.water.boiled, "boiled"),
        };
        let softened = Source {
            name: format!("{made} {}", self.water()),
            liquor,
            ph_assumed: false,
            reconciled: None,
            ..self.water.source.clone()
        };
        let mut day = day.clone();
        if self.is_besides() {
            day.sources.push(softened);
        } else if let Some(place) = day.sources.get_mut(self.water.place) {
            *place = softened;
        }
        day
    }

    fn is_besides(&self) -> bool {
        self.water.source.max_amount_l.is_none()
    }

    /// What that saves of the acid of a plan, and the work that it takes for another.
    pub fn work(&self, plan: &Solution<'_>, other: &Solution<'_>) -> String {
        let shares = &other.fitted.shares;
        let share = if self.is_besides() {
            shares.last().copied()
        } else {
            shares.get(self.water.place).copied()
        };
        let kg = share.unwrap_or(0.0) * other.problem.waters.blended_kg();
        let [lime_g, litres] = self.water.lime_g_and_litres(kg);
        let [was, is] = [plan, other].map(|one| words::number(1000.0 * acid_eq_per_kg(one)));
        let how = match self.softener {
            Softener::Lime => format!(
                "Beforehand, stir {lime_g} g of slaked lime into {litres} of cold \"{}\", \
                 {HOW_TO_LIME} ({}). {LIME_BURNS}",
                self.water(),
                hardness_in_words(&self.water.limed)
            ),
            Softener::Boiling => format!(
                "Beforehand, boil {litres} of \"{}\" in the kettle, in parts if it holds less, \
                 {HOW_TO_BOIL} ({}); heating it takes {} kWh. {BOILING_SCALDS}",
                self.water(),
                hardness_in_words(&self.water.boiled),
                words::number(heating_kwh(kg, self.water.source.liquor.temperature_c))
            ),
        };
        if was == is {
            return how;
        }
        format!("Acid changes from {was} to {is} meq/L. {how}")
    }
}

/// Whether softening saves so much acid that it is worth naming.
pub(super) fn saves_acid(plan: &Solution<'_>, other: &Solution<'_>) -> bool {
    let [was, is] = [plan, other].map(acid_eq_per_kg);
    let saved = was - is;
    saved >= parameters::ACID_WORTH_SOFTENING.value / 1000.0
        || saved > 0.0 && saved >= parameters::ACID_SHARE_WORTH_SOFTENING.value * was
}

/// Acid of a plan as a mash feels it, eq per kg of the liquor of the day.
fn acid_eq_per_kg(solution: &Solution<'_>) -> f64 {
    let waters = &solution.problem.waters;
    let acidity = Acidity::at(
        parameters::SAMPLE_TEMPERATURE.value,
        solution.liquors.overall.ionic_strength_mol_per_kg(),
    );
    let is_acid = |purpose| matches!(purpose, Purpose::Fit(_) | Purpose::KettleAcid);
    let steps = solution.steps.iter();
    let acids = steps.filter(|step| step.preparation.is_acid() && is_acid(step.purpose));
    let given = acids.map(|step| {
        let dose = step.preparation.dose_per_unit();
        let each = step.amount * waters.times(step.vessel);
        -each * against_mash(&acidity, dose.alkalinity_eq, &dose.ions)
    });
    given.sum::<f64>() / waters.blended_kg()
}

/// Calcium that is met by alkalinity, eq/kg.
fn temporary_hardness_eq_per_kg(liquor: &Liquor) -> f64 {
    let calcium = 2.0 * liquor.ions.get(Component::Calcium);
    calcium.min(liquor.alkalinity_eq_per_kg)
}

/// Whether a target ends above its range, and softening lowers it.
fn is_lowered_by_softening(line: &TargetLine) -> bool {
    let is_lowered = matches!(
        line.key,
        TargetKey::Component(Component::Calcium)
            | TargetKey::MashPh
            | TargetKey::SpargeAlkalinity
            | TargetKey::SpargePh
            | TargetKey::KettlePh
    );
    is_lowered && line.state == TargetState::Above
}

/// The lime of the shelf, or that of the table: the caustic base of calcium.
fn lime(day: &BrewDay) -> Option<Preparation> {
    let is_lime = |one: &Preparation| {
        let reagent = one.reagent;
        let is_caustic = reagent.kind == ReagentKind::Base && reagent.caustic;
        is_caustic && one.dose_per_unit().ions.get(Component::Calcium) > 0.0
    };
    let shelf = day.shelf.iter().map(|shelved| shelved.preparation);
    shelf
        .chain(REAGENTS.iter().map(Preparation::of))
        .find(is_lime)
}

/// "alkalinity 252 mg/L as CaCO3, calcium 112 mg/L".
fn hardness_in_words(liquor: &Liquor) -> String {
    let alkalinity = mg_per_l_caco3(liquor.alkalinity_eq_per_kg);
    format!(
        "alkalinity {} mg/L as CaCO3, calcium {} mg/L",
        words::figure(alkalinity, "mg/L as CaCO3", false),
        calcium_mg_per_l(liquor)
    )
}

fn calcium_mg_per_l(liquor: &Liquor) -> String {
    let calcium = Component::Calcium.mg_per_l(liquor.ions.get(Component::Calcium));
    words::figure(calcium, "mg/L", false)
}

/// Heat to bring so much water from a temperature to the boil, kWh.
fn heating_kwh(kg: f64, from_c: f64) -> f64 {
    const KJ_PER_KWH: f64 = 3600.0;
    const BOILING_C: f64 = 100.0;
    kg * parameters::WATER_HEAT_CAPACITY.value * (BOILING_C - from_c) / KJ_PER_KWH
}
