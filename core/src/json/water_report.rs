//! Reads a `water-report` document, and writes it back.

use serde_json::{Map, Value, json};

use super::ObjectReader;
use super::bench::bench;
use super::water::figures;
use crate::document::DocumentKind;
use crate::quantity::tidy;
use crate::water_report::{Entry, WaterReport};

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
    let water = figures(report);
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
        bench: bench.map(Box::new),
        ..water
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
    let attached = &report.attached;
    put("underlet", Some(json!(crate::FORMAT_VERSION)));
    put("id", attached.id.as_ref().map(|id| json!(id)));
    put("note", attached.note.as_ref().map(|note| json!(note)));
    for (key, value) in attached.extra() {
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
