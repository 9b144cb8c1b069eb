//! Prints the JSON Schema of every kind of document by its name, and of `input-error`: the schema
//! files of the npm package and the types of TypeScript and Python are made from them.

use std::collections::BTreeMap;

use underlet::{DocumentKind, json};

fn main() {
    let kinds = DocumentKind::ALL.iter();
    let mut schemas: BTreeMap<&str, _> = kinds
        .map(|kind| (kind.as_str(), json::schema_of(*kind)))
        .collect();
    schemas.insert("input-error", json::input_error_schema());
    println!("{:#}", serde_json::json!(schemas));
}
