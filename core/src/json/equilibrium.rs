//! Reads what is known of a water whose equilibrium is asked.

use super::ObjectReader;
use crate::document::{Attached, DocumentKind};
use crate::speciation::{Known, given};

const DESCRIPTIONS: [(&str, &str); 5] = [
    (
        "temperature",
        "Temperature of the water; 20 °C where it is left out.",
    ),
    (
        "alkalinity",
        "Total alkalinity. It is given with `ph`, `total_carbon` or `log10_pco2`.",
    ),
    (
        "ph",
        "pH at the temperature. It is given with `alkalinity` or `total_carbon`.",
    ),
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
    for (key, description) in DESCRIPTIONS {
        water.describe(key, description);
    }
    let given = given(|key| water.has(key));
    let known = Known::read(given, |key, quantity, of| {
        water.optional_concentration(key, quantity, of)
    });
    if let Some(problem) = known.undetermined() {
        water.problem(
            &problem.path,
            problem.code,
            problem.found,
            problem.expected,
            problem.hint,
        );
    }
    (attached, known)
}
