//! The mash: malts and liquor settle at the pH where the proton balance closes.
//!
//! With `a(pH)` the acid a kilogram of malt takes to come from its own distilled-water pH to pH, κ the share of
//! carbon still in solution, φ the protons released per equivalent of calcium and magnesium:
//!
//! ```text
//! Σ m·a(pH) + W·[Alk − κ·C·(α1 + 2 α2)(pH)] − W·(φCa·Ca + φMg·Mg) − Σ n·z(pH) = 0
//! ```
//!
//! Coarse so far: a malt's titration curve is a straight line from its distilled-water pH; water that the malt
//! itself holds is left out; ion pairs are left out of the balance. The sample is cooled and taken 20 to 60 minutes in.

mod forecast;

pub use forecast::{Cause, DoseUncertainty, Forecast};

use underlet_tables::{MALTS, parameters};

use crate::aqueous::Acidity;
use crate::ion::Ion;
use crate::liquor::{Dose, Liquor};
use crate::math;

/// A malt or adjunct in the grist.
#[derive(Clone, Debug, PartialEq)]
pub struct Malt {
    /// Name for people.
    pub name: String,
    /// Mass, kg.
    pub mass_kg: f64,
    /// Its titration curve.
    pub curve: TitrationCurve,
    /// True where the curve is the average of its trade class, not of this lot.
    pub is_class_prior: bool,
}

/// How a malt takes acid: a straight line through its own pH in distilled water.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct TitrationCurve {
    /// pH of its mash in distilled water, cooled sample.
    pub own_ph: f64,
    /// Standard deviation of that pH.
    pub own_ph_sd: f64,
    /// Buffering, eq per kg and pH. Zero for sugars.
    pub buffering_eq_per_kg_ph: f64,
    /// Its standard deviation.
    pub buffering_sd: f64,
}

impl TitrationCurve {
    /// The prior of a trade class of the malt table.
    pub fn of_class(class: &str) -> Option<TitrationCurve> {
        let row = MALTS.iter().find(|row| row.class == class)?;
        let Some(own_ph) = row.ph_in_distilled_water else {
            return Some(TitrationCurve::inert());
        };
        Some(TitrationCurve {
            own_ph,
            own_ph_sd: row.ph_sd,
            buffering_eq_per_kg_ph: row.buffering_meq_per_kg_ph / 1000.0,
            buffering_sd: row.buffering_sd / 1000.0,
        })
    }

    /// What neither takes nor gives acid, such as sugar.
    pub fn inert() -> TitrationCurve {
        TitrationCurve {
            own_ph: NEUTRAL_PH,
            own_ph_sd: 0.0,
            buffering_eq_per_kg_ph: 0.0,
            buffering_sd: 0.0,
        }
    }

    /// Acid taken to come to a pH, eq/kg; negative where it must give acid instead.
    pub fn acid_eq_per_kg(&self, ph: f64) -> f64 {
        self.buffering_eq_per_kg_ph * (self.own_ph - ph)
    }
}

/// Stands where an inert adjunct has no pH of its own; it is multiplied by a buffering of zero.
const NEUTRAL_PH: f64 = 7.0;
/// Ends between which a mash pH is looked for.
const PH_FLOOR: f64 = 1.0;
const PH_CEILING: f64 = 13.0;

/// Malts in liquor.
#[derive(Clone, Copy, Debug)]
pub struct Mash<'a> {
    /// The grist.
    pub grist: &'a [Malt],
    /// Mass of water, kg.
    pub water_kg: f64,
    /// The liquor with all that was added to it and to the tun.
    pub liquor: Liquor,
}

/// The terms of the proton balance at one pH: what the fit needs to write it as a line in the doses.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct BalanceCoefficients {
    /// Charge per mole of inorganic carbon that still holds protons back, `κ (α1 + 2 α2)`.
    pub per_carbon: f64,
    /// Protons per mole of calcium.
    pub per_calcium: f64,
    /// Protons per mole of magnesium.
    pub per_magnesium: f64,
    ph: f64,
}

/// What the proton balance needs of water chemistry at the sample temperature, computed once per ionic strength.
#[derive(Clone, Debug)]
pub struct Chemistry {
    acidity: Acidity,
}

impl Chemistry {
    /// Constants for a liquor of an ionic strength, mol/kg.
    pub fn at(ionic_strength_mol_per_kg: f64) -> Chemistry {
        Chemistry {
            acidity: Acidity::at(
                parameters::SAMPLE_TEMPERATURE.value,
                ionic_strength_mol_per_kg,
            ),
        }
    }

    /// Coefficients of the balance at a pH.
    pub fn coefficients(&self, ph: f64) -> BalanceCoefficients {
        BalanceCoefficients {
            per_carbon: parameters::CARBON_SHARE_IN_MASH.value * self.acidity.per_carbon(ph),
            per_calcium: Ion::Calcium.charge() * parameters::CALCIUM_PROTONS_PER_EQUIVALENT.value,
            per_magnesium: Ion::Magnesium.charge()
                * parameters::MAGNESIUM_PROTONS_PER_EQUIVALENT.value,
            ph,
        }
    }

    /// Acid that liquor on its own, closed to carbon dioxide, still wants at a pH, eq per kg of water (or per dose).
    /// [`Self::free_charge`] is left out.
    pub fn acid_wanted_by_liquor(&self, part: &Dose, ph: f64) -> f64 {
        part.alkalinity_eq
            - self.charge_per_carbon(ph) * part.carbon_mol
            - self.acidity.of_acids(&part.ions, ph)
    }

    /// Hydroxide less hydrogen at a pH, eq/kg.
    pub fn free_charge(&self, ph: f64) -> f64 {
        self.acidity.of_water(ph)
    }

    /// Charge per mole of inorganic carbon at a pH, were all of it still in solution.
    pub fn charge_per_carbon(&self, ph: f64) -> f64 {
        self.acidity.per_carbon(ph)
    }

    /// What a liquor or a dose contributes to the balance, eq per kg of water (or per dose): positive where it asks
    /// for acid, negative where it gives some.
    pub fn acid_wanted(&self, at: &BalanceCoefficients, part: &Dose) -> f64 {
        part.alkalinity_eq
            - at.per_carbon * part.carbon_mol
            - at.per_calcium * part.ions.get(Ion::Calcium)
            - at.per_magnesium * part.ions.get(Ion::Magnesium)
            - self.acidity.of_acids(&part.ions, at.ph)
    }
}

/// Acid that the grist takes to come to a pH, eq.
pub fn grist_acid_eq(grist: &[Malt], ph: f64) -> f64 {
    grist
        .iter()
        .map(|malt| malt.mass_kg * malt.curve.acid_eq_per_kg(ph))
        .sum()
}

/// Buffering of the grist, eq per pH.
pub fn grist_buffering_eq_per_ph(grist: &[Malt]) -> f64 {
    grist
        .iter()
        .map(|malt| malt.mass_kg * malt.curve.buffering_eq_per_kg_ph)
        .sum()
}

impl Mash<'_> {
    /// Chemistry at this liquor's ionic strength.
    pub fn chemistry(&self) -> Chemistry {
        Chemistry::at(self.liquor.ionic_strength_mol_per_kg())
    }

    /// Acid still missing to pull the mash down to a pH, eq. Falls as the pH rises, so it has one root.
    pub fn acid_missing_eq(&self, chemistry: &Chemistry, ph: f64) -> f64 {
        let at = chemistry.coefficients(ph);
        grist_acid_eq(self.grist, ph)
            + self.water_kg * chemistry.acid_wanted(&at, &self.liquor.as_dose())
    }

    /// Acid per pH around a pH, eq: minus the slope of the balance, exactly.
    pub fn buffering_eq_per_ph(&self, chemistry: &Chemistry, ph: f64) -> f64 {
        let carbon =
            parameters::CARBON_SHARE_IN_MASH.value * chemistry.acidity.per_carbon_slope(ph);
        let liquor = carbon * self.liquor.carbon_mol_per_kg
            + chemistry.acidity.of_acids_slope(&self.liquor.ions, ph);
        grist_buffering_eq_per_ph(self.grist) + self.water_kg * liquor
    }

    /// pH of a cooled sample.
    pub fn ph(&self) -> f64 {
        self.ph_with_acid(&self.chemistry(), 0.0)
    }

    /// pH of a cooled sample with strong acid added, eq; negative takes acid away.
    pub fn ph_with_acid(&self, chemistry: &Chemistry, acid_eq: f64) -> f64 {
        math::falling_root(
            |ph| self.acid_missing_eq(chemistry, ph) - acid_eq,
            PH_FLOOR,
            PH_CEILING,
        )
    }
}

/// What the same mash reads at another temperature: lower when hot (slope in the table, with its sources).
pub fn ph_at_temperature(ph_of_cooled_sample: f64, temperature_c: f64) -> f64 {
    ph_of_cooled_sample
        - parameters::PH_PER_KELVIN.value * (temperature_c - parameters::SAMPLE_TEMPERATURE.value)
}
