//! Tables of what a brewer handles: reagents, their densities, malts.

use super::emit;
use super::formula::{self, Atoms};
use super::rows::{self, ReadFile, Row};
use super::tables::{Keys, Known};
use std::collections::BTreeMap;

const REAGENT_COLUMNS: [&str; 19] = [
    "key",
    "name",
    "formula",
    "kind",
    "brings",
    "carbon_mol_per_mol",
    "liquid",
    "caustic",
    "usual_strength_percent",
    "strength_low_percent",
    "strength_high_percent",
    "anhydrous_solubility_20c_g_per_kg",
    "anhydrous_solubility_80c_g_per_kg",
    "effective_in_mash",
    "effective_in_mash_sd",
    "corrosive_from_percent",
    "handling",
    "aliases",
    "source",
];

pub fn reagents(known: &mut Known, read_file: ReadFile) -> Result<String, String> {
    let mut names = Keys::default();
    let mut literals = Vec::new();
    for row in rows::read("reagents.csv", &REAGENT_COLUMNS, read_file)? {
        names.take(&row, row.text("key")?)?;
        for alias in row.names("aliases")? {
            names.take(&row, alias)?;
        }
        literals.push(reagent(known, &row)?);
    }
    Ok(emit::table(
        "REAGENTS",
        "Reagent",
        "Salts, bases, acids, dechlorinators and zinc.",
        &literals,
    ))
}

fn reagent(known: &mut Known, row: &Row) -> Result<String, String> {
    let key = row.text("key")?;
    let formula = row.text("formula")?;
    let atoms = formula::parse(formula).map_err(|reason| row.problem(reason))?;
    let mass = formula::molar_mass(&atoms, &known.weights).map_err(|reason| row.problem(reason))?;
    let anhydrous =
        formula::parse(formula::anhydrous(formula)).map_err(|reason| row.problem(reason))?;
    let anhydrous_mass =
        formula::molar_mass(&anhydrous, &known.weights).map_err(|reason| row.problem(reason))?;
    let brings = row.amounts("brings")?;
    let carbon = row.number_within("carbon_mol_per_mol", 0.0, 1.0)?;
    let kind = match row.one_of("kind", &["salt", "base", "acid", "dechlorinator", "zinc"])? {
        "salt" => "ReagentKind::Salt",
        "base" => "ReagentKind::Base",
        "acid" => "ReagentKind::Acid",
        "zinc" => "ReagentKind::Zinc",
        _ => "ReagentKind::Dechlorinator",
    };
    if kind == "ReagentKind::Zinc" {
        check_zinc(known, row, &atoms, &brings, carbon)?;
    } else {
        check_balance(known, row, &atoms, &brings, carbon, 0.0)?;
    }
    let low = row.number_within("strength_low_percent", 0.1, 100.0)?;
    let high = row.number_within("strength_high_percent", low, 100.0)?;
    let usual = row.number_within("usual_strength_percent", low, high)?;
    let liquid = row.one_of("liquid", &["yes", "no"])? == "yes";
    if liquid {
        known.liquids.insert(key.to_owned(), [low, high]);
    }
    let caustic = row.one_of("caustic", &["yes", "no"])? == "yes";
    let solubility = |column| -> Result<String, String> {
        let printed = row.optional_number(column)?;
        Ok(emit::optional_number(
            printed.and_then(|grams| as_weighed(grams, mass, anhydrous_mass)),
        ))
    };
    let share = row.number_within("effective_in_mash", 0.0, 1.0)?;
    let share_sd = row.number_within("effective_in_mash_sd", 0.0, 0.5)?;
    Ok(emit::literal(
        "Reagent",
        &[
            ("key", emit::text(key)),
            ("name", emit::text(row.text("name")?)),
            ("formula", emit::text(formula)),
            ("kind", kind.to_owned()),
            ("molar_mass_g_per_mol", emit::number(mass)),
            ("brings", emit::amounts(&brings)),
            ("carbon_mol_per_mol", emit::number(carbon)),
            ("liquid", liquid.to_string()),
            ("caustic", caustic.to_string()),
            ("usual_strength_percent", emit::number(usual)),
            ("strength_range_percent", format!("[{low:?}, {high:?}]")),
            (
                "solubility_20c_g_per_kg",
                solubility("anhydrous_solubility_20c_g_per_kg")?,
            ),
            (
                "solubility_80c_g_per_kg",
                solubility("anhydrous_solubility_80c_g_per_kg")?,
            ),
            ("effective_in_mash", format!("[{share:?}, {share_sd:?}]")),
            (
                "corrosive_from_percent",
                emit::optional_number(row.optional_number("corrosive_from_percent")?),
            ),
            ("handling", emit::text(row.text("handling")?)),
            ("aliases", emit::texts(&row.names("aliases")?)),
            known.source(row)?,
        ],
    ))
}

/// Solubility in g of hydrate per kg of added water from `grams` of anhydrous solute per kg of
/// water; `None` where the hydrate holds more water than its solution needs, so that it dissolves
/// in its own.
fn as_weighed(grams: f64, mass: f64, anhydrous_mass: f64) -> Option<f64> {
    let left = anhydrous_mass - grams * (mass - anhydrous_mass) / 1000.0;
    (left > 0.0).then(|| grams * (mass / left))
}

/// A mole must fall apart into the components and the carbon (as CO2) that it brings, plus water,
/// with as many hydroxide ions (or, if negative, protons) as keep it neutral: nothing lost, nothing
/// gained. `charge` is what it holds beside these atoms.
fn check_balance(
    known: &Known,
    row: &Row,
    atoms: &Atoms,
    brings: &[(&str, f64)],
    carbon: f64,
    charge: f64,
) -> Result<(), String> {
    let mut rest = atoms.clone();
    let mut hydroxide = charge;
    for (key, amount) in brings {
        let component = known.component(row, key)?;
        formula::add(&mut rest, &component.atoms, -amount);
        hydroxide += component.charge * amount;
    }
    let carbon_dioxide = formula::parse("CO2").map_err(|reason| row.problem(reason))?;
    formula::add(&mut rest, &carbon_dioxide, -carbon);
    let oxygen = rest.remove("O").unwrap_or_default();
    let hydrogen = rest.remove("H").unwrap_or_default();
    if let Some((symbol, number)) = rest.iter().find(|(_, number)| **number != 0.0) {
        return Err(row.problem(format!(
            "a mole holds {number} mol of {symbol} more than what it brings"
        )));
    }
    let expected = 2.0 * oxygen - hydroxide;
    if hydrogen != expected {
        return Err(row.problem(format!(
            "charge and hydrogen disagree: {hydrogen} mol H left, {expected} expected"
        )));
    }
    Ok(())
}

/// A mole holds one mole of zinc, too little to be counted among the ions, beside the anion that it
/// brings.
fn check_zinc(
    known: &Known,
    row: &Row,
    atoms: &Atoms,
    brings: &[(&str, f64)],
    carbon: f64,
) -> Result<(), String> {
    let mut rest = atoms.clone();
    if rest.remove("Zn") != Some(1.0) {
        return Err(row.problem("a mole must hold one mole of zinc"));
    }
    check_balance(known, row, &rest, brings, carbon, 2.0)
}

pub fn densities(known: &mut Known, read_file: ReadFile) -> Result<String, String> {
    let columns = [
        "reagent",
        "mass_percent",
        "kg_per_l",
        "laliberte_check_kg_per_l",
        "source",
    ];
    let mut literals = Vec::new();
    let mut spans: BTreeMap<String, [f64; 2]> = BTreeMap::new();
    for row in rows::read("densities.csv", &columns, read_file)? {
        let reagent = row.text("reagent")?;
        if !known.liquids.contains_key(reagent) {
            return Err(row.problem(format!("`{reagent}` is not a liquid of reagents.csv")));
        }
        let percent = row.number_within("mass_percent", 0.0, 100.0)?;
        let span = spans
            .entry(reagent.to_owned())
            .or_insert([percent, percent - 1.0]);
        if percent <= span[1] {
            return Err(row.problem("strengths must rise"));
        }
        span[1] = percent;
        row.optional_number("laliberte_check_kg_per_l")?;
        literals.push(emit::literal(
            "Density",
            &[
                ("reagent", emit::text(reagent)),
                ("mass_percent", emit::number(percent)),
                (
                    "kg_per_l",
                    emit::number(row.number_within("kg_per_l", 0.9, 2.0)?),
                ),
                known.source(&row)?,
            ],
        ));
    }
    for (reagent, [low, high]) in &known.liquids {
        let covered = spans
            .get(reagent)
            .is_some_and(|span| span[0] <= *low && *high <= span[1]);
        if !covered {
            return Err(format!(
                "data/densities.csv: `{reagent}` needs densities from {low} to {high} %"
            ));
        }
    }
    let doc = "Densities of solutions at 20 °C, by reagent and rising strength.";
    Ok(emit::table("DENSITIES", "Density", doc, &literals))
}

pub fn malts(known: &mut Known, read_file: ReadFile) -> Result<String, String> {
    let columns = [
        "class",
        "acidulated",
        "colour_low_ebc",
        "colour_high_ebc",
        "ph_in_distilled_water",
        "ph_sd",
        "buffering_meq_per_kg_ph",
        "buffering_sd",
        "confidence",
        "source",
    ];
    let mut keys = Keys::default();
    let mut literals = Vec::new();
    for row in rows::read("malts.csv", &columns, read_file)? {
        let class = row.text("class")?;
        keys.take(&row, class)?;
        let low = row.number_within("colour_low_ebc", 0.0, 2000.0)?;
        let high = row.number_within("colour_high_ebc", low, 2000.0)?;
        let ph = row.optional_number("ph_in_distilled_water")?;
        if ph.is_some_and(|ph| !(3.0..=7.0).contains(&ph)) {
            return Err(row.problem("`ph_in_distilled_water` is outside 3 to 7"));
        }
        let buffering = row.number_within("buffering_meq_per_kg_ph", 0.0, 200.0)?;
        if ph.is_some() != (buffering > 0.0) {
            return Err(row.problem("a malt has both a pH and a buffering, or neither"));
        }
        literals.push(emit::literal(
            "Malt",
            &[
                ("class", emit::text(class)),
                (
                    "acidulated",
                    (row.one_of("acidulated", &["yes", "no"])? == "yes").to_string(),
                ),
                ("colour_ebc", format!("[{low:?}, {high:?}]")),
                ("ph_in_distilled_water", emit::optional_number(ph)),
                ("ph_sd", emit::number(row.number_within("ph_sd", 0.0, 0.5)?)),
                ("buffering_meq_per_kg_ph", emit::number(buffering)),
                (
                    "buffering_sd",
                    emit::number(row.number_within("buffering_sd", 0.0, 50.0)?),
                ),
                (
                    "confidence",
                    emit::text(row.one_of("confidence", &["low", "medium"])?),
                ),
                known.source(&row)?,
            ],
        ));
    }
    Ok(emit::table(
        "MALTS",
        "Malt",
        "Classes of malts, adjuncts and sugars.",
        &literals,
    ))
}
