//! Tables of dissolved species: acid steps, equilibrium constants, activities, conductivities.

use super::emit;
use super::rows::{self, ReadFile, Row};
use super::tables::{Keys, Known};

pub fn acid_steps(known: &mut Known, read_file: ReadFile) -> Result<String, String> {
    let harned_robinson = [
        "harned_robinson_a1",
        "harned_robinson_a2",
        "harned_robinson_a3",
    ];
    let columns = [
        &[
            "component",
            "step",
            "pka_25c",
            "delta_h_kj_per_mol",
            "delta_cp_j_per_mol_k",
        ][..],
        &harned_robinson[..],
        &["source"][..],
    ]
    .concat();
    let mut literals = Vec::new();
    let mut named = Vec::new();
    let mut previous = (String::new(), 0);
    for row in rows::read("acid-steps.csv", &columns, read_file)? {
        let component = row.text("component")?;
        if known.component(&row, component)?.charge != 0.0 {
            return Err(row.problem(format!("`{component}` is not a weak acid")));
        }
        let step = row.integer("step")?;
        let expected = if previous.0 == component {
            previous.1 + 1
        } else {
            1
        };
        if step != expected {
            return Err(row.problem(format!("step {step} of `{component}`, expected {expected}")));
        }
        previous = (component.to_owned(), step);
        let literal = emit::literal(
            "AcidStep",
            &[
                ("component", emit::text(component)),
                ("step", step.to_string()),
                (
                    "pka_25c",
                    emit::number(row.number_within("pka_25c", -10.0, 15.0)?),
                ),
                (
                    "delta_h_kj_per_mol",
                    emit::optional_number(row.optional_number("delta_h_kj_per_mol")?),
                ),
                (
                    "delta_cp_j_per_mol_k",
                    emit::optional_number(row.optional_number("delta_cp_j_per_mol_k")?),
                ),
                (
                    "harned_robinson",
                    emit::optional_numbers(all_or_none(&row, harned_robinson)?),
                ),
                known.source(&row)?,
            ],
        );
        named.push((format!("{component}_{step}"), literal.clone()));
        literals.push(literal);
    }
    let doc = "Dissociation steps of the weak acids, by acid and step.";
    Ok(emit::table("ACID_STEPS", "AcidStep", doc, &literals)
        + &emit::named("acid_steps", "AcidStep", &named))
}

/// Coefficients of one formula: all given or none.
pub fn all_or_none<const N: usize>(
    row: &Row,
    columns: [&str; N],
) -> Result<Option<[f64; N]>, String> {
    let mut values = [0.0; N];
    let mut given = 0;
    for (value, column) in values.iter_mut().zip(columns) {
        if let Some(number) = row.optional_number(column)? {
            *value = number;
            given += 1;
        }
    }
    match given {
        0 => Ok(None),
        all if all == N => Ok(Some(values)),
        _ => Err(row.problem(format!(
            "{given} of the {N} coefficients {columns:?} are given"
        ))),
    }
}

pub fn equilibria(known: &mut Known, read_file: ReadFile) -> Result<String, String> {
    let analytic = ["a1", "a2", "a3", "a4", "a5", "a6"];
    let columns = [
        &["key", "reaction", "log_k_25c", "delta_h_kj_per_mol"][..],
        &analytic[..],
        &["source"][..],
    ]
    .concat();
    let mut keys = Keys::default();
    let mut literals = Vec::new();
    let mut named = Vec::new();
    for row in rows::read("equilibria.csv", &columns, read_file)? {
        let key = row.text("key")?;
        keys.take(&row, key)?;
        let literal = emit::literal(
            "Equilibrium",
            &[
                ("key", emit::text(key)),
                ("reaction", emit::text(row.text("reaction")?)),
                (
                    "log_k_25c",
                    emit::number(row.number_within("log_k_25c", -60.0, 60.0)?),
                ),
                (
                    "delta_h_kj_per_mol",
                    emit::optional_number(row.optional_number("delta_h_kj_per_mol")?),
                ),
                (
                    "analytic",
                    emit::optional_numbers(all_or_none(&row, analytic)?),
                ),
                known.source(&row)?,
            ],
        );
        named.push((key.to_owned(), literal.clone()));
        literals.push(literal);
    }
    let doc = "Equilibrium constants: one coherent set.";
    Ok(emit::table("EQUILIBRIA", "Equilibrium", doc, &literals)
        + &emit::named("equilibria", "Equilibrium", &named))
}

pub fn activities(known: &mut Known, read_file: ReadFile) -> Result<String, String> {
    let columns = ["species", "charge", "ion_size_angstrom", "b", "source"];
    let mut keys = Keys::default();
    let mut literals = Vec::new();
    let mut named = Vec::new();
    for row in rows::read("activities.csv", &columns, read_file)? {
        let species = row.text("species")?;
        keys.take(&row, species)?;
        let literal = emit::literal(
            "Activity",
            &[
                ("species", emit::text(species)),
                ("charge", charge_of(&row, species)?.to_string()),
                (
                    "ion_size_angstrom",
                    emit::number(row.number_within("ion_size_angstrom", 2.0, 12.0)?),
                ),
                ("b", emit::number(row.number_within("b", -0.5, 0.5)?)),
                known.source(&row)?,
            ],
        );
        named.push((species.to_owned(), literal.clone()));
        literals.push(literal);
    }
    let doc =
        "Truesdell-Jones parameters; an ion without a row follows Davies, a neutral species 0.1 I.";
    Ok(emit::table("ACTIVITIES", "Activity", doc, &literals)
        + &emit::named("activities", "Activity", &named))
}

pub fn conductivities(known: &mut Known, read_file: ReadFile) -> Result<String, String> {
    let columns = [
        "species",
        "charge",
        "limiting_s_cm2_per_eq",
        "walden_exponent",
        "source",
    ];
    let mut keys = Keys::default();
    let mut literals = Vec::new();
    for row in rows::read("conductivities.csv", &columns, read_file)? {
        let species = row.text("species")?;
        keys.take(&row, species)?;
        literals.push(emit::literal(
            "Conductivity",
            &[
                ("species", emit::text(species)),
                ("charge", charge_of(&row, species)?.to_string()),
                (
                    "limiting_s_cm2_per_eq",
                    emit::number(row.number_within("limiting_s_cm2_per_eq", 10.0, 400.0)?),
                ),
                (
                    "walden_exponent",
                    emit::number(row.number_within("walden_exponent", 0.0, 1.5)?),
                ),
                known.source(&row)?,
            ],
        ));
    }
    let doc = "Limiting equivalent conductivities of ions and charged pairs at 25 °C.";
    Ok(emit::table(
        "CONDUCTIVITIES",
        "Conductivity",
        doc,
        &literals,
    ))
}

/// The charge column, which must agree with the sign and number at the end of the species' name.
fn charge_of(row: &Row, species: &str) -> Result<i32, String> {
    let charge = row.integer("charge")?;
    let written = match species.rfind(['+', '-']) {
        None => 0,
        Some(at) => {
            let number = &species[at + 1..];
            let size: i32 = if number.is_empty() {
                1
            } else {
                number.parse().unwrap_or_default()
            };
            if species[at..].starts_with('-') {
                -size
            } else {
                size
            }
        }
    };
    if charge == written {
        Ok(charge)
    } else {
        Err(row.problem(format!("`{species}` cannot have the charge {charge}")))
    }
}
