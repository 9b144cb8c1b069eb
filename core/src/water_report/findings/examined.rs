//! A report as it is examined, and what the findings say in common.

use crate::component::Component;
use crate::liquor::Liquor;
use crate::quantity::significant;
use crate::water_report::derived::{Derived, derived};
use crate::water_report::entry::{Entry, WaterReport};
use crate::water_report::finding::Gathered;
use crate::water_report::plain::{plain_liquor, stated_alkalinity};
use crate::water_report::subject::Subject;

/// One report as it is examined.
pub(super) struct Examined<'r> {
    pub report: &'r WaterReport,
    pub liquor: Liquor,
    pub derived: Derived,
    pub missing: Missing,
    pub gathered: Gathered,
}

/// Major ions, and alkalinity among the anions, that a report does not state.
pub(super) struct Missing {
    pub cations: Vec<Subject>,
    pub anions: Vec<Subject>,
}

impl Missing {
    pub fn of(report: &WaterReport) -> Missing {
        let stated = |subject| report.entry(subject).is_some();
        let lacking = |ions: &[Component]| -> Vec<Subject> {
            let subjects = ions.iter().map(|ion| Subject::Component(*ion));
            subjects.filter(|subject| !stated(*subject)).collect()
        };
        let mut cations = lacking(&[Component::Calcium, Component::Magnesium]);
        if stated(Subject::Hardness) {
            cations.clear();
        }
        cations.extend(lacking(&[Component::Sodium]));
        let mut anions = lacking(&[Component::Chloride, Component::Sulfate]);
        if stated_alkalinity(report).is_none() {
            anions.insert(0, Subject::Alkalinity);
        }
        Missing { cations, anions }
    }

    pub fn all(&self) -> Vec<Subject> {
        self.cations.iter().chain(&self.anions).copied().collect()
    }

    pub fn is_nothing(&self) -> bool {
        self.cations.is_empty() && self.anions.is_empty()
    }
}

impl<'r> Examined<'r> {
    pub fn new(report: &'r WaterReport) -> Examined<'r> {
        Examined {
            report,
            liquor: plain_liquor(report),
            derived: derived(report),
            missing: Missing::of(report),
            gathered: Gathered::default(),
        }
    }

    /// How far a stated figure leaves its middle open, in the unit of the figure; nothing where it
    /// is not stated.
    pub fn slack(&self, subject: Subject) -> f64 {
        self.report
            .entry(subject)
            .map_or(0.0, |entry| entry.figure.slack())
    }

    /// The same of all charges together, eq/kg.
    pub fn slack_of_charges(&self) -> f64 {
        let ions = Component::ALL
            .into_iter()
            .map(|ion| ion.charge().abs() * self.slack(Subject::Component(ion)));
        let stated = |subject| self.report.entry(subject).is_some();
        let alkalinity = if stated(Subject::Alkalinity) {
            self.slack(Subject::Alkalinity)
        } else {
            self.slack(Subject::Bicarbonate) + 2.0 * self.slack(Subject::Carbonate)
        };
        ions.sum::<f64>() + alkalinity
    }

    /// An entry as it was written, or "nothing".
    pub fn written(&self, subject: Subject) -> String {
        let entry = self.report.entry(subject);
        entry.map_or_else(|| "nothing".to_owned(), Entry::write)
    }
}

/// Three significant digits.
pub(super) fn number(value: f64) -> String {
    significant(value, 3)
}

/// "sodium, chloride and sulfate".
pub(super) fn listed(subjects: &[Subject]) -> String {
    let labels: Vec<String> = subjects.iter().map(|subject| subject.label()).collect();
    match labels.split_last() {
        Some((last, first)) if !first.is_empty() => format!("{} and {last}", first.join(", ")),
        Some((last, _)) => last.clone(),
        None => String::new(),
    }
}
