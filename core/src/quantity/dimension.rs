//! What kind of thing a quantity is: its canonical unit, the unit of a bare number, and what may be
//! written instead.

use super::extract;
use super::substance::{self, ALKALINITY_BASES, HARDNESS_BASES, Substance, WATER_KG_PER_L_20C};
use super::units::{self, Measure, UNITS, Unit};

/// What kind of thing a quantity is.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
#[non_exhaustive]
pub enum Dimension {
    /// Canonical and default unit L.
    Volume,
    /// Canonical and default unit mL: what a pipette or a burette measures.
    SmallVolume,
    /// Canonical and default unit kg.
    Mass,
    /// Canonical and default unit °C.
    Temperature,
    /// A difference of temperatures; canonical and default unit °C.
    TemperatureDifference,
    /// Of a [`Substance`]; canonical mol/kg of water, default unit mg/L.
    Concentration,
    /// Canonical eq/kg of water, default unit mg/L as CaCO3, which is also what "mg/L" means when
    /// no basis is named; "mmol/L" counts protons (K_S4.3, DIN 38409-7).
    Alkalinity,
    /// Canonical eq/kg of water, default unit mg/L as CaCO3, which is also what "mg/L" means when
    /// no basis is named; "mmol/L" counts calcium and magnesium ions.
    Hardness,
    /// pH.
    Ph,
    /// Grams of a solid or millilitres of a liquid: see [`super::Amount`].
    Amount,
    /// Canonical and default unit % by mass.
    Strength,
    /// Canonical and default unit mol/L.
    Molarity,
    /// Canonical and default unit meq/(kg pH).
    Buffering,
    /// Canonical and default unit meq/kg.
    Acidity,
    /// A plain number; "25 %" is 0.25.
    Ratio,
    /// Canonical and default unit EBC.
    Colour,
    /// Canonical and default unit L/kg.
    Thickness,
    /// Canonical and default unit µS/cm at 25 °C.
    Conductivity,
    /// Canonical and default unit mg/L.
    DissolvedSolids,
    /// Canonical and default unit h.
    Time,
    /// Canonical and default unit L/h.
    Flow,
    /// Extract of wort, canonical and default unit °P. A bare number about 1 is a specific gravity,
    /// as every hydrometer shows it: wort of that many °P is of no use to anybody.
    Extract,
}

use Dimension as D;
use Measure as M;

/// From mmol per litre of a sample at 20 °C to mol per kilogram of water.
const MOL_PER_KG: f64 = 1e-3 / WATER_KG_PER_L_20C;

impl Dimension {
    /// Unit of a bare number, as printed.
    pub const fn unit(self) -> &'static str {
        match self {
            D::Volume => "L",
            D::SmallVolume => "mL",
            D::Mass => "kg",
            D::Temperature | D::TemperatureDifference => "°C",
            D::Concentration | D::DissolvedSolids => "mg/L",
            D::Alkalinity | D::Hardness => "mg/L as CaCO3",
            D::Ph | D::Ratio => "",
            D::Amount => "g or mL",
            D::Strength => "%",
            D::Molarity => "mol/L",
            D::Buffering => "meq/(kg pH)",
            D::Acidity => "meq/kg",
            D::Colour => "EBC",
            D::Thickness => "L/kg",
            D::Conductivity => "µS/cm",
            D::Time => "h",
            D::Flow => "L/h",
            D::Extract => "°P",
        }
    }

    /// Whether a mass concentration may say what the mass is counted as.
    pub(super) const fn takes_basis(self) -> bool {
        matches!(self, D::Concentration | D::Alkalinity | D::Hardness)
    }

    /// Whether units of a measure may be written for this dimension.
    pub(super) const fn admits(self, measure: Measure) -> bool {
        match self {
            D::Volume | D::SmallVolume => matches!(measure, M::Volume),
            D::Mass => matches!(measure, M::Mass),
            D::Temperature | D::TemperatureDifference => matches!(measure, M::Temperature),
            D::Concentration | D::Alkalinity | D::Hardness => {
                matches!(
                    measure,
                    M::MassPerLitre | M::MolePerLitre | M::EquivalentPerLitre
                ) || (matches!(measure, M::CarbonateHardness) && matches!(self, D::Alkalinity))
            }
            D::Ph => matches!(measure, M::Ph | M::One),
            D::Amount => matches!(measure, M::Mass | M::Volume),
            D::Strength => matches!(measure, M::Percent),
            D::Molarity => matches!(measure, M::MolePerLitre),
            D::Buffering => matches!(measure, M::Buffering),
            D::Acidity => matches!(measure, M::Acidity),
            D::Ratio => matches!(measure, M::One | M::Percent),
            D::Colour => matches!(measure, M::Colour),
            D::Thickness => matches!(measure, M::Thickness),
            D::Conductivity => matches!(measure, M::Conductivity),
            D::DissolvedSolids => matches!(measure, M::MassPerLitre),
            D::Time => matches!(measure, M::Time),
            D::Flow => matches!(measure, M::Flow),
            D::Extract => matches!(measure, M::Extract | M::SpecificGravity),
        }
    }

    /// A number in the default unit as the canonical number. `None` where the substance has no
    /// molar mass.
    pub(super) fn canonical_of_bare(self, number: f64, of: &Substance<'_>) -> Option<f64> {
        Some(match self {
            D::Concentration => number / of.grams_per_mol(None)? * MOL_PER_KG,
            D::Alkalinity | D::Hardness => number / substance::CACO3_G_PER_EQ * MOL_PER_KG,
            D::Extract if extract::is_specific_gravity(number) => extract::plato(number),
            _ => number,
        })
    }

    /// The canonical number in the default unit; the inverse of [`Self::canonical_of_bare`].
    pub(super) fn bare_of_canonical(self, canonical: f64, of: &Substance<'_>) -> Option<f64> {
        Some(match self {
            D::Concentration => canonical / MOL_PER_KG * of.grams_per_mol(None)?,
            D::Alkalinity | D::Hardness => canonical / MOL_PER_KG * substance::CACO3_G_PER_EQ,
            D::Extract if extract::is_specific_gravity(canonical) => {
                extract::specific_gravity(canonical)
            }
            _ => canonical,
        })
    }

    /// A number with its unit as the canonical number. `None` where unit, basis and substance do
    /// not fit together.
    pub(super) fn canonical(
        self,
        number: f64,
        unit: &Unit,
        basis: Option<&str>,
        of: &Substance<'_>,
    ) -> Option<f64> {
        let value = unit.in_base(number);
        Some(match (self, unit.measure) {
            (D::Concentration | D::Alkalinity | D::Hardness, measure) => {
                value / self.base_units_per_amount(measure, basis, of)? * MOL_PER_KG
            }
            (D::TemperatureDifference, _) => number * unit.size,
            // The sizes first: g and mL then come out exactly as written.
            (D::Amount | D::SmallVolume, _) => number * (unit.size * 1e3),
            (D::Ratio, M::Percent) => value / 1e2,
            (D::Extract, M::SpecificGravity) => extract::plato(value),
            (D::Molarity, _) => number * (unit.size / 1e3),
            _ => value,
        })
    }

    /// How many mg, mmol or meq one mmol of the substance (one meq of alkalinity or hardness) is
    /// written as.
    fn base_units_per_amount(
        self,
        measure: Measure,
        basis: Option<&str>,
        of: &Substance<'_>,
    ) -> Option<f64> {
        match (self, measure) {
            (D::Concentration, M::MassPerLitre) => of.grams_per_mol(basis),
            (D::Alkalinity, M::MassPerLitre) => substance::basis_weight(ALKALINITY_BASES, basis),
            (D::Hardness, M::MassPerLitre) => substance::basis_weight(HARDNESS_BASES, basis),
            // Moles and equivalents need no basis; naming the substance itself does no harm,
            // another would mislead.
            _ if basis.is_some_and(|basis| !self.is_own(basis, of)) => None,
            (D::Concentration, M::EquivalentPerLitre) => {
                (of.charge != 0).then(|| f64::from(of.charge.unsigned_abs()))
            }
            (D::Hardness, M::MolePerLitre) => Some(0.5),
            _ => Some(1.0),
        }
    }

    /// The name of a basis as it is printed; `None` for one that this dimension does not have.
    pub(super) fn basis_name(self, basis: &str, of: &Substance<'static>) -> Option<&'static str> {
        let named = |bases: &[(&'static str, f64)]| {
            let mut names = bases.iter().map(|(name, _)| *name);
            names.find(|name| name.eq_ignore_ascii_case(basis))
        };
        match self {
            D::Alkalinity => named(ALKALINITY_BASES),
            D::Hardness => named(HARDNESS_BASES),
            _ => {
                let mut bases = of.bases().into_iter();
                bases.find(|name| name.eq_ignore_ascii_case(basis))
            }
        }
    }

    fn is_own(self, basis: &str, of: &Substance<'_>) -> bool {
        match self {
            D::Alkalinity => basis.eq_ignore_ascii_case("HCO3"),
            D::Hardness => false,
            _ => of.is_own(basis),
        }
    }

    /// A number with its unit text as the canonical number. `None` where the text does not fit.
    pub(super) fn canonical_with_unit(
        self,
        number: f64,
        text: &str,
        of: &Substance<'_>,
    ) -> Option<f64> {
        // Most people write a unit as it is printed.
        let printed = UNITS
            .iter()
            .find(|unit| unit.name == text && self.admits(unit.measure));
        if let Some(unit) = printed {
            return self.canonical(number, unit, None, of);
        }
        let (unit, split) = self.find_unit(text, of);
        self.canonical(number, unit?, split.basis.as_deref(), of)
    }

    /// The unit and basis of a unit text; the unit is `None` when it is not one of this dimension.
    pub(super) fn find_unit(
        self,
        text: &str,
        of: &Substance<'_>,
    ) -> (Option<&'static Unit>, units::Split) {
        let known = |word: &str| knows_basis(word, of);
        let is_basis =
            |word: &str| self.takes_basis() && substance::bare_basis(word, known).is_some();
        let mut split = units::split(text, is_basis);
        if let Some(basis) = &split.basis
            && let Some(bare) = substance::bare_basis(basis, known)
        {
            split.basis = Some(bare.to_owned());
        }
        let unit = units::find(&split.unit, |measure| self.admits(measure));
        (
            unit.filter(|_| split.basis.is_none() || self.takes_basis()),
            split,
        )
    }

    /// The units that may be written, for messages: "L, hL, mL, …".
    pub(super) fn unit_names(self) -> String {
        let names: Vec<_> = UNITS
            .iter()
            .filter(|u| self.admits(u.measure) && !u.name.is_empty())
            .map(|u| u.name)
            .collect();
        names.join(", ")
    }

    /// The bases that may be written behind "as", for messages.
    pub(super) fn basis_names(self, of: &Substance<'_>) -> String {
        let names = |bases: &[(&str, f64)]| {
            bases
                .iter()
                .map(|(name, _)| *name)
                .collect::<Vec<_>>()
                .join(", ")
        };
        match self {
            D::Alkalinity => names(ALKALINITY_BASES),
            D::Hardness => names(HARDNESS_BASES),
            _ => of.bases().join(", "),
        }
    }
}

/// Whether a word is a basis at all, so that it is not taken for a part of the unit.
fn knows_basis(word: &str, of: &Substance<'_>) -> bool {
    let names_it = |(name, _): &(&str, f64)| name.eq_ignore_ascii_case(word);
    of.is_own(word)
        || of.grams_per_mol(Some(word)).is_some()
        || ALKALINITY_BASES.iter().chain(HARDNESS_BASES).any(names_it)
}
