//! A water of a reference: ions in mg per kg of water, and those of pH, alkalinity, carbon and
//! partial pressure that it tells.

use underlet::aqueous::{Aqueous, Equilibrium};
use underlet::component::{Component, Composition};
use underlet::liquor::Liquor;

use super::node::Node;
use super::{Fault, Outcome};

/// mg of CaCO3 to the meq, as the reference files have it (IUPAC 2021 standard atomic weights).
pub const CACO3_MG_PER_MEQ: f64 = 50.0435;

/// Weak acids whose alkalinity the reference program counts from their singly charged anion: its
/// alkalinity is less than the core's by as many equivalents as there are moles. (Silicic acid it
/// counts uncharged, as the core does.)
const COUNTED_AS_ANIONS: [Component; 2] = [Component::Phosphate, Component::Lactate];

/// A water of a reference.
#[derive(Clone, Debug)]
pub struct Water {
    /// Ions, temperature and, where given, alkalinity and carbon.
    pub liquor: Liquor,
    /// pH, where given.
    pub ph: Option<f64>,
    /// log10 of a partial pressure of carbon dioxide in atm, where given.
    pub log10_pco2: Option<f64>,
    /// Whether the alkalinity is given, and whether the carbon is.
    reported: [bool; 2],
}

impl Water {
    /// Reads a water.
    ///
    /// # Errors
    /// When a value is not what its key promises.
    pub fn read(node: &Node) -> Result<Water, String> {
        let number = |key: &str| node.find(key).map(|value| value.number()).transpose();
        let mut ions = Composition::ZERO;
        for (symbol, value) in node.need("mg_l")?.entries()? {
            let ion = ion(symbol).ok_or_else(|| value.complaint("an ion that the engine knows"))?;
            ions.set(ion, value.amount()? / (1000.0 * ion.molar_mass_g_per_mol()));
        }
        let alkalinity = number("alk_mg_l_caco3")?;
        let carbon = number("dic_mmol")?;
        let mut liquor = Liquor {
            ions,
            carbon_mol_per_kg: carbon.unwrap_or(0.0) / 1000.0,
            temperature_c: node.need("temp_c")?.number()?,
            ..Liquor::default()
        };
        liquor.alkalinity_eq_per_kg =
            alkalinity.unwrap_or(0.0) / (1000.0 * CACO3_MG_PER_MEQ) + counted_as_anions(&liquor);
        Ok(Water {
            liquor,
            ph: number("pH")?,
            log10_pco2: number("log_pco2")?,
            reported: [alkalinity.is_some(), carbon.is_some()],
        })
    }

    /// The water at equilibrium: two of pH, alkalinity, carbon and partial pressure settle it.
    ///
    /// # Errors
    /// When other values are given than two that determine it, or when the engine refuses them.
    pub fn equilibrium(&self) -> Outcome<Equilibrium> {
        self.equilibrium_at(&Aqueous::at(self.liquor.temperature_c))
    }

    /// The same with the constants of its temperature made before.
    ///
    /// # Errors
    /// As [`Self::equilibrium`].
    pub fn equilibrium_at(&self, aqueous: &Aqueous) -> Outcome<Equilibrium> {
        let state = match (self.ph, self.reported, self.log10_pco2) {
            (Some(ph), [true, false], None) => aqueous.with_ph(&self.liquor, ph),
            (Some(ph), [false, true], None) => aqueous.with_ph_and_carbon(&self.liquor, ph),
            (None, [true, true], None) => aqueous.closed(&self.liquor),
            (None, [true, false], Some(pressure)) => aqueous.open(&self.liquor, pressure),
            _ => {
                return Err(Fault::Unreadable(
                    "a water wants two of pH, alk_mg_l_caco3, dic_mmol and log_pco2: pH with \
                     alkalinity or carbon, or alkalinity with carbon or pressure"
                        .to_owned(),
                ));
            }
        };
        Ok(state?)
    }
}

/// The ion of a symbol such as `SO4`.
pub fn ion(symbol: &str) -> Option<Component> {
    Component::ALL
        .into_iter()
        .find(|ion| ion.symbol() == symbol)
}

/// Alkalinity as the reference program counts it, eq/kg.
pub fn reference_alkalinity_eq_per_kg(liquor: &Liquor) -> f64 {
    liquor.alkalinity_eq_per_kg - counted_as_anions(liquor)
}

fn counted_as_anions(liquor: &Liquor) -> f64 {
    COUNTED_AS_ANIONS
        .into_iter()
        .map(|ion| liquor.ions.get(ion))
        .sum()
}
