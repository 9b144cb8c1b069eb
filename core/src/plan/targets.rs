//! Each target: the source's value and the plan's.

use std::convert::identity;

use underlet_tables::parameters;

use super::document::{TargetLine, TargetState};
use crate::aqueous::alkalinity_against_mash_eq_per_kg;
use crate::component::Component;
use crate::fit::{DosedKettle, Solution};
use crate::liquor::{Liquor, mg_per_l_caco3};
use crate::math;
use crate::recipe::{TargetKey, TargetRange};
use crate::words::{self, DISPLAY_PH};

/// How far a figure may lie outside its range and still be met: what a display rounds away.
const DISPLAY_SHARE: f64 = 0.004;
/// As good as nothing of an ion, mg/L: no meter sees less.
pub(super) const TRACE_MG_PER_L: f64 = 0.005;

/// pH without any addition.
#[derive(Clone, Copy, Debug)]
pub(crate) struct Untreated {
    /// Of the mash with the first source.
    pub mash_ph: f64,
    /// Of the first source, sample cooled to where pH is read.
    pub source_ph: f64,
}

/// What shares and doses reach.
pub(super) struct Reached<'k> {
    /// All the brewing liquor.
    pub overall: Liquor,
    pub sparge: Liquor,
    pub mash_ph: f64,
    /// pH of the sparge liquor; `None` where there is no target for it.
    pub sparge_ph: Option<f64>,
    pub kettle: &'k DosedKettle<'k>,
}

/// The targets of a day, with what is reached of each.
pub(super) fn targets(
    solution: &Solution<'_>,
    untreated: &Untreated,
    reached: &Reached<'_>,
) -> Vec<TargetLine> {
    let source = solution.day.first_source();
    let overall = solution.overall_with(&reached.overall, reached.kettle);
    let requested = &solution.targets;
    let has_sparge = solution.day.sparge.is_some();
    let mut lines = Vec::new();
    for (ion, range) in &requested.ions {
        let mg = |mol_per_kg: f64| ion.mg_per_l(mol_per_kg);
        let figures = [source.ions, overall.ions].map(|ions| Some(mg(ions.get(*ion))));
        lines.push(line(
            (TargetKey::Component(*ion), [ion.key(), "mg/L"]),
            figures,
            range,
            mg,
        ));
    }
    if let Some(range) = &requested.sulfate_to_chloride {
        lines.push(ratio_line(&source, &overall, range));
    }
    let mash = [Some(untreated.mash_ph), Some(reached.mash_ph)];
    lines.extend(ph_line(
        (TargetKey::MashPh, "mash pH"),
        mash,
        requested.mash_ph.as_ref(),
    ));
    if let Some(range) = requested.sparge_alkalinity.as_ref().filter(|_| has_sparge) {
        let names = (
            TargetKey::SpargeAlkalinity,
            ["sparge alkalinity", "mg/L as CaCO3"],
        );
        let against_mash =
            |liquor: &Liquor| mg_per_l_caco3(alkalinity_against_mash_eq_per_kg(liquor));
        let figures = [&source, &reached.sparge].map(|liquor| Some(against_mash(liquor)));
        lines.push(line(names, figures, range, mg_per_l_caco3));
    }
    if let Some(ph) = reached.sparge_ph {
        let sparge = [Some(untreated.source_ph), Some(ph)];
        let range = requested.sparge_ph.as_ref().filter(|_| has_sparge);
        lines.extend(ph_line((TargetKey::SpargePh, "sparge pH"), sparge, range));
    }
    if let Some(range) = &solution.day.kettle.ph {
        let model = solution.kettle_model();
        let before = model.full(&source, &source, untreated.mash_ph).ph;
        let kettle = [Some(before), Some(reached.kettle.dosed.ph)];
        lines.extend(ph_line(
            (TargetKey::KettlePh, "kettle pH"),
            kettle,
            Some(range),
        ));
    }
    lines
}

fn ph_line(
    (key, label): (TargetKey, &str),
    figures: [Option<f64>; 2],
    range: Option<&TargetRange>,
) -> Option<TargetLine> {
    range.map(|range| line((key, [label, ""]), figures, range, identity))
}

/// How a value compares with a range.
pub(super) fn state(value: f64, low: Option<f64>, high: Option<f64>, slack: f64) -> TargetState {
    match (low, high) {
        (None, None) => TargetState::Free,
        (Some(low), _) if value < low - slack => TargetState::Below,
        (_, Some(high)) if value > high + slack => TargetState::Above,
        _ => TargetState::Met,
    }
}

/// Whether a target lies outside its range.
pub(super) fn is_missed(line: &TargetLine) -> bool {
    matches!(line.state, TargetState::Below | TargetState::Above)
}

/// Counts as met what whole steps of the scale moved out of its range by less than a brewer reads:
/// before rounding it was in.
pub(super) fn meet_what_is_read(lines: &mut [TargetLine], before: &[TargetLine]) {
    for line in lines.iter_mut().filter(|line| is_missed(line)) {
        let mut before = before.iter();
        let was_met = before.any(|before| before.key == line.key && !is_missed(before));
        if was_met && !is_read(line) {
            line.state = TargetState::Met;
            line.display += if line.low == line.high {
                " (as near as one reads)"
            } else {
                " (at the end of its range)"
            };
        }
    }
}

/// Whether a brewer reads the figure of a missed target as one outside its range.
fn is_read(line: &TargetLine) -> bool {
    let end = match line.state {
        TargetState::Below => line.low,
        _ => line.high,
    };
    let Some((planned, end)) = line.planned.zip(end) else {
        return true;
    };
    let share = parameters::READ_SHARE.value * end.abs();
    let most = match line.key {
        TargetKey::MashPh | TargetKey::SpargePh | TargetKey::KettlePh => parameters::READ_PH.value,
        TargetKey::SulfateToChloride => share,
        _ => math::at_least(share, parameters::READ_MG_PER_L.value),
    };
    // A hundredth of pH is one, however it was computed.
    (planned - end).abs() > most * (1.0 + ROUNDING)
}

/// A share of a difference that is the rounding of its terms.
const ROUNDING: f64 = 1e-9;

/// Whether every range is met, and that in words; `has_targets` says whether there is any.
pub(super) fn verdict(targets: &[TargetLine], has_targets: bool) -> (bool, String) {
    let labelled = |is_one: fn(TargetState) -> bool| -> Vec<&str> {
        let lines = targets.iter().filter(|line| is_one(line.state));
        lines.map(|line| line.label.as_str()).collect()
    };
    let missed = labelled(|state| matches!(state, TargetState::Below | TargetState::Above));
    let unknown = labelled(|state| state == TargetState::Unknown);
    let all_met = missed.is_empty() && unknown.is_empty();
    let parts = [("Not met", missed), ("Not known", unknown)];
    let parts = parts.iter().filter(|(_, labels)| !labels.is_empty());
    let parts: Vec<String> = parts
        .map(|(lead, labels)| format!("{lead}: {}", labels.join(", ")))
        .collect();
    let words = if !has_targets {
        "There are no targets".to_owned()
    } else if all_met {
        "Every range is met".to_owned()
    } else {
        parts.join(". ")
    };
    (all_met, words)
}

/// The line of sulfate to chloride, by mass. It has no figure where there is no chloride to compare
/// with: then sulfate beyond so many times the chloride, as the fit counts it, decides whether it
/// is met.
pub(super) fn ratio_line(source: &Liquor, made: &Liquor, range: &TargetRange) -> TargetLine {
    let mg = |liquor: &Liquor, ion: Component| ion.mg_per_l(liquor.ions.get(ion));
    let ratio = |liquor: &Liquor| {
        let chloride = mg(liquor, Component::Chloride);
        (chloride > TRACE_MG_PER_L).then(|| mg(liquor, Component::Sulfate) / chloride)
    };
    let names = (TargetKey::SulfateToChloride, ["sulfate to chloride", ""]);
    let mut line = line(names, [source, made].map(ratio), range, identity);
    let beyond = |times: f64| mg(made, Component::Sulfate) - times * mg(made, Component::Chloride);
    let is_above = |high: f64| beyond(high) > TRACE_MG_PER_L;
    if line.planned.is_none() && line.high.is_some_and(is_above) {
        line.state = TargetState::Above;
    }
    line
}

/// A target's line. `names` are key, label and unit; `figures` the source's and the plan's, in the
/// unit, `None` for a ratio without chloride; `in_unit` turns the range's canonical numbers into
/// it.
pub(super) fn line(
    (key, [label, unit]): (TargetKey, [&str; 2]),
    figures: [Option<f64>; 2],
    range: &TargetRange,
    in_unit: impl Fn(f64) -> f64,
) -> TargetLine {
    let is_ph = matches!(
        key,
        TargetKey::MashPh | TargetKey::SpargePh | TargetKey::KettlePh
    );
    let in_unit = |value: f64| words::tidy(in_unit(value));
    let (low, high) = (range.low.map(in_unit), range.high.map(in_unit));
    let write = |value: f64| words::figure(value, unit, is_ph);
    let [from, to] = figures.map(|figure| figure.map_or_else(|| "no chloride".to_owned(), write));
    let display = format!("{from} → {to} {unit}");
    let [source, planned] = figures;
    let slack = |value: f64| {
        if is_ph {
            DISPLAY_PH
        } else {
            DISPLAY_SHARE * math::at_least(value.abs(), 1.0)
        }
    };
    TargetLine {
        key,
        label: label.to_owned(),
        unit: unit.to_owned(),
        source,
        planned,
        low,
        high,
        prefer: range.prefer.map(in_unit),
        state: match planned {
            Some(value) => state(value, low, high, slack(value)),
            None if low.is_none() && high.is_none() => TargetState::Free,
            None => TargetState::Met,
        },
        display: display.trim_end().to_owned() + &words::wanted(low, high, write),
    }
}
