//! The problem of a brew day: sources to blend, reagents by vessel, the mash, and targets.

use crate::liquor::{Dose, Liquor};
use crate::mash::Malt;
use crate::mash::Mash;
use crate::reagent::Preparation;
use crate::recipe::{Targets, Vessel, Waters};

/// A water that may be drawn.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct SourceOption {
    /// Its composition.
    pub liquor: Liquor,
    /// Most that can be drawn, kg.
    pub max_amount_kg: Option<f64>,
}

/// A reagent that may go into one vessel.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct DoseOption {
    /// The reagent.
    pub preparation: Preparation,
    /// The vessel.
    pub vessel: Vessel,
    /// Step of the scale or measure, g or mL.
    pub step: f64,
    /// Smallest dose that makes sense, g or mL.
    pub min_dose: f64,
    /// Most that may go in, g or mL: what dissolves there; `None` where nothing limits it.
    pub most: Option<f64>,
    /// Price of a mmol of it per kg of brewing liquor, in squared misses of one tolerance.
    pub price: f64,
    /// Index of the stock it is taken from: options of one reagent share one.
    pub stock: usize,
}

impl DoseOption {
    /// What a unit brings where it goes: less in a mash for what dissolves only in part.
    pub fn dose_per_unit(&self) -> Dose {
        if self.vessel == Vessel::MashTun {
            self.preparation.dose_per_unit_in_mash()
        } else {
            self.preparation.dose_per_unit()
        }
    }
}

/// The problem of a brew day.
#[derive(Clone, Debug)]
pub struct Problem<'a> {
    /// At least one.
    pub sources: Vec<SourceOption>,
    /// Step to which a source's draw is rounded, kg.
    pub draw_step_kg: f64,
    /// Masses of water.
    pub waters: Waters,
    /// The grist.
    pub grist: &'a [Malt],
    /// Reagents by vessel; each amount is one of so many as [`Waters::times`] says.
    pub doses: Vec<DoseOption>,
    /// Stock on hand for all brews, g or mL; `None` where there is plenty.
    pub stocks: Vec<Option<f64>>,
    /// The targets.
    pub targets: Targets,
    /// Most different salts and bases to weigh, each counted once wherever it goes; acids are not
    /// counted.
    pub max_salts: Option<usize>,
    /// What else comes into the kettle whatever is dosed, per kg of its water: it counts in the
    /// liquor as a whole.
    pub in_kettle: Dose,
}

/// Liquors of the day once a blend is drawn and doses are given.
#[derive(Clone, Copy, Debug, PartialEq)]
#[non_exhaustive]
pub struct Liquors {
    /// The blend as drawn.
    pub blend: Liquor,
    /// In the mash, with what went into the tun.
    pub mash: Liquor,
    /// For the sparge.
    pub sparge: Liquor,
    /// All brewing liquor together, by mass. Additions to the kettle are spread over the water
    /// that runs there: the grains retain liquor with its ions, but nothing of what is added
    /// after them.
    pub overall: Liquor,
}

impl<'a> Problem<'a> {
    /// The grist with a mash liquor.
    pub(crate) fn mash(&self, liquor: Liquor) -> Mash<'a> {
        Mash {
            grist: self.grist,
            water_kg: self.waters.mash_kg,
            liquor,
        }
    }

    /// Follows a blend (shares by mass) and doses (g or mL, in the order of [`Self::doses`])
    /// through the vessels.
    pub fn liquors(&self, shares: &[f64], doses: &[f64]) -> Liquors {
        let parts: Vec<(f64, &Liquor)> = shares
            .iter()
            .copied()
            .zip(self.sources.iter().map(|source| &source.liquor))
            .collect();
        let blend = Liquor::blend(&parts).unwrap_or_default();
        let (mut mash, mut sparge, mut kettle) = (blend, blend, self.in_kettle);
        let given = self.doses.iter().zip(doses);
        for (option, &amount) in given.filter(|(_, amount)| **amount != 0.0) {
            let per_kg = amount / self.waters.dosed_kg(option.vessel);
            let dose = option.dose_per_unit();
            if option.vessel.comes_to_mash() {
                mash = mash.dosed(&dose, per_kg);
            }
            if option.vessel.comes_to_sparge() {
                sparge = sparge.dosed(&dose, per_kg);
            }
            if option.vessel == Vessel::Kettle {
                kettle = kettle.plus(&dose.times(per_kg));
            }
        }
        let overall = Liquor::blend(&[
            (self.waters.mash_kg, &mash),
            (self.waters.sparge_kg, &sparge),
        ])
        .unwrap_or(mash)
        .dosed(&kettle, 1.0);
        Liquors {
            blend,
            mash,
            sparge,
            overall,
        }
    }
}
