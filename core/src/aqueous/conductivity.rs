//! Electrical conductivity of a liquor, from the ions and charged pairs it holds.
//!
//! Each ion's limiting conductivity is lowered by Onsager's two forces, the relaxation of its ionic
//! atmosphere and the counterflow of the water in it, with the finite size of ions in the
//! denominator (Robinson & Stokes, *Electrolyte Solutions*, ch. 7):
//!
//! ```text
//! λ = λ° − (0.7853 |z z'| q/(1 + √q) λ° + 30.32 |z|) √I/(1 + B a √I)
//! q = |z z'|/(|z| + |z'|) · (λ° + λ°')/(|z'| λ° + |z| λ°')
//! ```
//!
//! per equivalent and at 25 °C, z' and λ°' being those of an ion of the other sign. In a mixture
//! the fall is a mean over these, each weighing with its equivalents: exact for a single salt, an
//! approximation to Onsager & Fuoss (1932) for a water. With temperature λ° goes as a power of the
//! fluidity of water (Walden's rule: the first), relaxation as the Debye-Hückel slope A,
//! counterflow as B times fluidity.
//!
//! Uncharged pairs carry nothing. At 25 °C within 1 % of handbooks for chlorides and sodium sulfate
//! up to 0.05 eq/L, 0.2 % for hydrochloric acid and lye up to 0.1, 1.5 % for sulfuric acid up to
//! 0.01, 1 % for bicarbonate of potassium; bivalent sulfates 2 to 6 %, as their constants of pairing;
//! at 80 °C and 0.02 mol/kg sulfates are up to 5 % low.
//!
//! Waters of mixed ions agree within 1.5 % with PHREEQC, which has other constants and another law.
//! Both give about 3 % more than was measured in a published set of 13 fresh waters: most in the
//! most dilute, by 7 to 20 %, where Kohlrausch's sum of limiting conductivities and Onsager's
//! limiting law alone decide. What is published beside those waters errs less, but lies about a
//! tenth below that law in the dilute ones: it follows such measurements. Nothing here is fitted.

use std::sync::LazyLock;

use underlet_tables::{Conductivity, conductivity, parameters};

use super::activity::DebyeHueckel;
use super::species::{COUNT, SPECIES};
use super::state::{Equilibrium, FREE};
use super::temperature::kelvin;
use crate::liquor::water_density_kg_per_l;
use crate::math;

mod sensitivities;

pub(super) use sensitivities::{ConductivitySlopes, at_25c, at_own_temperature};

impl Equilibrium {
    /// Conductivity at the liquor's temperature, µS/cm.
    pub fn conductivity_us_per_cm(&self) -> f64 {
        self.conductivity_in(&Medium::at(self.liquor.temperature_c))
    }

    /// Conductivity referred to 25 °C, µS/cm: the same ions and pairs in water of 25 °C, as a meter
    /// that corrects for natural water shows it.
    pub fn conductivity_25c_us_per_cm(&self) -> f64 {
        self.conductivity_in(&Medium::at(25.0))
    }

    fn conductivity_in(&self, medium: &Medium) -> f64 {
        let ions = self
            .charged()
            .map(|(row, molality)| Ionic::of(row, molality, medium));
        let (cations, anions): (Vec<Ionic>, Vec<Ionic>) = ions.partition(|ion| ion.positive);
        let root = self.ionic_strength_mol_per_kg.sqrt();
        let sum =
            carried(&cations, &anions, medium, root) + carried(&anions, &cations, medium, root);
        // Equivalents per litre times S cm²/eq are mS/cm.
        1000.0 * medium.kg_per_l * sum
    }

    /// Charged species that are there, with their molality.
    fn charged(&self) -> impl Iterator<Item = (&'static Conductivity, f64)> + '_ {
        self.could_carry()
            .filter(|(_, molality)| *molality > 0.0)
            .filter_map(|(row, molality)| row.map(|row| (row, molality)))
    }

    /// Every species and then every ion without pairs: its row, which the uncharged lack, and its
    /// molality.
    fn could_carry(&self) -> impl Iterator<Item = (Option<&'static Conductivity>, f64)> + '_ {
        let unpaired = FREE.iter().map(|(ion, _)| self.liquor.ions.get(*ion));
        let molality = self.molality.iter().copied().chain(unpaired);
        ROWS.iter().copied().zip(molality)
    }
}

/// How many species and ions without pairs there are.
const CARRYING: usize = COUNT + FREE.len();

/// Rows of all species and then of the ions without pairs.
static ROWS: LazyLock<Vec<Option<&Conductivity>>> = LazyLock::new(|| {
    let species = SPECIES.iter().map(|species| species.name);
    let names = species.chain(FREE.iter().map(|(_, name)| *name));
    names.map(conductivity).collect()
});

/// What ions of one sign carry among those of the other, eq/kg times S cm²/eq.
fn carried(ions: &[Ionic], others: &[Ionic], medium: &Medium, root: f64) -> f64 {
    let whole: f64 = others.iter().map(|other| other.equivalents).sum();
    let share = if whole > 0.0 { 1.0 / whole } else { 0.0 };
    ions.iter()
        .map(|ion| {
            let fall: f64 = others
                .iter()
                .map(|other| other.equivalents * medium.fall(ion, other, root))
                .sum();
            ion.equivalents * math::at_least(ion.limiting - fall * share, 0.0)
        })
        .sum()
}

/// What an ion moves through: water at one temperature.
struct Medium {
    kg_per_l: f64,
    /// ln of the fluidity of water over that at 25 °C.
    ln_fluidity: f64,
    /// Factor of relaxation, (kg/mol)^½.
    relaxation: f64,
    /// Factor of counterflow, S cm²/eq (kg/mol)^½.
    counterflow: f64,
    /// Debye-Hückel slope B, (kg/mol)^½ per ångström.
    b: f64,
}

impl Medium {
    fn at(temperature_c: f64) -> Medium {
        let here = DebyeHueckel::at(temperature_c);
        let reference = DebyeHueckel::at(25.0);
        let fluidity = water_viscosity(25.0).upa_s / water_viscosity(temperature_c).upa_s;
        Medium {
            kg_per_l: water_density_kg_per_l(temperature_c),
            ln_fluidity: math::ln(fluidity),
            // The table's factor is for ions of one charge, where q is a half.
            relaxation: parameters::ONSAGER_RELAXATION.value / share(0.5) * here.a / reference.a,
            counterflow: parameters::ONSAGER_ELECTROPHORESIS.value * here.b / reference.b
                * fluidity,
            b: here.b,
        }
    }

    /// How far an ion falls below its limiting conductivity among ions of the other sign at a root
    /// of ionic strength, S cm²/eq.
    fn fall(&self, ion: &Ionic, other: &Ionic, root: f64) -> f64 {
        let product = ion.charge * other.charge;
        let crossed = other.charge * ion.limiting + ion.charge * other.limiting;
        let q = product / (ion.charge + other.charge) * (ion.limiting + other.limiting) / crossed;
        let relaxation = self.relaxation * product * share(q) * ion.limiting;
        let atmosphere = root / (1.0 + self.b * closest_approach_angstrom(product) * root);
        (relaxation + self.counterflow * ion.charge) * atmosphere
    }
}

/// Distance of closest approach of ions by the product of their charges: straight lines between 1,
/// 2 and 4.
fn closest_approach_angstrom(product: f64) -> f64 {
    let [single, mixed, double] = [
        parameters::CONDUCTIVITY_CLOSEST_1_1.value,
        parameters::CONDUCTIVITY_CLOSEST_2_1.value,
        parameters::CONDUCTIVITY_CLOSEST_2_2.value,
    ];
    let to_mixed = (product - 1.0).clamp(0.0, 1.0);
    let to_double = ((product - 2.0) / 2.0).clamp(0.0, 1.0);
    single + (mixed - single) * to_mixed + (double - mixed) * to_double
}

/// q/(1 + √q) of Onsager's relaxation.
fn share(q: f64) -> f64 {
    q / (1.0 + q.sqrt())
}

/// A charged species in its medium.
struct Ionic {
    positive: bool,
    /// Charge number without sign.
    charge: f64,
    /// Equivalents per kg of water.
    equivalents: f64,
    /// Limiting equivalent conductivity, S cm²/eq.
    limiting: f64,
}

impl Ionic {
    fn of(row: &Conductivity, molality: f64, medium: &Medium) -> Ionic {
        let charge = f64::from(row.charge.unsigned_abs());
        Ionic {
            positive: row.charge > 0,
            charge,
            equivalents: charge * molality,
            limiting: row.limiting_s_cm2_per_eq
                * math::exp(row.walden_exponent * medium.ln_fluidity),
        }
    }
}

/// Viscosity of water at 1 bar, µPa s, 0 to 100 °C.
pub(crate) fn water_viscosity_upa_s(temperature_c: f64) -> f64 {
    water_viscosity(temperature_c).upa_s
}

/// Viscosity of water, and its slope.
struct Viscosity {
    upa_s: f64,
    per_kelvin: f64,
}

/// Viscosity of water at 1 bar, µPa s, 0 to 100 °C (IAPWS SR6-08, Pátek et al. 2009).
fn water_viscosity(temperature_c: f64) -> Viscosity {
    use parameters as p;
    let kelvin = kelvin(temperature_c.clamp(0.0, 100.0));
    let ln = math::ln(kelvin / p::WATER_VISCOSITY_TEMPERATURE.value);
    let (mut upa_s, mut per_kelvin) = (0.0, 0.0);
    for (factor, power) in [
        (p::WATER_VISCOSITY_A1, p::WATER_VISCOSITY_B1),
        (p::WATER_VISCOSITY_A2, p::WATER_VISCOSITY_B2),
        (p::WATER_VISCOSITY_A3, p::WATER_VISCOSITY_B3),
        (p::WATER_VISCOSITY_A4, p::WATER_VISCOSITY_B4),
    ] {
        let term = factor.value * math::exp(power.value * ln);
        upa_s += term;
        per_kelvin += power.value * term / kelvin;
    }
    Viscosity { upa_s, per_kelvin }
}

#[cfg(test)]
mod tests {
    use super::super::species::{SPECIES, UNPAIRED};
    use super::*;

    #[test]
    fn every_charged_species_has_a_conductivity() {
        for species in SPECIES.iter().filter(|species| species.charge != 0) {
            let row = conductivity(species.name).expect(species.name);
            assert_eq!(row.charge, i32::from(species.charge), "{}", species.name);
        }
        for ((ion, name), (unpaired, charge)) in FREE.iter().zip(UNPAIRED) {
            assert_eq!(*ion, unpaired);
            assert_eq!(f64::from(conductivity(name).expect(name).charge), charge);
        }
    }

    #[test]
    fn viscosity_of_water() {
        // IAPWS SR6-08 (from memory): 1001.6, 890.0, 546.5, 281.6 µPa s at 20, 25, 50, 100 °C.
        for (celsius, published) in [(20.0, 1001.6), (25.0, 890.0), (50.0, 546.5), (100.0, 281.6)] {
            let found = water_viscosity(celsius).upa_s;
            assert!(
                (found / published - 1.0).abs() < 1.0e-3,
                "{celsius} °C: {found} µPa s"
            );
        }
    }
}
