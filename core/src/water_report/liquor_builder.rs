//! A liquor from the figures of a water report, one by one.

use underlet_tables::parameters;

use super::{Subject, carbon_mol_per_kg};
use crate::checker::Checker;
use crate::component::{Component, Composition};
use crate::error::{Code, InputError, Problem};
use crate::liquor::{Liquor, assumed_ph};
use crate::quantity;

/// Builds a [`Liquor`] in a report's units. What is not given is not there, but for alkalinity (or
/// bicarbonate in its place), which must be given, and for the pH, of which 7.5 is assumed.
#[derive(Clone, Copy, Debug, PartialEq)]
#[must_use]
pub struct LiquorBuilder {
    ions: Composition,
    alkalinity_eq_per_kg: Option<f64>,
    bicarbonate_mol_per_kg: Option<f64>,
    ph: Option<f64>,
    temperature_c: f64,
}

/// One setter for each ion of a report.
macro_rules! ions {
    ($($(#[doc = $doc:literal])+ $setter:ident = $name:ident,)+) => {
        $(
            $(#[doc = $doc])+
            pub fn $setter(self, mg_per_l: f64) -> LiquorBuilder {
                self.component_mg_l(Component::$name, mg_per_l)
            }
        )+
    };
}

impl Liquor {
    /// A liquor from the figures of a water report.
    ///
    /// ```
    /// use underlet::liquor::Liquor;
    /// let well = Liquor::builder()
    ///     .calcium_mg_l(112.0)
    ///     .magnesium_mg_l(9.0)
    ///     .alkalinity_mg_l_caco3(252.0)
    ///     .ph(7.3)
    ///     .build()?;
    /// assert!(well.residual_alkalinity_eq_per_kg() > 0.003);
    ///
    /// let error = Liquor::builder().calcium_mg_l(-1.0).ph(15.0).build().unwrap_err();
    /// let paths: Vec<_> = error.problems.iter().map(|problem| problem.path.as_str()).collect();
    /// assert_eq!(paths, ["calcium", "alkalinity", "ph"]);
    /// # Ok::<(), underlet::error::InputError>(())
    /// ```
    pub fn builder() -> LiquorBuilder {
        LiquorBuilder {
            ions: Composition::ZERO,
            alkalinity_eq_per_kg: None,
            bicarbonate_mol_per_kg: None,
            ph: None,
            temperature_c: parameters::SAMPLE_TEMPERATURE.value,
        }
    }
}

impl LiquorBuilder {
    ions! {
        /// Calcium, mg/L at 20 °C.
        calcium_mg_l = Calcium,
        /// Magnesium, mg/L at 20 °C.
        magnesium_mg_l = Magnesium,
        /// Sodium, mg/L at 20 °C.
        sodium_mg_l = Sodium,
        /// Potassium, mg/L at 20 °C.
        potassium_mg_l = Potassium,
        /// Ammonium, mg/L at 20 °C.
        ammonium_mg_l = Ammonium,
        /// Iron, mg/L at 20 °C.
        iron_mg_l = Iron,
        /// Manganese, mg/L at 20 °C.
        manganese_mg_l = Manganese,
        /// Chloride, mg/L at 20 °C.
        chloride_mg_l = Chloride,
        /// Sulfate, mg/L at 20 °C.
        sulfate_mg_l = Sulfate,
        /// Nitrate, mg/L at 20 °C.
        nitrate_mg_l = Nitrate,
        /// Nitrite, mg/L at 20 °C.
        nitrite_mg_l = Nitrite,
        /// Fluoride, mg/L at 20 °C.
        fluoride_mg_l = Fluoride,
    }

    /// Any ion or weak acid, mg/L at 20 °C.
    pub fn component_mg_l(mut self, component: Component, mg_per_l: f64) -> LiquorBuilder {
        self.ions.set(component, component.mol_per_kg(mg_per_l));
        self
    }

    /// Total alkalinity, mg/L as CaCO3 at 20 °C.
    pub fn alkalinity_mg_l_caco3(mut self, mg_per_l: f64) -> LiquorBuilder {
        self.alkalinity_eq_per_kg = Some(crate::liquor::alkalinity_eq_per_kg(mg_per_l));
        self
    }

    /// Bicarbonate in place of alkalinity, mg/L at 20 °C.
    pub fn bicarbonate_mg_l(mut self, mg_per_l: f64) -> LiquorBuilder {
        let bicarbonate = Subject::Bicarbonate.substance();
        self.bicarbonate_mol_per_kg = quantity::ION.of_default_unit(mg_per_l, &bicarbonate);
        self
    }

    /// pH of the sample at 20 °C.
    pub fn ph(mut self, ph: f64) -> LiquorBuilder {
        self.ph = Some(ph);
        self
    }

    /// Temperature of the liquor, °C; 20 °C where it is not given.
    pub fn temperature_c(mut self, temperature_c: f64) -> LiquorBuilder {
        self.temperature_c = temperature_c;
        self
    }

    /// The liquor.
    ///
    /// # Errors
    /// Every figure that no water can have, at its key in a source of a brew day, and figures that
    /// contradict each other.
    pub fn build(self) -> Result<Liquor, InputError> {
        let mut checker = Checker::new();
        let of = &mut checker;
        for (ion, amount) in self.ions.iter() {
            of.concentration(ion.key(), amount, &quantity::ION, &ion.substance());
        }
        of.optional(
            "alkalinity",
            self.alkalinity_eq_per_kg,
            &quantity::ALKALINITY,
        );
        if let Some(amount) = self.bicarbonate_mol_per_kg {
            let bicarbonate = Subject::Bicarbonate.substance();
            of.concentration("bicarbonate", amount, &quantity::ION, &bicarbonate);
        }
        let given = (self.alkalinity_eq_per_kg, self.bicarbonate_mol_per_kg);
        let alkalinity = alkalinity_of(given);
        of.at("", alkalinity.clone());
        of.optional("ph", self.ph, &quantity::PH);
        of.quantity("temperature", self.temperature_c, &quantity::TEMPERATURE);
        let Some(alkalinity) = alkalinity.ok().filter(|_| of.problems().is_empty()) else {
            return checker.into_value(None);
        };
        let liquor = liquor_of(self.ions, alkalinity, self.ph);
        checker.at("", liquor.clone());
        checker.into_value(liquor.ok().map(|liquor| Liquor {
            temperature_c: self.temperature_c,
            ..liquor
        }))
    }
}

/// The alkalinity of a report that states it, or bicarbonate in its place, eq/kg.
///
/// # Errors
/// A [`Problem`] at its key where there is neither, or the two do not agree.
pub(crate) fn alkalinity_of(given: (Option<f64>, Option<f64>)) -> Result<f64, Problem> {
    match given {
        (None, None) => Err(Problem {
            code: Code::MissingKey,
            path: "alkalinity".to_owned(),
            found: "nothing".to_owned(),
            expected: quantity::ALKALINITY.expectation(),
            hint: "Write \"alkalinity\": \"180 mg/L as CaCO3\", or give \"bicarbonate\".".to_owned(),
        }),
        (Some(alkalinity), Some(bicarbonate))
            if (alkalinity - bicarbonate).abs()
                > parameters::ALKALINITY_AGREEMENT.value * alkalinity.max(bicarbonate) =>
        {
            Err(Problem {
                code: Code::Contradiction,
                path: "bicarbonate".to_owned(),
                found: format!(
                    "bicarbonate worth {} beside an alkalinity of {}",
                    quantity::ALKALINITY.write(bicarbonate),
                    quantity::ALKALINITY.write(alkalinity)
                ),
                expected: "two values that agree".to_owned(),
                hint: "Give the one that was measured; one of them may be stated on the other's basis."
                    .to_owned(),
            })
        }
        (Some(alkalinity), _) | (None, Some(alkalinity)) => Ok(alkalinity),
    }
}

/// The water of a report at 20 °C, its carbon from alkalinity and pH; the usual pH where none is stated.
///
/// # Errors
/// A [`Problem`] at `ph` where water of that pH cannot carry that alkalinity.
pub(crate) fn liquor_of(
    ions: Composition,
    alkalinity_eq_per_kg: f64,
    ph: Option<f64>,
) -> Result<Liquor, Problem> {
    let ph = ph.unwrap_or_else(assumed_ph);
    let liquor = Liquor {
        ions,
        alkalinity_eq_per_kg,
        carbon_mol_per_kg: 0.0,
        temperature_c: parameters::SAMPLE_TEMPERATURE.value,
    };
    let carbon_mol_per_kg = carbon_mol_per_kg(&liquor, ph).ok_or_else(|| Problem {
        code: Code::Contradiction,
        path: "ph".to_owned(),
        found: format!(
            "pH {ph} beside an alkalinity of {}",
            quantity::ALKALINITY.write(alkalinity_eq_per_kg)
        ),
        expected: "a pH at which water can carry this alkalinity".to_owned(),
        hint: "Check both values: acid water carries little alkalinity, and a high pH alone makes some."
            .to_owned(),
    })?;
    Ok(Liquor {
        carbon_mol_per_kg,
        ..liquor
    })
}
