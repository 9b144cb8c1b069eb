//! Liquor that is heated, cooled or held: carbon dioxide leaves, scale forms, steam goes off.
//!
//! *Where it would end*: open to air, calcite at saturation
//! ([`crate::aqueous::Aqueous::precipitated`]). *How fast it gets there*: with u the carbon less
//! the calcium of a liquor, which calcite leaves as it is, and w the calcite that this water has
//! precipitated before,
//!
//! ```text
//! du/dt = -(u - u at the end)/τ of the gas
//! dw/dt =  (reach S - (1 - reach) w)/τ of the scale, never below 0
//! ```
//!
//! where S is the calcite that the liquor could still drop closed, with the carbon and the water it
//! has at that moment. So w ends at the reach of all that ever was to come. Both times are stated
//! at 80 °C and go with temperature by an activation energy; on a ramp the temperature goes
//! straight from start to end, and ends, saturations and times are those of each moment. Nothing
//! but the state of the liquor counts: hours cut in two are the same hours, and a ramp cut in two
//! is the same ramp.
//!
//! Time is taken in stretches. In one of them the end of u is a polynomial through a few moments,
//! and u follows it; w is an integral over known saturations; both by Gauss's rule. Where the end
//! of u turns a corner, for calcite begins to take its part, a stretch ends. Where water drops
//! calcite at once that it would not drop in the end, for it takes carbon dioxide up, w moves the
//! end of u: such water is followed in shorter stretches, each with a first guess of w.
//!
//! Coarse: only calcite precipitates (gypsum and brushite are watched, not dropped); one time is
//! used for wall, heater and suspended grains alike; steam follows the vapour pressure and ignores
//! draughts.

use crate::aqueous::EquilibriumError;
use crate::liquor::Liquor;
use course::Course;
use stretch::{MOST_CORNERS, further};

mod course;
mod gauss;
mod holding;
mod polynomial;
mod rates;
mod stretch;

pub use holding::{AfterHold, Headspace, Holding};
pub(super) use holding::{calcite_removed, of_water};
pub use rates::Rates;

/// Longest stretch that Gauss's rule takes at once, in times of gas or scale: it errs by 1e-7 at
/// worst, on soft soda water.
const STRETCH: f64 = 1.0;
/// Most kelvins of a ramp in a stretch.
const CLIMB_C: f64 = 33.0;
/// Stretches after which nothing moves any more but by steam.
const MOST_STRETCHES: u8 = 48;

/// Liquor after holding.
///
/// # Errors
/// [`EquilibriumError`] where the liquor has no equilibrium, or an hour or a temperature is no
/// number.
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
    let course = Course { holding, rates };
    let whole = course.spans([0.0, 1.0]);
    let climb = (holding.to_c - holding.from_c).abs();
    let is_short = |many: &u8| {
        let many = f64::from(*many);
        whole.longest() <= STRETCH * many && climb <= CLIMB_C * many
    };
    let stretches = (1..MOST_STRETCHES).find(is_short).unwrap_or(MOST_STRETCHES);
    let mut after = AfterHold {
        liquor: *liquor,
        water_share: 1.0,
        carbon_dioxide_mol: 0.0,
        calcite_mol: 0.0,
    };
    for place in 0..stretches {
        let end = |place: u8| f64::from(place) / f64::from(stretches);
        after = further(after, &course, [end(place), end(place + 1)], MOST_CORNERS)?;
    }
    after.liquor.temperature_c = holding.to_c;
    Ok(after)
}
