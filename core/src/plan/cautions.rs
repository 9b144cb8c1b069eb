//! What can hurt a person, spoil the brew, or is worth doubting; and what was assumed.

use underlet_tables::{LIMITS, ReagentKind, parameters};

use super::codes::{CautionCode, TargetKey};
use super::document::{Caution, Severity};
use super::reasons::fizzes;
use crate::component::Component;
use crate::fit::{DoseOption, Given, Settled, shows};
use crate::liquor::mg_per_l_caco3;
use crate::mash::Chemistry;
use crate::math;
use crate::recipe::{BrewDay, Shelved, Source};
use crate::treatment::Chlorine;
use crate::water_report::{FindingSeverity, ReconciledRemark};
use crate::words;

/// Liquor above this scalds (common practice, no source), °C.
pub(crate) const SCALDING_C: f64 = 45.0;
/// Chance of landing in the pH range below which the plan says what would help (a choice of ours).
const FAIR_CHANCE: f64 = 0.6;
/// Tolerances of the fit by which it may part from the forecast unsaid (a choice of ours): 2 mg/L as CaCO3, 0.01 of mash pH.
const APART: f64 = 0.2;

/// A caution that is always said in the same words: its code, how much it matters, and the sentence.
pub(crate) type Fixed = (CautionCode, Severity, &'static str);

pub(crate) const LIME_BURNS: Fixed = (
    CautionCode::LimeBurns,
    Severity::Danger,
    "Slaked lime burns eyes and skin and must not be breathed in: goggles, gloves, a dust mask.",
);
pub(crate) const HOT_LIQUOR: Fixed = (
    CautionCode::HotLiquor,
    Severity::Danger,
    "Hot liquor and hot surfaces scald: dose tanks before they are heated where you can.",
);
pub(crate) const BASE_DROPS_CHALK: Fixed = (
    CautionCode::BaseDropsChalk,
    Severity::Care,
    "Lime, soda or bicarbonate in hard or hot liquor drops chalk, which is not computed: give it to the mash, or \
     titrate the liquor before use.",
);
pub(crate) const SAFETY_DATA_SHEET: Fixed = (
    CautionCode::SafetyDataSheet,
    Severity::Note,
    "Food-grade reagents only. The supplier's safety data sheet, local codes and licensed practice come first.",
);
pub(crate) const METER_DECIDES: Fixed = (
    CautionCode::MeterDecides,
    Severity::Note,
    "The plan advises; a calibrated pH meter decides. Read a sample cooled to 20 °C.",
);

/// Wort that is pitched wants 0.1 to 0.15 mg/L at least (brewing textbooks, from memory).
const ZINC: Fixed = (
    CautionCode::Zinc,
    Severity::Care,
    "Zinc feeds the yeast in tenths of a mg/L and poisons it in several. What malt brings and what the break takes is not counted: \
     measure it in the pitched wort. Local law says whether it may be added.",
);

pub(crate) const CHLORINE_LEFT: Fixed = (
    CautionCode::ChlorineLeft,
    Severity::Care,
    "The water holds chlorine, which spoils the taste of beer, and it stays in: put a metabisulfite on the brew day's shelf (enough of it, \
     on a fine scale, allowed wherever liquor is drawn into), or draw through active carbon and test.",
);

impl Caution {
    pub(crate) fn fixed((code, severity, text): Fixed) -> Caution {
        Caution {
            code,
            severity,
            text: text.to_owned(),
        }
    }
}

/// Cautions that fit the plan's actual reagents and water, gravest first.
pub(crate) fn cautions(settled: &Settled<'_>) -> Vec<Caution> {
    let mut cautions = Vec::new();
    let given: Vec<&DoseOption> = settled
        .question
        .doses
        .iter()
        .zip(&settled.answer.doses)
        .filter(|(_, dose)| **dose > 0.0)
        .map(|(option, _)| option)
        .collect();
    let gives = |key: &str| {
        given
            .iter()
            .any(|option| option.preparation.reagent.key == key)
    };
    let mut say = |fixed| cautions.push(Caution::fixed(fixed));

    let (acid, zinc) = (settled.in_kettle().acid, settled.zinc());
    if acid.is_some() || given.iter().any(|option| option.preparation.is_acid()) {
        say((
            CautionCode::AcidIntoWater,
            Severity::Danger,
            "Pour acid into water, never water into acid. Goggles and gloves. Never let acid meet a chlorine product.",
        ));
        if fizzes(&settled.liquors.blend) {
            say((
                CautionCode::CarbonDioxide,
                Severity::Danger,
                "Acid sets carbon dioxide free from hard water: dose slowly, stir, and keep the room aired.",
            ));
        }
    }
    if gives("slaked lime") {
        say(LIME_BURNS);
    }
    let sulfite = |shelved: &Shelved| {
        shelved
            .preparation
            .dose_per_unit()
            .ions
            .get(Component::Sulfite)
            > 0.0
    };
    if settled.day.shelf.iter().any(sulfite) {
        say((
            CautionCode::Sulfite,
            Severity::Danger,
            "Sulfite gives off sulfur dioxide with acid, which can set off asthma: the two never meet undiluted; mix one well into the \
             liquor before the other.",
        ));
    }
    if hottest(settled.day) > SCALDING_C {
        say(HOT_LIQUOR);
    }
    for source in &settled.day.sources {
        of_source(source, &mut cautions);
    }
    let mut say = |fixed| cautions.push(Caution::fixed(fixed));
    if let Some(fixed) = chlorine(settled) {
        say(fixed);
    }
    if let Some(zinc) = &zinc {
        say(ZINC);
        if !zinc.suffices {
            cautions.push(zinc_missed(zinc, settled.day.brews));
        }
    }
    let mut say = |fixed| cautions.push(Caution::fixed(fixed));
    if gives("chalk") {
        say((
            CautionCode::ChalkDissolvesInPart,
            Severity::Care,
            "Stirred-in chalk counts for less than half, and how much varies: the mash pH is less sure for it.",
        ));
    }
    let is_base = |option: &DoseOption| option.preparation.reagent.kind == ReagentKind::Base;
    if given
        .iter()
        .any(|option| is_base(option) && option.vessel.comes_to_sparge())
    {
        say(BASE_DROPS_CHALK);
    }
    for (code, text) in mash_doubt(settled).into_iter().chain(sparge_doubt(settled)) {
        cautions.push(Caution {
            code,
            severity: Severity::Note,
            text,
        });
    }
    let is_dosed = !given.is_empty() || acid.is_some() || zinc.is_some();
    if is_dosed || !settled.dechlorination_doses().is_empty() {
        cautions.push(Caution::fixed(SAFETY_DATA_SHEET));
    }
    cautions.push(Caution::fixed(METER_DECIDES));
    if let Some(text) = settled.forecast.nonlinearity_in_words() {
        cautions.push(Caution {
            code: CautionCode::RoughErrorBar,
            severity: Severity::Note,
            text,
        });
    }
    let apart = apart(settled);
    if apart > APART {
        cautions.push(Caution {
            code: CautionCode::FitAndForecastApart,
            severity: Severity::Note,
            text: format!(
                "The fit counts more simply than the forecast: as weighed, a range lies {} mg/L as CaCO3 or {} pH of the mash off \
                 where the fit saw it. Go by the forecast.",
                words::number(apart * parameters::FIT_ALKALINITY_TOLERANCE.value),
                words::number(apart * parameters::FIT_PH_TOLERANCE.value)
            ),
        });
    }
    cautions
}

/// What to do about zinc of which there is too little, or which the scale does not show: a solution of ten steps of the scale or
/// what all brews take, if there is so much.
fn zinc_missed(zinc: &Given<'_>, brews: usize) -> Caution {
    let (shelved, wanted) = (zinc.shelved, zinc.before_rounding);
    let unit = shelved.preparation.unit();
    let each = if brews > 1 { " for each brew" } else { "" };
    let in_all = wanted * brews as f64;
    let stock = shelved.stock.unwrap_or(f64::INFINITY);
    let (code, then) = if stock < in_all {
        let stocked = unit.amount(stock);
        (
            CautionCode::ZincShort,
            format!("{stocked} is in stock: get more"),
        )
    } else {
        let steps = math::at_least((in_all / shelved.step).ceil(), 10.0);
        let dissolved = words::tidy((steps * shelved.step).min(stock));
        let then = format!(
            "the scale does not show it: dissolve {} in a litre of cooled, boiled water and give {} mL of that instead",
            unit.amount(dissolved),
            words::number(1000.0 * wanted / dissolved)
        );
        (CautionCode::ZincNotWeighed, then)
    };
    Caution {
        code,
        severity: Severity::Care,
        text: format!(
            "{} {unit} of {} is wanted{each}, and {then}.",
            words::number(wanted),
            shelved.preparation.reagent.name
        ),
    }
}

/// What to say of chlorine.
fn chlorine(settled: &Settled<'_>) -> Option<Fixed> {
    match &settled.removal {
        Some(removal) => removal.is_doubtful(&settled.answer.shares).then_some((
            CautionCode::ChloramineStays,
            Severity::Care,
            "Ascorbic acid is slow with chloramine: test the liquor before use, or take a metabisulfite.",
        )),
        None => shows(settled.day.chlorine(&settled.answer.shares).total_mol_per_kg()).then_some(CHLORINE_LEFT),
    }
}

/// What to doubt about a water that is drawn.
pub(crate) fn of_source(source: &Source, cautions: &mut Vec<Caution>) {
    let remark = |remark: &ReconciledRemark| Caution {
        code: remark.code.into(),
        severity: match remark.severity {
            FindingSeverity::Warning => Severity::Care,
            FindingSeverity::Doubt | FindingSeverity::Note => Severity::Note,
        },
        text: format!("\"{}\": {}", source.name, remark.text),
    };
    let known = source.reconciled.iter();
    cautions.extend(known.flat_map(|known| known.remarks.iter().map(remark)));
    let mut care = |code, text| {
        cautions.push(Caution {
            code,
            severity: Severity::Care,
            text,
        });
    };
    let balance = source.liquor.charge_balance();
    if !balance.is_acceptable() {
        care(
            CautionCode::ReportDoesNotBalance,
            format!(
                "The water report of \"{}\" does not balance: cations {} against anions {} meq/kg ({:+.1} %). A value \
                 is missing, mistaken or on another basis; have it looked at before trusting the plan.",
                source.name,
                words::number(balance.cations_eq_per_kg * 1000.0),
                words::number(balance.anions_eq_per_kg * 1000.0),
                balance.charge_balance_error_percent()
            ),
        );
    }
    for ion in Component::ALL {
        if let Some(text) = beyond_limit(&source.name, ion, source.liquor.ions.get(ion)) {
            care(CautionCode::LimitExceeded, text);
        }
    }
}

/// How far apart the fit's straight lines and the forecast of the plan as weighed lie, in tolerances: by ionic strengths that the scale
/// has moved, and by ion pairs, which the lines of a sparge pH leave out.
fn apart(settled: &Settled<'_>) -> f64 {
    let moved = settled.answer.moved;
    if settled.day.targets.sparge_ph.is_none() || settled.question.waters.sparge_kg == 0.0 {
        return moved;
    }
    let (sparge, ph) = (&settled.liquors.sparge, settled.waters.sparge_closed);
    let chemistry = Chemistry::at(sparge.ionic_strength_mol_per_kg());
    let wanted = chemistry.acid_wanted_by_liquor(&sparge.as_dose(), ph) - chemistry.free_charge(ph);
    let pairs = mg_per_l_caco3(wanted.abs()) / parameters::FIT_ALKALINITY_TOLERANCE.value;
    moved.max(pairs)
}

/// Code of a chance that falls short of the confidence asked.
const NOT_REACHED: CautionCode = CautionCode::ConfidenceNotReached;

/// What to say of a mash pH that is too unsure, aimed or not.
fn mash_doubt(settled: &Settled<'_>) -> Option<(CautionCode, String)> {
    let [chance, _] = settled.chances;
    let chance = chance?;
    let range = settled.day.targets.mash_ph.as_ref()?;
    let met = settled.is_mash_ph_met(range);
    let (code, less_than) = match settled.aimed(TargetKey::MashPh) {
        Some(aimed) if aimed.short_by_percent(chance) > 0.0 => (
            NOT_REACHED,
            format!(", less than the {} % asked", aimed.percent()),
        ),
        None if met && chance < FAIR_CHANCE => (CautionCode::MashPhUnsure, String::new()),
        _ => return None,
    };
    let mut text = format!(
        "The chance that the mash lands inside its range is {:.0} %{less_than}",
        chance * 100.0
    );
    // A pH outside its range has its reason already; no measurement brings it in.
    if met {
        let largest = settled.forecast.uncertainty_budget.first();
        text += "; the largest part of the doubt is ";
        text += largest.map_or("the malt", |cause| cause.label);
        text += ". A small trial mash narrows it, and so does a measured malt";
    }
    Some((code, text + "."))
}

/// What to say of a sparge pH that lacks the confidence asked.
fn sparge_doubt(settled: &Settled<'_>) -> Option<(CautionCode, String)> {
    let [_, chance] = settled.chances;
    let (aimed, chance) = settled.aimed(TargetKey::SpargePh).zip(chance)?;
    let text = format!(
        "The chance that the sparge liquor lands inside its range is {:.0} %, less than the {} % \
         asked.",
        chance * 100.0,
        aimed.percent()
    );
    (aimed.short_by_percent(chance) > 0.0).then_some((NOT_REACHED, text))
}

fn hottest(day: &BrewDay) -> f64 {
    [day.tank.as_ref(), Some(&day.mash), day.sparge.as_ref()]
        .into_iter()
        .flatten()
        .map(|draw| draw.temperature_c)
        .fold(day.rest_temperature_c, f64::max)
}

/// A sentence for the first drinking-water limit that a source exceeds in an ion.
fn beyond_limit(source: &str, ion: Component, mol_per_kg: f64) -> Option<String> {
    let mg_per_l = ion.mg_per_l(mol_per_kg);
    // Advisories for special diets are not limits of drinking water.
    let limits = LIMITS
        .iter()
        .filter(|limit| limit.quantity == ion.key() && limit.status != "advisory");
    let limit = limits
        .filter(|limit| mg_per_l > limit.high)
        .min_by(|a, b| a.high.total_cmp(&b.high))?;
    Some(format!(
        "\"{source}\" holds {} mg/L of {}; the {} figure for drinking water is {} mg/L ({}). Ask the supplier or the health \
         authority.",
        words::figure(mg_per_l, "mg/L", false),
        ion.key(),
        limit.authority,
        words::number(limit.high),
        limit.status
    ))
}

/// What the day did not say.
pub(crate) fn assumptions(day: &BrewDay) -> Vec<String> {
    let mut assumptions = Vec::new();
    for source in day.sources.iter().filter(|source| source.ph_assumed) {
        assumptions.push(format!(
            "The report of \"{}\" gives no pH: {} is taken, which sets its carbon dioxide.",
            source.name,
            words::ph(parameters::REPORT_PH_ASSUMED.value)
        ));
    }
    for source in day
        .sources
        .iter()
        .filter(|source| source.reconciled.is_some())
    {
        assumptions.push(format!(
            "\"{}\" is what its report and this morning's bench say together; what neither measured is what is usual in drinking \
             water.",
            source.name
        ));
    }
    let by_class = day.grist.iter().filter(|malt| malt.is_class_prior).count();
    if by_class > 0 {
        assumptions.push(format!(
            "{by_class} of {} malts go by the averages of their trade class; give a lot's own distilled-water or \
             Congress pH and buffering, or a titration, to narrow the forecast.",
            day.grist.len()
        ));
    }
    assumptions.push(
        "Ions that a report does not name are taken as absent. Liquor mixes without losing carbon dioxide; in the mash half \
         of it is taken to have left."
            .to_owned(),
    );
    if day.batch != 1.0 {
        let times = words::number(day.batch);
        assumptions.push(format!(
            "Amounts of the recipe are taken {times} times; scales, stocks and the brewhouse are as they are."
        ));
    }
    let waters = day.waters();
    let drawn_kg = waters.brews * waters.brewing_kg();
    let filled = day
        .tank
        .filter(|_| waters.tank_kg.is_some_and(|tank_kg| tank_kg > drawn_kg));
    if let Some(tank) = filled {
        assumptions.push(format!(
            "The whole fill of the tank ({}) is treated, more than the brew draws; the rest stays as heel.",
            words::volume(tank.volume_l)
        ));
    }
    let wants_sparge = day.targets.sparge_alkalinity.is_some() || day.targets.sparge_ph.is_some();
    if wants_sparge && day.sparge.is_none() {
        assumptions
            .push("There is no sparge: what was wanted of sparge liquor is left out.".to_owned());
    }
    let chlorine: Vec<Chlorine> = day.sources.iter().map(|source| source.chlorine).collect();
    let is_total = |one: &Chlorine| one.free_mol_per_kg == 0.0 && one.combined_mol_per_kg > 0.0;
    if chlorine.iter().any(is_total) {
        assumptions.push("Total chlorine without the free is taken as chloramine.".to_owned());
    }
    let has_none = chlorine.iter().all(|one| one.total_mol_per_kg() == 0.0);
    for shelved in &day.shelf {
        let reagent = shelved.preparation.reagent;
        let why = match reagent.kind {
            ReagentKind::Dechlorinator if has_none => "No chlorine is stated",
            ReagentKind::Zinc if day.kettle.zinc_mol_per_kg.is_none() => "No zinc is asked for",
            ReagentKind::Acid if shelved.is_for_kettle_alone() => match day.kettle.ph {
                None => "No kettle pH is asked for",
                Some(ph) if ph.prefer.or(ph.high).is_none() => "The kettle pH has no upper end",
                _ => continue,
            },
            _ => continue,
        };
        assumptions.push(format!(
            "{why}: {} on the shelf is left alone.",
            reagent.name
        ));
    }
    assumptions
}
