//! Reads what is known of a water whose equilibrium is asked.

use super::ObjectReader;
use crate::ion::Composition;
use crate::quantity;
use crate::speciation::{CARBON, IONS, Known, SETTLING, named, unsettled};

/// Reads it; the result can be solved only if no problem was met.
pub(super) fn known(water: &mut ObjectReader<'_>) -> Known {
    water.describe(
        "temperature",
        "Temperature of the water; 20 °C where it is left out.",
    );
    let temperature_c = water.optional_quantity("temperature", &quantity::TEMPERATURE);
    let mut ions = Composition::NOTHING;
    for ion in IONS {
        let amount = water.optional_concentration(ion.key(), &quantity::ION, &ion.substance());
        ions.set(ion, amount.unwrap_or(0.0));
    }
    water.describe(
        "alkalinity",
        "Total alkalinity. It is given with `ph`, `total_carbon` or `log10_pco2`.",
    );
    let alkalinity_eq_per_kg = water.optional_quantity("alkalinity", &quantity::ALKALINITY);
    water.describe(
        "ph",
        "pH at the temperature. It is given with `alkalinity` or `total_carbon`.",
    );
    let ph = water.optional_quantity("ph", &quantity::PH);
    water.describe(
        "total_carbon",
        "Total inorganic carbon, as C. It is given with `alkalinity` or `ph`.",
    );
    let carbon_mol_per_kg = water.optional_concentration("total_carbon", &quantity::ION, &CARBON);
    water.describe(
        "log10_pco2",
        "Decimal logarithm of the partial pressure of carbon dioxide in atm. It is given with \
         `alkalinity`.",
    );
    let log10_pco2 = water.optional_quantity("log10_pco2", &quantity::LOG10_PCO2);
    let given = SETTLING.map(|key| water.has(key));
    if let Some(problem) = unsettled(&named(given)) {
        water.problem(
            &problem.path,
            problem.code,
            problem.read,
            problem.expected,
            problem.mend,
        );
    }
    Known {
        temperature_c,
        ions,
        alkalinity_eq_per_kg,
        ph,
        carbon_mol_per_kg,
        log10_pco2,
    }
}
