//! Reads what is known of a water, for its equilibrium.

use super::ObjectReader;
use super::water::{figures, made};
use crate::document::{Attached, DocumentKind};
use crate::quantity;
use crate::speciation::{CARBON, Known, given};
use crate::water_report;

const DESCRIPTIONS: [(&str, &str); 2] = [
    (
        "total_carbon",
        "Total inorganic carbon, as C. It is given with `alkalinity` or `ph`.",
    ),
    (
        "log10_pco2",
        "Decimal logarithm of the partial pressure of carbon dioxide in atm. It is given with \
         `alkalinity`.",
    ),
];

/// Reads it with what the user attached; the result can be solved only if no problem was met.
pub(super) fn known(water: &mut ObjectReader<'_>) -> (Attached, Known) {
    let attached = water.head_without_version(DocumentKind::EquilibriumInput);
    let report = figures(water);
    for (key, description) in DESCRIPTIONS {
        water.describe(key, description);
    }
    let carbon_mol_per_kg = water.optional_concentration("total_carbon", &quantity::ION, &CARBON);
    let log10_pco2 = water.optional_quantity("log10_pco2", &quantity::LOG10_PCO2);
    let known = Known {
        given: given(|key| water.has(key)),
        report,
        carbon_mol_per_kg,
        log10_pco2,
    };
    water.checked("", known.determined());
    if known.given.contains(&"alkalinity") {
        made(water, &known.report, |report| {
            Ok(water_report::checked_alkalinity(report)?)
        });
    }
    (attached, known)
}
