//! A liquor from the figures of a water report, one by one.

use super::entry::{Entry, Figure, WaterReport};
use super::plain::liquor;
use super::subject::Subject;
use crate::component::Component;
use crate::error::InputError;
use crate::liquor::Liquor;

/// Builds a [`Liquor`] in a report's units; each figure means what it means in a [`WaterReport`],
/// and the last of one kind is the one that is taken. Alkalinity must be given, or bicarbonate in
/// its place.
#[derive(Clone, Debug, Default, PartialEq)]
#[must_use]
pub struct LiquorBuilder {
    report: WaterReport,
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

    /// Any ion or weak acid, mg/L at 20 °C, as reports state it: silica as SiO2, phosphate as PO4.
    pub fn component_mg_l(self, component: Component, mg_per_l: f64) -> LiquorBuilder {
        self.figure(Subject::Component(component), mg_per_l)
    }

    /// Total alkalinity, mg/L as CaCO3 at 20 °C.
    pub fn alkalinity_mg_l_caco3(self, mg_per_l: f64) -> LiquorBuilder {
        self.figure(Subject::Alkalinity, mg_per_l)
    }

    /// Bicarbonate in place of alkalinity, mg/L at 20 °C.
    pub fn bicarbonate_mg_l(self, mg_per_l: f64) -> LiquorBuilder {
        self.figure(Subject::Bicarbonate, mg_per_l)
    }

    /// Total hardness, mg/L as CaCO3 at 20 °C, from which calcium and magnesium follow where they
    /// are not given.
    pub fn hardness_mg_l_caco3(self, mg_per_l: f64) -> LiquorBuilder {
        self.figure(Subject::Hardness, mg_per_l)
    }

    /// pH of the sample at its temperature; 7.5 where it is not given.
    pub fn ph(self, ph: f64) -> LiquorBuilder {
        self.figure(Subject::Ph, ph)
    }

    /// Temperature of the sample, °C; 20 °C where it is not given.
    pub fn temperature_c(mut self, temperature_c: f64) -> LiquorBuilder {
        self.report.temperature_c = Some(temperature_c);
        self
    }

    /// The liquor.
    ///
    /// # Errors
    /// Those of [`WaterReport::liquor`].
    pub fn build(self) -> Result<Liquor, InputError> {
        liquor(&self.report)
    }

    fn figure(mut self, subject: Subject, in_default_unit: f64) -> LiquorBuilder {
        let figure = Figure::Value(subject.canonical(in_default_unit));
        let entries = &mut self.report.entries;
        entries.retain(|entry| entry.subject != subject);
        entries.push(Entry::new(subject, figure));
        self
    }
}
