//! A page for each document: what it holds, an example, and what comes back.

#[doc = include_str!("brew-day.md")]
pub mod brew_day {}

#[doc = include_str!("equilibrium.md")]
pub mod equilibrium {}

#[doc = include_str!("ion-fit.md")]
pub mod ion_fit {}

#[doc = include_str!("readings.md")]
pub mod readings {}

#[doc = include_str!("tank-day.md")]
pub mod tank_day {}

#[doc = include_str!("water-report.md")]
pub mod water_report {}
