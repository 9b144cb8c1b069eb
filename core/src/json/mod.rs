//! The documents of the loop as JSON: parsing that finds every mistake, a reader that collects all problems of a
//! document, and JSON Schemas drawn from the same reader, so that the two cannot drift apart.

mod bench;
mod brew_day;
mod brewhouse;
mod ends;
mod equilibrium;
mod ion_fit;
mod kind;
mod malt;
mod names;
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
mod water_report;
mod written;

pub use crate::naming::Name;
pub use names::{error_codes, examples, finding_codes, names, tank_finding_codes};
pub use parse::{Document, MAX_BYTES, MAX_DEPTH, parse};
pub use problems::Problems;
use read_back::read_back;
pub use reader::ObjectReader;

use serde_json::Value;

use crate::error::{Code, InputError, Problem};
use crate::fit::FitError;
use crate::fit::PlanError;
use crate::plan::{FittedIons, Plan};
use crate::quantity::significant;
use crate::readings::diagnosis::DiagnosisDocument;
use crate::recipe::{BrewDay, IonFit};
use crate::speciation::EquilibriumDocument;
use crate::tank::{TankDay, TankLedger};
use crate::water_report::{Water, WaterReport};

/// Reads a document: parses the text, lets `body` ask for its keys, and refuses the keys it did not ask for.
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
    let document = parse(text)?;
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

impl BrewDay {
    /// Reads a `brew-day` document.
    ///
    /// # Errors
    /// Every problem of the document at once.
    ///
    /// ```
    /// use underlet::recipe::BrewDay;
    /// let error = BrewDay::from_json(r#"{"underlet": 1, "name": "Ebb", "grits": []}"#).unwrap_err();
    /// let grits = error.problems.iter().find(|problem| problem.path == "grits").unwrap();
    /// assert!(grits.hint.starts_with("Did you mean \"grist\"?"));
    /// ```
    pub fn from_json(text: &str) -> Result<BrewDay, InputError> {
        read(text, brew_day::brew_day)
    }
}

impl Plan {
    /// Reads a `plan` document that the engine wrote.
    ///
    /// # Errors
    /// Text that is not a `plan` document; else the first misfit alone, with its path: a key that is
    /// missing or unknown, or a value of another kind or beyond what a plan can have.
    ///
    /// ```
    /// use underlet::plan::Plan;
    /// use underlet::recipe::EXAMPLES;
    /// let plan = underlet::json::plan(EXAMPLES[0].1)?;
    /// assert_eq!(Plan::from_json(&plan.to_json()), Ok(plan));
    /// # Ok::<(), underlet::error::InputError>(())
    /// ```
    pub fn from_json(text: &str) -> Result<Plan, InputError> {
        let Document { value, duplicates } = parse(text)?;
        let mut problems = Problems::new();
        for problem in duplicates {
            problems.push(problem);
        }
        // The other problems of another kind of document would only distract.
        let kind = ObjectReader::root(&value, &mut problems).and_then(|mut reader| {
            reader.version("underlet", u64::from(crate::FORMAT_VERSION));
            reader.choice("document", &[("plan", &[])])
        });
        if kind.is_none() {
            problems.amend_last("document", no_plan_document);
        }
        problems.into_result(kind)?;
        read_back(&value).map_err(|problem| InputError {
            problems: vec![problem],
        })
    }

    /// The plan document as compact JSON: the same bytes for the same day in every language.
    pub fn to_json(&self) -> String {
        // A plan holds only finite numbers, texts and lists, which always serialise.
        serde_json::to_string(self).unwrap_or_default()
    }
}

/// Plans a brew day: `brew-day` document in, plan out.
///
/// # Errors
/// Every problem of the document at once.
pub fn plan(day: &str) -> Result<Plan, InputError> {
    let day = BrewDay::from_json(day)?;
    day.plan()
        .map_err(|error| no_day(&error, ["", "targets.limits"]))
}

/// The printable sheet of a plan: `plan` document in, a whole HTML page out, the same bytes as
/// [`Plan::to_sheet`] of the plan that wrote the document.
///
/// # Errors
/// Those of [`Plan::from_json`].
///
/// ```
/// use underlet::recipe::EXAMPLES;
/// use underlet::json;
/// let plan = json::plan(EXAMPLES[0].1)?;
/// assert_eq!(json::sheet(&plan.to_json())?, plan.to_sheet());
///
/// let error = json::sheet(&plan.to_json().replace("\"step\":1,", "")).unwrap_err();
/// assert_eq!(error.problems[0].path, "additions[0].step");
/// # Ok::<(), underlet::error::InputError>(())
/// ```
pub fn sheet(plan: &str) -> Result<String, InputError> {
    Ok(Plan::from_json(plan)?.to_sheet())
}

/// Says of a document that it is no plan.
fn no_plan_document(problem: &mut Problem) {
    let found = match problem.code {
        Code::MissingKey => "a document without \"document\"".to_owned(),
        _ => format!("a {} document", problem.found),
    };
    *problem = Problem {
        code: problem.code,
        path: std::mem::take(&mut problem.path),
        found,
        expected: "a plan document".to_owned(),
        hint: "Give the plan as the engine wrote it.".to_owned(),
    };
}

/// What is said of a day without a plan: which hard limit would have to give way least, if one is in the way. With the paths of the
/// day and of its limits.
fn no_day(error: &PlanError, [day, limits]: [&str; 2]) -> InputError {
    let (of, most, least) = match error {
        PlanError::Fit(FitError::Infeasible { of, most, least }) => (of, most, least),
        PlanError::Input(error) => return error.clone().within(day),
        _ => return no_plan("day", day),
    };
    let digits = |mg_per_l: f64| significant(mg_per_l, 4);
    let problem = Problem {
        code: Code::Contradiction,
        path: limits.to_owned(),
        found: format!("{} of {} mg/L at most", of.key(), digits(*most)),
        // Rounded up, so that it would do.
        expected: format!("at least {} mg/L", digits(least * 1.0005)),
        hint: "Raise that limit, or add a purer source.".to_owned(),
    };
    InputError {
        problems: vec![problem],
    }
}

/// What is said of a day or a fit, or of the part of a document that holds it, where each amount makes sense and all of them do not.
fn no_plan(of: &str, path: &str) -> InputError {
    let problem = Problem {
        code: Code::NoPlan,
        path: path.to_owned(),
        found: format!("a {of} whose parts each make sense"),
        expected: "amounts that fit into one plan".to_owned(),
        hint: "Look for one amount, range or weight far larger or smaller than the others."
            .to_owned(),
    };
    InputError {
        problems: vec![problem],
    }
}

impl IonFit {
    /// Reads an `ion-fit` document.
    ///
    /// # Errors
    /// Every problem of the document at once.
    pub fn from_json(text: &str) -> Result<IonFit, InputError> {
        read(text, ion_fit::ion_fit)
    }
}

impl FittedIons {
    /// The document as compact JSON: the same bytes for the same fit in every language.
    pub fn to_json(&self) -> String {
        // It holds only finite numbers, texts and lists, which always serialise.
        serde_json::to_string(self).unwrap_or_default()
    }
}

impl DiagnosisDocument {
    /// The document as compact JSON: the same bytes for the same readings in every language.
    pub fn to_json(&self) -> String {
        // It holds only finite numbers, texts and lists, which always serialise.
        serde_json::to_string(self).unwrap_or_default()
    }
}

/// Fits ions alone, without a mash: `ion-fit` document in, what to weigh and the water that results out.
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
        .map_err(|error| match error {
            PlanError::Input(error) => error,
            _ => no_plan("fit", ""),
        })
}

/// What the readings of a brew day say: `readings` document in, diagnosis out.
///
/// # Errors
/// Every problem of the document at once; where it has none, every reading that the day does not predict.
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
    let (day, read) = read(document, readings::readings)?;
    let checks = day
        .diagnostics()
        .map_err(|error| no_day(&error, ["brew_day", "brew_day.targets.limits"]))?;
    let problems = readings::not_predicted(&read, checks.readings(), &day.brewhouse.meters);
    match checks.diagnose(&read) {
        Ok(diagnosis) if problems.is_empty() => Ok(diagnosis.document(&day.name)),
        _ => Err(InputError { problems }),
    }
}

impl WaterReport {
    /// Reads a `water-report` document.
    ///
    /// # Errors
    /// Every problem of the document at once. Values that contradict each other are findings, not problems.
    ///
    /// ```
    /// use underlet::water_report::{Subject, WaterReport};
    /// let text = r#"{"underlet": 1, "name": "well", "hardness": "14 °dH", "alkalinity": "180-220 mg/L as CaCO3"}"#;
    /// let report = WaterReport::from_json(text)?;
    /// assert_eq!(report.entry(Subject::Hardness).unwrap().write(), "14 °dH");
    /// # Ok::<(), underlet::error::InputError>(())
    /// ```
    pub fn from_json(text: &str) -> Result<WaterReport, InputError> {
        read(text, water_report::water_report)
    }

    /// The report as a `water-report` document again, every figure in the notation it came in.
    pub fn to_json(&self) -> String {
        water_report::document(self).to_string()
    }
}

impl Water {
    /// The document as compact JSON: the same bytes for the same report in every language.
    pub fn to_json(&self) -> String {
        // It holds only finite numbers, texts and lists, which always serialise.
        serde_json::to_string(self).unwrap_or_default()
    }
}

/// Looks at a water report: `water-report` document in, its entries, what is odd about them and, with the bench where there is
/// one, what the water is today out.
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

impl TankDay {
    /// Reads a `tank-day` document.
    ///
    /// # Errors
    /// Every problem of the document at once.
    pub fn from_json(text: &str) -> Result<TankDay, InputError> {
        read(text, tank_day::tank_day)
    }
}

impl TankLedger {
    /// The document as compact JSON: the same bytes for the same day in every language.
    pub fn to_json(&self) -> String {
        // It holds only finite numbers, texts and lists, which always serialise.
        serde_json::to_string(self).unwrap_or_default()
    }
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
///   "supplies": [{"name": "well", "calcium": 110, "alkalinity": 260, "ph": 7.3, "temperature": "12 °C"}],
///   "lines": [
///     {"work": "fill", "supply": "well", "volume": "10 hL"},
///     {"work": "heat", "temperature": "78 °C", "hours": "3 h", "label": "timer"},
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

impl EquilibriumDocument {
    /// The document as compact JSON: the same bytes for the same question in every language.
    pub fn to_json(&self) -> String {
        // It holds only finite numbers and texts, which always serialise.
        serde_json::to_string(self).unwrap_or_default()
    }
}

/// The equilibrium of one water: its ions, its temperature and two of `alkalinity`, `ph`,
/// `total_carbon` and `log10_pco2` in; pH, carbon, saturation, conductivity and species out.
///
/// # Errors
/// Every problem of the object at once; where it has none, values that contradict each other.
///
/// ```
/// let well = r#"{"calcium": "110 mg/L", "alkalinity": "14.6 °dH", "ph": 7.3}"#;
/// let answer = underlet::json::equilibrium(well)?;
/// assert!(answer.saturation_indices["calcite"] > 0.0);
///
/// let error = underlet::json::equilibrium(r#"{"ph": 15}"#).unwrap_err();
/// let paths: Vec<_> = error.problems.iter().map(|problem| problem.path.as_str()).collect();
/// assert_eq!(paths, ["ph", "alkalinity"]);
/// # Ok::<(), underlet::error::InputError>(())
/// ```
pub fn equilibrium(water: &str) -> Result<EquilibriumDocument, InputError> {
    let known = read(water, |of| Some(equilibrium::known(of)))?;
    let solved = known.speciate().map_err(|problem| InputError {
        problems: vec![problem],
    })?;
    Ok(solved.document())
}

/// JSON Schema of what [`equilibrium()`] takes.
pub fn equilibrium_input_schema() -> Value {
    schema("equilibrium-input", |of| Some(equilibrium::known(of)))
}

/// JSON Schema of the `tank-day` document.
pub fn tank_day_schema() -> Value {
    schema("tank-day", tank_day::tank_day)
}

/// JSON Schema of the `water-report` document.
pub fn water_report_schema() -> Value {
    schema("water-report", water_report::water_report)
}

/// JSON Schema of the `readings` document.
pub fn readings_schema() -> Value {
    schema("readings", readings::readings)
}

/// JSON Schema of the `brew-day` document.
pub fn brew_day_schema() -> Value {
    schema("brew-day", brew_day::brew_day)
}

/// JSON Schema of the `ion-fit` document.
pub fn ion_fit_schema() -> Value {
    schema("ion-fit", ion_fit::ion_fit)
}

#[cfg(test)]
mod tests;
