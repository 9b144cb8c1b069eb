//! A table of water analyses, row by row, as water reports. Whatever a cell holds, a row is read;
//! what cannot be read is reported.

use std::collections::BTreeMap;

use underlet::component::Component;
use underlet::liquor::alkalinity_eq_per_kg;
use underlet::quantity::{HCO3_G_PER_EQ, WATER_KG_PER_L_20C};
use underlet::water_report::{Entry, Figure, Subject, WaterReport};

use crate::waters::CO3_G_PER_EQ;

/// Columns and what they state: ions, bicarbonate and carbonate in mg/L, `Alk` and `Hardness` in
/// mg/L as CaCO3, `TDS` in mg/L, `EC25` in µS/cm at 25 °C.
const COLUMNS: [(&str, Subject); 19] = [
    ("Ca", Subject::Component(Component::Calcium)),
    ("Mg", Subject::Component(Component::Magnesium)),
    ("Na", Subject::Component(Component::Sodium)),
    ("K", Subject::Component(Component::Potassium)),
    ("NH4", Subject::Component(Component::Ammonium)),
    ("Fe", Subject::Component(Component::Iron)),
    ("Mn", Subject::Component(Component::Manganese)),
    ("Cl", Subject::Component(Component::Chloride)),
    ("SO4", Subject::Component(Component::Sulfate)),
    ("NO3", Subject::Component(Component::Nitrate)),
    ("NO2", Subject::Component(Component::Nitrite)),
    ("F", Subject::Component(Component::Fluoride)),
    ("HCO3", Subject::Bicarbonate),
    ("CO3", Subject::Carbonate),
    ("Alk", Subject::Alkalinity),
    ("Hardness", Subject::Hardness),
    ("TDS", Subject::DissolvedSolids),
    ("EC25", Subject::Conductivity),
    ("pH", Subject::Ph),
];

/// A row: the report it makes, and what was odd in reading it.
#[derive(Debug, Default)]
pub struct Row {
    /// Number in the file, the first below the headings being 1.
    pub number: usize,
    /// What could be read.
    pub report: WaterReport,
    /// Kind of oddity and the words for this row.
    pub oddities: Vec<(&'static str, String)>,
}

/// The rows of a table.
#[derive(Debug, Default)]
pub struct Table {
    /// In the order of the file.
    pub rows: Vec<Row>,
    /// Columns that state nothing known here.
    pub unused: Vec<String>,
}

impl Table {
    /// Reads a CSV text.
    ///
    /// # Errors
    /// When there is no heading that is known: this is no table of waters.
    pub fn read(csv: &str) -> Result<Table, String> {
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
        let unused: Vec<String> = header
            .iter()
            .filter(|name| subject(name).is_none())
            .cloned()
            .collect();
        if unused.len() == header.len() {
            return Err("no column of a water analysis".to_owned());
        }
        let rows = reader
            .byte_records()
            .enumerate()
            .map(|(index, record)| match record {
                Ok(record) => Row::read(index + 1, &header, &record),
                Err(error) => Row {
                    number: index + 1,
                    oddities: vec![("row not readable", error.to_string())],
                    ..Row::default()
                },
            })
            .collect();
        Ok(Table { rows, unused })
    }
}

fn subject(name: &str) -> Option<Subject> {
    let (_, subject) = COLUMNS.iter().find(|(column, _)| *column == name)?;
    Some(*subject)
}

impl Row {
    fn read(number: usize, header: &[String], record: &csv::ByteRecord) -> Row {
        let mut row = Row {
            number,
            ..Row::default()
        };
        if record.len() != header.len() {
            let words = format!("{} cells under {} headings", record.len(), header.len());
            row.oddities.push(("cells and headings differ", words));
        }
        let mut reported = BTreeMap::new();
        for (name, cell) in header.iter().zip(record) {
            let Some(subject) = subject(name) else {
                continue;
            };
            match value(&String::from_utf8_lossy(cell)) {
                Ok(None) => {}
                Ok(Some(value)) if reported.contains_key(&subject) => {
                    row.oddities
                        .push(("reported twice", format!("{name} again, {value}")));
                }
                Ok(Some(value)) => {
                    reported.insert(subject, value);
                }
                Err(oddity) => row
                    .oddities
                    .push((oddity.0, format!("{name}: {}", oddity.1))),
            }
        }
        row.report.name = format!("row {number}");
        row.report.entries = reported
            .into_iter()
            .map(|(subject, value)| Entry::new(subject, Figure::Value(canonical(subject, value))))
            .collect();
        row
    }
}

/// A cell's number; `None` where it is empty. What was not detected counts as nothing.
fn value(cell: &str) -> Result<Option<f64>, (&'static str, String)> {
    if cell.is_empty() {
        return Ok(None);
    }
    if cell.eq_ignore_ascii_case("n.d.") {
        return Ok(Some(0.0));
    }
    match cell.parse::<f64>() {
        Ok(value) if !value.is_finite() => Err(("not finite", format!("\"{cell}\""))),
        Ok(value) if value < 0.0 => Err(("negative", format!("\"{cell}\""))),
        Ok(value) => Ok(Some(value)),
        Err(_) => Err(("not a number", format!("\"{cell}\""))),
    }
}

/// A column's number in the canonical unit of its subject.
fn canonical(subject: Subject, value: f64) -> f64 {
    let litre = 1000.0 * WATER_KG_PER_L_20C;
    match subject {
        Subject::Component(ion) => ion.mol_per_kg(value),
        Subject::Bicarbonate => value / (litre * HCO3_G_PER_EQ),
        Subject::Carbonate => value / (litre * 2.0 * CO3_G_PER_EQ),
        Subject::Alkalinity | Subject::Hardness => alkalinity_eq_per_kg(value),
        _ => value,
    }
}
