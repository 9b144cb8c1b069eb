//! A source of water, of a brew day, a fit or a tank.

use super::ObjectReader;
use super::today_liquor::{today_liquor, write_liquor};
use super::water::{figures, made, write_figures};
use super::writer::ObjectWriter;
use crate::error::{ErrorCode, Problem, join};
use crate::recipe::Source;
use crate::recipe::check::fields;
use crate::treatment::Chlorine;
use crate::water_report::{Subject, WaterReport};

pub(super) fn source(source: &mut ObjectReader<'_>) -> Option<Source> {
    source.describe("name", "Name of the water, such as \"well\".");
    let name = source.text("name");
    let water = figures(source);
    source.describe(
        "liquor",
        "The liquor of a reconciled water, out of its water document (`reconciled.liquor`), in \
         place of the figures of a report: its uncertainty is part of the error bars.",
    );
    let reconciled = source.optional_object("liquor", today_liquor);
    let is_reconciled = source.has("liquor");
    let [free, total] = [Subject::FreeChlorine, Subject::TotalChlorine]
        .map(|subject| Some(water.middle(subject)? / subject.scale()));
    let chlorine = source.checked("", Chlorine::of_readings(free, total));
    source.describe(
        "max_amount",
        "Most that can be drawn for all brews of the day, cold.",
    );
    let max_amount_l = source.optional_field(fields::MAX_AMOUNT);
    if is_reconciled {
        check_alone(source);
        return Some(Source {
            chlorine: chlorine?,
            // What is wrong with the liquor was reported as it was read.
            ..Source::reconciled(name?, &reconciled?, max_amount_l).ok()?
        });
    }
    Some(Source {
        liquor: made(source, &water, WaterReport::liquor)?,
        name: name?,
        ph_assumed: water.entry(Subject::Ph).is_none(),
        chlorine: chlorine?,
        max_amount_l,
        reconciled: None,
    })
}

/// A reconciled liquor says all of a source's composition; only chlorine goes beside it.
fn check_alone(source: &mut ObjectReader<'_>) {
    let of_composition =
        |subject: &Subject| !matches!(subject, Subject::FreeChlorine | Subject::TotalChlorine);
    let figures = Subject::all().filter(of_composition).map(Subject::key);
    for key in figures.chain(["temperature"]) {
        if source.has(key) {
            source.problem(
                key,
                ErrorCode::Contradiction,
                format!("\"{key}\" beside \"liquor\""),
                "either the liquor of a water document, or the composition itself",
                "Move it into the water report, or delete it.",
            );
        }
    }
}

/// A source that lies at a path of its document.
///
/// # Errors
/// A [`Problem`] where it has no equilibrium, whose pH would be stated.
pub(super) fn write_source(source: &Source, path: &str) -> Result<ObjectWriter, Problem> {
    let mut of = ObjectWriter::default();
    of.put("name", source.name.as_str());
    match source.reconciled_liquor() {
        Some(liquor) => of.object("liquor", write_liquor(&liquor)),
        None => write_figures(&mut of, &source.liquor, source.ph_assumed).map_err(|problem| {
            let path = join(path, &problem.path);
            Problem { path, ..problem }
        })?,
    }
    if source.has_chlorine() {
        let [free, total] = source.chlorine.free_and_total_mg_per_l();
        of.put("free_chlorine", free);
        of.put("total_chlorine", total);
    }
    of.optional_field(fields::MAX_AMOUNT, source.max_amount_l);
    Ok(of)
}
