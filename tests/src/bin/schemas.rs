//! Prints the JSON Schemas of the documents, from which the TypeScript types are made:
//! `{"brew_day": …, "plan": …, "water_report": …, "water": …, "readings": …, "diagnosis": …,
//! "tank_day": …, "tank_ledger": …, "ion_fit": …, "fitted_ions": …,
//! "equilibrium_input": …, "equilibrium": …, "input_error": …}`.

use schemars::JsonSchema;
use schemars::generate::SchemaSettings;
use underlet::error::InputError;
use underlet::readings::diagnosis::DiagnosisDocument;
use underlet::speciation::EquilibriumDocument;
use underlet::tank::TankLedger;
use underlet::water_report::Water;
use underlet::{FittedIons, Plan};

fn main() {
    let schemas = serde_json::json!({
        "brew_day": underlet::json::brew_day_schema(),
        "plan": as_written::<Plan>(),
        "water_report": underlet::json::water_report_schema(),
        "water": as_written::<Water>(),
        "readings": underlet::json::readings_schema(),
        "diagnosis": as_written::<DiagnosisDocument>(),
        "ion_fit": underlet::json::ion_fit_schema(),
        "fitted_ions": as_written::<FittedIons>(),
        "equilibrium_input": underlet::json::equilibrium_input_schema(),
        "equilibrium": as_written::<EquilibriumDocument>(),
        "tank_day": underlet::json::tank_day_schema(),
        "tank_ledger": as_written::<TankLedger>(),
        "input_error": as_written::<InputError>(),
    });
    println!("{schemas:#}");
}

/// The schema of a document as the engine writes it: every key is there, an absent value is null.
fn as_written<T: JsonSchema>() -> schemars::Schema {
    SchemaSettings::draft2020_12()
        .for_serialize()
        .into_generator()
        .into_root_schema_for::<T>()
}
