//! A fit of ions alone, without a mash, as a brewer asks for it.

use super::{Draw, Shelved, Source, Wanted};
use crate::component::Component;
use crate::document::Attached;

/// A fit of ions as it was read: every value checked, in canonical units.
#[derive(Clone, Debug, PartialEq)]
pub struct IonFit {
    /// What the user attached: the answer carries it.
    pub attached: Attached,
    /// The water at hand.
    pub source: Source,
    /// Water that it may be diluted with.
    pub dilution: Option<Source>,
    /// The liquor that is made.
    pub liquor: Draw,
    /// What is wanted of it.
    pub targets: IonTargets,
    /// Salts and bases at hand, preferred ones first; the vessels of each do not count.
    pub shelf: Vec<Shelved>,
    /// Most different salts to weigh.
    pub max_salts: Option<usize>,
}

/// What is wanted of liquor alone.
#[derive(Clone, Debug, PartialEq, Default)]
pub struct IonTargets {
    /// Ions, mol/kg.
    pub ions: Vec<(Component, Wanted)>,
    /// Sulfate to chloride, by mass.
    pub sulfate_to_chloride: Option<Wanted>,
    /// Alkalinity, eq/kg.
    pub alkalinity: Option<Wanted>,
}
