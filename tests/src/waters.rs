//! Real waters through the one JSON door: each row of a CSV file becomes the only source of the
//! first built-in day.
//!
//! Columns are ions in mg/L under their symbols, `Alk` in mg/L as CaCO3, `pH`; `n.d.` and an empty
//! cell are taken as not reported. Whatever else a column holds stays unused, and is said so.

use std::collections::BTreeMap;
use std::fmt;
use std::panic::{AssertUnwindSafe, catch_unwind};

use serde_json::{Map, Value, json};
use underlet::json;
use underlet::quantity::{CACO3_G_PER_EQ, HCO3_G_PER_EQ};
use underlet::{EXAMPLES, Plan, TargetState};

use crate::soundness;

/// Column, key of the brew day and unit.
const COLUMNS: [(&str, &str, &str); 15] = [
    ("Ca", "calcium", "mg/L"),
    ("Mg", "magnesium", "mg/L"),
    ("Na", "sodium", "mg/L"),
    ("K", "potassium", "mg/L"),
    ("NH4", "ammonium", "mg/L"),
    ("Fe", "iron", "mg/L"),
    ("Mn", "manganese", "mg/L"),
    ("Cl", "chloride", "mg/L"),
    ("SO4", "sulfate", "mg/L"),
    ("NO3", "nitrate", "mg/L"),
    ("NO2", "nitrite", "mg/L"),
    ("F", "fluoride", "mg/L"),
    ("HCO3", "bicarbonate", "mg/L"),
    ("Alk", "alkalinity", "mg/L as CaCO3"),
    ("pH", "ph", ""),
];
/// Carbonate has no key of its own: it is two equivalents of alkalinity to the mole.
const CARBONATE: &str = "CO3";
/// Half the molar mass of carbonate, g/eq (IUPAC 2021 standard atomic weights: C 12.011, O 15.999).
pub(crate) const CO3_G_PER_EQ: f64 = (12.011 + 3.0 * 15.999) / 2.0;

/// What came of a file of waters.
#[derive(Debug, Default)]
pub struct Tally {
    /// Rows of the file.
    pub rows: usize,
    /// Rows that were planned.
    pub planned: usize,
    /// Plans that meet every range.
    pub met: usize,
    /// Range by range, how many plans could not meet it.
    pub missed: BTreeMap<String, usize>,
    /// Rows that cannot be used, with the reason.
    pub not_usable: Vec<String>,
    /// What must not happen: panics, plans that fail, unsound plans.
    pub failures: Vec<String>,
    /// Columns that were not used.
    pub unused: Vec<String>,
}

/// What came of one row.
enum Fate {
    Planned(Box<Plan>),
    NotUsable(String),
    Failed(String),
}

/// Plans the first built-in day with each water of a CSV text.
///
/// # Errors
/// When the text is not a table of waters at all.
pub fn plan_all(csv: &str) -> Result<Tally, String> {
    let mut reader = csv::ReaderBuilder::new()
        .flexible(true)
        .trim(csv::Trim::All)
        .from_reader(csv.as_bytes());
    let header: Vec<String> = reader
        .headers()
        .map_err(|error| error.to_string())?
        .iter()
        .map(|name| name.trim_start_matches('\u{feff}').to_owned())
        .collect();
    check_header(&header)?;
    let mut tally = Tally {
        unused: header
            .iter()
            .filter(|name| !is_used(name))
            .cloned()
            .collect(),
        ..Tally::default()
    };
    for (index, record) in reader.records().enumerate() {
        let row = index + 1;
        tally.rows += 1;
        let fate = match record {
            Err(error) => Fate::NotUsable(error.to_string()),
            Ok(record) if record.len() != header.len() => Fate::NotUsable(format!(
                "{} cells under {} headings",
                record.len(),
                header.len()
            )),
            Ok(record) => {
                let cells = header.iter().map(String::as_str).zip(record.iter());
                fate(&cells.filter(|(_, cell)| !is_silent(cell)).collect())
            }
        };
        tally.count(row, fate);
    }
    Ok(tally)
}

fn check_header(header: &[String]) -> Result<(), String> {
    if let Some((index, twice)) = header
        .iter()
        .enumerate()
        .find(|(index, name)| header[..*index].contains(name))
    {
        return Err(format!("column {} is a second \"{twice}\"", index + 1));
    }
    if header.iter().any(|name| name == "Alk" || name == "HCO3") {
        Ok(())
    } else {
        Err("no column \"Alk\" or \"HCO3\": this is no table of waters".to_owned())
    }
}

fn is_used(name: &str) -> bool {
    name == CARBONATE || COLUMNS.iter().any(|(column, ..)| *column == name)
}

/// Whether a cell tells nothing.
fn is_silent(cell: &str) -> bool {
    cell.is_empty() || cell.eq_ignore_ascii_case("n.d.")
}

fn fate(cells: &BTreeMap<&str, &str>) -> Fate {
    if !cells.contains_key("Alk") && !cells.contains_key("HCO3") {
        return Fate::NotUsable("neither alkalinity nor bicarbonate".to_owned());
    }
    let day = match day(cells) {
        Ok(day) => day.to_string(),
        Err(reason) => return Fate::NotUsable(reason),
    };
    match catch_unwind(AssertUnwindSafe(|| json::plan(&day))) {
        Err(_) => Fate::Failed(format!("panics on {day}")),
        Ok(Ok(plan)) => match soundness::faults(&plan).as_slice() {
            [] => Fate::Planned(Box::new(plan)),
            faults => Fate::Failed(faults.join("; ")),
        },
        Ok(Err(error)) => {
            let reported = error.to_string().replace('\n', " | ");
            // The reader may refuse a value of the report; anything else is a failure of the plan.
            if error
                .problems
                .iter()
                .all(|problem| problem.path.starts_with("sources[0]"))
            {
                Fate::NotUsable(reported)
            } else {
                Fate::Failed(reported)
            }
        }
    }
}

/// The first built-in day with this water as its only source.
fn day(cells: &BTreeMap<&str, &str>) -> Result<Value, String> {
    let mut source = Map::new();
    source.insert("name".to_owned(), json!("the water of this row"));
    for (column, key, unit) in COLUMNS {
        if let Some(cell) = cells.get(column) {
            source.insert(key.to_owned(), json!(format!("{cell} {unit}").trim_end()));
        }
    }
    // Alkalinity is titrated; bicarbonate is often worked out from it, and not always well.
    if cells.contains_key("Alk") {
        source.remove("bicarbonate");
    }
    add_carbonate(&mut source, cells)?;
    let (key, text) = EXAMPLES[0];
    let mut day: Value = serde_json::from_str(text).map_err(|error| format!("{key}: {error}"))?;
    day["sources"] = json!([source]);
    Ok(day)
}

/// A report that tells carbonate beside bicarbonate, and no alkalinity, gets the alkalinity of
/// both.
fn add_carbonate(
    source: &mut Map<String, Value>,
    cells: &BTreeMap<&str, &str>,
) -> Result<(), String> {
    let number = |column: &str| match cells.get(column) {
        None => Ok(0.0),
        Some(cell) => cell
            .parse::<f64>()
            .map_err(|_| format!("{column}: \"{cell}\" is not a number")),
    };
    let carbonate = number(CARBONATE)?;
    if carbonate < 0.0 {
        return Err(format!("{CARBONATE}: {carbonate} is negative"));
    }
    if carbonate > 0.0 {
        source.remove("bicarbonate");
        if !cells.contains_key("Alk") {
            let alkalinity =
                (number("HCO3")? / HCO3_G_PER_EQ + carbonate / CO3_G_PER_EQ) * CACO3_G_PER_EQ;
            source.insert(
                "alkalinity".to_owned(),
                json!(format!("{alkalinity} mg/L as CaCO3")),
            );
        }
    }
    Ok(())
}

impl Tally {
    fn count(&mut self, row: usize, fate: Fate) {
        match fate {
            Fate::Failed(reason) => self.failures.push(format!("row {row}: {reason}")),
            Fate::NotUsable(reason) => self.not_usable.push(format!("row {row}: {reason}")),
            Fate::Planned(plan) => {
                self.planned += 1;
                self.met += usize::from(plan.meets_every_range);
                for line in &plan.targets {
                    if matches!(line.state, TargetState::Below | TargetState::Above) {
                        let side = if line.state == TargetState::Below {
                            "below"
                        } else {
                            "above"
                        };
                        *self
                            .missed
                            .entry(format!("{} {side}", line.label))
                            .or_default() += 1;
                    }
                }
            }
        }
    }
}

impl fmt::Display for Tally {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        writeln!(
            f,
            "{} rows: {} planned, {} not usable, {} failed",
            self.rows,
            self.planned,
            self.not_usable.len(),
            self.failures.len()
        )?;
        if !self.unused.is_empty() {
            writeln!(f, "columns not used: {}", self.unused.join(", "))?;
        }
        writeln!(f, "{} of {} plans meet every range", self.met, self.planned)?;
        let mut missed: Vec<(&String, &usize)> = self.missed.iter().collect();
        missed.sort_by_key(|(_, count)| std::cmp::Reverse(**count));
        for (range, count) in missed {
            writeln!(f, "  {count:>5}  {range} its range")?;
        }
        for reason in &self.not_usable {
            writeln!(f, "not usable: {reason}")?;
        }
        for failure in &self.failures {
            writeln!(f, "FAILED: {failure}")?;
        }
        Ok(())
    }
}
