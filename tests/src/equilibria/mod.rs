//! Equilibria against files of references that a general-purpose reference program (PHREEQC) or a
//! laboratory made.
//!
//! | kind | file | what a line tells |
//! |---|---|---|
//! | speciation | JSON lines | a water given by two of pH, alkalinity, carbon and partial pressure; its state |
//! | acidification | JSON lines | a water, an acid, a pH; the dose, closed or open |
//! | heating | JSON lines | a water heated closed, closed with calcite forming, open with calcite forming |
//! | mixing | JSON lines | two waters and a fraction; the state of the mixture |
//! | lime | JSON lines | a water and slaked lime; what forms and the state |
//! | sparge | JSON lines | a day with one acid; what its sparge liquor needs, its planned pH |
//! | vectors | CSV | waters at temperatures; pH, partial pressure, saturation, free ions |
//! | conductivity | CSV | a natural water with its measured conductivity at 20 °C |
//!
//! mg/L means mg per kg of water here, except in a brew day.

mod acidification;
mod conductivity;
mod mixing;
mod node;
mod results;
mod score;
mod sparge;
mod speciation;
mod stage;
pub(crate) mod table;
mod vectors;
mod water;

use serde_json::Value;
use underlet::aqueous::EquilibriumError;

pub use acidification::Acidification;
pub use node::Node;
pub use score::{Row, Score, Tolerance};
pub use water::Water;

/// Why a reference came to no comparison.
#[derive(Clone, Debug, PartialEq)]
pub enum Fault {
    /// It cannot be read.
    Unreadable(String),
    /// The engine refuses it.
    Refused(EquilibriumError),
    /// It was made with other species than the engine's, and says so.
    AnotherModel,
}

impl From<String> for Fault {
    fn from(reason: String) -> Self {
        Fault::Unreadable(reason)
    }
}

impl From<EquilibriumError> for Fault {
    fn from(error: EquilibriumError) -> Self {
        Fault::Refused(error)
    }
}

/// What a reference comes to.
pub type Outcome<T> = Result<T, Fault>;

type CompareOne = fn(&mut Score, &str, &Node) -> Outcome<()>;

/// Kinds of JSON lines.
const OF_LINES: [(&str, CompareOne); 6] = [
    ("speciation", speciation::compare),
    ("acidification", acidification::compare),
    ("heating", stage::heating),
    ("mixing", mixing::compare),
    ("lime", stage::lime),
    ("sparge", sparge::compare),
];

type OfTable = fn(&str) -> Result<Score, String>;

/// Kinds of CSV.
const OF_TABLES: [(&str, OfTable); 2] = [
    ("vectors", vectors::compare_all),
    ("conductivity", conductivity::compare_all),
];

/// Names of the kinds.
pub fn kinds() -> Vec<&'static str> {
    let lines = OF_LINES.iter().map(|(name, _)| *name);
    lines
        .chain(OF_TABLES.iter().map(|(name, _)| *name))
        .collect()
}

/// Compares every reference of a text. `None` for an unknown kind.
///
/// # Errors
/// When the text is no file of this form at all.
pub fn compare_all(kind: &str, text: &str) -> Option<Result<Score, String>> {
    if let Some((_, compare)) = OF_TABLES.iter().find(|(name, _)| *name == kind) {
        return Some(compare(text));
    }
    let (_, compare) = OF_LINES.iter().find(|(name, _)| *name == kind)?;
    Some(Ok(lines(text, *compare)))
}

fn lines(text: &str, compare: CompareOne) -> Score {
    let mut score = Score::default();
    for (index, line) in text.trim_start_matches('\u{feff}').lines().enumerate() {
        if line.trim().is_empty() {
            continue;
        }
        let place = format!("line {}", index + 1);
        score.references += 1;
        match serde_json::from_str::<Value>(line) {
            Err(error) => score.fault(&place, Fault::Unreadable(error.to_string())),
            Ok(value) => one(&mut score, &place, &Node::root(&value), compare),
        }
    }
    score
}

fn one(score: &mut Score, place: &str, reference: &Node, compare: CompareOne) {
    match reference.need("id").and_then(|id| id.text()) {
        Err(reason) => score.fault(place, Fault::Unreadable(reason)),
        Ok(id) => {
            if let Err(fault) = compare(score, id, reference) {
                score.fault(&format!("{place} ({id})"), fault);
            }
        }
    }
}
