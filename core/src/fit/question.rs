//! What the fit is asked: sources to blend, reagents that may go in where, the mash, and what is wanted.

use schemars::JsonSchema;
use serde::{Deserialize, Serialize};

use crate::ion::Ion;
use crate::liquor::{Dose, Liquor};
use crate::mash::Malt;
use crate::math;
use crate::quantity::{HCO3_G_PER_EQ, WATER_KG_PER_L_20C};
use crate::reagent::Preparation;

/// Where liquor stands, and where something can be added to it.
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

impl Vessel {
    /// Every vessel, in the order of work.
    pub const ALL: [Vessel; 4] = [
        Vessel::HotLiquorTank,
        Vessel::MashTun,
        Vessel::SpargeLiquor,
        Vessel::Kettle,
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

/// Masses of water, kg. Several brews, one like the other, may share one tank, or one blend where there is no tank.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Waters {
    /// In the hot-liquor tank before anything is drawn; `None` where there is no tank to dose.
    pub tank_kg: Option<f64>,
    /// Mash liquor of a brew.
    pub mash_kg: f64,
    /// Sparge liquor of a brew; 0 without a sparge.
    pub sparge_kg: f64,
    /// In the full kettle of a brew: what the grains let through.
    pub kettle_kg: f64,
    /// How many brews.
    pub brews: f64,
}

impl Waters {
    /// All the brewing liquor of a brew.
    pub fn brewing_kg(&self) -> f64 {
        self.mash_kg + self.sparge_kg
    }

    /// What is blended from the sources, for all brews.
    pub fn blended_kg(&self) -> f64 {
        self.tank_kg.unwrap_or(self.brews * self.brewing_kg())
    }

    /// How often a vessel is dosed: the tank once, the others in each brew.
    pub fn times(&self, vessel: Vessel) -> f64 {
        if vessel == Vessel::HotLiquorTank {
            1.0
        } else {
            self.brews
        }
    }

    /// Water that a dose is spread over in a vessel, each time it is dosed. The sparge liquor is what stays in the tank after
    /// the mash liquor is drawn: of one brew, since of several the tank would hold the next one's mash liquor as well, and a
    /// document may not ask for that.
    pub fn dosed_kg(&self, vessel: Vessel) -> f64 {
        match vessel {
            Vessel::HotLiquorTank => self.blended_kg(),
            Vessel::MashTun => self.mash_kg,
            Vessel::SpargeLiquor => self
                .tank_kg
                .map_or(self.sparge_kg, |tank| tank - self.mash_kg),
            Vessel::Kettle => self.kettle_kg,
        }
    }
}

/// A water that may be drawn.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct SourceOption {
    /// Its composition.
    pub liquor: Liquor,
    /// Most that can be drawn, kg.
    pub at_most_kg: Option<f64>,
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
    pub smallest: f64,
    /// Most that may go in, g or mL: what dissolves there; `None` where nothing limits it.
    pub most: Option<f64>,
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

/// A wanted range with how much it matters.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Wanted {
    /// Low end.
    pub low: Option<f64>,
    /// High end.
    pub high: Option<f64>,
    /// Preferred point inside the range.
    pub prefer: Option<f64>,
    /// Weight beside the other targets.
    pub weight: f64,
}

/// What the beer wants of its liquor.
#[derive(Clone, Debug, PartialEq, Default)]
pub struct Targets {
    /// Ions over all the brewing liquor (mash and sparge together, by mass, and what the kettle adds per kg of its water), mol/kg.
    pub ions: Vec<(Ion, Wanted)>,
    /// Sulfate to chloride, by mass.
    pub sulfate_to_chloride: Option<Wanted>,
    /// pH of the mash, cooled sample.
    pub mash_ph: Option<Wanted>,
    /// Alkalinity of the sparge liquor, titrated, eq/kg.
    pub sparge_alkalinity: Option<Wanted>,
    /// pH of the sparge liquor, cooled sample, before any carbon dioxide leaves.
    pub sparge_ph: Option<Wanted>,
    /// What the liquor as a whole (counted as ions are) may hold at most, whatever else is wanted, mg/L: a row of the fit that nothing
    /// buys. What goes in after the fit (the kettle's acid, zinc, what takes chlorine out) comes on top.
    pub limits: Vec<(Held, f64)>,
}

/// What a hard limit can be set on.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Held {
    /// An ion.
    Ion(Ion),
    /// All that is dissolved: every ion, every weak acid, and the alkalinity of waters and reagents as bicarbonate, of which acid
    /// is taken to drive none out: rather too much than too little.
    DissolvedSolids,
}

impl Held {
    /// Key in documents.
    pub fn key(self) -> &'static str {
        match self {
            Held::Ion(ion) => ion.key(),
            Held::DissolvedSolids => "dissolved_solids",
        }
    }

    /// How much of it something brings per kg, told as mg/L.
    pub fn mg_per_l(self, dose: &Dose) -> f64 {
        let of = |ion: Ion| ion.mg_per_l(dose.ions.get(ion));
        match self {
            Held::Ion(ion) => of(ion),
            Held::DissolvedSolids => {
                let bicarbonate = math::at_least(dose.alkalinity_eq, 0.0) * HCO3_G_PER_EQ * 1000.0;
                Ion::ALL.into_iter().map(of).sum::<f64>() + bicarbonate * WATER_KG_PER_L_20C
            }
        }
    }
}

impl Targets {
    /// Wants no longer what is told by this key, such as "calcium" or "mash_ph".
    pub fn forget(&mut self, key: &str) {
        match key {
            "sulfate_to_chloride" => self.sulfate_to_chloride = None,
            "mash_ph" => self.mash_ph = None,
            "sparge_alkalinity" => self.sparge_alkalinity = None,
            "sparge_ph" => self.sparge_ph = None,
            _ => self.ions.retain(|(ion, _)| ion.key() != key),
        }
    }
}

/// The whole question.
#[derive(Clone, Debug)]
pub struct Question<'a> {
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
    /// What is wanted.
    pub targets: Targets,
    /// Most different salts and bases to weigh, each counted once wherever it goes; acids are not counted.
    pub most_salts: Option<usize>,
    /// What else comes into the kettle whatever is dosed, per kg of its water: it counts in the liquor as a whole.
    pub in_kettle: Dose,
}

/// Liquors of the day once a blend is drawn and doses are given.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Liquors {
    /// The blend as drawn.
    pub blend: Liquor,
    /// In the mash, with what went into the tun.
    pub mash: Liquor,
    /// For the sparge.
    pub sparge: Liquor,
    /// All brewing liquor together, by mass. What goes into the kettle counts per kg of the water that comes there: grains keep
    /// some liquor with all it holds, and nothing of what is given behind them.
    pub overall: Liquor,
}

impl Question<'_> {
    /// Follows a blend (shares by mass) and doses (g or mL, in the order of [`Self::doses`]) through the vessels.
    pub fn liquors(&self, shares: &[f64], doses: &[f64]) -> Liquors {
        let parts: Vec<(f64, &Liquor)> = shares
            .iter()
            .copied()
            .zip(self.sources.iter().map(|source| &source.liquor))
            .collect();
        let blend = Liquor::mix(&parts).unwrap_or_default();
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
        let overall = Liquor::mix(&[
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
