//! Cautions: what can hurt a person, spoil the brew, or is uncertain.

mod dissolved;
mod hot_water;
pub(super) mod models;
mod practice;

use underlet_tables::{LIMITS, ReagentKind, parameters};

use super::codes::CautionCode;
use super::document::{Caution, Severity, TargetState};
use super::evaluation::Evaluation;
use crate::component::Component;
use crate::fit::{DoseOption, KettleDose, Solution, are_opposed, is_detectable, is_solved_apart};
use crate::math;
use crate::recipe::{ShelfReagent, Source, TargetKey, Vessel};
use crate::water_report::{FindingSeverity, ReconciledRemark};
use crate::words;

/// Liquor above this scalds (common practice, no source), °C.
pub(crate) const SCALDING_C: f64 = 45.0;
/// Acid frees noticeable carbon dioxide above this alkalinity: one milliequivalent per kg, 50 mg/L
/// as CaCO3 (common practice, no source).
const FIZZING_EQ_PER_KG: f64 = 0.001;
/// Calcium from which citrate holds a part of it that shows, mol/kg: 20 mg/L (a choice of ours).
const HARD_MOL_PER_KG: f64 = 0.0005;
/// Chance of landing in the pH range below which the plan says what would help (a choice of ours).
const FAIR_CHANCE: f64 = 0.6;
/// Difference between fit and forecast that needs no caution, in tolerances (a choice of ours): 2
/// mg/L as CaCO3, 0.01 of mash pH.
const APART: f64 = 0.2;

/// A caution in fixed words: its code, its severity, and the sentence.
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
const HOT_DRAWS: Fixed = (
    CautionCode::HotLiquor,
    Severity::Danger,
    "Hot liquor and hot surfaces scald: dissolve what goes in cold, and pour it from low down.",
);
pub(crate) const BASE_DROPS_CHALK: Fixed = (
    CautionCode::BaseDropsChalk,
    Severity::Care,
    "Lime, soda or bicarbonate in hard or hot liquor drops chalk, which is not computed: give it \
     to the mash, or titrate the liquor before use.",
);
pub(crate) const SAFETY_DATA_SHEET: Fixed = (
    CautionCode::SafetyDataSheet,
    Severity::Note,
    "Food-grade reagents only. The supplier's safety data sheet, local codes and licensed \
     practice come first.",
);
pub(crate) const METER_DECIDES: Fixed = (
    CautionCode::MeterDecides,
    Severity::Note,
    "The plan advises; a calibrated pH meter decides. Read a sample cooled to 20 °C.",
);

/// Pitched wort needs 0.1 to 0.15 mg/L at least (brewing textbooks, from memory).
const ZINC: Fixed = (
    CautionCode::Zinc,
    Severity::Care,
    "Zinc feeds the yeast in tenths of a mg/L and poisons it in several. What malt brings and \
     what the break takes is not counted: measure it in the pitched wort. Local law says whether \
     it may be added.",
);

pub(crate) const CHLORINE_LEFT: Fixed = (
    CautionCode::ChlorineLeft,
    Severity::Care,
    "The water holds chlorine, which spoils the taste of beer, and it stays in: put a \
     metabisulfite on the brew day's shelf (enough of it, on a fine scale, allowed wherever \
     liquor is drawn into), or draw through active carbon and test.",
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

const ACID_INTO_WATER: Fixed = (
    CautionCode::AcidIntoWater,
    Severity::Danger,
    "Pour acid into water, never water into acid. Goggles and gloves. Never let acid meet a \
     chlorine product.",
);
const CARBON_DIOXIDE: Fixed = (
    CautionCode::CarbonDioxide,
    Severity::Danger,
    "Acid sets carbon dioxide free from hard water: dose slowly, stir, and keep the room aired.",
);
const SULFITE: Fixed = (
    CautionCode::Sulfite,
    Severity::Danger,
    "Sulfite gives off sulfur dioxide with acid, which can set off asthma: the two never meet \
     undiluted; mix one well into the liquor before the other.",
);
const CHLORAMINE_REMAINS: Fixed = (
    CautionCode::ChloramineStays,
    Severity::Care,
    "Ascorbic acid is slow with chloramine: test the liquor before use, or take a metabisulfite.",
);
const CITRATE_BINDS_CALCIUM: Fixed = (
    CautionCode::CitrateBindsCalcium,
    Severity::Care,
    "Citric acid binds calcium, which is not computed: in hard water it gives up to a third more \
     acid than counted, and the liquor ends lower than stated. Give half, read the pH, and pour on \
     to the figure of the plan; or take lactic or phosphoric acid.",
);
const CHALK_DISSOLVES_IN_PART: Fixed = (
    CautionCode::ChalkDissolvesInPart,
    Severity::Care,
    "Less than half of stirred-in chalk reacts, and how much varies: the mash pH is less certain \
     for it.",
);

/// Cautions that fit the plan's actual reagents and water, most severe first.
pub(super) fn cautions(solution: &Solution<'_>, evaluation: &Evaluation) -> Vec<Caution> {
    let mut cautions = Vec::new();
    cautions.extend(of_reagents(solution).into_iter().map(Caution::fixed));
    for source in &solution.day.sources {
        of_source(source, &mut cautions);
    }
    cautions.extend(of_chlorine(solution).map(Caution::fixed));
    cautions.extend(of_zinc(solution));
    cautions.extend(of_bases(solution).into_iter().map(Caution::fixed));
    cautions.extend(acid_and_base(solution));
    cautions.extend(models::of_day(solution, &evaluation.doubts));
    cautions.extend(practice::of_day(solution, evaluation));
    cautions.extend(dissolved::of_day(solution, &evaluation.dissolved));
    cautions.extend(hot_water::of_hot_water(solution));
    let doubts = [
        mash_doubt(solution, evaluation),
        sparge_doubt(solution, evaluation),
        no_readings(evaluation),
    ];
    cautions.extend(doubts.into_iter().flatten());
    if !solution.steps.is_empty() {
        cautions.push(Caution::fixed(SAFETY_DATA_SHEET));
    }
    cautions.push(Caution::fixed(METER_DECIDES));
    // Where the mash pH is not known, nothing has to be said of how well it is known.
    if evaluation.doubts.mash_ph.is_none() {
        let rough = solution.forecast.nonlinearity_in_words();
        cautions.extend(rough.map(|text| note(CautionCode::RoughErrorBar, text.to_owned())));
        cautions.extend(fit_and_forecast_apart(solution));
    }
    cautions.sort_by_key(|caution| caution.severity);
    cautions
}

fn note(code: CautionCode, text: String) -> Caution {
    Caution {
        code,
        severity: Severity::Note,
        text,
    }
}

/// The options of the fit of which something is given.
fn given<'s>(solution: &'s Solution<'_>) -> impl Iterator<Item = &'s DoseOption> {
    let options = solution.problem.doses.iter().enumerate();
    let given = options.filter(|(index, _)| solution.dose(*index) > 0.0);
    given.map(|(_, option)| option)
}

/// Dangers of what is handled.
fn of_reagents(solution: &Solution<'_>) -> Vec<Fixed> {
    let mut cautions = Vec::new();
    let gives_acid = solution.kettle.acid.is_some()
        || given(solution).any(|option| option.preparation.is_acid());
    if gives_acid {
        cautions.push(ACID_INTO_WATER);
        if solution.liquors.blend.alkalinity_eq_per_kg > FIZZING_EQ_PER_KG {
            cautions.push(CARBON_DIOXIDE);
        }
    }
    let calcium = solution.liquors.blend.ions.get(Component::Calcium);
    let brings_citrate = |option: &DoseOption| {
        option.vessel != Vessel::MashTun
            && option.dose_per_unit().ions.get(Component::Citrate) > 0.0
    };
    if calcium > HARD_MOL_PER_KG && given(solution).any(brings_citrate) {
        cautions.push(CITRATE_BINDS_CALCIUM);
    }
    if given(solution).any(|option| option.preparation.reagent.caustic) {
        cautions.push(LIME_BURNS);
    }
    let brings_sulfite = |shelved: &ShelfReagent| {
        let dose = shelved.preparation.dose_per_unit();
        dose.ions.get(Component::Sulfite) > 0.0
    };
    if solution.day.shelf.iter().any(brings_sulfite) {
        cautions.push(SULFITE);
    }
    if solution
        .day
        .hottest_liquor_c()
        .max(solution.day.rest_temperature_c)
        > SCALDING_C
    {
        let has_tank = solution.day.tank.is_some();
        cautions.push(if has_tank { HOT_LIQUOR } else { HOT_DRAWS });
    }
    cautions
}

/// What to know of bases.
fn of_bases(solution: &Solution<'_>) -> Vec<Fixed> {
    let mut cautions = Vec::new();
    let dissolves_in_part = |option: &DoseOption| {
        let [effective, _] = option.preparation.reagent.effective_in_mash;
        effective < 1.0
    };
    if given(solution).any(dissolves_in_part) {
        cautions.push(CHALK_DISSOLVES_IN_PART);
    }
    let is_base = |option: &DoseOption| option.preparation.reagent.kind == ReagentKind::Base;
    if given(solution).any(|option| is_base(option) && option.vessel != Vessel::MashTun) {
        cautions.push(BASE_DROPS_CHALK);
    }
    cautions
}

/// What to say of acid and base in one liquor: with one of them alone, a range would be missed.
fn acid_and_base(solution: &Solution<'_>) -> Option<Caution> {
    if !are_opposed(&solution.problem, &solution.fitted.doses) {
        return None;
    }
    let day = solution.day;
    let can_part = day.vessels().sparge_is_apart();
    let then = if can_part && is_solved_apart(day, solution.fitted.misses_before_rounding) {
        "Let the acid go into the sparge liquor and the mash apart (\"vessels\": \
         [\"mash_tun\", \"sparge_liquor\"]), and no base is needed."
    } else if day.brews > 1 && day.tank.is_some() {
        "The tank feeds mash and sparge of every brew, so acid for the sparge comes to the mash as \
         well: fill it for one brew, or widen the range of the sparge."
    } else {
        "Nothing on this shelf reaches the ranges with one of the two alone: widen a range, or \
         change the grist."
    };
    Some(Caution {
        code: CautionCode::AcidAndBase,
        severity: Severity::Care,
        text: format!("Acid and base are both in this plan, and undo each other. {then}"),
    })
}

fn of_zinc(solution: &Solution<'_>) -> Vec<Caution> {
    let Some(zinc) = &solution.zinc else {
        return Vec::new();
    };
    let missed = (!zinc.suffices).then(|| zinc_missed(zinc, solution.day.brews));
    [Caution::fixed(ZINC)].into_iter().chain(missed).collect()
}

/// What to do about zinc of which there is too little, or which the scale does not show: a solution
/// of ten steps of the scale or what all brews take, if there is so much.
fn zinc_missed(zinc: &KettleDose<'_>, brews: usize) -> Caution {
    let (shelved, needed) = (zinc.shelved, zinc.before_rounding);
    let unit = shelved.preparation.unit();
    let each = if brews > 1 { " for each brew" } else { "" };
    let in_all = needed * brews as f64;
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
            "the scale does not show it: dissolve {} in a litre of cooled, boiled water and give \
             {} mL of that instead",
            unit.amount(dissolved),
            words::number(1000.0 * needed / dissolved)
        );
        (CautionCode::ZincNotWeighed, then)
    };
    Caution {
        code,
        severity: Severity::Care,
        text: format!(
            "The target needs {} {unit} of {}{each}, and {then}.",
            words::number(needed),
            shelved.preparation.reagent.name
        ),
    }
}

/// What to say of chlorine.
fn of_chlorine(solution: &Solution<'_>) -> Option<Fixed> {
    let shares = &solution.fitted.shares;
    if let Some(removal) = &solution.removal {
        return removal.is_doubtful(shares).then_some(CHLORAMINE_REMAINS);
    }
    let chlorine = solution.day.chlorine(shares).total_mol_per_kg();
    is_detectable(chlorine).then_some(CHLORINE_LEFT)
}

/// What is wrong with a water that is drawn.
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
                "The water report of \"{}\" does not balance: cations {} against anions {} meq/kg \
                 ({} %). A value is missing, mistaken or on another basis; have it checked before \
                 trusting the plan.",
                source.name,
                words::number(balance.cations_eq_per_kg * 1000.0),
                words::number(balance.anions_eq_per_kg * 1000.0),
                words::change(balance.error_percent(), 1)
            ),
        );
    }
    for ion in Component::ALL {
        if let Some(text) = beyond_limit(&source.name, ion, source.liquor.ions.get(ion)) {
            care(CautionCode::LimitExceeded, text);
        }
    }
}

/// Whether the fit's linear terms and the forecast of the plan as weighed lie apart: by ionic
/// strengths and ion pairs that the scale has moved.
fn fit_and_forecast_apart(solution: &Solution<'_>) -> Option<Caution> {
    let apart = solution.fitted.linearisation_error;
    (apart > APART).then(|| {
        let text = format!(
            "The fit counts more simply than the forecast: as weighed, a range lies {} mg/L as \
             CaCO3 or {} pH of the mash off where the fit saw it. Go by the forecast.",
            words::number(apart * parameters::FIT_ALKALINITY_TOLERANCE.value),
            words::number(apart * parameters::FIT_PH_TOLERANCE.value)
        );
        note(CautionCode::FitAndForecastApart, text)
    })
}

/// Code of a chance that falls short of the requested confidence.
const NOT_REACHED: CautionCode = CautionCode::ConfidenceNotReached;

/// What to say of a mash pH that is too uncertain, aimed or not.
fn mash_doubt(solution: &Solution<'_>, evaluation: &Evaluation) -> Option<Caution> {
    let chance = evaluation.chances.mash?;
    let range = solution.day.targets.mash_ph.as_ref()?;
    let mut targets = evaluation.targets.iter();
    let is_met = range.low != range.high
        && targets.any(|line| line.key == TargetKey::MashPh && line.state == TargetState::Met);
    let (code, less_than) = match solution.aimed(TargetKey::MashPh) {
        Some(aimed) if aimed.short_by_percent(chance) > 0.0 => (
            NOT_REACHED,
            format!(", less than the {} % requested", aimed.percent()),
        ),
        None if is_met && chance < FAIR_CHANCE => (CautionCode::MashPhUnsure, String::new()),
        _ => return None,
    };
    let mut text = format!(
        "The chance that the mash lands inside its range is {:.0} %{less_than}",
        chance * 100.0
    );
    // A pH outside its range has its reason already; no measurement brings it in.
    if is_met {
        let largest = solution.forecast.uncertainty_budget.first();
        text += ": ";
        text += largest.map_or("the malt", |part| part.cause.label());
        text += " most of all. A small trial mash narrows it";
    }
    Some(note(code, text + "."))
}

/// The caution for a sparge pH that lacks the requested confidence.
fn sparge_doubt(solution: &Solution<'_>, evaluation: &Evaluation) -> Option<Caution> {
    let chance = evaluation.chances.sparge?;
    let aimed = solution.aimed(TargetKey::SpargePh)?;
    let text = format!(
        "The chance that the sparge liquor lands inside its range is {:.0} %, less than the {} % \
         requested.",
        chance * 100.0,
        aimed.percent()
    );
    (aimed.short_by_percent(chance) > 0.0).then(|| note(NOT_REACHED, text))
}

/// Why the plan has no readings of liquor.
fn no_readings(evaluation: &Evaluation) -> Option<Caution> {
    let error = evaluation.no_readings.as_ref()?;
    let text = format!(
        "What meters should show in the liquor could not be computed ({error}): go by the mash pH."
    );
    Some(note(CautionCode::ReadingsNotPredicted, text))
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
        "\"{source}\" holds {} mg/L of {}; the {} figure for drinking water is {} mg/L ({}). Ask \
         the supplier or the health authority.",
        words::figure(mg_per_l, "mg/L", false),
        ion.key(),
        limit.authority,
        words::number(limit.high),
        limit.status
    ))
}
