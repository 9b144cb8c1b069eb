//! A water at equilibrium as a document.

use std::collections::BTreeMap;

use schemars::JsonSchema;
use serde::Serialize;

use super::Speciation;

/// A water at equilibrium. What is both an argument and a result has the same name and unit in both.
#[derive(Clone, Debug, PartialEq, Serialize, JsonSchema)]
#[non_exhaustive]
pub struct EquilibriumDocument {
    /// Format version: 1.
    pub underlet: u32,
    /// Always "equilibrium".
    #[schemars(extend("const" = "equilibrium"))]
    pub document: &'static str,
    /// Temperature, °C.
    pub temperature: f64,
    /// pH on the activity scale, at the water's temperature.
    pub ph: f64,
    /// Alkalinity, mg/L as CaCO3: as given, or as pH and carbon make it.
    pub alkalinity: f64,
    /// Total inorganic carbon, mg/L as C.
    pub total_carbon: f64,
    /// Decimal logarithm of the partial pressure of carbon dioxide in atm that it is in balance
    /// with; null without carbon.
    pub log10_pco2: Option<f64>,
    /// Ionic strength, mol/kg of water.
    pub ionic_strength: f64,
    /// Conductivity at the water's temperature, µS/cm.
    pub conductivity_us_per_cm: f64,
    /// Conductivity referred to 25 °C, µS/cm, as a meter that corrects for natural water shows it.
    pub conductivity_25c_us_per_cm: f64,
    /// By mineral: decimal logarithm of ion activity product over solubility constant, where its
    /// ions are there.
    pub saturation_indices: BTreeMap<&'static str, f64>,
    /// Molality by formula, mol/kg of water.
    pub species: BTreeMap<&'static str, f64>,
    /// Exact derivatives of each result, and of each saturation index by its mineral's name, to
    /// each argument that counts, in the units of both: `sensitivities.calcite.calcium` is per mg/L of
    /// calcium.
    pub sensitivities: BTreeMap<&'static str, BTreeMap<&'static str, f64>>,
}

impl Speciation {
    /// The answer as a document.
    ///
    /// ```
    /// use underlet::speciation::Water;
    /// let well = Water {
    ///     alkalinity_mg_per_l_caco3: Some(180.0),
    ///     ph: Some(7.4),
    ///     ..Water::default()
    /// };
    /// let answer = well.speciate()?.document();
    /// assert_eq!((answer.temperature, answer.ph), (20.0, 7.4));
    /// assert!((answer.sensitivities["alkalinity"]["alkalinity"] - 1.0).abs() < 1e-12);
    /// # Ok::<(), underlet::error::InputError>(())
    /// ```
    pub fn document(&self) -> EquilibriumDocument {
        let sensitivities = self.sensitivities().into_iter();
        EquilibriumDocument {
            underlet: crate::FORMAT_VERSION,
            document: "equilibrium",
            temperature: self.state.liquor.temperature_c,
            ph: self.state.ph,
            alkalinity: self.alkalinity_mg_per_l_caco3(),
            total_carbon: self.total_carbon_mg_per_l(),
            log10_pco2: self.log10_pco2(),
            ionic_strength: self.state.ionic_strength_mol_per_kg,
            conductivity_us_per_cm: self.state.conductivity_us_per_cm(),
            conductivity_25c_us_per_cm: self.state.conductivity_25c_us_per_cm(),
            saturation_indices: self.saturation_indices().collect(),
            species: self.state.species().collect(),
            sensitivities: sensitivities
                .map(|(result, by)| (result, by.into_iter().collect()))
                .collect(),
        }
    }
}
