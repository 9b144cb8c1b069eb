//! Reads a source of water, of a brew day or a fit.

use underlet_tables::parameters;

use super::ObjectReader;
use super::today_liquor::today_liquor;
use crate::component::{Component, Composition};
use crate::error::Code;
use crate::liquor::{Liquor, assumed_ph};
use crate::quantity;
use crate::recipe::Source;
use crate::treatment::Chlorine;
use crate::water_report;

pub(super) fn source(source: &mut ObjectReader<'_>) -> Option<Source> {
    source.describe("name", "Name of the water, such as \"well\".");
    let name = source.text("name");
    let mut ions = Composition::ZERO;
    for ion in Component::ALL.into_iter().filter(|ion| !ion.is_weak_acid()) {
        if let Some(amount) =
            source.optional_concentration(ion.key(), &quantity::ION, &ion.substance())
        {
            ions.set(ion, amount);
        }
    }
    source.describe(
        "liquor",
        "Reconciled liquor out of a water document (its `reconciled.liquor`), in place of ions, alkalinity and pH: how surely it is known \
         counts in the error bars.",
    );
    let reconciled = source.optional_object("liquor", today_liquor);
    let is_reconciled = source.has("liquor");
    let alkalinity = alkalinity(source, is_reconciled);
    source.describe("ph", "pH of the report; without it 7.5 is taken.");
    let ph = source.optional_quantity("ph", &quantity::PH);
    let chlorine = chlorine(source);
    source.describe(
        "max_amount",
        "Most that can be drawn for all brews of the day, cold.",
    );
    let max_amount_l = source.optional_quantity("max_amount", &quantity::AVAILABLE_VOLUME);
    if is_reconciled {
        check_alone(source);
        return Some(Source {
            chlorine: chlorine?,
            ..Source::reconciled(name?, &reconciled?, max_amount_l)
        });
    }
    let temperature_c = parameters::SAMPLE_TEMPERATURE.value;
    let mut liquor = Liquor {
        ions,
        alkalinity_eq_per_kg: alkalinity?,
        carbon_mol_per_kg: 0.0,
        temperature_c,
    };
    let carbon = water_report::carbon_mol_per_kg(&liquor, ph.unwrap_or_else(assumed_ph));
    let Some(carbon) = carbon else {
        source.problem(
            "ph",
            Code::Contradiction,
            format!(
                "pH {} beside an alkalinity of {}",
                ph.unwrap_or_else(assumed_ph),
                quantity::ALKALINITY.write(liquor.alkalinity_eq_per_kg)
            ),
            "a pH at which water can carry this alkalinity",
            "Check both values: acid water carries little alkalinity, and a high pH alone makes some.",
        );
        return None;
    };
    liquor.carbon_mol_per_kg = carbon;
    Some(Source {
        name: name?,
        liquor,
        ph_assumed: ph.is_none(),
        chlorine: chlorine?,
        max_amount_l,
        reconciled: None,
    })
}

/// Chlorine, none where none is stated. What a total holds beyond the free is combined.
fn chlorine(source: &mut ObjectReader<'_>) -> Option<Chlorine> {
    let [free, total] = [
        (
            water_report::Subject::FreeChlorine,
            "Free chlorine, as Cl2.",
        ),
        (
            water_report::Subject::TotalChlorine,
            "Total chlorine, chloramines among it, as Cl2.",
        ),
    ]
    .map(|(subject, text)| {
        source.describe(subject.key(), text);
        let quantity = subject.quantity();
        source.optional_concentration(subject.key(), quantity, &subject.substance())
    });
    let combined = total.zip(free).map_or(total, |(total, free)| {
        (free <= total).then_some(total - free)
    });
    if total.is_some() && combined.is_none() {
        source.problem(
            "total_chlorine",
            Code::Contradiction,
            "less than the free chlorine",
            "free and combined chlorine together",
            "Check both values; the total is never less than the free.",
        );
        return None;
    }
    Some(Chlorine {
        free_mol_per_kg: free.unwrap_or(0.0),
        combined_mol_per_kg: combined.unwrap_or(0.0),
    })
}

/// A reconciled liquor says all of a source's composition.
fn check_alone(source: &mut ObjectReader<'_>) {
    let others = ["alkalinity", "bicarbonate", "ph"];
    for key in Component::ALL.into_iter().map(Component::key).chain(others) {
        if source.has(key) {
            source.problem(
                key,
                Code::Contradiction,
                format!("\"{key}\" beside \"liquor\""),
                "either the liquor of a water document, or the composition itself",
                "Move it into the water report, or delete it.",
            );
        }
    }
}

/// Alkalinity, or bicarbonate in its place.
fn alkalinity(source: &mut ObjectReader<'_>, is_reconciled: bool) -> Option<f64> {
    source.describe("alkalinity", "Total alkalinity; or give bicarbonate.");
    source.describe("bicarbonate", "Bicarbonate, in place of alkalinity.");
    let given = (source.has("alkalinity"), source.has("bicarbonate"));
    let alkalinity = source.optional_quantity("alkalinity", &quantity::ALKALINITY);
    let bicarbonate = source.optional_concentration(
        "bicarbonate",
        &quantity::ION,
        &water_report::Subject::Bicarbonate.substance(),
    );
    if given == (false, false) && !is_reconciled {
        source.problem(
            "alkalinity",
            Code::MissingKey,
            "nothing",
            quantity::ALKALINITY.expectation(),
            "Write \"alkalinity\": \"180 mg/L as CaCO3\", or give \"bicarbonate\".",
        );
    }
    if let (Some(alkalinity), Some(bicarbonate)) = (alkalinity, bicarbonate)
        && (alkalinity - bicarbonate).abs()
            > parameters::ALKALINITY_AGREEMENT.value * alkalinity.max(bicarbonate)
    {
        source.problem(
            "bicarbonate",
            Code::Contradiction,
            format!(
                "bicarbonate worth {} beside an alkalinity of {}",
                quantity::ALKALINITY.write(bicarbonate),
                quantity::ALKALINITY.write(alkalinity)
            ),
            "two values that agree",
            "Give the one that was measured; one of them may be stated on the other's basis.",
        );
    }
    alkalinity.or(bicarbonate)
}
