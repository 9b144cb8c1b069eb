//! What a concentration is a concentration of, and the bases it may be stated on: "as CaCO3", "as
//! N".

use underlet_tables::{elements, parameters};

/// Density of water at 20 °C, kg/L. Reports state amounts per litre of a sample at room
/// temperature; the core keeps them per kilogram of water. The dissolved solids of a brewing water
/// change the ratio by less than 0.1 % and are ignored.
pub const WATER_KG_PER_L_20C: f64 = parameters::WATER_DENSITY_20C.value;

const H: f64 = elements::H.weight_g_per_mol;
const C: f64 = elements::C.weight_g_per_mol;
const N: f64 = elements::N.weight_g_per_mol;
const O: f64 = elements::O.weight_g_per_mol;
const SI: f64 = elements::SI.weight_g_per_mol;
const P: f64 = elements::P.weight_g_per_mol;
const S: f64 = elements::S.weight_g_per_mol;
const CA: f64 = elements::CA.weight_g_per_mol;

/// Calcium carbonate, g per equivalent.
pub const CACO3_G_PER_EQ: f64 = 0.5 * (CA + C + 3.0 * O);
/// Calcium oxide, g per equivalent.
pub(crate) const CAO_G_PER_EQ: f64 = 0.5 * (CA + O);
/// Bicarbonate, g per equivalent.
pub const HCO3_G_PER_EQ: f64 = H + C + 3.0 * O;
/// Carbonate, g per equivalent.
pub(crate) const CO3_G_PER_EQ: f64 = 0.5 * (C + 3.0 * O);
const CA_G_PER_EQ: f64 = 0.5 * CA;

/// The elements a concentration may be stated as: "mg/L as N".
const ELEMENTS: &[(&str, f64)] = &[("N", N), ("S", S), ("P", P), ("Si", SI), ("C", C)];

/// The bases of an alkalinity, g per equivalent.
pub(super) const ALKALINITY_BASES: &[(&str, f64)] = &[
    ("CaCO3", CACO3_G_PER_EQ),
    ("HCO3", HCO3_G_PER_EQ),
    ("CO3", CO3_G_PER_EQ),
    ("CaO", CAO_G_PER_EQ),
];

/// The bases of a hardness, g per equivalent.
pub(super) const HARDNESS_BASES: &[(&str, f64)] = &[
    ("CaCO3", CACO3_G_PER_EQ),
    ("CaO", CAO_G_PER_EQ),
    ("Ca", CA_G_PER_EQ),
];

/// What a concentration is a concentration of.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Substance<'a> {
    /// Formula of what a report states in mg, such as `SO4` or `PO4`: what may stand behind "as".
    pub formula: &'a str,
    /// Molar mass of that, g/mol.
    pub molar_mass_g_per_mol: f64,
    /// Charge number; 0 where equivalents make no sense.
    pub charge: i32,
}

impl<'a> Substance<'a> {
    /// Stands in where a quantity is not a concentration of anything.
    pub const NONE: Substance<'static> = Substance {
        formula: "",
        molar_mass_g_per_mol: 0.0,
        charge: 0,
    };

    /// Zinc, which is no ion of the liquor's.
    pub const ZINC: Substance<'static> = Substance {
        formula: "Zn",
        molar_mass_g_per_mol: elements::ZN.weight_g_per_mol,
        charge: 0,
    };

    /// Chlorine, as a test reads it.
    pub const CHLORINE: Substance<'static> = Substance {
        formula: "Cl2",
        molar_mass_g_per_mol: 2.0 * elements::CL.weight_g_per_mol,
        charge: 0,
    };

    /// Grams of the basis that are equivalent to one mole of the substance; without a basis, of the
    /// substance itself.
    pub(super) fn grams_per_mol(&self, basis: Option<&str>) -> Option<f64> {
        let own = (self.molar_mass_g_per_mol > 0.0).then_some(self.molar_mass_g_per_mol);
        let Some(basis) = basis else { return own };
        if self.is_own(basis) {
            return own;
        }
        if basis.eq_ignore_ascii_case("CaCO3") {
            return (self.charge != 0)
                .then(|| CACO3_G_PER_EQ * f64::from(self.charge.unsigned_abs()));
        }
        let (symbol, weight) = ELEMENTS
            .iter()
            .find(|(symbol, _)| basis.eq_ignore_ascii_case(symbol))?;
        let atoms = atoms(self.formula, symbol);
        (atoms > 0).then(|| f64::from(atoms) * weight)
    }

    /// Whether a basis names the substance itself.
    pub(super) fn is_own(&self, basis: &str) -> bool {
        !self.formula.is_empty() && basis.eq_ignore_ascii_case(self.formula)
    }

    /// The bases this substance may be stated on, for messages.
    pub(super) fn bases(&self) -> Vec<&'a str> {
        let equivalents = (self.charge != 0).then_some("CaCO3");
        let elements = ELEMENTS
            .iter()
            .map(|(symbol, _)| *symbol)
            .filter(|s| atoms(self.formula, s) > 0 && !self.is_own(s));
        std::iter::once(self.formula)
            .chain(equivalents)
            .chain(elements)
            .filter(|basis| !basis.is_empty())
            .collect()
    }
}

/// Finds a basis by its name in a list of them.
pub(super) fn basis_weight(bases: &[(&str, f64)], basis: Option<&str>) -> Option<f64> {
    let wanted = basis.unwrap_or("CaCO3");
    bases
        .iter()
        .find(|(name, _)| name.eq_ignore_ascii_case(wanted))
        .map(|(_, weight)| *weight)
}

/// A basis as written, freed of its charge and of the ion it came from: `so42-`, `no3-n`.
pub(super) fn bare_basis(written: &str, known: impl Fn(&str) -> bool) -> Option<&str> {
    let element = written.rsplit_once('-').map_or(written, |(_, last)| last);
    let unsigned = written.trim_end_matches(['+', '-']);
    let undigited = unsigned
        .strip_suffix(|c: char| c.is_ascii_digit())
        .unwrap_or(unsigned);
    [written, element, unsigned, undigited]
        .into_iter()
        .find(|name| known(name))
}

/// How many atoms of an element a formula holds: 4 of `O` in `SO4`.
fn atoms(formula: &str, symbol: &str) -> u32 {
    let starts = |c: char| c.is_ascii_uppercase();
    let mut count = 0;
    let mut rest = formula;
    while let Some(first) = rest.chars().next() {
        let after_first = rest.get(first.len_utf8()..).unwrap_or("");
        let end = after_first.find(starts).unwrap_or(after_first.len());
        let (tail, next) = after_first.split_at(end);
        let letters = tail
            .find(|c: char| !c.is_ascii_lowercase())
            .unwrap_or(tail.len());
        let (lower, digits) = tail.split_at(letters);
        if symbol.starts_with(first) && symbol.get(first.len_utf8()..) == Some(lower) {
            count += digits.parse().unwrap_or(1);
        }
        rest = next;
    }
    count
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn atoms_are_counted_from_the_formula() {
        // By hand from the formulas.
        for (formula, symbol, expected) in [
            ("SO4", "S", 1),
            ("SO4", "O", 4),
            ("C3H5O3", "C", 3),
            ("Cl", "C", 0),
            ("SiO2", "S", 0),
            ("SiO2", "Si", 1),
            ("NH4", "N", 1),
            ("Na", "N", 0),
            ("PO4", "P", 1),
            ("", "N", 0),
        ] {
            assert_eq!(atoms(formula, symbol), expected, "{symbol} in {formula}");
        }
    }

    #[test]
    fn equivalent_weights_follow_from_the_atomic_weights() {
        // IUPAC 2021 weights summed by hand: CaCO3 100.086, HCO3 61.016, CO3 60.008, CaO 56.077
        // g/mol.
        approx::assert_relative_eq!(CACO3_G_PER_EQ, 50.043, epsilon = 1e-9);
        approx::assert_relative_eq!(HCO3_G_PER_EQ, 61.016, epsilon = 1e-9);
        approx::assert_relative_eq!(CO3_G_PER_EQ, 30.004, epsilon = 1e-9);
        approx::assert_relative_eq!(CAO_G_PER_EQ, 28.0385, epsilon = 1e-9);
    }
}
