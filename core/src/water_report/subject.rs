//! What an entry of a report is about, how it is named, and in what it is measured.

use underlet_tables::{drinking_water, elements};

use crate::component::Component;
use crate::error::Problem;
use crate::naming;
use crate::quantity::{self, HCO3_G_PER_EQ, Quantity, Substance, WATER_KG_PER_L_20C};

/// What an entry of a report states, with the canonical unit of its figure.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash, PartialOrd, Ord)]
#[non_exhaustive]
pub enum Subject {
    /// An ion, mol/kg.
    Component(Component),
    /// Bicarbonate, mol/kg.
    Bicarbonate,
    /// Carbonate, mol/kg.
    Carbonate,
    /// Total alkalinity (to methyl orange or pH 4.5), eq/kg.
    Alkalinity,
    /// Alkalinity to phenolphthalein (pH 8.3), eq/kg.
    PhenolphthaleinAlkalinity,
    /// Total hardness, equivalents of calcium and magnesium per kg.
    Hardness,
    /// Dissolved solids or dry residue, mg/L.
    DissolvedSolids,
    /// Electrical conductivity referred to 25 °C, µS/cm.
    Conductivity,
    /// pH at the sample's temperature.
    Ph,
    /// Free chlorine, mg/L as Cl₂.
    FreeChlorine,
    /// Total chlorine: free chlorine and chloramines, mg/L as Cl₂.
    TotalChlorine,
}

/// Those that are not ions, with their keys and quantities, in the order of documents.
const OTHERS: [(Subject, &str, &Quantity); 10] = [
    (Subject::Bicarbonate, "bicarbonate", &quantity::ION),
    (Subject::Carbonate, "carbonate", &quantity::ION),
    (Subject::Alkalinity, "alkalinity", &quantity::ALKALINITY),
    (
        Subject::PhenolphthaleinAlkalinity,
        "phenolphthalein_alkalinity",
        &quantity::ALKALINITY,
    ),
    (Subject::Hardness, "hardness", &quantity::HARDNESS),
    (
        Subject::DissolvedSolids,
        "dissolved_solids",
        &quantity::DISSOLVED_SOLIDS,
    ),
    (
        Subject::Conductivity,
        "conductivity",
        &quantity::CONDUCTIVITY,
    ),
    (Subject::Ph, "ph", &quantity::PH),
    (Subject::FreeChlorine, "free_chlorine", &quantity::CHLORINE),
    (
        Subject::TotalChlorine,
        "total_chlorine",
        &quantity::CHLORINE,
    ),
];

/// A mole of bicarbonate is an equivalent of alkalinity below pH 8.3.
const BICARBONATE: Substance<'static> = Substance {
    formula: "HCO3",
    molar_mass_g_per_mol: HCO3_G_PER_EQ,
    charge: -1,
};
const CARBONATE: Substance<'static> = Substance {
    formula: "CO3",
    molar_mass_g_per_mol: HCO3_G_PER_EQ - elements::H.weight_g_per_mol,
    charge: -2,
};

impl Subject {
    /// How many there are.
    pub const COUNT: usize = Component::COUNT + OTHERS.len();

    /// All of them: the ions, then the others, in the order of documents.
    pub fn all() -> impl Iterator<Item = Subject> {
        let ions = Component::ALL.into_iter().map(Subject::Component);
        ions.chain(OTHERS.iter().map(|(subject, ..)| *subject))
    }

    /// Key in documents, such as `calcium` or `free_chlorine`.
    pub fn key(self) -> &'static str {
        match self {
            Subject::Component(ion) => ion.key(),
            other => other.row().1,
        }
    }

    /// Name for people, such as "free chlorine".
    pub fn label(self) -> String {
        match self {
            Subject::Ph => "pH".to_owned(),
            _ => self.key().replace('_', " "),
        }
    }

    /// What it is measured in.
    pub fn quantity(self) -> &'static Quantity {
        match self {
            Subject::Component(_) => &quantity::ION,
            other => other.row().2,
        }
    }

    /// What it is a concentration of; nothing for what is not a concentration.
    pub fn substance(self) -> Substance<'static> {
        match self {
            Subject::Component(ion) => ion.substance(),
            Subject::Bicarbonate => BICARBONATE,
            Subject::Carbonate => CARBONATE,
            Subject::FreeChlorine | Subject::TotalChlorine => Substance::CHLORINE,
            _ => Substance::NONE,
        }
    }

    /// Equivalents in one of its canonical unit; nothing where it carries no charge.
    pub fn charge(self) -> Option<f64> {
        match self {
            Subject::Component(ion) if ion.is_weak_acid() => None,
            Subject::Component(ion) => Some(ion.charge().abs()),
            Subject::Carbonate => Some(2.0),
            Subject::Bicarbonate
            | Subject::Alkalinity
            | Subject::PhenolphthaleinAlkalinity
            | Subject::Hardness => Some(1.0),
            _ => None,
        }
    }

    /// Its figure per the canonical number of its quantity: chlorine is kept in mg/L.
    pub(crate) fn scale(self) -> f64 {
        match self {
            Subject::FreeChlorine | Subject::TotalChlorine => {
                Substance::CHLORINE.molar_mass_g_per_mol * 1e3 * WATER_KG_PER_L_20C
            }
            _ => 1.0,
        }
    }

    /// A number in the default unit of the subject, such as mg/L, in its canonical unit.
    pub(crate) fn canonical(self, number: f64) -> f64 {
        let read = self
            .quantity()
            .of_default_unit(number, &self.substance())
            .unwrap_or(number);
        read * self.scale()
    }

    /// A canonical number in the default unit of the subject.
    pub fn in_default_unit(self, canonical: f64) -> f64 {
        let quantity = canonical / self.scale();
        self.quantity()
            .in_default_unit(quantity, &self.substance())
            .unwrap_or(quantity)
    }

    /// What "n.d." or "trace" means where a report does not say: the detection limit of a routine laboratory,
    /// canonical.
    pub fn usual_detection_limit(self) -> f64 {
        let limit = drinking_water(self.key()).map_or(0.0, |row| row.detection_limit);
        self.canonical(limit)
    }

    fn row(self) -> &'static (Subject, &'static str, &'static Quantity) {
        let found = OTHERS.iter().find(|(subject, ..)| *subject == self);
        // Every subject that is no ion has a row: a test holds the two together.
        found.unwrap_or(&OTHERS[0])
    }
}

impl std::fmt::Display for Subject {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        f.write_str(self.key())
    }
}

impl std::str::FromStr for Subject {
    type Err = Problem;

    /// The subject of a key, such as `alkalinity`.
    fn from_str(key: &str) -> Result<Subject, Problem> {
        naming::by_key(key, Subject::all().map(|subject| (subject.key(), subject)))
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn every_subject_has_its_row_and_its_key() {
        let mut keys: Vec<_> = Subject::all().map(Subject::key).collect();
        for subject in Subject::all() {
            assert_eq!(subject.key().parse(), Ok(subject));
            assert!(drinking_water(subject.key()).is_some(), "{subject:?}");
        }
        assert_eq!(keys.len(), Subject::COUNT);
        assert_eq!(underlet_tables::DRINKING_WATERS.len(), Subject::COUNT);
        keys.sort_unstable();
        keys.dedup();
        assert_eq!(keys.len(), Subject::COUNT);
        for (subject, key, _) in OTHERS {
            let name = format!("{subject:?}").to_lowercase();
            assert_eq!(name, key.replace('_', ""));
        }
    }

    #[test]
    fn default_units_and_back() {
        // Exact: 40.078 mg/L of calcium are 1 mmol/L; 70.90 mg/L of chlorine 1 mmol/L, kept in
        // mg/L.
        let calcium = Subject::Component(Component::Calcium);
        approx::assert_relative_eq!(
            calcium.canonical(40.078),
            1e-3 / WATER_KG_PER_L_20C,
            max_relative = 1e-12
        );
        for subject in Subject::all() {
            let back = subject.in_default_unit(subject.canonical(3.7));
            approx::assert_relative_eq!(back, 3.7, max_relative = 1e-12);
        }
        approx::assert_relative_eq!(
            Subject::FreeChlorine.canonical(0.3),
            0.3,
            max_relative = 1e-12
        );
    }
}
