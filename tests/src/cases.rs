//! The shared cases: a folder of JSON files that Rust, Python and JavaScript all run.
//!
//! A file holds one case: `name`, `source`, the day as `day` (JSON) or `day_text` (any text), a water report as `report`, a day
//! with what was read on it as `readings`, a day of the tank as `tank`, or a fit of ions as `fit`; and either `problems` (code
//! and path of each, in order) with their `messages`, or `plan_file`, `water_file`, `diagnosis_file`, `tank_file` or
//! `fitted_file`, the answer byte for byte.

use std::fs;
use std::path::{Path, PathBuf};

use serde::{Deserialize, Serialize};
use serde_json::Value;
use underlet::error::InputError;
use underlet::json;

/// A shared case.
#[derive(Clone, Debug, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Case {
    /// What it is about, in plain words.
    pub name: String,
    /// Where its numbers and its answer come from.
    pub source: String,
    /// The day as JSON.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub day: Option<Value>,
    /// The day as text that need not be JSON.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub day_text: Option<String>,
    /// A water report as JSON, in place of a day.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub report: Option<Value>,
    /// A fit of ions as JSON, in place of a day.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub fit: Option<Value>,
    /// Readings as JSON, with their day, in place of a day.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub readings: Option<Value>,
    /// A day of the tank as JSON, in place of a day.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub tank: Option<Value>,
    /// The problems that it must be refused for, in order.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub problems: Option<Vec<Told>>,
    /// Each problem in words.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub messages: Option<Vec<String>>,
    /// The file that holds its plan.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub plan_file: Option<String>,
    /// The file that holds what is said about its water report.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub water_file: Option<String>,
    /// The file that holds its fitted ions.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub fitted_file: Option<String>,
    /// The file that holds what its readings say.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub diagnosis_file: Option<String>,
    /// The file that holds the ledger of its tank.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub tank_file: Option<String>,
}

/// Code and path of a problem.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Told {
    /// The stable code.
    pub code: String,
    /// The path of the field.
    pub path: String,
}

impl Case {
    /// The text that is handed to the engine.
    ///
    /// # Errors
    /// When the case gives nothing, or two things.
    pub fn text(&self) -> Result<String, String> {
        let documents = [
            &self.day,
            &self.report,
            &self.readings,
            &self.tank,
            &self.fit,
        ];
        let mut documents = documents.into_iter().flatten();
        match (documents.next(), documents.next(), &self.day_text) {
            (Some(document), None, None) => Ok(document.to_string()),
            (None, None, Some(text)) => Ok(text.clone()),
            _ => Err(format!(
                "{}: give one of day, day_text, report, readings, tank and fit",
                self.name
            )),
        }
    }

    /// The engine's answer: a plan, what is said about a water report or about readings, a tank's ledger, or fitted ions.
    ///
    /// # Errors
    /// Every problem of the document.
    ///
    /// # Panics
    /// When the case gives nothing, or two things.
    pub fn answer(&self) -> Result<String, InputError> {
        let text = self.text().unwrap_or_else(|error| panic!("{error}"));
        if self.report.is_some() {
            json::water(&text).map(|water| water.to_json())
        } else if self.fit.is_some() {
            json::fit_ions(&text).map(|fitted| fitted.to_json())
        } else if self.readings.is_some() {
            json::check(&text).map(|diagnosis| diagnosis.to_json())
        } else if self.tank.is_some() {
            json::tank(&text).map(|ledger| ledger.to_json())
        } else {
            json::plan(&text).map(|plan| plan.to_json())
        }
    }

    /// The file that holds its answer, where it has one.
    pub fn answer_file(&self) -> Option<&str> {
        let files = [
            &self.plan_file,
            &self.water_file,
            &self.diagnosis_file,
            &self.tank_file,
            &self.fitted_file,
        ];
        files.into_iter().flatten().map(String::as_str).next()
    }
}

/// Endings of the files that hold answers.
pub const ANSWERS: [&str; 5] = [
    ".plan.json",
    ".water.json",
    ".diagnosis.json",
    ".tank.json",
    ".fitted.json",
];

/// The folder of the cases.
pub fn folder() -> PathBuf {
    Path::new(env!("CARGO_MANIFEST_DIR")).join("cases")
}

/// Every case with its file name, in the order of the names.
///
/// # Errors
/// The first file that cannot be read as a case.
pub fn read_all() -> Result<Vec<(String, Case)>, String> {
    let entries = fs::read_dir(folder()).map_err(|error| error.to_string())?;
    let mut cases = Vec::new();
    for entry in entries {
        let path = entry.map_err(|error| error.to_string())?.path();
        let name = path
            .file_name()
            .unwrap_or_default()
            .to_string_lossy()
            .into_owned();
        let is_json = path.extension().is_some_and(|ending| ending == "json");
        if !is_json || ANSWERS.iter().any(|ending| name.ends_with(ending)) {
            continue;
        }
        let text = fs::read_to_string(&path).map_err(|error| format!("{name}: {error}"))?;
        let case = serde_json::from_str(&text).map_err(|error| format!("{name}: {error}"))?;
        cases.push((name, case));
    }
    cases.sort_by(|(a, _), (b, _)| a.cmp(b));
    Ok(cases)
}
