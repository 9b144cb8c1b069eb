//! What the engine has to offer a page that computes nothing: names that documents may use,
//! built-in days, and what codes mean.

use std::collections::{BTreeMap, BTreeSet};

use serde::Serialize;
use underlet_tables::{LIMITS, MALTS, REAGENTS};

use crate::component::Component;
use crate::error::Code;
use crate::recipe::EXAMPLES;
use crate::tank::TankFindingCode;
use crate::water_report::FindingCode;

/// Names of ions, malts, reagents and watched limits.
#[derive(Serialize)]
struct Names {
    ions: Vec<&'static str>,
    malts: Vec<&'static str>,
    reagents: Vec<ReagentName>,
    watched: BTreeSet<&'static str>,
}

#[derive(Serialize)]
struct ReagentName {
    key: &'static str,
    name: &'static str,
    unit: &'static str,
    usual_strength_percent: f64,
}

/// Names of reagents, malts and ions, and the limits that are watched, as a JSON object.
pub fn names() -> String {
    let wanted = Component::ALL.into_iter().filter(|ion| !ion.is_weak_acid());
    let reagent = |row: &underlet_tables::Reagent| ReagentName {
        key: row.key,
        name: row.name,
        unit: if row.liquid { "mL" } else { "g" },
        usual_strength_percent: row.usual_strength_percent,
    };
    let names = Names {
        ions: wanted.map(Component::key).collect(),
        malts: MALTS.iter().map(|row| row.class).collect(),
        reagents: REAGENTS.iter().map(reagent).collect(),
        watched: LIMITS.iter().map(|limit| limit.quantity).collect(),
    };
    // Texts and finite numbers always serialise.
    serde_json::to_string(&names).unwrap_or_default()
}

/// The built-in brew days by key, as a JSON object.
pub fn examples() -> String {
    let days = EXAMPLES.map(|(key, day)| format!("\"{key}\":{day}"));
    format!("{{{}}}", days.join(","))
}

/// Every code of a problem with what it means, as a JSON object.
pub fn error_codes() -> String {
    meanings(Code::ALL.iter().map(|code| (code.as_str(), code.meaning())))
}

/// Every code of a finding about a water report with what it means, as a JSON object.
pub fn finding_codes() -> String {
    let codes = FindingCode::ALL.iter();
    meanings(codes.map(|code| (code.as_str(), code.meaning())))
}

/// Every code of what to watch in a tank with what it means, as a JSON object.
pub fn tank_finding_codes() -> String {
    let codes = TankFindingCode::ALL.iter();
    meanings(codes.map(|code| (code.as_str(), code.meaning())))
}

fn meanings(codes: impl Iterator<Item = (&'static str, &'static str)>) -> String {
    let meanings: BTreeMap<_, _> = codes.collect();
    // Texts always serialise.
    serde_json::to_string(&meanings).unwrap_or_default()
}
