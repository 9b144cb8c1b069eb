//! Balances of elements and charge, counted afresh from what each species is made of by its
//! formula.

use std::sync::OnceLock;

use underlet::aqueous::Equilibrium;
use underlet::component::Component;

/// Every species of the solver, written as in its tables.
const SPECIES: [&str; 66] = [
    "H+",
    "OH-",
    "CO3-2",
    "HCO3-",
    "CO2",
    "SO4-2",
    "HSO4-",
    "F-",
    "HF",
    "HF2-",
    "PO4-3",
    "HPO4-2",
    "H2PO4-",
    "H3PO4",
    "Ca+2",
    "CaHCO3+",
    "CaCO3",
    "CaOH+",
    "CaSO4",
    "CaHSO4+",
    "CaF+",
    "CaPO4-",
    "CaHPO4",
    "CaH2PO4+",
    "Mg+2",
    "MgHCO3+",
    "MgCO3",
    "MgOH+",
    "MgSO4",
    "MgF+",
    "MgPO4-",
    "MgHPO4",
    "MgH2PO4+",
    "Na+",
    "NaSO4-",
    "NaF",
    "NaHPO4-",
    "K+",
    "KSO4-",
    "KHPO4-",
    "NH4+",
    "NH3",
    "NH4SO4-",
    "H4SiO4",
    "H3SiO4-",
    "H2SiO4-2",
    "Lactate-",
    "HLactate",
    "Acetate-",
    "HAcetate",
    "Citrate-3",
    "HCitrate-2",
    "H2Citrate-",
    "H3Citrate",
    "Malate-2",
    "HMalate-",
    "H2Malate",
    "Tartrate-2",
    "HTartrate-",
    "H2Tartrate",
    "SO3-2",
    "HSO3-",
    "H2SO3",
    "Ascorbate-2",
    "HAscorbate-",
    "H2Ascorbate",
];

/// Components with the part of a formula that each is counted by.
const COUNTED: [(Component, &str); 16] = [
    (Component::Calcium, "Ca"),
    (Component::Magnesium, "Mg"),
    (Component::Sodium, "Na"),
    (Component::Potassium, "K"),
    (Component::Ammonium, "N"),
    (Component::Sulfate, "SO4"),
    (Component::Sulfite, "SO3"),
    (Component::Fluoride, "F"),
    (Component::Phosphate, "P"),
    (Component::Silica, "Si"),
    (Component::Lactate, "Lactate"),
    (Component::Acetate, "Acetate"),
    (Component::Citrate, "Citrate"),
    (Component::Malate, "Malate"),
    (Component::Tartrate, "Tartrate"),
    (Component::Ascorbate, "Ascorbate"),
];

/// Ions that form no pairs: all of their total is free.
const FREE: [Component; 5] = [
    Component::Chloride,
    Component::Nitrate,
    Component::Nitrite,
    Component::Iron,
    Component::Manganese,
];

/// Splits a formula into its body and its charge.
fn charge(formula: &str) -> (&str, f64) {
    let Some(at) = formula.rfind(['+', '-']) else {
        return (formula, 0.0);
    };
    let size = formula[at + 1..].parse().unwrap_or(1.0);
    (
        &formula[..at],
        if formula[at..].starts_with('-') {
            -size
        } else {
            size
        },
    )
}

/// How often an element, written with its small letters, stands in a formula.
fn count(body: &str, element: &str) -> f64 {
    let bytes = body.as_bytes();
    let (mut at, mut found) = (0, 0.0);
    while at < bytes.len() {
        let end = (at + 1..bytes.len())
            .find(|&i| !bytes[i].is_ascii_lowercase())
            .unwrap_or(bytes.len());
        let after = (end..bytes.len())
            .find(|&i| !bytes[i].is_ascii_digit())
            .unwrap_or(bytes.len());
        if &body[at..end] == element {
            found += body[end..after].parse().unwrap_or(1.0);
        }
        at = after;
    }
    found
}

/// How often a component stands in a formula. Sulfur counts as sulfate or sulfite by the oxygen
/// that follows it.
fn component(body: &str, part: &str) -> f64 {
    match part {
        "SO4" | "SO3" => f64::from(u8::from(body.ends_with(part))),
        // The C of bicarbonate and carbonate alone: the organic acids are words.
        element => count(body, element),
    }
}

/// How often each species holds each component, and carbon last; and its charge.
struct Makeup {
    parts: Vec<[f64; SPECIES.len()]>,
    charges: [f64; SPECIES.len()],
}

fn makeup() -> &'static Makeup {
    static MAKEUP: OnceLock<Makeup> = OnceLock::new();
    MAKEUP.get_or_init(|| {
        let bodies = SPECIES.map(|name| charge(name).0);
        let names = COUNTED.iter().map(|(_, part)| *part).chain(["C"]);
        Makeup {
            parts: names
                .map(|part| bodies.map(|body| component(body, part)))
                .collect(),
            charges: SPECIES.map(|name| charge(name).1),
        }
    })
}

/// Largest relative error of any balance, of elements, charge or ionic strength, and its name;
/// `moved` is what a dose brought or took, mol/kg, against which rounding is measured too. An
/// amount below nothing counts as an infinite error.
pub fn worst(state: &Equilibrium, moved: f64) -> (f64, &'static str) {
    let amounts = SPECIES.map(|name| state.molality(name));
    let sum = |counts: &[f64; SPECIES.len()]| {
        counts
            .iter()
            .zip(amounts)
            .map(|(count, amount)| count * amount)
            .sum::<f64>()
    };
    let mut worst = (0.0, "none");
    let mut note = |error: f64, size: f64, name: &'static str| {
        let size = size + moved;
        let relative = if size > 0.0 {
            error.abs() / size
        } else {
            error.abs()
        };
        // Not a number is no small error.
        if relative > worst.0 || relative.is_nan() {
            worst = (relative, name);
        }
    };
    let totals = COUNTED
        .iter()
        .map(|(ion, part)| (state.liquor.ions.get(*ion), *part));
    let totals = totals.chain([(state.liquor.carbon_mol_per_kg, "C")]);
    for ((total, part), counts) in totals.zip(&makeup().parts) {
        note(sum(counts) - total, total.abs(), part);
    }
    if !amounts.iter().all(|amount| *amount >= 0.0) {
        note(f64::INFINITY, 1.0, "an amount below nothing");
    }
    let squares = sum(&makeup().charges.map(|charge| charge * charge));
    let free = FREE
        .map(|ion| ion.charge() * ion.charge() * state.liquor.ions.get(ion))
        .iter()
        .sum::<f64>();
    let strength = (squares + free) / 2.0;
    note(
        strength - state.ionic_strength_mol_per_kg,
        strength,
        "ionic strength",
    );
    let (mut net, mut size) = (sum(&makeup().charges), sum(&makeup().charges.map(f64::abs)));
    for ion in FREE {
        net += ion.charge() * state.liquor.ions.get(ion);
        size += (ion.charge() * state.liquor.ions.get(ion)).abs();
    }
    // What an analysis is out of balance by, it stays out of balance by.
    let given = state.liquor.ions.strong_charge() - state.liquor.alkalinity_eq_per_kg;
    note(net - given, size + given.abs(), "charge");
    worst
}

#[test]
fn formulas_are_read() {
    assert_eq!(charge("CaH2PO4+"), ("CaH2PO4", 1.0));
    assert_eq!(charge("Citrate-3"), ("Citrate", -3.0));
    assert_eq!(count("CaH2PO4", "H"), 2.0);
    assert_eq!(count("CaCO3", "C"), 1.0);
    assert_eq!(component("HCitrate", "C"), 0.0);
    assert_eq!(component("NH4SO4", "SO4"), 1.0);
    assert_eq!(component("H2SO3", "SO4"), 0.0);
    assert_eq!(component("NaF", "N"), 0.0);
}
