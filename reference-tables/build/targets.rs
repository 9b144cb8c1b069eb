//! Families of beer and the rules of their targets.

use super::emit;
use super::rows::{self, ReadFile, Row};
use super::tables::{Keys, Known};
use std::collections::BTreeMap;

/// What sets families apart, each in three steps.
const TRAITS: [(&str, [&str; 3]); 3] = [
    ("hops", ["low", "medium", "high"]),
    ("malt", ["low", "medium", "high"]),
    ("colour", ["pale", "amber", "dark"]),
];

/// A rule that holds for all families.
const EVERY_BEER: &str = "every beer";

/// Targets beside the ions, with their units.
const OTHERS: [(&str, &str); 3] = [
    ("sulfate_to_chloride", ""),
    ("mash_ph", ""),
    ("sparge_alkalinity", "mg/L as CaCO3"),
];

/// Both tables: no family may have two rules for one target.
pub fn targets(known: &mut Known, read_file: ReadFile) -> Result<String, String> {
    let columns = ["name", "description", "hops", "malt", "colour", "source"];
    let families = rows::read("beer-families.csv", &columns, read_file)?;
    let columns = [
        "target",
        "applies_to",
        "low",
        "high",
        "unit",
        "why",
        "source",
    ];
    let rules = rows::read("target-rules.csv", &columns, read_file)?;
    let mut names = Keys::default();
    let mut literals = Vec::new();
    for row in &families {
        names.take(row, row.text("name")?)?;
        literals.push(family(known, row)?);
        one_rule_each(row, &rules)?;
    }
    let doc = "Families of beer, each by how hops, malt and colour weigh in it.";
    let of_families = emit::table("BEER_FAMILIES", "BeerFamily", doc, &literals);
    let literals: Result<Vec<_>, _> = rules.iter().map(|row| rule(known, row)).collect();
    let doc = "Rules of the targets to begin with, in the order of the targets.";
    Ok(of_families + &emit::table("TARGET_RULES", "TargetRule", doc, &literals?))
}

fn family(known: &mut Known, row: &Row) -> Result<String, String> {
    let mut fields = vec![
        ("name", emit::text(row.text("name")?)),
        ("description", emit::text(row.text("description")?)),
        known.source(row)?,
    ];
    for (of, steps) in TRAITS {
        fields.push((of, emit::text(row.one_of(of, &steps)?)));
    }
    Ok(emit::literal("BeerFamily", &fields))
}

/// Refuses two rules for one target of a family.
fn one_rule_each(family: &Row, rules: &[Row]) -> Result<(), String> {
    let mut ruled = BTreeMap::new();
    for rule in rules {
        let applies_to = rule.text("applies_to")?;
        let applies = match applies_to.split_once(' ') {
            _ if applies_to == EVERY_BEER => true,
            Some((of, step)) if TRAITS.iter().any(|(name, _)| *name == of) => {
                family.text(of)? == step
            }
            _ => false,
        };
        let target = rule.text("target")?;
        if applies && let Some(earlier) = ruled.insert(target, applies_to) {
            let name = family.text("name")?;
            return Err(rule.problem(format!(
                "{name} has two rules for `{target}`: `{earlier}` and `{applies_to}`"
            )));
        }
    }
    Ok(())
}

fn rule(known: &mut Known, row: &Row) -> Result<String, String> {
    let target = row.text("target")?;
    let unit = row.optional("unit")?.unwrap_or_default();
    let expected = match OTHERS.iter().find(|(other, _)| *other == target) {
        Some((_, unit)) => unit,
        None => known.component(row, target).map(|_| "mg/L")?,
    };
    if unit != expected {
        return Err(row.problem(format!("`unit` is `{unit}`, expected `{expected}`")));
    }
    let steps = TRAITS
        .iter()
        .flat_map(|(of, steps)| steps.map(|step| format!("{of} {step}")));
    let known_to_apply: Vec<String> = steps.chain([EVERY_BEER.to_owned()]).collect();
    let known_to_apply: Vec<&str> = known_to_apply.iter().map(String::as_str).collect();
    let applies_to = row.one_of("applies_to", &known_to_apply)?;
    let (low, high) = (row.optional_number("low")?, row.optional_number("high")?);
    let is_range = match (low, high) {
        (Some(low), Some(high)) => 0.0 <= low && low < high,
        (Some(end), None) | (None, Some(end)) => end > 0.0,
        (None, None) => false,
    };
    if !is_range {
        return Err(row.problem("`low` to `high` is no range"));
    }
    Ok(emit::literal(
        "TargetRule",
        &[
            ("target", emit::text(target)),
            ("applies_to", emit::text(applies_to)),
            ("low", emit::optional_number(low)),
            ("high", emit::optional_number(high)),
            ("unit", emit::text(unit)),
            ("why", emit::text(row.text("why")?)),
            known.source(row)?,
        ],
    ))
}
