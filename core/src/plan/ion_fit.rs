//! Liquor alone, without a mash: which salts, and how much diluting water, bring its ions to their
//! ranges.

use serde::{Deserialize, Serialize};
use underlet_tables::ReagentKind;

use super::additions::blend_part;
use super::cautions;
use super::document::{BlendPart, Caution, Proof, TargetLine};
use super::doubt::mark_undissolved;
use super::targets::{TRACE_MG_PER_L, line, meet_what_is_read, ratio_line, verdict};
use crate::component::Component;
use crate::document::{DocumentHead, DocumentKind, document};
use crate::fit::{
    Excess, IonFitResult, PlanError, fit_ions_taken_up, problem_of_ions, water_kg_of,
};
use crate::liquor::{Liquor, mg_per_l_caco3};
use crate::math;
use crate::reagent::AmountUnit;
use crate::recipe::{IonFit, ShelfReagent, Source, TargetKey, TargetRange};
use crate::words;

const NO_TARGET: TargetRange = TargetRange {
    low: None,
    high: None,
    prefer: None,
    weight: 0.0,
};

document! {
    derive(Clone, Debug, PartialEq, Serialize, Deserialize);

    /// What a fit of ions comes to.
    pub struct FittedIons {
        /// Versions, kind, and what the user attached to the fit.
        #[serde(flatten)]
        pub head: DocumentHead,
        /// One line: is every range met?
        pub summary: String,
        /// True when every range is met.
        pub meets_every_range: bool,
        /// Mass of the liquor, kg.
        pub water_kg: f64,
        /// What it is made of, the diluting water last; shares are not rounded.
        pub blend: Vec<BlendPart>,
        /// What to weigh.
        pub salts: Vec<SaltToWeigh>,
        /// The resulting water: each ion that it holds or that has a target, alkalinity, and
        /// sulfate to chloride.
        pub water: Vec<TargetLine>,
        /// Dangers, and what to be careful about.
        pub cautions: Vec<Caution>,
        /// How good the fit is, proven.
        pub fit: IonFitReport,
    }

    /// One weighing, or measuring out.
    pub struct SaltToWeigh {
        /// Key of the reagent.
        pub reagent: String,
        /// Name for people, with its strength where it has one.
        pub name: String,
        /// How much, in whole steps of the scale.
        pub amount: f64,
        /// "g" or "mL".
        pub unit: AmountUnit,
        /// For people, such as "125 g".
        pub display: String,
        /// How much the best fit of an infinitely fine scale takes, of any number of salts.
        pub before_weighing: f64,
        /// How to dissolve and handle it.
        pub how: String,
        /// What it does, such as "calcium +23 mg/L, sulfate +56 mg/L".
        pub why: String,
    }

    /// The fit's own account: an objective is the sum over all ranges of weight times squared
    /// distance in tolerances of 10 mg/L.
    pub struct IonFitReport {
        /// Objective as weighed; the search counts each salt and each gram with a little price
        /// beside it.
        pub objective: f64,
        /// Objective of the best fit if the scale were infinitely fine: nothing can be below it.
        pub objective_before_weighing: f64,
        /// How much better another weighing could still be, each salt counted with its price, as a
        /// part of the objective; 0 where this is proven the best, up to a millionth.
        pub gap: f64,
        /// Nodes of the search for it.
        pub nodes: u64,
        /// Proof that the fit before weighing is the best one.
        pub certificate: Proof,
        /// Iterations of the solver.
        pub iterations: u64,
    }
}

/// The best liquor that can be weighed.
///
/// # Errors
/// [`PlanError`] where the fit does not make sense, or its amounts differ by more than double
/// precision can hold in one fit.
pub fn fit_ions(fit: &IonFit) -> Result<FittedIons, PlanError> {
    fit.check()?;
    let temperature_c = fit.liquor.temperature_c;
    let mut problem = problem_of_ions(fit);
    let (result, full) = fit_ions_taken_up(&mut problem, temperature_c)?;
    let made = problem.liquor(result.dilution, &result.amounts);
    let is_undissolved = Excess::Gypsum.is_in(&made, temperature_c);
    let before = &result.before_weighing;
    let finest = water(fit, &problem.liquor(before.dilution, &before.amounts));
    let mut water = water(fit, &made);
    meet_what_is_read(&mut water, &finest);
    mark_undissolved(&mut water, is_undissolved);
    let targets = &fit.targets;
    let asked = !targets.ions.is_empty()
        || targets.sulfate_to_chloride.is_some()
        || targets.alkalinity.is_some();
    let (meets_every_range, verdict) = verdict(&water, asked);
    Ok(FittedIons {
        head: DocumentHead::of(DocumentKind::FittedIons, &fit.attached),
        summary: verdict + ".",
        meets_every_range,
        water_kg: water_kg_of(fit),
        blend: blend(fit, result.dilution),
        salts: salts(fit, &result),
        cautions: cautions_of(fit, &result, [Excess::of(&made, temperature_c), full]),
        fit: IonFitReport {
            objective: math::at_least(result.objective, 0.0),
            objective_before_weighing: math::at_least(result.before_weighing.objective, 0.0),
            gap: result.gap,
            nodes: result.nodes,
            certificate: Proof::of(&result.before_weighing.certificate),
            iterations: result.iterations,
        },
        water,
    })
}

/// The lines of the water that results.
fn water(fit: &IonFit, made: &Liquor) -> Vec<TargetLine> {
    let source = &fit.source.liquor;
    let mut lines = Vec::new();
    for ion in Component::ALL.into_iter().filter(|ion| !ion.is_weak_acid()) {
        let mg = |mol_per_kg: f64| ion.mg_per_l(mol_per_kg);
        let figures = [source, made].map(|liquor| mg(liquor.ions.get(ion)));
        let mut targets = fit.targets.ions.iter();
        let range = targets.find(|(of, _)| *of == ion).map(|(_, range)| range);
        let is_present = figures.iter().any(|figure| *figure > TRACE_MG_PER_L);
        if range.is_some() || is_present {
            let names = (TargetKey::Component(ion), [ion.key(), "mg/L"]);
            let figures = figures.map(Some);
            lines.push(line(names, figures, range.unwrap_or(&NO_TARGET), mg));
        }
    }
    let alkalinity = |liquor: &Liquor| mg_per_l_caco3(liquor.alkalinity_eq_per_kg);
    lines.push(line(
        (TargetKey::Alkalinity, ["alkalinity", "mg/L as CaCO3"]),
        [source, made].map(|liquor| Some(alkalinity(liquor))),
        fit.targets.alkalinity.as_ref().unwrap_or(&NO_TARGET),
        mg_per_l_caco3,
    ));
    if let Some(range) = &fit.targets.sulfate_to_chloride {
        lines.push(ratio_line(source, made, range));
    }
    lines
}

fn blend(fit: &IonFit, share: f64) -> Vec<BlendPart> {
    let water_kg = water_kg_of(fit);
    let mut blend = vec![blend_part(&fit.source, 1.0 - share, water_kg)];
    let dilution = fit.dilution.iter();
    blend.extend(dilution.map(|water| blend_part(water, share, water_kg)));
    blend
}

/// What is weighed of the shelf.
fn given<'a>(
    fit: &'a IonFit,
    result: &'a IonFitResult,
) -> impl Iterator<Item = (&'a ShelfReagent, (f64, f64))> {
    let amounts = result.amounts.iter().zip(&result.before_weighing.amounts);
    let amounts = amounts.map(|(amount, before)| (*amount, *before));
    let salts = fit.shelf.iter().zip(amounts);
    salts.filter(|(_, (amount, _))| *amount > 0.0)
}

fn salts(fit: &IonFit, result: &IonFitResult) -> Vec<SaltToWeigh> {
    let given = given(fit, result);
    given
        .map(|(item, (amount, before_weighing))| {
            let preparation = &item.preparation;
            let brings = preparation.dose_per_unit().times(amount / water_kg_of(fit));
            SaltToWeigh {
                reagent: preparation.reagent.key.to_owned(),
                name: preparation.label(),
                amount: words::tidy(amount),
                unit: preparation.unit(),
                display: preparation.unit().amount(amount).to_string(),
                before_weighing,
                how: preparation.reagent.handling.to_owned(),
                why: words::effects(brings.ions.iter(), brings.alkalinity_eq).join(", "),
            }
        })
        .collect()
}

fn cautions_of(
    fit: &IonFit,
    result: &IonFitResult,
    [excess, full]: [Option<Excess>; 2],
) -> Vec<Caution> {
    let given: Vec<_> = given(fit, result)
        .map(|(item, _)| item.preparation.reagent)
        .collect();
    let mut cautions = Vec::new();
    if given.iter().any(|reagent| reagent.caustic) {
        cautions.push(Caution::fixed(cautions::LIME_BURNS));
    }
    if fit.liquor.temperature_c > cautions::SCALDING_C {
        cautions.push(Caution::fixed(cautions::HOT_LIQUOR));
    }
    for source in [&fit.source].into_iter().chain(&fit.dilution) {
        cautions::of_source(source, &mut cautions);
    }
    let diluting = fit.dilution.iter().filter(|_| result.dilution > 0.0);
    if [&fit.source]
        .into_iter()
        .chain(diluting)
        .any(Source::has_chlorine)
    {
        cautions.push(Caution::fixed(cautions::CHLORINE_LEFT));
    }
    if given
        .iter()
        .any(|reagent| reagent.kind == ReagentKind::Base)
    {
        cautions.push(Caution::fixed(cautions::BASE_DROPS_CHALK));
    }
    cautions.extend(cautions::models::of_liquor(excess, full));
    if !given.is_empty() {
        cautions.push(Caution::fixed(cautions::SAFETY_DATA_SHEET));
    }
    cautions.push(Caution::fixed(cautions::METER_DECIDES));
    cautions
}
