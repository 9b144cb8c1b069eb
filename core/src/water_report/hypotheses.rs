//! The usual single mistakes, and what each would make of a report.

use underlet_tables::{elements, parameters};

use super::entry::{Figure, Subject, WaterReport};
use super::figures::Figures;
use crate::component::Component;
use crate::error::codes;
use crate::quantity::{CACO3_G_PER_EQ, CAO_G_PER_EQ, CO3_G_PER_EQ, HCO3_G_PER_EQ};

codes! {
    /// A usual mistake: what was written, and what it was read as. The reverse of sulfate as S and
    /// of nitrate as N is suspected only where the report is understood to say so; what is read in
    /// mg/L or meq/L may be one figure, all cations, all anions, or the whole report.
    pub enum MistakeKind {
        /// Sulfate as S, read as SO4.
        SulfurReadAsSulfate = "sulfur_read_as_sulfate",
        /// SO4, read as sulfate as S.
        SulfateReadAsSulfur = "sulfate_read_as_sulfur",
        /// Nitrate as N, read as NO3.
        NitrogenReadAsNitrate = "nitrogen_read_as_nitrate",
        /// NO3, read as nitrate as N.
        NitrateReadAsNitrogen = "nitrate_read_as_nitrogen",
        /// Alkalinity as CaCO3, read as bicarbonate.
        AlkalinityReadAsBicarbonate = "alkalinity_read_as_bicarbonate",
        /// Bicarbonate, read as alkalinity as CaCO3.
        BicarbonateReadAsAlkalinity = "bicarbonate_read_as_alkalinity",
        /// Total or calcium hardness in mg/L as CaCO3, read as mg/L of calcium.
        HardnessReadAsCalcium = "hardness_read_as_calcium",
        /// German degrees, read as mg/L as CaCO3 or of bicarbonate.
        GermanDegreesReadAsMilligrams = "german_degrees_read_as_milligrams",
        /// meq/L, read as mg/L.
        MilliequivalentsReadAsMilligrams = "milliequivalents_read_as_milligrams",
        /// mg/L, read as meq/L.
        MilligramsReadAsMilliequivalents = "milligrams_read_as_milliequivalents",
    }
}

/// What the report itself says about the basis of a figure.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Default)]
#[non_exhaustive]
pub enum StatedBasis {
    /// Nothing: "sulfate 20 mg/L".
    #[default]
    Silent,
    /// The ion, in so many words: "mg/L SO4", "mg/L as NO3", "mg/L HCO3".
    Itself,
    /// Another basis, and it was read as such: "as S", "as N".
    Other,
}

/// One figure that a mistake would change, in the canonical unit of its subject.
#[derive(Clone, Copy, Debug, PartialEq)]
#[non_exhaustive]
pub struct Change {
    /// What changes.
    pub subject: Subject,
    /// As it was read.
    pub from: f64,
    /// As it would be.
    pub to: f64,
}

/// A mistake that may have been made, before the evidence is heard.
#[derive(Clone, Debug, PartialEq)]
pub(super) struct Hypothesis {
    pub kind: MistakeKind,
    pub changes: Vec<Change>,
    /// How often it is made.
    pub prior: f64,
}

/// Cations and anions that are commonly stated in equivalents.
const CATIONS: [Subject; 4] = [
    Subject::Component(Component::Calcium),
    Subject::Component(Component::Magnesium),
    Subject::Component(Component::Sodium),
    Subject::Component(Component::Potassium),
];
const ANIONS: [Subject; 6] = [
    Subject::Alkalinity,
    Subject::Bicarbonate,
    Subject::Carbonate,
    Subject::Component(Component::Chloride),
    Subject::Component(Component::Sulfate),
    Subject::Component(Component::Nitrate),
];

/// Every hypothesis that a report admits.
pub(super) fn all(report: &WaterReport, basis: &dyn Fn(Subject) -> StatedBasis) -> Vec<Hypothesis> {
    let mut asked = Asked {
        figures: Figures::of(report),
        report,
        basis,
        found: Vec::new(),
    };
    asked.elements();
    asked.alkalinity();
    asked.calcium();
    asked.german_degrees();
    asked.equivalents(MistakeKind::MilliequivalentsReadAsMilligrams, |factor| {
        factor
    });
    asked.equivalents(MistakeKind::MilligramsReadAsMilliequivalents, |factor| {
        1.0 / factor
    });
    asked.found
}

struct Asked<'a> {
    report: &'a WaterReport,
    figures: Figures,
    basis: &'a dyn Fn(Subject) -> StatedBasis,
    found: Vec<Hypothesis>,
}

impl Asked<'_> {
    /// A subject's figure, where it is a positive number that was measured.
    fn figure(&self, subject: Subject) -> Option<f64> {
        let entry = self.report.entry(subject)?;
        let measured = !matches!(entry.figure, Figure::Below(_));
        self.figures
            .get(subject)
            .filter(|value| measured && *value > 0.0)
    }

    fn scaled(&self, subject: Subject, factor: f64) -> Option<Change> {
        self.figure(subject).map(|from| Change {
            subject,
            from,
            to: from * factor,
        })
    }

    fn suspect(&mut self, kind: MistakeKind, prior: f64, changes: Vec<Change>) {
        let possible = |change: &Change| self.could_be(kind, change.subject);
        if !changes.is_empty() && changes.iter().all(possible) {
            self.found.push(Hypothesis {
                kind,
                changes,
                prior,
            });
        }
    }

    /// Whether a figure was written in the unit that the mistake reads; a figure that came without
    /// its notation may have been.
    fn could_be(&self, kind: MistakeKind, subject: Subject) -> bool {
        let entry = self.report.entry(subject);
        let notation = entry.and_then(|entry| entry.notation);
        notation.is_none_or(|notation| {
            if kind == MistakeKind::MilligramsReadAsMilliequivalents {
                notation.is_equivalents()
            } else {
                notation.is_mass()
            }
        })
    }

    fn suspect_scaled(&mut self, kind: MistakeKind, prior: f64, subject: Subject, factor: f64) {
        let change = self.scaled(subject, factor);
        self.suspect(kind, prior, change.into_iter().collect());
    }

    /// How much rarer a mistaken basis is for what the report states.
    fn rarer(&self, subject: Subject) -> f64 {
        match (self.basis)(subject) {
            StatedBasis::Silent => 1.0,
            StatedBasis::Itself | StatedBasis::Other => parameters::MISTAKE_STATED_BASIS.value,
        }
    }

    /// Sulfate as S, nitrate as N; the reverse where the report is understood to say so.
    fn elements(&mut self) {
        use MistakeKind as Kind;
        for (ion, element, direct, reverse) in [
            (
                Component::Sulfate,
                elements::S,
                Kind::SulfurReadAsSulfate,
                Kind::SulfateReadAsSulfur,
            ),
            (
                Component::Nitrate,
                elements::N,
                Kind::NitrogenReadAsNitrate,
                Kind::NitrateReadAsNitrogen,
            ),
        ] {
            let subject = Subject::Component(ion);
            let factor = ion.molar_mass_g_per_mol() / element.weight_g_per_mol;
            let prior = parameters::MISTAKE_ELEMENT.value * self.rarer(subject);
            if (self.basis)(subject) == StatedBasis::Other {
                self.suspect_scaled(reverse, prior, subject, 1.0 / factor);
            } else {
                self.suspect_scaled(direct, prior, subject, factor);
            }
        }
    }

    /// Alkalinity and bicarbonate, both ways: a report may have been worked over before it came
    /// here, so the subject of the entry does not tell which.
    fn alkalinity(&mut self) {
        let factor = HCO3_G_PER_EQ / CACO3_G_PER_EQ;
        for subject in [Subject::Alkalinity, Subject::Bicarbonate] {
            let prior = parameters::MISTAKE_ALKALINITY_BASIS.value * self.rarer(subject);
            let kind = MistakeKind::AlkalinityReadAsBicarbonate;
            self.suspect_scaled(kind, prior, subject, factor);
            let kind = MistakeKind::BicarbonateReadAsAlkalinity;
            self.suspect_scaled(kind, prior, subject, 1.0 / factor);
        }
    }

    /// Calcium that is total hardness, from which magnesium is still to be taken, or calcium
    /// hardness.
    fn calcium(&mut self) {
        let (subject, kind) = (
            Subject::Component(Component::Calcium),
            MistakeKind::HardnessReadAsCalcium,
        );
        let prior = parameters::MISTAKE_HARDNESS_AS_CALCIUM.value * self.rarer(subject);
        let factor = Component::Calcium.molar_mass_g_per_mol() / (2.0 * CACO3_G_PER_EQ);
        let Some(hardness) = self.scaled(subject, factor) else {
            return;
        };
        let magnesium = self.figures.ion(Component::Magnesium).unwrap_or(0.0);
        let without = hardness.to - magnesium;
        let total = Change {
            to: without,
            ..hardness
        };
        if magnesium > 0.0 && without > 0.0 {
            self.suspect(kind, prior / 2.0, vec![total]);
            self.suspect(kind, prior / 2.0, vec![hardness]);
        } else {
            self.suspect(kind, prior, vec![hardness]);
        }
    }

    fn german_degrees(&mut self) {
        let kind = MistakeKind::GermanDegreesReadAsMilligrams;
        let prior = parameters::MISTAKE_GERMAN_DEGREES.value;
        // A degree is 10 mg/L of calcium oxide.
        let as_caco3 = 10.0 * CACO3_G_PER_EQ / CAO_G_PER_EQ;
        let as_bicarbonate = 10.0 * HCO3_G_PER_EQ / CAO_G_PER_EQ;
        self.suspect_scaled(kind, prior, Subject::Hardness, as_caco3);
        self.suspect_scaled(kind, prior, Subject::Alkalinity, as_caco3);
        self.suspect_scaled(kind, prior / 2.0, Subject::Bicarbonate, as_caco3);
        self.suspect_scaled(kind, prior / 2.0, Subject::Bicarbonate, as_bicarbonate);
    }

    /// The whole report, one column, or one figure, in the wrong one of meq/L and mg/L.
    fn equivalents(&mut self, kind: MistakeKind, direction: fn(f64) -> f64) {
        let column = |side: &[Subject]| -> Vec<Change> {
            side.iter()
                .filter_map(|subject| {
                    self.scaled(*subject, direction(grams_per_equivalent(*subject)))
                })
                .collect()
        };
        let (cations, anions) = (column(&CATIONS), column(&ANIONS));
        let both: Vec<Change> = cations.iter().chain(&anions).copied().collect();
        let place = parameters::MISTAKE_EQUIVALENTS.value / parameters::MISTAKE_PLACES.value;
        let each = place / (both.len().max(1) as f64);
        for change in &both {
            self.suspect(kind, each, vec![*change]);
        }
        self.suspect(kind, place / 2.0, cations);
        self.suspect(kind, place / 2.0, anions);
        self.suspect(kind, place, both);
    }
}

/// mg/L of a subject that make one meq/L.
fn grams_per_equivalent(subject: Subject) -> f64 {
    match subject {
        Subject::Component(ion) => ion.molar_mass_g_per_mol() / ion.charge().abs(),
        Subject::Bicarbonate => HCO3_G_PER_EQ,
        Subject::Carbonate => CO3_G_PER_EQ,
        _ => CACO3_G_PER_EQ,
    }
}
