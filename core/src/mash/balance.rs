//! The proton balance and its root.

use underlet_tables::parameters;

use super::{Malt, least_buffering};
use crate::aqueous::Acidity;
use crate::checker::Checker;
use crate::component::{Component, Composition};
use crate::error::InputError;
use crate::liquor::{Dose, Liquor};
use crate::math::{self, NoRoot};
use crate::quantity;

/// Ends between which a mash pH is looked for.
pub(super) const PH_FLOOR: f64 = 1.0;
pub(super) const PH_CEILING: f64 = 13.0;

/// Malts in liquor.
#[derive(Clone, Copy, Debug)]
pub struct Mash<'a> {
    /// The grist.
    pub grist: &'a [Malt],
    /// Mass of water, kg.
    pub water_kg: f64,
    /// The liquor with all that was added to it and to the tun.
    pub liquor: Liquor,
}

/// Rounds in which a dose's own ionic strength converges.
const ROUNDS: usize = 30;
/// Change by which it has, as a share of the dose.
const CONVERGED: f64 = 1.0e-13;

/// What is taken of a mash beside its malts and its liquor: each has a standard deviation in the
/// table.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Assumptions {
    /// κ: share of the inorganic carbon that is still dissolved.
    pub carbon_share: f64,
    /// φ of calcium: protons that malt phosphate gives up per equivalent.
    pub calcium_protons: f64,
    /// φ of magnesium.
    pub magnesium_protons: f64,
}

impl Default for Assumptions {
    /// The means of the table.
    fn default() -> Assumptions {
        Assumptions {
            carbon_share: parameters::CARBON_SHARE_IN_MASH.value,
            calcium_protons: parameters::CALCIUM_PROTONS_PER_EQUIVALENT.value,
            magnesium_protons: parameters::MAGNESIUM_PROTONS_PER_EQUIVALENT.value,
        }
    }
}

/// The terms of the proton balance at one pH: what the fit needs to write it as a line in the
/// doses.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct BalanceCoefficients {
    /// Charge per mole of inorganic carbon that still holds protons back, `κ (α1 + 2 α2)`.
    pub per_carbon: f64,
    /// Protons per mole of calcium.
    pub per_calcium: f64,
    /// Protons per mole of magnesium.
    pub per_magnesium: f64,
    ph: f64,
}

/// What the proton balance needs of water chemistry at the sample temperature, computed once per
/// ionic strength.
#[derive(Clone, Debug)]
pub struct Chemistry {
    acidity: Acidity,
    assumed: Assumptions,
}

impl Chemistry {
    /// Constants for a liquor of an ionic strength, mol/kg.
    pub fn at(ionic_strength_mol_per_kg: f64) -> Chemistry {
        Chemistry {
            acidity: Acidity::at(
                parameters::SAMPLE_TEMPERATURE.value,
                ionic_strength_mol_per_kg,
            ),
            assumed: Assumptions::default(),
        }
    }

    /// The same constants under other assumptions than the table's means.
    #[must_use]
    pub fn assuming(self, assumed: Assumptions) -> Chemistry {
        Chemistry { assumed, ..self }
    }

    /// What is assumed.
    pub fn assumptions(&self) -> Assumptions {
        self.assumed
    }

    /// Constants that hold for one liquor alone: no weak acids but its own. The same numbers in
    /// less time.
    fn of(liquor: &Liquor, ionic_strength_mol_per_kg: f64) -> Chemistry {
        Chemistry {
            acidity: Acidity::of_sample(&liquor.ions, ionic_strength_mol_per_kg),
            assumed: Assumptions::default(),
        }
    }

    /// Coefficients of the balance at a pH.
    pub fn coefficients(&self, ph: f64) -> BalanceCoefficients {
        BalanceCoefficients {
            per_carbon: self.assumed.carbon_share * self.acidity.per_carbon(ph),
            per_calcium: Component::Calcium.charge() * self.assumed.calcium_protons,
            per_magnesium: Component::Magnesium.charge() * self.assumed.magnesium_protons,
            ph,
        }
    }

    /// Acid that liquor on its own, closed to carbon dioxide, still requires to reach a pH, eq per
    /// kg of water (or per dose). [`Self::free_charge`] is left out.
    pub fn acid_required_by_liquor(&self, part: &Dose, ph: f64) -> f64 {
        part.alkalinity_eq
            - self.charge_per_carbon(ph) * part.carbon_mol
            - self.acidity.of_acids(&part.ions, ph)
    }

    /// Hydroxide less hydrogen at a pH, eq/kg.
    pub fn free_charge(&self, ph: f64) -> f64 {
        self.acidity.of_water(ph)
    }

    /// Charge per mole of inorganic carbon at a pH, were all of it still in solution.
    pub fn charge_per_carbon(&self, ph: f64) -> f64 {
        self.acidity.per_carbon(ph)
    }

    /// Slope of that charge per pH.
    pub fn charge_per_carbon_slope(&self, ph: f64) -> f64 {
        self.acidity.per_carbon_slope(ph)
    }

    /// Charge per mole of a weak acid at a pH: the protons it has given.
    pub fn charge_per_acid(&self, ion: Component, ph: f64) -> f64 {
        self.acidity.per_acid(ion, ph)
    }

    /// What a liquor or a dose contributes to the balance, eq per kg of water (or per dose):
    /// positive where it takes acid, negative where it gives some.
    pub fn acid_required(&self, at: &BalanceCoefficients, part: &Dose) -> f64 {
        part.alkalinity_eq
            - at.per_carbon * part.carbon_mol
            - self.protons_by_hardness(&part.ions)
            - self.acidity.of_acids(&part.ions, at.ph)
    }

    /// Protons that calcium and magnesium set free, eq.
    fn protons_by_hardness(&self, ions: &Composition) -> f64 {
        Component::Calcium.charge() * self.assumed.calcium_protons * ions.get(Component::Calcium)
            + Component::Magnesium.charge()
                * self.assumed.magnesium_protons
                * ions.get(Component::Magnesium)
    }

    /// What liquor contributes at a pH, and the buffering of its carbon and weak acids, eq/kg and
    /// eq/(kg pH).
    pub(super) fn acid_required_and_buffering(&self, liquor: &Liquor, ph: f64) -> (f64, f64) {
        let dissolved = self.assumed.carbon_share * liquor.carbon_mol_per_kg;
        let (charge, slope) = self.acidity.charge_and_slope(dissolved, &liquor.ions, ph);
        let wanted = liquor.alkalinity_eq_per_kg - charge - self.protons_by_hardness(&liquor.ions);
        (wanted, slope)
    }

    /// Change of what liquor contributes at a pH per ionic strength, eq/mol.
    pub(super) fn acid_required_per_ionic_strength(&self, liquor: &Liquor, ph: f64) -> f64 {
        let dissolved = self.assumed.carbon_share * liquor.carbon_mol_per_kg;
        -self
            .acidity
            .charge_per_ionic_strength(dissolved, &liquor.ions, ph)
    }
}

/// Acid that the grist takes to come to a pH, eq.
pub fn grist_acid_eq(grist: &[Malt], ph: f64) -> f64 {
    grist
        .iter()
        .map(|malt| malt.mass_kg * malt.curve.acid_eq_per_kg(ph))
        .sum()
}

/// Buffering of the grist at a pH, eq per pH.
pub fn grist_buffering_eq_per_ph(grist: &[Malt], ph: f64) -> f64 {
    grist
        .iter()
        .map(|malt| malt.mass_kg * malt.curve.buffering_at(ph))
        .sum()
}

/// Acid and buffering of the grist at a pH.
fn grist_balance(grist: &[Malt], ph: f64) -> (f64, f64) {
    grist.iter().fold((0.0, 0.0), |(acid, buffering), malt| {
        let (more, steeper) = malt.curve.acid_and_buffering(ph);
        (
            acid + malt.mass_kg * more,
            buffering + malt.mass_kg * steeper,
        )
    })
}

/// Where the root is looked for first: the pH the grist would have in distilled water, were its
/// curves straight.
fn first_guess(grist: &[Malt]) -> f64 {
    let (mut sum, mut weight) = (0.0, 0.0);
    for malt in grist {
        let buffering = malt.mass_kg * malt.curve.buffering_eq_per_kg_ph;
        sum += buffering * malt.curve.distilled_water_ph;
        weight += buffering;
    }
    if weight > 0.0 {
        sum / weight
    } else {
        PH_CEILING / 2.0
    }
}

impl<'a> Mash<'a> {
    /// Malts in so many kilograms of liquor.
    ///
    /// # Errors
    /// Every problem with a malt (`grist[1].mass`), with the liquor (`liquor.calcium`) or with its
    /// mass (`water_kg`), and a grist that could not set a pH: what passes has a forecast.
    ///
    /// ```
    /// use underlet::liquor::Liquor;
    /// use underlet::mash::{Malt, Mash};
    /// let grist = [Malt::of_class("pale ale malt", 170.0)?, Malt::of_class("Vienna malt", 12.0)?];
    /// let liquor = Liquor::builder().calcium_mg_l(60.0).alkalinity_mg_l_caco3(40.0).build()?;
    /// let mash = Mash::new(&grist, liquor, 520.0)?;
    /// let forecast = mash.forecast();
    /// assert!((5.3..5.8).contains(&forecast.ph));
    /// assert_eq!(Mash::new(&[], liquor, 520.0).unwrap_err().problems[0].path, "grist");
    /// # Ok::<(), underlet::error::InputError>(())
    /// ```
    pub fn new(grist: &'a [Malt], liquor: Liquor, water_kg: f64) -> Result<Mash<'a>, InputError> {
        let mut checker = Checker::new();
        let of = &mut checker;
        of.list("grist", grist, [1, usize::MAX], |of, malt| malt.examine(of));
        if of.problems().is_empty() {
            of.at("grist", least_buffering(grist));
        }
        of.inside("liquor", |of| liquor.examine(of));
        of.quantity("water_kg", water_kg, &quantity::WATER_OF_A_MASH);
        checker.into_value(Some(Mash {
            grist,
            water_kg,
            liquor,
        }))
    }

    /// Chemistry at this liquor's ionic strength.
    pub fn chemistry(&self) -> Chemistry {
        Chemistry::at(self.liquor.ionic_strength_mol_per_kg())
    }

    /// Acid still missing to pull the mash down to a pH, eq. Falls as the pH rises, so it has one
    /// root.
    pub fn proton_deficit_eq(&self, chemistry: &Chemistry, ph: f64) -> f64 {
        self.balance(chemistry, ph).0
    }

    /// Acid per pH around a pH, eq: minus the slope of the balance, exactly.
    pub fn buffering_eq_per_ph(&self, chemistry: &Chemistry, ph: f64) -> f64 {
        self.balance(chemistry, ph).1
    }

    /// Acidulated malt beyond what brings the mash to a pH, kg; `None` for a grist without any.
    pub(crate) fn acidulated_malt_beyond_kg(&self, ph: f64) -> Option<f64> {
        let acidulated = self.grist.iter().filter(|malt| malt.is_acidulated());
        let acidulated: Vec<Malt> = acidulated.cloned().collect();
        let mass_kg: f64 = acidulated.iter().map(|malt| malt.mass_kg).sum();
        let (missing, _) = grist_balance(&acidulated, ph);
        let beyond = mass_kg * self.proton_deficit_eq(&self.chemistry(), ph) / missing;
        (mass_kg > 0.0).then(|| beyond.clamp(0.0, mass_kg))
    }

    /// Acid missing at a pH, and the buffering there.
    fn balance(&self, chemistry: &Chemistry, ph: f64) -> (f64, f64) {
        let (malts, malt_buffering) = grist_balance(self.grist, ph);
        let (wanted, buffering) = chemistry.acid_required_and_buffering(&self.liquor, ph);
        (
            malts + self.water_kg * wanted,
            malt_buffering + self.water_kg * buffering,
        )
    }

    /// pH of a cooled sample.
    pub fn ph(&self) -> f64 {
        let chemistry = Chemistry::of(&self.liquor, self.liquor.ionic_strength_mol_per_kg());
        self.ph_with_acid(&chemistry, 0.0)
    }

    /// pH of a cooled sample with strong acid added, eq; negative takes acid away.
    pub fn ph_with_acid(&self, chemistry: &Chemistry, acid_eq: f64) -> f64 {
        math::falling_root_by_slope(
            |ph| {
                let (missing, buffering) = self.balance(chemistry, ph);
                (missing - acid_eq, -buffering)
            },
            first_guess(self.grist),
            PH_FLOOR,
            PH_CEILING,
        )
        // No mash reads beyond the ends: an end says that as well as any number there.
        .unwrap_or_else(NoRoot::nearer_end)
    }

    /// Acid that the liquor takes at a pH, eq per kg of water: the mash's own residual alkalinity.
    /// Liquor of none leaves the grist at its pH in distilled water. The classical one
    /// ([`Liquor::residual_alkalinity_eq_per_kg`]) counts all alkalinity at every pH, and
    /// calcium and magnesium as in knock-out wort.
    pub fn residual_alkalinity_eq_per_kg(&self, chemistry: &Chemistry, ph: f64) -> f64 {
        chemistry.acid_required_and_buffering(&self.liquor, ph).0
    }

    /// How far the liquor moves the grist from its pH in distilled water, pH.
    pub fn shift_by_liquor(&self) -> f64 {
        let distilled = Mash {
            liquor: Liquor::default(),
            ..*self
        };
        self.ph() - distilled.ph()
    }

    /// The mash with more liquor let in: thinner, and its carbonate, calcium and acids added to
    /// what is there. A step of an infusion mash, or liquor that is underlet.
    #[must_use]
    pub fn with_more_liquor(&self, water_kg: f64, liquor: &Liquor) -> Mash<'a> {
        let parts = [(self.water_kg, &self.liquor), (water_kg, liquor)];
        Mash {
            water_kg: self.water_kg + water_kg,
            liquor: Liquor::blend(&parts).unwrap_or(self.liquor),
            ..*self
        }
    }

    /// Units of a reagent that bring the mash to a pH, given to its liquor: `dose` is what a unit
    /// brings. `None` where it pulls the other way, or where no amount is enough.
    pub fn units_needed(&self, dose: &Dose, ph: f64) -> Option<f64> {
        let mut units = 0.0;
        for _ in 0..ROUNDS {
            let dosed = self.liquor.dosed(dose, units / self.water_kg);
            let chemistry = Chemistry::at(dosed.ionic_strength_mol_per_kg());
            let missing = self.proton_deficit_eq(&chemistry, ph);
            let given = -chemistry.acid_required(&chemistry.coefficients(ph), dose);
            let next = missing / given;
            if !(next.is_finite() && next >= 0.0) {
                return None;
            }
            if (next - units).abs() <= CONVERGED * next {
                return Some(next);
            }
            units = next;
        }
        None
    }
}

/// pH of many mashes, in their order: bit for bit what [`Mash::ph`] gives one by one. Mashes of one
/// liquor that follow each other share its constants.
pub fn ph_of_all<'a>(mashes: impl IntoIterator<Item = Mash<'a>>) -> impl Iterator<Item = f64> {
    let mut last: Option<(Liquor, Chemistry)> = None;
    mashes.into_iter().map(move |mash| {
        let chemistry = match &last {
            Some((liquor, chemistry)) if *liquor == mash.liquor => chemistry,
            _ => {
                let strength = mash.liquor.ionic_strength_mol_per_kg();
                let chemistry = Chemistry::of(&mash.liquor, strength);
                &last.insert((mash.liquor, chemistry)).1
            }
        };
        mash.ph_with_acid(chemistry, 0.0)
    })
}

/// What the same mash reads at another temperature: lower when hot (slope in the table, with its
/// sources).
pub fn ph_at_temperature(ph_of_cooled_sample: f64, temperature_c: f64) -> f64 {
    ph_of_cooled_sample
        - parameters::PH_PER_KELVIN.value * (temperature_c - parameters::SAMPLE_TEMPERATURE.value)
}

/// Standard deviation that the temperature itself adds, pH.
pub fn ph_at_temperature_sd(temperature_c: f64) -> f64 {
    let warmer = temperature_c - parameters::SAMPLE_TEMPERATURE.value;
    parameters::PH_PER_KELVIN.sd * warmer.abs()
}
