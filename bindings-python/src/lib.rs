//! Underlet for Python: text in, text out, and one call with numbers. It makes no decision and has no chemistry.
//!
//! The Python package around this module turns mappings into text, and texts into a `Plan`.

use std::collections::hash_map::DefaultHasher;
use std::hash::{Hash, Hasher};
use std::str::FromStr;

use pyo3::exceptions::PyValueError;
use pyo3::prelude::*;
use pyo3::types::{PyDict, PyTuple};
use underlet::error::{ErrorCode, InputError};
use underlet::{DocumentKind, EXAMPLES, json};

mod equilibrium;

/// The compiled part of underlet.
#[pymodule(name = "_core")]
mod core_module {
    #[pymodule_export]
    use super::equilibrium::{Equilibrium, equilibrium};
    #[pymodule_export]
    use super::{
        Problem, codes, diagnose, examples, fit_ions, plan, render_sheet, schema, tank,
        targets_for, validate, water,
    };

    /// Version of the engine.
    #[pymodule_export]
    const VERSION: &str = env!("CARGO_PKG_VERSION");
}

/// One thing wrong with an input.
///
/// Attributes
/// ----------
/// code : str
///     Stable short code, one of `underlet.ERROR_CODES`.
/// path : str
///     Where: the field's path, such as ``grist[1].mass``; empty for the whole document.
/// found : str
///     What was found there.
/// expected : str
///     What was expected.
/// hint : str
///     How to fix it.
#[pyclass(frozen, eq, module = "underlet")]
#[derive(PartialEq, Eq)]
struct Problem(underlet::error::Problem);

#[pymethods]
impl Problem {
    #[new]
    fn new(
        code: &str,
        path: String,
        found: String,
        expected: String,
        hint: String,
    ) -> PyResult<Self> {
        let code = ErrorCode::from_key(code)
            .ok_or_else(|| PyValueError::new_err(format!("{code:?} is not an error code")))?;
        Ok(Self(underlet::error::Problem {
            code,
            path,
            found,
            expected,
            hint,
        }))
    }

    #[classattr]
    fn __match_args__() -> (
        &'static str,
        &'static str,
        &'static str,
        &'static str,
        &'static str,
    ) {
        ("code", "path", "found", "expected", "hint")
    }

    #[getter]
    fn code(&self) -> &'static str {
        self.0.code.as_str()
    }

    #[getter]
    fn path(&self) -> &str {
        &self.0.path
    }

    #[getter]
    fn found(&self) -> &str {
        &self.0.found
    }

    #[getter]
    fn expected(&self) -> &str {
        &self.0.expected
    }

    #[getter]
    fn hint(&self) -> &str {
        &self.0.hint
    }

    fn __str__(&self) -> String {
        self.0.to_string()
    }

    fn __repr__(slf: &Bound<'_, Self>) -> PyResult<String> {
        Ok(format!("Problem{}", slf.get().fields(slf.py())?.repr()?))
    }

    fn __hash__(&self) -> u64 {
        let mut hasher = DefaultHasher::new();
        self.parts().hash(&mut hasher);
        hasher.finish()
    }

    fn __reduce__<'py>(
        slf: &Bound<'py, Self>,
    ) -> PyResult<(Bound<'py, PyAny>, Bound<'py, PyTuple>)> {
        Ok((slf.get_type().into_any(), slf.get().fields(slf.py())?))
    }
}

impl Problem {
    fn parts(&self) -> (&str, &str, &str, &str, &str) {
        (
            self.code(),
            self.path(),
            self.found(),
            self.expected(),
            self.hint(),
        )
    }

    fn fields<'py>(&self, py: Python<'py>) -> PyResult<Bound<'py, PyTuple>> {
        self.parts().into_pyobject(py)
    }
}

/// Plan a brew day and render the plan: as JSON, as plain text, as HTML for a notebook, as a sheet to print.
#[pyfunction]
fn plan(py: Python<'_>, day: &str) -> PyResult<(String, String, String, String)> {
    py.detach(|| {
        let plan = json::plan(day)?;
        Ok((
            plan.to_json(),
            plan.to_text(),
            plan.to_html_fragment(),
            plan.to_html(),
        ))
    })
    .map_err(|error| refused(py, error))
}

/// Render the sheet of a saved plan: a plan document in, HTML out.
#[pyfunction]
fn render_sheet(py: Python<'_>, plan: &str) -> PyResult<String> {
    py.detach(|| json::render_sheet(plan))
        .map_err(|error| refused(py, error))
}

/// Check a water report: its entries, figures derived from them and findings, as JSON.
#[pyfunction]
fn water(py: Python<'_>, report: &str) -> PyResult<String> {
    py.detach(|| json::water(report).map(|water| water.to_json()))
        .map_err(|error| refused(py, error))
}

/// Fit ions alone, without a mash: what to weigh and the resulting water, as JSON.
#[pyfunction]
fn fit_ions(py: Python<'_>, fit: &str) -> PyResult<String> {
    py.detach(|| json::fit_ions(fit).map(|fitted| fitted.to_json()))
        .map_err(|error| refused(py, error))
}

/// Diagnose the meter readings of a brew day, as JSON.
#[pyfunction]
fn diagnose(py: Python<'_>, readings: &str) -> PyResult<String> {
    py.detach(|| json::diagnose(readings).map(|diagnosis| diagnosis.to_json()))
        .map_err(|error| refused(py, error))
}

/// Simulate a day of the liquor tank: its ledger, as JSON.
#[pyfunction]
fn tank(py: Python<'_>, day: &str) -> PyResult<String> {
    py.detach(|| json::tank(day).map(|ledger| ledger.to_json()))
        .map_err(|error| refused(py, error))
}

/// Return the built-in brew days: key to JSON text.
#[pyfunction]
fn examples(py: Python<'_>) -> PyResult<Bound<'_, PyDict>> {
    let days = PyDict::new(py);
    for (key, day) in EXAMPLES {
        days.set_item(key, day)?;
    }
    Ok(days)
}

/// Give the targets to begin with for a family of beers, as JSON.
#[pyfunction]
fn targets_for(py: Python<'_>, family: &str) -> PyResult<String> {
    underlet::targets_for(family)
        .map(|targets| targets.to_json())
        .map_err(|error| refused(py, error))
}

/// Check a document of a kind without computing anything.
#[pyfunction]
fn validate(py: Python<'_>, kind: &str, document: &str) -> PyResult<()> {
    py.detach(|| json::validate(DocumentKind::from_str(kind)?, document))
        .map_err(|error| refused(py, error))
}

/// Give the JSON Schema of a kind of document, as JSON.
#[pyfunction]
fn schema(py: Python<'_>, kind: &str) -> PyResult<String> {
    DocumentKind::from_str(kind)
        .map(|kind| json::schema_of(kind).to_string())
        .map_err(|problem| refused(py, problem.into()))
}

/// Give every list of codes and keys by its name, each with one line on what it means, as JSON.
#[pyfunction]
fn codes() -> String {
    json::codes()
}

/// The core's error as the package's `InputError`.
fn refused(py: Python<'_>, error: InputError) -> PyErr {
    let problems = PyTuple::new(py, error.problems.into_iter().map(Problem));
    let raised = problems.and_then(|problems| {
        py.import("underlet")?
            .getattr("InputError")?
            .call1((problems,))
    });
    raised.map_or_else(|failure| failure, PyErr::from_value)
}
