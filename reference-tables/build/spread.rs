//! The table of how far measurements scatter, by the method they were made with.

use super::emit;
use super::rows::{self, ReadFile, Row};
use super::tables::{Keys, Known};

/// Quantities that are no component, and their unit.
const OTHER: [(&str, &str); 6] = [
    ("ion", "mg/L"),
    ("alkalinity", "mg/L as CaCO3"),
    ("hardness", "mg/L as CaCO3"),
    ("dissolved_solids", "mg/L"),
    ("conductivity", "uS/cm"),
    ("ph", "pH"),
];

/// The quantity of a row, whose unit must be the one it is kept in.
fn quantity<'r>(known: &Known, row: &'r Row) -> Result<&'r str, String> {
    let quantity = row.text("quantity")?;
    let other = OTHER.iter().find(|(name, _)| *name == quantity);
    let unit = match other {
        Some((_, unit)) => unit,
        None => known.component(row, quantity).map(|_| "mg/L")?,
    };
    row.one_of("unit", &[unit])?;
    Ok(quantity)
}

pub fn spreads(known: &mut Known, read_file: ReadFile) -> Result<String, String> {
    let columns = [
        "quantity",
        "method",
        "relative_sd",
        "absolute_sd",
        "unit",
        "source",
    ];
    let methods = ["laboratory", "bench", "drops", "strip"];
    let mut keys = Keys::default();
    let mut literals = Vec::new();
    for row in rows::read("spreads.csv", &columns, read_file)? {
        let quantity = quantity(known, &row)?;
        let method = row.one_of("method", &methods)?;
        keys.take(&row, &format!("{quantity} by {method}"))?;
        let relative = row.number_within("relative_sd", 0.0, 0.5)?;
        let absolute = row.number_within("absolute_sd", 0.0, 100.0)?;
        if relative + absolute == 0.0 {
            return Err(row.problem("nothing is measured without any error"));
        }
        literals.push(emit::literal(
            "Spread",
            &[
                ("quantity", emit::text(quantity)),
                ("method", emit::text(method)),
                ("relative_sd", emit::number(relative)),
                ("absolute_sd", emit::number(absolute)),
                ("unit", emit::text(row.text("unit")?)),
                known.source(&row)?,
            ],
        ));
    }
    let doc = "How far measurements scatter, by quantity and method.";
    Ok(emit::table("SPREADS", "Spread", doc, &literals))
}
