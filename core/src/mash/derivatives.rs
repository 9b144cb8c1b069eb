//! How a mash pH moves with everything that goes into it.

use super::{Chemistry, Mash};
use crate::component::{Component, Composition};
use crate::liquor::Dose;

/// Exact derivatives of a mash pH, by the implicit-function theorem: a change of the acid missing
/// over the buffering. They count what an ion does to the activity coefficients as well.
#[derive(Clone, Debug, PartialEq)]
#[non_exhaustive]
pub struct Derivatives {
    /// Of each malt, in the order of the grist.
    pub malts: Vec<MaltDerivatives>,
    /// Per kg of water, its composition unchanged.
    pub water_kg: f64,
    /// Per mol/kg of each ion or weak acid in the liquor, alkalinity unchanged.
    pub ions: Composition,
    /// Per eq/kg of alkalinity.
    pub alkalinity_eq_per_kg: f64,
    /// Per mol/kg of inorganic carbon.
    pub carbon_mol_per_kg: f64,
    /// Per eq of protons in the whole mash.
    pub acid_eq: f64,
    /// Per κ, the share of carbon still dissolved.
    pub carbon_share: f64,
    /// Per φ of calcium.
    pub calcium_protons: f64,
    /// Per φ of magnesium.
    pub magnesium_protons: f64,
}

/// Derivatives of a mash pH to a malt.
#[derive(Clone, Copy, Debug, PartialEq)]
#[non_exhaustive]
pub struct MaltDerivatives {
    /// Per pH of its own.
    pub distilled_water_ph: f64,
    /// Per eq/(kg pH) of its buffering.
    pub buffering: f64,
    /// Per eq/(kg pH²) of its curvature.
    pub curvature: f64,
    /// Per kg.
    pub mass_kg: f64,
}

impl Derivatives {
    /// Derivatives of a mash at a pH.
    pub fn of(mash: &Mash<'_>, chemistry: &Chemistry, ph: f64) -> Derivatives {
        let per_eq = 1.0 / mash.buffering_eq_per_ph(chemistry, ph);
        let per_kg = mash.water_kg * per_eq;
        let ions = &mash.liquor.ions;
        let assumed = chemistry.assumptions();
        let per_strength = per_kg * chemistry.acid_required_per_ionic_strength(&mash.liquor, ph);
        let charge_per_carbon = chemistry.charge_per_carbon(ph);
        let [calcium, magnesium] =
            [Component::Calcium, Component::Magnesium].map(Component::charge);
        let mut per_ion = Composition::ZERO;
        for ion in Component::ALL {
            let protons = match ion {
                Component::Calcium => calcium * assumed.calcium_protons,
                Component::Magnesium => magnesium * assumed.magnesium_protons,
                _ => chemistry.charge_per_acid(ion, ph),
            };
            let strength = ion.charge() * ion.charge() / 2.0;
            per_ion.set(ion, per_strength * strength - per_kg * protons);
        }
        // Alkalinity is treated as bicarbonate in the ionic strength.
        let strength = if mash.liquor.alkalinity_eq_per_kg > 0.0 {
            0.5
        } else {
            0.0
        };
        Derivatives {
            malts: mash
                .grist
                .iter()
                .map(|malt| {
                    let [distilled_water_ph, buffering, curvature] = malt
                        .curve
                        .acid_derivatives(ph)
                        .map(|acid| malt.mass_kg * acid * per_eq);
                    MaltDerivatives {
                        distilled_water_ph,
                        buffering,
                        curvature,
                        mass_kg: malt.curve.acid_eq_per_kg(ph) * per_eq,
                    }
                })
                .collect(),
            water_kg: mash.residual_alkalinity_eq_per_kg(chemistry, ph) * per_eq,
            ions: per_ion,
            alkalinity_eq_per_kg: per_kg + per_strength * strength,
            carbon_mol_per_kg: -per_kg * assumed.carbon_share * charge_per_carbon,
            acid_eq: -per_eq,
            carbon_share: -per_kg * mash.liquor.carbon_mol_per_kg * charge_per_carbon,
            calcium_protons: -per_kg * calcium * ions.get(Component::Calcium),
            magnesium_protons: -per_kg * magnesium * ions.get(Component::Magnesium),
        }
    }

    /// Per unit of a reagent, spread over a mass of water of which the mash's is a part, kg.
    pub fn per_dose(&self, dose: &Dose, water_kg: f64) -> f64 {
        let ions: f64 = self
            .ions
            .amounts()
            .zip(dose.ions.amounts())
            .map(|(derivative, amount)| derivative * amount)
            .sum();
        (ions
            + self.alkalinity_eq_per_kg * dose.alkalinity_eq
            + self.carbon_mol_per_kg * dose.carbon_mol)
            / water_kg
    }
}
