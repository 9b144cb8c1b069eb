//! Who holds protons at a pH: carbonate, the other weak acids, water. Written for mash and fit,
//! which ask at a pH that is given and need what holds per mole, so that a balance is a straight
//! line in the amounts.
//!
//! The constants and activity coefficients are the solver's own, at a temperature and an ionic
//! strength that the caller freezes. Pairs with metals are left out: at the pH of a mash they hold
//! next to no protons.

use std::sync::LazyLock;

use underlet_tables::parameters;

use super::constants::Constants;
use super::species::{CARRIERS, LIGANDS_ONLY, SPECIES};
use crate::component::{Component, Composition};
use crate::liquor::Liquor;
use crate::math::{self, LN_10};

/// Most species of one acid family that differ in protons alone.
const MOST_SPECIES: usize = 4;
/// Places of carbonate and phosphate among the ligands.
const CARBONATE: usize = 1;
const PHOSPHATE: usize = 4;

/// The species of an acid family, by the protons they carry: molality per activity of the bare
/// anion (nothing where there is no such species), and the slope of ln of the activity coefficient
/// to ionic strength.
#[derive(Clone, Copy, Debug, Default)]
struct Family {
    formation: [f64; MOST_SPECIES],
    ln_gamma_slope: [f64; MOST_SPECIES],
    /// Charge that the bare anion holds; every proton on it takes one away.
    bare: f64,
}

/// Powers of the activity of hydrogen, from none to what the richest species carries.
type Powers = [f64; MOST_SPECIES];

fn powers(ph: f64) -> Powers {
    let hydrogen = math::exp(-LN_10 * ph);
    let square = hydrogen * hydrogen;
    [1.0, hydrogen, square, square * hydrogen]
}

impl Family {
    /// Charge that a mole holds, and its slope per pH: the variance of the protons on it.
    fn charge_and_slope(&self, powers: &Powers) -> (f64, f64) {
        let [bare, one, two, three] = self.amounts(powers);
        let sum = bare + one + two + three;
        let mean = (one + 2.0 * two + 3.0 * three) / sum;
        let square = (one + 4.0 * two + 9.0 * three) / sum;
        (self.bare - mean, LN_10 * (square - mean * mean))
    }

    fn charge(&self, powers: &Powers) -> f64 {
        self.charge_and_slope(powers).0
    }

    /// Slope of the charge to ionic strength: the covariance of protons and of the activity
    /// coefficients' sensitivities.
    fn charge_per_ionic_strength(&self, powers: &Powers) -> f64 {
        let amounts = self.amounts(powers);
        let protons = self.bare - self.charge(powers);
        let (mut sum, mut slope, mut carried) = (0.0, 0.0, 0.0);
        for (amount, ln_gamma_slope) in amounts.iter().zip(self.ln_gamma_slope) {
            sum += amount;
            slope += amount * ln_gamma_slope * (carried - protons);
            carried += 1.0;
        }
        slope / sum
    }

    fn amounts(&self, powers: &Powers) -> [f64; MOST_SPECIES] {
        let [bare, one, two, three] = self.formation;
        let [_, first, second, third] = powers;
        [bare, one * first, two * second, three * third]
    }
}

/// How carbonate, weak acids and water hold protons at a temperature and an ionic strength.
#[derive(Clone, Debug)]
pub struct Acidity {
    carbonate: Family,
    /// The weak acids that are known here.
    acids: Vec<(Component, Family)>,
    /// ln of the molality of hydroxide times the activity of hydrogen, and of the molality of
    /// hydrogen per activity.
    ln_hydroxide: f64,
    ln_hydrogen: f64,
}

/// Constants at the temperature of a cooled sample, where nearly every balance is computed.
static OF_SAMPLE: LazyLock<Constants> =
    LazyLock::new(|| Constants::at(parameters::SAMPLE_TEMPERATURE.value));
/// Root of the least ionic strength at which its sensitivities are computed: they have no bound
/// towards zero.
const LEAST_ROOT: f64 = 1.0e-4;

impl Acidity {
    /// At a temperature, °C, and an ionic strength, mol/kg.
    pub fn at(temperature_c: f64, ionic_strength_mol_per_kg: f64) -> Acidity {
        let every = |_: Component| true;
        if temperature_c == parameters::SAMPLE_TEMPERATURE.value {
            return Acidity::with(&OF_SAMPLE, ionic_strength_mol_per_kg, every);
        }
        Acidity::with(
            &Constants::at(temperature_c),
            ionic_strength_mol_per_kg,
            every,
        )
    }

    /// For a cooled sample that holds no other weak acids than a composition does: the same numbers
    /// in less time.
    pub(crate) fn of_sample(ions: &Composition, ionic_strength_mol_per_kg: f64) -> Acidity {
        Acidity::with(&OF_SAMPLE, ionic_strength_mol_per_kg, |ion| {
            ions.get(ion) != 0.0
        })
    }

    fn with(
        constants: &Constants,
        ionic_strength_mol_per_kg: f64,
        is_wanted: impl Fn(Component) -> bool,
    ) -> Acidity {
        let root = math::at_least(ionic_strength_mol_per_kg, f64::MIN_POSITIVE).sqrt();
        let slope_root = math::at_least(root, LEAST_ROOT);
        let family = |species: std::ops::Range<usize>, own: i8, charge_apart: f64| {
            let mut family = Family::default();
            for index in species {
                let [protons, rest @ ..] = SPECIES[index].ligands;
                let Some(place) = usize::try_from(protons)
                    .ok()
                    .filter(|place| *place < MOST_SPECIES && rest.iter().sum::<i8>() == own)
                else {
                    continue;
                };
                family.formation[place] = math::exp(constants.ln_formation(index, root));
                family.ln_gamma_slope[place] = constants.ln_gamma_slope(index, slope_root);
                if place == 0 {
                    family.bare = charge_apart - f64::from(SPECIES[index].charge);
                }
            }
            family
        };
        let mut acids = Vec::new();
        for carrier in CARRIERS
            .iter()
            .filter(|carrier| carrier.protonates && is_wanted(carrier.ion))
        {
            let charge = carrier.ion.charge();
            acids.push((carrier.ion, family(carrier.species(), 0, charge)));
        }
        if is_wanted(Component::Phosphate) {
            let phosphate = family(LIGANDS_ONLY[PHOSPHATE].species(), 1, 0.0);
            acids.push((Component::Phosphate, phosphate));
        }
        let [ln_hydrogen, ln_hydroxide] = [0, 1].map(|place| {
            let index = LIGANDS_ONLY[0].species().start + place;
            constants.ln_formation(index, root)
        });
        Acidity {
            carbonate: family(LIGANDS_ONLY[CARBONATE].species(), 1, 0.0),
            acids,
            ln_hydroxide,
            ln_hydrogen,
        }
    }

    /// Charge that a mole of inorganic carbon holds at a pH.
    pub fn per_carbon(&self, ph: f64) -> f64 {
        self.carbonate.charge(&powers(ph))
    }

    /// Slope of [`Self::per_carbon`] per pH.
    pub fn per_carbon_slope(&self, ph: f64) -> f64 {
        self.carbonate.charge_and_slope(&powers(ph)).1
    }

    /// Charge that a mole of a weak acid holds at a pH: the protons it has given away. Zero for a
    /// strong ion.
    pub fn per_acid(&self, ion: Component, ph: f64) -> f64 {
        let known = self.acids.iter().find(|(of, _)| *of == ion);
        known.map_or(0.0, |(_, family)| family.charge(&powers(ph)))
    }

    /// Charge that all weak acids of a composition hold at a pH, in the composition's own basis.
    pub fn of_acids(&self, ions: &Composition, ph: f64) -> f64 {
        let powers = powers(ph);
        self.present(ions)
            .map(|(family, amount)| amount * family.charge(&powers))
            .sum()
    }

    /// Slope of [`Self::of_acids`] per pH.
    pub fn of_acids_slope(&self, ions: &Composition, ph: f64) -> f64 {
        let powers = powers(ph);
        self.present(ions)
            .map(|(family, amount)| amount * family.charge_and_slope(&powers).1)
            .sum()
    }

    /// Charge that an amount of carbon and the weak acids of a composition hold together, and its
    /// slope per pH.
    pub(crate) fn charge_and_slope(&self, carbon: f64, ions: &Composition, ph: f64) -> (f64, f64) {
        let powers = powers(ph);
        let (charge, slope) = self.carbonate.charge_and_slope(&powers);
        self.present(ions).fold(
            (carbon * charge, carbon * slope),
            |(charge, slope), (family, amount)| {
                let (more, steeper) = family.charge_and_slope(&powers);
                (charge + amount * more, slope + amount * steeper)
            },
        )
    }

    /// Slope of that charge to ionic strength, kg/mol. Near pure water, where it has no bound, it
    /// is that at 1e-8 mol/kg.
    pub(crate) fn charge_per_ionic_strength(
        &self,
        carbon: f64,
        ions: &Composition,
        ph: f64,
    ) -> f64 {
        let powers = powers(ph);
        self.present(ions).fold(
            carbon * self.carbonate.charge_per_ionic_strength(&powers),
            |sum, (family, amount)| sum + amount * family.charge_per_ionic_strength(&powers),
        )
    }

    /// Hydroxide less hydrogen at a pH, eq/kg.
    pub fn of_water(&self, ph: f64) -> f64 {
        let ln_activity = -LN_10 * ph;
        math::exp(self.ln_hydroxide - ln_activity) - math::exp(self.ln_hydrogen + ln_activity)
    }

    /// Slope of [`Self::of_water`] per pH.
    pub(crate) fn of_water_slope(&self, ph: f64) -> f64 {
        let ln_activity = -LN_10 * ph;
        let hydroxide = math::exp(self.ln_hydroxide - ln_activity);
        LN_10 * (hydroxide + math::exp(self.ln_hydrogen + ln_activity))
    }

    fn present(&self, ions: &Composition) -> impl Iterator<Item = (&Family, f64)> {
        self.acids
            .iter()
            .map(|(ion, family)| (family, ions.get(*ion)))
            .filter(|(_, amount)| *amount != 0.0)
    }
}

/// Alkalinity as a burette reads it, eq/kg: acid taken down to the usual end point, pH 4.5
/// (Standard Methods 2320). Weak acids already in the liquor hold part of their protons there, so
/// they lower the reading.
pub fn titrated_alkalinity_eq_per_kg(liquor: &Liquor) -> f64 {
    let acidity = Acidity::of_sample(&liquor.ions, liquor.ionic_strength_mol_per_kg());
    titrated(&acidity, liquor.alkalinity_eq_per_kg, &liquor.ions)
}

/// The same of an alkalinity and a composition at a frozen ionic strength: linear in both.
pub(crate) fn titrated(acidity: &Acidity, alkalinity_eq: f64, ions: &Composition) -> f64 {
    alkalinity_eq - acidity.of_acids(ions, parameters::ALKALINITY_ENDPOINT_PH.value)
}

/// Alkalinity that works against a mash, eq/kg: the acid that liquor takes down to the pH of a
/// mash (5.4) once its carbon dioxide has left.
///
/// A titration goes on to pH 4.5 and counts lactate and citrate as alkalinity. A mash does not: a
/// mole of lactic acid gives it 0.97 mol of protons, whatever liquor it comes with. Liquor that was
/// given no acid has the alkalinity of its titration.
///
/// ```
/// use underlet::aqueous::{alkalinity_against_mash_eq_per_kg, titrated_alkalinity_eq_per_kg};
/// use underlet::liquor::Liquor;
/// use underlet::reagent::Preparation;
///
/// let well = Liquor::builder().calcium_mg_l(128.0).alkalinity_mg_l_caco3(285.0).ph(7.2).build()?;
/// let acid = Preparation::usual("lactic acid").unwrap().dose_per_unit();
/// let treated = well.dosed(&acid, 0.4);
/// let against_mash = alkalinity_against_mash_eq_per_kg(&treated);
/// let titrated = titrated_alkalinity_eq_per_kg(&treated);
/// assert!(against_mash < titrated - 0.0005);
/// # Ok::<(), underlet::error::InputError>(())
/// ```
pub fn alkalinity_against_mash_eq_per_kg(liquor: &Liquor) -> f64 {
    let acidity = Acidity::of_sample(&liquor.ions, liquor.ionic_strength_mol_per_kg());
    against_mash(&acidity, liquor.alkalinity_eq_per_kg, &liquor.ions)
}

/// The same of an alkalinity and a composition at a frozen ionic strength: linear in both.
pub(crate) fn against_mash(acidity: &Acidity, alkalinity_eq: f64, ions: &Composition) -> f64 {
    alkalinity_eq - acidity.of_acids(ions, parameters::SPARGE_ALKALINITY_PH.value)
}
