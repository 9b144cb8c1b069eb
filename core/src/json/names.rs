//! The names that documents may use: for pages that offer them.

use std::collections::BTreeSet;

use serde::Serialize;
use underlet_tables::{LIMITS, MALTS, REAGENTS};

use crate::ion::Ion;

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
    let wanted = Ion::ALL.into_iter().filter(|ion| !ion.is_weak_acid());
    let reagent = |row: &underlet_tables::Reagent| ReagentName {
        key: row.key,
        name: row.name,
        unit: if row.liquid { "mL" } else { "g" },
        usual_strength_percent: row.usual_strength_percent,
    };
    let names = Names {
        ions: wanted.map(Ion::key).collect(),
        malts: MALTS.iter().map(|row| row.class).collect(),
        reagents: REAGENTS.iter().map(reagent).collect(),
        watched: LIMITS.iter().map(|limit| limit.quantity).collect(),
    };
    // Texts and finite numbers always serialise.
    serde_json::to_string(&names).unwrap_or_default()
}
