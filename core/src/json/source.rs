//! Reads a source of water, of a brew day or a fit.

use super::ObjectReader;
use super::today_liquor::today_liquor;
use crate::component::{Component, Composition};
use crate::error::Code;
use crate::quantity;
use crate::recipe::Source;
use crate::treatment::Chlorine;
use crate::water_report::{self, alkalinity_of, liquor_of};

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
        "ReconciledWater's liquor out of a water document (its `today.liquor`), in place of ions, alkalinity and pH: how surely it is known \
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
    let liquor = source.checked("", liquor_of(ions, alkalinity?, ph))?;
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
    source.checked("", Chlorine::of_readings(free, total))
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
    // What is given and could not be read has its own problem.
    let is_unread = given != (false, false) && alkalinity.or(bicarbonate).is_none();
    if is_unread || (given == (false, false) && is_reconciled) {
        return None;
    }
    source.checked("", alkalinity_of((alkalinity, bicarbonate)));
    alkalinity.or(bicarbonate)
}
