//! The species of a liquor: what each is made of and which constant makes it.
//!
//! Every species is built from *masters*: the bare ions and, for an acid family, its anion without protons. Written so,
//! `ln a(species) = ln K + Σ ν ln a(master) + ν_w ln a(water)`. One constant set, never mixed: Plummer & Busenberg 1982 for
//! carbonate, Nordstrom et al. 1990 for the rest, phosphate with pK2 of Bates & Acree 1943. NaCO3⁻ and NaHCO3° are left out:
//! with them the NBS carbonate buffer comes out 0.14 pH low.

use underlet_tables::{Equilibrium, equilibria as k};

use crate::ion::Ion;

/// What species are built from. Chloride, nitrate, nitrite, iron and manganese form no pairs here and are no masters.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) enum Master {
    Hydrogen,
    Carbonate,
    Calcium,
    Magnesium,
    Sodium,
    Potassium,
    Ammonium,
    Sulfate,
    Fluoride,
    Phosphate,
    Silica,
    Lactate,
    Acetate,
    Citrate,
    Malate,
    Tartrate,
    Sulfite,
    Ascorbate,
}

pub(super) const MASTERS: usize = 18;

/// The masters after hydrogen and carbonate, each with the component it carries.
pub(super) const CARRIED: [(Master, Ion); MASTERS - 2] = [
    (Master::Calcium, Ion::Calcium),
    (Master::Magnesium, Ion::Magnesium),
    (Master::Sodium, Ion::Sodium),
    (Master::Potassium, Ion::Potassium),
    (Master::Ammonium, Ion::Ammonium),
    (Master::Sulfate, Ion::Sulfate),
    (Master::Fluoride, Ion::Fluoride),
    (Master::Phosphate, Ion::Phosphate),
    (Master::Silica, Ion::Silica),
    (Master::Lactate, Ion::Lactate),
    (Master::Acetate, Ion::Acetate),
    (Master::Citrate, Ion::Citrate),
    (Master::Malate, Ion::Malate),
    (Master::Tartrate, Ion::Tartrate),
    (Master::Sulfite, Ion::Sulfite),
    (Master::Ascorbate, Ion::Ascorbate),
];

/// Strong ions without pairs: they only add to ionic strength and to dissolved matter.
pub(super) const UNPAIRED: [Ion; 5] = [Ion::Chloride, Ion::Nitrate, Ion::Nitrite, Ion::Iron, Ion::Manganese];

/// A constant that takes part in making a species, and how often.
#[derive(Clone, Copy, Debug)]
pub(super) enum Constant {
    /// An equilibrium of the table.
    Row(&'static Equilibrium, f64),
    /// Protons put on a bare anion: the dissociation steps of an acid family from this one on, taken backwards.
    Protons(Ion, u8, f64),
}

/// One species.
#[derive(Clone, Copy, Debug)]
pub(super) struct Species {
    /// Formula as in the activity and conductivity tables.
    pub name: &'static str,
    pub charge: i8,
    /// Masters with their numbers.
    pub made_of: &'static [(Master, i8)],
    /// Molecules of water taken in (positive) or set free (negative).
    pub water: i8,
    pub constants: &'static [Constant],
}

const fn bare(name: &'static str, charge: i8, made_of: &'static [(Master, i8)]) -> Species {
    Species { name, charge, made_of, water: 0, constants: &[] }
}

const fn made(
    name: &'static str,
    charge: i8,
    made_of: &'static [(Master, i8)],
    constants: &'static [Constant],
) -> Species {
    Species { name, charge, made_of, water: 0, constants }
}

const fn hydrous(water: i8, species: Species) -> Species {
    Species { water, ..species }
}

use Constant::{Protons, Row};
use Master::{
    Acetate as Ac, Ammonium as Am, Ascorbate as As, Calcium as Ca, Carbonate as C, Citrate as Ci, Fluoride as F,
    Hydrogen as H, Lactate as La, Magnesium as Mg, Malate as Ma, Phosphate as P, Potassium as K, Silica as Si,
    Sodium as Na, Sulfate as S, Sulfite as Su, Tartrate as Ta,
};

const PHOSPHATE_1: Constant = Protons(Ion::Phosphate, 3, 1.0);
const PHOSPHATE_2: Constant = Protons(Ion::Phosphate, 2, 1.0);

pub(super) const SPECIES: [Species; 66] = [
    bare("H+", 1, &[(H, 1)]),
    hydrous(1, made("OH-", -1, &[(H, -1)], &[Row(&k::WATER, 1.0)])),
    bare("CO3-2", -2, &[(C, 1)]),
    made("HCO3-", -1, &[(C, 1), (H, 1)], &[Row(&k::CARBONIC_2, -1.0)]),
    hydrous(-1, made("CO2", 0, &[(C, 1), (H, 2)], &[Row(&k::CARBONIC_1, -1.0), Row(&k::CARBONIC_2, -1.0)])),
    bare("Ca+2", 2, &[(Ca, 1)]),
    made("CaHCO3+", 1, &[(Ca, 1), (C, 1), (H, 1)], &[Row(&k::CALCIUM_BICARBONATE_PAIR, 1.0), Row(&k::CARBONIC_2, -1.0)]),
    made("CaCO3", 0, &[(Ca, 1), (C, 1)], &[Row(&k::CALCIUM_CARBONATE_PAIR, 1.0)]),
    hydrous(1, made("CaOH+", 1, &[(Ca, 1), (H, -1)], &[Row(&k::CALCIUM_HYDROXIDE_PAIR, 1.0)])),
    made("CaSO4", 0, &[(Ca, 1), (S, 1)], &[Row(&k::CALCIUM_SULFATE_PAIR, 1.0)]),
    made("CaHSO4+", 1, &[(Ca, 1), (S, 1), (H, 1)], &[Row(&k::CALCIUM_BISULFATE_PAIR, 1.0), Row(&k::BISULFATE, 1.0)]),
    made("CaF+", 1, &[(Ca, 1), (F, 1)], &[Row(&k::CALCIUM_FLUORIDE_PAIR, 1.0)]),
    made("CaPO4-", -1, &[(Ca, 1), (P, 1)], &[Row(&k::CALCIUM_PHOSPHATE_PAIR, 1.0)]),
    made("CaHPO4", 0, &[(Ca, 1), (P, 1), (H, 1)], &[Row(&k::CALCIUM_HYDROGEN_PHOSPHATE_PAIR, 1.0), PHOSPHATE_1]),
    made("CaH2PO4+", 1, &[(Ca, 1), (P, 1), (H, 2)], &[Row(&k::CALCIUM_DIHYDROGEN_PHOSPHATE_PAIR, 1.0), PHOSPHATE_2]),
    bare("Mg+2", 2, &[(Mg, 1)]),
    made("MgHCO3+", 1, &[(Mg, 1), (C, 1), (H, 1)], &[Row(&k::MAGNESIUM_BICARBONATE_PAIR, 1.0), Row(&k::CARBONIC_2, -1.0)]),
    made("MgCO3", 0, &[(Mg, 1), (C, 1)], &[Row(&k::MAGNESIUM_CARBONATE_PAIR, 1.0)]),
    hydrous(1, made("MgOH+", 1, &[(Mg, 1), (H, -1)], &[Row(&k::MAGNESIUM_HYDROXIDE_PAIR, 1.0)])),
    made("MgSO4", 0, &[(Mg, 1), (S, 1)], &[Row(&k::MAGNESIUM_SULFATE_PAIR, 1.0)]),
    made("MgF+", 1, &[(Mg, 1), (F, 1)], &[Row(&k::MAGNESIUM_FLUORIDE_PAIR, 1.0)]),
    made("MgPO4-", -1, &[(Mg, 1), (P, 1)], &[Row(&k::MAGNESIUM_PHOSPHATE_PAIR, 1.0)]),
    made("MgHPO4", 0, &[(Mg, 1), (P, 1), (H, 1)], &[Row(&k::MAGNESIUM_HYDROGEN_PHOSPHATE_PAIR, 1.0), PHOSPHATE_1]),
    made("MgH2PO4+", 1, &[(Mg, 1), (P, 1), (H, 2)], &[Row(&k::MAGNESIUM_DIHYDROGEN_PHOSPHATE_PAIR, 1.0), PHOSPHATE_2]),
    bare("Na+", 1, &[(Na, 1)]),
    made("NaSO4-", -1, &[(Na, 1), (S, 1)], &[Row(&k::SODIUM_SULFATE_PAIR, 1.0)]),
    made("NaF", 0, &[(Na, 1), (F, 1)], &[Row(&k::SODIUM_FLUORIDE_PAIR, 1.0)]),
    made("NaHPO4-", -1, &[(Na, 1), (P, 1), (H, 1)], &[Row(&k::SODIUM_HYDROGEN_PHOSPHATE_PAIR, 1.0), PHOSPHATE_1]),
    bare("K+", 1, &[(K, 1)]),
    made("KSO4-", -1, &[(K, 1), (S, 1)], &[Row(&k::POTASSIUM_SULFATE_PAIR, 1.0)]),
    made("KHPO4-", -1, &[(K, 1), (P, 1), (H, 1)], &[Row(&k::POTASSIUM_HYDROGEN_PHOSPHATE_PAIR, 1.0), PHOSPHATE_1]),
    bare("NH4+", 1, &[(Am, 1)]),
    made("NH3", 0, &[(Am, 1), (H, -1)], &[Row(&k::AMMONIUM, 1.0)]),
    made("NH4SO4-", -1, &[(Am, 1), (S, 1)], &[Row(&k::AMMONIUM_SULFATE_PAIR, 1.0)]),
    bare("SO4-2", -2, &[(S, 1)]),
    made("HSO4-", -1, &[(S, 1), (H, 1)], &[Row(&k::BISULFATE, 1.0)]),
    bare("F-", -1, &[(F, 1)]),
    made("HF", 0, &[(F, 1), (H, 1)], &[Row(&k::HYDROGEN_FLUORIDE, 1.0)]),
    made("HF2-", -1, &[(F, 2), (H, 1)], &[Row(&k::HYDROGEN_DIFLUORIDE, 1.0)]),
    bare("PO4-3", -3, &[(P, 1)]),
    made("HPO4-2", -2, &[(P, 1), (H, 1)], &[PHOSPHATE_1]),
    made("H2PO4-", -1, &[(P, 1), (H, 2)], &[PHOSPHATE_2]),
    made("H3PO4", 0, &[(P, 1), (H, 3)], &[Protons(Ion::Phosphate, 1, 1.0)]),
    bare("H4SiO4", 0, &[(Si, 1)]),
    made("H3SiO4-", -1, &[(Si, 1), (H, -1)], &[Row(&k::SILICIC_1, 1.0)]),
    made("H2SiO4-2", -2, &[(Si, 1), (H, -2)], &[Row(&k::SILICIC_2, 1.0)]),
    bare("Lactate-", -1, &[(La, 1)]),
    made("HLactate", 0, &[(La, 1), (H, 1)], &[Protons(Ion::Lactate, 1, 1.0)]),
    bare("Acetate-", -1, &[(Ac, 1)]),
    made("HAcetate", 0, &[(Ac, 1), (H, 1)], &[Protons(Ion::Acetate, 1, 1.0)]),
    bare("Citrate-3", -3, &[(Ci, 1)]),
    made("HCitrate-2", -2, &[(Ci, 1), (H, 1)], &[Protons(Ion::Citrate, 3, 1.0)]),
    made("H2Citrate-", -1, &[(Ci, 1), (H, 2)], &[Protons(Ion::Citrate, 2, 1.0)]),
    made("H3Citrate", 0, &[(Ci, 1), (H, 3)], &[Protons(Ion::Citrate, 1, 1.0)]),
    bare("Malate-2", -2, &[(Ma, 1)]),
    made("HMalate-", -1, &[(Ma, 1), (H, 1)], &[Protons(Ion::Malate, 2, 1.0)]),
    made("H2Malate", 0, &[(Ma, 1), (H, 2)], &[Protons(Ion::Malate, 1, 1.0)]),
    bare("Tartrate-2", -2, &[(Ta, 1)]),
    made("HTartrate-", -1, &[(Ta, 1), (H, 1)], &[Protons(Ion::Tartrate, 2, 1.0)]),
    made("H2Tartrate", 0, &[(Ta, 1), (H, 2)], &[Protons(Ion::Tartrate, 1, 1.0)]),
    bare("SO3-2", -2, &[(Su, 1)]),
    made("HSO3-", -1, &[(Su, 1), (H, 1)], &[Protons(Ion::Sulfite, 2, 1.0)]),
    made("H2SO3", 0, &[(Su, 1), (H, 2)], &[Protons(Ion::Sulfite, 1, 1.0)]),
    bare("Ascorbate-2", -2, &[(As, 1)]),
    made("HAscorbate-", -1, &[(As, 1), (H, 1)], &[Protons(Ion::Ascorbate, 2, 1.0)]),
    made("H2Ascorbate", 0, &[(As, 1), (H, 2)], &[Protons(Ion::Ascorbate, 1, 1.0)]),
];

/// Negative charge that a species carries beyond its strong ions: its share of the alkalinity in the core's sense.
const fn alkalinity_of(species: &Species) -> i8 {
    let mut strong = 0;
    let mut index = 0;
    while index < species.made_of.len() {
        let (master, count) = species.made_of[index];
        strong += count * strong_charge(master);
        index += 1;
    }
    strong - species.charge
}

/// Charge of a strong master; a weak one counts as nothing, its charge is what the alkalinity holds.
const fn strong_charge(master: Master) -> i8 {
    match master {
        Master::Calcium | Master::Magnesium => 2,
        Master::Sodium | Master::Potassium | Master::Ammonium => 1,
        Master::Sulfate => -2,
        Master::Fluoride => -1,
        _ => 0,
    }
}

const SPECIES_COUNT: usize = SPECIES.len();

const fn position(name: &str) -> usize {
    let mut index = 0;
    while index < SPECIES_COUNT {
        if same(SPECIES[index].name, name) {
            return index;
        }
        index += 1;
    }
    index
}

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

/// Masters that a species needs, as bits.
pub(super) const NEEDS: [u32; SPECIES_COUNT] = {
    let mut needs = [0; SPECIES_COUNT];
    let mut index = 0;
    while index < SPECIES_COUNT {
        let mut part = 0;
        while part < SPECIES[index].made_of.len() {
            needs[index] |= 1 << SPECIES[index].made_of[part].0 as u32;
            part += 1;
        }
        index += 1;
    }
    needs
};

/// Alkalinity of a mole of each species.
pub(super) const ALKALINITY: [f64; SPECIES_COUNT] = {
    let mut alkalinity = [0.0; SPECIES_COUNT];
    let mut index = 0;
    while index < SPECIES_COUNT {
        alkalinity[index] = alkalinity_of(&SPECIES[index]) as f64;
        index += 1;
    }
    alkalinity
};

/// Half the square of each species' charge.
pub(super) const HALF_SQUARE: [f64; SPECIES_COUNT] = {
    let mut half = [0.0; SPECIES_COUNT];
    let mut index = 0;
    while index < SPECIES_COUNT {
        let charge = SPECIES[index].charge as f64;
        half[index] = charge * charge / 2.0;
        index += 1;
    }
    half
};

/// The species that is each master itself.
pub(super) const BARE: [usize; MASTERS] = {
    let mut bare = [0; MASTERS];
    let mut index = 0;
    while index < SPECIES_COUNT {
        let species = &SPECIES[index];
        if species.made_of.len() == 1 && species.constants.is_empty() {
            bare[species.made_of[0].0 as usize] = index;
        }
        index += 1;
    }
    bare
};

/// Masters that take up or give off protons near the pH of liquor.
pub(super) const PROTONATES: [bool; MASTERS] = {
    let mut protonates = [false; MASTERS];
    let mut master = Master::Carbonate as usize;
    while master < MASTERS {
        protonates[master] = ALKALINITY[BARE[master]] > 0.0;
        master += 1;
    }
    protonates[Master::Ammonium as usize] = true;
    protonates[Master::Silica as usize] = true;
    protonates
};

/// A solid that liquor may form.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum Mineral {
    /// CaCO₃, the usual scale.
    Calcite,
    /// CaCO₃, its less stable form.
    Aragonite,
    /// CaSO₄·2H₂O.
    Gypsum,
    /// CaSO₄.
    Anhydrite,
    /// Mg(OH)₂.
    Brucite,
    /// CaHPO₄·2H₂O.
    Brushite,
}

impl Mineral {
    /// Every mineral.
    pub const ALL: [Mineral; 6] = [
        Mineral::Calcite,
        Mineral::Aragonite,
        Mineral::Gypsum,
        Mineral::Anhydrite,
        Mineral::Brucite,
        Mineral::Brushite,
    ];

    /// Masters with their numbers, and molecules of water.
    pub(super) const fn made_of(self) -> (&'static [(Master, i8)], i8) {
        match self {
            Mineral::Calcite | Mineral::Aragonite => (&[(Ca, 1), (C, 1)], 0),
            Mineral::Gypsum => (&[(Ca, 1), (S, 1)], 2),
            Mineral::Anhydrite => (&[(Ca, 1), (S, 1)], 0),
            Mineral::Brucite => (&[(Mg, 1), (H, -2)], 2),
            Mineral::Brushite => (&[(Ca, 1), (P, 1), (H, 1)], 2),
        }
    }

    /// Constants of its dissolution into masters.
    pub(super) const fn constants(self) -> &'static [Constant] {
        match self {
            Mineral::Calcite => &[Row(&k::CALCITE, 1.0)],
            Mineral::Aragonite => &[Row(&k::ARAGONITE, 1.0)],
            Mineral::Gypsum => &[Row(&k::GYPSUM, 1.0)],
            Mineral::Anhydrite => &[Row(&k::ANHYDRITE, 1.0)],
            Mineral::Brucite => &[Row(&k::BRUCITE, 1.0)],
            Mineral::Brushite => &[Row(&k::BRUSHITE, 1.0), Protons(Ion::Phosphate, 3, -1.0)],
        }
    }
}
