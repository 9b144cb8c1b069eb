//! What a brewer settles before a sack is opened: sources, grist, vessels, targets and the shelf of reagents.

use crate::ion::Ion;
use crate::liquor::Liquor;
use crate::mash::Malt;
use crate::reagent::Shelved;

/// Where liquor stands, and where something can be added to it.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, serde::Serialize)]
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
#[serde(rename_all = "snake_case")]
pub enum Vessel {
    /// The tank that mash and sparge liquor are both drawn from.
    HotLiquorTank,
    /// The mash tun.
    MashTun,
    /// The liquor kept back for sparging, after the mash liquor is drawn.
    SpargeLiquor,
}

impl Vessel {
    /// Every vessel, in the order of work.
    pub const ALL: [Vessel; 3] = [Vessel::HotLiquorTank, Vessel::MashTun, Vessel::SpargeLiquor];

    /// Key in documents.
    pub const fn key(self) -> &'static str {
        match self {
            Vessel::HotLiquorTank => "hot_liquor_tank",
            Vessel::MashTun => "mash_tun",
            Vessel::SpargeLiquor => "sparge_liquor",
        }
    }

    /// Name for people.
    pub const fn label(self) -> &'static str {
        match self {
            Vessel::HotLiquorTank => "hot-liquor tank",
            Vessel::MashTun => "mash tun",
            Vessel::SpargeLiquor => "sparge liquor",
        }
    }
}

/// A water that can be drawn.
#[derive(Clone, Debug, PartialEq)]
pub struct Source {
    /// Name, such as "well".
    pub name: String,
    /// Its composition.
    pub liquor: Liquor,
    /// True when the report gave no pH, so that [`crate::liquor::assumed_ph`] stands in.
    pub ph_assumed: bool,
    /// Most that can be drawn for this brew, litres at 20 °C.
    pub at_most_l: Option<f64>,
}

/// Liquor that is let into a vessel.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Draw {
    /// Volume as read at its temperature, litres.
    pub volume_l: f64,
    /// Temperature, °C.
    pub temperature_c: f64,
}

/// A wanted range with how much it matters. Amounts are in the unit of the target.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Wanted {
    /// Low end.
    pub low: Option<f64>,
    /// High end.
    pub high: Option<f64>,
    /// Preferred point.
    pub prefer: Option<f64>,
    /// Weight beside the other targets.
    pub weight: f64,
}

/// What the beer wants of its liquor.
#[derive(Clone, Debug, PartialEq, Default)]
pub struct Targets {
    /// Ions over all the brewing liquor (mash and sparge together, by mass), mol/kg, in the order of [`Ion::ALL`].
    pub ions: Vec<(Ion, Wanted)>,
    /// Sulfate to chloride, by mass.
    pub sulfate_to_chloride: Option<Wanted>,
    /// pH of the mash, cooled sample.
    pub mash_ph: Option<Wanted>,
    /// Alkalinity of the sparge liquor, eq/kg.
    pub sparge_alkalinity: Option<Wanted>,
}

/// A brew day as it was read: every value checked, in canonical units.
#[derive(Clone, Debug, PartialEq)]
pub struct BrewDay {
    /// Name of the brew.
    pub name: String,
    /// Name of the brewhouse.
    pub brewhouse: String,
    /// Waters to draw from, at least one; the first is the one drawn where nothing speaks against it.
    pub sources: Vec<Source>,
    /// The hot-liquor tank's fill, or `None` where liquor comes ready from elsewhere and only the tun can be dosed.
    pub tank: Option<Draw>,
    /// Malts and adjuncts, at least one.
    pub grist: Vec<Malt>,
    /// Mash liquor.
    pub mash: Draw,
    /// Temperature at which the mash rests, °C.
    pub rest_temperature_c: f64,
    /// Sparge liquor, where there is a sparge.
    pub sparge: Option<Draw>,
    /// What is wanted.
    pub targets: Targets,
    /// Reagents at hand.
    pub shelf: Vec<Shelved>,
}
