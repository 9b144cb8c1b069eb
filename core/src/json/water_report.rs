//! Reads a `water-report` document, and writes it back.

use serde_json::{Map, Value, json};

use super::ObjectReader;
use super::bench::bench;
use crate::document::{Attached, DocumentKind};
use crate::quantity::{self, tidy};
use crate::water_report::{Entry, Subject, WaterReport};

/// What the keys are for that are not plain ions; an ion's key explains itself.
const DESCRIPTIONS: [(&str, &str); 10] = [
    (
        "bicarbonate",
        "Bicarbonate; beside an alkalinity, both are compared.",
    ),
    ("carbonate", "Carbonate."),
    (
        "alkalinity",
        "Total alkalinity (m value, to pH 4.5 or methyl orange), or carbonate hardness.",
    ),
    (
        "phenolphthalein_alkalinity",
        "Alkalinity to pH 8.3 (p value, to phenolphthalein).",
    ),
    ("hardness", "Total hardness."),
    ("dissolved_solids", "Dissolved solids or dry residue."),
    (
        "conductivity",
        "Electrical conductivity at 25 °C, or at 20 °C where the unit says so.",
    ),
    ("ph", "pH of the sample."),
    ("free_chlorine", "Free chlorine, as Cl2."),
    (
        "total_chlorine",
        "Total chlorine, chloramines among it, as Cl2.",
    ),
];

/// Reads the whole document. Contradictions within it are for findings, not for errors.
pub(super) fn water_report(report: &mut ObjectReader<'_>) -> Option<WaterReport> {
    let attached = report.head(DocumentKind::WaterReport);
    report.describe("name", "Name of the water, such as \"well\".");
    let name = report.text("name");
    report.describe("sampled", "Day of sampling.");
    let sampled = report.optional_date("sampled");
    report.describe(
        "today",
        "The day of reading, from which the report's age follows.",
    );
    let today = report.optional_date("today");
    report.describe("temperature", "Temperature of the sample.");
    let temperature_c = report.optional_quantity("temperature", &quantity::TEMPERATURE);
    for (key, text) in DESCRIPTIONS {
        report.describe(key, text);
    }
    let entries = Subject::all()
        .filter_map(|subject| report.optional_entry(subject))
        .collect();
    report.describe(
        "bench",
        "This morning's readings: report and bench together say what the water is today.",
    );
    let bench = report.optional_object("bench", bench);
    let age = today
        .zip(sampled)
        .map(|(today, sampled)| today.days_since(sampled));
    Some(WaterReport {
        attached,
        name: name?,
        sampled,
        today,
        age_days: age.filter(|days| *days >= 0).map(f64::from),
        temperature_c,
        entries,
        bench: bench.map(Box::new),
    })
}

/// The document of a report, each figure in its own notation.
pub(super) fn document(report: &WaterReport) -> Value {
    let mut document = Map::new();
    let mut put = |key: &str, value: Option<Value>| {
        if let Some(value) = value {
            document.insert(key.to_owned(), value);
        }
    };
    let Attached { id, note, extra } = &report.attached;
    put("underlet", Some(json!(crate::FORMAT_VERSION)));
    put("id", id.as_ref().map(|id| json!(id)));
    put("note", note.as_ref().map(|note| json!(note)));
    for (key, value) in extra {
        put(key, Some(value.clone()));
    }
    put("name", Some(json!(report.name)));
    put("sampled", report.sampled.map(|day| json!(day.to_string())));
    put("today", report.today.map(|day| json!(day.to_string())));
    put_readings(&mut document, report);
    if let Some(bench) = &report.bench {
        let mut readings = Map::new();
        put_readings(&mut readings, bench);
        document.insert("bench".to_owned(), Value::Object(readings));
    }
    Value::Object(document)
}

fn put_readings(document: &mut Map<String, Value>, report: &WaterReport) {
    if let Some(celsius) = report.temperature_c {
        document.insert("temperature".to_owned(), json!(celsius));
    }
    for entry in &report.entries {
        document.insert(entry.subject.key().to_owned(), written(entry));
    }
}

/// A figure as it was written; one that came out of a titration with all its digits.
fn written(entry: &Entry) -> Value {
    if entry.notation.is_some() {
        return json!(entry.write());
    }
    let number = |canonical: f64| tidy(entry.subject.in_default_unit(canonical));
    json!({"value": number(entry.figure.middle()), "sd": entry.sd.map(number)})
}
