//! Drinking-water limits, each with its authority and edition, and what no drinking water holds.

use underlet_tables::{LIMITS, Limit, drinking_water, parameters};

use super::examined::{Examined, number};
use crate::water_report::entry::Figure;
use crate::water_report::finding::FindingCode;
use crate::water_report::finding::FindingSeverity::{Doubt, Note, Warning};
use crate::water_report::subject::Subject;

/// What may be lost in turning units.
const ROUNDING: f64 = 1e-9;

/// Least and greatest that a figure says; below a detection limit it may be anything.
fn ends(figure: Figure) -> (f64, f64) {
    match figure {
        Figure::Value(value) => (value, value),
        Figure::Below(limit) => (limit, 0.0),
        Figure::Between { low, high, .. } => (low, high),
    }
}

/// What a limit is about: the subject, and a second one to take away from it.
fn limited(limit: &Limit) -> Option<(Subject, Option<Subject>)> {
    Some(match limit.quantity {
        "chlorine" => (Subject::FreeChlorine, None),
        "chloramine" => (Subject::TotalChlorine, Some(Subject::FreeChlorine)),
        "tds" => (Subject::DissolvedSolids, None),
        key => (key.parse().ok()?, None),
    })
}

/// Limits for health, as their authorities class them; the others are for taste and good running.
fn is_for_health(limit: &Limit) -> bool {
    matches!(
        limit.status,
        "guideline" | "provisional" | "parametric" | "primary"
    )
}

/// One finding for each subject beyond a limit, naming every authority whose limit it is beyond.
pub(super) fn limits(examined: &mut Examined<'_>) {
    for subject in Subject::all() {
        let beyond: Vec<(&Limit, f64)> = LIMITS
            .iter()
            // Advisories for special diets are not limits of drinking water.
            .filter(|limit| limit.status != "advisory")
            .filter_map(|limit| Some((limit, beyond(examined, limit, subject)?)))
            .collect();
        if !beyond.is_empty() {
            tell_limits(examined, subject, &beyond);
        }
    }
}

/// The end of a limit that a subject lies beyond, in the limit's unit.
fn beyond(examined: &Examined<'_>, limit: &Limit, subject: Subject) -> Option<f64> {
    let (about, less) = limited(limit).filter(|(about, _)| *about == subject)?;
    let (low, mut high) = ends(examined.report.entry(about)?.figure);
    if let Some(less) = less {
        high -= examined.report.middle(less)?;
    }
    let in_canonical = |number: f64| {
        let unit = limit.unit;
        let written = crate::quantity::Written::WithUnit(number, unit);
        let entry = super::super::Entry::parse(about, written).ok()?;
        Some(entry.figure.middle())
    };
    if high > in_canonical(limit.high)? * (1.0 + ROUNDING) {
        return Some(limit.high);
    }
    let least = limit.low?;
    (low < in_canonical(least)? * (1.0 - ROUNDING)).then_some(least)
}

fn tell_limits(examined: &mut Examined<'_>, subject: Subject, beyond: &[(&Limit, f64)]) {
    let named: Vec<String> = beyond
        .iter()
        .map(|(limit, end)| {
            format!(
                "{} {} ({} {}, {})",
                number(*end),
                unit_for_people(limit),
                limit.authority,
                limit.status,
                limit.edition
            )
            .replace("  ", " ")
        })
        .collect();
    let is_below = beyond.iter().all(|(limit, end)| limit.low == Some(*end));
    let text = format!(
        "{} of {} is {} {}. Ask the supplier or the health authority.",
        capital(&subject.label()),
        examined.written(subject),
        if is_below { "below" } else { "above" },
        named.join("; ")
    );
    let labels: Vec<String> = beyond
        .iter()
        .map(|(limit, _)| format!("{} {}", limit.authority, limit.status))
        .collect();
    let evidence: Vec<(&str, f64, &'static str)> = labels
        .iter()
        .zip(beyond)
        .map(|(label, (limit, end))| (label.as_str(), *end, unit_for_people(limit)))
        .collect();
    let health = beyond.iter().any(|(limit, _)| is_for_health(limit));
    let severity = if health { Warning } else { Note };
    examined.gathered.say(
        FindingCode::LimitExceeded,
        severity,
        &[subject],
        text,
        &evidence,
    );
}

/// Beyond what any drinking water holds: a slipped decimal point, another unit, or no drinking
/// water.
pub(super) fn beyond_drinking_water(examined: &mut Examined<'_>) {
    for entry in &examined.report.entries {
        let subject = entry.subject;
        let Some(row) = drinking_water(subject.key()) else {
            continue;
        };
        let (low, high) = ends(entry.figure);
        let (low, high) = (subject.in_default_unit(low), subject.in_default_unit(high));
        let (end, than) = if high > row.high * (1.0 + ROUNDING) {
            (row.high, "more than")
        } else if low < row.low * (1.0 - ROUNDING) {
            (row.low, "less than")
        } else {
            continue;
        };
        let unit = subject.quantity().unit();
        let text = format!(
            "{} of {}: drinking water hardly ever has {than} {}. Look for another unit or a \
             slipped decimal point.",
            capital(&subject.label()),
            entry.write(),
            format!("{} {unit}", number(end)).trim_end()
        );
        examined.gathered.say(
            FindingCode::BeyondDrinkingWater,
            Doubt,
            &[subject],
            text,
            &[
                ("stated", if than == "more than" { high } else { low }, unit),
                (than, end, unit),
            ],
        );
    }
}

/// Chlorine to remove, and free chlorine that is more than all of it.
pub(super) fn chlorine(examined: &mut Examined<'_>) {
    let [free, total] = [Subject::FreeChlorine, Subject::TotalChlorine];
    let highest = |subject| {
        examined
            .report
            .entry(subject)
            .map(|entry| ends(entry.figure).1)
    };
    let (most_free, most_total) = (highest(free), highest(total));
    if let (Some(free_mg), Some(total_mg)) =
        (examined.report.middle(free), examined.report.middle(total))
        && free_mg
            > total_mg + examined.slack(free) + examined.slack(total) + free.usual_detection_limit()
    {
        examined.gathered.say(
            FindingCode::ChlorineDisagrees,
            Doubt,
            &[free, total],
            format!(
                "Free chlorine of {} is more than the total chlorine of {}.",
                examined.written(free),
                examined.written(total)
            ),
            &[
                ("free", free_mg, "mg/L as Cl2"),
                ("total", total_mg, "mg/L as Cl2"),
            ],
        );
    }
    let present: Vec<Subject> = [(free, most_free), (total, most_total)]
        .into_iter()
        .filter(|(_, most)| most.is_some_and(|most| most > free.usual_detection_limit()))
        .map(|(subject, _)| subject)
        .collect();
    if present.is_empty() {
        return;
    }
    let taste = parameters::CHLORINE_TASTE.value;
    let is_tasted = most_free.is_some_and(|most| most >= taste);
    let mut text = "There is chlorine or chloramine in it: remove it before the liquor meets the \
                    malt, where far less than one tastes in water makes a medicinal flavour \
                    (common practice, no source)."
        .to_owned();
    if is_tasted {
        text = format!(
            "{text} {} of free chlorine can be tasted in the water itself: from {taste} mg/L on \
             (WHO, Guidelines for Drinking-water Quality, 2022).",
            examined.written(free)
        );
    }
    examined.gathered.say(
        FindingCode::ChlorineToRemove,
        if is_tasted { Doubt } else { Note },
        &present,
        text,
        &[("tasted from", taste, "mg/L as Cl2")],
    );
}

/// The table spells units in ASCII.
fn unit_for_people(limit: &Limit) -> &'static str {
    match limit.unit {
        "uS/cm at 20 C" => "µS/cm at 20 °C",
        unit => unit,
    }
}

fn capital(label: &str) -> String {
    let mut letters = label.chars();
    match letters.next() {
        // "pH" keeps its small letter.
        Some(first) if label != "pH" => first.to_ascii_uppercase().to_string() + letters.as_str(),
        _ => label.to_owned(),
    }
}
