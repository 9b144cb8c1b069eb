//! What a gram of a salt or a millilitre of an acid brings.

use std::fmt;

use schemars::JsonSchema;
use serde::{Deserialize, Serialize};
use underlet_tables::{DENSITIES, REAGENTS, Reagent, ReagentKind, parameters};

use crate::checker::Checker;
use crate::component::{Component, Composition};
use crate::error::{ErrorCode, InputError, Problem};
use crate::liquor::Dose;
use crate::math;
use crate::naming::{self, Name};
use crate::quantity::{self, Amount, Strength, Substance};
use crate::words;

/// The unit that an amount of a reagent is weighed or measured in.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
#[non_exhaustive]
pub enum AmountUnit {
    /// Gram, of a solid.
    #[serde(rename = "g")]
    Gram,
    /// Millilitre, of a solution.
    #[serde(rename = "mL")]
    Millilitre,
}

impl AmountUnit {
    /// Key in documents.
    pub const fn key(self) -> &'static str {
        match self {
            AmountUnit::Gram => "g",
            AmountUnit::Millilitre => "mL",
        }
    }

    /// So many of it.
    pub const fn amount(self, value: f64) -> Amount {
        match self {
            AmountUnit::Gram => Amount::Grams(value),
            AmountUnit::Millilitre => Amount::Millilitres(value),
        }
    }
}

impl fmt::Display for AmountUnit {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(self.key())
    }
}

/// How to handle an acid that is too weak to be corrosive.
const IRRITANT: &str = "Irritates eyes and skin: goggles and gloves; never near chlorine products.";

/// A reagent on the shelf: a row of the table at a strength.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Preparation {
    /// The row of the reagent table.
    pub reagent: &'static Reagent,
    /// Strength of a solution or assay of a solid, % by mass of the formula.
    pub strength_percent: f64,
}

impl Preparation {
    /// A reagent at its usual strength, by its name or another that people write for it.
    ///
    /// # Errors
    /// A name that the table of reagents does not have, the nearest suggested.
    ///
    /// ```
    /// use underlet::reagent::{AmountUnit, Preparation};
    /// let acid = Preparation::usual("lactic acid")?;
    /// assert_eq!(acid.unit(), AmountUnit::Millilitre);
    /// assert!(Preparation::usual("gipsum").unwrap_err().problems[0].hint.contains("gypsum"));
    /// # Ok::<(), underlet::error::InputError>(())
    /// ```
    pub fn usual(reagent: &str) -> Result<Preparation, InputError> {
        let names: Vec<Name<'static>> = REAGENTS.iter().map(|row| (row.key, row.aliases)).collect();
        let place = naming::find(reagent, &names, || {
            (
                naming::one_of(&names),
                naming::one_of_advice("reagent", &names),
            )
        });
        let row = place.as_ref().ok().and_then(|place| REAGENTS.get(*place));
        let mut checker = Checker::new();
        checker.at("reagent", place);
        checker.into_value(row.map(Preparation::of))
    }

    /// A row of the reagent table at its usual strength.
    pub fn of(reagent: &'static Reagent) -> Preparation {
        Preparation {
            reagent,
            strength_percent: reagent.usual_strength_percent,
        }
    }

    /// A solution of so many mol/L at 20 °C; `None` for a solid, or where the table knows no such
    /// strength.
    pub fn of_molarity(reagent: &'static Reagent, mol_per_l: f64) -> Option<Preparation> {
        let at = |strength_percent: f64| Preparation {
            reagent,
            strength_percent,
        };
        let excess = |percent: f64| mol_per_l - 1000.0 * at(percent).mol_per_unit();
        let [_, high] = reagent.strength_range_percent;
        // None of a solid, nor where the concentration is beyond that of the strongest solution.
        let strength = math::falling_root(excess, 0.0, high).ok();
        strength.filter(|_| reagent.liquid).map(at)
    }

    /// A reagent at a strength as its label states it.
    ///
    /// # Errors
    /// A [`Problem`] with an empty path where the table knows no such strength of it.
    pub fn of_strength(
        reagent: &'static Reagent,
        strength: Strength,
    ) -> Result<Preparation, Problem> {
        let [low, high] = reagent.strength_range_percent;
        let made = match strength {
            Strength::MassPercent(strength_percent) => Some(Preparation {
                reagent,
                strength_percent,
            }),
            Strength::MolPerLitre(molarity) => Preparation::of_molarity(reagent, molarity),
        };
        let inside = made.filter(|made| (low..=high).contains(&made.strength_percent));
        inside.ok_or_else(|| Problem {
            code: ErrorCode::OutOfRange,
            path: String::new(),
            found: strength.to_string(),
            expected: format!("{} from {low} to {high} % by mass", reagent.key),
            hint: format!(
                "Read the label and write \"strength\": \"{} %\".",
                reagent.usual_strength_percent
            ),
        })
    }

    /// Checks the strength, under its key.
    pub(crate) fn examine(&self, of: &mut Checker) {
        let percent = self.strength_percent;
        let read = quantity::STRENGTH.check(percent, &Substance::NONE);
        let strength = Strength::MassPercent(percent);
        let made = read.and_then(|()| Preparation::of_strength(self.reagent, strength));
        of.at("strength", made);
    }

    /// The unit it is measured in: millilitres for a solution, else grams.
    pub fn unit(&self) -> AmountUnit {
        if self.reagent.liquid {
            AmountUnit::Millilitre
        } else {
            AmountUnit::Gram
        }
    }

    /// Density at 20 °C, kg/L, between the neighbouring strengths of the table; beyond its ends the
    /// end's value. `None` for a solid.
    pub fn density_kg_per_l(&self) -> Option<f64> {
        let mut below = None;
        for row in DENSITIES
            .iter()
            .filter(|row| row.reagent == self.reagent.key)
        {
            if row.mass_percent >= self.strength_percent {
                let Some((percent, density)) = below else {
                    return Some(row.kg_per_l);
                };
                let share = (self.strength_percent - percent) / (row.mass_percent - percent);
                return Some(density + share * (row.kg_per_l - density));
            }
            below = Some((row.mass_percent, row.kg_per_l));
        }
        below.map(|(_, density)| density)
    }

    /// Mole of the reagent in one unit (gram or millilitre).
    pub fn mol_per_unit(&self) -> f64 {
        let grams = self
            .density_kg_per_l()
            .filter(|_| self.reagent.liquid)
            .unwrap_or(1.0);
        grams * self.strength_percent / 100.0 / self.reagent.molar_mass_g_per_mol
    }

    /// What one unit brings to liquor once it is dissolved. Nothing of zinc, which is no component:
    /// its anion alone would leave a charge open.
    pub fn dose_per_unit(&self) -> Dose {
        let ions = match self.reagent.kind {
            ReagentKind::Zinc => Composition::ZERO,
            _ => self.brings_per_unit(),
        };
        Dose {
            ions,
            alkalinity_eq: ions.strong_charge(),
            carbon_mol: self.reagent.carbon_mol_per_mol * self.mol_per_unit(),
        }
    }

    /// The components in one unit, mol; of zinc what comes with it.
    pub(crate) fn brings_per_unit(&self) -> Composition {
        let mol = self.mol_per_unit();
        let mut ions = Composition::ZERO;
        for &(key, count) in self.reagent.brings {
            if let Some(ion) = Component::from_key(key) {
                ions.set(ion, count * mol);
            }
        }
        ions
    }

    /// What one unit brings to a mash: less than to liquor for what dissolves only in part.
    pub fn dose_per_unit_in_mash(&self) -> Dose {
        let [effective, _] = self.reagent.effective_in_mash;
        self.dose_per_unit().times(effective)
    }

    /// Most of it that counts in a mash with its effective share, units per kg of liquor; nothing
    /// where it all dissolves.
    pub fn most_in_mash_per_kg(&self) -> Option<f64> {
        let [effective, _] = self.reagent.effective_in_mash;
        (effective < 1.0)
            .then(|| parameters::CHALK_COUNTS_UP_TO.value / 1000.0 / quantity::WATER_KG_PER_L_20C)
    }

    /// How to handle it, one sentence.
    pub fn handling(&self) -> &'static str {
        let corrosive = self.reagent.corrosive_from_percent;
        if corrosive.is_some_and(|from| self.strength_percent < from) {
            IRRITANT
        } else {
            self.reagent.handling
        }
    }

    /// Name with strength where it is a solution, such as "lactic acid 80 %".
    pub fn label(&self) -> String {
        if self.reagent.liquid {
            let strength = quantity::significant(self.strength_percent, 4);
            format!("{} {strength} %", self.reagent.name)
        } else {
            self.reagent.name.to_owned()
        }
    }

    /// True for what lowers pH by giving protons.
    pub fn is_acid(&self) -> bool {
        self.reagent.kind == ReagentKind::Acid
    }

    /// Cold water for an acid, litres, that goes into so much liquor: ten times the acid at least,
    /// so that sulfuric acid warms it by less than 30 K (derived from its heat of dilution, 73
    /// kJ/mol in the NBS tables of 1982), and no pocket of the mash is met by strong acid; less for
    /// one that is weaker than usual. A litre at least, where the vessel holds a hectolitre. `None`
    /// for what is no acid.
    pub(crate) fn dilution_l(&self, amount: f64, liquor_kg: f64) -> Option<f64> {
        if !self.is_acid() {
            return None;
        }
        let least = if liquor_kg < 100.0 { 0.1 } else { 1.0 };
        let strength = self.strength_percent / self.reagent.usual_strength_percent;
        let needed = 10.0 * strength.min(1.0) * amount / 1000.0;
        let mut litres = least;
        for factor in [2.0, 2.5, 2.0].into_iter().cycle() {
            if litres >= needed {
                break;
            }
            litres = words::tidy(litres * factor);
        }
        Some(litres)
    }

    /// Most that dissolves at a temperature, units per kg of water, between the table's 20 and 80
    /// °C; `None` where solubility does not limit.
    pub fn solubility_units_per_kg(&self, temperature_c: f64) -> Option<f64> {
        let cold = self.reagent.solubility_20c_g_per_kg?;
        let hot = self.reagent.solubility_80c_g_per_kg.unwrap_or(cold);
        let share = ((temperature_c - COLD_C) / (HOT_C - COLD_C)).clamp(0.0, 1.0);
        let grams = cold + share * (hot - cold);
        (!self.reagent.liquid).then_some(grams)
    }
}

/// Temperatures of the solubility columns, °C.
const COLD_C: f64 = 20.0;
const HOT_C: f64 = 80.0;
