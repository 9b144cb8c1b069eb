//! All tables in order. One function per table reads its rows, checks them and writes them as Rust.

use super::emit;
use super::formula::{self, Atoms};
use super::rows::{self, ReadFile, Row};
use super::solution::{acid_steps, activities, all_or_none, conductivities, equilibria};
use super::spread::spreads;
use super::stores::{densities, malts, reagents};
use super::targets::targets;
use std::collections::{BTreeMap, BTreeSet};

/// What later tables need to know of earlier ones.
pub struct Known {
    sources: BTreeSet<String>,
    used_sources: BTreeSet<String>,
    /// Atomic weights by symbol.
    pub weights: BTreeMap<String, f64>,
    components: BTreeMap<String, Counted>,
    /// Strength range of each liquid reagent, % by mass.
    pub liquids: BTreeMap<String, [f64; 2]>,
}

/// How a component is counted.
pub struct Counted {
    /// Atoms of the ion or of the uncharged acid.
    pub atoms: Atoms,
    /// Charge number.
    pub charge: f64,
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
            tastes,
            spreads,
            drinking_waters,
            targets,
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
    pub fn source(&mut self, row: &Row) -> Result<(&'static str, String), String> {
        let keys = row.text("source")?;
        for key in keys.split_whitespace() {
            if !self.sources.contains(key) {
                return Err(row.problem(format!("source `{key}` is not in sources.csv")));
            }
            self.used_sources.insert(key.to_owned());
        }
        Ok(("source", emit::text(keys)))
    }

    /// A component that must be in `components.csv`.
    pub fn component(&self, row: &Row, key: &str) -> Result<&Counted, String> {
        self.components
            .get(key)
            .ok_or_else(|| row.problem(format!("component `{key}` is not in components.csv")))
    }
}

/// Keeps keys unique within a file.
#[derive(Default)]
pub struct Keys(BTreeSet<String>);

impl Keys {
    /// Refuses a key, or one that differs only in case, the second time.
    pub fn take(&mut self, row: &Row, key: &str) -> Result<(), String> {
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
    let mut named = Vec::new();
    for row in rows::read("elements.csv", &columns, read_file)? {
        let symbol = row.text("symbol")?;
        keys.take(&row, symbol)?;
        let weight = row.number_within("weight_g_per_mol", 1.0, 300.0)?;
        known.weights.insert(symbol.to_owned(), weight);
        let literal = emit::literal(
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
        );
        named.push((symbol.to_owned(), literal.clone()));
        literals.push(literal);
    }
    Ok(
        emit::table("ELEMENTS", "Element", "Standard atomic weights.", &literals)
            + &emit::named("elements", "Element", &named),
    )
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
    let mut names_of_components = Vec::new();
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
        let reported_formula = row.text("reported_formula")?;
        let reported = formula::parse(reported_formula).map_err(|reason| row.problem(reason))?;
        let mass =
            formula::molar_mass(&reported, &known.weights).map_err(|reason| row.problem(reason))?;
        known.components.insert(
            key.to_owned(),
            Counted {
                atoms,
                charge: f64::from(charge),
            },
        );
        names_of_components.push((key.to_owned(), formula.to_owned(), charge));
        literals.push(emit::literal(
            "ComponentRow",
            &[
                ("key", emit::text(key)),
                ("symbol", emit::text(row.text("symbol")?)),
                ("formula", emit::text(formula)),
                ("reported_formula", emit::text(reported_formula)),
                ("charge", charge.to_string()),
                ("kind", kind.to_owned()),
                ("molar_mass_g_per_mol", emit::number(mass)),
                ("aliases", emit::texts(&aliases)),
            ],
        ));
    }
    let doc = "Dissolved components: strong ions, then acid families, in the order the engine \
               counts them.";
    let table = emit::table("COMPONENTS", "ComponentRow", doc, &literals);
    Ok(table + &emit::component_names(&names_of_components))
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

fn limits(known: &mut Known, read_file: ReadFile) -> Result<String, String> {
    let columns = [
        "quantity",
        "authority",
        "low",
        "high",
        "unit",
        "status",
        "edition",
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
                ("edition", emit::text(row.text("edition")?)),
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

fn tastes(known: &mut Known, read_file: ReadFile) -> Result<String, String> {
    let columns = [
        "component",
        "mg_per_l",
        "missed_mg_per_l",
        "taste",
        "source",
    ];
    let mut keys = Keys::default();
    let mut literals = Vec::new();
    for row in rows::read("tastes.csv", &columns, read_file)? {
        let component = row.text("component")?;
        keys.take(&row, component)?;
        known.component(&row, component)?;
        let noticed = row.number_within("mg_per_l", 0.0, 1e5)?;
        let missed = row.optional_number("missed_mg_per_l")?;
        if missed.is_some_and(|missed| missed < noticed) {
            return Err(row.problem("what was missed is less than what is noticed"));
        }
        literals.push(emit::literal(
            "Taste",
            &[
                ("component", emit::text(component)),
                ("mg_per_l", emit::number(noticed)),
                ("missed_mg_per_l", emit::optional_number(missed)),
                ("taste", emit::text(row.text("taste")?)),
                known.source(&row)?,
            ],
        ));
    }
    let doc = "From how much a dissolved component is said to be tasted in beer.";
    Ok(emit::table("TASTES", "Taste", doc, &literals))
}

fn drinking_waters(known: &mut Known, read_file: ReadFile) -> Result<String, String> {
    let usual = ["usual", "usual_sd"];
    let columns = [
        "subject",
        "low",
        "high",
        "detection_limit",
        "usual",
        "usual_sd",
        "source",
    ];
    let mut keys = Keys::default();
    let mut literals = Vec::new();
    for row in rows::read("drinking-waters.csv", &columns, read_file)? {
        let subject = row.text("subject")?;
        keys.take(&row, subject)?;
        let low = row.number_within("low", 0.0, 1e5)?;
        let high = row.number_within("high", low, 1e5)?;
        let limit = row.number_within("detection_limit", 0.0, high)?;
        let usual = all_or_none(&row, usual)?;
        if usual.is_some_and(|[middle, sd]| !(low..=high).contains(&middle) || sd <= 0.0) {
            return Err(row.problem("`usual` is not between the ends, or `usual_sd` not positive"));
        }
        literals.push(emit::literal(
            "DrinkingWater",
            &[
                ("subject", emit::text(subject)),
                ("low", emit::number(low)),
                ("high", emit::number(high)),
                ("detection_limit", emit::number(limit)),
                ("usual", emit::optional_numbers(usual)),
                known.source(&row)?,
            ],
        ));
    }
    let doc = "What drinking waters hold, and what a report can state of each subject.";
    Ok(emit::table(
        "DRINKING_WATERS",
        "DrinkingWater",
        doc,
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
