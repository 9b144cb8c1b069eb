//! What the engine has to offer a page that computes nothing: names that documents may use,
//! built-in days, and what codes mean.

use std::collections::BTreeSet;

use serde::{Serialize, Serializer};
use underlet_tables::{BEER_FAMILIES, LIMITS, MALTS, REAGENTS, Reagent};

use super::output::text;
use crate::component::Component;
use crate::document::DocumentKind;
use crate::error::ErrorCode;
use crate::plan::{AlternativeCode, CautionCode, LimitCode, ReasonCode};
use crate::readings::diagnosis::{ExplanationCode, VerdictCode};
use crate::recipe::{EXAMPLES, ShelfReagent, TargetKey, Vessel};
use crate::tank::TankFindingCode;
use crate::tank::ledger::{Destination, WorkCode};
use crate::uncertainty::UncertaintyCause;
use crate::water_report::{FindingCode, MistakeKind, RemarkCode};

/// Names of ions, malts, reagents, vessels and watched limits.
#[derive(Serialize)]
struct Names {
    ions: Vec<&'static str>,
    malts: Vec<&'static str>,
    reagents: Vec<ReagentName>,
    vessels: [VesselName; Vessel::ALL.len()],
    watched: BTreeSet<&'static str>,
}

#[derive(Serialize)]
struct ReagentName {
    key: &'static str,
    name: &'static str,
    unit: &'static str,
    usual_strength_percent: f64,
    /// Keys of the vessels it may go into.
    vessels: Vec<&'static str>,
}

#[derive(Serialize)]
struct VesselName {
    key: &'static str,
    name: &'static str,
}

/// Names of ions and malts, reagents with the vessels each may go into, names of vessels, and the
/// limits that are watched, as a JSON object.
///
/// ```
/// let names: serde_json::Value = serde_json::from_str(&underlet::json::names())?;
/// let reagents = names["reagents"].as_array().expect("a list");
/// let zinc = reagents.iter().find(|reagent| reagent["key"] == "zinc chloride");
/// assert_eq!(zinc.expect("a reagent")["vessels"], serde_json::json!(["kettle"]));
/// # Ok::<(), serde_json::Error>(())
/// ```
pub fn names() -> String {
    let range = Component::ALL.into_iter().filter(|ion| !ion.is_weak_acid());
    let reagent = |row: &Reagent| ReagentName {
        key: row.key,
        name: row.name,
        unit: if row.liquid { "mL" } else { "g" },
        usual_strength_percent: row.usual_strength_percent,
        vessels: suitable_vessels(row),
    };
    let names = Names {
        ions: range.map(Component::key).collect(),
        malts: MALTS.iter().map(|row| row.class).collect(),
        reagents: REAGENTS.iter().map(reagent).collect(),
        vessels: Vessel::ALL.map(|vessel| VesselName {
            key: vessel.key(),
            name: vessel.label(),
        }),
        watched: LIMITS.iter().map(|limit| limit.quantity).collect(),
    };
    text(&names)
}

/// Keys of the vessels that a reagent may go into, in the order of work.
fn suitable_vessels(reagent: &Reagent) -> Vec<&'static str> {
    let suitable = |vessel: &Vessel| ShelfReagent::suits(reagent, *vessel);
    let vessels = Vessel::ALL.into_iter().filter(suitable);
    vessels.map(Vessel::key).collect()
}

/// The built-in brew days by key, as a JSON object.
pub fn examples() -> String {
    let days = EXAMPLES.map(|(key, day)| format!("\"{key}\":{day}"));
    format!("{{{}}}", days.join(","))
}

/// Every list of codes and keys by its name, each with what it means, as a JSON object.
///
/// ```
/// let codes: serde_json::Value = serde_json::from_str(&underlet::json::codes())?;
/// assert_eq!(codes["target"]["mash_ph"], "pH of the mash.");
/// # Ok::<(), serde_json::Error>(())
/// ```
pub fn codes() -> String {
    macro_rules! lists {
        ($($name:literal: $codes:ident,)+) => {
            vec![$(($name, Ordered(
                $codes::ALL.iter().map(|code| (code.as_str(), code.meaning())).collect(),
            )),)+]
        };
    }
    let mut lists = lists! {
        "error": ErrorCode,
        "document": DocumentKind,
        "finding": FindingCode,
        "mistake": MistakeKind,
        "remark": RemarkCode,
        "reason": ReasonCode,
        "caution": CautionCode,
        "limit": LimitCode,
        "alternative": AlternativeCode,
        "uncertainty_cause": UncertaintyCause,
        "verdict": VerdictCode,
        "explanation": ExplanationCode,
        "tank_finding": TankFindingCode,
        "work": WorkCode,
        "destination": Destination,
    };
    let targets = TargetKey::all().map(|(key, meaning)| (key.as_str(), meaning));
    lists.push(("target", Ordered(targets.collect())));
    let families = BEER_FAMILIES.iter();
    let families = families.map(|family| (family.name, family.description));
    lists.push(("beer_family", Ordered(families.collect())));
    text(&Ordered(lists))
}

/// An object that keeps the order of its keys.
pub(super) struct Ordered<T>(pub Vec<(&'static str, T)>);

impl<T: Serialize> Serialize for Ordered<T> {
    fn serialize<S: Serializer>(&self, serializer: S) -> Result<S::Ok, S::Error> {
        serializer.collect_map(self.0.iter().map(|(key, value)| (key, value)))
    }
}
