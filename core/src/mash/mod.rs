//! The mash: its pH is where the proton balance of malts and liquor closes.
//!
//! With `a(pH)` the acid a kilogram of malt takes to come from its own distilled-water pH to pH, κ
//! the share of carbon still in solution, φ the protons released per equivalent of calcium and
//! magnesium:
//!
//! ```text
//! Σ m·a(pH) + W·[Alk − κ·C·(α1 + 2 α2)(pH)] − W·(φCa·Ca + φMg·Mg) − Σ n·z(pH) = 0
//! ```
//!
//! The sample is cooled and taken 20 to 60 minutes in.
//!
//! # What is left out
//! - Time. Acid in the strike liquor reads far too low for the first 20 minutes, and a plain mash
//!   falls by some 0.05 from 20 to 60 minutes (Hosom 2018); `sampling` in the error bar covers the
//!   rest of it.
//! - Water that the malt itself holds (3 to 5 %), and milling, which moves pH much less than
//!   thickness does (Troester 2009).
//! - Ion pairs, and what malt adds to ionic strength.
//! - Precipitation that takes its time: φ covers all that calcium and magnesium do with malt
//!   phosphate and protein. It is one number, so a series of calcium is a straight line, where
//!   Taylor 1990 found the first 100 mg/L to do more than twice as much per mg as the next 200.
//! - Enzymes, microbes, decoctions: a biological acidification goes in as its lactic acid.
//!
//! # Where sources conflict
//! - *Buffering of base malt.* Acidified pairs of mashes give 36 to 38 meq/(kg pH) (Hosom 2018),
//!   titrations 35 to 47 (deLange, from memory), a German acid table for mash 61 to 64, Troester's
//!   slope of pH to residual alkalinity about 62. The class priors are 36 to 42, and their error is
//!   a factor of 24 to 29 %: 95 % of malts lie between 0.6 and 1.7 of it, and so do all of these.
//!   The model moves by 0.09 pH per meq/L at 4 L/kg where Troester's line says 0.065.
//! - *Buffering of wort.* Per kg of malt, dilutions of wort give 14 to 16 or 21 to 32 meq/(kg pH),
//!   as one reads them (Hosom 2018), the German acid table 32: 17 with a factor of 1.9 either way.
//! - *Calcium.* 1/3.5 and 1/7 are Kolbach's for knock-out wort; Taylor's series gives twice that at
//!   first and less beyond; wort gives up a tenth of it (Hosom). Hence 40 %.
//! - *Knock-out wort.* Kolbach's 0.084 pH per meq/L is half of what a wort that carries 40 % of the
//!   mash's buffering should do if all liquor met wort alone, and what a mash with all of the
//!   liquor does within its error.
//! - *Carbon dioxide.* No source gives the share that stays: κ is 0.5 ± 0.29, plain ignorance
//!   between open and closed.
//!
//! # How wide the priors are, and why
//! A class's own pH scatters by 0.08 to 0.15 between lots (the norm for Congress wort of pale malt,
//! 5.60 to 6.00, is 0.10 if it spans two standard deviations to either side), buffering by 20 to
//! 29 %, as a factor: no malt buffers less than nothing, and sources disagree upwards.
//! Acidulated malt holds 2 to 4 % of lactic acid, a factor of two. Meters of different laboratories
//! scatter by 0.046 (Harrison 1998). Together a forecast by class is good to 0.12, with a measured
//! malt to 0.06, without the reader's meter. No number was fitted to a table of published mashes,
//! though some rest on the same reports: the buffering and the own pH of two-row malt
//! are those of Hosom's mashes.

mod balance;
mod bench;
mod certificate;
mod chalk;
mod chance;
mod curve;
mod derivatives;
mod effects;
mod forecast;
mod infusion;
mod malt;
mod missing;
mod second_order;
mod wort;

pub use balance::{
    Assumptions, BalanceCoefficients, Chemistry, Mash, grist_acid_eq, grist_buffering_eq_per_ph,
    ph_at_temperature, ph_at_temperature_sd, ph_of_all,
};
pub use bench::{BenchPoint, Titrated, TitrationError, titrated};
pub use certificate::{Certificate, CertificateError};
pub use chalk::chalk_that_counts;
pub use chance::{Aim, UncertainLiquor};
pub use curve::TitrationCurve;
pub use derivatives::{Derivatives, MaltDerivatives};
pub use effects::DoseUncertainty;
pub(crate) use effects::liquor_eq;
pub(crate) use forecast::is_checked_ph;
pub use forecast::{AcidNeeded, CurvePoint, Forecast};
pub use infusion::{infusion_kg, strike_temperature_c, temperature_mashed_in_c};
pub use malt::Malt;
pub(crate) use malt::least_buffering;
pub(crate) use missing::MissingAcid;
pub use second_order::SecondOrder;
pub use wort::{MaltIon, Wort, malt_ions};
