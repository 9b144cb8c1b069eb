//! Liquor that is heated, cooled or held: scale forms, carbon dioxide leaves, steam goes off.
//!
//! Published rate laws, at the temperature and composition of each moment:
//!
//! * *Calcite* (Plummer, Wigley & Parkhurst 1978): on each cm² of scale
//!   (k₁·a(H⁺) + k₂·a(CO₂) + k₃·a(H₂O))·(Ω^(2/3) − 1) comes down in a second, where Ω is the
//!   saturation ratio.
//! * *Carbon dioxide* (two-film law): through each m² of surface D/z·(c − c in balance with air)
//!   leaves in a second, where D is its diffusion coefficient and z the thickness of the film of
//!   water that does not move.
//! * *Steam* follows the vapour pressure of water.
//!
//! On a ramp the temperature goes straight from start to end. Nothing but the state of the liquor
//! counts: hours or a ramp cut in two are the same.
//!
//! Scale never dissolves again: liquor below saturation leaves it as it is. By the same law acid
//! liquor would dissolve old scale within hours, but only the brewer knows whether that scale is
//! calcite or a mixture that acid does not reach.
//!
//! Coarse: only calcite precipitates (gypsum and brushite are watched, not dropped); the law of
//! calcite was measured from 5 to 60 °C; a litre is taken as a kilogram of water, and the surface
//! as that of a tank 0.8 m deep, since both weigh little beside the error bars of area and film;
//! scale that forms does not add to the area; draughts are ignored.

use crate::aqueous::EquilibriumError;
use crate::liquor::Liquor;
use course::Course;

mod course;
mod extrapolation;
mod holding;
mod laws;
mod rates;

pub use holding::{AfterHold, Holding};
pub(super) use holding::{calcite_removed, of_water};
pub use rates::{Rates, ScaleCover, Surface};

/// Liquor after holding.
///
/// # Errors
/// [`EquilibriumError`] where the liquor has no equilibrium, or an hour or a temperature is no
/// number.
///
/// ```
/// use underlet::aqueous::Aqueous;
/// use underlet::component::{Component, Composition};
/// use underlet::liquor::Liquor;
/// use underlet::treatment::{Holding, Rates, ScaleCover, Surface, hold};
///
/// let ions = Composition::ZERO.with(Component::Calcium, 0.003);
/// let well = Liquor { ions, alkalinity_eq_per_kg: 0.006, ..Liquor::default() };
/// let well = Aqueous::at(11.0).with_ph(&well, 7.2)?.liquor;
/// let night = Holding { from_c: 78.0, to_c: 78.0, hours: 8.0 };
/// let lost = |scale| {
///     let rates = Rates::usual(scale, Surface::Covered);
///     hold(&well, &night, &rates).map(|after| after.calcite_mol)
/// };
/// assert!(lost(ScaleCover::Coated)? > lost(ScaleCover::Clean)?);
/// # Ok::<(), underlet::aqueous::EquilibriumError>(())
/// ```
pub fn hold(
    liquor: &Liquor,
    holding: &Holding,
    rates: &Rates,
) -> Result<AfterHold, EquilibriumError> {
    let numbers = [holding.from_c, holding.to_c, holding.hours];
    let possible = numbers.iter().all(|number| number.is_finite()) && holding.hours >= 0.0;
    if !(possible && rates.are_possible()) {
        return Err(EquilibriumError::NotAnAmount);
    }
    Course::new(liquor, holding, rates).end()
}
