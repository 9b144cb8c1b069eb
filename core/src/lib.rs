//! Underlet: brewhouse water chemistry, from a water report, a grist and a shelf of reagents to
//! what to weigh, where and when it goes in, and what the meters should show.
//!
//! ```no_run
#![doc = include_str!("../examples/first_steps.rs")]
//! ```
//!
//! # I want …
//!
//! | I want … | call … |
//! |---|---|
//! | a water from its ions | [`Liquor::builder`] |
//! | a water from a report | [`WaterReport::parse`] or [`WaterReport::from_json`], then [`WaterReport::liquor`] |
//! | what contradicts itself in a report | [`WaterReport::findings`], [`WaterReport::mistakes`] |
//! | today's water from report and bench | [`WaterReport::reconcile`] |
//! | hardness, residual alkalinity, charge balance | [`Liquor::hardness_mg_l_caco3`], [`Liquor::residual_alkalinity_mg_l_caco3`], [`Liquor::charge_balance`] |
//! | two waters mixed, several blended | [`Liquor::mix`], [`Liquor::blend`] |
//! | a salt or an acid in it | [`Liquor::dosed`] with [`Preparation::dose_per_unit`] |
//! | the acid or base for a pH, a titration curve | [`Liquor::dose_to_ph`], [`Liquor::titrate`] |
//! | pH, saturation, conductivity, species | [`Liquor::equilibrium`]; for many at one temperature [`aqueous::Aqueous`] |
//! | liquor heated, boiled, limed, filtered, through a membrane | [`treatment`] |
//! | a mash pH with its error bar | [`Mash::new`], [`Mash::forecast`] |
//! | salts for the ions of a liquor | [`IonFit::new`], [`IonFit::solve`] |
//! | a brew day planned | [`BrewDay::builder`] or [`BrewDay::from_json`], then [`BrewDay::plan`] |
//! | targets to begin with for a family of beers, and why | [`targets_for`] |
//! | the plan as text, a sheet to print, JSON | [`Plan::to_text`] or its `Display`, [`Plan::to_html`], [`Plan::to_json`] |
//! | what unexpected readings mean | [`BrewDay::diagnose`] |
//! | a day of the liquor tank, from JSON alone | [`TankDay::from_json`], [`TankDay::ledger`]; three brews from one tank in [`json::pages::tank_day`] |
//! | documents, schemas, names | [`json`] |
//! | quantities as people write them | [`quantity`] |
//! | the tables behind all of it, with their sources | [`tables`] |
//!
//! Values are checked where they are made. An [`InputError`] lists every problem of one input, each
//! with its path, what was found, what was expected and how to fix it; other errors say which
//! computation failed. Amounts inside are mol and equivalents per kg of water, kg, litres and °C,
//! and a name carries its unit.
//!
//! # What it does not model yet
//!
//! The tank through the day in a plan (a source takes what [`tank`] says was drawn), what malt
//! itself brings of ions and zinc, what the break takes of it, and learning from earlier brews. The
//! titration curve of a malt class is a straight line. The modules say where they are coarse.
#![forbid(unsafe_code)]

mod api;
pub mod aqueous;
mod checker;
pub mod component;
pub mod document;
pub mod error;
pub mod fit;
pub mod json;
pub mod liquor;
pub mod mash;
#[doc(hidden)]
pub mod math;
mod naming;
#[doc(hidden)]
pub mod optimise;
pub mod plan;
pub mod quantity;
pub mod readings;
pub mod reagent;
pub mod recipe;
mod render;
pub mod speciation;
pub mod tank;
pub mod treatment;
pub mod uncertainty;
pub mod water_report;
mod words;

pub use aqueous::TitrationPoint;
pub use component::Component;
pub use document::{Attached, DocumentHead, DocumentKind, FORMAT_VERSION};
pub use error::{ErrorCode, InputError, Problem};
pub use fit::PlanError;
pub use liquor::{Dose, Liquor};
pub use mash::{Forecast, Malt, Mash};
pub use plan::{
    Addition, Alternative, AlternativeCode, BindingLimit, BlendPart, Caution, CautionCode, Change,
    DissolvedLine, FittedIons, HardLimit, KettleForecast, LimitCode, MashForecast, Plan, Reason,
    ReasonCode, Severity, SpargeForecast, TargetLine, TargetState,
};
pub use readings::Reading;
pub use readings::diagnosis::MeterReading;
pub use reagent::Preparation;
pub use recipe::{
    Boil, BrewDay, BrewDayBuilder, Brewhouse, Draw, EXAMPLES, FamilyTargets, IonFit, IonTargets,
    Kettle, LimitedQuantity, Meter, Place, Reconciled, ShelfReagent, Source, TargetKey,
    TargetRange, TargetRule, Targets, Vessel, targets_for,
};
pub use tank::{TankDay, TankLedger};
/// The tables behind the engine, each row with its source.
pub use underlet_tables as tables;
pub use water_report::{LiquorBuilder, ReconciledWater, WaterReport};
