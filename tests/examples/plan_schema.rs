//! Prints the JSON Schema of the plan document, for faces that check their own types against it.
//!
//!     cargo run -p underlet-tests --example plan_schema

use schemars::generate::SchemaSettings;

fn main() {
    let schemas = SchemaSettings::default().for_serialize().into_generator();
    println!("{:#}", schemas.into_root_schema_for::<underlet::brewday::Plan>().as_value());
}
