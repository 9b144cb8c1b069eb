//! A `water-report` document.

use serde_json::{Value, json};

use super::ObjectReader;
use super::bench::bench;
use super::water::figures;
use super::writer::ObjectWriter;
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
pub(super) fn write_water_report(report: &WaterReport) -> ObjectWriter {
    let mut of = ObjectWriter::document(DocumentKind::WaterReport, &report.attached);
    of.put("name", report.name.as_str());
    of.optional("sampled", report.sampled.map(|day| day.to_string()));
    of.optional("today", report.today.map(|day| day.to_string()));
    write_entries(&mut of, report);
    if let Some(bench) = &report.bench {
        let mut readings = ObjectWriter::default();
        write_entries(&mut readings, bench);
        of.object("bench", readings);
    }
    of
}

fn write_entries(of: &mut ObjectWriter, report: &WaterReport) {
    of.optional("temperature", report.temperature_c);
    for entry in &report.entries {
        of.put(entry.subject.key(), written(entry));
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
