//! The figures of a report as one number each, and the sums over them that checks need.

use std::collections::BTreeMap;

use underlet_tables::{conductivity, parameters};

use super::entry::{Subject, WaterReport};
use crate::component::Component;
use crate::liquor::IonBalance;
use crate::math;
use crate::quantity::{CO3_G_PER_EQ, HCO3_G_PER_EQ, WATER_KG_PER_L_20C};

/// Figures above this, in canonical units, are no water's and are left out: sums of squares stay
/// finite.
const LARGEST: f64 = 1.0e6;

/// One number per subject, in canonical units, finite and not negative.
#[derive(Clone, Debug, PartialEq)]
pub(super) struct Figures(BTreeMap<Subject, f64>);

/// Ions with the name of the species that carries their charge.
const CARRIERS: [(Component, &str); 12] = [
    (Component::Calcium, "Ca+2"),
    (Component::Magnesium, "Mg+2"),
    (Component::Sodium, "Na+"),
    (Component::Potassium, "K+"),
    (Component::Ammonium, "NH4+"),
    (Component::Iron, "Fe+2"),
    (Component::Manganese, "Mn+2"),
    (Component::Chloride, "Cl-"),
    (Component::Sulfate, "SO4-2"),
    (Component::Nitrate, "NO3-"),
    (Component::Nitrite, "NO2-"),
    (Component::Fluoride, "F-"),
];
/// What carries the charge of the alkalinity.
const ALKALINITY_CARRIER: &str = "HCO3-";

fn is_usable(value: f64) -> bool {
    (0.0..=LARGEST).contains(&value)
}

impl Figures {
    pub fn of(report: &WaterReport) -> Figures {
        let entries = report.entries.iter();
        let figures = entries.map(|entry| (entry.subject, entry.figure.middle()));
        Figures(figures.filter(|(_, value)| is_usable(*value)).collect())
    }

    pub fn get(&self, subject: Subject) -> Option<f64> {
        self.0.get(&subject).copied()
    }

    /// Replaces a figure; too large a one takes it away.
    pub fn set(&mut self, subject: Subject, value: f64) {
        if is_usable(value) {
            self.0.insert(subject, value);
        } else {
            self.0.remove(&subject);
        }
    }

    pub fn ion(&self, ion: Component) -> Option<f64> {
        self.get(Subject::Component(ion))
    }

    /// Equivalents of an ion, meq/kg.
    pub fn meq(&self, ion: Component) -> Option<f64> {
        self.ion(ion)
            .map(|amount| 1000.0 * ion.charge().abs() * amount)
    }

    /// Alkalinity that bicarbonate and carbonate make, eq/kg.
    pub fn carbonate_alkalinity(&self) -> Option<f64> {
        let carbonate = self.get(Subject::Carbonate).map_or(0.0, |mol| 2.0 * mol);
        self.get(Subject::Bicarbonate).map(|mol| mol + carbonate)
    }

    /// Alkalinity, stated or else from bicarbonate and carbonate, eq/kg.
    pub fn alkalinity(&self) -> Option<f64> {
        self.get(Subject::Alkalinity)
            .or_else(|| self.carbonate_alkalinity())
    }

    /// Calcium and magnesium where both are stated, eq/kg.
    pub fn calcium_and_magnesium(&self) -> Option<f64> {
        let (calcium, magnesium) = (
            self.ion(Component::Calcium)?,
            self.ion(Component::Magnesium)?,
        );
        Some(2.0 * (calcium + magnesium))
    }

    /// Hardness from calcium and magnesium, or else as stated, eq/kg.
    pub fn hardness(&self) -> Option<f64> {
        self.calcium_and_magnesium()
            .or_else(|| self.get(Subject::Hardness))
    }

    /// Equivalents of every strong ion that is stated, but those of hardness and alkalinity in one
    /// piece: with the charge's sign, the species that carries it and eq/kg.
    fn charges(&self) -> Vec<(f64, &'static str, f64)> {
        let whole_hardness = self.calcium_and_magnesium().is_none() && self.hardness().is_some();
        let hardens = |ion: &Component| matches!(ion, Component::Calcium | Component::Magnesium);
        let mut charges: Vec<_> = CARRIERS
            .iter()
            .filter(|(ion, _)| !(whole_hardness && hardens(ion)))
            .filter_map(|(ion, name)| {
                let charge = ion.charge();
                let amount = self.ion(*ion)?;
                Some((charge.signum(), *name, charge.abs() * amount))
            })
            .collect();
        if whole_hardness {
            charges.extend(self.hardness().map(|eq| (1.0, "Ca+2", eq)));
        }
        charges.extend(self.alkalinity().map(|eq| (-1.0, ALKALINITY_CARRIER, eq)));
        charges
    }

    /// Cations and anions, eq/kg.
    pub fn balance(&self) -> IonBalance {
        let of_sign = |wanted: f64| {
            let charges = self.charges();
            let ours = charges.iter().filter(|(sign, ..)| *sign == wanted);
            ours.map(|(_, _, eq)| eq).sum()
        };
        IonBalance {
            cations_eq_per_kg: of_sign(1.0),
            anions_eq_per_kg: of_sign(-1.0),
        }
    }

    /// Standard deviation of cations minus anions that the scatter of the figures makes, eq/kg.
    pub fn balance_sd(&self) -> f64 {
        let squares: f64 = self.charges().iter().map(|(_, _, eq)| eq * eq).sum();
        let relative = parameters::REPORT_SCATTER_RELATIVE.value;
        let absolute = parameters::REPORT_SCATTER_ABSOLUTE.value / 1000.0;
        (relative * relative * squares + absolute * absolute).sqrt()
    }

    /// Whether every major cation is stated, and every major anion. Potassium and nitrate may be
    /// missing: they are mostly small.
    pub fn complete(&self) -> (bool, bool) {
        let cations = self.hardness().is_some() && self.ion(Component::Sodium).is_some();
        let anions = self.alkalinity().is_some()
            && self.ion(Component::Chloride).is_some()
            && self.ion(Component::Sulfate).is_some();
        (cations, anions)
    }

    /// Least and greatest dissolved solids that the ions account for, mg/L: a dry residue, from
    /// which half of the bicarbonate left as carbon dioxide and water, and the sum of all ions.
    pub fn solids(&self) -> (f64, f64) {
        let ions: f64 = CARRIERS
            .iter()
            .filter_map(|(ion, _)| Some(ion.mg_per_l(self.ion(*ion)?)))
            .sum();
        let litre = 1000.0 * WATER_KG_PER_L_20C;
        let alkalinity = self.alkalinity().unwrap_or(0.0);
        let bicarbonate = alkalinity * HCO3_G_PER_EQ * litre;
        let carbonate = alkalinity * CO3_G_PER_EQ * litre;
        (ions + carbonate, ions + bicarbonate)
    }

    /// Conductivity of the ions at 25 °C, µS/cm: Onsager's law with the finite-size denominator and
    /// without ion pairs (Robinson & Stokes, *Electrolyte Solutions*, ch. 7). Unlike the solver
    /// it takes ions that do not balance; a few per cent high where sulfate pairs with calcium
    /// and magnesium.
    pub fn conductivity_us_per_cm(&self) -> f64 {
        let rows: Vec<_> = self
            .charges()
            .into_iter()
            .filter_map(|(_, name, eq)| conductivity(name).map(|row| (row, eq)))
            .collect();
        let charge = |row: &underlet_tables::Conductivity| f64::from(row.charge.unsigned_abs());
        let strength: f64 = rows.iter().map(|(row, eq)| charge(row) * eq).sum::<f64>() / 2.0;
        let root = strength.sqrt();
        let atmosphere = root / (1.0 + root);
        let sum: f64 = rows
            .iter()
            .map(|(row, eq)| {
                let (z, limiting) = (charge(row), row.limiting_s_cm2_per_eq);
                let fall = parameters::ONSAGER_RELAXATION.value * z * z * limiting
                    + parameters::ONSAGER_ELECTROPHORESIS.value * z;
                eq * math::at_least(limiting - fall * atmosphere, 0.0)
            })
            .sum();
        1000.0 * WATER_KG_PER_L_20C * sum
    }
}
