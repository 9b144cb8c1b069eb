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
    /// The mash liquor in the tun, before the grist.
    MashLiquor,
    /// The mash: salts and bases as the grist goes in, acid after mashing in.
    MashTun,
    /// The liquor kept for sparging, once the mash liquor is drawn.
    SpargeLiquor,
    /// The kettle, once it is full.
    Kettle,
}

keyed!(Vessel);

/// What a day has of vessels, and whether brews share them.
#[derive(Clone, Copy, Debug)]
pub(crate) struct Vessels {
    /// Whether there is a hot-liquor tank.
    pub has_tank: bool,
    /// Whether there is a sparge.
    pub has_sparge: bool,
    /// Brews of one liquor.
    pub brews: usize,
}

impl Vessels {
    /// Whether sparge liquor can be dosed by itself: not where the tank also holds the mash liquor
    /// of the next brew.
    pub fn sparge_is_apart(self) -> bool {
        self.has_sparge && !(self.has_tank && self.brews > 1)
    }
}

impl Vessel {
    /// Every vessel, in the order of work.
    pub const ALL: [Vessel; 5] = [
        Vessel::HotLiquorTank,
        Vessel::MashLiquor,
        Vessel::MashTun,
        Vessel::SpargeLiquor,
        Vessel::Kettle,
    ];

    /// Their names in documents.
    pub(crate) const NAMES: [Name<'static>; 5] = [
        (Vessel::HotLiquorTank.key(), &[]),
        (Vessel::MashLiquor.key(), &[]),
        (Vessel::MashTun.key(), &[]),
        (Vessel::SpargeLiquor.key(), &[]),
        (Vessel::Kettle.key(), &[]),
    ];

    /// Key in documents.
    pub const fn key(self) -> &'static str {
        match self {
            Vessel::HotLiquorTank => "hot_liquor_tank",
            Vessel::MashLiquor => "mash_liquor",
            Vessel::MashTun => "mash_tun",
            Vessel::SpargeLiquor => "sparge_liquor",
            Vessel::Kettle => "kettle",
        }
    }

    /// Name for people.
    pub const fn label(self) -> &'static str {
        match self {
            Vessel::HotLiquorTank => "hot-liquor tank",
            Vessel::MashLiquor => "mash liquor",
            Vessel::MashTun => "mash tun",
            Vessel::SpargeLiquor => "sparge liquor",
            Vessel::Kettle => "kettle",
        }
    }

    /// Whether all brews have it in common; the others are filled anew for each.
    pub(crate) const fn is_shared(self) -> bool {
        matches!(self, Vessel::HotLiquorTank)
    }

    /// Whether what goes in there comes to the mash.
    pub const fn comes_to_mash(self) -> bool {
        self.comes_before_grist() || matches!(self, Vessel::MashTun)
    }

    /// Whether what goes in there is in the mash liquor before the grist.
    pub const fn comes_before_grist(self) -> bool {
        matches!(self, Vessel::HotLiquorTank | Vessel::MashLiquor)
    }

    /// Whether what goes in there comes into the sparge liquor.
    pub const fn comes_to_sparge(self) -> bool {
        matches!(self, Vessel::HotLiquorTank | Vessel::SpargeLiquor)
    }
}
