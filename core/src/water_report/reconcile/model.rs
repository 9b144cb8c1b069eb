//! What each measurement would be if the water were this one, and how that moves with the water.

use underlet_tables::parameters;

use super::measurements::{Measurement, Origin};
use crate::aqueous::{Acidity, Aqueous, Equilibrium, EquilibriumError, Gradient, titrated};
use crate::component::{Component, Composition};
use crate::liquor::Liquor;
use crate::math;
use crate::quantity::{CACO3_G_PER_EQ, WATER_KG_PER_L_20C};
use crate::water_report::entry::Subject;

/// What is solved for.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash, PartialOrd, Ord)]
pub enum Unknown {
    /// Amount of an ion or weak acid, mol/kg.
    Component(Component),
    /// Alkalinity relative to strong ions, eq/kg.
    Alkalinity,
    /// Inorganic carbon, mol/kg.
    Carbon,
}

impl Unknown {
    /// Whether it is an amount, which cannot be negative.
    pub(super) fn is_amount(self) -> bool {
        self != Unknown::Alkalinity
    }
}

/// A water as a point: one number per unknown.
pub(super) type Point = Vec<f64>;

/// The measurements as functions of the water.
#[derive(Clone, Debug)]
pub(super) struct Model {
    pub unknowns: Vec<Unknown>,
    pub measurements: Vec<Measurement>,
    /// Who holds protons at the end points of a titration.
    acidity: Acidity,
    /// At the temperature of the report's sample, and of today's.
    report: Aqueous,
    today: Aqueous,
    temperature_c: f64,
}

/// What is known of the water at the two temperatures; `None` where no measurement needs it.
struct States {
    report: Option<Equilibrium>,
    today: Option<Equilibrium>,
}

impl Model {
    /// Measurements at the temperatures of the report's sample and of today's, °C.
    pub fn new(measurements: Vec<Measurement>, report_c: f64, today_c: f64) -> Model {
        let is_measured = |ion: &Component| {
            let subject = Subject::Component(*ion);
            measurements.iter().any(|m| m.subject == subject)
        };
        let unknowns: Vec<Unknown> = Component::ALL
            .into_iter()
            .filter(is_measured)
            .map(Unknown::Component)
            .chain([Unknown::Alkalinity, Unknown::Carbon])
            .collect();
        let sample = parameters::SAMPLE_TEMPERATURE.value;
        let mut model = Model {
            unknowns,
            measurements,
            acidity: Acidity::at(sample, 0.0),
            report: Aqueous::at(report_c),
            today: Aqueous::at(today_c),
            temperature_c: today_c,
        };
        let start = model.liquor(&model.start());
        model.acidity = Acidity::at(sample, start.ionic_strength_mol_per_kg());
        model
    }

    /// The water of a point, electroneutral by its alkalinity.
    pub fn liquor(&self, x: &[f64]) -> Liquor {
        let mut liquor = Liquor {
            temperature_c: self.temperature_c,
            ..Liquor::default()
        };
        for (unknown, value) in self.unknowns.iter().zip(x) {
            match unknown {
                Unknown::Component(ion) => liquor.ions.set(*ion, *value),
                Unknown::Alkalinity => liquor.alkalinity_eq_per_kg = *value,
                Unknown::Carbon => liquor.carbon_mol_per_kg = *value,
            }
        }
        liquor
    }

    /// Coefficients of the charge balance, which is zero: strong cations less strong anions less
    /// alkalinity.
    pub fn charge(&self) -> Vec<f64> {
        self.unknowns
            .iter()
            .map(|unknown| match unknown {
                Unknown::Component(ion) => ion.charge(),
                Unknown::Alkalinity => -1.0,
                Unknown::Carbon => 0.0,
            })
            .collect()
    }

    /// A point that keeps all limits: amounts at zero where they are less, the alkalinity what the
    /// strong ions leave.
    pub fn feasible(&self, mut x: Point) -> Point {
        for (unknown, value) in self.unknowns.iter().zip(&mut x) {
            if unknown.is_amount() {
                *value = math::at_least(*value, 0.0);
            }
        }
        let charge = self.liquor(&x).ions.strong_charge();
        self.set(&mut x, Unknown::Alkalinity, charge);
        x
    }

    fn set(&self, x: &mut [f64], unknown: Unknown, to: f64) {
        for (known, value) in self.unknowns.iter().zip(x) {
            if *known == unknown {
                *value = to;
            }
        }
    }

    /// The means of what was measured directly, made electroneutral by moving each in proportion to
    /// its variance; carbon from the pH.
    pub fn start(&self) -> Point {
        let direct = |unknown: &Unknown| {
            let stated = self.measurements.iter().filter(|m| match unknown {
                Unknown::Component(ion) => m.subject == Subject::Component(*ion),
                Unknown::Alkalinity => {
                    [Subject::Alkalinity, Subject::Bicarbonate].contains(&m.subject)
                }
                Unknown::Carbon => false,
            });
            let (weight, sum) = stated.fold((0.0, 0.0), |(weight, sum), m| {
                let precision = 1.0 / (m.sd * m.sd);
                (weight + precision, sum + precision * m.value)
            });
            if weight > 0.0 {
                (sum / weight, 1.0 / weight)
            } else {
                (0.0, 0.0)
            }
        };
        let (mut x, variance): (Point, Vec<f64>) = self.unknowns.iter().map(direct).unzip();
        let charge = self.charge();
        let excess: f64 = charge.iter().zip(&x).map(|(z, value)| z * value).sum();
        let spread: f64 = charge.iter().zip(&variance).map(|(z, v)| z * z * v).sum();
        if spread > 0.0 {
            for ((value, z), v) in x.iter_mut().zip(&charge).zip(&variance) {
                *value -= z * v * excess / spread;
            }
        }
        let mut x = self.feasible(x);
        let carbon = self.carbon_at_measured_ph(&self.liquor(&x));
        self.set(&mut x, Unknown::Carbon, carbon);
        x
    }

    /// Carbon that gives the pH that was measured; as much as the alkalinity where none does.
    fn carbon_at_measured_ph(&self, liquor: &Liquor) -> f64 {
        let measured = self.measurements.iter().rfind(|m| m.subject == Subject::Ph);
        measured
            .and_then(|m| self.aqueous(m.origin).with_ph(liquor, m.value).ok())
            .map_or(math::at_least(liquor.alkalinity_eq_per_kg, 0.0), |state| {
                state.liquor.carbon_mol_per_kg
            })
    }

    fn aqueous(&self, origin: Origin) -> &Aqueous {
        match origin {
            Origin::Report => &self.report,
            Origin::Bench | Origin::Usual => &self.today,
        }
    }

    /// The water of a point at today's temperature.
    ///
    /// # Errors
    /// It has no equilibrium.
    pub fn state(&self, x: &[f64]) -> Result<Equilibrium, EquilibriumError> {
        self.today.closed(&self.liquor(x))
    }

    /// Carbon of a point's water at another pH, today's temperature; `None` where it cannot be.
    pub fn carbon_at_ph(&self, x: &[f64], ph: f64) -> Option<f64> {
        let state = self.today.with_ph(&self.liquor(x), ph).ok()?;
        Some(state.liquor.carbon_mol_per_kg)
    }

    /// What each measurement would read.
    ///
    /// # Errors
    /// The water has no equilibrium.
    pub fn predictions(&self, x: &[f64]) -> Result<Vec<f64>, EquilibriumError> {
        let liquor = self.liquor(x);
        let of = |origin: Origin| {
            self.needs_equilibrium(origin)
                .then(|| self.aqueous(origin).closed(&liquor))
                .transpose()
        };
        let states = States {
            report: of(Origin::Report)?,
            today: of(Origin::Bench)?,
        };
        let predict = |m: &Measurement| self.prediction(m, &liquor, &states);
        Ok(self.measurements.iter().map(predict).collect())
    }

    fn prediction(&self, measurement: &Measurement, liquor: &Liquor, states: &States) -> f64 {
        let state = match measurement.origin {
            Origin::Report => &states.report,
            Origin::Bench | Origin::Usual => &states.today,
        };
        match (measurement.subject, state) {
            (Subject::Ph, Some(state)) => state.ph,
            (Subject::Conductivity, Some(state)) => state.conductivity_25c_us_per_cm(),
            (subject, _) => self.of_amounts(subject, liquor),
        }
    }

    /// What follows from the amounts alone, in a straight line; zero for what does not.
    pub fn of_amounts(&self, subject: Subject, liquor: &Liquor) -> f64 {
        let ions = &liquor.ions;
        match subject {
            Subject::Component(ion) => ions.get(ion),
            Subject::Hardness => hardness_eq_per_kg(ions),
            Subject::Alkalinity | Subject::Bicarbonate => {
                titrated(&self.acidity, liquor.alkalinity_eq_per_kg, ions)
            }
            Subject::PhenolphthaleinAlkalinity => {
                let ph = parameters::PHENOLPHTHALEIN_ENDPOINT_PH.value;
                liquor.alkalinity_eq_per_kg
                    - liquor.carbon_mol_per_kg * self.acidity.per_carbon(ph)
                    - self.acidity.of_acids(ions, ph)
                    - self.acidity.of_water(ph)
            }
            Subject::DissolvedSolids => {
                let alkalinity = titrated(&self.acidity, liquor.alkalinity_eq_per_kg, ions);
                parameters::DRY_RESIDUE_RATIO.value * dissolved_mg_per_l(ions, alkalinity)
            }
            Subject::Carbonate
            | Subject::Conductivity
            | Subject::Ph
            | Subject::FreeChlorine
            | Subject::TotalChlorine => 0.0,
        }
    }

    /// Sensitivities of the predictions to the unknowns, one row per measurement.
    ///
    /// # Errors
    /// The water has no equilibrium.
    pub fn sensitivities(&self, x: &[f64]) -> Result<Vec<Vec<f64>>, EquilibriumError> {
        let report = self.equilibrium_slopes(Origin::Report, x)?;
        let today = self.equilibrium_slopes(Origin::Bench, x)?;
        let of = |m: &Measurement| {
            let there = match m.origin {
                Origin::Report => &report,
                Origin::Bench | Origin::Usual => &today,
            };
            match (m.subject, there) {
                (Subject::Ph, Some(sensitivities)) => sensitivities.ph.clone(),
                (Subject::Conductivity, Some(sensitivities)) => sensitivities.conductivity.clone(),
                (subject, _) => self.slopes_of_amounts(subject),
            }
        };
        Ok(self.measurements.iter().map(of).collect())
    }

    /// Sensitivities of what follows from the amounts alone.
    pub fn slopes_of_amounts(&self, subject: Subject) -> Vec<f64> {
        let at = |point: &[f64]| self.of_amounts(subject, &self.liquor(point));
        let mut unit = vec![0.0; self.unknowns.len()];
        let base = at(&unit);
        let mut sensitivities = Vec::with_capacity(unit.len());
        for place in 0..unit.len() {
            unit[place] = 1.0;
            sensitivities.push(at(&unit) - base);
            unit[place] = 0.0;
        }
        sensitivities
    }

    /// Sensitivities of pH and conductivity at the temperature of an origin; `None` where none of
    /// its measurements needs them.
    fn equilibrium_slopes(
        &self,
        origin: Origin,
        x: &[f64],
    ) -> Result<Option<EquilibriumSlopes>, EquilibriumError> {
        if !self.needs_equilibrium(origin) {
            return Ok(None);
        }
        self.sensitivities_at(self.aqueous(origin), x).map(Some)
    }

    /// Sensitivities of pH and conductivity today.
    ///
    /// # Errors
    /// The water has no equilibrium.
    pub fn slopes_today(&self, x: &[f64]) -> Result<EquilibriumSlopes, EquilibriumError> {
        self.sensitivities_at(&self.today, x)
    }

    fn sensitivities_at(
        &self,
        aqueous: &Aqueous,
        x: &[f64],
    ) -> Result<EquilibriumSlopes, EquilibriumError> {
        let state = aqueous.closed(&self.liquor(x))?;
        let sensitivities =
            aqueous
                .sensitivities(&state)
                .ok_or(EquilibriumError::NotConverged {
                    residual: state.residual,
                })?;
        Ok(EquilibriumSlopes {
            ph: self.by_unknowns(&sensitivities.ph()),
            conductivity: self.by_unknowns(&sensitivities.conductivity_25c_us_per_cm()),
        })
    }

    fn by_unknowns(&self, gradient: &Gradient) -> Vec<f64> {
        let of = |unknown: &Unknown| match unknown {
            Unknown::Component(ion) => gradient.per_ion.get(*ion),
            Unknown::Alkalinity => gradient.per_alkalinity,
            Unknown::Carbon => gradient.per_carbon,
        };
        self.unknowns.iter().map(of).collect()
    }

    /// Whether a measurement at the temperature of an origin is of pH or conductivity.
    fn needs_equilibrium(&self, origin: Origin) -> bool {
        self.measurements.iter().any(|m| {
            matches!(m.subject, Subject::Ph | Subject::Conductivity)
                && (m.origin == Origin::Report) == (origin == Origin::Report)
        })
    }
}

/// Sensitivities of pH and conductivity to the unknowns.
pub(super) struct EquilibriumSlopes {
    pub ph: Vec<f64>,
    pub conductivity: Vec<f64>,
}

/// Calcium and magnesium, eq/kg.
pub(super) fn hardness_eq_per_kg(ions: &Composition) -> f64 {
    [Component::Calcium, Component::Magnesium]
        .map(|ion| ion.charge() * ions.get(ion))
        .iter()
        .sum()
}

/// Dissolved solids at 20 °C, mg/L: the ions, and of the alkalinity the carbonate that drying
/// leaves (Standard Methods 1030 E counts 0.6 of it as CaCO3).
pub(super) fn dissolved_mg_per_l(ions: &Composition, alkalinity_eq_per_kg: f64) -> f64 {
    let calcium_g_per_eq = Component::Calcium.molar_mass_g_per_mol() / Component::Calcium.charge();
    let carbonate_g_per_eq = CACO3_G_PER_EQ - calcium_g_per_eq;
    let carbonate = alkalinity_eq_per_kg * carbonate_g_per_eq * 1000.0 * WATER_KG_PER_L_20C;
    let ions: f64 = ions.iter().map(|(ion, amount)| ion.mg_per_l(amount)).sum();
    ions + carbonate
}
