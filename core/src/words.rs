//! Numbers as people read them in a plan.

use crate::component::Component;
use crate::liquor::mg_per_l_caco3;
use crate::quantity;
pub(crate) use crate::quantity::tidy;

/// How far a pH may lie outside its range and still be met: what a display rounds away.
pub(crate) const DISPLAY_PH: f64 = 0.005;
/// Step of pH by which a plan states acid for the kettle.
pub(crate) const TENTH_PH: f64 = 0.1;

/// "540 L", "15 hL".
pub fn volume(litres: f64) -> String {
    quantity::LIQUOR_VOLUME.write(litres)
}

/// "78 °C".
pub fn temperature(celsius: f64) -> String {
    quantity::TEMPERATURE.write(celsius)
}

/// Texts in their order, each once.
pub fn each_once<'t>(texts: impl Iterator<Item = &'t str>) -> Vec<&'t str> {
    let mut once = Vec::new();
    for text in texts {
        if !once.contains(&text) {
            once.push(text);
        }
    }
    once
}

/// Writes an ionic strength, mol/kg, with the table salt that makes it for those who know none.
pub fn ionic_strength(mol_per_kg: f64) -> String {
    let salt = [Component::Sodium, Component::Chloride];
    let mg_per_l: f64 = salt.iter().map(|ion| ion.mg_per_l(mol_per_kg)).sum();
    let grams = number(mg_per_l / 1000.0);
    format!(
        "{} mol/kg (as {grams} g/L of table salt)",
        number(mol_per_kg)
    )
}

/// Two decimals always, as a pH meter shows them: "5.40".
pub fn ph(value: f64) -> String {
    format!("{value:.2}")
}

/// Three significant digits: "118", "2.4".
pub fn number(value: f64) -> String {
    quantity::significant(value, 3)
}

/// A figure of a target in its display unit.
pub fn figure(value: f64, unit: &str, is_ph: bool) -> String {
    match (is_ph, unit) {
        (true, _) => ph(value),
        (false, "mg/L" | "mg/L as CaCO3") if value.abs() >= 10.0 => format!("{value:.0}"),
        (false, "mg/L" | "mg/L as CaCO3") => quantity::significant(value, 2),
        (false, _) => number(value),
    }
}

/// "wanted 50 to 150", "wanted at most 60"; nothing where nothing is wanted.
pub fn wanted(low: Option<f64>, high: Option<f64>, write: impl Fn(f64) -> String) -> String {
    match (low, high) {
        (Some(low), Some(high)) if low == high => format!(", wanted {}", write(low)),
        (Some(low), Some(high)) => format!(", wanted {} to {}", write(low), write(high)),
        (Some(low), None) => format!(", wanted at least {}", write(low)),
        (None, Some(high)) => format!(", wanted at most {}", write(high)),
        (None, None) => String::new(),
    }
}

/// A signed change with a real minus: "+23", "−0.25".
pub fn change(value: f64, decimals: usize) -> String {
    format!("{value:+.decimals$}").replace('-', "−")
}

/// The same to go on with: "+ 23", "− 12".
pub fn spaced_change(value: f64, decimals: usize) -> String {
    let sign = if value < 0.0 { '−' } else { '+' };
    format!("{sign} {:.decimals$}", value.abs())
}

/// A pH between two ends: "5.42 (5.19–5.68)".
pub fn with_interval(ph: f64, [low, high]: [f64; 2], decimals: usize) -> String {
    format!("{ph:.decimals$} ({low:.decimals$}–{high:.decimals$})")
}

/// "calcium +23 mg/L, sulfate +56 mg/L": the ions that change by at least half a mg/L.
pub fn changes(of: impl Iterator<Item = (Component, f64)>) -> Vec<String> {
    of.map(|(ion, mol_per_kg)| (ion, ion.mg_per_l(mol_per_kg)))
        .filter(|(_, mg_per_l)| mg_per_l.abs() >= 0.5)
        .map(|(ion, mg_per_l)| format!("{} {} mg/L", ion.key(), change(mg_per_l, 0)))
        .collect()
}

/// The same, with an alkalinity that rises, "alkalinity +30 mg/L as CaCO3".
pub fn effects(
    ions: impl Iterator<Item = (Component, f64)>,
    alkalinity_eq_per_kg: f64,
) -> Vec<String> {
    let mut effects = changes(ions.filter(|(ion, _)| !ion.is_weak_acid()));
    let base = mg_per_l_caco3(alkalinity_eq_per_kg);
    if base >= 0.5 {
        effects.push(format!("alkalinity {} mg/L as CaCO3", change(base, 0)));
    }
    effects
}

/// The chance of a pH to land in its range beside the requested one, %, after a lead; empty where
/// none is requested.
pub(crate) fn landing(lead: &str, chance: Option<f64>, requested: Option<f64>) -> String {
    chance
        .zip(requested)
        .map_or_else(String::new, |(chance, requested)| {
            format!(
                "{lead} chance to land in its range is {:.0} %, {requested} % requested",
                chance * 100.0
            )
        })
}

/// "83 %"; nothing uncertain is sure, so "more than 99 %" and "less than 1 %".
pub fn chance(chance: f64) -> String {
    match 100.0 * chance {
        percent if percent < 0.5 => "less than 1 %".to_owned(),
        percent if percent >= 99.5 => "more than 99 %".to_owned(),
        percent => format!("{percent:.0} %"),
    }
}

/// A figure without decimals.
pub fn whole(value: f64) -> String {
    // No "−0".
    let rounded = value.round() + 0.0;
    format!("{rounded:.0}").replace('-', "−")
}

/// When something is done; in each brew where there are several.
pub fn in_each_brew(when: &str, brews: usize) -> String {
    match brews {
        1 => when.to_owned(),
        brews => format!("{when}, in each of {brews} brews"),
    }
}

/// "mash pH", "sparge alkalinity": the key of a target for people.
pub fn spoken(key: &str) -> String {
    match key {
        "mash_ph" => "mash pH".to_owned(),
        "sparge_ph" => "sparge pH".to_owned(),
        "kettle_ph" => "kettle pH".to_owned(),
        other => other.replace('_', " "),
    }
}

/// A text with its first letter capital.
pub fn capitalised(text: &str) -> String {
    let mut letters = text.chars();
    letters.next().map_or_else(String::new, |first| {
        first.to_uppercase().chain(letters).collect()
    })
}

/// A text, or another where it is empty.
pub fn or(text: String, other: &str) -> String {
    if text.is_empty() {
        other.to_owned()
    } else {
        text
    }
}
