//! Liquor: brewing water with its ions, alkalinity, inorganic carbon and temperature.
//!
//! | textbook | here | unit |
//! |---|---|---|
//! | alkalinity, relative to strong ions | [`Liquor::alkalinity_eq_per_kg`] | eq per kg of water |
//! | total inorganic carbon, C_T | [`Liquor::carbon_mol_per_kg`] | mol per kg of water |
//! | residual alkalinity (Kolbach 1953) | [`Liquor::residual_alkalinity_eq_per_kg`] | eq per kg of water |
//! | total hardness | [`Liquor::hardness_mol_per_kg`] | mol per kg of water |
//!
//! All three of ions, alkalinity and carbon are conserved: they mix and dilute linearly, pH does
//! not. That is why a liquor carries them and never a pH.
//!
//! *Alkalinity* here counts what strong ions leave room for (cations minus anions). A mineral acid
//! lowers it by its equivalents; a weak acid (lactic, phosphoric, …) leaves it as it is and appears
//! among the ions instead, because how many protons it gives depends on the pH.
//! [`crate::aqueous::titrated_alkalinity_eq_per_kg`] gives what a burette would read.

use underlet_tables::parameters;

use crate::checker::Checker;
use crate::component::{Component, Composition};
use crate::error::InputError;
use crate::math;
use crate::quantity::{self, CACO3_G_PER_EQ, WATER_KG_PER_L_20C};

/// Brewing water. Amounts are per kg of water.
#[derive(Clone, Copy, Debug, PartialEq, Default)]
pub struct Liquor {
    /// Ions and weak acids, mol/kg.
    pub ions: Composition,
    /// Charge that strong ions leave to carbonate and weak acids, eq/kg. Negative where mineral
    /// acid is in excess.
    pub alkalinity_eq_per_kg: f64,
    /// Inorganic carbon, mol/kg.
    pub carbon_mol_per_kg: f64,
    /// Temperature, °C.
    pub temperature_c: f64,
}

/// Part of a sum that rounding may leave of a mass which should be zero.
const MASS_ROUNDING: f64 = 1e-9;

/// The pH that is assumed of a report without one: carbon is then a few per cent more than the
/// alkalinity.
pub fn assumed_ph() -> f64 {
    parameters::REPORT_PH_ASSUMED.value
}

impl Liquor {
    /// Whether this can be a liquor at all: no amount is negative, each is a finite number.
    ///
    /// # Errors
    /// Every problem, its path the key of the amount, such as `calcium` or `inorganic_carbon`.
    ///
    /// ```
    /// use underlet::liquor::Liquor;
    /// let empty = Liquor { carbon_mol_per_kg: -0.001, ..Liquor::default() };
    /// assert_eq!(empty.check().unwrap_err().problems[0].path, "inorganic_carbon");
    /// ```
    pub fn check(&self) -> Result<(), InputError> {
        let mut checker = Checker::new();
        self.examine(&mut checker);
        checker.into_result()
    }

    pub(crate) fn examine(&self, of: &mut Checker) {
        for (component, mol_per_kg) in self.ions.iter() {
            of.quantity(
                component.key(),
                mol_per_kg * 1e3,
                &quantity::DISSOLVED_AMOUNT,
            );
        }
        let alkalinity = self.alkalinity_eq_per_kg * 1e3;
        of.quantity("alkalinity", alkalinity, &quantity::ALKALINITY_LEFT);
        let carbon = self.carbon_mol_per_kg * 1e3;
        of.quantity("inorganic_carbon", carbon, &quantity::DISSOLVED_AMOUNT);
        of.quantity("temperature", self.temperature_c, &quantity::TEMPERATURE);
    }

    /// Blends parts, each a mass of water in kg with its liquor. `None` where the masses do not sum
    /// to something, or one of them is no mass: NaN, an infinity, or negative by more than a sum
    /// rounds.
    ///
    /// ```
    /// use underlet::liquor::Liquor;
    /// let hard = Liquor { alkalinity_eq_per_kg: 0.005, ..Liquor::default() };
    /// let half = Liquor::blend(&[(1.0, &hard), (1.0, &Liquor::default())]).unwrap();
    /// assert_eq!(half.alkalinity_eq_per_kg, 0.0025);
    /// assert_eq!(Liquor::blend(&[(2.0, &hard), (-1.0, &Liquor::default())]), None);
    /// ```
    pub fn blend(parts: &[(f64, &Liquor)]) -> Option<Liquor> {
        let total: f64 = parts.iter().map(|(mass, _)| mass).sum();
        let is_mass = |(mass, _): &(f64, &Liquor)| *mass >= -MASS_ROUNDING * total;
        if !(total.is_finite() && total > 0.0 && parts.iter().all(is_mass)) {
            return None;
        }
        let mut mixed = Liquor::default();
        for (mass, liquor) in parts {
            let share = mass / total;
            mixed.ions = mixed.ions + liquor.ions * share;
            mixed.alkalinity_eq_per_kg += liquor.alkalinity_eq_per_kg * share;
            mixed.carbon_mol_per_kg += liquor.carbon_mol_per_kg * share;
            mixed.temperature_c += liquor.temperature_c * share;
        }
        Some(mixed)
    }

    /// The liquor with another as a share of the mixture, 0 to 1 by mass of water.
    ///
    /// # Errors
    /// A share that is none.
    ///
    /// ```
    /// use underlet::liquor::Liquor;
    /// let well = Liquor::builder().calcium_mg_l(112.0).alkalinity_mg_l_caco3(252.0).build()?;
    /// let rain = Liquor::builder().alkalinity_mg_l_caco3(0.0).ph(5.6).build()?;
    /// let mixed = well.mix(&rain, 0.25)?;
    /// assert!((mixed.alkalinity_mg_l_caco3() - 189.0).abs() < 1e-9);
    /// assert_eq!(well.mix(&rain, 25.0).unwrap_err().problems[0].path, "share");
    /// # Ok::<(), underlet::error::InputError>(())
    /// ```
    pub fn mix(&self, other: &Liquor, share: f64) -> Result<Liquor, InputError> {
        let mut checker = Checker::new();
        checker.quantity("share", share, &quantity::SHARE);
        checker.into_value(Liquor::blend(&[(1.0 - share, self), (share, other)]))
    }

    /// The liquor with a dose dissolved in each kg of its water.
    #[must_use]
    pub fn dosed(&self, dose: &Dose, times: f64) -> Liquor {
        Liquor {
            ions: self.ions + dose.ions * times,
            alkalinity_eq_per_kg: self.alkalinity_eq_per_kg + dose.alkalinity_eq * times,
            carbon_mol_per_kg: self.carbon_mol_per_kg + dose.carbon_mol * times,
            temperature_c: self.temperature_c,
        }
    }

    /// All that a kg of its water holds, as if it had been dosed into pure water.
    pub fn as_dose(&self) -> Dose {
        Dose {
            ions: self.ions,
            alkalinity_eq: self.alkalinity_eq_per_kg,
            carbon_mol: self.carbon_mol_per_kg,
        }
    }

    /// A component, mg/L at 20 °C as a report states it.
    pub fn component_mg_l(&self, component: Component) -> f64 {
        component.mg_per_l(self.ions.get(component))
    }

    /// Alkalinity relative to strong ions, mg/L as CaCO3 at 20 °C.
    pub fn alkalinity_mg_l_caco3(&self) -> f64 {
        mg_per_l_caco3(self.alkalinity_eq_per_kg)
    }

    /// Total hardness, mg/L as CaCO3 at 20 °C: 2.497 Ca + 4.118 Mg, all in mg/L (Standard Methods
    /// 2340 B).
    pub fn hardness_mg_l_caco3(&self) -> f64 {
        mg_per_l_caco3(2.0 * self.hardness_mol_per_kg())
    }

    /// [`Self::residual_alkalinity_eq_per_kg`] in mg/L as CaCO3 at 20 °C.
    pub fn residual_alkalinity_mg_l_caco3(&self) -> f64 {
        mg_per_l_caco3(self.residual_alkalinity_eq_per_kg())
    }

    /// Total hardness: calcium and magnesium, mol/kg.
    pub fn hardness_mol_per_kg(&self) -> f64 {
        self.ions.get(Component::Calcium) + self.ions.get(Component::Magnesium)
    }

    /// Residual alkalinity in the classical form, alkalinity less calcium/3.5 and magnesium/7, all
    /// in equivalents (Kolbach 1953, Monatsschrift für Brauerei; the divisors were set for wort
    /// knocked out of the kettle, not for a mash).
    pub fn residual_alkalinity_eq_per_kg(&self) -> f64 {
        let (calcium, magnesium) = (Component::Calcium, Component::Magnesium);
        self.alkalinity_eq_per_kg
            - calcium.charge() * self.ions.get(calcium)
                / parameters::RESIDUAL_ALKALINITY_CALCIUM_DIVISOR.value
            - magnesium.charge() * self.ions.get(magnesium)
                / parameters::RESIDUAL_ALKALINITY_MAGNESIUM_DIVISOR.value
    }

    /// Cations against anions.
    pub fn charge_balance(&self) -> IonBalance {
        let mut balance = IonBalance {
            cations_eq_per_kg: 0.0,
            anions_eq_per_kg: self.alkalinity_eq_per_kg,
        };
        for (ion, amount) in self.ions.iter() {
            let charge = ion.charge() * amount;
            if charge > 0.0 {
                balance.cations_eq_per_kg += charge;
            } else {
                balance.anions_eq_per_kg -= charge;
            }
        }
        balance
    }

    /// Ionic strength with every ion free and the alkalinity as bicarbonate, mol/kg. Coarse: ion
    /// pairs would lower it.
    pub fn ionic_strength_mol_per_kg(&self) -> f64 {
        (self.ions.charge_squared() + math::at_least(self.alkalinity_eq_per_kg, 0.0)) / 2.0
    }
}

/// What is dissolved at once: amounts in mol and eq.
#[derive(Clone, Copy, Debug, PartialEq, Default)]
pub struct Dose {
    /// Ions and weak acids, mol.
    pub ions: Composition,
    /// Alkalinity, eq.
    pub alkalinity_eq: f64,
    /// Inorganic carbon, mol.
    pub carbon_mol: f64,
}

impl Dose {
    /// The dose a number of times over.
    #[must_use]
    pub fn times(&self, factor: f64) -> Dose {
        Dose {
            ions: self.ions * factor,
            alkalinity_eq: self.alkalinity_eq * factor,
            carbon_mol: self.carbon_mol * factor,
        }
    }

    /// Both doses together.
    #[must_use]
    pub fn plus(&self, other: &Dose) -> Dose {
        Dose {
            ions: self.ions + other.ions,
            alkalinity_eq: self.alkalinity_eq + other.alkalinity_eq,
            carbon_mol: self.carbon_mol + other.carbon_mol,
        }
    }
}

/// Cations and anions of a liquor, alkalinity counted as an anion.
#[derive(Clone, Copy, Debug, PartialEq)]
#[non_exhaustive]
pub struct IonBalance {
    /// Cations, eq/kg.
    pub cations_eq_per_kg: f64,
    /// Anions with alkalinity, eq/kg.
    pub anions_eq_per_kg: f64,
}

impl IonBalance {
    /// `100 (cations - anions) / (cations + anions)`, per cent (Standard Methods 1030 E). Zero for
    /// pure water.
    pub fn error_percent(&self) -> f64 {
        let sum = self.cations_eq_per_kg + self.anions_eq_per_kg;
        if sum > 0.0 {
            100.0 * (self.cations_eq_per_kg - self.anions_eq_per_kg) / sum
        } else {
            0.0
        }
    }

    /// What Standard Methods 1030 E accepts as a difference of cations and anions, eq/kg: 0.2 meq/L
    /// up to an anion sum of 3 meq/L, 2 % of both sums together up to 10 meq/L, 5 % above.
    pub fn accepted_eq_per_kg(&self) -> f64 {
        let anions = self.anions_eq_per_kg * 1000.0;
        if anions <= parameters::ION_BALANCE_LOW_END.value {
            return parameters::ION_BALANCE_LOW_BAND.value / 1000.0;
        }
        let share = if anions <= parameters::ION_BALANCE_MIDDLE_END.value {
            parameters::ION_BALANCE_MIDDLE_SHARE
        } else {
            parameters::ION_BALANCE_HIGH_SHARE
        };
        share.value * (self.cations_eq_per_kg + self.anions_eq_per_kg)
    }

    /// Whether the difference lies within what Standard Methods 1030 E accepts.
    pub fn is_acceptable(&self) -> bool {
        (self.cations_eq_per_kg - self.anions_eq_per_kg).abs() <= self.accepted_eq_per_kg()
    }
}

/// An alkalinity in mg/L as CaCO3, as a report states it at 20 °C, in eq per kg of water.
pub fn alkalinity_eq_per_kg(mg_per_l_caco3: f64) -> f64 {
    mg_per_l_caco3 / (1000.0 * CACO3_G_PER_EQ * WATER_KG_PER_L_20C)
}

/// eq per kg of water in mg/L as CaCO3 at 20 °C.
pub fn mg_per_l_caco3(eq_per_kg: f64) -> f64 {
    eq_per_kg * 1000.0 * CACO3_G_PER_EQ * WATER_KG_PER_L_20C
}

/// Density of water at its saturation pressure, kg/L, from 0 to 100 °C (Wagner & Pruss 2002, J.
/// Phys. Chem. Ref. Data 31, 387, eq. 2.6). Temperatures outside are taken as the nearer end.
pub fn water_density_kg_per_l(temperature_c: f64) -> f64 {
    let (powers, factors) = (wagner_pruss(temperature_c).1, WAGNER_PRUSS);
    let mut series = 1.0;
    for ((factor, _), power) in factors.iter().zip(powers) {
        series += factor * power;
    }
    parameters::WATER_CRITICAL_DENSITY.value * series / 1000.0
}

/// Slope of [`water_density_kg_per_l`], kg/L per K.
pub(crate) fn water_density_per_kelvin(temperature_c: f64) -> f64 {
    let (theta, powers) = wagner_pruss(temperature_c);
    let mut slope = 0.0;
    for ((factor, thirds), power) in WAGNER_PRUSS.iter().zip(powers) {
        slope += factor * thirds / 3.0 * power / theta;
    }
    let theta_per_kelvin = -1.0 / parameters::WATER_CRITICAL_TEMPERATURE.value;
    parameters::WATER_CRITICAL_DENSITY.value * slope * theta_per_kelvin / 1000.0
}

/// Factors of the series for density, and the thirds of theta's power that each goes with.
const WAGNER_PRUSS: [(f64, f64); 6] = [
    (parameters::WAGNER_PRUSS_B1.value, 1.0),
    (parameters::WAGNER_PRUSS_B2.value, 2.0),
    (parameters::WAGNER_PRUSS_B3.value, 5.0),
    (parameters::WAGNER_PRUSS_B4.value, 16.0),
    (parameters::WAGNER_PRUSS_B5.value, 43.0),
    (parameters::WAGNER_PRUSS_B6.value, 110.0),
];

/// How far below the critical point, as theta and as its powers in the series.
fn wagner_pruss(temperature_c: f64) -> (f64, [f64; 6]) {
    let kelvin = temperature_c.clamp(0.0, 100.0) + parameters::ICE_POINT.value;
    let theta = 1.0 - kelvin / parameters::WATER_CRITICAL_TEMPERATURE.value;
    // theta^(n/3), built from the cube root so that one transcendental call serves all terms.
    let third = math::cbrt(theta);
    let two = third * third;
    let five = two * two * third;
    let sixteen = five * five * five * third;
    let forty_three = sixteen * sixteen * five * five * third;
    let one_ten = forty_three * forty_three * sixteen * five * two * third;
    (theta, [third, two, five, sixteen, forty_three, one_ten])
}

/// Mass of water in a volume read at its temperature, kg. Dissolved solids are left out: below 0.1
/// % in any liquor.
pub fn water_kg(volume_l: f64, temperature_c: f64) -> f64 {
    volume_l * water_density_kg_per_l(temperature_c)
}
