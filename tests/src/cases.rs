//! The cases: documents that Rust, Python and JavaScript all hand to the engine, each with the
//! answer it must give.
//!
//! `tests/cases` has a folder for each kind of document. A case `NAME.json` holds its `name`, the
//! `source` of its numbers and the `document`; what the engine answers, byte for byte, lies beside
//! it in `NAME.answer.json`. The cases in `refused/` are in the same folders again: they have
//! `problems` (code and path of each, in order) and their `messages` instead of an answer, and may
//! have a `text` that need not be JSON instead of a document.

use std::path::{Path, PathBuf};
use std::{fs, io};

use serde::{Deserialize, Serialize};
use serde_json::Value;
use underlet::error::InputError;
use underlet::json;

/// A kind of document, by the folder of its cases.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Kind {
    /// A brew day, which is planned.
    BrewDay,
    /// A water report, whose water is looked at.
    WaterReport,
    /// Readings with their brew day, which are checked.
    Readings,
    /// A day of the tank, which is worked through.
    TankDay,
    /// A fit of ions alone.
    IonFit,
    /// One water by numbers, whose equilibrium is asked.
    Equilibrium,
}

impl Kind {
    /// All of them.
    pub const ALL: [Kind; 6] = [
        Kind::BrewDay,
        Kind::WaterReport,
        Kind::Readings,
        Kind::TankDay,
        Kind::IonFit,
        Kind::Equilibrium,
    ];

    /// The name of its folder.
    pub fn folder(self) -> &'static str {
        match self {
            Kind::BrewDay => "brew-day",
            Kind::WaterReport => "water-report",
            Kind::Readings => "readings",
            Kind::TankDay => "tank-day",
            Kind::IonFit => "ion-fit",
            Kind::Equilibrium => "equilibrium",
        }
    }

    /// The engine's answer to a document of this kind.
    ///
    /// # Errors
    /// Every problem of the document.
    pub fn answer(self, text: &str) -> Result<String, InputError> {
        match self {
            Kind::BrewDay => json::plan(text).map(|plan| plan.to_json()),
            Kind::WaterReport => json::water(text).map(|water| water.to_json()),
            Kind::Readings => json::diagnose(text).map(|diagnosis| diagnosis.to_json()),
            Kind::TankDay => json::tank(text).map(|ledger| ledger.to_json()),
            Kind::IonFit => json::fit_ions(text).map(|fitted| fitted.to_json()),
            Kind::Equilibrium => json::equilibrium(text).map(|answer| answer.to_json()),
        }
    }
}

/// A case.
#[derive(Clone, Debug)]
pub struct Case {
    /// What kind of document it holds.
    pub kind: Kind,
    /// Its file.
    pub path: PathBuf,
    /// What the file holds.
    pub content: Content,
}

/// What the file of a case holds.
#[derive(Clone, Debug, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Content {
    /// What it is about, in plain words.
    pub name: String,
    /// Where its numbers and its answer come from.
    pub source: String,
    /// What is handed to the engine, as JSON.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub document: Option<Value>,
    /// The same as a text that need not be JSON.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub text: Option<String>,
    /// The problems that it must be refused for, in order; none where there is an answer.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub problems: Vec<Problem>,
    /// Each problem in words.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub messages: Vec<String>,
}

/// Code and path of a problem.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Problem {
    /// The stable code.
    pub code: String,
    /// The path of the field.
    pub path: String,
}

impl Case {
    /// The text that is handed to the engine.
    ///
    /// # Panics
    /// When the case has neither a document nor a text, or both.
    pub fn text(&self) -> String {
        match (&self.content.document, &self.content.text) {
            (Some(document), None) => document.to_string(),
            (None, Some(text)) => text.clone(),
            _ => panic!("{self}: give either a document or a text"),
        }
    }

    /// The engine's answer.
    ///
    /// # Errors
    /// Every problem of the document.
    pub fn answer(&self) -> Result<String, InputError> {
        self.kind.answer(&self.text())
    }

    /// The answer that is kept beside it.
    ///
    /// # Panics
    /// When there is none.
    pub fn kept_answer(&self) -> String {
        fs::read_to_string(self.answer_path()).unwrap_or_else(|error| panic!("{self}: {error}"))
    }

    /// The file of the answer that is kept beside it.
    pub fn answer_path(&self) -> PathBuf {
        self.path.with_extension(ANSWER)
    }
}

/// Its path within the folder of the cases.
impl std::fmt::Display for Case {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        let path = self.path.strip_prefix(folder()).unwrap_or(&self.path);
        write!(f, "{}", path.display())
    }
}

/// How the name of a kept answer ends, in place of `json`.
const ANSWER: &str = "answer.json";
/// The folder of what is refused.
const REFUSED: &str = "refused";

/// The folder of the cases.
pub fn folder() -> PathBuf {
    Path::new(env!("CARGO_MANIFEST_DIR")).join("cases")
}

/// Every case that is answered, by kind and name.
///
/// # Panics
/// When a file cannot be read as a case: the tests cannot go on without it.
pub fn answered() -> Vec<Case> {
    all_in(&folder())
}

/// Every case that is refused, by kind and name.
///
/// # Panics
/// As [`answered`] does.
pub fn refused() -> Vec<Case> {
    all_in(&folder().join(REFUSED))
}

/// The answered case of a kind and name.
///
/// # Panics
/// As [`answered`] does.
pub fn named(kind: Kind, name: &str) -> Case {
    let path = folder().join(kind.folder()).join(format!("{name}.json"));
    read(kind, path)
}

/// What lies in a folder, in the order of the names.
///
/// # Panics
/// When the folder cannot be read.
pub fn files(folder: &Path) -> Vec<PathBuf> {
    let read = || -> io::Result<Vec<PathBuf>> {
        let entries = fs::read_dir(folder)?;
        entries
            .map(|entry| entry.map(|entry| entry.path()))
            .collect()
    };
    let mut paths = read().unwrap_or_else(|error| panic!("{}: {error}", folder.display()));
    paths.sort();
    paths
}

fn all_in(folder: &Path) -> Vec<Case> {
    let of_kind = |kind: Kind| {
        let mut paths = files(&folder.join(kind.folder()));
        paths.retain(|path| !path.to_string_lossy().ends_with(ANSWER));
        paths.into_iter().map(move |path| read(kind, path))
    };
    Kind::ALL.into_iter().flat_map(of_kind).collect()
}

fn read(kind: Kind, path: PathBuf) -> Case {
    let content = fs::read_to_string(&path)
        .map_err(|error| error.to_string())
        .and_then(|text| serde_json::from_str(&text).map_err(|error| error.to_string()))
        .unwrap_or_else(|error| panic!("{}: {error}", path.display()));
    Case {
        kind,
        path,
        content,
    }
}
