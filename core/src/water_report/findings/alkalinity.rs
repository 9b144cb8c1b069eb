//! Alkalinity against pH, against its parts, and the basis it is stated on.

use underlet_tables::parameters;

use super::examined::{Examined, listed, number};
use crate::liquor::mg_per_l_caco3;
use crate::water_report::entry::Figure;
use crate::water_report::finding::FindingCode;
use crate::water_report::finding::FindingSeverity::{Doubt, Note};
use crate::water_report::plain::{AlkalinityParts, carbon_mol_per_kg, stated_alkalinity};
use crate::water_report::subject::Subject;

const ALKALINITY: Subject = Subject::Alkalinity;
const TO_PHENOLPHTHALEIN: Subject = Subject::PhenolphthaleinAlkalinity;

/// What rounding leaves open in an alkalinity, eq/kg.
fn rounding(alkalinity_eq_per_kg: f64) -> f64 {
    let share = parameters::ALKALINITY_AGREEMENT.value * alkalinity_eq_per_kg;
    share.max(parameters::ALKALINITY_ROUNDING.value / 1000.0)
}

/// Whether water of this pH can hold this alkalinity at all; any pH of a range may be the one.
pub(super) fn alkalinity_against_ph(examined: &mut Examined<'_>) {
    let (Some(alkalinity), Some(entry)) = (
        stated_alkalinity(examined.report),
        examined.report.entry(Subject::Ph),
    ) else {
        return;
    };
    let phs = match entry.figure {
        Figure::Between { low, high, .. } => vec![entry.figure.middle(), low, high],
        figure => vec![figure.middle()],
    };
    if phs
        .iter()
        .any(|ph| carbon_mol_per_kg(&examined.liquor, *ph).is_some())
    {
        return;
    }
    let stated = mg_per_l_caco3(alkalinity);
    let ph = entry.figure.middle();
    let text = format!(
        "pH {} and an alkalinity of {} mg/L as CaCO3 cannot both be: acid water carries little \
         alkalinity, and a high pH alone makes some.",
        entry.write(),
        number(stated)
    );
    let subject = alkalinity_subject(examined);
    examined.gathered.say(
        FindingCode::AlkalinityAgainstPh,
        Doubt,
        &[Subject::Ph, subject],
        text,
        &[("pH", ph, ""), ("alkalinity", stated, "mg/L as CaCO3")],
    );
}

fn alkalinity_subject(examined: &Examined<'_>) -> Subject {
    if examined.report.entry(ALKALINITY).is_some() {
        ALKALINITY
    } else {
        Subject::Bicarbonate
    }
}

/// Bicarbonate and carbonate against alkalinity. At a high pH part of the alkalinity is neither.
pub(super) fn bicarbonate(examined: &mut Examined<'_>) {
    let (Some(alkalinity), Some(bicarbonate)) = (
        examined.report.middle(ALKALINITY),
        examined.report.middle(Subject::Bicarbonate),
    ) else {
        return;
    };
    let carbonate = examined.report.middle(Subject::Carbonate);
    let sum = bicarbonate + 2.0 * carbonate.unwrap_or(0.0);
    let open = rounding(alkalinity)
        + examined.slack(ALKALINITY)
        + examined.slack(Subject::Bicarbonate)
        + 2.0 * examined.slack(Subject::Carbonate);
    let may_hold_carbonate = carbonate.is_none()
        && examined
            .report
            .middle(Subject::Ph)
            .is_some_and(|ph| ph > parameters::PHENOLPHTHALEIN_ENDPOINT_PH.value);
    let is_less = sum < alkalinity - open && !may_hold_carbonate;
    if !(is_less || sum > alkalinity + open) {
        return;
    }
    let [alkalinity, sum] = [alkalinity, sum].map(mg_per_l_caco3);
    let mut subjects = vec![ALKALINITY, Subject::Bicarbonate];
    subjects.extend(carbonate.map(|_| Subject::Carbonate));
    let text = format!(
        "An alkalinity of {} does not agree with {}, worth {} mg/L as CaCO3. One of them may be \
         stated on the other's basis.",
        examined.written(ALKALINITY),
        listed(&subjects[1..]),
        number(sum)
    );
    examined.gathered.say(
        FindingCode::BicarbonateAgainstAlkalinity,
        Doubt,
        &subjects,
        text,
        &[
            ("alkalinity", alkalinity, "mg/L as CaCO3"),
            ("from bicarbonate and carbonate", sum, "mg/L as CaCO3"),
        ],
    );
}

/// Phenolphthalein against total alkalinity, and what both say against the carbonate and
/// bicarbonate stated.
pub(super) fn alkalinity_parts(examined: &mut Examined<'_>) {
    let (Some(p), Some(total)) = (
        examined.report.middle(TO_PHENOLPHTHALEIN),
        stated_alkalinity(examined.report),
    ) else {
        return;
    };
    let open = rounding(total)
        + examined.slack(TO_PHENOLPHTHALEIN)
        + examined.slack(alkalinity_subject(examined));
    let Some(parts) = AlkalinityParts::of(p.min(total), total) else {
        return;
    };
    let stated = [
        (Subject::Carbonate, 2.0, parts.carbonate_eq_per_kg),
        (Subject::Bicarbonate, 1.0, parts.bicarbonate_eq_per_kg),
    ];
    let mut subjects = vec![TO_PHENOLPHTHALEIN, alkalinity_subject(examined)];
    for (subject, charge, titrated) in stated {
        // What the total was taken from is not held against it.
        let differs = examined
            .report
            .middle(subject)
            .is_some_and(|amount| (charge * amount - titrated).abs() > 2.0 * open);
        if differs && examined.report.entry(ALKALINITY).is_some() {
            subjects.push(subject);
        }
    }
    if p <= total + open && subjects.len() == 2 {
        return;
    }
    let [p, total, carbonate, bicarbonate] = [
        p,
        total,
        parts.carbonate_eq_per_kg,
        parts.bicarbonate_eq_per_kg,
    ]
    .map(mg_per_l_caco3);
    let text = if subjects.len() == 2 {
        "More alkalinity to phenolphthalein than in all: the two are exchanged, or one is mistaken."
            .to_owned()
    } else {
        format!(
            "Both alkalinities together make {} of carbonate and {} of bicarbonate, mg/L as \
             CaCO3: {} disagrees (Standard Methods 2320).",
            number(carbonate),
            number(bicarbonate),
            listed(&subjects[2..])
        )
    };
    examined.gathered.say(
        FindingCode::AlkalinityPartsDisagree,
        Doubt,
        &subjects,
        text,
        &[
            ("phenolphthalein alkalinity", p, "mg/L as CaCO3"),
            ("total alkalinity", total, "mg/L as CaCO3"),
            ("carbonate", carbonate, "mg/L as CaCO3"),
            ("bicarbonate", bicarbonate, "mg/L as CaCO3"),
        ],
    );
}

/// Below pH 8.3 a titration finds no carbonate.
pub(super) fn carbonate_against_ph(examined: &mut Examined<'_>) {
    let Some(entry) = examined.report.entry(Subject::Ph) else {
        return;
    };
    let ph = match entry.figure {
        Figure::Between { high, .. } => high,
        figure => figure.middle(),
    };
    let is_there = |subject: Subject| {
        let least = match examined.report.entry(subject).map(|entry| entry.figure) {
            Some(Figure::Value(value)) => value,
            Some(Figure::Between { low, .. }) => low,
            _ => 0.0,
        };
        least > subject.usual_detection_limit()
    };
    let mut subjects = vec![Subject::Ph];
    let parts = [Subject::Carbonate, TO_PHENOLPHTHALEIN];
    subjects.extend(parts.into_iter().filter(|part| is_there(*part)));
    let end_point = parameters::PHENOLPHTHALEIN_ENDPOINT_PH.value;
    if ph >= end_point || subjects.len() == 1 {
        return;
    }
    let text = format!(
        "At pH {} a titration finds no {}: that begins at pH {end_point}. A sample that stood \
         open may have lost carbon dioxide before one of the two was measured.",
        entry.write(),
        listed(&subjects[1..])
    );
    examined.gathered.say(
        FindingCode::CarbonateAgainstPh,
        Doubt,
        &subjects,
        text,
        &[
            ("pH", ph, ""),
            ("end point of phenolphthalein", end_point, ""),
        ],
    );
}

/// An alkalinity or hardness in plain mg/L, which is read as CaCO3.
pub(super) fn basis(examined: &mut Examined<'_>) {
    let open: Vec<Subject> = [ALKALINITY, TO_PHENOLPHTHALEIN, Subject::Hardness]
        .into_iter()
        .filter(|subject| {
            let entry = examined.report.entry(*subject);
            let notation = entry.and_then(|entry| entry.notation);
            notation.is_some_and(|notation| notation.leaves_basis_open())
        })
        .collect();
    if open.is_empty() {
        return;
    }
    let text = format!(
        "The report does not say what {} in mg/L is counted as: CaCO3 is assumed. If it is HCO3, \
         an alkalinity is a fifth less as CaCO3.",
        listed(&open)
    );
    examined
        .gathered
        .say(FindingCode::BasisNotNamed, Note, &open, text, &[]);
}
