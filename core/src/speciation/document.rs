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

impl EquilibriumDocument {
    /// The document of a water at equilibrium.
    pub(crate) fn of(water: &Speciation) -> EquilibriumDocument {
        let sensitivities = water.sensitivities().into_iter();
        EquilibriumDocument {
            head: DocumentHead::of(DocumentKind::Equilibrium, &Attached::default()),
            temperature: water.state.liquor.temperature_c,
            ph: water.state.ph,
            alkalinity: water.alkalinity_mg_per_l_caco3(),
            total_carbon: water.total_carbon_mg_per_l(),
            log10_pco2: water.log10_pco2(),
            ionic_strength: water.state.ionic_strength_mol_per_kg,
            conductivity_us_per_cm: water.state.conductivity_us_per_cm(),
            conductivity_25c_us_per_cm: water.state.conductivity_25c_us_per_cm(),
            saturation_indices: by_name(water.saturation_indices()),
            species: by_name(water.state.species()),
            sensitivities: sensitivities
                .map(|(result, by)| (result.into(), by_name(by.into_iter())))
                .collect(),
        }
    }
}

fn by_name(of: impl Iterator<Item = (&'static str, f64)>) -> BTreeMap<Cow<'static, str>, f64> {
    of.map(|(name, value)| (name.into(), value)).collect()
}
