//! Equilibria of a liquor, 0 to 100 °C: one solver for every problem of pH, carbon dioxide,
//! saturation and doses.
//!
//! Components and ion pairs as listed in `species`; Truesdell-Jones activity coefficients with the
//! Debye-Hückel sensitivities of water; constants of Plummer & Busenberg 1982, Nordstrom et al.
//! 1990, Bates & Acree 1943.
//!
//! ```
//! use underlet::aqueous::{Aqueous, Mineral};
//! use underlet::component::{Composition, Component};
//! use underlet::liquor::Liquor;
//!
//! let ions = Composition::ZERO.with(Component::Calcium, 0.0025);
//! let well = Liquor { ions, alkalinity_eq_per_kg: 0.005, ..Liquor::default() };
//! let cold = Aqueous::at(12.0).with_ph(&well, 7.3)?;
//! let hot = Aqueous::at(78.0).closed(&cold.liquor)?;
//! assert!(hot.saturation_index(Mineral::Calcite) > cold.saturation_index(Mineral::Calcite));
//! # Ok::<(), underlet::aqueous::EquilibriumError>(())
//! ```

mod acidity;
mod activity;
mod conditions;
mod conductivity;
mod constants;
mod equilibrium;
mod linear;
mod newton;
mod saturation;
mod sensitivity;
mod species;
mod state;
mod temperature;
mod titration;

pub use acidity::{Acidity, alkalinity_against_mash_eq_per_kg, titrated_alkalinity_eq_per_kg};
pub(crate) use acidity::{against_mash, titrated};
pub use conditions::EquilibriumError;
pub(crate) use conductivity::water_viscosity_upa_s;
pub use equilibrium::{Aqueous, Gas, air_log10_pco2};
pub use saturation::Mineral;
pub use sensitivity::{Gradient, Sensitivities};
pub use state::Equilibrium;
pub use temperature::log_k;
pub use titration::TitrationPoint;
pub(crate) use titration::{dose_to_ph, titrate};
