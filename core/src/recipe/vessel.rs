//! The vessels of a brewhouse.

use schemars::JsonSchema;
use serde::{Deserialize, Serialize};

use crate::naming::{Name, keyed};

/// Where liquor is held, and where something can be added to it.
#[derive(
    Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Serialize, Deserialize, JsonSchema,
)]
#[serde(rename_all = "snake_case")]
pub enum Vessel {
    /// The tank that mash and sparge liquor are both drawn from.
    HotLiquorTank,
    /// The mash tun.
    MashTun,
    /// The liquor kept for sparging, once the mash liquor is drawn.
    SpargeLiquor,
    /// The kettle, once it is full.
    Kettle,
}

keyed!(Vessel);

impl Vessel {
    /// Every vessel, in the order of work.
    pub const ALL: [Vessel; 4] = [
        Vessel::HotLiquorTank,
        Vessel::MashTun,
        Vessel::SpargeLiquor,
        Vessel::Kettle,
    ];

    /// Their names in documents.
    pub(crate) const NAMES: [Name<'static>; 4] = [
        (Vessel::HotLiquorTank.key(), &[]),
        (Vessel::MashTun.key(), &[]),
        (Vessel::SpargeLiquor.key(), &[]),
        (Vessel::Kettle.key(), &[]),
    ];

    /// Key in documents.
    pub const fn key(self) -> &'static str {
        match self {
            Vessel::HotLiquorTank => "hot_liquor_tank",
            Vessel::MashTun => "mash_tun",
            Vessel::SpargeLiquor => "sparge_liquor",
            Vessel::Kettle => "kettle",
        }
    }

    /// Name for people.
    pub const fn label(self) -> &'static str {
        match self {
            Vessel::HotLiquorTank => "hot-liquor tank",
            Vessel::MashTun => "mash tun",
            Vessel::SpargeLiquor => "sparge liquor",
            Vessel::Kettle => "kettle",
        }
    }

    /// Whether what goes in there comes to the mash.
    pub const fn comes_to_mash(self) -> bool {
        matches!(self, Vessel::HotLiquorTank | Vessel::MashTun)
    }

    /// Whether what goes in there comes into the sparge liquor.
    pub const fn comes_to_sparge(self) -> bool {
        matches!(self, Vessel::HotLiquorTank | Vessel::SpargeLiquor)
    }
}
