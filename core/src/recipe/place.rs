//! Where a meter is read.

use schemars::JsonSchema;
use serde::{Deserialize, Serialize};

use crate::naming::keyed;

/// Where a meter is held in, in the order of work.
#[derive(
    Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Serialize, Deserialize, JsonSchema,
)]
#[serde(rename_all = "snake_case")]
pub enum Place {
    /// The liquor as it is drawn and blended, before anything is added.
    ColdLiquor,
    /// The hot-liquor tank when all is added and dissolved, before it is heated.
    Tank,
    /// The liquor in the tun, before the grist.
    MashLiquor,
    /// The mash once the first part of its acid is in.
    MashFirst,
    /// The mash, 20 to 60 minutes in.
    Mash,
    /// The sparge liquor, before sparging starts.
    SpargeLiquor,
    /// The wort at kettle full, before the boil.
    Kettle,
}

keyed!(Place);

impl Place {
    /// Every place.
    pub const ALL: [Place; 7] = [
        Place::ColdLiquor,
        Place::Tank,
        Place::MashLiquor,
        Place::MashFirst,
        Place::Mash,
        Place::SpargeLiquor,
        Place::Kettle,
    ];

    /// Key in documents.
    pub const fn key(self) -> &'static str {
        match self {
            Place::ColdLiquor => "cold_liquor",
            Place::Tank => "tank",
            Place::MashLiquor => "mash_liquor",
            Place::MashFirst => "mash_first",
            Place::Mash => "mash",
            Place::SpargeLiquor => "sparge_liquor",
            Place::Kettle => "kettle",
        }
    }

    /// Name for people.
    pub const fn label(self) -> &'static str {
        match self {
            Place::ColdLiquor => "liquor as drawn",
            Place::Tank => "hot-liquor tank",
            Place::MashLiquor => "mash liquor",
            Place::MashFirst => "mash after the first acid",
            Place::Mash => "mash",
            Place::SpargeLiquor => "sparge liquor",
            Place::Kettle => "kettle-full wort",
        }
    }

    /// Whether all brews have it in common.
    pub(crate) const fn is_shared(self) -> bool {
        matches!(self, Place::ColdLiquor | Place::Tank)
    }

    /// Whether its samples are as cold as the liquor was drawn.
    pub(crate) const fn is_sampled_cold(self) -> bool {
        self.is_shared()
    }

    /// Whether it holds wort, which buffers, and not liquor, which hardly does.
    pub(crate) const fn is_wort(self) -> bool {
        matches!(self, Place::MashFirst | Place::Mash | Place::Kettle)
    }
}
