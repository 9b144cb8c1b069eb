//! Chlorine and chloramine out of liquor: by sulfite, by ascorbic acid, by active carbon.
//!
//! | reaction | adds to the liquor per mol of Cl2 |
//! |---|---|
//! | HOCl + HSO3- = SO4-2 + Cl- + 2 H+ | 1 sulfate, 1 chloride |
//! | NH2Cl + HSO3- + H2O = SO4-2 + Cl- + NH4+ + H+ | 1 sulfate, 1 chloride, 1 ammonium |
//! | HOCl + ascorbic acid = dehydroascorbic acid + Cl- + H+ + H2O | 1 chloride |
//! | HOCl + C = C(O) + Cl- + H+ (carbon filter) | 1 chloride |
//! | NH2Cl + H2O + C = C(O) + NH4+ + Cl- (carbon filter) | 1 chloride, 1 ammonium |
//!
//! Chlorine is counted as mol of Cl2 that reacts alike, which is how a test reads it. Chlorine
//! itself is in no liquor's account (a milligram or two per litre): free chlorine is taken as HOCl,
//! combined as NH2Cl, both without charge. Dehydroascorbic acid is neutral and is not counted.
//! Dissolved oxygen eats reagent too, which is what the excess is for.
//!
//! Never mix a concentrated chlorine product with acid or sulfite; sulfite can set off asthma.

use underlet_tables::{ReagentKind, parameters};

use crate::checker::Checker;
use crate::component::{Component, Composition};
use crate::error::{ErrorCode, Problem};
use crate::liquor::{Dose, Liquor};
use crate::math;
use crate::quantity::{self, Substance};
use crate::reagent::Preparation;

/// Chlorine as a test reads it, mol of Cl2 per kg of water.
#[derive(Clone, Copy, Debug, PartialEq, Default)]
pub struct Chlorine {
    /// Free: hypochlorous acid and hypochlorite.
    pub free_mol_per_kg: f64,
    /// Combined: chloramine.
    pub combined_mol_per_kg: f64,
}

impl Chlorine {
    /// From mg/L as Cl2 at 20 °C.
    pub fn from_mg_per_l(free: f64, combined: f64) -> Chlorine {
        // A molecule of Cl2 weighs twice the ion.
        let mol = |mg_per_l: f64| Component::Chloride.mol_per_kg(mg_per_l) / 2.0;
        Chlorine {
            free_mol_per_kg: mol(free),
            combined_mol_per_kg: mol(combined),
        }
    }

    /// Both together, mol of Cl2 per kg of water.
    pub fn total_mol_per_kg(&self) -> f64 {
        self.free_mol_per_kg + self.combined_mol_per_kg
    }

    /// So many times as much.
    #[must_use]
    pub fn times(&self, factor: f64) -> Chlorine {
        Chlorine {
            free_mol_per_kg: factor * self.free_mol_per_kg,
            combined_mol_per_kg: factor * self.combined_mol_per_kg,
        }
    }

    /// Both together.
    #[must_use]
    pub fn plus(&self, other: &Chlorine) -> Chlorine {
        Chlorine {
            free_mol_per_kg: self.free_mol_per_kg + other.free_mol_per_kg,
            combined_mol_per_kg: self.combined_mol_per_kg + other.combined_mol_per_kg,
        }
    }

    /// The free and the total as a test reads them, mg/L as Cl2.
    pub fn free_and_total_mg_per_l(&self) -> [f64; 2] {
        // A molecule of Cl2 weighs twice the ion.
        [self.free_mol_per_kg, self.total_mol_per_kg()]
            .map(|mol| 2.0 * Component::Chloride.mg_per_l(mol))
    }

    pub(crate) fn is_an_amount(&self) -> bool {
        [self.free_mol_per_kg, self.combined_mol_per_kg]
            .iter()
            .all(|amount| amount.is_finite() && *amount >= 0.0)
    }

    /// From a test's readings, mol of Cl2 per kg of water: what a total holds beyond the free is
    /// combined, and none is there of what was not read.
    ///
    /// # Errors
    /// A [`Problem`] at `total_chlorine` where the total is less than the free.
    pub(crate) fn of_readings(free: Option<f64>, total: Option<f64>) -> Result<Chlorine, Problem> {
        let free_mol_per_kg = free.unwrap_or(0.0);
        if total.is_some_and(|total| free_mol_per_kg > total) {
            return Err(Problem {
                code: ErrorCode::Contradiction,
                path: "total_chlorine".to_owned(),
                found: "less than the free chlorine".to_owned(),
                expected: "free and combined chlorine together".to_owned(),
                hint: "Check both values; the total is never less than the free.".to_owned(),
            });
        }
        Ok(Chlorine {
            free_mol_per_kg,
            combined_mol_per_kg: total.map_or(0.0, |total| total - free_mol_per_kg),
        })
    }

    /// Checks both, as readings of free and total chlorine.
    pub(crate) fn examine(&self, of: &mut Checker) {
        let [free, total] = [self.free_mol_per_kg, self.total_mol_per_kg()];
        let read_as = &Substance::CHLORINE;
        of.concentration("free_chlorine", free, &quantity::CHLORINE, read_as);
        let read = Chlorine::of_readings(Some(free), Some(total));
        if read.is_ok() {
            of.concentration("total_chlorine", total, &quantity::CHLORINE, read_as);
        }
        of.at("", read);
    }

    /// Chloride, and ammonium out of chloramine, that are left when this much has reacted.
    fn left_behind(&self) -> Composition {
        Composition::ZERO
            .with(Component::Chloride, self.total_mol_per_kg())
            .with(Component::Ammonium, self.combined_mol_per_kg)
    }
}

/// What takes the chlorine.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
#[non_exhaustive]
pub enum Dechlorinator {
    /// Sodium or potassium metabisulfite.
    Sulfite,
    /// Ascorbic acid.
    Ascorbate,
}

impl Dechlorinator {
    /// Of a reagent on the shelf; `None` for one that is no dechlorinator.
    pub fn of(preparation: &Preparation) -> Option<Dechlorinator> {
        let brought = preparation.dose_per_unit().ions;
        if preparation.reagent.kind != ReagentKind::Dechlorinator {
            None
        } else if brought.get(Component::Sulfite) > 0.0 {
            Some(Dechlorinator::Sulfite)
        } else {
            (brought.get(Component::Ascorbate) > 0.0).then_some(Dechlorinator::Ascorbate)
        }
    }

    fn component(self) -> Component {
        match self {
            Dechlorinator::Sulfite => Component::Sulfite,
            Dechlorinator::Ascorbate => Component::Ascorbate,
        }
    }
}

/// Liquor without its chlorine.
#[derive(Clone, Copy, Debug, PartialEq)]
#[non_exhaustive]
pub struct Dechlorination {
    /// The liquor, with what the reaction and the excess added.
    pub liquor: Liquor,
    /// Reagent that just suffices, g per kg of water.
    pub least_g_per_kg: f64,
    /// Reagent with the excess, g per kg of water.
    pub dose_g_per_kg: f64,
    /// True for ascorbic acid on chloramine: the sum is right, but it was found too slow to rely
    /// on (J. Water Supply AQUA 2011, abstract read).
    pub doubtful: bool,
}

/// Takes chlorine out of liquor by a reagent, with the table's excess over what just suffices.
/// `None` where the reagent is no dechlorinator or an amount is not one.
///
/// ```
/// use underlet::liquor::Liquor;
/// use underlet::reagent::Preparation;
/// use underlet::treatment::{Chlorine, dechlorinated};
///
/// let reagent = Preparation::usual("sodium metabisulfite").unwrap();
/// let chlorine = Chlorine::from_mg_per_l(0.5, 0.0);
/// let done = dechlorinated(&Liquor::default(), &chlorine, &reagent).unwrap();
/// assert!((done.least_g_per_kg * 1000.0 - 0.70).abs() < 0.01); // mg, of a 96 % powder
/// ```
pub fn dechlorinated(
    liquor: &Liquor,
    chlorine: &Chlorine,
    reagent: &Preparation,
) -> Option<Dechlorination> {
    dechlorinated_by(1.0, liquor, chlorine, reagent)
}

/// The same with `times` the usual dose: a scale rounds.
pub(crate) fn dechlorinated_by(
    times: f64,
    liquor: &Liquor,
    chlorine: &Chlorine,
    reagent: &Preparation,
) -> Option<Dechlorination> {
    let kind = Dechlorinator::of(reagent)?;
    if !chlorine.is_an_amount() {
        return None;
    }
    let unit = reagent.dose_per_unit();
    let least = chlorine.total_mol_per_kg() / unit.ions.get(kind.component());
    let dose = least * parameters::DECHLORINATION_EXCESS.value * times;
    Some(Dechlorination {
        liquor: liquor
            .dosed(&unit, dose)
            .dosed(&reaction(kind, chlorine), 1.0),
        least_g_per_kg: least,
        dose_g_per_kg: dose,
        doubtful: kind == Dechlorinator::Ascorbate && chlorine.combined_mol_per_kg > 0.0,
    })
}

/// Liquor in which reagent and chlorine have met, and the chlorine that is left: of each as much
/// goes as there is of the other. Sulfite takes free and combined chlorine alike; ascorbic acid
/// takes the free alone, for with chloramine it is too slow to rely on. Both amounts are those of
/// the same water, however much of it there is.
pub fn met(dissolved: &Dose, chlorine: &Chlorine) -> (Dose, Chlorine) {
    let (mut dissolved, mut left) = (*dissolved, *chlorine);
    for kind in [Dechlorinator::Sulfite, Dechlorinator::Ascorbate] {
        let within_reach = match kind {
            Dechlorinator::Sulfite => left,
            Dechlorinator::Ascorbate => Chlorine {
                combined_mol_per_kg: 0.0,
                ..left
            },
        };
        let total = within_reach.total_mol_per_kg();
        let spent = math::at_least(dissolved.ions.get(kind.component()), 0.0).min(total);
        if spent > 0.0 {
            let taken = within_reach.times(spent / total);
            dissolved = dissolved.plus(&reaction(kind, &taken));
            left = left.plus(&taken.times(-1.0));
            // What is used up to rounding is used up.
            let rest = math::at_least(dissolved.ions.get(kind.component()), 0.0);
            dissolved.ions.set(kind.component(), rest);
            left = Chlorine {
                free_mol_per_kg: math::at_least(left.free_mol_per_kg, 0.0),
                combined_mol_per_kg: math::at_least(left.combined_mol_per_kg, 0.0),
            };
        }
    }
    (dissolved, left)
}

/// What the reaction itself moves: reagent spent, ions made.
fn reaction(kind: Dechlorinator, chlorine: &Chlorine) -> Dose {
    let spent = chlorine.total_mol_per_kg();
    let mut ions = chlorine.left_behind().with(kind.component(), -spent);
    if kind == Dechlorinator::Sulfite {
        ions.set(Component::Sulfate, spent);
    }
    Dose {
        ions,
        alkalinity_eq: ions.strong_charge(),
        carbon_mol: 0.0,
    }
}

/// Liquor from an active carbon filter and the chlorine that is left in it, by the table's shares
/// (wide: a filter depends on its flow). `None` where an amount is not one.
pub fn carbon_filtered(liquor: &Liquor, chlorine: &Chlorine) -> Option<(Liquor, Chlorine)> {
    if !chlorine.is_an_amount() {
        return None;
    }
    let left = Chlorine {
        free_mol_per_kg: chlorine.free_mol_per_kg * parameters::CARBON_KEEPS_CHLORINE.value,
        combined_mol_per_kg: chlorine.combined_mol_per_kg
            * parameters::CARBON_KEEPS_CHLORAMINE.value,
    };
    let taken = Chlorine {
        free_mol_per_kg: chlorine.free_mol_per_kg - left.free_mol_per_kg,
        combined_mol_per_kg: chlorine.combined_mol_per_kg - left.combined_mol_per_kg,
    };
    let ions = taken.left_behind();
    let made = Dose {
        ions,
        alkalinity_eq: ions.strong_charge(),
        carbon_mol: 0.0,
    };
    Some((liquor.dosed(&made, 1.0), left))
}
