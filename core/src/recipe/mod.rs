//! What a brewer plans before the mill starts: the brewhouse, the waters, the grist, the reagents
//! at hand and the targets, with targets to begin with by family of beer.

mod brew_day;
mod brewhouse;
mod builder;
pub(crate) mod check;
mod family;
mod ion_fit;
mod meter;
mod place;
pub(crate) mod reconciled;
mod shelf;
mod source;
mod target_key;
mod targets;
mod vessel;
mod waters;

pub use brew_day::{Boil, BrewDay, Draw, Kettle};
pub(crate) use brew_day::{MOST_BREWS, MOST_PORTIONS};
pub use brewhouse::Brewhouse;
pub use builder::BrewDayBuilder;
pub(crate) use check::{Filled, check};
pub use family::{FamilyTargets, TargetRule, targets_for};
pub use ion_fit::{IonFit, IonTargets};
pub use meter::Meter;
pub use place::Place;
pub use shelf::ShelfReagent;
pub use source::{Reconciled, Source};
pub use target_key::TargetKey;
pub use targets::{LimitedQuantity, TargetRange, Targets};
pub use vessel::Vessel;
pub(crate) use vessel::Vessels;
pub use waters::Waters;

/// The three days that come with the engine, set in the invented brewhouse Ninefold Quay: key and
/// JSON text.
pub const EXAMPLES: [(&str, &str); 3] = [
    ("pale-ale-10hl", include_str!("days/pale-ale-10hl.json")),
    ("dark-mild-2.5hl", include_str!("days/dark-mild-2.5hl.json")),
    ("pale-lager-ro", include_str!("days/pale-lager-ro.json")),
];
