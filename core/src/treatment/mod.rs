//! What is done to liquor before it is brewed with: standing hot, boiling, lime, removal of
//! chlorine, membranes.
//!
//! Pure functions from a liquor to a liquor and what left it; every equilibrium comes from
//! [`crate::aqueous`]. They report what leaves, so that a ledger closes: ions, charge, carbon and
//! water are moved and never lost.
//!
//! # How sure
//!
//! The laws by which hot liquor changes are published; how far it gets before it is drawn depends
//! on the tank. [`Rates`] are an area of scale, a film of water and a share of steam, with wide
//! standard deviations, most of them judged (`sources.csv` says which). A brewer's answers choose
//! them ([`ScaleCover`], [`Surface`]); one who has weighed the scale out of his own tank gives his
//! own.

mod boiling;
mod chlorine;
mod hold;
mod lime;
mod membrane;
mod scaling;
mod steel;

pub use boiling::{Boiled, boiled};
pub(crate) use chlorine::dechlorinated_by;
pub use chlorine::{Chlorine, Dechlorination, Dechlorinator, carbon_filtered, dechlorinated, met};
pub use hold::{AfterHold, Holding, Rates, ScaleCover, Surface, hold};
pub use lime::{Limed, Split, lime_for_least_calcium, limed, split_for_alkalinity};
pub use membrane::{Passage, permeate};
pub(crate) use scaling::{
    CALCITE_G_PER_MOL, NOTABLE_SCALE_G, calcite_excess_g_per_kg, calcite_index,
};
pub use scaling::{langelier_index, langelier_saturation_ph, solids_ionic_strength};
pub(crate) use steel::SteelLimit;
