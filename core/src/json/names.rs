//! What the engine has to offer a page that computes nothing: names that documents may use,
//! built-in days, and what codes mean.

use std::collections::BTreeSet;

use serde::{Serialize, Serializer};
use underlet_tables::{LIMITS, MALTS, REAGENTS};

use super::output::text;
use crate::component::Component;
use crate::document::DocumentKind;
use crate::error::Code;
use crate::plan::{AlternativeCode, CautionCode, LimitCode, ReasonCode};
use crate::readings::diagnosis::{ExplanationCode, VerdictCode};
use crate::recipe::EXAMPLES;
use crate::recipe::TargetKey;
use crate::tank::TankFindingCode;
use crate::tank::ledger::{Destination, WorkCode};
use crate::uncertainty::UncertaintyCause;
use crate::water_report::{FindingCode, MistakeKind, RemarkCode};

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
    text(&names)
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
        "error": Code,
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
    text(&Ordered(lists))
}

/// An object that keeps the order of its keys.
struct Ordered<T>(Vec<(&'static str, T)>);

impl<T: Serialize> Serialize for Ordered<T> {
    fn serialize<S: Serializer>(&self, serializer: S) -> Result<S::Ok, S::Error> {
        serializer.collect_map(self.0.iter().map(|(key, value)| (key, value)))
    }
}
