//! Turns the CSV files of `data/` into `OUT_DIR/tables.rs`. A row that does not parse, a source
//! that is not listed or a salt that does not balance stops the build with file, line and reason.

#[path = "build/emit.rs"]
mod emit;
#[path = "build/formula.rs"]
mod formula;
#[path = "build/rows.rs"]
mod rows;
#[path = "build/solution.rs"]
mod solution;
#[path = "build/spread.rs"]
mod spread;
#[path = "build/stores.rs"]
mod stores;
#[path = "build/tables.rs"]
mod tables;
#[path = "build/targets.rs"]
mod targets;

use std::path::PathBuf;
use std::{env, fs};

fn main() {
    println!("cargo::rerun-if-changed=build.rs");
    println!("cargo::rerun-if-changed=build");
    println!("cargo::rerun-if-changed=data");
    if let Err(problems) = write_tables() {
        for problem in problems {
            println!("cargo::error={problem}");
        }
    }
}

fn write_tables() -> Result<(), Vec<String>> {
    let root = PathBuf::from(variable("CARGO_MANIFEST_DIR")?);
    let out = PathBuf::from(variable("OUT_DIR")?).join("tables.rs");
    let read = |file: &str| {
        let path = root.join("data").join(file);
        fs::read_to_string(&path).map_err(|error| format!("data/{file}: {error}"))
    };
    let code = tables::compile(&read)?;
    fs::write(&out, code).map_err(|error| vec![format!("{}: {error}", out.display())])
}

fn variable(name: &str) -> Result<String, Vec<String>> {
    env::var(name).map_err(|error| vec![format!("{name}: {error}")])
}
