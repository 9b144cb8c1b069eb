//! The targets of a family of beers as JSON.

use serde::Serialize;

use super::names::Ordered;
use super::output::text;
use crate::recipe::{FamilyTargets, TargetKey, TargetRule};

#[derive(Serialize)]
struct Written<'t> {
    family: &'static str,
    description: &'static str,
    hops: &'static str,
    malt: &'static str,
    colour: &'static str,
    targets: Ordered<&'t str>,
    rules: Vec<WrittenRule<'t>>,
}

#[derive(Serialize)]
struct WrittenRule<'t> {
    target: TargetKey,
    range: &'t str,
    applies_to: &'static str,
    why: &'static str,
    sources: Vec<WrittenSource>,
}

#[derive(Serialize)]
struct WrittenSource {
    reference: &'static str,
    checked: &'static str,
}

impl FamilyTargets {
    /// The family, `targets` as a brew day takes them, and `rules`, as compact JSON: the same
    /// bytes in every language.
    ///
    /// ```
    /// let mild: serde_json::Value = serde_json::from_str(&underlet::targets_for("mild")?.to_json())?;
    /// assert_eq!(mild["targets"]["chloride"], "80-200 mg/L");
    ///
    /// let mut day: serde_json::Value = serde_json::from_str(underlet::EXAMPLES[1].1)?;
    /// day["targets"] = mild["targets"].clone();
    /// assert!(underlet::BrewDay::from_json(&day.to_string()).is_ok());
    /// # Ok::<(), Box<dyn std::error::Error>>(())
    /// ```
    pub fn to_json(&self) -> String {
        let ranges = self.rules.iter();
        let ranges = ranges.map(|rule| (rule.target.as_str(), rule.range.as_str()));
        text(&Written {
            family: self.family.name,
            description: self.family.description,
            hops: self.family.hops,
            malt: self.family.malt,
            colour: self.family.colour,
            targets: Ordered(ranges.collect()),
            rules: self.rules.iter().map(written).collect(),
        })
    }
}

fn written(rule: &TargetRule) -> WrittenRule<'_> {
    let sources = rule.sources.iter().map(|source| WrittenSource {
        reference: source.reference,
        checked: source.checked,
    });
    WrittenRule {
        target: rule.target,
        range: &rule.range,
        applies_to: rule.applies_to,
        why: rule.why,
        sources: sources.collect(),
    }
}
