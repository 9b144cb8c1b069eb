//! How something changes with the unknowns, with temperature, and with the totals that are present.

use crate::aqueous::species::BALANCES;
use crate::component::Component;

/// Places in a form: the balances' unknowns, ln of the activity of water, temperature, what is
/// present of each ion, alkalinity, carbon.
pub const WATER: usize = BALANCES;
pub const KELVIN: usize = WATER + 1;
pub const IONS: usize = KELVIN + 1;
pub const ALKALINITY: usize = IONS + Component::COUNT;
pub const CARBON: usize = ALKALINITY + 1;
pub const PLACES: usize = CARBON + 1;

/// How something changes, by place.
pub type Form = [f64; PLACES];
pub const STILL: Form = [0.0; PLACES];

/// Rows of the balances.
pub const BALANCED: usize = BALANCES + 1;
