//! One function per table: reads its rows, checks them, writes them as Rust.

use crate::emit;
use crate::formula::{self, Atoms};
use crate::rows::{self, ReadFile, Row};
use std::collections::{BTreeMap, BTreeSet};

/// What later tables need to know of earlier ones.
struct Known {
    sources: BTreeSet<String>,
    used_sources: BTreeSet<String>,
    weights: BTreeMap<String, f64>,
    components: BTreeMap<String, Counted>,
    liquids: BTreeMap<String, [f64; 2]>,
}

/// How a component is counted.
struct Counted {
    atoms: Atoms,
    charge: f64,
}

type Table = fn(&mut Known, ReadFile) -> Result<String, String>;

/// Compiles all files; every file's first problem is reported.
pub fn compile(read_file: ReadFile) -> Result<String, Vec<String>> {
    let mut known = Known {
        sources: BTreeSet::new(),
        used_sources: BTreeSet::new(),
        weights: BTreeMap::new(),
        components: BTreeMap::new(),
        liquids: BTreeMap::new(),
    };
    let stages: [&[Table]; 2] = [
        &[sources, elements, components, reagents],
        &[
            acid_steps,
            densities,
            malts,
            parameters,
            equilibria,
            activities,
            conductivities,
            limits,
        ],
    ];
    let mut code = String::new();
    let mut problems = Vec::new();
    for stage in stages {
        for table in stage {
            match table(&mut known, read_file) {
                Ok(text) => code.push_str(&text),
                Err(problem) => problems.push(problem),
            }
        }
        if !problems.is_empty() {
            return Err(problems);
        }
    }
    let unused: Vec<_> = known.sources.difference(&known.used_sources).collect();
    if unused.is_empty() {
        Ok(code)
    } else {
        Err(vec![format!("data/sources.csv: no row uses {unused:?}")])
    }
}

impl Known {
    /// The row's source key or keys, which must be listed in `sources.csv`.
    fn source(&mut self, row: &Row) -> Result<(&'static str, String), String> {
        let keys = row.text("source")?;
        for key in keys.split_whitespace() {
            if !self.sources.contains(key) {
                return Err(row.problem(format!("source `{key}` is not in sources.csv")));
            }
            self.used_sources.insert(key.to_owned());
        }
        Ok(("source", emit::text(keys)))
    }

    fn component(&self, row: &Row, key: &str) -> Result<&Counted, String> {
        self.components
            .get(key)
            .ok_or_else(|| row.problem(format!("component `{key}` is not in components.csv")))
    }
}

/// Keeps keys unique within a file.
#[derive(Default)]
struct Keys(BTreeSet<String>);

impl Keys {
    fn take(&mut self, row: &Row, key: &str) -> Result<(), String> {
        if self.0.insert(key.to_lowercase()) {
            Ok(())
        } else {
            Err(row.problem(format!("`{key}` is there twice")))
        }
    }
}

fn sources(known: &mut Known, read_file: ReadFile) -> Result<String, String> {
    let mut keys = Keys::default();
    let mut literals = Vec::new();
    for row in rows::read("sources.csv", &["key", "reference", "checked"], read_file)? {
        let key = row.text("key")?;
        keys.take(&row, key)?;
        known.sources.insert(key.to_owned());
        let checked = row.one_of(
            "checked",
            &["read", "read at second hand", "from memory", "derived"],
        )?;
        literals.push(emit::literal(
            "Source",
            &[
                ("key", emit::text(key)),
                ("reference", emit::text(row.text("reference")?)),
                ("checked", emit::text(checked)),
            ],
        ));
    }
    Ok(emit::table(
        "SOURCES",
        "Source",
        "All sources that rows name.",
        &literals,
    ))
}

fn elements(known: &mut Known, read_file: ReadFile) -> Result<String, String> {
    let columns = ["symbol", "weight_g_per_mol", "sd_g_per_mol", "source"];
    let mut keys = Keys::default();
    let mut literals = Vec::new();
    for row in rows::read("elements.csv", &columns, read_file)? {
        let symbol = row.text("symbol")?;
        keys.take(&row, symbol)?;
        let weight = row.number_within("weight_g_per_mol", 1.0, 300.0)?;
        known.weights.insert(symbol.to_owned(), weight);
        literals.push(emit::literal(
            "Element",
            &[
                ("symbol", emit::text(symbol)),
                ("weight_g_per_mol", emit::number(weight)),
                (
                    "sd_g_per_mol",
                    emit::number(row.number_within("sd_g_per_mol", 0.0, 0.1)?),
                ),
                known.source(&row)?,
            ],
        ));
    }
    Ok(emit::table(
        "ELEMENTS",
        "Element",
        "Standard atomic weights.",
        &literals,
    ))
}

fn components(known: &mut Known, read_file: ReadFile) -> Result<String, String> {
    let columns = [
        "key",
        "symbol",
        "formula",
        "charge",
        "kind",
        "reported_formula",
        "aliases",
    ];
    let mut names = Keys::default();
    let mut literals = Vec::new();
    for row in rows::read("components.csv", &columns, read_file)? {
        let key = row.text("key")?;
        names.take(&row, key)?;
        let aliases = row.names("aliases")?;
        for alias in &aliases {
            names.take(&row, alias)?;
        }
        let charge = row.integer("charge")?;
        let kind = match (row.one_of("kind", &["strong", "weak acid"])?, charge) {
            ("strong", 1 | 2 | -1 | -2) => "ComponentKind::Strong",
            ("weak acid", 0) => "ComponentKind::WeakAcid",
            (kind, _) => {
                return Err(row.problem(format!("a {kind} cannot have the charge {charge}")));
            }
        };
        let formula = row.text("formula")?;
        let atoms = formula::parse(formula).map_err(|reason| row.problem(reason))?;
        let reported =
            formula::parse(row.text("reported_formula")?).map_err(|reason| row.problem(reason))?;
        let mass =
            formula::molar_mass(&reported, &known.weights).map_err(|reason| row.problem(reason))?;
        known.components.insert(
            key.to_owned(),
            Counted {
                atoms,
                charge: f64::from(charge),
            },
        );
        literals.push(emit::literal(
            "Component",
            &[
                ("key", emit::text(key)),
                ("symbol", emit::text(row.text("symbol")?)),
                ("formula", emit::text(formula)),
                ("charge", charge.to_string()),
                ("kind", kind.to_owned()),
                ("molar_mass_g_per_mol", emit::number(mass)),
                ("aliases", emit::texts(&aliases)),
            ],
        ));
    }
    let doc = "Dissolved components: strong ions, then acid families, in the order the engine counts them.";
    Ok(emit::table("COMPONENTS", "Component", doc, &literals))
}

fn acid_steps(known: &mut Known, read_file: ReadFile) -> Result<String, String> {
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
        literals.push(emit::literal(
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
        ));
    }
    let doc = "Dissociation steps of the weak acids, by acid and step.";
    Ok(emit::table("ACID_STEPS", "AcidStep", doc, &literals))
}

/// Coefficients of one formula: all given or none.
fn all_or_none<const N: usize>(row: &Row, columns: [&str; N]) -> Result<Option<[f64; N]>, String> {
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

const REAGENT_COLUMNS: [&str; 17] = [
    "key",
    "name",
    "formula",
    "kind",
    "brings",
    "carbon_mol_per_mol",
    "liquid",
    "usual_strength_percent",
    "strength_low_percent",
    "strength_high_percent",
    "anhydrous_solubility_20c_g_per_kg",
    "anhydrous_solubility_80c_g_per_kg",
    "effective_in_mash",
    "effective_in_mash_sd",
    "handling",
    "aliases",
    "source",
];

fn reagents(known: &mut Known, read_file: ReadFile) -> Result<String, String> {
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
        "Salts, bases, acids and dechlorinators.",
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
    check_balance(known, row, &atoms, &brings, carbon)?;
    let kind = match row.one_of("kind", &["salt", "base", "acid", "dechlorinator"])? {
        "salt" => "ReagentKind::Salt",
        "base" => "ReagentKind::Base",
        "acid" => "ReagentKind::Acid",
        _ => "ReagentKind::Dechlorinator",
    };
    let low = row.number_within("strength_low_percent", 0.1, 100.0)?;
    let high = row.number_within("strength_high_percent", low, 100.0)?;
    let usual = row.number_within("usual_strength_percent", low, high)?;
    let liquid = row.one_of("liquid", &["yes", "no"])? == "yes";
    if liquid {
        known.liquids.insert(key.to_owned(), [low, high]);
    }
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
            ("handling", emit::text(row.text("handling")?)),
            ("aliases", emit::texts(&row.names("aliases")?)),
            known.source(row)?,
        ],
    ))
}

/// Solubility in g of hydrate per kg of added water from `grams` of anhydrous solute per kg of water; `None` where
/// the hydrate holds more water than its solution needs, so that it dissolves in its own.
fn as_weighed(grams: f64, mass: f64, anhydrous_mass: f64) -> Option<f64> {
    let left = anhydrous_mass - grams * (mass - anhydrous_mass) / 1000.0;
    (left > 0.0).then(|| grams * mass / left)
}

/// A mole must fall apart into the components and the carbon (as CO2) that it brings, plus water, with as many
/// hydroxide ions (or, if negative, protons) as keep it neutral: nothing lost, nothing gained.
fn check_balance(
    known: &Known,
    row: &Row,
    atoms: &Atoms,
    brings: &[(&str, f64)],
    carbon: f64,
) -> Result<(), String> {
    let mut rest = atoms.clone();
    let mut hydroxide = 0.0;
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

fn densities(known: &mut Known, read_file: ReadFile) -> Result<String, String> {
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

fn malts(known: &mut Known, read_file: ReadFile) -> Result<String, String> {
    let columns = [
        "class",
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

fn parameters(known: &mut Known, read_file: ReadFile) -> Result<String, String> {
    let columns = ["name", "value", "sd", "unit", "meaning", "source"];
    let mut keys = Keys::default();
    let mut literals = Vec::new();
    let mut named = Vec::new();
    for row in rows::read("parameters.csv", &columns, read_file)? {
        let name = row.text("name")?;
        keys.take(&row, name)?;
        let literal = emit::literal(
            "Parameter",
            &[
                ("name", emit::text(name)),
                ("value", emit::number(row.number("value")?)),
                ("sd", emit::number(row.number_within("sd", 0.0, 1e6)?)),
                ("unit", emit::text(row.text("unit")?)),
                ("meaning", emit::text(row.text("meaning")?)),
                known.source(&row)?,
            ],
        );
        named.push((name.to_owned(), literal.clone()));
        literals.push(literal);
    }
    Ok(emit::table(
        "PARAMETERS",
        "Parameter",
        "Scalars with their standard deviations.",
        &literals,
    ) + &emit::named("parameters", "Parameter", &named))
}

fn equilibria(known: &mut Known, read_file: ReadFile) -> Result<String, String> {
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
    Ok(emit::table("EQUILIBRIA", "Equilibrium", doc, &literals) + &emit::named("equilibria", "Equilibrium", &named))
}

fn activities(known: &mut Known, read_file: ReadFile) -> Result<String, String> {
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
    Ok(emit::table("ACTIVITIES", "Activity", doc, &literals) + &emit::named("activities", "Activity", &named))
}

fn conductivities(known: &mut Known, read_file: ReadFile) -> Result<String, String> {
    let columns = ["species", "charge", "limiting_s_cm2_per_eq", "source"];
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
                known.source(&row)?,
            ],
        ));
    }
    let doc = "Limiting equivalent conductivities of ions at 25 °C.";
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

fn limits(known: &mut Known, read_file: ReadFile) -> Result<String, String> {
    let columns = [
        "quantity",
        "authority",
        "low",
        "high",
        "unit",
        "status",
        "source",
    ];
    let statuses = [
        "guideline",
        "provisional",
        "operational",
        "taste",
        "parametric",
        "indicator",
        "primary",
        "secondary",
        "advisory",
    ];
    let mut literals = Vec::new();
    for row in rows::read("limits.csv", &columns, read_file)? {
        let quantity = row.text("quantity")?;
        let other = ["ph", "tds", "conductivity", "chlorine", "chloramine"];
        if !other.contains(&quantity) {
            known.component(&row, quantity)?;
        }
        let low = row.optional_number("low")?;
        let printed = row.number_within("high", low.unwrap_or_default(), 1e5)?;
        let (high, unit) = match row.optional("unit")?.unwrap_or_default() {
            "mg/L as N" => (printed * mass_per_nitrogen(known, &row, quantity)?, "mg/L"),
            unit => (printed, unit),
        };
        literals.push(emit::literal(
            "Limit",
            &[
                ("quantity", emit::text(quantity)),
                (
                    "authority",
                    emit::text(row.one_of("authority", &["WHO", "EU", "US"])?),
                ),
                ("low", emit::optional_number(low)),
                ("high", emit::number(high)),
                ("unit", emit::text(unit)),
                ("status", emit::text(row.one_of("status", &statuses)?)),
                known.source(&row)?,
            ],
        ));
    }
    Ok(emit::table(
        "LIMITS",
        "Limit",
        "Drinking-water limits.",
        &literals,
    ))
}

/// Mass of the ion per mass of its nitrogen.
fn mass_per_nitrogen(known: &Known, row: &Row, quantity: &str) -> Result<f64, String> {
    let atoms = &known.component(row, quantity)?.atoms;
    let ion = formula::molar_mass(atoms, &known.weights).map_err(|reason| row.problem(reason))?;
    let nitrogen = Atoms::from([("N".to_owned(), atoms.get("N").copied().unwrap_or_default())]);
    let nitrogen =
        formula::molar_mass(&nitrogen, &known.weights).map_err(|reason| row.problem(reason))?;
    if nitrogen > 0.0 {
        Ok(ion / nitrogen)
    } else {
        Err(row.problem(format!("`{quantity}` holds no nitrogen")))
    }
}
