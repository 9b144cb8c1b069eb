//! The species of a liquor: what each is made of and which constant makes it.
//!
//! Every species is built from *ligands* (hydrogen, and the bare anions carbonate, sulfate,
//! fluoride and phosphate) and at most one *carrier*: a metal, or the bare anion of another acid
//! family, taken once. Written so, `ln a(species) = ln K + Σ ν ln a(ligand) + ln a(carrier) + ν_w
//! ln a(water)`.
//!
//! One constant set, never mixed: Plummer & Busenberg 1982 for carbonate, Nordstrom et al. 1990 for
//! the rest, phosphate with pK2 of Bates & Acree 1943. NaCO3⁻ and NaHCO3° are left out: with them
//! the NBS carbonate buffer comes out 0.14 pH low.

mod layout;

use std::ops::Range;

use underlet_tables::{
    AcidStep, Activity, Equilibrium, acid_steps as step, activities as a, equilibria as k,
};

use crate::component::Component;
pub(super) use layout::{
    CLASSES, CLASSES_UP_TO, COMMON_CLASSES, COMMON_PRODUCTS, COUNTED_IN, HYDROGEN_POWERS,
    LEAST_HYDROGEN, LINES, Line, OTHER_LIGANDS, REPRESENTATIVES,
};

/// How many ligands there are: hydrogen, carbonate, sulfate, fluoride, phosphate, in this order.
pub(super) const LIGANDS: usize = 5;

/// Balances, and unknowns beside the freedoms: each ligand's, hydrogen's being the alkalinity, and
/// the ionic strength's. The first four are all that water without fluoride and phosphate needs.
pub(super) const HYDROGEN: usize = 0;
pub(super) const CARBONATE: usize = 1;
pub(super) const SULFATE: usize = 2;
pub(super) const STRENGTH: usize = 3;
pub(super) const FLUORIDE: usize = 4;
pub(super) const PHOSPHATE: usize = 5;
pub(super) const BALANCES: usize = LIGANDS + 1;
/// How many balances common water needs.
pub(super) const COMMON: usize = 4;

/// A constant that takes part in making a species.
#[derive(Clone, Copy, Debug)]
pub(super) enum Constant {
    /// An equilibrium of the table, and how often.
    Row(&'static Equilibrium, f64),
    /// A dissociation step of an acid family taken backwards, and how often: a proton put on.
    Proton(&'static AcidStep, f64),
}

/// One species.
#[derive(Clone, Copy, Debug)]
pub(super) struct Species {
    /// Formula as in the activity and conductivity tables.
    pub name: &'static str,
    pub charge: i8,
    /// Its row of the activity table; without one a charged species follows Davies, an uncharged
    /// one 0.1 I.
    pub activity: Option<Activity>,
    /// Numbers of the ligands.
    pub ligands: [i8; LIGANDS],
    /// Molecules of water taken in (positive) or set free (negative).
    pub water: i8,
    pub constants: &'static [Constant],
}

const fn made(
    name: &'static str,
    charge: i8,
    activity: Option<Activity>,
    ligands: [i8; LIGANDS],
    constants: &'static [Constant],
) -> Species {
    Species {
        name,
        charge,
        activity,
        ligands,
        water: 0,
        constants,
    }
}

const fn hydrous(water: i8, species: Species) -> Species {
    Species { water, ..species }
}

use Constant::{Proton, Row};

const NONE: [i8; LIGANDS] = [0; LIGANDS];
const fn protons(count: i8) -> [i8; LIGANDS] {
    [count, 0, 0, 0, 0]
}

const HYDROGEN_PHOSPHATE: Constant = Proton(&step::PHOSPHATE_3, 1.0);
const DIHYDROGEN_PHOSPHATE: Constant = Proton(&step::PHOSPHATE_2, 1.0);

/// Species in groups: those of each ligand alone, then those of each carrier.
#[rustfmt::skip]
pub(super) static SPECIES: [Species; 66] = [
    // Hydrogen and hydroxide.
    made("H+", 1, Some(a::H_PLUS), protons(1), &[]),
    hydrous(1, made("OH-", -1, Some(a::OH_MINUS), protons(-1), &[Row(&k::WATER, 1.0)])),
    // Carbonate.
    made("CO3-2", -2, Some(a::CO3_MINUS_2), [0, 1, 0, 0, 0], &[]),
    made("HCO3-", -1, Some(a::HCO3_MINUS), [1, 1, 0, 0, 0], &[Row(&k::CARBONIC_2, -1.0)]),
    hydrous(-1, made("CO2", 0, None, [2, 1, 0, 0, 0], &[Row(&k::CARBONIC_1, -1.0), Row(&k::CARBONIC_2, -1.0)])),
    // Sulfate.
    made("SO4-2", -2, Some(a::SO4_MINUS_2), [0, 0, 1, 0, 0], &[]),
    made("HSO4-", -1, Some(a::HSO4_MINUS), [1, 0, 1, 0, 0], &[Row(&k::BISULFATE, 1.0)]),
    // Calcium.
    made("Ca+2", 2, Some(a::CA_PLUS_2), NONE, &[]),
    made("CaHCO3+", 1, Some(a::CAHCO3_PLUS), [1, 1, 0, 0, 0], &[Row(&k::CALCIUM_BICARBONATE_PAIR, 1.0), Row(&k::CARBONIC_2, -1.0)]),
    made("CaCO3", 0, None, [0, 1, 0, 0, 0], &[Row(&k::CALCIUM_CARBONATE_PAIR, 1.0)]),
    hydrous(1, made("CaOH+", 1, Some(a::CAOH_PLUS), protons(-1), &[Row(&k::CALCIUM_HYDROXIDE_PAIR, 1.0)])),
    made("CaSO4", 0, None, [0, 0, 1, 0, 0], &[Row(&k::CALCIUM_SULFATE_PAIR, 1.0)]),
    made("CaHSO4+", 1, None, [1, 0, 1, 0, 0], &[Row(&k::CALCIUM_BISULFATE_PAIR, 1.0), Row(&k::BISULFATE, 1.0)]),
    made("CaF+", 1, Some(a::CAF_PLUS), [0, 0, 0, 1, 0], &[Row(&k::CALCIUM_FLUORIDE_PAIR, 1.0)]),
    made("CaPO4-", -1, Some(a::CAPO4_MINUS), [0, 0, 0, 0, 1], &[Row(&k::CALCIUM_PHOSPHATE_PAIR, 1.0)]),
    made("CaHPO4", 0, None, [1, 0, 0, 0, 1], &[Row(&k::CALCIUM_HYDROGEN_PHOSPHATE_PAIR, 1.0), HYDROGEN_PHOSPHATE]),
    made("CaH2PO4+", 1, Some(a::CAH2PO4_PLUS), [2, 0, 0, 0, 1], &[Row(&k::CALCIUM_DIHYDROGEN_PHOSPHATE_PAIR, 1.0), HYDROGEN_PHOSPHATE, DIHYDROGEN_PHOSPHATE]),
    // Magnesium.
    made("Mg+2", 2, Some(a::MG_PLUS_2), NONE, &[]),
    made("MgHCO3+", 1, Some(a::MGHCO3_PLUS), [1, 1, 0, 0, 0], &[Row(&k::MAGNESIUM_BICARBONATE_PAIR, 1.0), Row(&k::CARBONIC_2, -1.0)]),
    made("MgCO3", 0, None, [0, 1, 0, 0, 0], &[Row(&k::MAGNESIUM_CARBONATE_PAIR, 1.0)]),
    hydrous(1, made("MgOH+", 1, Some(a::MGOH_PLUS), protons(-1), &[Row(&k::MAGNESIUM_HYDROXIDE_PAIR, 1.0)])),
    made("MgSO4", 0, None, [0, 0, 1, 0, 0], &[Row(&k::MAGNESIUM_SULFATE_PAIR, 1.0)]),
    made("MgF+", 1, Some(a::MGF_PLUS), [0, 0, 0, 1, 0], &[Row(&k::MAGNESIUM_FLUORIDE_PAIR, 1.0)]),
    made("MgPO4-", -1, Some(a::MGPO4_MINUS), [0, 0, 0, 0, 1], &[Row(&k::MAGNESIUM_PHOSPHATE_PAIR, 1.0)]),
    made("MgHPO4", 0, None, [1, 0, 0, 0, 1], &[Row(&k::MAGNESIUM_HYDROGEN_PHOSPHATE_PAIR, 1.0), HYDROGEN_PHOSPHATE]),
    made("MgH2PO4+", 1, Some(a::MGH2PO4_PLUS), [2, 0, 0, 0, 1], &[Row(&k::MAGNESIUM_DIHYDROGEN_PHOSPHATE_PAIR, 1.0), HYDROGEN_PHOSPHATE, DIHYDROGEN_PHOSPHATE]),
    // Sodium.
    made("Na+", 1, Some(a::NA_PLUS), NONE, &[]),
    made("NaSO4-", -1, Some(a::NASO4_MINUS), [0, 0, 1, 0, 0], &[Row(&k::SODIUM_SULFATE_PAIR, 1.0)]),
    made("NaF", 0, None, [0, 0, 0, 1, 0], &[Row(&k::SODIUM_FLUORIDE_PAIR, 1.0)]),
    made("NaHPO4-", -1, Some(a::NAHPO4_MINUS), [1, 0, 0, 0, 1], &[Row(&k::SODIUM_HYDROGEN_PHOSPHATE_PAIR, 1.0), HYDROGEN_PHOSPHATE]),
    // Potassium.
    made("K+", 1, Some(a::K_PLUS), NONE, &[]),
    made("KSO4-", -1, Some(a::KSO4_MINUS), [0, 0, 1, 0, 0], &[Row(&k::POTASSIUM_SULFATE_PAIR, 1.0)]),
    made("KHPO4-", -1, Some(a::KHPO4_MINUS), [1, 0, 0, 0, 1], &[Row(&k::POTASSIUM_HYDROGEN_PHOSPHATE_PAIR, 1.0), HYDROGEN_PHOSPHATE]),
    // Fluoride.
    made("F-", -1, Some(a::F_MINUS), [0, 0, 0, 1, 0], &[]),
    made("HF", 0, None, [1, 0, 0, 1, 0], &[Row(&k::HYDROGEN_FLUORIDE, 1.0)]),
    made("HF2-", -1, Some(a::HF2_MINUS), [1, 0, 0, 2, 0], &[Row(&k::HYDROGEN_DIFLUORIDE, 1.0)]),
    // Phosphate.
    made("PO4-3", -3, Some(a::PO4_MINUS_3), [0, 0, 0, 0, 1], &[]),
    made("HPO4-2", -2, Some(a::HPO4_MINUS_2), [1, 0, 0, 0, 1], &[HYDROGEN_PHOSPHATE]),
    made("H2PO4-", -1, Some(a::H2PO4_MINUS), [2, 0, 0, 0, 1], &[HYDROGEN_PHOSPHATE, DIHYDROGEN_PHOSPHATE]),
    made("H3PO4", 0, None, [3, 0, 0, 0, 1], &[Proton(&step::PHOSPHATE_3, 1.0), Proton(&step::PHOSPHATE_2, 1.0), Proton(&step::PHOSPHATE_1, 1.0)]),
    // Ammonium.
    made("NH4+", 1, None, NONE, &[]),
    made("NH3", 0, Some(a::NH3), protons(-1), &[Row(&k::AMMONIUM, 1.0)]),
    made("NH4SO4-", -1, Some(a::NH4SO4_MINUS), [0, 0, 1, 0, 0], &[Row(&k::AMMONIUM_SULFATE_PAIR, 1.0)]),
    // Silicic acid.
    made("H4SiO4", 0, None, NONE, &[]),
    made("H3SiO4-", -1, None, protons(-1), &[Row(&k::SILICIC_1, 1.0)]),
    made("H2SiO4-2", -2, None, protons(-2), &[Row(&k::SILICIC_2, 1.0)]),
    // Organic acids and sulfite.
    made("Lactate-", -1, Some(a::LACTATE_MINUS), NONE, &[]),
    made("HLactate", 0, None, protons(1), &[Proton(&step::LACTATE_1, 1.0)]),
    made("Acetate-", -1, Some(a::ACETATE_MINUS), NONE, &[]),
    made("HAcetate", 0, None, protons(1), &[Proton(&step::ACETATE_1, 1.0)]),
    made("Citrate-3", -3, Some(a::CITRATE_MINUS_3), NONE, &[]),
    made("HCitrate-2", -2, Some(a::HCITRATE_MINUS_2), protons(1), &[Proton(&step::CITRATE_3, 1.0)]),
    made("H2Citrate-", -1, Some(a::H2CITRATE_MINUS), protons(2), &[Proton(&step::CITRATE_3, 1.0), Proton(&step::CITRATE_2, 1.0)]),
    made("H3Citrate", 0, None, protons(3), &[Proton(&step::CITRATE_3, 1.0), Proton(&step::CITRATE_2, 1.0), Proton(&step::CITRATE_1, 1.0)]),
    made("Malate-2", -2, Some(a::MALATE_MINUS_2), NONE, &[]),
    made("HMalate-", -1, Some(a::HMALATE_MINUS), protons(1), &[Proton(&step::MALATE_2, 1.0)]),
    made("H2Malate", 0, None, protons(2), &[Proton(&step::MALATE_2, 1.0), Proton(&step::MALATE_1, 1.0)]),
    made("Tartrate-2", -2, Some(a::TARTRATE_MINUS_2), NONE, &[]),
    made("HTartrate-", -1, Some(a::HTARTRATE_MINUS), protons(1), &[Proton(&step::TARTRATE_2, 1.0)]),
    made("H2Tartrate", 0, None, protons(2), &[Proton(&step::TARTRATE_2, 1.0), Proton(&step::TARTRATE_1, 1.0)]),
    made("SO3-2", -2, None, NONE, &[]),
    made("HSO3-", -1, None, protons(1), &[Proton(&step::SULFITE_2, 1.0)]),
    made("H2SO3", 0, None, protons(2), &[Proton(&step::SULFITE_2, 1.0), Proton(&step::SULFITE_1, 1.0)]),
    made("Ascorbate-2", -2, None, NONE, &[]),
    made("HAscorbate-", -1, None, protons(1), &[Proton(&step::ASCORBATE_2, 1.0)]),
    made("H2Ascorbate", 0, None, protons(2), &[Proton(&step::ASCORBATE_2, 1.0), Proton(&step::ASCORBATE_1, 1.0)]),
];

pub(super) const COUNT: usize = SPECIES.len();

/// Where the species of a ligand alone, or of a carrier, are in the list.
#[derive(Clone, Copy, Debug)]
pub(super) struct Group {
    first: usize,
    count: usize,
}

impl Group {
    pub const fn species(self) -> Range<usize> {
        self.first..self.first + self.count
    }
}

const fn group(first: &str, count: usize) -> Group {
    Group {
        first: position(first),
        count,
    }
}

// The tables below are constants, and iterators and `==` of texts do not work in a constant yet:
// hence `while` in every function that they call, and `same`.

/// The species of each ligand alone.
pub(super) const LIGANDS_ONLY: [Group; LIGANDS] = [
    group("H+", 2),
    group("CO3-2", 3),
    group("SO4-2", 2),
    group("F-", 3),
    group("PO4-3", 4),
];

/// A metal or acid family.
#[derive(Clone, Copy, Debug)]
pub(super) struct Carrier {
    pub ion: Component,
    group: Group,
    /// How many of its species hold neither fluoride nor phosphate, and how many no phosphate:
    /// they come first.
    without: [usize; 2],
    /// Half the square of its charge where it is a strong ion; a weak acid's charge is counted in
    /// the alkalinity.
    pub half_square_if_strong: f64,
    /// Whether it takes up or gives off protons near the pH of liquor.
    pub protonates: bool,
}

impl Carrier {
    pub const fn species(&self) -> Range<usize> {
        self.group.species()
    }

    /// The species that can form in water with so many balances.
    pub const fn species_among(&self, balances: usize) -> Range<usize> {
        let count = match balances {
            COMMON => self.without[0],
            BALANCES => self.group.count,
            _ => self.without[1],
        };
        self.group.first..self.group.first + count
    }
}

/// How many species from the first hold neither fluoride nor phosphate, and how many no phosphate.
const fn without(group: Group) -> [usize; 2] {
    let mut counts = [0; 2];
    let mut place = 0;
    while place < group.count {
        let [.., fluoride, phosphate] = SPECIES[group.first + place].ligands;
        if fluoride == 0 && phosphate == 0 {
            counts[0] += 1;
        }
        if phosphate == 0 {
            counts[1] += 1;
        }
        place += 1;
    }
    counts
}

const fn metal(ion: Component, first: &str, count: usize) -> Carrier {
    let group = group(first, count);
    let charge = SPECIES[group.first].charge as f64;
    Carrier {
        ion,
        group,
        without: without(group),
        half_square_if_strong: charge * charge / 2.0,
        protonates: false,
    }
}

const fn acid(ion: Component, first: &str, count: usize) -> Carrier {
    let group = group(first, count);
    Carrier {
        ion,
        group,
        without: without(group),
        half_square_if_strong: 0.0,
        protonates: true,
    }
}

pub(super) const CARRIERS_COUNT: usize = 13;
/// How many of them common water has: calcium, magnesium, sodium, potassium come first.
pub(super) const COMMON_CARRIERS: usize = 4;

/// Metals and acid families.
pub(super) static CARRIERS: [Carrier; CARRIERS_COUNT] = [
    metal(Component::Calcium, "Ca+2", 10),
    metal(Component::Magnesium, "Mg+2", 9),
    metal(Component::Sodium, "Na+", 4),
    metal(Component::Potassium, "K+", 3),
    Carrier {
        protonates: true,
        ..metal(Component::Ammonium, "NH4+", 3)
    },
    acid(Component::Silica, "H4SiO4", 3),
    acid(Component::Lactate, "Lactate-", 2),
    acid(Component::Acetate, "Acetate-", 2),
    acid(Component::Citrate, "Citrate-3", 4),
    acid(Component::Malate, "Malate-2", 3),
    acid(Component::Tartrate, "Tartrate-2", 3),
    acid(Component::Sulfite, "SO3-2", 3),
    acid(Component::Ascorbate, "Ascorbate-2", 3),
];

/// Strong ions without pairs, with their charge: they only add to ionic strength and to dissolved
/// matter.
pub(super) const UNPAIRED: [(Component, f64); 5] = [
    (Component::Chloride, -1.0),
    (Component::Nitrate, -1.0),
    (Component::Nitrite, -1.0),
    (Component::Iron, 2.0),
    (Component::Manganese, 2.0),
];

const fn position(name: &str) -> usize {
    let mut index = 0;
    while index < COUNT {
        if same(SPECIES[index].name, name) {
            return index;
        }
        index += 1;
    }
    // Reached only by a name that is not there, which then does not compile.
    COUNT
}

/// Whether two names are the same.
const fn same(one: &str, other: &str) -> bool {
    let (one, other) = (one.as_bytes(), other.as_bytes());
    if one.len() != other.len() {
        return false;
    }
    let mut index = 0;
    while index < one.len() {
        if one[index] != other[index] {
            return false;
        }
        index += 1;
    }
    true
}

pub(super) const HYDROXIDE: usize = position("OH-");
pub(super) const BARE_CARBONATE: usize = position("CO3-2");
pub(super) const BICARBONATE: usize = position("HCO3-");
pub(super) const CARBON_DIOXIDE: usize = position("CO2");
// What the solver takes carbon dioxide as: carbonate and two hydrogens less a molecule of water.
const _: () =
    assert!(SPECIES[CARBON_DIOXIDE].water == -1 && SPECIES[CARBON_DIOXIDE].ligands[HYDROGEN] == 2);

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn species_with_fluoride_and_then_with_phosphate_come_last() {
        for carrier in &CARRIERS {
            let [common, without_phosphate] = carrier.without;
            for (place, index) in carrier.species().enumerate() {
                let [.., fluoride, phosphate] = SPECIES[index].ligands;
                assert_eq!(place < common, fluoride == 0 && phosphate == 0);
                assert_eq!(place < without_phosphate, phosphate == 0);
            }
        }
    }

    #[test]
    fn every_component_has_its_place_in_the_solver() {
        // A component that stood in no list would be left out of charge and ionic strength without
        // a word.
        for ion in Component::ALL {
            let is_ligand = matches!(
                ion,
                Component::Sulfate | Component::Fluoride | Component::Phosphate
            );
            let is_carried = CARRIERS.iter().any(|carrier| carrier.ion == ion);
            let is_unpaired = UNPAIRED.iter().any(|(other, _)| *other == ion);
            let places = [is_ligand, is_carried, is_unpaired];
            assert_eq!(
                places.iter().filter(|is| **is).count(),
                1,
                "{ion:?} {places:?}"
            );
        }
        for (ion, charge) in UNPAIRED {
            assert_eq!(charge, ion.charge(), "{ion:?}");
        }
    }
}
