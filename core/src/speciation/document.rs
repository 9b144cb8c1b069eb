//! A water at equilibrium as a document.

use std::borrow::Cow;
use std::collections::BTreeMap;

use serde::{Deserialize, Serialize};

use super::Speciation;
use crate::document::{Attached, DocumentHead, DocumentKind, document};

document! {
    derive(Clone, Debug, PartialEq, Serialize, Deserialize);

    /// A water at equilibrium. What is both an argument and a result has the same name and unit in
    /// both.
    pub struct EquilibriumDocument {
        /// Versions, kind, and what the user attached.
        #[serde(flatten)]
        pub head: DocumentHead,
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
        /// Conductivity referred to 25 °C, µS/cm, as a meter that corrects for natural water shows
        /// it.
        pub conductivity_25c_us_per_cm: f64,
        /// By mineral: decimal logarithm of ion activity product over solubility constant, where
        /// its ions are there.
        pub saturation_indices: BTreeMap<Cow<'static, str>, f64>,
        /// Molality by formula, mol/kg of water.
        pub species: BTreeMap<Cow<'static, str>, f64>,
        /// Exact derivatives of each result, and of each saturation index by its mineral's name, to
        /// each argument that counts, in the units of both: `sensitivities.calcite.calcium` is per
        /// mg/L of calcium.
        pub sensitivities: BTreeMap<Cow<'static, str>, BTreeMap<Cow<'static, str>, f64>>,
    }
}

impl Speciation {
    /// The equilibrium as a document.
    ///
    /// ```
    /// use underlet::speciation::Water;
    /// let well = Water {
    ///     alkalinity_mg_per_l_caco3: Some(180.0),
    ///     ph: Some(7.4),
    ///     ..Water::default()
    /// };
    /// let document = well.speciate()?.document();
    /// assert_eq!((document.temperature, document.ph), (20.0, 7.4));
    /// assert!((document.sensitivities["alkalinity"]["alkalinity"] - 1.0).abs() < 1e-12);
    /// # Ok::<(), underlet::error::InputError>(())
    /// ```
    pub fn document(&self) -> EquilibriumDocument {
        let sensitivities = self.sensitivities().into_iter();
        EquilibriumDocument {
            head: DocumentHead::of(DocumentKind::Equilibrium, &Attached::default()),
            temperature: self.state.liquor.temperature_c,
            ph: self.state.ph,
            alkalinity: self.alkalinity_mg_per_l_caco3(),
            total_carbon: self.total_carbon_mg_per_l(),
            log10_pco2: self.log10_pco2(),
            ionic_strength: self.state.ionic_strength_mol_per_kg,
            conductivity_us_per_cm: self.state.conductivity_us_per_cm(),
            conductivity_25c_us_per_cm: self.state.conductivity_25c_us_per_cm(),
            saturation_indices: by_name(self.saturation_indices()),
            species: by_name(self.state.species()),
            sensitivities: sensitivities
                .map(|(result, by)| (result.into(), by_name(by.into_iter())))
                .collect(),
        }
    }
}

fn by_name(of: impl Iterator<Item = (&'static str, f64)>) -> BTreeMap<Cow<'static, str>, f64> {
    of.map(|(name, value)| (name.into(), value)).collect()
}
