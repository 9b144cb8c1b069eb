//! The documents of the loop as JSON: parsing that finds every mistake, a reader that collects all
//! problems of a document, and JSON Schemas drawn from the same reader, so that the two cannot
//! drift apart.

mod bench;
mod brew_day;
mod brewhouse;
mod curve;
mod ends;
mod equilibrium;
mod family;
mod input;
mod ion_fit;
mod kind;
mod malt;
mod names;
mod output;
pub mod pages;
mod parse;
mod path;
mod problems;
mod read_back;
mod reader;
mod readings;
mod shelf;
mod sketch;
mod source;
mod stated;
mod tank_day;
mod targets;
mod today_liquor;
mod unplanned;
mod water;
mod water_report;
mod writer;
mod written;

pub use crate::naming::Name;
pub use names::{codes, examples, names};
pub use output::input_error_schema;
use output::other_kind;
pub use parse::{Document, MAX_BYTES, MAX_DEPTH, parse};
pub use problems::Problems;
pub use reader::ObjectReader;

use serde_json::Value;

use self::readings::CheckedDay;
use self::unplanned::Unplanned;
use crate::document::DocumentKind;
use crate::error::InputError;
use crate::plan::{FittedIons, Plan};
use crate::readings::correction::{self, Corrector};
use crate::readings::diagnosis::DiagnosisDocument;
use crate::recipe::{BrewDay, IonFit};
use crate::speciation::EquilibriumDocument;
use crate::tank::{TankDay, TankLedger};
use crate::water_report::{Water, WaterReport};

/// Reads a document: parses the text, lets `body` ask for its keys, and refuses the keys it did not
/// ask for.
///
/// # Errors
/// Every problem of the text, in the order in which `body` asks.
///
/// ```
/// use underlet::json;
/// use underlet::quantity::{LIQUOR_VOLUME, TEMPERATURE};
///
/// let body = |r: &mut json::ObjectReader<'_>| {
///     r.version("underlet", 1);
///     let volume = r.quantity("volume", &LIQUOR_VOLUME);
///     let temperature = r.optional_quantity("temperature", &TEMPERATURE);
///     Some((volume?, temperature))
/// };
/// assert_eq!(json::read(r#"{"underlet": 1, "volume": "6.5 hL"}"#, body), Ok((650.0, None)));
///
/// let error = json::read(r#"{"underlet": 1, "volume": "10 bbl", "temprature": 66}"#, body).unwrap_err();
/// let codes: Vec<_> = error.problems.iter().map(|problem| problem.code.as_str()).collect();
/// assert_eq!(codes, ["wrong_unit", "unknown_key"]);
/// ```
pub fn read<T>(
    text: &str,
    body: impl FnOnce(&mut ObjectReader<'_>) -> Option<T>,
) -> Result<T, InputError> {
    read_parsed(parse(text)?, body)
}

/// The same of a kind of document: one of another kind is refused in one sentence.
fn read_as<T>(
    kind: DocumentKind,
    text: &str,
    body: impl FnOnce(&mut ObjectReader<'_>) -> Option<T>,
) -> Result<T, InputError> {
    let document = parse(text)?;
    match other_kind(&document.value, kind) {
        Some(problem) => Err(problem.into()),
        None => read_parsed(document, body),
    }
}

fn read_parsed<T>(
    document: Document,
    body: impl FnOnce(&mut ObjectReader<'_>) -> Option<T>,
) -> Result<T, InputError> {
    let mut problems = Problems::new();
    document
        .duplicates
        .into_iter()
        .for_each(|problem| problems.push(problem));
    let value = ObjectReader::root(&document.value, &mut problems).and_then(|mut reader| {
        let value = body(&mut reader);
        reader.finish();
        value
    });
    problems.into_result(value)
}

/// The JSON Schema (draft 2020-12) of the document that `body` reads.
pub fn schema<T>(title: &str, body: impl FnOnce(&mut ObjectReader<'_>) -> Option<T>) -> Value {
    let mut sketch = sketch::Sketch::default();
    let mut problems = Problems::new();
    body(&mut ObjectReader::sketching(&mut sketch, &mut problems));
    sketch.into_document(title)
}

fn schema_as<T>(
    kind: DocumentKind,
    body: impl FnOnce(&mut ObjectReader<'_>) -> Option<T>,
) -> Value {
    let mut schema = schema(kind.as_str(), body);
    schema["$id"] = kind.schema_id().into();
    schema
}

/// Reads a `brew-day` document; see [`BrewDay::from_json`].
pub(crate) fn read_brew_day(text: &str) -> Result<BrewDay, InputError> {
    read_as(DocumentKind::BrewDay, text, brew_day::brew_day)
}

/// The `brew-day` document of a day; see [`BrewDay::to_json`].
pub(crate) fn write_brew_day(day: &BrewDay) -> Result<Value, InputError> {
    day.check()?;
    let document = Value::from(brew_day::write_brew_day(day)?);
    read_brew_day(&document.to_string()).map(|_| document)
}

/// Plans a brew day: `brew-day` document in, plan out.
///
/// # Errors
/// Every problem of the document at once.
pub fn plan(day: &str) -> Result<Plan, InputError> {
    let day = BrewDay::from_json(day)?;
    day.plan().map_err(|error| Unplanned::DAY.because(&error))
}

/// The printable sheet of a plan: `plan` document in, a whole HTML page out, the same bytes as
/// [`Plan::to_html`] of the plan that wrote the document.
///
/// # Errors
/// Those of [`Plan::from_json`].
///
/// ```
/// use underlet::recipe::EXAMPLES;
/// use underlet::json;
/// let plan = json::plan(EXAMPLES[0].1)?;
/// assert_eq!(json::render_sheet(&plan.to_json())?, plan.to_html());
///
/// let error = json::render_sheet(&plan.to_json().replace("\"step\":1,", "")).unwrap_err();
/// assert_eq!(error.problems[0].path, "additions[0].step");
/// # Ok::<(), underlet::error::InputError>(())
/// ```
pub fn render_sheet(plan: &str) -> Result<String, InputError> {
    Ok(Plan::from_json(plan)?.to_html())
}

/// Reads an `ion-fit` document; see [`IonFit::from_json`].
pub(crate) fn read_ion_fit(text: &str) -> Result<IonFit, InputError> {
    read_as(DocumentKind::IonFit, text, ion_fit::ion_fit)
}

/// The `ion-fit` document of a fit; see [`IonFit::to_json`].
pub(crate) fn write_ion_fit(fit: &IonFit) -> Result<Value, InputError> {
    fit.check()?;
    let document = Value::from(ion_fit::write_ion_fit(fit)?);
    read_ion_fit(&document.to_string()).map(|_| document)
}

/// Reads a `water-report` document; see [`WaterReport::from_json`].
pub(crate) fn read_water_report(text: &str) -> Result<WaterReport, InputError> {
    read_as(DocumentKind::WaterReport, text, water_report::water_report)
}

/// The `water-report` document of a report; see [`WaterReport::to_json`].
pub(crate) fn write_water_report(report: &WaterReport) -> Value {
    Value::from(water_report::write_water_report(report))
}

/// Reads a `tank-day` document; see [`TankDay::from_json`].
pub(crate) fn read_tank_day(text: &str) -> Result<TankDay, InputError> {
    read_as(DocumentKind::TankDay, text, tank_day::tank_day)
}

/// Fits ions alone, without a mash: `ion-fit` document in, what to weigh and the water that results
/// out.
///
/// # Errors
/// Every problem of the document at once.
///
/// ```
/// let fit = r#"{"underlet": 1, "source": {"name": "rain", "alkalinity": 0, "ph": 5.6}, "volume": "1000 L",
///     "targets": {"calcium": "50-70 mg/L", "sulfate": "at least 60 mg/L", "chloride": "at least 40 mg/L"},
///     "shelf": [{"reagent": "gypsum"}, {"reagent": "calcium chloride dihydrate"}]}"#;
/// let solve = underlet::json::fit_ions(fit)?;
/// assert!(solve.meets_every_range);
/// assert_eq!(solve.fit.gap, 0.0);
/// # Ok::<(), underlet::error::InputError>(())
/// ```
pub fn fit_ions(fit: &str) -> Result<FittedIons, InputError> {
    IonFit::from_json(fit)?
        .solve()
        .map_err(|error| Unplanned::FIT.because(&error))
}

/// What the readings of a brew day say: `readings` document in, diagnosis out.
///
/// # Errors
/// Every problem of the document at once; where it has none, every reading that the day does not
/// predict.
///
/// ```
/// use underlet::recipe::EXAMPLES;
/// let readings = r#"[{"known": 7, "meter": "ph", "value": "7.02"}, {"place": "mash", "meter": "ph", "value": "pH 5.42"}]"#;
/// let document = format!(r#"{{"underlet": 1, "brew_day": {}, "readings": {readings}}}"#, EXAMPLES[0].1);
/// let diagnosis = underlet::json::diagnose(&document)?;
/// assert_eq!(diagnosis.verdict, "as_expected");
/// # Ok::<(), underlet::error::InputError>(())
/// ```
pub fn diagnose(document: &str) -> Result<DiagnosisDocument, InputError> {
    diagnosed(read_as(
        DocumentKind::Readings,
        document,
        readings::readings,
    )?)
}

fn diagnosed(given: CheckedDay) -> Result<DiagnosisDocument, InputError> {
    let (day, read) = (&given.day, &given.readings);
    let unplanned = Unplanned::DAY_THAT_WAS_READ;
    let corrector = Corrector::of(day).map_err(|error| unplanned.because(&error))?;
    let checks = corrector.diagnostics(read);
    let checks = checks.map_err(|error| unplanned.because(&error))?;
    let problems = readings::refused(read, checks.readings(), &day.brewhouse.meters);
    if !problems.is_empty() {
        return Err(InputError::of(problems));
    }
    let since = given.given_since.as_deref();
    let diagnosis = checks
        .diagnose(&correction::comparable(read, since))
        .map_err(|error| readings::no_diagnosis(&error, unplanned))?;
    let corrections = corrector.corrections(read, since, Some(&diagnosis));
    let document = diagnosis.document(&day.name);
    let mut document = document.with_corrections(day, &corrections);
    let runnings = corrector.runnings(&given.runnings, read, since);
    document.runnings = runnings.iter().map(|one| one.document(day)).collect();
    document.head.attached = given.attached;
    Ok(document)
}

/// Examines a water report: `water-report` document in, its entries, findings and,
/// with the bench where there is one, what the water is today out.
///
/// # Errors
/// Every problem of the document at once.
///
/// ```
/// let text = r#"{"underlet": 1, "name": "well", "sampled": "2024-05-02", "today": "2026-01-07", "calcium": "80 mg/L"}"#;
/// let water = underlet::json::water(text)?;
/// assert_eq!(water.entries[0].display, "80 mg/L");
/// assert!(water.findings.iter().any(|finding| finding.code.as_str() == "report_old"));
/// # Ok::<(), underlet::error::InputError>(())
/// ```
pub fn water(report: &str) -> Result<Water, InputError> {
    Ok(Water::of(&WaterReport::from_json(report)?))
}

/// Works a day of the liquor tank through: `tank-day` document in, its ledger out.
///
/// # Errors
/// Every problem of the document at once; of one that can be read, every line that cannot be.
///
/// ```
/// let text = r#"{
///   "underlet": 1, "name": "Monday",
///   "tank": {"capacity": "12 hL", "dead_volume": "60 L"},
///   "supplies": [{"name": "well", "calcium": 110, "alkalinity": 260, "ph": 7.3, "inlet_temperature": "12 °C"}],
///   "lines": [
///     {"work": "fill", "supply": "well", "volume": "10 hL"},
///     {"work": "heat", "temperature": "78 °C", "duration": "3 h", "label": "timer"},
///     {"work": "draw", "volume": "400 L", "to": "mash", "label": "strike"}
///   ]
/// }"#;
/// let ledger = underlet::json::tank(text)?;
/// // 1000 L at 12 °C are 999.5 kg.
/// assert!((ledger.lines[0].water_kg - 999.5).abs() < 0.1);
/// let strike = ledger.lines[2].drawn.as_ref().unwrap();
/// assert!(strike.liquor.amounts.iter().any(|amount| amount.key == "inorganic_carbon"));
/// # Ok::<(), underlet::error::InputError>(())
/// ```
pub fn tank(day: &str) -> Result<TankLedger, InputError> {
    TankDay::from_json(day)?.ledger()
}

/// The equilibrium of one water: its ions, its temperature and two of `alkalinity`, `ph`,
/// `total_carbon` and `log10_pco2` in; pH, carbon, saturation, conductivity and species out.
///
/// # Errors
/// Every problem of the object at once; where it has none, values that contradict each other.
///
/// ```
/// let well = r#"{"calcium": "110 mg/L", "alkalinity": "14.6 °dH", "ph": 7.3}"#;
/// let state = underlet::json::equilibrium(well)?;
/// assert!(state.saturation_indices["calcite"] > 0.0);
///
/// let error = underlet::json::equilibrium(r#"{"ph": 15}"#).unwrap_err();
/// let paths: Vec<_> = error.problems.iter().map(|problem| problem.path.as_str()).collect();
/// assert_eq!(paths, ["ph", "alkalinity"]);
/// # Ok::<(), underlet::error::InputError>(())
/// ```
pub fn equilibrium(water: &str) -> Result<EquilibriumDocument, InputError> {
    let (attached, known) = read_as(DocumentKind::EquilibriumInput, water, |of| {
        Some(equilibrium::known(of))
    })?;
    let mut document = known.speciate()?.document();
    document.head.attached = attached;
    Ok(document)
}

/// Checks a document without computing anything: the text is read, and every value is checked.
///
/// What only the computation finds is not reported: a day that cannot be planned, readings that
/// the day does not predict, lines of a tank's day that cannot be done.
///
/// # Errors
/// Every problem of a document that people write; the first misfit of one that the engine wrote.
///
/// ```
/// use underlet::DocumentKind;
/// use underlet::json;
/// use underlet::recipe::EXAMPLES;
///
/// let (_, day) = EXAMPLES[0];
/// assert_eq!(json::validate(DocumentKind::BrewDay, day), Ok(()));
///
/// let plan = json::plan(day)?.to_json();
/// let error = json::validate(DocumentKind::BrewDay, &plan).unwrap_err();
/// let [problem] = error.problems.as_slice() else { panic!("one sentence") };
/// assert_eq!((problem.found.as_str(), problem.expected.as_str()), ("a \"plan\" document", "a \"brew-day\" document"));
/// # Ok::<(), underlet::error::InputError>(())
/// ```
pub fn validate(kind: DocumentKind, text: &str) -> Result<(), InputError> {
    match kind {
        DocumentKind::BrewDay => read_as(kind, text, brew_day::brew_day).map(drop),
        DocumentKind::WaterReport => read_as(kind, text, water_report::water_report).map(drop),
        DocumentKind::Readings => read_as(kind, text, readings::readings).map(drop),
        DocumentKind::TankDay => read_as(kind, text, tank_day::tank_day).map(drop),
        DocumentKind::IonFit => read_as(kind, text, ion_fit::ion_fit).map(drop),
        DocumentKind::EquilibriumInput => {
            read_as(kind, text, |of| Some(equilibrium::known(of))).map(drop)
        }
        DocumentKind::Plan => Plan::from_json(text).map(drop),
        DocumentKind::Water => Water::from_json(text).map(drop),
        DocumentKind::Diagnosis => DiagnosisDocument::from_json(text).map(drop),
        DocumentKind::TankLedger => TankLedger::from_json(text).map(drop),
        DocumentKind::FittedIons => FittedIons::from_json(text).map(drop),
        DocumentKind::Equilibrium => EquilibriumDocument::from_json(text).map(drop),
    }
}

/// The JSON Schema (draft 2020-12) of a kind of document.
///
/// ```
/// use underlet::{DocumentKind, json};
/// assert_eq!(json::schema_of(DocumentKind::Plan)["$id"], "urn:underlet:schema:plan:1");
/// ```
pub fn schema_of(kind: DocumentKind) -> Value {
    match kind {
        DocumentKind::BrewDay => schema_as(kind, brew_day::brew_day),
        DocumentKind::WaterReport => schema_as(kind, water_report::water_report),
        DocumentKind::Readings => schema_as(kind, readings::readings),
        DocumentKind::TankDay => schema_as(kind, tank_day::tank_day),
        DocumentKind::IonFit => schema_as(kind, ion_fit::ion_fit),
        DocumentKind::EquilibriumInput => schema_as(kind, |of| Some(equilibrium::known(of))),
        DocumentKind::Plan => output::schema::<Plan>(),
        DocumentKind::Water => output::schema::<Water>(),
        DocumentKind::Diagnosis => output::schema::<DiagnosisDocument>(),
        DocumentKind::TankLedger => output::schema::<TankLedger>(),
        DocumentKind::FittedIons => output::schema::<FittedIons>(),
        DocumentKind::Equilibrium => output::schema::<EquilibriumDocument>(),
    }
}

#[cfg(test)]
mod tests;
