//! What can hurt a person, spoil the brew, or is worth doubting; and what was assumed.

use underlet_tables::{LIMITS, ReagentKind, parameters};

use super::outcome::Settled;
use super::plan::{Caution, Severity};
use super::reasons::fizzes;
use super::words;
use super::{BrewDay, Draw, Shelved};
use crate::fit::{DoseOption, Vessel};
use crate::ion::Ion;
use crate::liquor::water_kg;

/// Liquor above this scalds (common practice, no source), °C.
const SCALDING_C: f64 = 45.0;
/// Chance of landing in the pH range below which the plan says what would help (a choice of ours).
const FAIR_CHANCE: f64 = 0.6;

/// Cautions that fit the plan's actual reagents and water, gravest first.
pub(super) fn cautions(settled: &Settled<'_>) -> Vec<Caution> {
    let mut cautions = Vec::new();
    let mut say = |code, severity, text: String| {
        cautions.push(Caution {
            code,
            severity,
            text,
        });
    };
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

    if given.iter().any(|option| option.preparation.is_acid()) {
        say(
            "acid_into_water",
            Severity::Danger,
            "Pour acid into water, never water into acid. Goggles and gloves. Never let acid meet a chlorine product."
                .to_owned(),
        );
        if fizzes(&settled.liquors.blend) {
            say(
                "carbon_dioxide",
                Severity::Danger,
                "Acid sets carbon dioxide free from hard water: dose slowly, stir, and keep the room aired.".to_owned(),
            );
        }
    }
    if gives("slaked lime") {
        say(
            "lime_burns",
            Severity::Danger,
            "Slaked lime burns eyes and skin and must not be breathed in: goggles, gloves, a dust mask.".to_owned(),
        );
    }
    chlorine(settled, &mut say);
    let sulfite =
        |shelved: &Shelved| shelved.preparation.dose_per_unit().ions.get(Ion::Sulfite) > 0.0;
    if settled.day.shelf.iter().any(sulfite) {
        say(
            "sulfite",
            Severity::Danger,
            "Sulfite on the shelf gives off sulfur dioxide with acid, which can set off asthma: keep the two apart."
                .to_owned(),
        );
    }
    if hottest(settled.day) > SCALDING_C {
        say(
            "hot_liquor",
            Severity::Danger,
            "Hot liquor and hot surfaces scald: dose tanks before they are heated where you can."
                .to_owned(),
        );
    }
    for (source, balance) in settled
        .day
        .sources
        .iter()
        .map(|source| (source, source.liquor.ion_balance()))
    {
        for remark in source.reconciled.iter().flat_map(|known| &known.remarks) {
            say(remark.code, remark.severity, remark.text.clone());
        }
        if !balance.is_acceptable() {
            say(
                "report_does_not_balance",
                Severity::Care,
                format!(
                    "The water report of \"{}\" does not balance: cations {} against anions {} meq/kg ({:+.1} %). A value \
                     is missing, mistaken or on another basis; have it looked at before trusting the plan.",
                    source.name,
                    words::number(balance.cations_eq_per_kg * 1000.0),
                    words::number(balance.anions_eq_per_kg * 1000.0),
                    balance.difference_percent()
                ),
            );
        }
        for ion in Ion::ALL {
            if let Some(text) = beyond_limit(&source.name, ion, source.liquor.ions.get(ion)) {
                say("limit_exceeded", Severity::Care, text);
            }
        }
    }
    if gives("chalk") {
        say(
            "chalk_dissolves_in_part",
            Severity::Care,
            "Stirred-in chalk counts for less than half, and how much varies: the mash pH is less sure for it.".to_owned(),
        );
    }
    let is_base = |option: &DoseOption| option.preparation.reagent.kind == ReagentKind::Base;
    if given
        .iter()
        .any(|option| is_base(option) && option.vessel != Vessel::MashTun)
    {
        say(
            "base_drops_chalk",
            Severity::Care,
            "Lime, soda or bicarbonate in hard or hot liquor drops chalk, which is not reckoned: give it to the mash, or \
             titrate the liquor before use."
                .to_owned(),
        );
    }
    if let Some((code, text)) = doubt(settled) {
        say(code, Severity::Note, text);
    }
    if !given.is_empty() {
        say(
            "safety_data_sheet",
            Severity::Note,
            "Food-grade reagents only. The supplier's safety data sheet, local codes and licensed practice come first."
                .to_owned(),
        );
    }
    say(
        "meter_decides",
        Severity::Note,
        "The plan advises; a calibrated pH meter decides. Read a sample cooled to 20 °C."
            .to_owned(),
    );
    if let Some(words) = settled.forecast.bend_in_words() {
        say("rough_error_bar", Severity::Note, words);
    }
    cautions
}

/// What to say of chlorine.
fn chlorine(settled: &Settled<'_>, say: &mut impl FnMut(&'static str, Severity, String)) {
    let day = settled.day;
    if settled
        .removal
        .as_ref()
        .is_some_and(|removal| removal.doubtful)
    {
        say(
            "chloramine_stays",
            Severity::Care,
            "Ascorbic acid is slow with chloramine: test the liquor before use, or take a metabisulfite.".to_owned(),
        );
    }
    if day.has_chlorine() && settled.removal.is_none() {
        say(
            "chlorine_left",
            Severity::Care,
            "The water holds chlorine, which gives beer off-flavours, and nothing on the shelf takes it out (a reagent must              be allowed wherever liquor is drawn into, and its stock suffice): put a metabisulfite there, or draw through an              active carbon filter and test."
                .to_owned(),
        );
    }
}

/// What to say of a mash pH that is too unsure.
fn doubt(settled: &Settled<'_>) -> Option<(&'static str, String)> {
    let chance = settled.chance?;
    let range = settled.day.targets.mash_ph.as_ref()?;
    let met = settled.is_mash_ph_met(range);
    let (code, less_than) = match &settled.aimed {
        Some(aimed) if aimed.short_by_percent(chance) > 0.0 => (
            "confidence_not_reached",
            format!(", less than the {} % asked", aimed.percent()),
        ),
        None if met && chance < FAIR_CHANCE => ("mash_ph_unsure", String::new()),
        _ => return None,
    };
    let mut text = format!(
        "The chance that the mash lands inside its range is {:.0} %{less_than}",
        chance * 100.0
    );
    // A pH outside its range has its reason already; no measurement brings it in.
    if met {
        let largest = settled.forecast.causes.first();
        text += "; the largest part of the doubt is ";
        text += largest.map_or("the malt", |cause| cause.label);
        text += ". A small trial mash narrows it, and so does a measured malt";
    }
    Some((code, text + "."))
}

fn hottest(day: &BrewDay) -> f64 {
    [day.tank.as_ref(), Some(&day.mash), day.sparge.as_ref()]
        .into_iter()
        .flatten()
        .map(|draw| draw.temperature_c)
        .fold(day.rest_temperature_c, f64::max)
}

/// A sentence for the first drinking-water limit that a source exceeds in an ion.
fn beyond_limit(source: &str, ion: Ion, mol_per_kg: f64) -> Option<String> {
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
pub(super) fn assumptions(day: &BrewDay) -> Vec<String> {
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
    let mass = |draw: &Draw| water_kg(draw.volume_l, draw.temperature_c);
    let drawn_kg = mass(&day.mash) + day.sparge.as_ref().map_or(0.0, mass);
    if let Some(tank) = day.tank.as_ref().filter(|tank| mass(tank) > drawn_kg) {
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
    if !day.has_chlorine() && day.shelf.iter().any(Shelved::is_dechlorinator) {
        assumptions.push(
            "No chlorine is stated, so what takes it out is left alone: give a source its \"free_chlorine\" or              \"total_chlorine\"."
                .to_owned(),
        );
    }
    assumptions
}
