//! What a brewer settles before a sack is opened: sources, grist, vessels, targets and the shelf of reagents.

use underlet_tables::{Reagent, ReagentKind};

use crate::fit::{Targets, Vessel};
use crate::liquor::Liquor;
use crate::mash::Malt;
use crate::reagent::Preparation;

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

/// A reagent on the brewer's shelf.
#[derive(Clone, Debug, PartialEq)]
pub struct Shelved {
    /// The reagent at its strength.
    pub preparation: Preparation,
    /// Step of the scale or measure, g or mL.
    pub step: f64,
    /// Smallest dose that makes sense, g or mL.
    pub smallest: f64,
    /// Stock on hand, g or mL; `None` where there is plenty.
    pub stock: Option<f64>,
    /// Vessels it may go into, in the order of work.
    pub at: Vec<Vessel>,
}

impl Shelved {
    /// A reagent at its usual strength, with plenty of it, where it usually goes.
    pub fn usual(reagent: &'static Reagent, step: f64, has_tank: bool) -> Shelved {
        Shelved {
            preparation: Preparation::of(reagent),
            step,
            smallest: step,
            stock: None,
            at: Shelved::usual_vessels(reagent, has_tank),
        }
    }

    /// Where a reagent usually goes: salts and acids into the tank where there is one, acids into the tun as well, bases
    /// into the tun, where they are wanted.
    pub fn usual_vessels(reagent: &Reagent, has_tank: bool) -> Vec<Vessel> {
        match (has_tank, reagent.kind) {
            (true, ReagentKind::Salt) => vec![Vessel::HotLiquorTank],
            (true, ReagentKind::Acid) => vec![Vessel::HotLiquorTank, Vessel::MashTun],
            _ => vec![Vessel::MashTun],
        }
    }

    /// Whether it is there to remove chlorine. Such a reagent is no source of ions and no acid for the fit to dose;
    /// what removes chlorine is not reckoned yet.
    pub fn is_dechlorinator(&self) -> bool {
        self.preparation.reagent.kind == ReagentKind::Dechlorinator
    }
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
    /// Chance that the mash pH should have of landing in its range, 0 to 1; `None` where its forecast may lie anywhere in it.
    pub mash_ph_confidence: Option<f64>,
    /// Reagents at hand.
    pub shelf: Vec<Shelved>,
    /// Most different salts and bases to weigh; acids are not counted.
    pub most_salts: Option<usize>,
    /// Whether the plan tells what else could be done.
    pub alternatives: bool,
}
