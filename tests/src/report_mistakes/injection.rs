//! Mistakes put into reports that balance, to see whether they are found.

use underlet::component::Component;
use underlet::quantity::{CACO3_G_PER_EQ, HCO3_G_PER_EQ};
use underlet::water_report::{Entry, Figure, Mistake, MistakeKind, Subject, WaterReport};
use underlet_tables::elements;

/// A mistake in one place, as it was made.
#[derive(Clone, Debug)]
pub struct Injection {
    /// Line of the table of results that it counts in.
    pub line: &'static str,
    /// What must be named.
    pub kind: MistakeKind,
    /// Where it must be named.
    pub subjects: Vec<Subject>,
    /// The report with the mistake in it.
    pub report: WaterReport,
}

impl Injection {
    /// Whether a proposal names this mistake in this place.
    pub fn is_named_by(&self, mistake: &Mistake) -> bool {
        let mut named: Vec<Subject> = mistake.subjects().collect();
        named.sort_unstable();
        mistake.kind == self.kind && named == self.subjects
    }
}

/// The lines of the table of results.
pub const LINES: [&str; 14] = [
    "sulfate as S read as SO4",
    "nitrate as N read as NO3",
    "alkalinity as CaCO3 read as HCO3",
    "HCO3 read as alkalinity as CaCO3",
    "total hardness read as calcium",
    "calcium hardness read as calcium",
    "alkalinity in °dH read as mg/L CaCO3",
    "hardness in °dH read as mg/L CaCO3",
    "meq/L read as mg/L, whole report",
    "meq/L read as mg/L, one column",
    "meq/L read as mg/L, one figure",
    "mg/L read as meq/L, whole report",
    "mg/L read as meq/L, one column",
    "mg/L read as meq/L, one figure",
];

/// mg/L of CaCO3 that make a German degree: 10 mg/L of CaO, in mg of CaO and CaCO3 per equivalent.
fn mg_caco3_per_degree() -> f64 {
    let calcium_oxide = elements::CA.weight_g_per_mol + elements::O.weight_g_per_mol;
    10.0 * 2.0 * CACO3_G_PER_EQ / calcium_oxide
}

const CATIONS: [Component; 4] = [
    Component::Calcium,
    Component::Magnesium,
    Component::Sodium,
    Component::Potassium,
];
const ANIONS: [Component; 3] = [Component::Chloride, Component::Sulfate, Component::Nitrate];

/// Every usual mistake that a sound report admits. The report states its alkalinity as bicarbonate.
pub fn all(sound: &WaterReport) -> Vec<Injection> {
    let mut made = Vec::new();
    let mut push = |line: usize, kind, report: WaterReport, mut subjects: Vec<Subject>| {
        subjects.sort_unstable();
        if subjects
            .iter()
            .all(|subject| report.middle(*subject) > Some(0.0))
        {
            made.push(Injection {
                line: LINES[line],
                kind,
                subjects,
                report,
            });
        }
    };
    let ion = Subject::Component;
    let sulfur = elements::S.weight_g_per_mol / Component::Sulfate.molar_mass_g_per_mol();
    let nitrogen = elements::N.weight_g_per_mol / Component::Nitrate.molar_mass_g_per_mol();
    let caco3_to_hco3 = HCO3_G_PER_EQ / CACO3_G_PER_EQ;

    let subject = ion(Component::Sulfate);
    let kind = MistakeKind::SulfurReadAsSulfate;
    push(0, kind, scaled(sound, &[(subject, sulfur)]), vec![subject]);
    let subject = ion(Component::Nitrate);
    let kind = MistakeKind::NitrogenReadAsNitrate;
    push(
        1,
        kind,
        scaled(sound, &[(subject, nitrogen)]),
        vec![subject],
    );
    let subject = Subject::Bicarbonate;
    let kind = MistakeKind::AlkalinityReadAsBicarbonate;
    let report = scaled(sound, &[(subject, 1.0 / caco3_to_hco3)]);
    push(2, kind, report, vec![subject]);

    let subject = Subject::Alkalinity;
    let titrated = with_alkalinity(sound);
    let kind = MistakeKind::BicarbonateReadAsAlkalinity;
    let report = scaled(&titrated, &[(subject, caco3_to_hco3)]);
    push(3, kind, report, vec![subject]);

    let subject = ion(Component::Calcium);
    let kind = MistakeKind::HardnessReadAsCalcium;
    let calcium = sound.middle(subject).unwrap_or(0.0);
    let magnesium = sound.middle(ion(Component::Magnesium)).unwrap_or(0.0);
    let as_calcium = 2.0 * CACO3_G_PER_EQ / Component::Calcium.molar_mass_g_per_mol();
    let total = as_calcium * (calcium + magnesium) / calcium;
    push(4, kind, scaled(sound, &[(subject, total)]), vec![subject]);
    let report = scaled(sound, &[(subject, as_calcium)]);
    push(5, kind, report, vec![subject]);

    let kind = MistakeKind::GermanDegreesReadAsMilligrams;
    let degree = mg_caco3_per_degree();
    let subject = Subject::Alkalinity;
    let report = scaled(&titrated, &[(subject, 1.0 / degree)]);
    push(6, kind, report, vec![subject]);
    let subject = Subject::Hardness;
    let report = scaled(&with_hardness_alone(sound), &[(subject, 1.0 / degree)]);
    push(7, kind, report, vec![subject]);

    let there = |subject: &Subject| sound.middle(*subject) > Some(0.0);
    let cations: Vec<Subject> = CATIONS.map(ion).into_iter().filter(there).collect();
    let mut anions: Vec<Subject> = ANIONS.map(ion).into_iter().filter(there).collect();
    anions.push(Subject::Bicarbonate);
    let whole = [cations.clone(), anions.clone()].concat();
    for (line, kind, sign) in [
        (8, MistakeKind::MilliequivalentsReadAsMilligrams, -1),
        (11, MistakeKind::MilligramsReadAsMilliequivalents, 1),
    ] {
        let made = |subjects: &[Subject]| {
            let factors: Vec<(Subject, f64)> = subjects
                .iter()
                .map(|subject| (*subject, grams_per_equivalent(*subject).powi(sign)))
                .collect();
            scaled(sound, &factors)
        };
        push(line, kind, made(&whole), whole.clone());
        push(line + 1, kind, made(&cations), cations.clone());
        push(line + 1, kind, made(&anions), anions.clone());
        for subject in &whole {
            push(line + 2, kind, made(&[*subject]), vec![*subject]);
        }
    }
    made
}

fn grams_per_equivalent(subject: Subject) -> f64 {
    match subject {
        Subject::Component(ion) => ion.molar_mass_g_per_mol() / ion.charge().abs(),
        _ => HCO3_G_PER_EQ,
    }
}

/// A report with figures times factors.
fn scaled(report: &WaterReport, factors: &[(Subject, f64)]) -> WaterReport {
    let mut report = report.clone();
    for entry in &mut report.entries {
        for (subject, factor) in factors {
            if entry.subject == *subject {
                entry.figure = Figure::Value(entry.figure.middle() * factor);
            }
        }
    }
    report
}

/// A report with one more entry.
pub fn with(report: &WaterReport, subject: Subject, value: f64) -> WaterReport {
    let mut report = without(report, &[subject]);
    report
        .entries
        .push(Entry::new(subject, Figure::Value(value)));
    report
}

/// A report without some subjects.
pub fn without(report: &WaterReport, subjects: &[Subject]) -> WaterReport {
    let mut report = report.clone();
    report
        .entries
        .retain(|entry| !subjects.contains(&entry.subject));
    report
}

/// The same water with its alkalinity stated as such.
fn with_alkalinity(sound: &WaterReport) -> WaterReport {
    let alkalinity = sound.middle(Subject::Bicarbonate).unwrap_or(0.0);
    let bare = without(sound, &[Subject::Bicarbonate]);
    with(&bare, Subject::Alkalinity, alkalinity)
}

/// The same water with its hardness in place of calcium and magnesium.
fn with_hardness_alone(sound: &WaterReport) -> WaterReport {
    let parts = [Component::Calcium, Component::Magnesium].map(Subject::Component);
    let hardness: f64 = parts
        .iter()
        .map(|subject| 2.0 * sound.middle(*subject).unwrap_or(0.0))
        .sum();
    with(&without(sound, &parts), Subject::Hardness, hardness)
}
