//! Findings of plausibility: what in a report contradicts itself, is missing, cannot be, or exceeds a drinking-water limit.
//!
//! Tolerances are in the tables; a figure given as a range or below a detection limit widens them by what it leaves open.

mod alkalinity;
mod limits;
mod sampling;
mod sums;

use underlet_tables::parameters;

use super::entry::WaterReport;
use super::finding::{Finding, FindingCode, FindingSeverity, Gathered};
use super::plain::meq_per_l;
use super::subject::Subject;
use crate::aqueous::Aqueous;
use crate::component::Component;
use crate::liquor::{IonBalance, Liquor};
use crate::quantity::significant;

use FindingSeverity::{Doubt, Note, Warning};

/// What follows from the plain reading of a report, to hold against what it states.
#[derive(Clone, Copy, Debug, PartialEq)]
#[non_exhaustive]
pub struct Derived {
    /// Cations against anions.
    pub balance: IonBalance,
    /// Calcium and magnesium, eq/kg.
    pub hardness_eq_per_kg: f64,
    /// Sum of all ions as they are dissolved, mg/L.
    pub calculated_tds_mg_per_l: f64,
    /// Sum of all ions as they are left on drying, half of the bicarbonate gone, mg/L.
    pub residue_on_evaporation_mg_per_l: f64,
    /// Conductivity at 25 °C, µS/cm; nothing where the ions make no water.
    pub conductivity_25c_us_per_cm: Option<f64>,
}

impl WaterReport {
    /// What follows from the plain reading.
    pub fn derived(&self) -> Derived {
        let liquor = self.plain_liquor();
        let [whole, dry] = self.calculated_tds_mg_per_l(&liquor);
        let at_25c = Aqueous::at(25.0).closed(&liquor).ok();
        Derived {
            balance: liquor.charge_balance(),
            hardness_eq_per_kg: 2.0 * liquor.hardness_mol_per_kg(),
            calculated_tds_mg_per_l: whole,
            residue_on_evaporation_mg_per_l: dry,
            conductivity_25c_us_per_cm: at_25c.map(|water| water.conductivity_25c_us_per_cm()),
        }
    }

    /// What contradicts itself, is missing or exceeds a limit, most serious first.
    pub fn findings(&self) -> Vec<Finding> {
        let mut look = Look {
            report: self,
            liquor: self.plain_liquor(),
            derived: self.derived(),
            missing: Missing::of(self),
            gathered: Gathered::default(),
        };
        look.balance();
        look.hardness();
        look.dissolved_solids();
        look.conductivity();
        look.alkalinity_against_ph();
        look.bicarbonate();
        look.alkalinity_parts();
        look.carbonate_against_ph();
        look.basis();
        look.limits();
        look.beyond_drinking_water();
        look.chlorine();
        look.age();
        look.ranges();
        look.detection_limits();
        let mut findings = look.gathered.0;
        findings.sort_by_key(|finding| finding.severity);
        findings
    }
}

/// One report as it is examined.
struct Look<'r> {
    report: &'r WaterReport,
    liquor: Liquor,
    derived: Derived,
    missing: Missing,
    gathered: Gathered,
}

/// Major ions, and alkalinity among the anions, that a report does not state.
struct Missing {
    cations: Vec<Subject>,
    anions: Vec<Subject>,
}

impl Missing {
    fn of(report: &WaterReport) -> Missing {
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
        if report.stated_alkalinity().is_none() {
            anions.insert(0, Subject::Alkalinity);
        }
        Missing { cations, anions }
    }

    fn all(&self) -> Vec<Subject> {
        self.cations.iter().chain(&self.anions).copied().collect()
    }

    fn is_nothing(&self) -> bool {
        self.cations.is_empty() && self.anions.is_empty()
    }
}

impl Look<'_> {
    /// How far a stated figure leaves its middle open, in the unit of the figure; nothing where it is not stated.
    fn slack(&self, subject: Subject) -> f64 {
        self.report
            .entry(subject)
            .map_or(0.0, |entry| entry.figure.slack())
    }

    /// The same of all charges together, eq/kg.
    fn slack_of_charges(&self) -> f64 {
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

    fn say(
        &mut self,
        code: FindingCode,
        severity: FindingSeverity,
        subjects: &[Subject],
        text: String,
        evidence: &[(&str, f64, &'static str)],
    ) {
        self.gathered.say(code, severity, subjects, text, evidence);
    }

    /// An entry as it was written, or "nothing".
    fn written(&self, subject: Subject) -> String {
        let entry = self.report.entry(subject);
        entry.map_or_else(|| "nothing".to_owned(), super::Entry::write)
    }
}

/// Three significant digits.
fn number(value: f64) -> String {
    significant(value, 3)
}

/// "sodium, chloride and sulfate".
fn listed(subjects: &[Subject]) -> String {
    let labels: Vec<String> = subjects.iter().map(|subject| subject.label()).collect();
    match labels.split_last() {
        Some((last, first)) if !first.is_empty() => format!("{} and {last}", first.join(", ")),
        Some((last, _)) => last.clone(),
        None => String::new(),
    }
}
