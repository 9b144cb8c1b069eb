//! The species as the solver reads them: powers of hydrogen and water, products of the other
//! ligands, classes of activity coefficients, what each counts in the balances. All known at
//! compile time.

use super::{
    BALANCES, CARBONATE, CARRIERS, CARRIERS_COUNT, COUNT, FLUORIDE, HYDROGEN, PHOSPHATE, SPECIES,
    STRENGTH, SULFATE, position,
};

/// A species as the solver reads it.
#[derive(Clone, Copy)]
pub(in crate::aqueous) struct Line {
    /// Which activity coefficient it has.
    pub class: usize,
    /// Power of hydrogen, and of water, each counted from its lowest.
    pub hydrogen: usize,
    pub water: usize,
    /// Which product of other ligands it holds: see [`OTHER_LIGANDS`].
    pub others: usize,
    /// What it counts in each balance.
    pub weights: [f64; BALANCES],
    /// How its ln molality changes with ln activity of each ligand; the ionic strength's place is
    /// left at 0.
    pub sensitivities: [f64; BALANCES],
}

/// Lowest powers of hydrogen and water in a species.
pub(in crate::aqueous) const LEAST_HYDROGEN: i8 = -2;
pub(in crate::aqueous) const LEAST_WATER: i8 = -1;
/// How many powers of hydrogen there are.
pub(in crate::aqueous) const HYDROGEN_POWERS: usize = 6;
/// Products of other ligands: none, carbonate, sulfate, fluoride, phosphate, fluoride twice.
pub(in crate::aqueous) const OTHER_LIGANDS: usize = 6;
/// How many of them common water has.
pub(in crate::aqueous) const COMMON_PRODUCTS: usize = 3;
/// The balance that each product counts in, and how often.
pub(in crate::aqueous) const COUNTED_IN: [(usize, f64); OTHER_LIGANDS] = [
    (HYDROGEN, 0.0),
    (CARBONATE, 1.0),
    (SULFATE, 1.0),
    (FLUORIDE, 1.0),
    (PHOSPHATE, 1.0),
    (FLUORIDE, 2.0),
];

/// Every species as the solver reads it. Known at compile time: looked up through a lock, it makes
/// an equilibrium take a tenth longer.
pub(in crate::aqueous) static LINES: [Line; COUNT] = {
    let mut lines = [Line {
        class: 0,
        hydrogen: 0,
        water: 0,
        others: 0,
        weights: [0.0; BALANCES],
        sensitivities: [0.0; BALANCES],
    }; COUNT];
    let mut index = 0;
    while index < COUNT {
        let [hydrogen, carbonate, sulfate, fluoride, phosphate] = SPECIES[index].ligands;
        lines[index].class = CLASS[index];
        lines[index].hydrogen = (hydrogen - LEAST_HYDROGEN).unsigned_abs() as usize;
        lines[index].water = (SPECIES[index].water - LEAST_WATER).unsigned_abs() as usize;
        lines[index].others = product_of(index);
        let charge = SPECIES[index].charge as f64;
        let rest = [
            0.0,
            carbonate as f64,
            sulfate as f64,
            0.0,
            fluoride as f64,
            phosphate as f64,
        ];
        lines[index].weights = rest;
        lines[index].weights[HYDROGEN] = ALKALINITY[index];
        lines[index].weights[STRENGTH] = charge * charge / 2.0;
        lines[index].sensitivities = rest;
        lines[index].sensitivities[HYDROGEN] = hydrogen as f64;
        index += 1;
    }
    lines
};

/// Whether two species have one activity coefficient at every ionic strength.
const fn of_one_class(one: usize, other: usize) -> bool {
    if SPECIES[one].charge.abs() != SPECIES[other].charge.abs() {
        return false;
    }
    match (SPECIES[one].activity, SPECIES[other].activity) {
        (Some(mine), Some(theirs)) => {
            mine.ion_size_angstrom == theirs.ion_size_angstrom && mine.b == theirs.b
        }
        (None, None) => true,
        _ => false,
    }
}

/// The first species of each class of activity coefficients represents the class.
const FIRST_OF_CLASS: [usize; COUNT] = {
    let mut first = [0; COUNT];
    let mut index = 0;
    while index < COUNT {
        let mut other = 0;
        while !of_one_class(other, index) {
            other += 1;
        }
        first[index] = other;
        index += 1;
    }
    first
};

/// How many classes of activity coefficients there are.
pub(in crate::aqueous) const CLASSES: usize = {
    let mut classes = 0;
    let mut index = 0;
    while index < COUNT {
        if FIRST_OF_CLASS[index] == index {
            classes += 1;
        }
        index += 1;
    }
    classes
};

/// A species of each class.
pub(in crate::aqueous) const REPRESENTATIVES: [usize; CLASSES] = {
    let mut representatives = [0; CLASSES];
    let (mut class, mut index) = (0, 0);
    while index < COUNT {
        if FIRST_OF_CLASS[index] == index {
            representatives[class] = index;
            class += 1;
        }
        index += 1;
    }
    representatives
};

/// The class of each species.
const CLASS: [usize; COUNT] = {
    let mut class = [0; COUNT];
    let mut index = 0;
    while index < COUNT {
        while REPRESENTATIVES[class[index]] != FIRST_OF_CLASS[index] {
            class[index] += 1;
        }
        index += 1;
    }
    class
};

/// Negative charge that each species carries beyond its strong ions: its share of the alkalinity in
/// the core's sense.
const ALKALINITY: [f64; COUNT] = {
    let mut alkalinity = [0.0; COUNT];
    let mut index = 0;
    while index < COUNT {
        // Sulfate and fluoride are strong; hydrogen, carbonate and phosphate are what alkalinity is
        // made of.
        let strong = -2 * SPECIES[index].ligands[2] - SPECIES[index].ligands[3];
        alkalinity[index] = (strong - SPECIES[index].charge) as f64;
        index += 1;
    }
    let mut carrier = 0;
    while carrier < CARRIERS_COUNT {
        let group = CARRIERS[carrier].group;
        let charge = if CARRIERS[carrier].half_square_if_strong > 0.0 {
            SPECIES[group.first].charge as f64
        } else {
            0.0
        };
        let mut member = group.first;
        while member < group.first + group.count {
            alkalinity[member] += charge;
            member += 1;
        }
        carrier += 1;
    }
    alkalinity
};

/// How many classes, from the first, water needs whose last carrier is the one at a place of the
/// list.
pub(in crate::aqueous) const CLASSES_UP_TO: [usize; CARRIERS_COUNT] = {
    let mut classes = [0; CARRIERS_COUNT];
    let mut carrier = 0;
    while carrier < CARRIERS_COUNT {
        let group = CARRIERS[carrier].group;
        let mut index = 0;
        // Fluoride and phosphate may be there with any.
        while index < group.first + group.count || index < position("NH4+") {
            if CLASS[index] >= classes[carrier] {
                classes[carrier] = CLASS[index] + 1;
            }
            index += 1;
        }
        carrier += 1;
    }
    classes
};

/// How many classes, from the first, common water needs.
pub(in crate::aqueous) const COMMON_CLASSES: usize = {
    let mut classes = 0;
    let mut index = 0;
    while index < position("F-") {
        let [.., fluoride, phosphate] = SPECIES[index].ligands;
        if fluoride == 0 && phosphate == 0 && CLASS[index] >= classes {
            classes = CLASS[index] + 1;
        }
        index += 1;
    }
    classes
};

/// Which product of other ligands a species holds: see [`OTHER_LIGANDS`].
const fn product_of(species: usize) -> usize {
    let [_, carbonate, sulfate, fluoride, phosphate] = SPECIES[species].ligands;
    match (carbonate, sulfate, fluoride, phosphate) {
        (1, _, _, _) => 1,
        (_, 1, _, _) => 2,
        (_, _, 1, _) => 3,
        (_, _, _, 1) => 4,
        (_, _, 2, _) => 5,
        _ => 0,
    }
}
