//! A seeded world of supplies: what their waters are, how they drift, and what laboratories and
//! benches read of them.

use underlet::aqueous::{Aqueous, Equilibrium};
use underlet::component::{Component, Composition};
use underlet::liquor::{Liquor, alkalinity_eq_per_kg};
use underlet::quantity::{CACO3_G_PER_EQ, WATER_KG_PER_L_20C};
use underlet::water_report::{Entry, Figure, Method, Subject};
use underlet_tables::{drinking_water, parameters};

use crate::dice::Dice;

/// Temperature of all samples, °C.
pub const TEMPERATURE_C: f64 = 12.0;

/// The ions of which the table says what is usual.
pub fn ions() -> impl Iterator<Item = Component> {
    Component::ALL
        .into_iter()
        .filter(|ion| drinking_water(ion.key()).is_some_and(|row| row.usual.is_some()))
}

/// A number of the standard normal distribution (Box & Muller 1958).
pub fn normal(dice: &mut Dice) -> f64 {
    let radius = (-2.0 * (1.0 - dice.real(0.0, 1.0)).ln()).sqrt();
    radius * (std::f64::consts::TAU * dice.real(0.0, 1.0)).cos()
}

/// A supply's water on a day.
#[derive(Clone, Debug)]
pub struct Water {
    /// Amounts of `ions()`, mol/kg, then the alkalinity, eq/kg: electroneutral.
    amounts: Vec<f64>,
    /// pH at the temperature of all samples.
    pub ph: f64,
    /// At equilibrium.
    pub state: Equilibrium,
}

/// Charges of `ions()` and of the alkalinity.
fn charges() -> Vec<f64> {
    ions().map(Component::charge).chain([-1.0]).collect()
}

/// Normal numbers of these means and standard deviations, given that they are electroneutral and
/// none is negative.
fn neutral(dice: &mut Dice, means: &[f64], sds: &[f64]) -> Vec<f64> {
    let charges = charges();
    let variance: f64 = charges.iter().zip(sds).map(|(z, s)| z * z * s * s).sum();
    loop {
        let parts = means.iter().zip(sds);
        let mut drawn: Vec<f64> = parts.map(|(mean, sd)| mean + sd * normal(dice)).collect();
        let excess: f64 = charges.iter().zip(&drawn).map(|(z, x)| z * x).sum();
        for ((x, z), sd) in drawn.iter_mut().zip(&charges).zip(sds) {
            *x -= z * sd * sd * excess / variance;
        }
        if drawn.iter().all(|x| *x >= 0.0) {
            return drawn;
        }
    }
}

impl Water {
    /// Any water, as the table of drinking waters has them.
    pub fn any(dice: &mut Dice) -> Water {
        let usual = |key: &str| {
            let row = drinking_water(key).expect("a row");
            row.usual.expect("what is usual")
        };
        let [alkalinity, ph] = [usual("alkalinity"), usual("ph")];
        let (means, sds): (Vec<f64>, Vec<f64>) = ions()
            .map(|ion| usual(ion.key()).map(|number| ion.mol_per_kg(number)))
            .chain([alkalinity.map(alkalinity_eq_per_kg)])
            .map(|[middle, sd]| (middle, sd))
            .unzip();
        loop {
            let amounts = neutral(dice, &means, &sds);
            let ph = ph[0] + ph[1] * normal(dice);
            if let Some(water) = Water::of(amounts, ph) {
                return water;
            }
        }
    }

    fn of(amounts: Vec<f64>, ph: f64) -> Option<Water> {
        let mut composition = Composition::ZERO;
        for (ion, amount) in ions().zip(&amounts) {
            composition.set(ion, *amount);
        }
        let liquor = Liquor {
            ions: composition,
            alkalinity_eq_per_kg: composition.strong_charge(),
            temperature_c: TEMPERATURE_C,
            ..Liquor::default()
        };
        let state = Aqueous::at(TEMPERATURE_C).with_ph(&liquor, ph).ok()?;
        Some(Water { amounts, ph, state })
    }

    /// The same supply so many days later: it has forgotten a part of where it was and found its
    /// own way since.
    #[must_use]
    pub fn days_later(&self, dice: &mut Dice, days: f64) -> Water {
        let forgotten = 1.0 - (-days / parameters::SUPPLY_MEMORY.value).exp();
        let share = parameters::SUPPLY_RELATIVE_SD.value * (2.0 * forgotten).sqrt();
        let sds: Vec<f64> = self.amounts.iter().map(|amount| share * amount).collect();
        loop {
            let amounts = neutral(dice, &self.amounts, &sds);
            let sd = parameters::SUPPLY_PH_SD.value * (2.0 * forgotten).sqrt();
            let ph = self.ph + sd * normal(dice);
            if let Some(water) = Water::of(amounts, ph) {
                return water;
            }
        }
    }

    /// What is true of a subject, in its canonical unit. Dissolved solids and conductivity are what
    /// we would calculate.
    pub fn truth(&self, subject: Subject) -> f64 {
        let liquor = &self.state.liquor;
        match subject {
            Subject::Component(ion) => liquor.ions.get(ion),
            Subject::Alkalinity => underlet::aqueous::titrated_alkalinity_eq_per_kg(liquor),
            Subject::Hardness => 2.0 * liquor.hardness_mol_per_kg(),
            Subject::Ph => self.ph,
            Subject::Conductivity => self.state.conductivity_25c_us_per_cm(),
            Subject::DissolvedSolids => {
                // Standard Methods 1030 E: the ions, and 0.6 of the alkalinity as CaCO3.
                let ions: f64 = ions().map(|ion| ion.mg_per_l(liquor.ions.get(ion))).sum();
                let caco3 = 1000.0 * WATER_KG_PER_L_20C * CACO3_G_PER_EQ;
                let carbonate = 0.6 * caco3 * self.truth(Subject::Alkalinity);
                parameters::DRY_RESIDUE_RATIO.value * (ions + carbonate)
            }
            other => panic!("{other:?} is not in this world"),
        }
    }

    /// What a method reads of a subject; an ion below three of its standard deviations at nothing
    /// is below detection.
    pub fn read(&self, dice: &mut Dice, subject: Subject, method: Method) -> Entry {
        let truth = self.truth(subject);
        let model = match subject {
            Subject::Conductivity => parameters::CONDUCTIVITY_MODEL_RELATIVE_SD.value,
            Subject::DissolvedSolids => {
                parameters::DRY_RESIDUE_RATIO.sd / parameters::DRY_RESIDUE_RATIO.value
            }
            _ => 0.0,
        };
        let shown = truth * (1.0 + model * normal(dice));
        let sd = method.sd(subject, shown).expect("measured");
        let figure = match (subject, detection_limit(subject, method)) {
            (Subject::Component(_), Some(limit)) if truth < limit => Figure::Below(limit),
            _ => Figure::Value((shown + sd * normal(dice)).max(0.0)),
        };
        Entry::new(subject, figure)
    }
}

fn detection_limit(subject: Subject, method: Method) -> Option<f64> {
    method.sd(subject, 0.0).map(|sd| 3.0 * sd)
}
