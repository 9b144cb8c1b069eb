//! What report and bench say, as independent measurements, and what is usual where neither says
//! anything.

use schemars::JsonSchema;
use serde::{Deserialize, Serialize};
use underlet_tables::parameters;

use crate::component::Component;
use crate::math;
use crate::water_report::entry::{Entry, Figure, Subject, WaterReport};
use crate::water_report::spread::{Method, Reading, reading, usual, usual_amount};

/// Where a measurement comes from.
#[derive(
    Clone, Copy, Debug, PartialEq, Eq, Hash, PartialOrd, Ord, Serialize, Deserialize, JsonSchema,
)]
#[serde(rename_all = "snake_case")]
pub enum Origin {
    /// The water report.
    Report,
    /// This morning's bench.
    Bench,
    /// Nobody measured: what is usual in drinking water.
    Usual,
}

/// One measurement with its standard deviation, both in the subject's canonical unit.
#[derive(Clone, Copy, Debug, PartialEq)]
#[non_exhaustive]
pub struct Measurement {
    /// Where it comes from.
    pub origin: Origin,
    /// What was measured. Bicarbonate is the alkalinity it came from, carbonate included, eq/kg.
    pub subject: Subject,
    /// The value; half of a detection limit.
    pub value: f64,
    /// Standard deviation of today's truth about it, that of our own prediction included.
    pub sd: f64,
    /// The detection limit, where the value is only known to be below one.
    pub below: Option<f64>,
}

/// The measurements of a report and a bench in a fixed order, and what cannot be used as one.
#[derive(Clone, Debug, Default)]
pub(super) struct Gathered {
    pub measurements: Vec<Measurement>,
    pub unused: Vec<(Origin, Subject)>,
}

impl Gathered {
    pub fn of(report: &WaterReport, bench: &WaterReport) -> Gathered {
        let mut gathered = Gathered::default();
        gathered.take(Origin::Report, report);
        gathered.take(Origin::Bench, bench);
        gathered
    }

    fn take(&mut self, origin: Origin, report: &WaterReport) {
        let (method, age) = match origin {
            Origin::Bench => (Method::Bench, Some(report.age_days.unwrap_or(0.0))),
            _ => (Method::Laboratory, report.age_days),
        };
        for entry in &report.entries {
            let read = reading(entry, method, age).filter(|_| !repeats_another(entry, report));
            let used = match (entry.subject, read) {
                (Subject::Bicarbonate, Some(bicarbonate)) => {
                    let carbonate = report.entry(Subject::Carbonate);
                    let carbonate = carbonate.and_then(|entry| reading(entry, method, age));
                    Some(titrated(bicarbonate, carbonate))
                }
                (_, read) => read,
            };
            match used {
                Some(read) => self.measurements.push(Measurement {
                    origin,
                    subject: entry.subject,
                    value: read.value,
                    sd: math::root_of_squares([read.sd, prediction_sd(entry.subject, read.value)]),
                    below: read.below,
                }),
                None if is_told_with_bicarbonate(entry, report) => {}
                None => self.unused.push((origin, entry.subject)),
            }
        }
    }

    /// Adds what is usual of every ion, of alkalinity and of pH that nobody measured, and puts all
    /// into a fixed order.
    pub fn completed(mut self) -> Gathered {
        let usual_ions = Component::ALL
            .into_iter()
            .filter_map(|ion| usual_amount(ion).map(|usual| (Subject::Component(ion), usual)));
        let usual_others = [Subject::Alkalinity, Subject::Ph]
            .into_iter()
            .filter_map(|subject| usual(subject).map(|usual| (subject, usual)));
        for (subject, (value, sd)) in usual_ions.chain(usual_others) {
            if !self
                .measurements
                .iter()
                .any(|m| stands_for(m.subject) == subject)
            {
                self.measurements.push(Measurement {
                    origin: Origin::Usual,
                    subject,
                    value,
                    sd,
                    below: None,
                });
            }
        }
        self.measurements.sort_by_key(|m| (m.origin, m.subject));
        self
    }
}

/// The subject whose usual value a measurement makes needless.
fn stands_for(subject: Subject) -> Subject {
    match subject {
        Subject::Bicarbonate => Subject::Alkalinity,
        other => other,
    }
}

/// Bicarbonate and carbonate of a report come from one titration, whose alkalinity is bicarbonate
/// and twice the carbonate (Standard Methods 2320).
fn titrated(bicarbonate: Reading, carbonate: Option<Reading>) -> Reading {
    let Some(carbonate) = carbonate else {
        return bicarbonate;
    };
    Reading {
        value: bicarbonate.value + 2.0 * carbonate.value,
        sd: math::root_of_squares([bicarbonate.sd, 2.0 * carbonate.sd]),
        below: None,
    }
}

/// Whether carbonate is counted with the bicarbonate of its report.
fn is_told_with_bicarbonate(entry: &Entry, report: &WaterReport) -> bool {
    entry.subject == Subject::Carbonate
        && report.entry(Subject::Bicarbonate).is_some()
        && report.entry(Subject::Alkalinity).is_none()
}

/// Whether an entry says what others of its report say already, so that it is no measurement of its
/// own: bicarbonate and carbonate beside alkalinity, hardness calculated from calcium and
/// magnesium. A phenolphthalein alkalinity of nothing only says that the pH is below its end point.
fn repeats_another(entry: &Entry, report: &WaterReport) -> bool {
    match (entry.subject, entry.figure) {
        (Subject::Bicarbonate, _) => report.entry(Subject::Alkalinity).is_some(),
        (Subject::PhenolphthaleinAlkalinity, Figure::Value(value)) => value == 0.0,
        (Subject::Carbonate, _) | (Subject::PhenolphthaleinAlkalinity, Figure::Below(_)) => true,
        (Subject::Hardness, figure) => {
            let parts = [Component::Calcium, Component::Magnesium]
                .map(|ion| Some(ion.charge() * report.middle(Subject::Component(ion))?));
            let [Some(calcium), Some(magnesium)] = parts else {
                return false;
            };
            let hardness = figure.middle();
            let share = parameters::CALCULATED_HARDNESS_SHARE.value;
            (calcium + magnesium - hardness).abs() <= share * hardness
        }
        _ => false,
    }
}

/// Standard deviation of what we predict from a composition that is known: none for amounts and
/// sums of them.
fn prediction_sd(subject: Subject, value: f64) -> f64 {
    match subject {
        Subject::Conductivity => parameters::CONDUCTIVITY_MODEL_RELATIVE_SD.value * value,
        Subject::DissolvedSolids => {
            parameters::DRY_RESIDUE_RATIO.sd / parameters::DRY_RESIDUE_RATIO.value * value
        }
        _ => 0.0,
    }
}
