//! One water in a report's units and its equilibrium in the same: what a notebook calls.
//!
//! Two of alkalinity, pH, total carbon and partial pressure of carbon dioxide determine the others.
//! Amounts are mg/L of a sample at 20 °C, as reports state them.

mod document;

pub use document::EquilibriumDocument;

use underlet_tables::{elements, parameters};

use crate::aqueous::{Acidity, Aqueous, Equilibrium, EquilibriumError, Gradient, Mineral};
use crate::checker::Checker;
use crate::component::{Component, Composition};
use crate::error::{ErrorCode, InputError, Problem};
use crate::liquor::{self, Liquor};
use crate::quantity::{self, Quantity, Substance};
use crate::water_report::{self, Entry, Figure, Subject, WaterReport};

/// The dissolved components of a [`Water`]: those of natural waters.
pub const IONS: [Component; 13] = [
    Component::Calcium,
    Component::Magnesium,
    Component::Sodium,
    Component::Potassium,
    Component::Ammonium,
    Component::Iron,
    Component::Manganese,
    Component::Chloride,
    Component::Sulfate,
    Component::Nitrate,
    Component::Nitrite,
    Component::Fluoride,
    Component::Silica,
];

pub(crate) const CARBON: Substance<'static> = Substance {
    formula: "C",
    molar_mass_g_per_mol: elements::C.weight_g_per_mol,
    charge: 0,
};

/// mg/L of carbon in mol per kg of water.
const CARBON_MOL_PER_KG: f64 =
    1.0 / (1000.0 * CARBON.molar_mass_g_per_mol * quantity::WATER_KG_PER_L_20C);

/// What is known of a water.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub struct Water {
    /// Temperature, °C; a report's 20 °C where it is not given.
    pub temperature_c: Option<f64>,
    /// Of each of [`IONS`], mg/L; silica as SiO2.
    pub ions_mg_per_l: [f64; IONS.len()],
    /// Alkalinity, mg/L as `CaCO3`.
    pub alkalinity_mg_per_l_caco3: Option<f64>,
    /// pH at the temperature.
    pub ph: Option<f64>,
    /// Total inorganic carbon, mg/L as C.
    pub total_carbon_mg_per_l: Option<f64>,
    /// log10 of the partial pressure of carbon dioxide that it is open to, atm.
    pub log10_pco2: Option<f64>,
}

/// Keys of the values of which two determine a water.
pub const DETERMINING: [&str; 4] = ["alkalinity", "ph", "total_carbon", "log10_pco2"];

/// What is known of a water, each number within the limits of its quantity.
#[derive(Clone, Debug)]
pub(crate) struct Known {
    /// Which of [`DETERMINING`] are given.
    pub given: Vec<&'static str>,
    /// Temperature and figures, as in a water report.
    pub report: WaterReport,
    /// Total inorganic carbon, mol/kg.
    pub carbon_mol_per_kg: Option<f64>,
    /// log10 of the partial pressure of carbon dioxide that it is open to, atm.
    pub log10_pco2: Option<f64>,
}

/// How the charge that weak acids hold at the end point of a titration changes, per mol/kg of each
/// component.
fn held_per_component(ions: &Composition) -> Composition {
    let end_point = parameters::ALKALINITY_ENDPOINT_PH.value;
    let sample_c = parameters::SAMPLE_TEMPERATURE.value;
    let acidity = Acidity::at(sample_c, ions.charge_squared() / 2.0);
    let per_ionic_strength = acidity.charge_per_ionic_strength(0.0, ions, end_point);
    let mut slopes = Composition::ZERO;
    for component in Component::ALL {
        let own = acidity.of_acids(&Composition::ZERO.with(component, 1.0), end_point);
        let charge = component.charge();
        slopes.set(component, own + per_ionic_strength * charge * charge / 2.0);
    }
    slopes
}

/// A water at equilibrium.
#[derive(Clone, Debug)]
pub struct Speciation {
    known: Known,
    /// The equilibrium, in the core's own units.
    pub state: Equilibrium,
}

impl Water {
    /// Solves it.
    ///
    /// # Errors
    /// Everything that is wrong with it: numbers that cannot be, too few or too many of
    /// [`DETERMINING`], or values that contradict each other.
    ///
    /// ```
    /// use underlet::speciation::Water;
    /// let well = Water { alkalinity_mg_per_l_caco3: Some(180.0), ph: Some(7.4), ..Water::default() };
    /// assert!(well.speciate()?.total_carbon_mg_per_l() > 43.0);
    ///
    /// let lost = Water { ph: Some(15.0), ..Water::default() }.speciate().unwrap_err();
    /// let paths: Vec<_> = lost.problems.iter().map(|problem| problem.path.as_str()).collect();
    /// assert_eq!(paths, ["ph", "alkalinity"]);
    /// # Ok::<(), underlet::error::InputError>(())
    /// ```
    pub fn speciate(&self) -> Result<Speciation, InputError> {
        let mut checker = Checker::new();
        let mut read = |key: &'static str, quantity: &'static Quantity, of: &Substance<'_>| {
            let read = quantity.read_of(self.value(key)?, of);
            checker.at(key, read.clone());
            read.ok()
        };
        let temperature_c = read("temperature", &quantity::TEMPERATURE, &Substance::NONE);
        let ions = IONS.into_iter().map(Subject::Component);
        let entries = ions
            .chain([Subject::Alkalinity, Subject::Ph])
            .filter_map(|subject| {
                let read = read(subject.key(), subject.quantity(), &subject.substance());
                Some(Entry::new(subject, Figure::Value(read?)))
            })
            .collect();
        let known = Known {
            given: given(|key| self.value(key).is_some()),
            carbon_mol_per_kg: read("total_carbon", &quantity::ION, &CARBON),
            log10_pco2: read("log10_pco2", &quantity::LOG10_PCO2, &Substance::NONE),
            report: WaterReport {
                temperature_c,
                entries,
                ..WaterReport::default()
            },
        };
        checker.at("", known.determined());
        checker.into_value(Some(known))?.speciate()
    }

    /// The value of a key, in a report's unit. An ion of zero is not given.
    fn value(&self, key: &str) -> Option<f64> {
        match key {
            "temperature" => self.temperature_c,
            "alkalinity" => self.alkalinity_mg_per_l_caco3,
            "ph" => self.ph,
            "total_carbon" => self.total_carbon_mg_per_l,
            "log10_pco2" => self.log10_pco2,
            _ => {
                let mut ions = IONS.into_iter().zip(self.ions_mg_per_l);
                let (_, mg_per_l) = ions.find(|(ion, _)| ion.key() == key)?;
                Some(mg_per_l).filter(|mg_per_l| *mg_per_l != 0.0)
            }
        }
    }
}

/// Which of [`DETERMINING`] are given; bicarbonate in place of alkalinity.
pub(crate) fn given(has: impl Fn(&str) -> bool) -> Vec<&'static str> {
    let is_given = |key: &str| has(key) || (key == "alkalinity" && has("bicarbonate"));
    DETERMINING
        .into_iter()
        .filter(|key| is_given(key))
        .collect()
}

impl Known {
    /// Whether the right [`DETERMINING`] values are given.
    ///
    /// # Errors
    /// What is missing, or one too many.
    pub(crate) fn determined(&self) -> Result<(), Problem> {
        const PAIRS: &str =
            "alkalinity with ph, total_carbon or log10_pco2; or ph with total_carbon";
        let (code, path, found, hint) = match self.given.as_slice() {
            ["alkalinity", _] | ["ph", "total_carbon"] => return Ok(()),
            [] => (
                ErrorCode::MissingKey,
                "alkalinity",
                "nothing".to_owned(),
                "Give the alkalinity, and the pH that was measured.",
            ),
            ["alkalinity"] => (
                ErrorCode::MissingKey,
                "ph",
                "alkalinity alone".to_owned(),
                "Give one value more: the pH that was measured, total carbon, or the pressure of \
                 carbon dioxide.",
            ),
            [other] => (
                ErrorCode::MissingKey,
                "alkalinity",
                format!("{other} alone"),
                "Give the alkalinity too.",
            ),
            [one, other] => (
                ErrorCode::Contradiction,
                *other,
                format!("{one}, {other}"),
                "Give the alkalinity in place of one of them.",
            ),
            [.., last] => (
                ErrorCode::Contradiction,
                *last,
                self.given.join(", "),
                "Leave one out: two of them determine a water.",
            ),
        };
        Err(Problem {
            code,
            path: path.to_owned(),
            found,
            expected: PAIRS.to_owned(),
            hint: hint.to_owned(),
        })
    }

    /// Solves it; two of [`DETERMINING`] are given.
    ///
    /// # Errors
    /// Values that contradict each other.
    pub(crate) fn speciate(self) -> Result<Speciation, InputError> {
        let liquor = Liquor {
            carbon_mol_per_kg: self.carbon_mol_per_kg.unwrap_or(0.0),
            ..water_report::without_carbon(&self.report)
        };
        let aqueous = Aqueous::at(liquor.temperature_c);
        let alkalinity = water_report::stated_alkalinity(&self.report);
        let state = match (self.ph(), alkalinity, self.log10_pco2) {
            (Some(ph), Some(_), _) => aqueous.with_ph(&liquor, ph),
            (Some(ph), None, _) => aqueous.with_ph_and_carbon(&liquor, ph),
            (None, _, Some(pressure)) => aqueous.open(&liquor, pressure),
            (None, _, None) => aqueous.closed(&liquor),
        };
        match state {
            Ok(state) if state.log10_pco2 <= quantity::LOG10_PCO2.high => {
                Ok(Speciation { known: self, state })
            }
            Ok(state) => Err(self.under_pressure(state.log10_pco2).into()),
            Err(error) => Err(self.refused(error).into()),
        }
    }

    fn ph(&self) -> Option<f64> {
        self.report.middle(Subject::Ph)
    }

    /// Charge that weak acids hold at the end point of a titration of alkalinity, eq/kg.
    fn held_by_acids(&self) -> f64 {
        let with_acids = water_report::without_carbon(&self.report).alkalinity_eq_per_kg;
        with_acids - water_report::stated_alkalinity(&self.report).unwrap_or(0.0)
    }

    /// The problem of values that together imply more carbon dioxide than a vessel holds.
    fn under_pressure(&self, log10_pco2: f64) -> Problem {
        let path = match self.ph() {
            Some(_) => "ph",
            None => "total_carbon",
        };
        Problem {
            code: ErrorCode::Contradiction,
            path: path.to_owned(),
            found: format!(
                "{} that need carbon dioxide of 10^{log10_pco2:.1} atm",
                self.given.join(" and ")
            ),
            expected: quantity::LOG10_PCO2.expectation(),
            hint: "Check both values: acid water carries little alkalinity.".to_owned(),
        }
    }

    /// What is wrong with numbers that each make sense but have no equilibrium.
    fn refused(&self, error: EquilibriumError) -> Problem {
        let last = self.given.last().copied().unwrap_or_default();
        let (code, path, expected, hint) = match error {
            EquilibriumError::AlkalinityAgainstPh { .. } => (
                ErrorCode::Contradiction,
                "ph",
                "a pH at which water can carry this alkalinity",
                "Check both values: acid water carries little alkalinity, and a high pH alone \
                 makes some.",
            ),
            EquilibriumError::TooConcentrated => (
                ErrorCode::OutOfRange,
                last,
                "a water that activity coefficients are known for, up to some 1 mol/kg of ionic \
                 strength",
                "Check the units of the largest amounts, and the pH.",
            ),
            _ => (
                ErrorCode::Contradiction,
                last,
                "values that can hold in one water",
                "Look for one value far larger or smaller than the others.",
            ),
        };
        Problem {
            code,
            path: path.to_owned(),
            found: error.to_string(),
            expected: expected.to_owned(),
            hint: hint.to_owned(),
        }
    }
}

/// A result's name with its sensitivities, by argument.
pub type Sensitivity = (&'static str, Vec<(&'static str, f64)>);

impl Speciation {
    /// Saturation index of each mineral whose ions are there.
    pub fn saturation_indices(&self) -> impl Iterator<Item = (&'static str, f64)> + '_ {
        Mineral::ALL
            .into_iter()
            .map(|mineral| (mineral.name(), self.state.saturation_index(mineral)))
            .filter(|(_, index)| index.is_finite())
    }

    /// log10 of the partial pressure of carbon dioxide it is in balance with, atm; none without
    /// carbon.
    pub fn log10_pco2(&self) -> Option<f64> {
        Some(self.state.log10_pco2).filter(|pressure| pressure.is_finite())
    }

    /// Total inorganic carbon, mg/L as C.
    pub fn total_carbon_mg_per_l(&self) -> f64 {
        self.state.liquor.carbon_mol_per_kg / CARBON_MOL_PER_KG
    }

    /// Alkalinity as a titration reads it, mg/L as `CaCO3`.
    pub fn alkalinity_mg_per_l_caco3(&self) -> f64 {
        let held = self.known.held_by_acids();
        liquor::mg_per_l_caco3(self.state.liquor.alkalinity_eq_per_kg - held)
    }

    /// Exact sensitivities of every result to every argument that counts, all in the units of
    /// results and arguments: each ion per mg/L, temperature per °C, and the two values that
    /// determine the water. A mineral's saturation index goes by its name.
    pub fn sensitivities(&self) -> Vec<Sensitivity> {
        let aqueous = Aqueous::at(self.state.liquor.temperature_c);
        let Some(sensitivities) = aqueous.sensitivities(&self.state) else {
            return Vec::new();
        };
        let mut named: Vec<(&'static str, f64, Gradient)> = vec![
            ("ph", 1.0, sensitivities.ph()),
            (
                "ionic_strength",
                1.0,
                sensitivities.ionic_strength_mol_per_kg(),
            ),
            (
                "alkalinity",
                1.0 / liquor::alkalinity_eq_per_kg(1.0),
                sensitivities.alkalinity_eq_per_kg(),
            ),
            (
                "total_carbon",
                1.0 / CARBON_MOL_PER_KG,
                sensitivities.carbon_mol_per_kg(),
            ),
            (
                "conductivity_us_per_cm",
                1.0,
                sensitivities.conductivity_us_per_cm(),
            ),
            (
                "conductivity_25c_us_per_cm",
                1.0,
                sensitivities.conductivity_25c_us_per_cm(),
            ),
        ];
        named.extend(
            sensitivities
                .log10_pco2()
                .map(|slope| ("log10_pco2", 1.0, slope)),
        );
        for mineral in Mineral::ALL {
            let slope = sensitivities.saturation_index(mineral);
            named.extend(slope.map(|slope| (mineral.name(), 1.0, slope)));
        }
        let held = held_per_component(&self.state.liquor.ions);
        named
            .into_iter()
            .map(|(name, unit, gradient)| {
                // A stated alkalinity leaves out what weak acids hold; so does the one that
                // results.
                let left_out = if name == "alkalinity" { 1.0 } else { 0.0 };
                let by_held = gradient.per_alkalinity - left_out;
                let gradient = Gradient {
                    per_ion: gradient.per_ion + held * by_held,
                    ..gradient
                };
                (name, self.by_argument(&gradient, unit))
            })
            .collect()
    }

    /// A gradient by argument, the result being counted in another unit.
    fn by_argument(&self, gradient: &Gradient, unit: f64) -> Vec<(&'static str, f64)> {
        let ions = &self.state.liquor.ions;
        let counts = |of: &Component| IONS.contains(of) || ions.get(*of) != 0.0;
        let mut sensitivities: Vec<_> = Component::ALL
            .into_iter()
            .filter(counts)
            .map(|ion| (ion.key(), gradient.per_ion.get(ion) * ion.mol_per_kg(1.0)))
            .collect();
        sensitivities.push(("temperature", gradient.per_kelvin));
        sensitivities.extend(self.known.given.iter().map(|&name| {
            let slope = match name {
                "alkalinity" => gradient.per_alkalinity * liquor::alkalinity_eq_per_kg(1.0),
                "ph" => gradient.per_ph,
                "total_carbon" => gradient.per_carbon * CARBON_MOL_PER_KG,
                _ => gradient.per_log10_pco2,
            };
            (name, slope)
        }));
        for (_, slope) in &mut sensitivities {
            *slope *= unit;
        }
        sensitivities
    }

    /// One line on it.
    pub fn summary(&self) -> String {
        format!(
            "pH {:.2} at {} °C, {:.0} µS/cm at 25 °C",
            self.state.ph,
            self.state.liquor.temperature_c,
            self.state.conductivity_25c_us_per_cm()
        )
    }
}

#[cfg(test)]
mod tests;
