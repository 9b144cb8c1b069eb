//! The species of a liquor: what each is made of and which constant makes it.
//!
//! Every species is built from *ligands* (hydrogen, and the bare anions carbonate, sulfate, fluoride and phosphate) and at most
//! one *carrier*: a metal, or the bare anion of another acid family, taken once. Written so, `ln a(species) = ln K +
//! Σ ν ln a(ligand) + ln a(carrier) + ν_w ln a(water)`.
//!
//! One constant set, never mixed: Plummer & Busenberg 1982 for carbonate, Nordstrom et al. 1990 for the rest, phosphate with pK2 of
//! Bates & Acree 1943. NaCO3⁻ and NaHCO3° are left out: with them the NBS carbonate buffer comes out 0.14 pH low.

use std::ops::Range;

use underlet_tables::{Equilibrium, equilibria as k};

use crate::ion::Ion;

/// How many ligands there are: hydrogen, carbonate, sulfate, fluoride, phosphate, in this order.
pub(super) const LIGANDS: usize = 5;

/// A constant that takes part in making a species.
#[derive(Clone, Copy, Debug)]
pub(super) enum Constant {
    /// An equilibrium of the table, and how often.
    Row(&'static Equilibrium, f64),
    /// Protons put on a bare anion: the dissociation steps of an acid family from this one on, taken backwards; and how often.
    Protons(Ion, u8, f64),
}

/// One species.
#[derive(Clone, Copy, Debug)]
pub(super) struct Species {
    /// Formula as in the activity and conductivity tables.
    pub name: &'static str,
    pub charge: i8,
    /// Numbers of the ligands.
    pub ligands: [i8; LIGANDS],
    /// Molecules of water taken in (positive) or set free (negative).
    pub water: i8,
    pub constants: &'static [Constant],
}

const fn made(name: &'static str, charge: i8, ligands: [i8; LIGANDS], constants: &'static [Constant]) -> Species {
    Species { name, charge, ligands, water: 0, constants }
}

const fn hydrous(water: i8, species: Species) -> Species {
    Species { water, ..species }
}

use Constant::{Protons, Row};

const NONE: [i8; LIGANDS] = [0; LIGANDS];
const fn protons(count: i8) -> [i8; LIGANDS] {
    [count, 0, 0, 0, 0]
}

const HYDROGEN_PHOSPHATE: Constant = Protons(Ion::Phosphate, 3, 1.0);
const DIHYDROGEN_PHOSPHATE: Constant = Protons(Ion::Phosphate, 2, 1.0);

/// Species in groups: those of each ligand alone, then those of each carrier.
pub(super) const SPECIES: [Species; 66] = [
    // Hydrogen and hydroxide.
    made("H+", 1, protons(1), &[]),
    hydrous(1, made("OH-", -1, protons(-1), &[Row(&k::WATER, 1.0)])),
    // Carbonate.
    made("CO3-2", -2, [0, 1, 0, 0, 0], &[]),
    made("HCO3-", -1, [1, 1, 0, 0, 0], &[Row(&k::CARBONIC_2, -1.0)]),
    hydrous(-1, made("CO2", 0, [2, 1, 0, 0, 0], &[Row(&k::CARBONIC_1, -1.0), Row(&k::CARBONIC_2, -1.0)])),
    // Sulfate.
    made("SO4-2", -2, [0, 0, 1, 0, 0], &[]),
    made("HSO4-", -1, [1, 0, 1, 0, 0], &[Row(&k::BISULFATE, 1.0)]),
    // Fluoride.
    made("F-", -1, [0, 0, 0, 1, 0], &[]),
    made("HF", 0, [1, 0, 0, 1, 0], &[Row(&k::HYDROGEN_FLUORIDE, 1.0)]),
    made("HF2-", -1, [1, 0, 0, 2, 0], &[Row(&k::HYDROGEN_DIFLUORIDE, 1.0)]),
    // Phosphate.
    made("PO4-3", -3, [0, 0, 0, 0, 1], &[]),
    made("HPO4-2", -2, [1, 0, 0, 0, 1], &[HYDROGEN_PHOSPHATE]),
    made("H2PO4-", -1, [2, 0, 0, 0, 1], &[DIHYDROGEN_PHOSPHATE]),
    made("H3PO4", 0, [3, 0, 0, 0, 1], &[Protons(Ion::Phosphate, 1, 1.0)]),
    // Calcium.
    made("Ca+2", 2, NONE, &[]),
    made("CaHCO3+", 1, [1, 1, 0, 0, 0], &[Row(&k::CALCIUM_BICARBONATE_PAIR, 1.0), Row(&k::CARBONIC_2, -1.0)]),
    made("CaCO3", 0, [0, 1, 0, 0, 0], &[Row(&k::CALCIUM_CARBONATE_PAIR, 1.0)]),
    hydrous(1, made("CaOH+", 1, protons(-1), &[Row(&k::CALCIUM_HYDROXIDE_PAIR, 1.0)])),
    made("CaSO4", 0, [0, 0, 1, 0, 0], &[Row(&k::CALCIUM_SULFATE_PAIR, 1.0)]),
    made("CaHSO4+", 1, [1, 0, 1, 0, 0], &[Row(&k::CALCIUM_BISULFATE_PAIR, 1.0), Row(&k::BISULFATE, 1.0)]),
    made("CaF+", 1, [0, 0, 0, 1, 0], &[Row(&k::CALCIUM_FLUORIDE_PAIR, 1.0)]),
    made("CaPO4-", -1, [0, 0, 0, 0, 1], &[Row(&k::CALCIUM_PHOSPHATE_PAIR, 1.0)]),
    made("CaHPO4", 0, [1, 0, 0, 0, 1], &[Row(&k::CALCIUM_HYDROGEN_PHOSPHATE_PAIR, 1.0), HYDROGEN_PHOSPHATE]),
    made("CaH2PO4+", 1, [2, 0, 0, 0, 1], &[Row(&k::CALCIUM_DIHYDROGEN_PHOSPHATE_PAIR, 1.0), DIHYDROGEN_PHOSPHATE]),
    // Magnesium.
    made("Mg+2", 2, NONE, &[]),
    made("MgHCO3+", 1, [1, 1, 0, 0, 0], &[Row(&k::MAGNESIUM_BICARBONATE_PAIR, 1.0), Row(&k::CARBONIC_2, -1.0)]),
    made("MgCO3", 0, [0, 1, 0, 0, 0], &[Row(&k::MAGNESIUM_CARBONATE_PAIR, 1.0)]),
    hydrous(1, made("MgOH+", 1, protons(-1), &[Row(&k::MAGNESIUM_HYDROXIDE_PAIR, 1.0)])),
    made("MgSO4", 0, [0, 0, 1, 0, 0], &[Row(&k::MAGNESIUM_SULFATE_PAIR, 1.0)]),
    made("MgF+", 1, [0, 0, 0, 1, 0], &[Row(&k::MAGNESIUM_FLUORIDE_PAIR, 1.0)]),
    made("MgPO4-", -1, [0, 0, 0, 0, 1], &[Row(&k::MAGNESIUM_PHOSPHATE_PAIR, 1.0)]),
    made("MgHPO4", 0, [1, 0, 0, 0, 1], &[Row(&k::MAGNESIUM_HYDROGEN_PHOSPHATE_PAIR, 1.0), HYDROGEN_PHOSPHATE]),
    made("MgH2PO4+", 1, [2, 0, 0, 0, 1], &[Row(&k::MAGNESIUM_DIHYDROGEN_PHOSPHATE_PAIR, 1.0), DIHYDROGEN_PHOSPHATE]),
    // Sodium.
    made("Na+", 1, NONE, &[]),
    made("NaSO4-", -1, [0, 0, 1, 0, 0], &[Row(&k::SODIUM_SULFATE_PAIR, 1.0)]),
    made("NaF", 0, [0, 0, 0, 1, 0], &[Row(&k::SODIUM_FLUORIDE_PAIR, 1.0)]),
    made("NaHPO4-", -1, [1, 0, 0, 0, 1], &[Row(&k::SODIUM_HYDROGEN_PHOSPHATE_PAIR, 1.0), HYDROGEN_PHOSPHATE]),
    // Potassium.
    made("K+", 1, NONE, &[]),
    made("KSO4-", -1, [0, 0, 1, 0, 0], &[Row(&k::POTASSIUM_SULFATE_PAIR, 1.0)]),
    made("KHPO4-", -1, [1, 0, 0, 0, 1], &[Row(&k::POTASSIUM_HYDROGEN_PHOSPHATE_PAIR, 1.0), HYDROGEN_PHOSPHATE]),
    // Ammonium.
    made("NH4+", 1, NONE, &[]),
    made("NH3", 0, protons(-1), &[Row(&k::AMMONIUM, 1.0)]),
    made("NH4SO4-", -1, [0, 0, 1, 0, 0], &[Row(&k::AMMONIUM_SULFATE_PAIR, 1.0)]),
    // Silicic acid.
    made("H4SiO4", 0, NONE, &[]),
    made("H3SiO4-", -1, protons(-1), &[Row(&k::SILICIC_1, 1.0)]),
    made("H2SiO4-2", -2, protons(-2), &[Row(&k::SILICIC_2, 1.0)]),
    // Organic acids and sulfite.
    made("Lactate-", -1, NONE, &[]),
    made("HLactate", 0, protons(1), &[Protons(Ion::Lactate, 1, 1.0)]),
    made("Acetate-", -1, NONE, &[]),
    made("HAcetate", 0, protons(1), &[Protons(Ion::Acetate, 1, 1.0)]),
    made("Citrate-3", -3, NONE, &[]),
    made("HCitrate-2", -2, protons(1), &[Protons(Ion::Citrate, 3, 1.0)]),
    made("H2Citrate-", -1, protons(2), &[Protons(Ion::Citrate, 2, 1.0)]),
    made("H3Citrate", 0, protons(3), &[Protons(Ion::Citrate, 1, 1.0)]),
    made("Malate-2", -2, NONE, &[]),
    made("HMalate-", -1, protons(1), &[Protons(Ion::Malate, 2, 1.0)]),
    made("H2Malate", 0, protons(2), &[Protons(Ion::Malate, 1, 1.0)]),
    made("Tartrate-2", -2, NONE, &[]),
    made("HTartrate-", -1, protons(1), &[Protons(Ion::Tartrate, 2, 1.0)]),
    made("H2Tartrate", 0, protons(2), &[Protons(Ion::Tartrate, 1, 1.0)]),
    made("SO3-2", -2, NONE, &[]),
    made("HSO3-", -1, protons(1), &[Protons(Ion::Sulfite, 2, 1.0)]),
    made("H2SO3", 0, protons(2), &[Protons(Ion::Sulfite, 1, 1.0)]),
    made("Ascorbate-2", -2, NONE, &[]),
    made("HAscorbate-", -1, protons(1), &[Protons(Ion::Ascorbate, 2, 1.0)]),
    made("H2Ascorbate", 0, protons(2), &[Protons(Ion::Ascorbate, 1, 1.0)]),
];

const COUNT: usize = SPECIES.len();

/// Where the species of a ligand alone, or of a carrier, stand in the list.
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
    Group { first: position(first), count }
}

/// The species of each ligand alone.
pub(super) const LIGANDS_ONLY: [Group; LIGANDS] =
    [group("H+", 2), group("CO3-2", 3), group("SO4-2", 2), group("F-", 3), group("PO4-3", 4)];

/// A metal or acid family.
#[derive(Clone, Copy, Debug)]
pub(super) struct Carrier {
    pub ion: Ion,
    group: Group,
    /// Half the square of its charge where it is a strong ion; a weak acid's charge is counted in the alkalinity.
    pub half_square_if_strong: f64,
    /// Whether it takes up or gives off protons near the pH of liquor.
    pub protonates: bool,
}

impl Carrier {
    pub const fn species(&self) -> Range<usize> {
        self.group.species()
    }
}

const fn metal(ion: Ion, first: &str, count: usize) -> Carrier {
    let group = group(first, count);
    let charge = SPECIES[group.first].charge as f64;
    Carrier { ion, group, half_square_if_strong: charge * charge / 2.0, protonates: false }
}

const fn acid(ion: Ion, first: &str, count: usize) -> Carrier {
    Carrier { ion, group: group(first, count), half_square_if_strong: 0.0, protonates: true }
}

pub(super) const CARRIERS_COUNT: usize = 13;

/// Metals and acid families.
pub(super) const CARRIERS: [Carrier; CARRIERS_COUNT] = [
    metal(Ion::Calcium, "Ca+2", 10),
    metal(Ion::Magnesium, "Mg+2", 9),
    metal(Ion::Sodium, "Na+", 4),
    metal(Ion::Potassium, "K+", 3),
    Carrier { protonates: true, ..metal(Ion::Ammonium, "NH4+", 3) },
    acid(Ion::Silica, "H4SiO4", 3),
    acid(Ion::Lactate, "Lactate-", 2),
    acid(Ion::Acetate, "Acetate-", 2),
    acid(Ion::Citrate, "Citrate-3", 4),
    acid(Ion::Malate, "Malate-2", 3),
    acid(Ion::Tartrate, "Tartrate-2", 3),
    acid(Ion::Sulfite, "SO3-2", 3),
    acid(Ion::Ascorbate, "Ascorbate-2", 3),
];

/// Strong ions without pairs, with their charge: they only add to ionic strength and to dissolved matter.
pub(super) const UNPAIRED: [(Ion, f64); 5] =
    [(Ion::Chloride, -1.0), (Ion::Nitrate, -1.0), (Ion::Nitrite, -1.0), (Ion::Iron, 2.0), (Ion::Manganese, 2.0)];

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

/// Numbers of the ligands in each species.
pub(super) const EXPONENTS: [[f64; LIGANDS]; COUNT] = {
    let mut exponents = [[0.0; LIGANDS]; COUNT];
    let mut index = 0;
    while index < COUNT {
        let mut ligand = 0;
        while ligand < LIGANDS {
            exponents[index][ligand] = SPECIES[index].ligands[ligand] as f64;
            ligand += 1;
        }
        index += 1;
    }
    exponents
};

/// Molecules of water in each species.
pub(super) const WATER: [f64; COUNT] = {
    let mut water = [0.0; COUNT];
    let mut index = 0;
    while index < COUNT {
        water[index] = SPECIES[index].water as f64;
        index += 1;
    }
    water
};

/// Negative charge that each species carries beyond its strong ions: its share of the alkalinity in the core's sense.
pub(super) const ALKALINITY: [f64; COUNT] = {
    let mut alkalinity = [0.0; COUNT];
    let mut index = 0;
    while index < COUNT {
        // Sulfate and fluoride are strong; hydrogen, carbonate and phosphate are what alkalinity is made of.
        let strong = -2 * SPECIES[index].ligands[2] - SPECIES[index].ligands[3];
        alkalinity[index] = (strong - SPECIES[index].charge) as f64;
        index += 1;
    }
    let mut carrier = 0;
    while carrier < CARRIERS_COUNT {
        let group = CARRIERS[carrier].group;
        let charge = if CARRIERS[carrier].half_square_if_strong > 0.0 { SPECIES[group.first].charge as f64 } else { 0.0 };
        let mut member = group.first;
        while member < group.first + group.count {
            alkalinity[member] += charge;
            member += 1;
        }
        carrier += 1;
    }
    alkalinity
};

/// What each species counts in the balances: alkalinity for hydrogen, itself for the other ligands, and half the square of its
/// charge for ionic strength.
pub(super) const WEIGHTS: [[f64; LIGANDS + 1]; COUNT] = {
    let mut weights = [[0.0; LIGANDS + 1]; COUNT];
    let mut index = 0;
    while index < COUNT {
        let mut ligand = 1;
        while ligand < LIGANDS {
            weights[index][ligand] = EXPONENTS[index][ligand];
            ligand += 1;
        }
        weights[index][0] = ALKALINITY[index];
        let charge = SPECIES[index].charge as f64;
        weights[index][LIGANDS] = charge * charge / 2.0;
        index += 1;
    }
    weights
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

    /// Its metal, numbers of the ligands, and molecules of water.
    pub(super) const fn made_of(self) -> (Ion, [f64; LIGANDS], f64) {
        match self {
            Mineral::Calcite | Mineral::Aragonite => (Ion::Calcium, [0.0, 1.0, 0.0, 0.0, 0.0], 0.0),
            Mineral::Gypsum => (Ion::Calcium, [0.0, 0.0, 1.0, 0.0, 0.0], 2.0),
            Mineral::Anhydrite => (Ion::Calcium, [0.0, 0.0, 1.0, 0.0, 0.0], 0.0),
            Mineral::Brucite => (Ion::Magnesium, [-2.0, 0.0, 0.0, 0.0, 0.0], 2.0),
            Mineral::Brushite => (Ion::Calcium, [1.0, 0.0, 0.0, 0.0, 1.0], 2.0),
        }
    }

    /// Constants of its dissolution into metal and ligands.
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
