//! The shared cases: a folder of JSON files that Rust, Python and JavaScript all run.
//!
//! A file holds one case: `name`, `source`, the day as `day` (JSON) or `day_text` (any text), and either `problems`
//! (code and path of each, in order) with their `messages`, or `plan_file`, the plan byte for byte.

use std::fs;
use std::path::{Path, PathBuf};

use serde::{Deserialize, Serialize};
use serde_json::Value;

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
    /// The problems that it must be refused for, in order.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub problems: Option<Vec<Told>>,
    /// Each problem in words.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub messages: Option<Vec<String>>,
    /// The file that holds its plan.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub plan_file: Option<String>,
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
    /// When the case gives no day, or two.
    pub fn text(&self) -> Result<String, String> {
        match (&self.day, &self.day_text) {
            (Some(day), None) => Ok(day.to_string()),
            (None, Some(text)) => Ok(text.clone()),
            _ => Err(format!("{}: give either day or day_text", self.name)),
        }
    }
}

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
        if !is_json || name.ends_with(".plan.json") {
            continue;
        }
        let text = fs::read_to_string(&path).map_err(|error| format!("{name}: {error}"))?;
        let case = serde_json::from_str(&text).map_err(|error| format!("{name}: {error}"))?;
        cases.push((name, case));
    }
    cases.sort_by(|(a, _), (b, _)| a.cmp(b));
    Ok(cases)
}
