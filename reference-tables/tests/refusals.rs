//! The build refuses a bad row and says where and why.

#[path = "../build/emit.rs"]
mod emit;
#[path = "../build/formula.rs"]
mod formula;
#[path = "../build/rows.rs"]
mod rows;
#[path = "../build/solution.rs"]
mod solution;
#[path = "../build/spread.rs"]
mod spread;
#[path = "../build/stores.rs"]
mod stores;
#[path = "../build/tables.rs"]
mod tables;
#[path = "../build/targets.rs"]
mod targets;

use std::fs;
use std::path::Path;

/// Compiles `data/` with one text replaced in one file.
fn compile_with(file: &str, from: &str, to: &str) -> Result<String, Vec<String>> {
    let read = |name: &str| {
        let path = Path::new(env!("CARGO_MANIFEST_DIR"))
            .join("data")
            .join(name);
        let text = fs::read_to_string(path).map_err(|error| error.to_string())?;
        assert!(
            name != file || text.contains(from),
            "`{from}` is not in {file}"
        );
        Ok(if name == file {
            text.replacen(from, to, 1)
        } else {
            text
        })
    };
    tables::compile(&read)
}

fn assert_refused(file: &str, from: &str, to: &str, reasons: &[&str]) {
    let problems = compile_with(file, from, to)
        .expect_err("the row must be refused")
        .join("\n");
    for reason in reasons.iter().chain([&format!("data/{file}").as_str()]) {
        assert!(
            problems.contains(reason),
            "expected `{reason}` in: {problems}"
        );
    }
}

#[test]
fn the_shipped_files_compile() {
    let code = compile_with("sources.csv", "key", "key").expect("the shipped files are good");
    assert!(code.contains("pub static REAGENTS: &[Reagent]"));
}

#[test]
fn bad_numbers_and_words() {
    assert_refused("elements.csv", "1.008", "1,008", &["line: 2"]);
    assert_refused(
        "elements.csv",
        "1.008",
        "1.0o8",
        &["line 2", "weight_g_per_mol", "1.0o8"],
    );
    assert_refused("elements.csv", "1.008", "inf", &["line 2"]);
    assert_refused(
        "malts.csv",
        "5.75",
        "8.75",
        &["line 2", "ph_in_distilled_water"],
    );
    assert_refused(
        "malts.csv",
        "5.75",
        "",
        &["line 2", "both a pH and a buffering"],
    );
    assert_refused(
        "sources.csv",
        "from memory\n",
        "believed\n",
        &["line 2", "believed"],
    );
    assert_refused(
        "densities.csv",
        "sulfuric acid,5,",
        "sulfuric acid,0.5,",
        &["line 3", "rise"],
    );
}

#[test]
fn spreads_without_sense() {
    assert_refused(
        "spreads.csv",
        "calcium,laboratory,0.03,0.5,mg/L",
        "calcium,laboratory,0,0,mg/L",
        &["line 2", "without any error"],
    );
    assert_refused(
        "spreads.csv",
        "ph,strip,0,0.3,pH",
        "ph,laboratory,0,0.3,pH",
        &["there twice"],
    );
    assert_refused(
        "spreads.csv",
        "3,mg/L as CaCO3,standard-methods-2320",
        "3,mg/L,standard-methods-2320",
        &["`unit` is `mg/L`"],
    );
    assert_refused(
        "drinking-waters.csv",
        "sodium,0,500,0.5,25,25",
        "sodium,0,500,0.5,600,25",
        &["line 4", "`usual`"],
    );
}

#[test]
fn dangling_and_double_keys() {
    assert_refused(
        "elements.csv",
        "prohaska-2022",
        "nobody-1900",
        &["line 2", "nobody-1900"],
    );
    let unlisted = compile_with("sources.csv", "prohaska-2022,", "prohaska-2023,");
    let problems = unlisted.expect_err("the key is gone");
    assert!(problems[0].contains("data/elements.csv line 2: source `prohaska-2022`"));
    let spare = "spare,spare,derived
prohaska-2022,";
    assert_refused(
        "sources.csv",
        "prohaska-2022,",
        spare,
        &["no row uses", "spare"],
    );
    assert_refused(
        "components.csv",
        "magnesium,",
        "Calcium,",
        &["line 3", "twice"],
    );
    assert_refused(
        "reagents.csv",
        "calcium:1 sulfate:1",
        "calcium:1 sulfide:1",
        &["line 2", "sulfide"],
    );
    assert_refused(
        "densities.csv",
        "sulfuric acid",
        "sulfurous acid",
        &["line 2", "sulfurous acid"],
    );
}

#[test]
fn salts_that_do_not_balance() {
    assert_refused(
        "reagents.csv",
        "CaSO4.2H2O,salt",
        "CaSO4.2HO,salt",
        &["line 2", "hydrogen"],
    );
    assert_refused(
        "reagents.csv",
        "calcium:1 chloride:2",
        "calcium:1 chloride:1",
        &["line 3", "Cl"],
    );
    assert_refused("reagents.csv", "sodium:1,1", "sodium:1,0", &["C"]);
    assert_refused(
        "reagents.csv",
        "CaSO4.2H2O,salt",
        "Ca(SO4.2H2O,salt",
        &["line 2", "bracket"],
    );
    assert_refused(
        "components.csv",
        "calcium,Ca,Ca,2",
        "calcium,Ca,Ca,0",
        &["line 2", "charge"],
    );
    assert_refused("activities.csv", "Ca+2,2", "Ca+2,1", &["line 4", "charge"]);
}

#[test]
fn incomplete_coefficients_and_steps() {
    assert_refused("equilibria.csv", "-283.971", "", &["line 2", "5 of the 6"]);
    assert_refused("acid-steps.csv", "citrate,2", "citrate,3", &["expected 2"]);
}

#[test]
fn formulas() {
    let mass = |formula: &str| {
        let weights = [
            ("H", 1.0),
            ("C", 12.0),
            ("O", 16.0),
            ("Ca", 40.0),
            ("S", 32.0),
        ];
        let weights = weights
            .iter()
            .map(|(symbol, weight)| ((*symbol).to_owned(), *weight))
            .collect();
        formula::parse(formula).and_then(|atoms| formula::molar_mass(&atoms, &weights))
    };
    assert_eq!(mass("CaSO4.2H2O"), Ok(172.0));
    assert_eq!(mass("Ca(OH)2"), Ok(74.0));
    assert_eq!(mass("C12H22O11"), Ok(342.0));
    assert_eq!(formula::anhydrous("CaSO4.2H2O"), "CaSO4");
    for bad in ["", "ca", "Ca(OH", "CaOH)2", "2", "Ca..H2O", "Xx", "CaSO₄"] {
        assert!(mass(bad).is_err(), "`{bad}`");
    }
}

#[test]
fn families_and_rules_of_targets() {
    let refused =
        |from, to, reasons: &[&str]| assert_refused("target-rules.csv", from, to, reasons);
    let calcium = "calcium,every beer,50,200,mg/L";
    refused(
        calcium,
        "calcium,every ale,50,200,mg/L",
        &["line 2", "applies_to", "every beer"],
    );
    refused(
        calcium,
        "calcium,every beer,200,50,mg/L",
        &["line 2", "no range"],
    );
    refused(
        calcium,
        "calcium,every beer,,,mg/L",
        &["line 2", "no range"],
    );
    refused(
        calcium,
        "calcium,every beer,50,200,g/L",
        &["line 2", "`unit` is `g/L`", "`mg/L`"],
    );
    refused(
        calcium,
        "calcite,every beer,50,200,mg/L",
        &["line 2", "calcite"],
    );
    refused(
        "sulfate,hops medium",
        "sulfate,malt medium",
        &["amber and dark lager", "two rules for `sulfate`"],
    );
    assert_refused(
        "beer-families.csv",
        "low,low,pale",
        "low,low,golden",
        &["line 2", "colour", "golden"],
    );
}

#[test]
fn tastes_and_zinc_salts() {
    assert_refused(
        "tastes.csv",
        "400,1200",
        "400,300",
        &["line 2", "less than"],
    );
    assert_refused("tastes.csv", "acetate", "lactate", &["line 3", "twice"]);
    assert_refused(
        "tastes.csv",
        "acetate,",
        "vinegar,",
        &["line 3", "components.csv"],
    );
    let twice = "ZnCl2,zinc,chloride:1";
    assert_refused("reagents.csv", "ZnCl2,zinc,chloride:2", twice, &["Cl"]);
    assert_refused(
        "reagents.csv",
        "ZnCl2,zinc",
        "MgCl2,zinc",
        &["one mole of zinc"],
    );
}
