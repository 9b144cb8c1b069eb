//! What follows from the figures of a report, to compare with what it states.

use super::entry::WaterReport;
use super::plain::{calculated_tds_mg_per_l, plain_liquor};
use crate::aqueous::Aqueous;
use crate::liquor::IonBalance;

/// What follows from the plain reading of a report.
#[derive(Clone, Copy, Debug, PartialEq)]
#[non_exhaustive]
pub struct Derived {
    /// Cations against anions.
    pub balance: IonBalance,
    /// Calcium and magnesium, eq/kg.
    pub hardness_eq_per_kg: f64,
    /// Residual alkalinity (Kolbach 1953), eq/kg.
    pub residual_alkalinity_eq_per_kg: f64,
    /// Sum of all ions as they are dissolved, mg/L.
    pub calculated_tds_mg_per_l: f64,
    /// Residue on evaporation by the ions, half of the bicarbonate gone, mg/L.
    pub residue_on_evaporation_mg_per_l: f64,
    /// Conductivity at 25 °C, µS/cm; `None` where the ions have no equilibrium.
    pub conductivity_25c_us_per_cm: Option<f64>,
}

/// What follows from the plain reading.
pub(crate) fn derived(report: &WaterReport) -> Derived {
    let liquor = plain_liquor(report);
    let [whole, dry] = calculated_tds_mg_per_l(report, &liquor);
    let at_25c = Aqueous::at(25.0).closed(&liquor).ok();
    Derived {
        balance: liquor.charge_balance(),
        hardness_eq_per_kg: 2.0 * liquor.hardness_mol_per_kg(),
        residual_alkalinity_eq_per_kg: liquor.residual_alkalinity_eq_per_kg(),
        calculated_tds_mg_per_l: whole,
        residue_on_evaporation_mg_per_l: dry,
        conductivity_25c_us_per_cm: at_25c.map(|water| water.conductivity_25c_us_per_cm()),
    }
}
