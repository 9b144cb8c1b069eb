//! The plan as HTML: a fragment for notebooks, and the printable sheet for the brewhouse wall. Both are templates filled from
//! the plan document, so that a plan that was kept prints as well as a fresh one.
//!
//! The sheet is black on white, with big weights, nothing that a wet thumb could not read; a usual day fits one page of A4 or
//! Letter. It has a row for each place and time of reading, and room there to write in what was read.

mod template;
#[cfg(test)]
mod tests;

use serde_json::{Value, json};

use super::plan::Plan;
use super::{Meter, Place, words};
use crate::error::Problem;
use template::{Scope, filled};

/// Most brews that a day can have.
const MOST_BREWS: u64 = 6;

const SHEET: &str = include_str!("sheet.html");
const NOTEBOOK: &str = include_str!("notebook.html");

impl Plan {
    /// The plan as an HTML fragment without style: what a notebook shows.
    pub fn to_html_fragment(&self) -> String {
        self.shown_by(NOTEBOOK)
    }

    /// The printable sheet: a whole HTML page.
    pub fn to_sheet(&self) -> String {
        self.shown_by(SHEET)
    }

    fn shown_by(&self, template: &str) -> String {
        // A plan holds only finite numbers, texts and lists, which always serialise, and all that the templates ask for.
        let document = serde_json::to_value(self).unwrap_or_default();
        page(template, document).unwrap_or_default()
    }
}

/// The printable sheet of a plan document.
///
/// # Errors
/// The first thing that the sheet shows and the document lacks.
pub(crate) fn sheet(plan: Value) -> Result<String, Problem> {
    page(SHEET, plan)
}

/// A plan document as a template shows it, with what no key of it says.
fn page(template: &str, mut plan: Value) -> Result<String, Problem> {
    let meters = meters(&plan);
    room_for_each_brew(&mut plan);
    if let Some(Value::Array(blend)) = plan.get_mut("blend") {
        blend.retain(|part| part.get("share").and_then(Value::as_f64) != Some(0.0));
    }
    if let Value::Object(keys) = &mut plan {
        keys.insert("meters".to_owned(), meters);
        keys.insert("words".to_owned(), words_for_keys());
    }
    let [totals, otherwise] = sums(&Scope::of(&plan))?;
    if let Value::Object(keys) = &mut plan {
        keys.insert("totals".to_owned(), totals.into());
        keys.insert("otherwise".to_owned(), otherwise.into());
    }
    filled(template, &plan)
}

/// A box to tick, and a blank to write in, for each further brew, where something is done or read in each. `room` says so of every
/// addition and reading.
fn room_for_each_brew(plan: &mut Value) {
    let further = |count: Option<&Value>| {
        let count = count.and_then(Value::as_u64).unwrap_or(1);
        usize::try_from(count.clamp(1, MOST_BREWS) - 1).unwrap_or(0)
    };
    let in_each = further(plan.get("brews"));
    let shared = [Place::ColdLiquor, Place::Tank].map(Place::key);
    for list in ["additions", "readings"] {
        let items = plan.get_mut(list).and_then(Value::as_array_mut);
        for item in items.into_iter().flatten() {
            let place = item.get("place").and_then(Value::as_str);
            let room = match (list, place) {
                ("additions", _) => " ☐".repeat(further(item.get("times"))),
                (_, Some(place)) if !shared.contains(&place) => " ____".repeat(in_each),
                _ => String::new(),
            };
            if let Value::Object(keys) = item {
                keys.insert("room".to_owned(), room.into());
            }
        }
    }
}

/// The meters that a plan reads, each a column of its table of readings.
fn meters(plan: &Value) -> Value {
    let readings = plan.get("readings").and_then(Value::as_array);
    let is_read = |meter: &Meter| {
        let mut readings = readings.into_iter().flatten();
        readings.any(|reading| reading.get("meter").and_then(Value::as_str) == Some(meter.key()))
    };
    let meters = Meter::ALL.into_iter().filter(is_read);
    meters
        .map(|meter| json!({"key": meter.key(), "label": meter.label()}))
        .collect()
}

/// What people call the keys of a plan.
fn words_for_keys() -> Value {
    let places = Place::ALL.map(|place| (place.key().to_owned(), place.label().into()));
    let meters = Meter::ALL.map(|meter| (meter.key().to_owned(), meter.label().into()));
    json!({
        "place": Value::Object(places.into_iter().collect()),
        "meter": Value::Object(meters.into_iter().collect()),
        "state": {"met": "met", "free": "free", "below": "BELOW its range", "above": "ABOVE its range"},
        "severity": {"danger": "Danger: ", "care": "Care: ", "note": ""},
    })
}

/// What all the brews take, and what it means where readings are not as expected.
fn sums(plan: &Scope<'_>) -> Result<[String; 2], Problem> {
    let mut litres = 0.0;
    for part in plan.items("blend")? {
        litres += part.amount("volume_l")?;
    }
    let mut weighed = Vec::new();
    for one in plan.items("additions")? {
        let amount = one.amount("amount")? * one.amount("times")?;
        weighed.push((one.text("name")?, amount, one.text("unit")?));
    }
    let mut otherwise = Vec::new();
    for reading in plan.items("readings")? {
        // A meter without a column would be left out of the table.
        reading.word("meter")?;
        otherwise.push(reading.text("otherwise")?);
    }
    let weighed: Vec<_> = weighed
        .iter()
        .map(|(name, amount, unit)| (name.as_str(), *amount, unit.as_str()))
        .collect();
    let otherwise = words::each_once(otherwise.iter().map(String::as_str));
    Ok([words::totals(litres, &weighed), otherwise.join(" ")])
}
