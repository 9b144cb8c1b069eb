//! Targets to begin with, by family of beer: each range comes from a rule of the tables.

use std::fmt;

use underlet_tables::{self as tables, BEER_FAMILIES, BeerFamily};

use super::{TargetKey, TargetRange, Targets};
use crate::checker::Checker;
use crate::error::InputError;
use crate::liquor::alkalinity_eq_per_kg;
use crate::naming::{self, Name};

/// Targets to begin with for a family of beers, and why; see [`targets_for`].
#[derive(Clone, Debug, PartialEq)]
#[non_exhaustive]
pub struct FamilyTargets {
    /// The family.
    pub family: &'static BeerFamily,
    /// Its targets, as [`BrewDay::targets`](super::BrewDay) takes them. Every one can be changed.
    pub targets: Targets,
    /// The rule of each target.
    pub rules: Vec<TargetRule>,
}

/// The range of one target and why it is that.
#[derive(Clone, Debug, PartialEq)]
#[non_exhaustive]
pub struct TargetRule {
    /// The target.
    pub target: TargetKey,
    /// The range as documents take it, such as "50-200 mg/L" or "at most 100 mg/L".
    pub range: String,
    /// Beers that the rule applies to: "every beer", or those of a trait, such as "malt high".
    pub applies_to: &'static str,
    /// The reason, in one or two sentences.
    pub why: &'static str,
    /// Where reason and range come from, and how far that was checked.
    pub sources: Vec<&'static tables::Source>,
}

/// Targets to begin with for a family of beers in plain words, such as "pale lager", built from
/// rules that state their reasons and sources ([`tables::TARGET_RULES`]). The ranges are wide: a
/// brewer narrows them for a beer.
///
/// # Errors
/// A name that is no family of [`tables::BEER_FAMILIES`].
///
/// ```
/// let lager = underlet::targets_for("pale lager")?;
/// assert_eq!(lager.rules[0].range, "50-200 mg/L");
/// assert!(lager.targets.mash_ph.is_some());
///
/// let error = underlet::targets_for("soft drink").unwrap_err();
/// assert!(error.problems[0].expected.starts_with("one of: pale lager, "));
/// # Ok::<(), underlet::InputError>(())
/// ```
pub fn targets_for(family: &str) -> Result<FamilyTargets, InputError> {
    let names: Vec<Name<'static>> = BEER_FAMILIES
        .iter()
        .map(|row| (row.name, [].as_slice()))
        .collect();
    let place = naming::find(family, &names, || {
        (
            naming::one_of(&names),
            naming::one_of_advice("family", &names),
        )
    });
    let mut checker = Checker::new();
    let row = place.as_ref().ok().and_then(|at| BEER_FAMILIES.get(*at));
    checker.at("family", place);
    let built = row.map(FamilyTargets::of).transpose();
    let built = built.map_err(InputError::from)?;
    checker.into_value(built)
}

impl FamilyTargets {
    fn of(family: &'static BeerFamily) -> Result<FamilyTargets, crate::error::Problem> {
        let mut targets = Targets::default();
        let mut rules = Vec::new();
        for row in family.rules() {
            let target: TargetKey = row.target.parse()?;
            set(&mut targets, target, row);
            rules.push(TargetRule {
                target,
                range: range_text(row),
                applies_to: row.applies_to,
                why: row.why,
                sources: row
                    .source
                    .split_whitespace()
                    .filter_map(tables::source)
                    .collect(),
            });
        }
        Ok(FamilyTargets {
            family,
            targets,
            rules,
        })
    }
}

/// Sets a target to the range of a rule.
fn set(targets: &mut Targets, target: TargetKey, row: &tables::TargetRule) {
    let range = match (row.low, row.high) {
        (Some(low), Some(high)) => TargetRange::between(low, high),
        (Some(low), None) => TargetRange::at_least(low),
        (None, Some(high)) => TargetRange::at_most(high),
        (None, None) => return,
    };
    match target {
        TargetKey::Component(ion) => {
            let range = range.converted(|mg_per_l| ion.mol_per_kg(mg_per_l));
            targets.ions.push((ion, range));
        }
        TargetKey::SulfateToChloride => targets.sulfate_to_chloride = Some(range),
        TargetKey::MashPh => targets.mash_ph = Some(range),
        TargetKey::SpargeAlkalinity => {
            targets.sparge_alkalinity = Some(range.converted(alkalinity_eq_per_kg));
        }
        // The tables have no rule for these; their build says so.
        TargetKey::SpargePh
        | TargetKey::Alkalinity
        | TargetKey::KettlePh
        | TargetKey::Confidence
        | TargetKey::SpargeConfidence => {}
    }
}

fn range_text(row: &tables::TargetRule) -> String {
    let range = match (row.low, row.high) {
        (Some(low), Some(high)) => format!("{low}-{high}"),
        (Some(low), None) => format!("at least {low}"),
        (None, high) => format!("at most {}", high.unwrap_or_default()),
    };
    format!("{range} {}", row.unit).trim_end().to_owned()
}

/// The family, each range with its reason, and the sources, as plain text.
impl fmt::Display for FamilyTargets {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        writeln!(f, "Targets for {}", self.family.name)?;
        writeln!(f, "{}\n", self.family.description)?;
        for rule in &self.rules {
            let target = rule.target.as_str().replace('_', " ");
            writeln!(f, "{target}: {} ({})", rule.range, rule.applies_to)?;
            writeln!(f, "  {}", rule.why)?;
        }
        writeln!(f, "\nSources, and how far each was checked")?;
        let mut named: Vec<&str> = Vec::new();
        for source in self.rules.iter().flat_map(|rule| &rule.sources) {
            if !named.contains(&source.key) {
                named.push(source.key);
                writeln!(f, "  {} ({})", source.reference, source.checked)?;
            }
        }
        Ok(())
    }
}
