//! Softening by slaked lime: of all the liquor, or of a part that is blended back.
//!
//! Lime turns bicarbonate and free carbon dioxide into carbonate, which falls out with the calcium;
//! beyond pH 10.5 magnesium falls out as well. The liquor is taken as closed while it is stirred
//! and clears, and calcite and brucite as fully precipitated: a day's rest comes near that, an
//! hour's does not. Lime burns eyes and skin. How much lime a meter asks for while it is stirred
//! in, before anything falls out, is [`Liquor::dose_to_ph`].

use underlet_tables::parameters;

use super::hold::calcite_removed;
use crate::aqueous::{Aqueous, EquilibriumError, Mineral};
use crate::component::Component;
use crate::liquor::Liquor;
use crate::math;
use crate::reagent::Preparation;

/// Limed liquor once it is clear.
#[derive(Clone, Copy, Debug, PartialEq)]
#[non_exhaustive]
pub struct Limed {
    /// The clear liquor.
    pub liquor: Liquor,
    /// Its pH.
    pub ph: f64,
    /// Lime given, g per kg of water.
    pub lime_g_per_kg: f64,
    /// Calcite in the sludge, mol per kg of water.
    pub calcite_mol_per_kg: f64,
    /// Brucite in the sludge, mol per kg of water.
    pub brucite_mol_per_kg: f64,
}

impl Limed {
    /// The clear liquor as practice finds it: with as much calcite still dissolved as keeps the
    /// alkalinity at the least that cold lime reaches, if so much came down.
    pub fn in_practice(&self) -> Liquor {
        let least = parameters::LIMED_ALKALINITY_FLOOR.value / 1000.0;
        let stays = (least - self.liquor.alkalinity_eq_per_kg) / 2.0;
        let stays = math::at_least(stays, 0.0).min(self.calcite_mol_per_kg);
        self.liquor.dosed(&calcite_removed(), -stays)
    }
}

/// Liquor limed with so many grams of a lime per kg of water, stirred and left to clear, closed.
///
/// # Errors
/// [`EquilibriumError`] where there is no such liquor.
pub fn limed(
    liquor: &Liquor,
    lime: &Preparation,
    lime_g_per_kg: f64,
) -> Result<Limed, EquilibriumError> {
    if !(lime_g_per_kg.is_finite() && lime_g_per_kg >= 0.0) {
        return Err(EquilibriumError::NotAnAmount);
    }
    let dosed = liquor.dosed(&lime.dose_per_unit(), lime_g_per_kg);
    let minerals = [(Mineral::Calcite, 0.0), (Mineral::Brucite, 0.0)];
    let (state, down) = Aqueous::at(liquor.temperature_c).precipitated(&dosed, &minerals, None)?;
    let amount = |place: usize| down.get(place).copied().unwrap_or(0.0);
    Ok(Limed {
        liquor: state.liquor,
        ph: state.ph,
        lime_g_per_kg,
        calcite_mol_per_kg: amount(0),
        brucite_mol_per_kg: amount(1),
    })
}

/// Lime that takes all carbonate hardness: free carbon dioxide and half the bicarbonate, mol for
/// mol. Near the least calcium that lime can reach.
///
/// # Errors
/// [`EquilibriumError`] where the liquor has no equilibrium.
pub fn lime_for_least_calcium(
    liquor: &Liquor,
    lime: &Preparation,
) -> Result<Limed, EquilibriumError> {
    let state = Aqueous::at(liquor.temperature_c).closed(liquor)?;
    let bicarbonate =
        state.molality("HCO3-") + state.molality("CaHCO3+") + state.molality("MgHCO3+");
    let mol = state.molality("CO2") + bicarbonate / 2.0;
    let per_gram = lime.dose_per_unit().ions.get(Component::Calcium);
    limed(liquor, lime, mol / per_gram)
}

/// A part of the liquor limed, the rest left as it is.
#[derive(Clone, Copy, Debug, PartialEq)]
#[non_exhaustive]
pub struct Split {
    /// Share of the liquor that is limed, by mass of water, 0 to 1.
    pub share: f64,
    /// The limed part.
    pub limed: Limed,
    /// Both parts blended.
    pub liquor: Liquor,
    /// Calcite that the blend, having taken up the rest's carbon dioxide, could still drop,
    /// mol/kg.
    pub surplus_calcite_mol_per_kg: f64,
}

/// Splits liquor so that the blend has a given alkalinity, the limed part being limed for the least
/// calcium. `None` where no share does: the alkalinity lies outside of what the two parts span.
///
/// # Errors
/// [`EquilibriumError`] where a liquor has no equilibrium.
pub fn split_for_alkalinity(
    liquor: &Liquor,
    lime: &Preparation,
    alkalinity_eq_per_kg: f64,
) -> Result<Option<Split>, EquilibriumError> {
    let limed = lime_for_least_calcium(liquor, lime)?;
    let span = liquor.alkalinity_eq_per_kg - limed.liquor.alkalinity_eq_per_kg;
    let share = (liquor.alkalinity_eq_per_kg - alkalinity_eq_per_kg) / span;
    if !(0.0..=1.0).contains(&share) {
        return Ok(None);
    }
    let Some(blend) = Liquor::blend(&[(share, &limed.liquor), (1.0 - share, liquor)]) else {
        return Ok(None);
    };
    let (_, down) =
        Aqueous::at(blend.temperature_c).precipitated(&blend, &[(Mineral::Calcite, 0.0)], None)?;
    Ok(Some(Split {
        share,
        limed,
        liquor: blend,
        surplus_calcite_mol_per_kg: math::at_least(down.iter().sum(), 0.0),
    }))
}
