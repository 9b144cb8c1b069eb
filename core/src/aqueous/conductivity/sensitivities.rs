//! How conductivity changes with the ions that carry it, with ionic strength and with temperature.

use super::{CARRYING, Ionic, Medium, closest_approach_angstrom, share, water_viscosity};
use crate::aqueous::activity::DebyeHueckel;
use crate::aqueous::species::COUNT;
use crate::aqueous::state::{Equilibrium, FREE};
use crate::liquor::water_density_per_kelvin;

/// Sensitivities of a conductivity in µS/cm, each other value held.
pub(in crate::aqueous) struct ConductivitySlopes {
    /// Per mol/kg of each species, and of each ion without pairs.
    pub molality: [f64; COUNT],
    pub unpaired: [f64; FREE.len()],
    /// Per mol/kg of ionic strength.
    pub strength: f64,
    /// Per K.
    pub kelvin: f64,
}

/// Sensitivities of the conductivity at the liquor's temperature.
pub(in crate::aqueous) fn at_own_temperature(state: &Equilibrium) -> ConductivitySlopes {
    let celsius = state.liquor.temperature_c;
    let medium = Medium::at(celsius);
    slopes_in(state, &medium, &per_kelvin(&medium, celsius))
}

/// Sensitivities of the conductivity referred to 25 °C, where the water itself stays as it is.
pub(in crate::aqueous) fn at_25c(state: &Equilibrium) -> ConductivitySlopes {
    let still = Medium {
        kg_per_l: 0.0,
        ln_fluidity: 0.0,
        relaxation: 0.0,
        counterflow: 0.0,
        b: 0.0,
    };
    slopes_in(state, &Medium::at(25.0), &still)
}

fn slopes_in(state: &Equilibrium, medium: &Medium, change: &Medium) -> ConductivitySlopes {
    let (mut cations, mut anions) = (Side::default(), Side::default());
    for (place, (row, molality)) in state.could_carry().enumerate() {
        // A negative amount, left where a dose had to be taken away, carries nothing.
        if let Some(row) = row.filter(|_| molality >= 0.0) {
            let ion = Ionic::of(row, molality, medium);
            let limiting = ion.limiting * row.walden_exponent * change.ln_fluidity;
            let side = if ion.positive {
                &mut cations
            } else {
                &mut anions
            };
            side.0.push(Carrying {
                ion,
                limiting_per_kelvin: limiting,
                place,
                per_equivalent: 0.0,
            });
        }
    }
    let root = state.ionic_strength_mol_per_kg.sqrt();
    let pairs = Pairs {
        medium,
        change,
        root,
    };
    let by_cations = pairs.carried(&mut cations, &mut anions);
    let by_anions = pairs.carried(&mut anions, &mut cations);
    let all = by_cations.plus(by_anions);
    // Equivalents per litre times S cm²/eq are mS/cm.
    let factor = 1000.0 * medium.kg_per_l;
    let mut by_place = [0.0; CARRYING];
    for one in cations.0.iter().chain(&anions.0) {
        by_place[one.place] = factor * one.ion.charge * one.per_equivalent;
    }
    let (mut molality, mut unpaired) = ([0.0; COUNT], [0.0; FREE.len()]);
    molality.copy_from_slice(&by_place[..COUNT]);
    unpaired.copy_from_slice(&by_place[COUNT..]);
    ConductivitySlopes {
        molality,
        unpaired,
        strength: factor * all.per_root / (2.0 * root),
        kelvin: factor * all.per_kelvin + 1000.0 * change.kg_per_l * all.value,
    }
}

/// An ion, absent ones among them, with what an equivalent more of it adds.
struct Carrying {
    ion: Ionic,
    limiting_per_kelvin: f64,
    place: usize,
    per_equivalent: f64,
}

/// The ions of one sign.
#[derive(Default)]
struct Side(Vec<Carrying>);

/// A value with its sensitivities to the root of ionic strength and to temperature.
#[derive(Clone, Copy, Default)]
struct Slope {
    value: f64,
    per_root: f64,
    per_kelvin: f64,
}

impl Slope {
    fn plus(self, other: Slope) -> Slope {
        Slope {
            value: self.value + other.value,
            per_root: self.per_root + other.per_root,
            per_kelvin: self.per_kelvin + other.per_kelvin,
        }
    }

    fn times(self, factor: f64) -> Slope {
        Slope {
            value: self.value * factor,
            per_root: self.per_root * factor,
            per_kelvin: self.per_kelvin * factor,
        }
    }
}

/// Ions of both signs in a medium, and how it changes per K.
struct Pairs<'a> {
    medium: &'a Medium,
    change: &'a Medium,
    root: f64,
}

impl Pairs<'_> {
    /// What ions of one sign carry among those of the other. Adds what each ion of either sign
    /// changes.
    fn carried(&self, ions: &mut Side, others: &mut Side) -> Slope {
        let whole: f64 = others.0.iter().map(|other| other.ion.equivalents).sum();
        let per_whole = if whole > 0.0 { 1.0 / whole } else { 0.0 };
        let mut all = Slope::default();
        let mut falls = vec![0.0; others.0.len()];
        for one in &mut ions.0 {
            let equivalents = one.ion.equivalents;
            let mut mean = Slope::default();
            for (fall, other) in falls.iter_mut().zip(&others.0) {
                // Between two that are absent nothing counts.
                if equivalents > 0.0 || other.ion.equivalents > 0.0 {
                    let slope = self.fall(one, other);
                    *fall = slope.value;
                    mean = mean.plus(slope.times(other.ion.equivalents * per_whole));
                }
            }
            let left = one.ion.limiting - mean.value;
            if left <= 0.0 {
                continue;
            }
            one.per_equivalent += left;
            let own = Slope {
                value: left,
                per_root: -mean.per_root,
                per_kelvin: one.limiting_per_kelvin - mean.per_kelvin,
            };
            all = all.plus(own.times(equivalents));
            if equivalents > 0.0 {
                for (fall, other) in falls.iter().zip(&mut others.0) {
                    other.per_equivalent -= equivalents * (fall - mean.value) * per_whole;
                }
            }
        }
        all
    }

    /// [`Medium::fall`] with its sensitivities.
    fn fall(&self, one: &Carrying, other: &Carrying) -> Slope {
        let (medium, change) = (self.medium, self.change);
        let (ion, beside) = (&one.ion, &other.ion);
        let (own, theirs) = (one.limiting_per_kelvin, other.limiting_per_kelvin);
        let product = ion.charge * beside.charge;
        let crossed = beside.charge * ion.limiting + ion.charge * beside.limiting;
        let sum = ion.limiting + beside.limiting;
        let q = product / (ion.charge + beside.charge) * sum / crossed;
        let crossed_per_kelvin = beside.charge * own + ion.charge * theirs;
        let q_per_kelvin = q * ((own + theirs) / sum - crossed_per_kelvin / crossed);
        let root_q = q.sqrt();
        let share_per_q = (1.0 + root_q / 2.0) / ((1.0 + root_q) * (1.0 + root_q));
        let forces =
            medium.relaxation * product * share(q) * ion.limiting + medium.counterflow * ion.charge;
        let shared = share(q) * (change.relaxation * ion.limiting + medium.relaxation * own)
            + medium.relaxation * share_per_q * q_per_kelvin * ion.limiting;
        let forces_per_kelvin = product * shared + change.counterflow * ion.charge;
        let size = closest_approach_angstrom(product);
        let inverse = 1.0 / (1.0 + medium.b * size * self.root);
        let atmosphere = self.root * inverse;
        Slope {
            value: forces * atmosphere,
            per_root: forces * inverse * inverse,
            per_kelvin: forces_per_kelvin * atmosphere
                - forces * change.b * size * atmosphere * atmosphere,
        }
    }
}

/// How each value of a medium changes, per K.
fn per_kelvin(medium: &Medium, temperature_c: f64) -> Medium {
    let here = DebyeHueckel::at(temperature_c);
    let change = here.per_kelvin(temperature_c);
    let viscosity = water_viscosity(temperature_c);
    let ln_fluidity = -viscosity.per_kelvin / viscosity.upa_s;
    Medium {
        kg_per_l: water_density_per_kelvin(temperature_c),
        ln_fluidity,
        relaxation: medium.relaxation * change.a / here.a,
        counterflow: medium.counterflow * (change.b / here.b + ln_fluidity),
        b: change.b,
    }
}
