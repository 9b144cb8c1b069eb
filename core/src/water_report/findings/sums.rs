//! The ions against what their sums must be: charge, hardness, dissolved solids, conductivity.

use underlet_tables::parameters;

use super::examined::{Examined, listed, number};
use crate::component::Component;
use crate::liquor::{IonBalance, mg_per_l_caco3};
use crate::math;
use crate::water_report::finding::FindingCode;
use crate::water_report::finding::FindingSeverity::{Doubt, Note, Warning};
use crate::water_report::plain::meq_per_l;
use crate::water_report::subject::Subject;

/// Cations against anions (Standard Methods 1030 E), and what is missing of either.
pub(super) fn balance(examined: &mut Examined<'_>) {
    let balance = examined.derived.balance;
    let difference = balance.cations_eq_per_kg - balance.anions_eq_per_kg;
    tell_missing(examined, difference);
    // Ranges and detection limits may close the gap, and so may what is missing on the smaller
    // side.
    let open = examined.slack_of_charges();
    let narrowed = IonBalance {
        cations_eq_per_kg: balance.cations_eq_per_kg - difference.clamp(0.0, open),
        anions_eq_per_kg: balance.anions_eq_per_kg + difference.clamp(-open, 0.0),
    };
    let is_explained = if difference < 0.0 {
        !examined.missing.cations.is_empty()
    } else {
        !examined.missing.anions.is_empty()
    };
    if is_explained || narrowed.is_acceptable() {
        return;
    }
    let percent = balance.error_percent();
    let is_far_off = percent.abs() > 100.0 * parameters::BALANCE_FAR_OFF.value;
    let [cations, anions, accepted] = [
        balance.cations_eq_per_kg,
        balance.anions_eq_per_kg,
        balance.accepted_eq_per_kg(),
    ]
    .map(meq_per_l);
    let text = format!(
        "Cations of {} and anions of {} meq/L differ by {} %; Standard Methods 1030 E accepts a \
         difference of {} meq/L. A value is missing, mistaken or on another basis.",
        number(cations),
        number(anions),
        format!("{percent:+.1}").replace('-', "−"),
        number(accepted),
    );
    examined.gathered.say(
        FindingCode::IonsDoNotBalance,
        if is_far_off { Warning } else { Doubt },
        &[],
        text,
        &[
            ("cations", cations, "meq/L"),
            ("anions", anions, "meq/L"),
            ("difference over sum", percent, "%"),
            ("accepted difference", accepted, "meq/L"),
        ],
    );
}

fn tell_missing(examined: &mut Examined<'_>, difference_eq_per_kg: f64) {
    if examined.missing.is_nothing() {
        return;
    }
    let missing = examined.missing.all();
    let mut text = format!("The report does not state {}.", listed(&missing));
    let mut evidence = Vec::new();
    // A single ion on the smaller side can be computed from the balance.
    let smaller_side = if difference_eq_per_kg < 0.0 {
        &examined.missing.cations
    } else {
        &examined.missing.anions
    };
    if let [Subject::Component(ion)] = smaller_side[..]
        && missing.len() == 1
    {
        let amount = difference_eq_per_kg.abs() / ion.charge().abs();
        let mg_per_l = ion.mg_per_l(amount);
        text = format!(
            "{text} {} mg/L of {} would close the ion balance.",
            number(mg_per_l),
            ion.key()
        );
        evidence.push(("would close the balance", mg_per_l, "mg/L"));
    }
    let lacks_alkalinity = missing.contains(&Subject::Alkalinity);
    if lacks_alkalinity {
        text.push_str(" Without alkalinity no mash pH can be forecast.");
    }
    let severity = if lacks_alkalinity { Doubt } else { Note };
    examined.gathered.say(
        FindingCode::IonsMissing,
        severity,
        &missing,
        text,
        &evidence,
    );
}

/// Total hardness against calcium and magnesium; against calcium alone where magnesium is not
/// stated.
pub(super) fn hardness(examined: &mut Examined<'_>) {
    let Some(hardness) = examined.report.middle(Subject::Hardness) else {
        return;
    };
    let metals = [Component::Calcium, Component::Magnesium].map(Subject::Component);
    let stated: Vec<Subject> = metals
        .into_iter()
        .filter(|subject| examined.report.entry(*subject).is_some())
        .collect();
    let sum: f64 = stated
        .iter()
        .filter_map(|subject| examined.report.middle(*subject))
        .map(|amount| 2.0 * amount)
        .sum();
    let slack: f64 = stated
        .iter()
        .map(|metal| 2.0 * examined.slack(*metal))
        .sum();
    let tolerance = (parameters::HARDNESS_AGREEMENT.value * hardness)
        .max(parameters::HARDNESS_ROUNDING.value / 1000.0)
        + slack
        + examined.slack(Subject::Hardness);
    let is_whole = stated.len() == metals.len();
    let is_less = hardness < sum - tolerance;
    if stated.is_empty() || !(is_less || is_whole && hardness > sum + tolerance) {
        return;
    }
    let [hardness, sum] = [hardness, sum].map(mg_per_l_caco3);
    let text = format!(
        "The hardness of {} does not agree with {}, which make {} mg/L as CaCO3.",
        examined.written(Subject::Hardness),
        listed(&stated),
        number(sum)
    );
    let mut subjects = vec![Subject::Hardness];
    subjects.extend(&stated);
    examined.gathered.say(
        FindingCode::HardnessDisagrees,
        Doubt,
        &subjects,
        text,
        &[
            ("hardness stated", hardness, "mg/L as CaCO3"),
            ("from the ions", sum, "mg/L as CaCO3"),
        ],
    );
}

/// Dissolved solids against the sum of the ions: as a dry residue (Standard Methods 1030 E), or as
/// a plain sum.
pub(super) fn dissolved_solids(examined: &mut Examined<'_>) {
    let subject = Subject::DissolvedSolids;
    let Some(stated) = examined.report.middle(subject) else {
        return;
    };
    let (dry, whole) = (
        examined.derived.residue_on_evaporation_mg_per_l,
        examined.derived.calculated_tds_mg_per_l,
    );
    let open = examined.slack(subject)
        + whole * open_share(examined)
        + parameters::DISSOLVED_SOLIDS_ROUNDING.value;
    let low = parameters::DISSOLVED_SOLIDS_RATIO_LOW.value;
    let least = dry * low - open;
    let most = (dry * parameters::DISSOLVED_SOLIDS_RATIO_HIGH.value).max(whole / low) + open;
    // What the report does not state may be dissolved all the same.
    if stated >= least && (stated <= most || !examined.missing.is_nothing()) {
        return;
    }
    let text = format!(
        "Dissolved solids of {} do not agree with the ions: those give {} mg/L as residue on \
         evaporation, {} mg/L as dissolved.",
        examined.written(subject),
        number(dry),
        number(whole)
    );
    examined.gathered.say(
        FindingCode::DissolvedSolidsDisagree,
        Doubt,
        &[subject],
        text,
        &[
            ("stated", stated, "mg/L"),
            ("as they dry", dry, "mg/L"),
            ("as dissolved", whole, "mg/L"),
        ],
    );
}

/// Conductivity against that of the ions.
pub(super) fn conductivity(examined: &mut Examined<'_>) {
    let subject = Subject::Conductivity;
    let (Some(stated), Some(derived)) = (
        examined.report.middle(subject),
        examined.derived.conductivity_25c_us_per_cm,
    ) else {
        return;
    };
    let open = examined.slack(subject)
        + derived * open_share(examined)
        + parameters::CONDUCTIVITY_AGREEMENT.value * math::at_least(stated, derived)
        + parameters::CONDUCTIVITY_ROUNDING.value;
    let is_more = stated > derived + open && examined.missing.is_nothing();
    if !(is_more || stated < derived - open) {
        return;
    }
    let text = format!(
        "A conductivity of {} does not agree with the ions, which make {} µS/cm at 25 °C.",
        examined.written(subject),
        number(derived)
    );
    examined.gathered.say(
        FindingCode::ConductivityDisagrees,
        Doubt,
        &[subject],
        text,
        &[
            ("stated, at 25 °C", stated, "µS/cm"),
            ("from the ions", derived, "µS/cm"),
        ],
    );
}

/// The share of all ions that ranges and detection limits leave open.
fn open_share(examined: &Examined<'_>) -> f64 {
    let balance = examined.derived.balance;
    let sum = balance.cations_eq_per_kg + balance.anions_eq_per_kg;
    if sum > 0.0 {
        examined.slack_of_charges() / sum
    } else {
        0.0
    }
}
