//! Waters that can be drawn, and how surely each is known.

use std::borrow::Cow;

use underlet_tables::parameters;

use super::reconciled;
use crate::component::Component;
use crate::error::InputError;
use crate::liquor::{Liquor, alkalinity_eq_per_kg};
use crate::math;
use crate::treatment::Chlorine;
use crate::uncertainty::LiquorCovariance;
use crate::water_report::{CARBON_KEY, ReconciledAmount, ReconciledLiquor, ReconciledRemark};

/// A water that can be drawn.
#[derive(Clone, Debug, PartialEq)]
pub struct Source {
    /// Name, such as "well".
    pub name: String,
    /// Its composition.
    pub liquor: Liquor,
    /// True when the report gave no pH, so that [`crate::liquor::assumed_ph`] stands in.
    pub ph_assumed: bool,
    /// Its chlorine, free and combined.
    pub chlorine: Chlorine,
    /// Most that can be drawn for all the brews of the day, litres at 20 °C.
    pub max_amount_l: Option<f64>,
    /// How surely it is known, where it was reconciled from report and bench.
    pub reconciled: Option<Box<Reconciled>>,
}

/// How well a reconciled source is known, and the remarks on it.
#[derive(Clone, Debug, PartialEq)]
pub struct Reconciled {
    /// Covariance of its amounts.
    pub covariance: LiquorCovariance,
    /// What a plan should say of it.
    pub remarks: Vec<ReconciledRemark>,
}

impl Source {
    /// A water known by its report, without chlorine, of which there is plenty.
    pub fn new(name: impl Into<String>, liquor: Liquor) -> Source {
        Source {
            name: name.into(),
            liquor,
            ph_assumed: false,
            chlorine: Chlorine::default(),
            max_amount_l: None,
            reconciled: None,
        }
    }

    /// A source as report and bench know it today.
    ///
    /// # Errors
    /// Every number that cannot be, key that no liquor has, and covariance that is missing, doubled
    /// or impossible.
    pub fn reconciled(
        name: String,
        known: &ReconciledLiquor,
        max_amount_l: Option<f64>,
    ) -> Result<Source, InputError> {
        reconciled::check(known)?;
        let mut liquor = Liquor {
            temperature_c: parameters::SAMPLE_TEMPERATURE.value,
            ..Liquor::default()
        };
        for amount in &known.amounts {
            let mol_per_kg = amount.mmol_per_kg / 1e3;
            match Component::from_key(&amount.key) {
                Some(ion) => liquor.ions.set(ion, mol_per_kg),
                None => liquor.carbon_mol_per_kg = mol_per_kg,
            }
        }
        liquor.alkalinity_eq_per_kg = liquor.ions.strong_charge();
        let reconciled = Reconciled {
            covariance: covariance(&known.amounts),
            remarks: known.remarks.clone(),
        };
        Ok(Source {
            name,
            liquor,
            ph_assumed: false,
            chlorine: Chlorine::default(),
            max_amount_l,
            reconciled: Some(Box::new(reconciled)),
        })
    }

    /// The reconciled liquor that it was made from, if it was: the inverse of
    /// [`Source::reconciled`].
    pub(crate) fn reconciled_liquor(&self) -> Option<ReconciledLiquor> {
        let Reconciled {
            covariance,
            remarks,
        } = self.reconciled.as_deref()?;
        let ions = Component::ALL.into_iter().map(|ion| {
            let amount = self.liquor.ions.get(ion);
            (ion.key(), ion as usize, amount)
        });
        let ions = ions
            .filter(|(_, place, amount)| *amount != 0.0 || covariance.get(*place, *place) != 0.0);
        let carbon = (
            CARBON_KEY,
            LiquorCovariance::CARBON,
            self.liquor.carbon_mol_per_kg,
        );
        let held: Vec<(&'static str, usize, f64)> = ions.chain([carbon]).collect();
        let amount = |(index, (key, place, mol_per_kg)): (usize, &(&'static str, usize, f64))| {
            let before = held.iter().take(index + 1);
            ReconciledAmount {
                key: Cow::Borrowed(key),
                mmol_per_kg: 1e3 * mol_per_kg,
                covariance: before
                    .map(|(key, other, _)| {
                        let value = 1e6 * covariance.get(*place, *other);
                        (Cow::Borrowed(*key), value)
                    })
                    .collect(),
            }
        };
        Some(ReconciledLiquor {
            amounts: held.iter().enumerate().map(amount).collect(),
            remarks: remarks.clone(),
        })
    }

    /// Whether it holds chlorine.
    pub fn has_chlorine(&self) -> bool {
        self.chlorine.total_mol_per_kg() > 0.0
    }

    /// Covariance of two of its amounts, places as in [`LiquorCovariance`]. Of a source that was
    /// not reconciled only the alkalinity is uncertain, as the analysis of a report is.
    pub fn covariance(&self, one: usize, other: usize) -> f64 {
        if let Some(reconciled) = &self.reconciled {
            return reconciled.covariance.get(one, other);
        }
        if [one, other] != [LiquorCovariance::ALKALINITY; 2] {
            return 0.0;
        }
        let relative = self.liquor.alkalinity_eq_per_kg.abs()
            * parameters::ALKALINITY_REPORT_RELATIVE_SD.value;
        let least = alkalinity_eq_per_kg(parameters::ALKALINITY_REPORT_ABSOLUTE_SD.value);
        let sd = math::at_least(relative, least);
        sd * sd
    }
}

/// The covariance of all amounts: alkalinity is the charge of the ions, and moves with them.
fn covariance(amounts: &[ReconciledAmount]) -> LiquorCovariance {
    // Each amount moves its own place, and alkalinity by its charge.
    let places: Vec<(usize, f64)> = amounts
        .iter()
        .map(|amount| match Component::from_key(&amount.key) {
            Some(ion) => (ion as usize, ion.charge()),
            None => (LiquorCovariance::CARBON, 0.0),
        })
        .collect();
    let mut covariance = LiquorCovariance::default();
    for (row, amount) in amounts.iter().enumerate() {
        for (column, other) in amounts.iter().enumerate().take(row + 1) {
            let value = reconciled::covariance(amount, other) / 1e6;
            if let Some((one, other)) = places.get(row).zip(places.get(column)) {
                covariance.add(*one, *other, value);
                if row != column {
                    covariance.add(*other, *one, value);
                }
            }
        }
    }
    covariance
}
